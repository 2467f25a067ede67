"""The parts of the swatch's page: worked wave, washing, size wanted, on the hook, another gauge.

The worked figures are those of tests/core/test_sizes.py, typed in and read off.
"""

import re

import pytest
import shiboken6
from desk import Desk, fits, focusable, places_by_tab, stepped, typed
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel
from some import some

from app.views.pages.choice_list import in_columns
from app.views.pages.fields import NumberField
from app.views.pages.swatch import SwatchPage
from core.design import edits
from core.design.document import Item, Wave
from core.pipeline import Pipeline

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton
SPACE = " "


@pytest.fixture
def desk(theme, ripple, qtbot):
    """Put the page on a desk, all its parts unfolded."""
    pages = []

    def make(design=ripple, *, unfolded=True):
        page = SwatchPage(theme)
        qtbot.addWidget(page)
        pages.append(page)
        page.resize(320, 640)
        made = Desk(design, page)
        if unfolded:
            for part in parts(page):
                part.fold.open()
        QApplication.processEvents()
        return made

    yield make
    for page in pages:
        page.close_worker()


def parts(page):
    return page.wave, page.wash, page.wanted, page.hook_piece, page.another


def lines(shown):
    """Return a list's lines with plain spaces."""
    every = [shown.item(row).text() for row in range(shown.count())]
    return [" ".join(line.replace("\N{FIGURE SPACE}", SPACE).split()) for line in every]


@pytest.fixture(scope="session")
def fourteen(ripple):
    """The 14-stitch ripple with half peaks at both sides."""
    plain, dip = Item(stitch="dc", times=4), Item(stitch="dc", over=2, times=2)
    half, peak = Item(stitch="dc", make=2), Item(stitch="dc", make=2, times=2)
    wave = Wave((half,), (plain, dip, plain, peak), (plain, dip, plain, half))
    return edits.set_size(edits.set_wave(ripple, wave), repeats=6, rows=40)


# --- folds -------------------------------------------------------------------------------


def test_parts_that_hold_nothing_are_folded(desk):
    page = desk(unfolded=False).page
    assert not any(part.fold.is_open for part in parts(page))
    assert not page.wash.width.isVisible()
    assert page.wanted.fold.summary.text().endswith("cm.")


def test_a_part_unfolds_by_keyboard_and_stays_as_it_was_put(desk, ripple):
    made = desk(unfolded=False)
    fold = made.page.wash.fold
    stepped(fold.button, Key.Key_Space)
    assert fold.is_open and made.page.wash.width.isVisible()
    made.show(edits.set_size(ripple, rows=22))
    assert fold.is_open
    stepped(fold.button, Key.Key_Space)
    made.show(edits.set_swatch(ripple, wash_width_mm=100.0, washed_width_mm=90.0))
    assert not fold.is_open
    assert "−10.0 % in width" in fold.summary.text()
    assert "folded" in fold.button.accessibleName()


def test_a_part_that_holds_something_is_open_at_once(desk, ripple):
    made = desk(edits.set_wanted(ripple, width_mm=600.0), unfolded=False)
    assert made.page.wanted.fold.is_open and not made.page.wash.fold.is_open


def full(ripple, units="cm"):
    """Return a design with something in every part, and measures that disagree."""
    design = edits.set_swatch(
        replace(ripple, units=units),
        repeats=4,
        repeats_mm=340.0,
        rows=20,
        rows_mm=285.0,
        wave_height_mm=45.0,
        chain_mm=30.0,
        wash_width_mm=482.6,
        washed_width_mm=457.2,
        washed_length_mm=900.0,
    )
    design = edits.set_wanted(design, width_mm=500.0, length_mm=333.0)
    return edits.set_progress(design, row=12, width_mm=340.0, length_mm=2000.0)


