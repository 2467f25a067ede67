"""A little lamp to be moved round the fabric."""

import math
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QRadialGradient,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from app.spoken import Role, Told, tell
from app.theme import Theme
from core.fabric.light import HIGHEST, LOWEST, USUAL, Light

_SIZE: Final = 48
_RADIUS: Final = 19.0
_LAMP: Final = 4.5
_ROUND: Final = {Qt.Key.Key_Left: -15.0, Qt.Key.Key_Right: 15.0}
_HIGHER: Final = {Qt.Key.Key_Up: 5.0, Qt.Key.Key_Down: -5.0}
_SIDES: Final = (
    "the top",
    "the upper right",
    "the right",
    "the lower right",
    "the bottom",
    "the lower left",
    "the left",
    "the upper left",
)


class LightDial(QWidget):
    """A ball lit as the fabric is; drag the lamp, or use the arrow keys. Home puts it back."""

    changed = Signal(object)  # Light

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._light = USUAL
        self.setFixedSize(QSize(_SIZE, _SIZE))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setAccessibleName("Light")
        tell(self, Told(role=Role.Dial, value=lambda: light_words(self._light)))
        theme.changed.connect(self.update)
        self._describe()

    @property
    def light(self) -> Light:
        """Where the light comes from."""
        return self._light

    def set_light(self, light: Light) -> None:
        """Move the lamp."""
        if light != self._light:
            self._light = light
            self._describe()
            self.update()
            self.changed.emit(light)

    def _describe(self) -> None:
        words = light_words(self._light)
        self.setAccessibleDescription(words)
        self.setToolTip(f"{words}. Drag it, or use the arrow keys; Home puts it back.")

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ball and the lamp."""
        del event
        tones = self._theme.tones
        middle = QPointF(0.5 * _SIZE, 0.5 * _SIZE)
        lamp = self._lamp_at()
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            ball = QRadialGradient(middle, 1.5 * _RADIUS, lamp)
            ball.setColorAt(0.0, QColor(tones.field).lighter(130 if tones.is_dark else 100))
            ball.setColorAt(1.0, QColor(tones.hairline).darker(150))
            painter.setBrush(ball)
            painter.setPen(QPen(QColor(tones.muted), 1))
            painter.drawEllipse(middle, _RADIUS, _RADIUS)
            painter.setBrush(QColor(tones.accent))
            painter.setPen(QPen(QColor(tones.on_accent), 1.5))
            painter.drawEllipse(lamp, _LAMP, _LAMP)
            if self.hasFocus():
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(QColor(tones.accent), 2))
                painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 6, 6)

    def _lamp_at(self) -> QPointF:
        right, up, _ = self._light.direction
        return QPointF(0.5 * _SIZE + _RADIUS * right, 0.5 * _SIZE - _RADIUS * up)

    # hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the lamp under the cursor."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._follow(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Let the lamp follow."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._follow(event.position())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Put the lamp back."""
        del event
        self.set_light(USUAL)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Move the lamp round."""
        self.set_light(self._light.turned(15.0 * event.angleDelta().y() / 120.0, 0.0))
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the lamp round with left and right, higher and lower with up and down."""
        key = Qt.Key(event.key())
        if key in _ROUND:
            self.set_light(self._light.turned(_ROUND[key], 0.0))
        elif key in _HIGHER:
            self.set_light(self._light.turned(0.0, _HIGHER[key]))
        elif key == Qt.Key.Key_Home:
            self.set_light(USUAL)
        else:
            super().keyPressEvent(event)

    def _follow(self, point: QPointF) -> None:
        away = point - QPointF(0.5 * _SIZE, 0.5 * _SIZE)
        far = math.hypot(away.x(), away.y()) / _RADIUS
        height = math.degrees(math.acos(min(far, 1.0)))
        azimuth = math.degrees(math.atan2(away.x(), -away.y())) % 360.0
        if far < 0.05:
            azimuth = self._light.azimuth_deg
        self.set_light(Light(azimuth, min(max(height, LOWEST), HIGHEST)))


def light_words(light: Light) -> str:
    """Return where the light comes from, in words."""
    side = _SIDES[round(light.azimuth_deg / 45.0) % 8]
    return f"Light from {side}, {light.elevation_deg:.0f}° above the fabric"
