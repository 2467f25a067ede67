"""A variant is kept aside, flipped to with one key, seen beside the design, and put back."""

import pytest
from desk import LEFT, SOON, Key, Mods
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.beside_dialog import BesideDialog
from app.compare_dialog import CompareDialog
from app.side_pages import TITLES
from app.variants import LOOKING, NONE_YET
from app.views.aside_bar import AsideName
from core.design import edits
from core.design.differences import differences
from core.design.files import read_design, write_design


@pytest.fixture
def window(open_window):
    return open_window(active=True)


@pytest.fixture
def changed(window, qtbot):
    """The window with its first design kept aside by keys, and then made longer and wider."""
    QTest.keyClick(window, Key.Key_F5, Mods.ShiftModifier)
    popup = QApplication.activePopupWidget()
    assert isinstance(popup, AsideName)
    QTest.keyClicks(popup.line, "Low tide")
    QTest.keyClick(popup.line, Key.Key_Return)
    window.session.change("Change size", lambda d: edits.set_size(d, repeats=14, rows=60))
    qtbot.waitUntil(lambda: window.live.is_settled, timeout=SOON)
    return window


def press(window, key, mods=Mods.NoModifier):
    """Press a key of a menu; without a window manager nobody makes the window active again."""
    window.activateWindow()
    QTest.qWaitForWindowActive(window)
    QTest.keyClick(window, key, mods)


def flip(window):
    press(window, Key.Key_F5)


def shown(window):
    """Return the designs that the views show, without those that show the same."""
    pages = (window.pages.page(name) for name in TITLES)
    views = (window.sentence, window.chart, window.fabric, *pages)
    return {id(view._results.design): view._results.design for view in views}.values()


def test_nothing_kept_says_how_to_keep_something(window):
    flip(window)
    assert window.statusBar().currentMessage() == NONE_YET
    assert not window.variants.bar.isVisible()


def test_one_key_flips_every_view_there_and_back_and_changes_nothing(changed, demo_path, qtbot):
    now, steps = changed.session.design, changed.session.undo_stack.count()
    assert changed.variants.names == ["Low tide"]
    flip(changed)
    assert [*shown(changed)] == [read_design(demo_path)]
    assert "96 rows" in changed.sentence.text()
    assert all("Low tide" in plate.text() and plate.isVisible() for plate in changed._plates)
    assert changed.session.design is now and changed.live.results.design is now
    flip(changed)
    assert [*shown(changed)] == [now]
    assert not any(plate.isVisible() for plate in changed._plates)
    assert changed.session.undo_stack.count() == steps


def test_the_button_at_the_foot_flips_too(changed):
    bar = changed.variants.bar
    QTest.mouseClick(bar.flip, LEFT)
    assert changed.variants.is_flipped and bar.flip.isChecked()
    QTest.mouseClick(bar.flip, LEFT)
    assert not changed.variants.is_flipped and not bar.flip.isChecked()


def test_what_is_only_looked_at_can_t_be_changed(changed):
    now = changed.session.design
    flip(changed)
    changed.wave.setFocus()
    QTest.keyClick(changed.wave, Key.Key_Up)
    assert changed.session.design is now
    assert changed.statusBar().currentMessage() == LOOKING
    assert changed.variants.is_flipped


def test_undo_or_another_change_brings_the_design_back(changed, demo_path):
    flip(changed)
    changed.session.undo_stack.undo()
    assert not changed.variants.is_flipped
    assert [*shown(changed)] == [read_design(demo_path)]


def test_both_are_shown_to_one_scale_where_the_one_kept_is_smaller(changed, qtbot):
    before = changed.fabric.placing.scale
    changed.variants.keep("Small", edits.set_size(changed.session.design, repeats=4, rows=20))
    flip(changed)
    qtbot.waitUntil(lambda: changed.variants.is_flipped, timeout=SOON)
    assert changed.fabric.placing.scale == before
    flip(changed)
    assert changed.fabric.placing.scale == before


def test_what_the_user_has_zoomed_to_stays_while_flipping(changed):
    changed.fabric.zoom(3.0)
    before = changed.fabric.placing
    flip(changed)
    assert changed.variants.is_flipped and changed.fabric.placing == before
    flip(changed)
    assert changed.fabric.placing == before


def test_it_is_put_back_as_one_step(changed, demo_path):
    now = changed.session.design
    QTest.mouseClick(changed.variants.bar.back, LEFT)
    assert changed.session.design == read_design(demo_path)
    assert changed.session.undo_stack.undoText().startswith("Put back “Low tide”: ")
    changed.session.undo_stack.undo()
    assert changed.session.design is now


