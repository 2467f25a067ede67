"""Rescue, edge doctor and explanations in the window: by keys and mouse, following the design."""

import re
from functools import partial
from operator import attrgetter

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QSpinBox

from app.details_dialog import DetailsDialog
from app.doctor_dialog import DoctorDialog
from app.exporting import Choices, chart_svg, written_pattern
from app.headless import report_object
from app.know_dialog import KnowDialog
from app.rescue_dialog import RescueDialog
from app.views.knowing import PAGE_FIGURES, KnowPopover, given_text, key_of, standing_text
from app.views.sentence import Figure
from core.checks.cautions import ENDS, INFANT
from core.design import edits
from core.design.files import read_design
from core.doctor.mistakes import mistakes_of
from core.explain.registry import EXPLAINED, explain
from core.pipeline import Pipeline

Key, Mods, Left = Qt.Key, Qt.KeyboardModifier, Qt.MouseButton.LeftButton


KINDS = {"rescue": RescueDialog, "doctor": DoctorDialog}


@pytest.fixture
def window(open_window):
    return open_window()


def opened(window, name, keys):
    QTest.keyClick(window, *keys)
    return window.opened.of(KINDS[name])


@pytest.fixture
def rescue(window):
    return opened(window, "rescue", (Key.Key_F1, Mods.ControlModifier))


@pytest.fixture
def doctor(window, qtbot):
    doctor = opened(window, "doctor", (Key.Key_F1, Mods.ControlModifier | Mods.ShiftModifier))
    qtbot.waitUntil(lambda: len(doctor._drawn) == 11, timeout=30_000)
    return doctor


# --- first-row rescue ----------------------------------------------------------------------


def test_a_chain_typed_is_answered_with_what_to_do_and_the_widths_that_fit(rescue):
    assert rescue.chains.value() == 147 and "are right" in rescue.head.text()
    rescue.chains.setFocus()
    rescue.chains.selectAll()
    QTest.keyClicks(rescue.chains, "150")
    assert rescue.head.text() == "3 chains too many: 150 instead of 147."
    assert "unpick 3 chains" in rescue.lines.text()
    table = rescue.fits
    cells = [[table.item(r, c).text() for c in range(5)] for r in range(table.rowCount())]
    assert ["12", "159", "add 9", "156", "108 cm"] in cells
    assert ["11 (designed, nearest)", "147", "unpick 3", "144", "100 cm"] in cells


def test_every_situation_is_reached_by_arrow_keys(rescue):
    rescue.list.setFocus()
    seen = []
    for _ in range(rescue.list.count()):
        seen.append(rescue.head.text())
        QTest.keyClick(rescue.list, Key.Key_Down)
    assert len(set(seen)) == 5 and all(seen)


def test_markers_are_asked_for_until_the_repeat_is_found(rescue):
    rescue.list.setCurrentRow(2)
    rescue.markers.setFocus()
    QTest.keyClicks(rescue.markers, "6: 74, marker 8: 99, 7: 87")
    assert rescue.head.text() == "It is in repeat 7: 1 too many."
    QTest.keyClicks(rescue.markers, ", oops")
    assert "can't be read" in rescue.head.text() and "marker 4: 142" in rescue.head.text()


def test_what_was_counted_stays_while_the_answer_follows_the_design(window, rescue):
    rescue.chains.setValue(160)
    window.session.change("Wider", partial(edits.set_size, repeats=12))
    assert rescue.head.text() == "1 chain too many: 160 instead of 159."


def test_left_over_chains_are_explained_with_and_without_a_count(rescue):
    rescue.list.setCurrentRow(1)
    rescue.left_over.setValue(12)
    rescue.is_counted.click()
    rescue.row_stitches.setValue(132)
    assert "A whole repeat was left out." in rescue.lines.text()


def test_a_design_that_does_not_fit_is_sent_to_the_checks(window, rescue):
    row = window.session.design.wave.row
    broken = edits.set_wave(window.session.design, edits.replace(window.session.design.wave,
        repeat=row.repeat[:-1]))  # fmt: skip
    window.session.change("Break", lambda design: broken)
    assert "page Checks" in rescue.head.text()


