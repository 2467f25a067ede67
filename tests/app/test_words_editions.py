"""Language, form and sizes of the words: chosen on the page and in the export sheet."""

import re
from functools import partial
from threading import Event

import pytest
from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLineEdit, QSpinBox, QWidget
from some import some

from app.depicting import written_pattern
from app.export_dialog import ExportDialog
from app.exporting import rows_txt
from app.painting.choices import Choices
from app.session import Session
from app.views.edition_fields import EditionFields
from app.views.pages.words import WordsPage
from app.views.sizes_dialog import SizesDialog
from core.design import edits
from core.design.document import MAX_SIZES, NamedSize
from core.editions import Edition, pattern_of
from core.pipeline import Pipeline

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton
SIZES = (NamedSize(name="lap", repeats=8, rows=60), NamedSize(name="throw", repeats=12, rows=90))


class Desk(QObject):
    """The page with a session behind it, as the window has it."""

    def __init__(self, page, design):
        super().__init__()
        self.page, self.session, self.pipeline = page, Session(design), Pipeline()
        self.session.design_changed.connect(self.show)
        page.wish.connect(lambda text, edit, gesture: self.session.change(text, edit, gesture))
        self.show(design)

    def show(self, design):
        self.page.show_results(self.pipeline.results(design))

    @property
    def text(self):
        return self.page.text.toPlainText()


@pytest.fixture
def desk(theme, ripple, qtbot):
    page = WordsPage(theme, lambda results: written_pattern(results).plain)
    qtbot.addWidget(page)
    page.resize(300, 640)
    desk = Desk(page, edits.set_values(ripple, sizes=SIZES))
    page.show()
    page.activateWindow()
    yield desk
    page.close_worker()


def choose(field: QComboBox, words: str) -> None:
    """Choose by the keyboard, as a person without a mouse does."""
    field.setFocus(Qt.FocusReason.TabFocusReason)
    index = field.findText(words)
    assert index >= 0, [field.itemText(n) for n in range(field.count())]
    while field.currentIndex() != index:
        before = field.currentIndex()
        QTest.keyClick(field, Key.Key_Down if before < index else Key.Key_Up)
        assert field.currentIndex() != before


def press(fields: EditionFields, words: str) -> None:
    """Press a language's button by the keyboard."""
    button = next(b for b in fields.languages.values() if b.text() == words)
    button.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(button, Key.Key_Space)


def test_german_words_come_and_go_again(desk, qtbot):
    fields = desk.page.fields
    english = desk.text
    press(fields, "Deutsch")
    qtbot.waitUntil(lambda: "Maschenprobe" in desk.text, timeout=5000)
    assert desk.session.design.terms == "US" and not desk.session.undo_stack.count()
    press(fields, "US")
    qtbot.waitUntil(lambda: desk.text == english, timeout=5000)


def test_terms_are_the_designs_and_undo(desk):
    press(desk.page.fields, "UK")
    assert desk.session.design.terms == "UK" and "Written in UK terms" in desk.text
    desk.session.undo_stack.undo()
    assert "Written in US terms" in desk.text
    checked = [key for key, button in desk.page.fields.languages.items() if button.isChecked()]
    assert checked == ["US"]


def test_words_are_spelled_out(desk, qtbot):
    choose(desk.page.fields.form, "Spelled out")
    qtbot.waitUntil(lambda: "double crochet in each of the next 3 stitches" in desk.text)
    assert "*" not in desk.text


def test_all_sizes_stand_in_one_text_and_each_by_itself(desk, qtbot):
    fields = desk.page.fields
    choose(fields.sizes, "All sizes")
    qtbot.waitUntil(lambda: "ch 63 (111, 159), a multiple of 12" in desk.text, timeout=5000)
    choose(fields.sizes, "throw")
    qtbot.waitUntil(lambda: "ch 159 (a multiple" in desk.text, timeout=5000)
    desk.session.change("Drop sizes", partial(edits.set_values, sizes=()))
    assert desk.page.edition == Edition() and "ch 63 (a multiple" in desk.text
    assert not fields.sizes.isEnabled()


def test_the_way_back_to_this_size_and_to_short_words_is_open(desk, qtbot):
    fields = desk.page.fields
    choose(fields.sizes, "All sizes")
    choose(fields.sizes, "This size")
    assert desk.page.edition == Edition()
    choose(fields.form, fields.form.itemText(1))
    assert desk.page.edition == Edition(spelled=True)
    choose(fields.form, fields.form.itemText(0))
    assert desk.page.edition == Edition()


def test_another_edition_follows_the_design(desk, qtbot):
    choose(desk.page.fields.sizes, "All sizes")
    qtbot.waitUntil(lambda: "ch 63 (111, 159)" in desk.text, timeout=5000)
    desk.session.change("Widen", partial(edits.set_size, repeats=6))
    qtbot.waitUntil(lambda: "ch 87 (111, 159)" in desk.text, timeout=5000)


