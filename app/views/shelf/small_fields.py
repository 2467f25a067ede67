"""Fields that only yarns of the shelf have: chips, a line that may be empty, lines of notes."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QPlainTextEdit, QPushButton, QWidget

from app.asking import plain_entry, plain_tip
from app.theme import UNIT
from app.type_following import lines_px, measure_in_type
from app.views.flow import Flow
from core.design.signs import plain_lines


class Chips(Flow):
    """Small things that each can be taken away."""

    def __init__(self) -> None:
        super().__init__(gap_px=UNIT // 2)
        self.buttons: list[QPushButton] = []
        self.hide()

    def show_chips(
        self, chips: Sequence[tuple[str, str, Callable[[], object]]], after: QWidget
    ) -> None:
        """Show chips: words, what a press does in words, and the doing of it.

        The Tab key comes to them after that field; it has the focus when the chip that had it goes.
        """
        had_focus = any(button.hasFocus() for button in self.buttons)
        for button in self.buttons:
            self.drop(button)
            button.hide()
            button.deleteLater()
        self.buttons = []
        before = after
        for words, meaning, do in chips:
            button = QPushButton(f"{plain_entry(words)}  ×", self)
            button.setAutoDefault(False)
            button.setAccessibleName(meaning)
            button.setToolTip(plain_tip(meaning))
            button.clicked.connect(lambda _=False, do=do: do())
            self.add(button)
            button.show()
            QWidget.setTabOrder(before, button)
            before = button
            self.buttons.append(button)
        self.setVisible(bool(self.buttons))
        self.updateGeometry()
        if had_focus:
            after.setFocus()


class Notes(QPlainTextEdit):
    """Some lines of text; finished when the focus leaves them."""

    changed = Signal(str)

    def __init__(self, name: str, longest: int) -> None:
        super().__init__()
        self._stored, self._longest = "", longest
        self.setAccessibleName(name)
        self.setTabChangesFocus(True)
        self.setToolTip("Anything else worth knowing")
        measure_in_type(self, lambda text: text.setFixedHeight(lines_px(text, 4) + 2 * UNIT))

    def show_value(self, text: str, *, even_if_typed: bool = False) -> None:
        """Show a text, unless another is just being typed."""
        is_typed = self.hasFocus() and self.document().isModified()
        self._stored = text
        if (even_if_typed or not is_typed) and text != self.toPlainText():
            self.setPlainText(text)
        if even_if_typed or not is_typed:
            self.document().setModified(False)

    def finish(self) -> None:
        """Say what was typed."""
        text = plain_lines(self.toPlainText()).strip()[: self._longest]
        if self.document().isModified() and text != self._stored:
            self.document().setModified(False)
            self.changed.emit(text)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Finish typing."""
        super().focusOutEvent(event)
        self.finish()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Put typed text back with Escape."""
        if event.key() == Qt.Key.Key_Escape and self.document().isModified():
            self.show_value(self._stored, even_if_typed=True)
            return
        super().keyPressEvent(event)