# --- edge doctor ---------------------------------------------------------------------------


def test_every_mistake_has_its_drawing_and_words(window, doctor):
    assert doctor.list.count() == len(mistakes_of(window.session.design)) == 11
    doctor.list.setFocus()
    seen = set()
    for _ in range(doctor.list.count()):
        seen.add((doctor.list.key_of(doctor.list.currentItem()), doctor.cause.text()))
        QTest.keyClick(doctor.list, Key.Key_Right)
        if doctor.list.currentRow() < doctor.list.count() - 1:
            continue
    assert len(doctor._drawn) == 11 and len(seen) >= 2


def test_drawings_differ_from_the_design(doctor):
    doctor.choose("foot")
    right, wrong = doctor.right.grab().toImage(), doctor.wrong.grab().toImage()
    assert right != wrong


def test_the_likely_stitches_are_ringed_on_the_chart_until_it_closes(window, doctor):
    doctor.choose("foot")
    QTest.mouseClick(doctor.marks_button, Left)
    rows = window.live.results.rows
    for row, stitch in window.chart._marks:
        start = rows.makes(row) - 1 if rows.runs_left(row) else 0
        assert row >= 2 and stitch == start
    ringed = window.chart.grab().toImage()
    doctor.reject()
    assert window.chart._marks == ()
    assert window.chart.grab().toImage() != ringed


def test_counts_typed_rank_the_mistakes_and_enter_takes_one(window, doctor):
    doctor.counts.setFocus()
    QTest.keyClicks(doctor.counts, "row 4: 142, row 6: 140")
    assert "top of the turning chain missed, from row 3" in doctor.ranked.item(0).text()
    doctor.choose("foot")
    doctor.ranked.setFocus()
    doctor.ranked.setCurrentRow(0)
    QTest.keyClick(doctor.ranked, Key.Key_Return)
    assert doctor.list.key_of(doctor.list.currentItem()) == "top missed"
    doctor.show_on_chart()
    assert window.chart._marks[0][0] == 3  # from the row that the counts say it began in


def test_counts_that_cannot_be_read_say_how(doctor):
    QTest.keyClicks(doctor.counts, "many")
    assert "can't be read" in doctor.said.text() and not doctor.ranked.isVisible()


def test_another_wave_is_drawn_anew_and_another_colour_is_not(window, doctor, qtbot):
    before = dict(doctor._drawn)
    window.session.change("Dye", partial(edits.set_yarn, number=0, colour="#ff0000"))
    doctor._redo()
    assert doctor._drawn == before and doctor.list.colours[0] == "#ff0000"
    window.session.change("Left", partial(edits.set_values, hand="left"))
    doctor._redo()
    assert doctor._drawn == {}
    qtbot.waitUntil(lambda: len(doctor._drawn) == 11, timeout=30_000)
    assert doctor._drawn.keys() == before.keys()


def test_the_helpers_close_with_the_window(window, doctor):
    window.session.undo_stack.setClean()
    window.close()
    assert window.opened._all == []


# --- how do we know ------------------------------------------------------------------------


def test_every_figure_of_the_sentence_and_the_pages_is_explained(window):
    figures = window.sentence.findChildren(Figure)
    assert len(figures) == 10
    for figure in figures:
        assert key_of(figure) in EXPLAINED
    for page, names in PAGE_FIGURES.items():
        for name, key in names.items():
            assert key in EXPLAINED
            assert key_of(attrgetter(f"{page}.{name}")(window)) == key


SAID = {  # how the sentence writes what an explanation says with more digits
    "width": r"(\d+) cm",
    "length": r"(\d+) cm",
    "lean": r"(\d+)°",
    "chain": r"(\d+)",
    "stitches": r"(\d+) stitches",
    "rows": r"(\d+) rows",
    "colours": r"(\d+) colours",
}