def test_words_for_a_design_that_has_gone_do_not_come_late(desk, qtbot, monkeypatch):
    """The newest choice wins: what was asked for before is dropped, however late it is written."""
    begun, go_on, written = Event(), Event(), Event()

    def slow(request, should_stop):
        begun.set()
        assert go_on.wait(20)
        written.set()
        return "words that come late"

    monkeypatch.setattr("app.views.pages.words._written", slow)
    fields = desk.page.fields
    choose(fields.sizes, "All sizes")
    qtbot.waitUntil(begun.is_set, timeout=5000)
    choose(fields.sizes, "This size")
    newest = pattern_of(desk.page._results).plain
    qtbot.waitUntil(lambda: desk.page.edition == Edition(), timeout=5000)
    assert desk.text == newest
    go_on.set()
    qtbot.waitUntil(written.is_set, timeout=5000)
    desk.page.close_worker()  # waits for its thread
    QApplication.processEvents()
    assert desk.text == newest


def test_what_is_copied_is_what_was_chosen_even_at_once(desk):
    choose(desk.page.fields.sizes, "All sizes")
    QTest.mouseClick(desk.page.copy_button, LEFT)
    copied = QGuiApplication.clipboard().text()
    assert "ch 63 (111, 159), a multiple of 12" in copied and copied == desk.text


# The dialog for sizes --------------------------------------------------------------------------


@pytest.fixture
def dialog(desk, qtbot):
    desk.page.open_sizes()
    dialog = desk.page.findChild(SizesDialog)
    qtbot.waitExposed(dialog)
    return dialog


def test_sizes_are_shown_with_what_they_measure(dialog, desk):
    assert [line.name.text() for line in dialog.lines] == ["lap", "throw"]
    width, length = re.fullmatch(
        r"([\d.]+) cm × ([\d.]+) cm", dialog.lines[0].measures.text()
    ).groups()
    size = desk.page._results.size
    assert float(width) > size.width_mm / 10 and float(length) > size.length_mm / 10


def test_usual_sizes_are_put_in_and_are_one_step(dialog, desk):
    QTest.mouseClick(dialog.usual, LEFT)
    names = [line.name.text() for line in dialog.lines]
    assert names == ["lap", "throw", "pram", "single bed", "double bed"]
    QTest.mouseClick(dialog.lines[0].remove, LEFT)
    QTest.keyClick(dialog.lines[0].rows, Key.Key_Up)
    dialog.accept()
    sizes = desk.session.design.sizes
    assert [size.name for size in sizes] == ["throw", "pram", "single bed", "double bed"]
    assert sizes[0].rows == 91
    assert desk.session.undo_stack.count() == 1
    desk.session.undo_stack.undo()
    assert desk.session.design.sizes == SIZES


def test_sizes_that_are_called_off_change_nothing(dialog, desk):
    QTest.mouseClick(dialog.add, LEFT)
    dialog.reject()
    assert desk.session.design.sizes == SIZES


def test_a_size_too_large_is_said_and_kept_open(dialog, desk):
    dialog.lines[0].repeats.setValue(1000)
    dialog.accept()
    assert dialog.isVisible() and "more than the program draws" in dialog._trouble.text()
    assert desk.session.design.sizes == SIZES
    dialog.reject()


def test_there_is_room_for_only_so_many(dialog):
    while dialog.add.isEnabled():
        QTest.mouseClick(dialog.add, LEFT)
    assert len(dialog.lines) == MAX_SIZES
    dialog.reject()


def test_everything_in_the_dialog_has_a_name_and_a_tip(dialog):
    parts = [
        part
        for kind in (QAbstractButton, QLineEdit, QSpinBox)
        for part in dialog.findChildren(kind)
    ]
    shown = [part for part in parts if part.isVisible()]
    for child in some(p for p in shown if p.focusPolicy() & Qt.FocusPolicy.TabFocus):
        assert child.accessibleName() or child.text()
    for line in some(dialog.lines):
        assert all(part.toolTip() for part in line.parts if part is not line.measures)
    dialog.reject()


# In exports ------------------------------------------------------------------------------------


def test_the_export_sheet_asks_for_language_form_and_size(ripple, tmp_path, qtbot):
    results = Pipeline().settled_results(edits.set_values(ripple, sizes=SIZES))
    parent = QWidget()
    qtbot.addWidget(parent)
    dialog = ExportDialog(results, tmp_path, "ripple", parent)
    assert dialog.choices().edition == Edition()
    press(dialog.fields.words, "Deutsch")
    choose(dialog.fields.words.form, "Spelled out")
    choose(dialog.fields.words.sizes, "All sizes")
    edition = dialog.choices().edition
    dialog.reject()
    assert edition == Edition(language="de", spelled=True, size="all")
    text = rows_txt(results, Choices(edition=edition)).decode()
    assert "63, oder 111" in text or "63 oder 111 oder 159 Luftmaschen anschlagen" in text


def test_fields_say_nothing_while_a_design_is_shown(ripple, qtbot):
    fields = EditionFields()
    qtbot.addWidget(fields)
    said = []
    fields.changed.connect(said.append)
    fields.terms_chosen.connect(said.append)
    for design in (ripple, edits.set_values(ripple, sizes=SIZES, terms="UK"), ripple):
        fields.show_design(design)
    assert not said
