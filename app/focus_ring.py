"""A ring round the control that keys act on, unless the mouse has just put the focus there.

The style marks buttons, fields, boxes and sliders in ways of its own, some of them thinner or
fainter than can be seen: the ring is the same for all, two pixels of the accent with a line of
ground inside (WCAG 2.2, 2.4.7, 2.4.13 and 1.4.11). Views that paint themselves frame themselves.
"""

from typing import Final
from weakref import ref

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QSplitter,
    QTabBar,
    QWidget,
)
from shiboken6 import Shiboken

_RINGED: Final = (
    QAbstractButton,
    QAbstractScrollArea,
    QAbstractSlider,
    QAbstractSpinBox,
    QComboBox,
    QLineEdit,
    QTabBar,
)
_WIDE: Final = 2
_OUT: Final = 3  # px that it reaches beyond the control
_MOVES: Final = (
    QEvent.Type.Move,
    QEvent.Type.Resize,
    QEvent.Type.Show,
    QEvent.Type.Hide,
    QEvent.Type.ParentChange,
)


class FocusRing(QObject):
    """Sees to it that there is one ring, round the control with the focus."""

    def __init__(self, application: QApplication) -> None:
        super().__init__(application)
        self._widget: QWidget | None = None
        # The control and what it lies in. Not held: a message box would live on, and be taken
        # down in the midst of the next change of focus.
        self._watched: list[ref[QWidget]] = []
        self._ring: _Ring | None = None
        application.focusChanged.connect(self._follow)

    def _follow(self) -> None:
        """Go to what has the focus now.

        The signal's own arguments aren't taken: one of them may be half taken down already.
        """
        now = QApplication.focusWidget()
        for watched in self._watched:
            widget = watched()
            if widget is not None and Shiboken.isValid(widget):
                widget.removeEventFilter(self)
        self._watched = []
        self._widget = now if _is_ringed(now) else None
        up = self._widget
        while up is not None:
            up.installEventFilter(self)
            self._watched.append(ref(up))
            up = None if up.isWindow() else up.parentWidget()
        self._place()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go where the control goes."""
        if event.type() in _MOVES:
            self._place()
        return False

    def _place(self) -> None:
        ring, widget = self._ring, self._widget
        if ring is not None and not Shiboken.isValid(ring):
            ring = self._ring = None
        if widget is None or not Shiboken.isValid(widget) or not widget.isVisible():
            if ring is not None:
                ring.hide()
            return
        window = widget.window()
        if ring is None or ring.parentWidget() is not window:
            if ring is not None:
                ring.hide()
                ring.deleteLater()
            ring = self._ring = _Ring(window)
        ring.go_round(widget)


def _is_ringed(widget: QWidget | None) -> bool:
    if not isinstance(widget, _RINGED) or not Shiboken.isValid(widget):
        return False
    if widget.isWindow() or isinstance(
        widget.window(), QSplitter
    ):  # it would take the ring for a pane
        return False
    return QApplication.mouseButtons() == Qt.MouseButton.NoButton


class _Ring(QWidget):
    """The ring itself, above everything in its window."""

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._round = QRect()  # the whole ring, in the window

    def go_round(self, widget: QWidget) -> None:
        """Stand round a control, as far as it can be seen."""
        window = self.parentWidget()
        assert window is not None
        place = QRect(widget.mapTo(window, QPoint(0, 0)), widget.size())
        seen, up = window.rect(), widget.parentWidget()
        while up is not None and up is not window:
            holder = up.parentWidget()
            if isinstance(holder, QAbstractScrollArea) and holder.viewport() is up:
                seen = seen & QRect(up.mapTo(window, QPoint(0, 0)), up.size())
            up = holder
        self._round = place.adjusted(-_OUT, -_OUT, _OUT, _OUT) & seen
        if self._round.isEmpty() or not place.intersects(seen):
            self.hide()
            return
        self.setGeometry(self._round)
        self.show()
        self.raise_()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ring."""
        del event
        half = 0.5 * _WIDE
        ring = QRectF(self.rect()).adjusted(half, half, -half, -half)
        palette = self.palette()
        gap = half + 0.5
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(palette.color(QPalette.ColorRole.Window), 1))
            painter.drawRoundedRect(ring.adjusted(gap, gap, -gap, -gap), 5, 5)
            painter.setPen(QPen(palette.color(QPalette.ColorRole.Highlight), _WIDE))
            painter.drawRoundedRect(ring, 6, 6)


def put_ring(application: QApplication) -> None:
    """See to it that the application has its ring."""
    if application.findChild(FocusRing) is None:
        FocusRing(application)
