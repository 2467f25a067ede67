"""Follows the size of the system's type while the program runs.

Widgets whose type is a share of the system's were given it once; when the system's changes, each
of them is given the same share of the new one. What was measured for the type is measured anew.
"""

from collections.abc import Callable
from functools import partial
from typing import Any, Final, TypeVar
from weakref import WeakKeyDictionary, ref

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import Shiboken

_AnyWidget = TypeVar("_AnyWidget", bound=QWidget)

_LEAST: Final = 0.01  # points, under which nothing has changed
_SIZE: Final = 0x0002  # in a font's mask: its size is its own (QFont::SizeResolved in qfont.h)


class TypeFollower(QWidget):
    """Hears of changes as any widget does; never shown."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("type follower")
        self._points = 0.0

    def begin(self) -> None:
        """Take the size there is: what is made from now on is made for it."""
        self._points = QApplication.font().pointSizeF()

    def event(self, event: QEvent) -> bool:
        """Follow once every widget has been told; those made meanwhile have the new size."""
        if event.type() == QEvent.Type.ApplicationFontChange:
            before, now = self._points, QApplication.font().pointSizeF()
            self._points = now
            if before > 0 and now > 0 and abs(now - before) > _LEAST:
                grown = [(ref(widget), size * now / before) for widget, size in _own_sizes()]
                QTimer.singleShot(0, partial(_dress, grown))
        return super().event(event)


_measured: "WeakKeyDictionary[QWidget, Callable[[Any], object]]" = WeakKeyDictionary()


def measure_in_type(widget: _AnyWidget, measure: Callable[[_AnyWidget], object]) -> None:
    """Call `measure` with the widget, now and whenever the system's type has changed.

    It must not hold the widget itself, which would then never go.
    """
    _measured[widget] = measure
    measure(widget)


def lines_px(widget: QWidget, lines: int) -> int:
    """Return how high so many lines are in a widget's type."""
    return lines * widget.fontMetrics().lineSpacing()


def _own_sizes() -> list[tuple[QWidget, float]]:
    """Return the widgets whose type has a size of its own, with it."""
    return [
        (widget, widget.font().pointSizeF())
        for widget in QApplication.allWidgets()
        if widget.testAttribute(Qt.WidgetAttribute.WA_SetFont)
        and widget.font().resolveMask() & _SIZE
    ]


def _dress(grown: "list[tuple[ref[QWidget], float]]") -> None:
    """Dress all anew, as dressed widgets keep the type they had, and set the sizes."""
    application = QApplication.instance()
    if isinstance(application, QApplication):
        sheet = application.styleSheet()
        application.setStyleSheet("")
        application.setStyleSheet(sheet)
    for known, size in grown:
        widget = known()
        if widget is not None and Shiboken.isValid(widget):
            font = widget.font()
            font.setPointSizeF(size)
            widget.setFont(font)
    for one, measure in list(_measured.items()):
        if Shiboken.isValid(one):
            measure(one)


_followers: list[TypeFollower] = []


def follow_type() -> None:
    """See to it that the system's type is followed from now on."""
    if not _followers:
        _followers.append(TypeFollower())
    _followers[0].begin()
