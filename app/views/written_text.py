"""A box for written rows: words that can't be read or don't come out are underlined.

The underline is never the only sign: the sentence for the place where the cursor is stands
below the box (`said`), and the same sentence is the tooltip of the words.
"""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QTimer, Signal
from PySide6.QtGui import QColor, QHelpEvent, QTextCharFormat, QTextCursor
from PySide6.QtWidgets import QPlainTextEdit, QTextEdit, QToolTip, QWidget

from app.asking import plain_tip
from app.theme import Theme
from core.reading.reading import Trouble

_LATER_MS = 250


class WrittenText(QPlainTextEdit):
    """Text to be typed or pasted, with troubles marked in it."""

    edited = Signal(str)  # the text, a moment after the last key
    said = Signal(str)  # what there is to say about the place of the cursor; empty for nothing

    def __init__(self, theme: Theme, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._troubles: tuple[Trouble, ...] = ()
        self._shown = ""
        self.setTabChangesFocus(True)
        self.setAccessibleName(name)
        self._later = QTimer(self, singleShot=True, interval=_LATER_MS)
        self._later.timeout.connect(self._tell)
        self.textChanged.connect(self._on_text)
        self.cursorPositionChanged.connect(self._say)
        theme.changed.connect(self._mark)

    @property
    def is_waiting(self) -> bool:
        """Whether something typed hasn't been told yet."""
        return self._later.isActive()

    def show_text(self, text: str) -> None:
        """Show a text; what stands there already keeps its cursor."""
        self._later.stop()
        if text == self.toPlainText():
            self._shown = text
            return
        self._shown = text
        was_blocked = self.blockSignals(True)
        self.setPlainText(text)
        self.blockSignals(was_blocked)
        self.show_troubles(())

    def show_troubles(self, troubles: Sequence[Trouble]) -> None:
        """Underline these places of the text."""
        self._troubles = tuple(trouble for trouble in troubles if trouble.end > trouble.start)
        self._mark()
        self._say()

    def go_to(self, trouble: Trouble) -> None:
        """Put the cursor where a trouble is."""
        cursor = self.textCursor()
        cursor.setPosition(self._units(trouble.start))
        self.setTextCursor(cursor)
        self.ensureCursorVisible()
        self.setFocus()

    def flush(self) -> None:
        """Tell what was typed now rather than in a moment."""
        if self._later.isActive():
            self._later.stop()
            self._tell()

    def trouble_at(self, position: int) -> Trouble | None:
        """Return what there is to say about a place, the worst first."""
        order = {"error": 0, "warning": 1, "note": 2}
        here = [
            trouble
            for trouble in self._troubles
            if self._units(trouble.start) <= position <= self._units(trouble.end)
        ]
        return min(here, key=lambda trouble: order[trouble.level], default=None)

    def _on_text(self) -> None:
        text = self.toPlainText()
        if text != self._shown:
            self._shown = text
            self._troubles = ()
            self.setExtraSelections([])
            self._later.start()

    def _tell(self) -> None:
        self.edited.emit(self.toPlainText())

    def _say(self) -> None:
        trouble = self.trouble_at(self.textCursor().position())
        self.said.emit(trouble.message if trouble else "")

    def _units(self, at: int) -> int:
        """Return a place in the text as the document counts it: in units of 16 bits."""
        text = self._shown[:at]
        return at if text.isascii() else len(text.encode("utf-16-le", "surrogatepass")) // 2

    def _mark(self) -> None:
        tones, marks = self._theme.tones, list[QTextEdit.ExtraSelection]()
        for trouble in self._troubles:
            mark, style = QTextEdit.ExtraSelection(), QTextCharFormat()
            is_error = trouble.level == "error"
            line = QTextCharFormat.UnderlineStyle
            style.setUnderlineStyle(line.WaveUnderline if is_error else line.DotLine)
            style.setUnderlineColor(QColor(tones.trouble if is_error else tones.accent))
            if is_error:
                style.setBackground(QColor(tones.hairline))
            cursor = QTextCursor(self.document())
            last = self.document().characterCount() - 1
            cursor.setPosition(min(self._units(trouble.start), last))
            cursor.setPosition(min(self._units(trouble.end), last), QTextCursor.MoveMode.KeepAnchor)
            mark.cursor, mark.format = cursor, style
            marks.append(mark)
        self.setExtraSelections(marks)

    def event(self, event: QEvent) -> bool:
        """Show the sentence of the words under the mouse."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            position = self.cursorForPosition(event.pos()).position()
            trouble = self.trouble_at(position)
            said = trouble.message if trouble else ""
            QToolTip.showText(event.globalPos(), plain_tip(said), self)
            return True
        return super().event(event)
