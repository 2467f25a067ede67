"""The page of the written pattern: read, searched and copied."""

from functools import partial

import pytest
from desk import text_of
from PySide6.QtCore import Qt
from PySide6.QtGui import (
    QGuiApplication,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
)

from app.views.pages.words import WordsPage
from core.design import edits
from core.pipeline import Pipeline

Key, Mods = Qt.Key, Qt.KeyboardModifier
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def words(desk, ripple):
    return desk(WordsPage, edits.set_size(ripple, rows=200), text_of)


def test_the_words_follow_the_design_and_keep_their_place(words):
    page = words.page
    QApplication.processEvents()
    bar = page.text.verticalScrollBar()
    bar.setValue(60)
    words.session.change("Retitle", partial(edits.set_values, title="Another"))
    assert page.text.toPlainText().startswith("Another\n")
    assert bar.value() == 60 and page.text.isReadOnly()


def test_words_that_nobody_sees_are_not_written(theme, ripple, qtbot):
    written = []
    page = WordsPage(theme, lambda results: written.append(results) or "words")
    qtbot.addWidget(page)
    results = Pipeline().results(ripple)
    page.show_results(results)
    assert page.is_stale and not written
    page.show()
    assert not page.is_stale and written == [results]
    page.hide()
    page.show_results(Pipeline().results(ripple))
    page.show_results(results)
    assert page.is_stale and len(written) == 1
    page.show()
    page.hide()
    page.show()
    assert len(written) == 2


def test_all_the_words_can_be_copied(words):
    QTest.keyClick(words.page.copy_button, Key.Key_Space)
    assert QGuiApplication.clipboard().text() == text_of(words.results)
    assert words.page.copy_button.text() == "Copied"


def test_find_goes_from_place_to_place_and_round(words, qtbot):
    page = words.page
    qtbot.waitUntil(page.isActiveWindow)
    page.text.setFocus()
    QTest.keyClick(page.text, Key.Key_F, Mods.ControlModifier)
    assert page.find_line.hasFocus()
    QTest.keyClicks(page.find_line, "row 19")
    assert page._count.text() == "1 of 11"  # 19 and 190 to 199
    QTest.keyClick(page.find_line, Key.Key_Return)
    assert page._count.text() == "2 of 11"
    assert page.text.textCursor().block().text() == "Row 190: work it"
    for _ in range(2):
        QTest.keyClick(page.find_line, Key.Key_Return, Mods.ShiftModifier)
    assert page._count.text() == "11 of 11"
    QTest.mouseClick(page.next_button, LEFT)
    assert page._count.text() == "1 of 11"
    QTest.keyClicks(page.find_line, "x")
    assert page._count.text() == "not in the words"
    QTest.keyClick(page.find_line, Key.Key_Escape)
    assert page.text.hasFocus() and not page.text.extraSelections()
