"""A widget that shows a drawing in millimetres: zoom to the cursor, pan, fit, by any hand.

What is drawn and what dragging means belongs to the views that are made from it.
"""

from typing import Final

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from app.painting.chart import Placing, fitted

_STEP: Final = 1.2
_SCALES: Final = (0.02, 60.0)  # px per mm
_PAN_PX: Final = 60
_SEEN_PX: Final = 48  # of what there is to see, at least


class Canvas(QWidget):
    """The base of chart and fabric view."""

    placing_changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._placing: Placing | None = None
        self._own_view = False  # whether the user has chosen what to look at
        self._panning_from: QPoint | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(160, 120)

    def paint_focus(self, painter: QPainter, colour: str) -> None:
        """Frame the view that keys act on."""
        if self.hasFocus():
            painter.setPen(QPen(QColor(colour), 3))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(self.rect().adjusted(1, 1, -2, -2))

    # what a view made from it says

    def content_mm(self) -> tuple[float, float, float, float]:
        """Return left, bottom, right and top of what there is to see."""
        return (0.0, 0.0, 1.0, 1.0)

    def first_placing(self) -> Placing:
        """Return how to show things until the user chooses."""
        return self.fitting()

    # placing

    @property
    def placing(self) -> Placing:
        """How millimetres map to the widget's pixels."""
        if self._placing is None or not self._own_view:
            self._placing = self.first_placing()
        return self._placing

    def fitting(self, margin_px: float = 12.0) -> Placing:
        """Return the placing that shows everything."""
        inner = QRectF(self.rect()).adjusted(margin_px, margin_px, -margin_px, -margin_px)
        if inner.width() < 1 or inner.height() < 1:
            inner = QRectF(0, 0, 1, 1)
        return fitted(self.content_mm(), inner)

    def look_anew(self) -> None:
        """Forget what was chosen to be looked at: another design is shown."""
        self._own_view = False
        self.update()
        self.placing_changed.emit()

    def find_again(self) -> None:
        """Look anew if what was chosen to be looked at isn't there any longer."""
        if not self._own_view or self._placing is None:
            return
        left, bottom, right, top = self.content_mm()
        now = self._placing
        x, y = now.x + now.scale * left, now.y - now.scale * top
        there = QRectF(x, y, now.scale * (right - left), now.scale * (top - bottom))
        seen = there.intersected(QRectF(self.rect()))
        if min(seen.width(), there.width()) < _SEEN_PX or seen.height() <= 0:
            self.look_anew()

    def hold(self, placing: Placing) -> bool:
        """Keep to this placing if what is shown would be made larger to fit; return whether it is.

        Where the user has chosen what to look at, that stays in any case.
        """
        if self._own_view or self.fitting().scale <= placing.scale:
            return False
        self.set_placing(placing)
        return True

    def show_all(self) -> None:
        """Show everything."""
        self.set_placing(self.fitting())

    def set_placing(self, placing: Placing) -> None:
        """Show things this way from now on."""
        self._own_view = True
        self._placing = placing
        self.update()
        self.placing_changed.emit()

    def zoom(self, factor: float, at: QPointF | None = None) -> None:
        """Zoom so that what lies under `at` (or the middle) stays there."""
        now = self.placing
        at = QPointF(self.rect().center()) if at is None else at
        scale = min(max(now.scale * factor, _SCALES[0]), _SCALES[1])
        ratio = scale / now.scale
        x = at.x() - ratio * (at.x() - now.x)
        y = at.y() - ratio * (at.y() - now.y)
        self.set_placing(Placing(scale, x, y))

    def pan(self, right: float, down: float) -> None:
        """Move what is shown by so many pixels."""
        now = self.placing
        self.set_placing(Placing(now.scale, now.x + right, now.y + down))

    def to_mm(self, point: QPointF) -> tuple[float, float]:
        """Return the place under a point of the widget."""
        now = self.placing
        return (point.x() - now.x) / now.scale, (now.y - point.y()) / now.scale

    def seen_mm(self) -> tuple[float, float, float, float]:
        """Return left, bottom, right and top of what shows in the widget."""
        left, top = self.to_mm(QPointF(0, 0))
        right, bottom = self.to_mm(QPointF(self.width(), self.height()))
        return left, bottom, right, top

    # hands

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom with a wheel; pan with a touchpad unless Ctrl is held."""
        ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if not event.pixelDelta().isNull() and not ctrl:
            self.pan(event.pixelDelta().x(), event.pixelDelta().y())
        elif shift:
            self.pan(event.angleDelta().y() or event.angleDelta().x(), 0)
        else:
            self.zoom(_STEP ** (event.angleDelta().y() / 120.0), event.position())
        event.accept()

    def event(self, event: QEvent) -> bool:
        """Zoom by pinching."""
        if isinstance(event, QNativeGestureEvent):
            if event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture:
                self.zoom(1.0 + event.value(), event.position())
            return True
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to pan."""
        if event.button() in (Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton):
            self._panning_from = event.position().toPoint()
            self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan on."""
        if self._panning_from is not None:
            moved = event.position().toPoint() - self._panning_from
            self._panning_from = event.position().toPoint()
            self.pan(moved.x(), moved.y())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Stop panning."""
        del event
        self._panning_from = None
        self.unsetCursor()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Show everything again."""
        del event
        self.show_all()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Zoom with + and -, show all with 0, pan with the arrows."""
        match event.key():
            case Qt.Key.Key_Plus | Qt.Key.Key_Equal:
                self.zoom(_STEP)
            case Qt.Key.Key_Minus:
                self.zoom(1 / _STEP)
            case Qt.Key.Key_0:
                self.show_all()
            case Qt.Key.Key_Left:
                self.pan(_PAN_PX, 0)
            case Qt.Key.Key_Right:
                self.pan(-_PAN_PX, 0)
            case Qt.Key.Key_Up:
                self.pan(0, _PAN_PX)
            case Qt.Key.Key_Down:
                self.pan(0, -_PAN_PX)
            case _:
                super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle in the middle when the panel changes size."""
        if self._own_view and self._placing is not None and event.oldSize().isValid():
            grown = event.size() - event.oldSize()
            now = self._placing
            self._placing = Placing(
                now.scale, now.x + 0.5 * grown.width(), now.y + 0.5 * grown.height()
            )
        super().resizeEvent(event)
        self.placing_changed.emit()
