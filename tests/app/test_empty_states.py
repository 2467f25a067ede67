"""While rows don't fit or nothing is there yet, every panel says why and what to do."""

import numpy as np
import pytest
from desk import LEFT, SOON
from msgspec.structs import replace
from PySide6.QtTest import QTest

from app.views.pages.checks import ALL_WELL
from app.views.pages.versions import NONE_YET
from core.design import edits
from core.design.document import Item, Row


@pytest.fixture
def window(open_window):
    return open_window()


def broken(design):
    wave = replace(design.wave, end=design.wave.end[:-1])
    return replace(design, wave=wave)


def colourfulness(window):
    """Return how far the fabric's middle is from grey, 0 to 255."""
    image = window.fabric.grab().toImage()
    middle = image.copy(image.width() // 3, image.height() // 4, image.width() // 3, 120)
    middle = middle.convertToFormat(middle.Format.Format_RGB32)
    raw = np.frombuffer(middle.constBits(), np.uint8).reshape(middle.height(), -1, 4)
    rgb = raw[:, : middle.width(), :3].astype(int)
    return float((rgb.max(axis=2) - rgb.min(axis=2)).mean())


def test_broken_rows_leave_the_last_blanket_in_grey_with_the_reason(window, qtbot):
    size, colourful = window.fabric.content_mm(), colourfulness(window)
    window.session.change("Break", broken)
    assert window.fabric.is_stale
    assert window.fabric.content_mm() == pytest.approx(size)
    assert colourfulness(window) < 0.4 * colourful
    said = window.fabric.accessibleDescription()
    assert said.startswith("Only 2 of 96 rows can be worked as it stands.")
    assert "In grey: the blanket as it last fitted." in said and "Checks says" in said
    window.session.undo_stack.undo()
    assert not window.fabric.is_stale
    assert colourfulness(window) == pytest.approx(colourful, rel=0.2)


def test_a_stale_blanket_points_at_no_stitch_of_the_chart(window):
    window.session.change("Break", broken)
    heard = []
    window.fabric.stitch_hovered.connect(lambda row, stitch: heard.append((row, stitch)))
    QTest.mouseMove(window.fabric, window.fabric.rect().center())
    assert not [one for one in heard if one[0] > 0]


def test_a_design_that_is_opened_broken_shows_nothing_of_the_one_before(window):
    window.session.open(broken(window.session.design), None)
    assert not window.fabric.is_stale
    assert "In grey" not in window.fabric.accessibleDescription()
    assert window.wave._good is None


def test_the_line_names_the_row_and_both_ways_out_work(window, qtbot):
    assert not window.broken.isVisible()
    before = window.session.design
    window.session.change("Break", broken)
    assert window.broken.isVisible()
    assert window.broken.words.text() == (
        "⚠ Row 2 uses 143 stitches, row 1 has 142. Figures, words and yarn are of 2 rows of 96 "
        "until it is mended."
    )
    QTest.mouseClick(window.broken.checks, LEFT)
    assert window.checks.isVisible()
    QTest.mouseClick(window.broken.undo, LEFT)
    assert window.session.design is before
    assert not window.broken.isVisible()


def test_nothing_to_take_back_isn_t_offered(window):
    window.session.open(broken(window.session.design), None)
    assert window.broken.isVisible()
    assert not window.broken.undo.isEnabled()
    assert window.broken.checks.isEnabled()


def test_the_wave_stays_faint_and_says_why_it_can_t_be_held(window):
    assert window.wave._reason == ""
    window.session.change("Break", broken)
    assert "Row 2 doesn't fit the row below" in window.wave.accessibleDescription()
    assert window.wave._good is not None
    before = window.wave.grab().toImage()
    window.wave._good = None
    window.wave.update()
    assert window.wave.grab().toImage() != before  # the faint line is painted


def test_rows_of_no_known_shape_say_so_on_the_wave(window):
    def own(design):
        row = design.wave.row
        odd = Row(row.start, (Item(stitch="dc", times=12),), row.end)
        wave = replace(design.wave, cycle=(row, odd))
        return replace(design, wave=wave)

    window.session.change("Own rows", own)
    assert "Choose a family" in window.wave.accessibleDescription()
    window.wave.grab()  # and is painted without fault


def test_pages_with_nothing_on_them_say_how_something_gets_there(window, qtbot):
    window.show_page(window.pages.index(window.versions))
    assert window.versions.empty.isVisible() and window.versions.empty.text() == NONE_YET
    window.show_page(window.pages.index(window.checks))
    qtbot.waitUntil(lambda: not window.tech_edit.is_busy, timeout=SOON)
    # A pattern that names nobody to ask has something to be told of.
    window.session.change("Change details", lambda d: edits.set_values(d, contact="", skill=""))
    qtbot.waitUntil(lambda: not window.tech_edit.is_busy, timeout=SOON)
    assert window.checks.findings and not window.checks.empty.isVisible()
    assert window.swatch.wave.fold.summary.text().startswith("Not measured yet.")
    window.checks.findings_of = lambda results: ()
    window.checks.list_anew()
    assert window.checks.empty.isVisible() and window.checks.empty.text() == ALL_WELL
    assert not window.checks.list.isVisible()


@pytest.mark.parametrize("look", ["light", "dark"])
def test_everything_is_painted_while_rows_are_broken(window, look):
    window.theme.set_look(look)
    window.session.change("Break", broken)
    for number in range(len(window.pages.titles)):
        window.show_page(number)
        assert not window.grab().isNull()
    window.theme.set_look("system")
