"""A short list of sizes to choose from, the nearest first pointed at."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QSizePolicy, QWidget

from app.theme import figure

_PICK_KEYS: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)


@dataclass(frozen=True, slots=True)
class Choice:
    """One line of the list.

    Attributes:
        words: What it says.
        spoken: The same for those who hear it.
        pick: What choosing it does.
        is_now: Whether the design has it already.
        is_nearest: Whether it is nearest to the wish.
    """

    words: str
    spoken: str
    pick: Callable[[], object]
    is_now: bool
    is_nearest: bool


class ChoiceList(QListWidget):
    """Shows choices; a click, Enter or Space takes the one pointed at."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._choices: tuple[Choice, ...] = ()
        self.setAccessibleName(name)
        self.setToolTip("Click a line, or press Enter on it, to take that size")
        self.setFont(figure(self.font(), large=1.0))
        self.setWordWrap(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.itemClicked.connect(lambda item: self._pick(self.row(item)))

    def show_choices(self, choices: Sequence[Choice]) -> None:
        """Show these choices; the nearest, or the design's own, is pointed at."""
        if [c.words for c in choices] != [c.words for c in self._choices]:
            self.clear()
            for choice in choices:
                item = QListWidgetItem(choice.words, self)
                item.setData(Qt.ItemDataRole.AccessibleTextRole, choice.spoken)
            pointed = [c.is_nearest for c in choices]
            now = [c.is_now for c in choices]
            at = pointed.index(True) if True in pointed else now.index(True) if True in now else 0
            self.setCurrentRow(at)
        self._choices = tuple(choices)
        self._fit()

    def sizeHint(self) -> QSize:
        """Return the height of all lines."""
        lines = sum(self.sizeHintForRow(row) for row in range(self.count()))
        return QSize(super().sizeHint().width(), lines + 2 * self.frameWidth() + 8)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Make room for lines that wrap."""
        super().resizeEvent(event)
        self._fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the line pointed at."""
        if event.key() in _PICK_KEYS and self.currentRow() >= 0:
            self._pick(self.currentRow())
            return
        super().keyPressEvent(event)

    def _pick(self, row: int) -> None:
        if not self._choices[row].is_now:
            self._choices[row].pick()

    def _fit(self) -> None:
        height = self.sizeHint().height()
        if height != self.height():
            self.setFixedHeight(height)
