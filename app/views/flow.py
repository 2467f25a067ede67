"""A layout that sets widgets like words in a paragraph."""

from PySide6.QtCore import QMargins, QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowLayout(QLayout):
    """Sets its widgets one after another and breaks lines where they are full."""

    def __init__(self, parent: QWidget | None = None, *, gap_px: int = 4) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap = gap_px
        self.setContentsMargins(QMargins(0, 0, 0, 0))

    def addItem(self, item: QLayoutItem) -> None:
        """Take an item at the end."""
        self._items.append(item)

    def count(self) -> int:
        """Return the number of items."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """Return an item, or None past the end."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Remove an item and return it."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """Ask for no more room than the words need."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Return yes: a narrower paragraph is taller."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the paragraph's height at a width."""
        return self._set(QRect(0, 0, width, 0), really=False)

    def setGeometry(self, rect: QRect) -> None:
        """Set the widgets."""
        super().setGeometry(rect)
        self._set(rect, really=True)

    def sizeHint(self) -> QSize:
        """Return the least size; height follows from the width."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:
        """Return the size of the largest widget."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _set(self, rect: QRect, *, really: bool) -> int:
        lines: list[list[tuple[QLayoutItem, QSize]]] = [[]]
        x = rect.x()
        for item in self._items:
            hint = item.sizeHint()
            if x + hint.width() > rect.right() + 1 and lines[-1]:
                lines.append([])
                x = rect.x()
            lines[-1].append((item, hint))
            x += hint.width() + self._gap
        y = rect.y()
        for line in lines:
            height = max((hint.height() for _, hint in line), default=0)
            x = rect.x()
            for item, hint in line:
                if really:
                    top = y + (height - hint.height()) // 2
                    item.setGeometry(QRect(QPoint(x, top), hint))
                x += hint.width() + self._gap
            y += height + self._gap
        return y - self._gap - rect.y()
