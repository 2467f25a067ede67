"""The page of the written pattern: to read, to search and to copy."""

from collections.abc import Callable
from functools import partial
from typing import Any, Final

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import (
    QColor,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QShortcut,
    QShowEvent,
    QTextCharFormat,
    QTextCursor,
    QTextDocument,
)
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QTextEdit,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.theme import UNIT, Theme
from app.views.edition_fields import EditionFields
from app.views.flow import Flow
from app.views.pages.own_words import OwnWordsEditor
from app.views.pages.page import Page
from app.views.pages.words_linked import WordLinks
from app.views.sizes_dialog import SizesDialog
from core.design.edits import set_values
from core.editions import OWN, Edition, pattern_of, words_of
from core.pipeline import Results
from core.words.linked import LinkedWords, link_words
from core.words.vocabulary import vocabulary

TextOf = Callable[[Results], str]

_COPY: Final = "Copy all"
_COPIED: Final = "Copied"
_SAID_MS: Final = 2000
_MOST_AT_ONCE: Final = 400  # rows that are written in no time
_SHIFT: Final = Qt.KeyboardModifier.ShiftModifier


class WordsPage(Page):
    """Shows the pattern in words; follows the design while it can be seen."""

    title = "Words"

    def __init__(self, theme: Theme, text_of: TextOf, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._text_of = text_of
        self._is_stale = False
        self._errors = 0
        self._worker: LatestWins | None = None
        self.fields = EditionFields(self)
        self.text = QPlainTextEdit(self)
        self.text.setReadOnly(True)
        self.text.setTabChangesFocus(True)
        self.text.setAccessibleName("Pattern in words")
        self.text.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.links = WordLinks(self.text, theme, self._linked)
        self.links.marks_changed.connect(self._mark)
        self.copy_button = QPushButton(_COPY, self)
        self.copy_button.setToolTip("Put the whole pattern on the clipboard")
        self.find_button = QPushButton("Find…", self)
        self.find_button.setToolTip("Find in the words (Ctrl+F)")
        self.sizes_button = QPushButton("Sizes…", self)
        self.sizes_button.setToolTip("Choose the sizes that the pattern is written for")
        self.edit_button = QPushButton("Edit rows…", self)
        self.edit_button.setToolTip("Put rows in your own words; they are read and counted")
        self._said = QTimer(self, singleShot=True, interval=_SAID_MS)
        self._build_find_bar()
        self.editor = OwnWordsEditor(theme, self)
        self.editor.hide()
        self.editor.wish.connect(self.wish)
        self.editor.closed.connect(self.close_editor)
        buttons = Flow(self, gap_px=UNIT)
        buttons.add(self.copy_button, self.find_button, self.sizes_button, self.edit_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.fields)
        column.addWidget(buttons)
        column.addWidget(self._find_bar)
        column.addWidget(self.text, 1)
        column.addWidget(self.editor, 1)
        self._reading = (buttons, self.text)
        self.edit_button.clicked.connect(lambda: self.edit_row(1))
        self.setFocusProxy(self.text)
        self._said.timeout.connect(lambda: self.copy_button.setText(_COPY))
        self.copy_button.clicked.connect(lambda: self.copy())
        self.find_button.clicked.connect(lambda: self.open_find())
        self.sizes_button.clicked.connect(lambda: self.open_sizes())
        self.fields.changed.connect(lambda: self._rewrite())
        self.fields.terms_chosen.connect(self._choose_terms)
        shortcut = QShortcut(QKeySequence(QKeySequence.StandardKey.Find), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(self.open_find)
        theme.changed.connect(self._mark)

    def _build_find_bar(self) -> None:
        self._find_bar = QWidget(self)
        self.find_line = QLineEdit(self._find_bar)
        self.find_line.setPlaceholderText("Find in the words")
        self.find_line.setAccessibleName("Find in the words")
        self.find_line.setClearButtonEnabled(True)
        self.find_line.installEventFilter(self)
        self.next_button = QPushButton("Next", self._find_bar)
        self.next_button.setToolTip("Next place (Enter; Shift+Enter goes back)")
        self._count = QLabel("", self._find_bar)
        self._count.setProperty("quiet", True)
        column = QVBoxLayout(self._find_bar)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT // 2)
        column.addWidget(self.find_line)
        row = QHBoxLayout()
        row.setSpacing(UNIT)
        row.addWidget(self.next_button)
        row.addWidget(self._count, 1)
        column.addLayout(row)
        self._find_bar.hide()
        self.find_line.textChanged.connect(self._on_wanted)
        self.next_button.clicked.connect(partial(self.find_next, backwards=False))

    # what is shown

    def show_results(self, results: Results) -> None:
        """Write these results, now or when the page is next seen."""
        super().show_results(results)
        self.fields.show_design(results.design)
        self._is_stale = True
        if self.isVisible():
            self._write()
            self.links.forget()
        if not self.editor.isHidden():
            self.editor.show_results(results)

    def show_errors(self, number: int) -> None:
        """Take note of how many errors are open: what is copied says that it is a draft."""
        self._errors = number

    def edit_row(self, row: int) -> None:
        """Let a row be put in the designer's own words."""
        if self._results is None:
            return
        self._find_bar.hide()
        for widget in self._reading:
            widget.hide()
        self.editor.show()
        self.setFocusProxy(self.editor)
        self.editor.show_results(self._results)
        self.editor.edit_row(row)

    def close_editor(self) -> None:
        """Show the whole pattern again."""
        self.editor.hide()
        for widget in self._reading:
            widget.show()
        self.setFocusProxy(self.text)
        self.edit_button.setFocus()
        self._write()

    @property
    def is_stale(self) -> bool:
        """Whether the words are those of an older design."""
        return self._is_stale

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the design."""
        super().showEvent(event)
        self._write()
        self.links.catch_up()

    def _linked(self) -> LinkedWords | None:
        """Return the words shown, linked to the stitches; another size speaks of others."""
        results = self._results
        if results is None or self._is_stale or isinstance(self.edition.size, int):
            return None
        if self._worker is not None and self._worker.is_busy:
            return None  # the words shown are still those of other rows
        design = results.design
        words = words_of(design, self.edition)
        return link_words(self.text.toPlainText(), design, results.rows, words)

    def _write(self) -> None:
        if self._results is None or not self._is_stale:
            return
        self._is_stale = False
        design = self._results.design
        if self.edition != OWN or design.size.rows > _MOST_AT_ONCE or design.own_words:
            self._write_elsewhere(self._results)
            return
        if self._worker is not None:
            self._worker.cancel()
        self._show_text(self._text_of(self._results))

    def _show_text(self, text: str) -> None:
        self.fields.show_writing(is_writing=False)
        if text == self.text.toPlainText():
            self.links.forget()  # the same words may speak of other rows
            return
        bar, cursor = self.text.verticalScrollBar(), self.text.textCursor()
        top, at = bar.value(), cursor.position()
        self.text.setPlainText(text)
        cursor = self.text.textCursor()
        cursor.setPosition(min(at, len(text)))
        self.text.setTextCursor(cursor)
        bar.setValue(min(top, bar.maximum()))
        self.links.forget()
        self._mark()

    # other editions

    @property
    def edition(self) -> Edition:
        """How the words are written."""
        return self.fields.edition

    def open_sizes(self) -> None:
        """Ask for the sizes that the pattern is written for."""
        if self._results is None:
            return
        dialog = SizesDialog(self._results, self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(lambda: self.ask("Change sizes", dialog.edit()))
        dialog.open()

    def close_worker(self) -> None:
        """Stop the threads that write other editions and read own words, if there are any."""
        self.editor.close_worker()
        if self._worker is not None:
            self._worker.close()
            self._worker = None

    def _choose_terms(self, terms: str) -> None:
        self.ask("Change terms", partial(set_values, terms=terms))

    def _rewrite(self) -> None:
        self._is_stale = True
        if self.isVisible():
            self._write()

    def _write_elsewhere(self, results: Results) -> None:
        """Write another edition off the screen's thread; the words change when it is done."""
        if self._worker is None:
            self._worker = LatestWins(_written, self)
            self._worker.finished.connect(self._show_text)
            self._worker.failed.connect(self._on_failed)
        self._worker.submit(self._request(results))
        self.fields.show_writing(is_writing=True)

    def _request(self, results: Results) -> tuple[Results, Edition, Callable[[], str] | None]:
        own = partial(self._text_of, results) if self.edition == OWN else None
        return results, self.edition, own

    def _on_failed(self, error: Exception) -> None:
        self._show_text(f"These words could not be written: {error}")

    def copy(self) -> None:
        """Put the whole text on the clipboard."""
        self._write()
        if self._worker is not None and self._worker.is_busy and self._results is not None:
            self._worker.cancel()  # what is copied is what was chosen
            self._show_text(_written(self._request(self._results), lambda: False))
        draft = ""
        if self._errors:
            say = vocabulary("US", self.edition.language).say
            draft = say("draft because", n=self._errors) + "\n\n"
        QGuiApplication.clipboard().setText(draft + self.text.toPlainText())
        self.copy_button.setText(_COPIED)
        self._said.start()

    # finding

    def open_find(self) -> None:
        """Ask for something to find, to begin with what is marked."""
        marked = self.text.textCursor().selectedText()
        if marked and "\u2029" not in marked:
            self.find_line.setText(marked)
        self._find_bar.show()
        self.find_line.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.find_line.selectAll()
        self._mark()

    def close_find(self) -> None:
        """Go back to reading."""
        self._find_bar.hide()
        self.text.setFocus()
        self._mark()

    def find_next(self, *, backwards: bool = False) -> bool:
        """Go to the next place, past the end to the first; return whether there is one."""
        wanted = self.find_line.text()
        flag = QTextDocument.FindFlag.FindBackward if backwards else QTextDocument.FindFlag(0)
        found = bool(wanted) and self.text.find(wanted, flag)
        if wanted and not found:
            end = QTextCursor.MoveOperation.End if backwards else QTextCursor.MoveOperation.Start
            here = self.text.textCursor()
            self.text.moveCursor(end)
            found = self.text.find(wanted, flag)
            if not found:
                self.text.setTextCursor(here)
        self._mark()
        return found

    def _on_wanted(self) -> None:
        cursor = self.text.textCursor()
        cursor.setPosition(cursor.selectionStart())
        self.text.setTextCursor(cursor)
        self.find_next()

    def _mark(self) -> None:
        """Mark every place and say which one is shown."""
        wanted = self.find_line.text() if not self._find_bar.isHidden() else ""
        places = self._places(wanted)
        found = [self._marked(place) for place in places]
        self.text.setExtraSelections([*self.links.marks(), *found])
        here = self.text.textCursor().selectionStart()
        starts = [place.selectionStart() for place in places]
        if not wanted:
            said = ""
        elif not places:
            said = "not in the words"
        elif here in starts:
            said = f"{starts.index(here) + 1} of {len(places)}"
        else:
            said = f"{len(places)} places"
        self._count.setText(said)

    def _places(self, wanted: str) -> list[QTextCursor]:
        places: list[QTextCursor] = []
        if wanted:
            place = self.text.document().find(wanted, 0)
            while not place.isNull():
                places.append(place)
                place = self.text.document().find(wanted, place)
        return places

    def _marked(self, place: QTextCursor) -> QTextEdit.ExtraSelection:
        mark, tones = QTextEdit.ExtraSelection(), self._theme.tones
        style = QTextCharFormat()
        style.setFontUnderline(True)
        style.setUnderlineColor(QColor(tones.accent))
        style.setBackground(QColor(tones.hairline))
        mark.cursor, mark.format = place, style
        return mark

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Find with Enter, go back with Shift+Enter, close with Escape."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.find_next(backwards=bool(event.modifiers() & _SHIFT))
                return True
            if event.key() == Qt.Key.Key_Escape:
                self.close_find()
                return True
        return super().eventFilter(watched, event)


def _written(request: Any, should_stop: ShouldStop) -> str:
    results, edition, own = request
    if own is not None:
        return str(own())
    return pattern_of(results, edition, should_stop=should_stop).plain
