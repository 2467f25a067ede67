"""A widget that sets what it holds like words in a paragraph.

It places its children itself and is no `QLayout`: a layout written in Python handles items that
Qt makes and deletes unseen. A wrapper that outlives its item is then found again by address for
the next thing that lies there, which ends in errors far away or in a crash.
"""

from typing import Final

from PySide6.QtCore import QEvent, QPoint, QRect, QSize
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

_ANOTHER_SIZE: Final = (
    QEvent.Type.LayoutRequest,
    QEvent.Type.FontChange,
    QEvent.Type.StyleChange,
)


class Flow(QWidget):
    """Sets its widgets one after another and breaks lines where they are full."""

    def __init__(self, parent: QWidget | None = None, *, gap_px: int = 4) -> None:
        super().__init__(parent)
        self._held: list[QWidget] = []
        self._gap = gap_px
        self._wanted: list[tuple[QWidget, QSize]] | None = None  # of those that show, while seen
        self._told: list[QSize] | None = None  # what the page around it reckons with, at any width
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)  # a narrower paragraph is taller
        self.setSizePolicy(policy)

    def add(self, *widgets: QWidget) -> None:
        """Take widgets at the end."""
        for widget in widgets:
            if widget.parentWidget() is not self:
                widget.setParent(self)
            self._held.append(widget)
        self._changed()

    def drop(self, widget: QWidget) -> None:
        """Let a widget go; it stays a child until it is deleted."""
        self._held.remove(widget)
        self._changed()

    def held(self) -> tuple[QWidget, ...]:
        """Return the widgets in order, the hidden ones too."""
        return tuple(self._held)

    def line_width(self) -> int:
        """Return the width that everything takes on one line, in pixels."""
        widths = [hint.width() for _, hint in self._hints()]
        return sum(widths) + self._gap * max(len(widths) - 1, 0)

    def heightForWidth(self, width: int) -> int:
        """Return the paragraph's height at a width."""
        return self._set(width, really=False)

    def sizeHint(self) -> QSize:
        """Return the least size; the height follows from the width."""
        return self.minimumSizeHint()

    def minimumSizeHint(self) -> QSize:
        """Return the size of the largest widget."""
        size = QSize(0, 0)
        for widget in self._shown():
            size = size.expandedTo(_least(widget))
        return size

    def event(self, event: QEvent) -> bool:
        """Set the widgets anew when one of them wants another size."""
        if event.type() in _ANOTHER_SIZE:
            self._changed()
        return super().event(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Break the lines anew."""
        super().resizeEvent(event)
        self._set(self.width(), really=True)

    def showEvent(self, event: QShowEvent) -> None:
        """Set the widgets: what changes while they are hidden isn't told."""
        super().showEvent(event)
        self._changed()

    def _changed(self) -> None:
        self._wanted = None
        if not self.isVisible():  # set when it is shown; until then each asks for itself
            self._told = None
            self.updateGeometry()
            return
        told = [hint for _, hint in self._hints()]
        if told != self._told:
            self._told = told
            self.updateGeometry()
        self._set(self.width(), really=True)

    def _hints(self) -> list[tuple[QWidget, QSize]]:
        """Return what shows and the sizes wanted; asked once while they are seen and the same."""
        if self._wanted is not None and self.isVisible():
            return self._wanted
        self._wanted = [(widget, _hint(widget)) for widget in self._shown()]
        return self._wanted

    def _shown(self) -> list[QWidget]:
        return [widget for widget in self._held if not widget.isHidden()]

    def _set(self, width: int, *, really: bool) -> int:
        lines: list[list[tuple[QWidget, QSize]]] = [[]]
        x = 0
        for widget, hint in self._hints():
            if x + hint.width() > width and lines[-1]:
                lines.append([])
                x = 0
            lines[-1].append((widget, hint))
            x += hint.width() + self._gap
        y = 0
        for line in lines:
            height = max((hint.height() for _, hint in line), default=0)
            x = 0
            for widget, hint in line:
                if really:
                    top = y + (height - hint.height()) // 2
                    widget.setGeometry(QRect(QPoint(x, top), hint))
                x += hint.width() + self._gap
            y += height + self._gap
        return y - self._gap


def _hint(widget: QWidget) -> QSize:
    """Return the size a widget wants, within its own bounds."""
    wanted = widget.sizeHint().expandedTo(widget.minimumSizeHint())
    return wanted.boundedTo(widget.maximumSize()).expandedTo(widget.minimumSize())


def _least(widget: QWidget) -> QSize:
    """Return the least size a widget can do with, by its policy."""
    wanted, least, policy = widget.sizeHint(), widget.minimumSizeHint(), widget.sizePolicy()
    shrinks = QSizePolicy.PolicyFlag.ShrinkFlag.value
    wide = least if policy.horizontalPolicy().value & shrinks else wanted.expandedTo(least)
    tall = least if policy.verticalPolicy().value & shrinks else wanted.expandedTo(least)
    size = QSize(wide.width(), tall.height())
    return size.boundedTo(widget.maximumSize()).expandedTo(widget.minimumSize())
