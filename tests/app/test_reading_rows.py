"""Written rows in the window: read while typed, made a design; rows in the designer's own words."""

# ruff: noqa: E501 - wordings stand as they are typed

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QWidget
from some import some

from app.reading_dialog import ReadingDialog
from app.views.written_text import WrittenText
from core.design.edits import set_wave
from core.reading.own import set_own_words
from core.reading.reading import read_text
from core.rows.starters import starter
from core.rows.waves import FAMILIES

TEXT = (
    "US terms. Ch 39.\n"
    "Row 1: dc in 4th ch from hook, *dc in next 3 ch, [dc2tog] twice, dc in next 3 ch, 2 dc in each of "
    "next 2 ch; rep from * to last 11 ch, dc in next 3 ch, [dc2tog] twice, dc in next 3 ch, 2 dc in "
    "last ch. (36 sts)\n"
    "Row 2: Ch 3 (counts as dc), turn. Dc in same st, *dc in next 3 sts, [dc2tog] twice, dc in next 3 "
    "sts, 2 dc in each of next 2 sts; rep from * to last 11 sts, dc in next 3 sts, [dc2tog] twice, dc in "
    "next 3 sts, 2 dc in top of turning ch. (36 sts)\n"
    "Rows 3-40: Rep row 2."
)


@pytest.fixture
def dialog(ripple, theme, qtbot):
    dialog = ReadingDialog(ripple, theme)
    dialog.steps = []
    dialog.made.connect(dialog.steps.append)
    qtbot.addWidget(dialog, before_close_func=lambda d: d.reject())
    dialog.show()
    return dialog


@pytest.fixture
def window(open_window, theme):
    window = open_window(theme=theme, size=None, settled=False)
    window.documents.may_leave = lambda: True
    return window


def typed(dialog, text, qtbot):
    dialog.text.setPlainText(text)
    qtbot.waitUntil(lambda: not dialog.is_reading, timeout=10_000)


def test_rows_are_read_and_counted_while_they_are_typed(dialog, qtbot):
    typed(dialog, TEXT, qtbot)
    cells = [[dialog.rows.item(r, c).text() for c in range(5)] for r in range(3)]
    assert cells == [
        ["Row 1", "36", "36", "36", "✓"],
        ["Row 2", "36", "36", "36", "✓"],
        ["Rows 3-40", "", "", "", "as row 2"],
    ]
    assert "Chain 39" in dialog.chain.text()
    assert "US terms" in dialog.reason.text()
    assert dialog.make_button.isEnabled()
    assert len(dialog.plot._line)


def test_made_a_design_it_keeps_gauge_and_yarns(dialog, ripple, qtbot):
    typed(dialog, TEXT, qtbot)
    dialog.make_button.click()
    (new,) = dialog.steps
    assert (new.size.repeats, new.size.rows) == (2, 40)
    assert (new.gauge, new.yarns, new.stripes) == (ripple.gauge, ripple.yarns, ripple.stripes)
    assert new.wave.repeat == ripple.wave.repeat


def test_words_that_cannot_be_read_are_underlined_and_said(dialog, qtbot):
    typed(dialog, TEXT.replace("2 dc in last ch", "popcorn in last ch"), qtbot)
    (mark, *_) = dialog.text.extraSelections()
    assert mark.cursor.selectedText() == "popcorn in last ch"
    assert not dialog.make_button.isEnabled()
    dialog.next_button.click()
    assert "“popcorn in last ch” can't be read" in dialog.said.text()
    assert dialog.text.toPlainText().count("popcorn") == 1


def test_marks_stand_right_behind_signs_outside_the_basic_plane(dialog, qtbot):
    typed(dialog, "🌊🌊 " + TEXT.replace("2 dc in last ch", "popcorn in last ch"), qtbot)
    (mark, *_) = dialog.text.extraSelections()
    assert mark.cursor.selectedText() == "popcorn in last ch"


def test_the_terms_can_be_chosen(dialog, qtbot):
    typed(dialog, TEXT.removeprefix("US terms. "), qtbot)
    assert "tall as a US dc" in dialog.reason.text()
    dialog.terms.setFocus()
    QTest.keyClick(dialog.terms, Qt.Key.Key_End)
    dialog.terms.activated.emit(2)
    qtbot.waitUntil(lambda: not dialog.is_reading, timeout=10_000)
    assert dialog.reading.terms == "UK"
    assert "as you chose" in dialog.reason.text()


def test_an_empty_box_asks_for_nothing(dialog, qtbot):
    typed(dialog, TEXT, qtbot)
    typed(dialog, "", qtbot)
    assert dialog.rows.rowCount() == 0
    assert not dialog.make_button.isEnabled()


def test_the_example_in_the_empty_box_is_sound(dialog):
    example = dialog.text.placeholderText().split("\n\n", 1)[1]
    assert read_text(example).is_sound


def test_everything_has_a_name_and_can_be_reached_by_keys(dialog):
    kinds = QAbstractButton | QComboBox | WrittenText
    parts = [part for part in dialog.findChildren(QWidget) if isinstance(part, kinds)]
    for widget in some(part for part in parts if part.isVisible()):
        assert widget.accessibleName() or widget.text()
        assert widget.focusPolicy() & Qt.FocusPolicy.TabFocus


