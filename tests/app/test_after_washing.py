"""After washing: report, pattern, sentence and cautions all speak of the washed size."""

import json

import pytest
from PySide6.QtWidgets import QMenu

from app.depicting import size_lines
from app.headless import report_object, report_text
from app.views.sentence import Sentence
from core.checks.cautions import INFANT
from core.design import edits
from core.pipeline import Pipeline

IN = 25.4
WASHED = {
    "wash_width_mm": 19 * IN,
    "washed_width_mm": 18 * IN,
    "wash_length_mm": 23.25 * IN,
    "washed_length_mm": 21.5 * IN,
}


@pytest.fixture
def both(ripple):
    """Results unwashed and washed."""
    big = edits.set_size(ripple, repeats=12, rows=90)
    washed = edits.set_swatch(big, **WASHED)
    return Pipeline().results(big), Pipeline().results(washed)


def test_the_report_has_washed_sizes_and_says_so(both):
    dry, washed = map(report_object, both)
    assert dry["washing"] is None
    assert washed["washing"] == {"width_change": -0.0526, "length_change": -0.0753}
    for part, key, share in (
        ("size", "width_mm", 18 / 19),
        ("size", "length_mm", 21.5 / 23.25),
        ("size", "chain_mm", 1.0),
        ("wave", "repeat_width_mm", 18 / 19),
        ("wave", "rise_mm", 21.5 / 23.25),
        ("wave", "wave_height_mm", 21.5 / 23.25),
    ):
        assert washed[part][key] == pytest.approx(dry[part][key] * share, rel=1e-3), key
    assert washed["yarn"] == dry["yarn"]
    assert json.dumps(washed)
    assert "after washing" in report_text(both[1]) and "washing" not in report_text(both[0])


def test_the_pattern_says_whether_its_size_is_washed(both):
    dry, washed = (size_lines(results)[0] for results in both)
    assert dry.endswith("unwashed.") and washed.endswith("after washing.")
    assert washed.split(" cm")[0] != dry.split(" cm")[0]


def test_a_blanket_that_shrinks_to_an_infant_s_size_has_the_caution(ripple):
    # 30 x 36 in is what published tables call pram or baby size.
    big = edits.set_size(ripple, repeats=10, rows=70)
    shrunk = edits.set_swatch(big, wash_width_mm=100.0, washed_width_mm=80.0)
    messages = [
        [finding.message for finding in Pipeline().results(design).findings]
        for design in (big, shrunk)
    ]
    assert INFANT not in messages[0] and INFANT in messages[1]


def test_the_sentence_says_after_washing(theme, both, qtbot):
    sentence = Sentence(theme)
    qtbot.addWidget(sentence)
    dry, washed = both
    sentence.show_results(dry)
    assert "long, with waves" in sentence.text()
    sentence.show_results(washed)
    assert "long after washing, with waves" in sentence.text()
    assert f"{washed.size.width_mm / 10:.0f} cm wide" in sentence.text()


def test_the_width_in_the_sentence_offers_sizes_near_the_wish(theme, both, qtbot):
    sentence, pages = Sentence(theme), []
    qtbot.addWidget(sentence)
    sentence.page_wished.connect(pages.append)
    design = edits.set_wanted(both[1].design, width_mm=910.0)
    sentence.show_results(Pipeline().results(design))
    sentence.show()
    sentence.width_figure.click()
    menu = sentence.findChild(QMenu)
    actions = [a for a in menu.actions() if not a.isSeparator() and a.menu() is None]
    assert len(actions) == 8  # three each way from the nearest, and another wish
    offs = [action.text().partition("\t")[0] for action in actions[:-1]]
    assert all(off.endswith(("more than wanted)", "less than wanted)")) for off in offs)
    actions[-1].trigger()
    assert pages == ["swatch"]
    menu.close()


def test_the_sentence_s_wish_leads_to_the_field_for_it(open_window, theme):
    window = open_window(theme=theme, size=None, settled=False, active=True)
    window.show_place("swatch")
    assert window.swatch.wanted.width.isVisible()
    assert window.focusWidget() is window.swatch.wanted.width
