"""A short list of sizes to choose from, the nearest first pointed at."""

from collections.abc import Callable, Sequence
from typing import Final

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPalette, QResizeEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QSizePolicy, QWidget

from app.theme import UNIT, figure
from core.records import Struct

_FIGURE_SPACE: Final = "\N{FIGURE SPACE}"
_PICK_KEYS: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)


class Choice(Struct, frozen=True):
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


def in_columns(lines: Sequence[tuple[str, ...]]) -> list[str]:
    """Return each line's parts joined, all but the last set flush right in their columns."""
    wide = [max(map(len, column), default=0) for column in zip(*lines, strict=True)]
    return [
        "  ".join(
            [part.rjust(room, _FIGURE_SPACE) for part, room in zip(line[:-1], wide, strict=False)]
            + [line[-1]]
        )
        for line in lines
    ]


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
        self._shade()
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
            self._fit()
        self._choices = tuple(choices)

    def sizeHint(self) -> QSize:
        """Return the height of all lines."""
        lines = sum(self.visualItemRect(self.item(row)).height() for row in range(self.count()))
        return QSize(super().sizeHint().width(), lines + UNIT + 2)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Make room for lines that wrap."""
        super().resizeEvent(event)
        self._fit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Point strongly at the line that the keys would take."""
        super().focusInEvent(event)
        self._shade()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Point at it quietly."""
        super().focusOutEvent(event)
        self._shade()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the window's tones."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ApplicationPaletteChange:
            self._shade()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take the line pointed at."""
        if event.key() in _PICK_KEYS and self.currentRow() >= 0:
            self._pick(self.currentRow())
            return
        super().keyPressEvent(event)

    def _shade(self) -> None:
        role = QPalette.ColorRole
        palette = QPalette()
        if not self.hasFocus():
            palette.setColor(role.Highlight, palette.color(role.Mid))
            palette.setColor(role.HighlightedText, palette.color(role.Text))
        self.setPalette(palette)

    def _pick(self, row: int) -> None:
        if not self._choices[row].is_now:
            self._choices[row].pick()

    def _fit(self) -> None:
        self.doItemsLayout()  # lines wrap as wide as the list is now
        height = self.sizeHint().height()
        if height != self.height():
            self.setFixedHeight(height)