@pytest.mark.parametrize("scale", [1.0, 2.0])
@pytest.mark.parametrize("units", ["cm", "in"])
def test_nothing_is_cut_off_with_everything_unfolded(
    desk,
    dressed,
    ripple,
    scale,
    units,
    qtbot,
):
    dressed(scale)
    page = desk(full(ripple, units)).page
    page.another.stitches.setValue(18)
    qtbot.waitUntil(page.another.take.isEnabled)
    qtbot.waitUntil(page.wave.verdict.isVisible)
    QApplication.processEvents()
    labels = [child for child in page._column.findChildren(QLabel) if child.isVisible()]
    for child in some(label for label in labels if label.text()):
        assert fits(child), child.text()
    for child in some(page._column.findChildren(NumberField)):
        room = child.lineEdit().contentsRect().width()
        assert child.fontMetrics().horizontalAdvance(child.text()) <= room, child.text()
    buttons = [child for child in page._column.findChildren(QAbstractButton) if child.isVisible()]
    for child in some(button for button in buttons if button.text()):
        assert child.sizeHint().width() <= child.width(), child.text()
    for shown in (page.wanted.widths, page.wanted.lengths):
        last = shown.visualItemRect(shown.item(shown.count() - 1))
        assert shown.viewport().rect().contains(last)


def test_tab_goes_down_the_page_with_everything_unfolded(desk, ripple, qtbot):
    page = desk(full(ripple)).page
    qtbot.waitUntil(page.wave.verdict.isVisible)
    places = places_by_tab(page)
    assert places == sorted(places)
    assert len(places) == len([child for child in focusable(page) if child.isEnabled()])


def test_everything_unfolded_has_a_name_and_a_hint(desk, ripple):
    page = desk(full(ripple)).page
    for child in focusable(page):
        assert child.accessibleName() or child.text()
    for button in (page.wave.fit, page.hook_piece.restore, page.another.take):
        assert button.toolTip()


# --- worked wave -------------------------------------------------------------------------


def test_two_repeats_of_16_5_cm_and_a_wish_of_91_give_the_three_choices(desk, fourteen, qtbot):
    made = desk(fourteen)
    page = made.page
    typed(page.wave.repeats, "2")
    typed(page.wave.width, "16.5")
    qtbot.waitUntil(page.wave.fit.isEnabled)
    QTest.mouseClick(page.wave.fit, LEFT)
    typed(page.wanted.width, "91")
    made.page.show_results(Pipeline().settled_results(made.design))
    shown = lines(page.wanted.widths)
    assert "82.5 cm −8.5 10 × 14 + 3 = 143 ch" in shown
    # 907.5 mm by multiplying, a little less with the edges settled: on the edge of rounding
    assert re.fullmatch(r"90.[78] cm −0.[23] 11 × 14 \+ 3 = 157 ch", shown[3])
    assert "99.0 cm +8.0 12 × 14 + 3 = 171 ch" in shown
    assert page.wanted.widths.currentRow() == 3


def test_a_choice_is_taken_by_enter_as_one_step(desk, fourteen):
    made = desk(edits.set_wanted(fourteen, width_mm=900.0))
    widths = made.page.wanted.widths
    steps = made.session.undo_stack.count()
    row = widths.currentRow()
    stepped(widths, Key.Key_Down, Key.Key_Return)
    assert made.session.undo_stack.count() == steps + 1
    assert made.texts[-1] == "Change width"
    assert lines(widths)[row + 1].endswith("✓")
    made.session.undo_stack.undo()
    assert made.design.size.repeats == 6


def test_a_choice_is_taken_by_a_click(desk, ripple):
    made = desk(ripple)
    lengths = made.page.wanted.lengths
    at = lengths.visualItemRect(lengths.item(0)).center()
    QTest.mouseClick(lengths.viewport(), LEFT, Qt.KeyboardModifier.NoModifier, at)
    assert made.design.size.rows == 17
    assert made.texts == ["Change length"]