def test_beside_each_other_they_are_told_apart_in_words_and_to_one_scale(changed, demo_path, qtbot):
    press(changed, Key.Key_F5, Mods.ControlModifier)
    dialog = changed.findChild(BesideDialog)
    qtbot.waitUntil(lambda: "Chain" in dialog.figures[0].text(), timeout=SOON)
    lines = [dialog.list.item(row).text() for row in range(dialog.list.count())]
    assert lines == list(differences(read_design(demo_path), changed.session.design))
    assert "96 rows" in dialog.figures[0].text() and "60 rows" in dialog.figures[1].text()
    wide = [covered(label.pixmap().toImage()) for label in dialog.pictures]
    sizes = [changed.variants._kept[0].results.size, changed.live.results.size]
    for way, measure in enumerate(("width_mm", "length_mm")):
        ratio = getattr(sizes[0], measure) / getattr(sizes[1], measure)
        assert wide[0][way] / wide[1][way] == pytest.approx(ratio, rel=0.03)
    QTest.mouseClick(dialog.back, LEFT)
    assert changed.session.design == read_design(demo_path)


def covered(image):
    """Return how wide and how tall what is painted in a picture is, in pixels."""
    columns = [
        x for x in range(image.width()) if image.pixelColor(x, image.height() // 2).alpha() > 99
    ]
    rows = [
        y for y in range(image.height()) if image.pixelColor(image.width() // 2, y).alpha() > 99
    ]
    return len(columns), len(rows)


def test_what_is_kept_aside_is_a_version_and_a_version_can_be_flipped_to(changed, qtbot, demo_path):
    changed.show_page(changed.pages.index(changed.versions))
    page = changed.versions
    qtbot.waitUntil(lambda: page.list.count() == 1, timeout=SOON)
    assert "Low tide" in page.list.item(0).text()
    changed.variants.forget()
    assert not changed.variants.bar.isVisible()
    page.list.setCurrentRow(0)
    qtbot.waitUntil(page.flip.isVisible, timeout=SOON)
    QTest.mouseClick(page.flip, LEFT)
    qtbot.waitUntil(lambda: changed.variants.is_flipped, timeout=SOON)
    assert next(iter(shown(changed))) == read_design(demo_path)


def test_a_wave_from_the_comparison_can_be_kept_aside(window, qtbot):
    now = window.session.design
    press(window, Key.Key_F8)
    dialog = window.findChild(CompareDialog)
    qtbot.waitUntil(lambda: dialog.cards[2].offer is not None, timeout=SOON)
    button = next(b for b in dialog.cards[2].findChildren(type(dialog.cards[2].button))
                  if "aside" in b.text())  # fmt: skip
    QTest.mouseClick(button, LEFT)
    assert "Kept aside: Steeper" in dialog.said.text()
    dialog.reject()
    assert window.variants.names == ["Steeper"]
    assert window.session.design is now
    flip(window)
    qtbot.waitUntil(lambda: window.variants.is_flipped, timeout=SOON)
    flipped = next(iter(shown(window)))
    assert flipped.wave != now.wave and flipped.stripes == now.stripes


def test_a_dialog_shows_the_design_again_and_works_on_it(changed):
    flip(changed)
    press(changed, Key.Key_F8)
    assert not changed.variants.is_flipped
    dialog = changed.findChild(CompareDialog)
    assert dialog._design is changed.session.design
    dialog.reject()


def test_saving_keeps_what_is_aside_and_another_design_doesn_t(changed, tmp_path, ripple):
    assert changed.documents.save_to(tmp_path / "tide.dipslope")
    assert changed.variants.names == ["Low tide"]
    other = tmp_path / "other.dipslope"
    write_design(ripple, other)
    assert changed.documents.open(other)
    assert changed.variants.names == []
    assert not changed.variants.bar.isVisible()


def test_saving_before_any_step_keeps_what_is_aside(window, tmp_path):
    window.variants.keep("As it began", window.session.design)
    assert window.documents.save_to(tmp_path / "tide.dipslope")
    assert window.variants.names == ["As it began"]


def test_a_variant_like_the_design_says_so(window):
    window.variants.keep("Same", window.session.design)
    flip(window)
    assert not window.variants.is_flipped
    assert "nothing to flip to yet" in window.statusBar().currentMessage()


def test_no_more_than_nine_are_kept_and_the_oldest_goes(window):
    for number in range(12):
        window.variants.keep(
            f"Variant {number}", edits.set_size(window.session.design, rows=20 + number)
        )
    assert len(window.variants.names) == 9
    assert window.variants.names[-1] == "Variant 11"


def test_one_that_is_still_settling_doesn_t_break_into_what_is_done_meanwhile(changed, qtbot):
    """What comes late is kept for the next time, but shown only to who still waits for it."""
    changed.variants.keep("Small", edits.set_size(changed.session.design, repeats=4, rows=20))
    changed.variants.flip()
    assert changed.statusBar().currentMessage() == "Settling Small…"
    changed.session.change("Change size", lambda d: edits.set_size(d, rows=64))
    worker = changed.variants._worker
    qtbot.waitUntil(lambda: not worker.is_busy and changed.live.is_settled, timeout=SOON)
    QApplication.processEvents()
    assert not changed.variants.is_flipped
    changed.variants.flip()
    assert changed.variants.is_flipped  # at once: it was worked out before


def test_saving_leaves_what_is_looked_at(changed, tmp_path):
    for view in (changed.chart, changed.fabric):
        view.zoom(3.0)
    before = changed.chart.placing, changed.fabric.placing
    assert changed.documents.save_to(tmp_path / "tide.dipslope")
    assert (changed.chart.placing, changed.fabric.placing) == before
