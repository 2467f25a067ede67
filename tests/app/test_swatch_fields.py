"""The swatch page: its fields by keyboard and mouse."""

from functools import partial

import pytest
from desk import stepped, typed, wheel
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import (
    QKeySequence,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QMainWindow,
)

from app.views.pages.swatch import SwatchPage
from core.design import edits
from core.design.document import Turning
from core.records import replace as with_parts

Key, Mods = Qt.Key, Qt.KeyboardModifier
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def swatch(desk):
    return desk(SwatchPage)


def test_typing_wishes_once_when_it_is_finished(swatch, ripple):
    field = swatch.page.stitches
    typed(field, "15.5", end=None)
    assert not swatch.wishes
    QTest.keyClick(field, Key.Key_Return)
    ((text, edit, gesture),) = swatch.wishes
    assert text == "Change stitches of the swatch" and gesture is None
    assert edit(ripple) == edits.set_gauge(ripple, stitches=15.5)
    QTest.keyClick(field, Key.Key_Return)
    QTest.keyClick(field, Key.Key_Tab)
    assert len(swatch.wishes) == 1


def test_leaving_a_field_finishes_it(swatch, ripple):
    typed(swatch.page.rows, "8", end=Key.Key_Tab)
    assert swatch.design == edits.set_gauge(ripple, rows=8)


def test_escape_puts_back_what_was_there(swatch):
    field = swatch.page.stitches
    typed(field, "20", end=Key.Key_Escape)
    assert field.text() == "13"
    QTest.keyClick(field, Key.Key_Tab)
    assert not swatch.wishes


@pytest.mark.parametrize(
    ("name", "key", "edit"),
    [
        ("stitches", "14", partial(edits.set_gauge, stitches=14)),
        ("rows", "7.25", partial(edits.set_gauge, rows=7.25)),
        ("over", "12.5", partial(edits.set_gauge, over_mm=125)),
        ("hook", "4.25", partial(edits.set_gauge, hook_mm=4.25)),
        ("firmness", "0.8", partial(edits.set_gauge, firmness=0.8)),
        ("from_row", "3", partial(edits.set_loops, from_row=3)),
        ("chains", "2", partial(edits.set_turning, chains=2)),
        ("chains", "0", partial(edits.set_turning, chains=0)),
    ],
)
def test_every_number_makes_its_own_edit(swatch, ripple, name, key, edit):
    typed(getattr(swatch.page, name), key)
    assert swatch.design == edit(ripple) != ripple
    assert not swatch.refused


@pytest.mark.parametrize(
    ("name", "keys", "edit"),
    [
        ("stitch", [Key.Key_Down], partial(edits.set_stitch, stitch="tr")),
        ("stitch", [Key.Key_Up, Key.Key_Up], lambda d: edits.set_stitch(up(d), "sc")),
        ("loops", [Key.Key_Down], partial(edits.set_loops, work_in="front")),
        ("hand", [Key.Key_Down], partial(edits.set_values, hand="left")),
        ("units", [Key.Key_Down], partial(edits.set_values, units="in")),
    ],
)
def test_every_choice_makes_its_own_edit(swatch, ripple, name, keys, edit):
    stepped(getattr(swatch.page, name), *keys)
    assert swatch.design == edit(ripple) != ripple
    assert swatch.session.undo_stack.count() == 1


def up(design):
    return edits.set_stitch(design, "hdc")


def test_ticks_answer_to_the_space_bar_and_to_a_click_on_their_words(swatch, ripple):
    page = swatch.page
    stepped(page.last_both.box, Key.Key_Space)
    assert swatch.design == edits.set_loops(ripple, last_stitch_both=True)
    QTest.mouseClick(page.counts._words, LEFT, Mods.NoModifier, QPoint(3, 3))
    assert swatch.design.turning == Turning(chains=3, counts=False)


def test_steps_undo_as_one_for_as_long_as_the_focus_stays(swatch, ripple):
    field = swatch.page.stitches
    stepped(field, Key.Key_Up, Key.Key_Up, Key.Key_Up, Key.Key_Down)
    assert swatch.design.gauge.stitches == 14
    gestures = [gesture for _, _, gesture in swatch.wishes]
    assert len(gestures) == 4 and gestures[0] is not None and len({*map(id, gestures)}) == 1
    assert swatch.session.undo_stack.count() == 1
    wheel(field, 2)
    assert swatch.design.gauge.stitches == 15 and swatch.session.undo_stack.count() == 1
    swatch.session.undo_stack.undo()
    assert swatch.design is ripple


def test_coming_back_to_a_field_begins_another_step(swatch):
    page = swatch.page
    stepped(page.stitches, Key.Key_Up)
    stepped(page.rows, Key.Key_Up)
    stepped(page.stitches, Key.Key_Up)
    assert swatch.session.undo_stack.count() == 3


def test_typing_between_steps_stands_for_itself(swatch):
    field = swatch.page.stitches
    stepped(field, Key.Key_Up)
    typed(field, "15")
    QTest.keyClick(field, Key.Key_Up)
    assert swatch.design.gauge.stitches == 15.5
    assert swatch.session.undo_stack.count() == 3


def test_stepping_from_typed_text_takes_the_text_first(swatch):
    field = swatch.page.stitches
    typed(field, "15", end=Key.Key_Up)
    assert swatch.design.gauge.stitches == 15.5


def test_a_step_goes_to_the_next_half(desk, ripple):
    swatch = desk(SwatchPage, edits.set_gauge(ripple, stitches=13.3))
    stepped(swatch.page.stitches, Key.Key_Up)
    assert swatch.design.gauge.stitches == 13.5


def test_the_wheel_is_for_the_page_until_a_field_has_the_focus(swatch):
    page = swatch.page
    page.units.setFocus()
    for field in (page.stitches, page.stitch):
        wheel(field, 1)
    assert not swatch.wishes