def test_a_chain_repeat_of_7_6_cm_shows_its_137_cm(desk, ripple, qtbot):
    made = desk(edits.set_size(ripple, repeats=17))
    page = made.page
    typed(page.wave.width, "6.4")
    typed(page.wave.chain, "7.6")
    qtbot.waitUntil(page.wave.fit.isEnabled)
    QTest.mouseClick(page.wave.fit, LEFT)
    typed(page.wanted.width, "114")
    assert any("18 × " in line and line.endswith("✓") for line in lines(page.wanted.widths))
    assert "136.8 cm" in page.wanted.draw_in.text()  # about 137
    assert "by 16 %" in page.wanted.draw_in.text()  # 6.4 of 7.6
    assert page.chain.text() == "136.8 cm"


def test_measures_that_fit_say_how_well(desk, ripple, qtbot):
    wave = Pipeline().results(ripple).wave
    measured = edits.set_swatch(
        ripple,
        repeats=4,
        repeats_mm=4 * wave.repeat_width_mm,
        rows=20,
        rows_mm=20 * wave.rise_mm,
        wave_height_mm=wave.wave_height_mm,
    )
    page = desk(measured).page
    qtbot.waitUntil(lambda: "speaks of" in page.wave.fitted.text())
    assert "13 stitches and 7.5 rows to 10.0 cm" in page.wave.fitted.text()
    assert "good to 2.0 mm" in page.wave.fitted.text()
    assert not page.wave.verdict.isVisible()
    assert page.wave.agreement.text().count("(0 %)") == 3


def test_a_measure_that_disagrees_is_named_with_what_would_agree(desk, ripple, qtbot):
    page = desk(full(ripple)).page
    qtbot.waitUntil(page.wave.verdict.isVisible)
    text = page.wave.verdict.text()
    assert text.startswith("⚠ Wave height disagrees: 45.0 mm was taken")
    assert "the fit leaves it out" in text
    assert "count the repeats of the chain again" in page.wave.agreement.text()


def test_rows_that_can_not_be_fitted_say_why(desk, ripple, qtbot):
    broken = edits.set_wave(ripple, replace(ripple.wave, end=ripple.wave.end[:-1]))
    made = desk(edits.set_swatch(broken, repeats_mm=80.0))
    assert not made.page.wave.fit.isEnabled()


def test_a_fit_is_one_step(desk, ripple, qtbot):
    made = desk(edits.set_swatch(ripple, repeats=2, repeats_mm=190.0, rows=10, rows_mm=150.0))
    qtbot.waitUntil(made.page.wave.fit.isEnabled)
    QTest.mouseClick(made.page.wave.fit, LEFT)
    assert made.texts == ["Fit gauge to the worked wave"]
    assert made.design.gauge.stitches != 13
    qtbot.waitUntil(lambda: "(0 %)" in made.page.wave.agreement.text())
    made.session.undo_stack.undo()
    assert made.design.gauge == ripple.gauge


def test_the_ruler_in_question_is_lit(desk):
    page = desk().page
    page.wave.width.setFocus()
    assert page.wave.picture._lit == "width"
    page.wave.height.setFocus()
    assert page.wave.picture._lit == "height"
    page.wash.width.setFocus()
    assert page.wave.picture._lit is None


# --- washing -----------------------------------------------------------------------------


def test_19_to_18_and_23_25_to_21_5_inches_are_typed_and_read(desk, ripple):
    made = desk(replace(ripple, units="in"))
    before = made.results.size.width_mm
    for field, inches in (
        (made.page.wash.width, "19"),
        (made.page.wash.washed_width, "18"),
        (made.page.wash.length, "23.25"),
        (made.page.wash.washed_length, "21.5"),
    ):
        typed(field, inches)
    assert made.page.wash.change.text().startswith("−5.3 % in width, −7.5 % in length.")
    assert made.results.size.width_mm == pytest.approx(before * 18 / 19)
    assert "after washing" in made.page.wanted.draw_in.text()
    assert made.page._washed.isVisible()