@pytest.mark.parametrize("key", SAID)
def test_the_explanation_says_the_figure_that_the_sentence_says(window, key):
    figure = next(f for f in window.sentence.findChildren(Figure) if key_of(f) == key)
    said = float(re.fullmatch(SAID[key], figure.text())[1])
    amount = explain(key, window.live.results).result.amount
    assert round(amount / 10 if key in ("width", "length") else amount) == said


def test_shift_f1_explains_the_figure_with_the_focus(window, qtbot):
    window.activateWindow()
    window.sentence.width_figure.setFocus()
    QTest.keyClick(window, Key.Key_F1, Mods.ShiftModifier)
    (popover,) = window.findChildren(KnowPopover)
    texts = [label.text() for label in popover.findChildren(QLabel)]
    results = window.live.results
    found = explain("width", results)
    assert f"Finished width: {given_text(found.result, 'cm')}" in texts
    assert found.how in texts and standing_text(found) in texts
    for one in found.given:
        assert one.name in texts and given_text(one, "cm") in texts
    QTest.mouseClick(popover.more, Left)
    assert window.opened.of(KnowDialog).key == "width"


def test_escape_closes_the_explanation(window):
    window.helping.know(window.sentence.lean)
    (popover,) = window.findChildren(KnowPopover)
    QTest.keyClick(popover.more, Key.Key_Escape)
    assert not popover.isVisible()
    assert window.opened._all == []


def test_without_a_figure_all_are_listed_and_follow_the_design(window):
    window.chart.setFocus()
    window.helping.know(window.chart)
    dialog = window.opened.of(KnowDialog)
    dialog.choose("rows")
    window.session.change("Longer", partial(edits.set_size, rows=100))
    assert dialog.key == "rows" and dialog.list.currentItem().text() == "Rows: 100"


def test_a_pages_figure_is_explained_from_its_context_menu_for_the_chosen_yarn(window):
    window.show_page(1)
    window.yarn.choose(2)
    (action,) = window.yarn.together.actions()
    action.trigger()
    popover = window.findChildren(KnowPopover)[-1]
    name = window.session.design.yarns[2].name
    assert popover.accessibleName().startswith(f"Together, {name}: ")
    assert window.yarn.together.text() in popover.accessibleName()
    popover.close()


# --- cautions ------------------------------------------------------------------------------


def test_what_it_is_for_is_chosen_with_title_and_notes(window):
    size = window.live.results.size
    dialog = DetailsDialog(window.session.design, window, size)
    use = dialog.findChild(QComboBox)
    assert use.currentText() == "As its size has it: a throw"
    use.setCurrentIndex(use.findData("baby"))
    window.session.change("Change title and notes", dialog.edit())
    assert window.session.design.use == "baby"
    dialog.deleteLater()
    assert "to know" in window._summary.text()
    messages = [finding.message for finding in window.checks._findings]
    assert INFANT in messages and ENDS in messages


def test_cautions_are_in_report_pattern_and_chart(demo_path):
    design = edits.set_values(read_design(demo_path), use="baby")
    results = Pipeline().settled_results(design)
    told = [finding["message"] for finding in report_object(results)["findings"]]
    assert INFANT in told
    assert INFANT in written_pattern(results).plain
    assert b"follow your local safe-sleep guidance" in chart_svg(results, Choices())
    plain = Pipeline().settled_results(read_design(demo_path))
    assert b"safe-sleep" not in chart_svg(plain, Choices())
    assert "safe-sleep" not in written_pattern(plain).plain


# --- for every hand ------------------------------------------------------------------------


def test_every_control_has_a_name_and_a_tip(window, rescue, doctor):
    window.helping.know_all()
    for dialog in (rescue, doctor, window.opened.of(KnowDialog)):
        controls = [
            control
            for kind in (QAbstractButton, QSpinBox, QLineEdit)
            for control in dialog.findChildren(kind)
            if not control.objectName().startswith("qt_") and control.parent().isVisible()
        ]
        assert controls
        for control in controls:
            name = control.accessibleName() or getattr(control, "text", lambda: "")()
            assert name or control.placeholderText(), control
            assert control.toolTip(), name