def test_numbers_out_of_bounds_can_not_be_typed(swatch, ripple):
    typed(swatch.page.hook, "999")
    assert swatch.design.gauge.hook_mm <= 50
    typed(swatch.page.chains, "99")
    assert swatch.design.turning.chains <= 10
    assert not swatch.refused


def test_a_refused_number_gives_way_to_what_is(swatch, ripple):
    typed(swatch.page.rows, "500")  # no stitch has that shape
    assert swatch.refused and swatch.design is ripple
    assert swatch.page.rows.text() == "7.5"


def test_firmness_may_be_left_to_the_default(swatch):
    field = swatch.page.firmness
    assert field.text() == "default (0.5)"
    stepped(field, Key.Key_Up)
    assert swatch.design.gauge.firmness == 0.5
    QTest.keyClick(field, Key.Key_Up)
    assert swatch.design.gauge.firmness == pytest.approx(0.6)
    typed(field, "0.01")
    assert swatch.design.gauge.firmness == 0.02 and field.text() == "0.02"
    typed(field, "0.01")
    assert field.text() == "0.02" and not swatch.refused
    field.selectAll()
    QTest.keyClick(field, Key.Key_Delete)
    QTest.keyClick(field, Key.Key_Return)
    assert swatch.design.gauge.firmness is None and field.text() == "default (0.5)"


def test_stitches_are_called_by_the_design_s_terms(desk, ripple):
    swatch = desk(SwatchPage)
    assert swatch.page.stitch.currentText() == "dc: double crochet"
    swatch.session.change("Change terms", partial(edits.set_values, terms="UK"))
    assert swatch.page.stitch.currentText() == "tr: treble"
    words = [swatch.page.stitch.itemText(n) for n in range(swatch.page.stitch.count())]
    assert words[1] == "dc: double crochet" and swatch.page.stitch.itemData(1) == "sc"


def test_a_field_that_is_being_typed_in_is_left_alone(swatch, ripple):
    page = swatch.page
    typed(page.stitches, "1", end=None)
    swatch.show(edits.set_gauge(ripple, stitches=12, rows=7))
    assert page.stitches.text() == "1" and page.stitches.lineEdit().cursorPosition() == 1
    assert page.rows.text() == "7"
    QTest.keyClicks(page.stitches, "4")
    QTest.keyClick(page.stitches, Key.Key_Return)
    assert swatch.design.gauge.stitches == 14


def test_undo_in_a_field_is_the_design_s_unless_something_is_being_typed(swatch, qtbot, ripple):
    window = QMainWindow()
    qtbot.addWidget(window)
    window.setCentralWidget(swatch.page)
    undo = swatch.session.undo_stack.createUndoAction(window)
    undo.setShortcuts(QKeySequence.StandardKey.Undo)
    window.addAction(undo)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    field = swatch.page.stitches
    stepped(field, Key.Key_Up)
    assert swatch.design.gauge.stitches == 13.5
    typed(field, "20", end=None)
    QTest.keyClick(field, Key.Key_Z, Mods.ControlModifier)
    assert swatch.design.gauge.stitches == 13.5
    QTest.keyClick(field, Key.Key_Escape)
    QTest.keyClick(field, Key.Key_Z, Mods.ControlModifier)
    assert swatch.design is ripple
    assert field.text() == "13"
    window.takeCentralWidget()


def test_inches_are_shown_without_changing_the_swatch(swatch, ripple):
    stepped(swatch.page.units, Key.Key_Down)
    assert swatch.design == edits.set_values(ripple, units="in")
    page = swatch.page
    assert page.over.text() == "3.94 in" and page.hook.text() == "5 mm"
    assert page.stitch_width.text() == "0.30 in" and page.row_height.text() == "0.52 in"
    stepped(page.over, Key.Key_Up)
    assert page.over.text() == "4 in"
    assert swatch.design.gauge.over_mm == pytest.approx(101.6)


def test_what_follows_from_the_swatch_is_what_was_computed(swatch):
    page, results = swatch.page, swatch.results
    wave, size = results.wave, results.size
    assert page.stitch_width.text() == "7.7 mm"  # 100 / 13
    assert page.row_height.text() == "13.3 mm"  # 100 / 7.5
    assert page.repeat_width.text() == f"{wave.repeat_width_mm / 10:.1f} cm"
    assert page.rise.text() == f"{wave.rise_mm:.1f} mm"
    assert page.wave_height.text() == f"{wave.wave_height_mm / 10:.1f} cm"
    assert page.lean.text() == f"{wave.lean_deg:.0f}°"
    assert page.chain.text() == f"{size.chain_mm / 10:.1f} cm"
    assert page.width_figure.text() == f"{size.width_mm / 10:.1f} cm"
    drawn_in = 100 * (size.chain_mm - size.width_mm) / size.chain_mm
    assert page.draw_in.text() == f"{drawn_in:.0f} %" and drawn_in > 5


def test_a_wave_that_can_not_settle_is_said_to_be_so(swatch):
    page, results = swatch.page, swatch.results
    assert not page._unsettled.isVisible()
    page.show_results(with_parts(results, wave=None))
    assert page.lean.text() == page.rise.text() == page.repeat_width.text() == "–"
    assert page._unsettled.isVisible() and "Checks" in page._unsettled.text()


def test_what_does_not_matter_is_switched_off(desk, ripple):
    page = desk(SwatchPage, edits.set_loops(ripple, work_in="both")).page
    assert not page.from_row.isEnabled() and not page.last_both.isEnabled()
    page = desk(SwatchPage, edits.set_turning(ripple, chains=0)).page
    assert not page.counts.isEnabled()