def test_new_from_written_rows_is_a_new_design_without_a_file(window, qtbot, tmp_path):
    path = tmp_path / "open-one.dipslope"
    window.session.mark_saved(path)
    window.choosers.read_rows()
    (dialog,) = window.findChildren(ReadingDialog)
    typed(dialog, TEXT, qtbot)
    dialog.make_button.click()
    assert window.session.design.size.rows == 40
    assert window.session.path is None, "Save would write over the design that was open"
    assert not window.session.is_saved  # typed rows aren't left unasked


def test_rows_stay_in_the_sheet_if_the_open_design_is_not_to_be_left(window, qtbot, monkeypatch):
    before = window.session.design
    window.choosers.read_rows()
    (dialog,) = window.findChildren(ReadingDialog)
    typed(dialog, TEXT, qtbot)
    with monkeypatch.context() as refusing:
        refusing.setattr(window.documents, "may_leave", lambda: False)
        dialog.make_button.click()
    assert window.session.design is before
    assert dialog.isVisible() and dialog.text.toPlainText() == TEXT


# --- own words on the page ------------------------------------------------------------------------


def own(window, qtbot, change, row=2):
    window.show_page(window.pages.index(window.words))
    window.words.edit_row(row)
    editor = window.words.editor
    qtbot.waitUntil(lambda: editor.line is not None and not editor.is_reading, timeout=10_000)
    editor.text.setPlainText(change(editor.text.toPlainText()))
    qtbot.waitUntil(lambda: not editor.is_reading, timeout=10_000)
    return editor


def test_a_row_in_own_words_is_kept_and_counted(window, qtbot):
    editor = own(window, qtbot, lambda text: text.replace("in each of next 3 sts", "in next 3 sts"))
    (words,) = window.session.design.own_words
    assert (words.row, words.terms) == (2, "UK")
    assert editor.counts.text() == "Uses 144 of 144, makes 144."
    assert editor.state.isHidden()
    assert "The program's words" in editor.programs.text()
    window.words.close_editor()
    shown = window.words.text
    qtbot.waitUntil(lambda: words.text in shown.toPlainText(), timeout=10_000)


def test_typing_on_in_a_row_is_one_step(window, qtbot):
    editor = own(window, qtbot, lambda text: text + " A")
    editor.text.setPlainText(editor.text.toPlainText() + "B")
    qtbot.waitUntil(lambda: not editor.is_reading, timeout=10_000)
    window.session.undo_stack.undo()
    assert window.session.design.own_words == ()


def test_own_words_that_break_are_marked_and_go_to_the_checks(window, qtbot):
    editor = own(
        window, qtbot, lambda text: text.replace("1 tr in each of next 3", "1 tr in next 4", 1)
    )
    assert editor.text.extraSelections()
    assert "stitches run out" in editor.state.text()
    assert not editor.take_button.isEnabled()
    qtbot.waitUntil(lambda: not window.tech_edit.is_busy, timeout=10_000)
    assert any(found.where == "words 2" for found in window.checks.findings)
    window.words.close_editor()
    window.show_place("words 2")
    assert editor.isVisible()


def test_other_rows_in_own_words_can_be_taken(window, qtbot):
    def sharper(text):
        return text.replace("1 tr in each of next 3 sts, 2 tr in each of next 2 sts; repeat",
                            "1 tr in each of next 2 sts, 3 tr in next st, 1 tr in each of next 2 sts; "
                            "repeat")  # fmt: skip

    before = window.session.design.wave
    editor = own(window, qtbot, sharper)
    assert "Words and chart differ in row 2" in editor.state.text()
    assert editor.take_button.isEnabled()
    steps = window.session.undo_stack.count()
    editor.take_button.click()
    qtbot.waitUntil(lambda: not editor.is_reading, timeout=10_000)
    assert window.session.design.wave != before
    assert window.session.undo_stack.count() == steps + 1
    assert editor.state.isHidden()


def test_back_to_the_programs_words(window, qtbot):
    editor = own(window, qtbot, lambda text: text + " Well done.")
    editor.drop_button.click()
    qtbot.waitUntil(lambda: not editor.is_reading, timeout=10_000)
    assert window.session.design.own_words == ()
    assert "Well done" not in editor.text.toPlainText()


def test_words_for_another_wave_are_kept_and_said_to_be(window, qtbot, ripple):
    editor = own(window, qtbot, lambda text: text + " Well done.")
    session = window.session
    session.change("Other", lambda design: set_own_words(design, 1, "1 tr in 4th ch from hook."))
    qtbot.waitUntil(lambda: not editor.is_reading, timeout=10_000)

    session.change("Wave", lambda design: set_wave(design, starter(FAMILIES[1]).wave))
    qtbot.waitUntil(lambda: not editor.is_reading, timeout=10_000)
    assert "written for another wave" in editor.state.text()
    assert "Well done" in editor.text.toPlainText()
    assert "The program's words" in editor.programs.text()
