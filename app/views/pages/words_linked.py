"""The written pattern and its stitches, linked both ways.

A pointer on a phrase points at the stitches that it makes; a stitch that is pointed at or selected
elsewhere underlines its phrase here, and one that is selected is brought into view.
"""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QEvent, QObject, QPointF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QTextCharFormat, QTextCursor
from PySide6.QtWidgets import QApplication, QPlainTextEdit, QTextEdit

from app.theme import Theme
from core.rows.selection import Selection
from core.words.linked import LinkedWords

Places = tuple[tuple[int, int], ...]
_MOST_MARKS: Final = 300


class WordLinks(QObject):
    """Marks words of a text box, and says which stitches the pointer speaks of."""

    pointed = Signal(object)  # Selection or None
    chosen = Signal(object)  # Selection or None
    marks_changed = Signal()

    def __init__(
        self, text: QPlainTextEdit, theme: Theme, link: Callable[[], LinkedWords | None]
    ) -> None:
        super().__init__(text)
        self._text, self._theme, self._link = text, theme, link
        self._linked: LinkedWords | None = None
        self._of: str | None = None
        self._at: tuple[int, int] | None = None  # the words under the pointer
        self._lit: Places = ()
        self._selected: Places = ()
        self._seen: tuple[Selection | None, Selection | None] = (None, None)
        self._pressed: QPointF | None = None
        text.viewport().setMouseTracking(True)
        text.viewport().installEventFilter(self)
        text.installEventFilter(self)
        text.cursorPositionChanged.connect(self._on_cursor)

    def forget(self) -> None:
        """The text or the rows have changed."""
        self._linked, self._of, self._at = None, None, None
        self._lit = self._selected = ()
        pointed, chosen = self._seen
        self._seen = (None, None)
        self.show(pointed, chosen, scroll=False)

    def show(
        self, pointed: Selection | None, chosen: Selection | None, *, scroll: bool = True
    ) -> None:
        """Underline what speaks of these stitches; bring what is newly selected into view."""
        if (pointed, chosen) == self._seen:
            return
        new = chosen is not None and chosen != self._seen[1]
        self._seen = pointed, chosen
        if not self._text.isVisible():
            return
        linked = self._words() if pointed or chosen else None
        before = self._lit, self._selected
        self._lit = linked.of(pointed)[:_MOST_MARKS] if linked and pointed else ()
        if pointed is not None and pointed.kind == "words" and self._at is not None:
            self._lit = (self._at,)
        self._selected = linked.of(chosen)[:_MOST_MARKS] if linked and chosen else ()
        if (self._lit, self._selected) != before:
            self.marks_changed.emit()
        if new and scroll and self._selected and not self._text.viewport().underMouse():
            self._bring_in(self._selected[0][0])

    def catch_up(self) -> None:
        """Mark what has been pointed at while the text was hidden."""
        pointed, chosen = self._seen
        self._seen = (None, None)
        self.show(pointed, chosen)

    def marks(self) -> list[QTextEdit.ExtraSelection]:
        """Return the marks: a dashed line under what is pointed at, a plain one if selected."""
        line = QTextCharFormat.UnderlineStyle
        return [
            *(self._marked(place, line.SingleUnderline, bold=True) for place in self._selected),
            *(self._marked(place, line.DashUnderline) for place in self._lit),
        ]

    def _marked(
        self, place: tuple[int, int], line: QTextCharFormat.UnderlineStyle, *, bold: bool = False
    ) -> QTextEdit.ExtraSelection:
        mark, tones, style = QTextEdit.ExtraSelection(), self._theme.tones, QTextCharFormat()
        style.setUnderlineStyle(line)
        style.setUnderlineColor(QColor(tones.accent))
        style.setBackground(QColor(tones.hairline if bold else tones.sheet))
        cursor = QTextCursor(self._text.document())
        last = self._text.document().characterCount() - 1
        cursor.setPosition(min(place[0], last))
        cursor.setPosition(min(place[1], last), QTextCursor.MoveMode.KeepAnchor)
        mark.cursor, mark.format = cursor, style
        return mark

    def _words(self) -> LinkedWords | None:
        text = self._text.toPlainText()
        if self._of != text:
            self._of, self._linked = text, self._link()
        return self._linked

    def _bring_in(self, position: int) -> None:
        """Scroll so far that a place is seen; the text's own cursor stays."""
        cursor = QTextCursor(self._text.document())
        cursor.setPosition(min(position, self._text.document().characterCount() - 1))
        seen = self._text.viewport().rect().adjusted(0, 8, 0, -8)
        if not seen.contains(0, self._text.cursorRect(cursor).center().y()):
            bar = self._text.verticalScrollBar()  # counts lines
            lines = (
                cursor.block().firstLineNumber()
                + cursor.block().layout().lineForTextPosition(cursor.positionInBlock()).lineNumber()
            )
            bar.setValue(max(lines - bar.pageStep() // 3, 0))

    def _speak_of(self, position: int) -> Selection | None:
        linked = self._words()
        found = linked.at(position) if linked is not None else None
        self._at = found[0] if found is not None else None
        return found[1] if found is not None else None

    def _on_cursor(self) -> None:
        """Follow the text's cursor when keys move it."""
        if self._text.hasFocus() and not QApplication.mouseButtons() and self._text.isVisible():
            self.pointed.emit(self._speak_of(self._text.textCursor().position()))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Point with the mouse, select with a click or Enter, let go when it leaves."""
        kind = event.type()
        if watched is self._text:
            return self._on_key(event) or super().eventFilter(watched, event)
        if kind == QEvent.Type.Leave:
            self._at = None
            self.pointed.emit(None)
        elif isinstance(event, QMouseEvent) and kind == QEvent.Type.MouseMove:
            if not event.buttons():
                before = self._at
                position = self._position(event)
                if before is None or not before[0] <= position < before[1]:
                    self.pointed.emit(self._speak_of(position))
        elif isinstance(event, QMouseEvent) and event.button() == Qt.MouseButton.LeftButton:
            if kind == QEvent.Type.MouseButtonPress:
                self._pressed = event.position()
            elif kind == QEvent.Type.MouseButtonRelease and self._pressed is not None:
                away = (event.position() - self._pressed).manhattanLength()
                found = self._speak_of(self._position(event))
                if away < QApplication.startDragDistance() and found is not None:
                    self.chosen.emit(found)
        return super().eventFilter(watched, event)

    def _on_key(self, event: QEvent) -> bool:
        """Select with Enter what the text's cursor speaks of, let go with Escape."""
        if not isinstance(event, QKeyEvent) or event.type() != QEvent.Type.KeyPress:
            return False
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            found = self._speak_of(self._text.textCursor().position())
            if found is not None:
                self.chosen.emit(found)
            return found is not None
        if event.key() == Qt.Key.Key_Escape and self._seen[1] is not None:
            self.chosen.emit(None)
            return True
        return False

    def _position(self, event: QMouseEvent) -> int:
        """Return the place in the text under the pointer; -1 beside the words."""
        at = event.position().toPoint()
        cursor = self._text.cursorForPosition(at)
        rect = self._text.cursorRect(cursor)
        if abs(rect.center().x() - at.x()) > 24 or not rect.adjusted(-24, -2, 24, 2).contains(at):
            return -1
        position = cursor.position()
        return position - 1 if at.x() < rect.left() and position else position