def test_a_slip_in_washing_is_said_and_left_out(desk, ripple):
    made = desk(edits.set_swatch(ripple, wash_width_mm=190.0, washed_width_mm=18.0))
    assert "leave 9 % of the width" in made.page.wash.slip.text()
    assert made.page.wash.slip.isVisible()
    assert not made.results.size.is_washed


# --- on the hook -------------------------------------------------------------------------


def test_a_piece_on_the_hook_tells_the_rows_that_keep_the_length(desk, ripple):
    long = edits.set_size(ripple, rows=84)
    made = desk(long)
    planned = Pipeline().results(edits.set_size(long, rows=24)).size.length_mm
    page = made.page.hook_piece
    typed(page.row, "24")
    typed(page.length, f"{1.05 * planned / 10:.2f}")
    assert "(+5.0 %)" in page.forecast.text()
    assert page.restore.text() == "Work 80 rows in all"
    QTest.mouseClick(page.restore, LEFT)
    assert made.design.size.rows == 80
    assert made.texts[-1] == "Change rows to keep the length"
    assert not page.restore.isEnabled()  # and it isn't asked for again
    made.session.undo_stack.undo()
    assert made.design.size.rows == 84 and made.design.wanted is None


def test_a_slip_on_the_hook_is_said_with_what_the_plan_has(desk, ripple):
    page = desk(edits.set_progress(ripple, row=10, length_mm=3.0)).page.hook_piece
    assert page.slip.isVisible() and "left out" in page.slip.text()
    assert not page.restore.isVisible()


# --- another gauge -----------------------------------------------------------------------


def test_another_stitch_stands_beside_this_one_and_is_taken_over_at_once(desk, ripple, qtbot):
    made = desk(edits.set_size(ripple, repeats=9, rows=60))
    another = made.page.another
    assert not another.table.isVisible() and not another.take.isVisible()
    another.stitch.setFocus()
    another.stitch.setCurrentIndex(another.stitch.findData("sc"))
    another.stitch.activated.emit(another.stitch.currentIndex())
    typed(another.stitches, "14")
    typed(another.rows, "15.5")
    assert not made.wishes
    qtbot.waitUntil(another.take.isEnabled)
    said = another.table.accessibleDescription()
    assert "Gauge: dc 13 × 7.5, then sc 14 × 15.5" in said
    old = made.results
    QTest.mouseClick(another.take, LEFT)
    assert made.texts == ["Change to another gauge"]
    assert made.design.gauge.stitch == "sc" and made.design.gauge.rows == 15.5
    assert made.results.size.length_mm == pytest.approx(old.size.length_mm, rel=0.02)
    made.session.undo_stack.undo()
    assert made.design.gauge.stitch == "dc"


def test_a_gauge_that_no_fabric_has_says_the_nearest(desk, qtbot):
    another = desk().page.another
    typed(another.rows, "200")
    qtbot.waitUntil(another.trouble.isVisible)
    assert "at most 31.51" in another.trouble.text()
    assert not another.take.isEnabled()


def test_the_same_refusal_is_said_of_the_gauge_itself(desk):
    made = desk()
    typed(made.page.rows, "200")
    assert "at most 31.51" in made.refused[0]
    assert made.page.rows.text() == "7.5"


def test_a_page_that_is_thrown_away_stops_its_threads(theme, ripple):
    page = SwatchPage(theme)
    made = Desk(edits.set_swatch(ripple, repeats_mm=80.0), page)
    made.page.another.stitches.setValue(20)
    ended = []
    for part in (page.wave, page.another):
        thread = part._worker._thread
        thread.finished.connect(lambda: ended.append(True), Qt.ConnectionType.DirectConnection)
    shiboken6.delete(page)  # a thread that still ran would end the program here
    assert len(ended) == 2


def test_columns_are_set_flush_right():
    space = "\N{FIGURE SPACE}"
    assert in_columns([("9", "+1", "a"), ("10", "−12", "b")]) == [
        f"{space}9  {space}+1  a",
        "10  −12  b",
    ]
    assert in_columns([]) == []
