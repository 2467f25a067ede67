"""A slider whose track shows the colours it leads to, hatched where no screen shows them."""

from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QBrush, QColor, QFocusEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSlider, QWidget

from app.painting.strokes import image_of
from app.theme import UNIT, Theme
from core.palette.spaces import Floats, shows

_STEPS: Final = 128
_HEIGHT: Final = 3 * UNIT
_RING: Final = 7.0


class OklchSlider(QSlider):
    """A whole number along a track of colours; arrows, Page keys, Home and End move it."""

    moved = Signal(int, object)  # by a person; the gesture

    def __init__(
        self, name: str, most: int, step: int, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self._theme = theme
        self._gesture = object()
        self._colours: Floats = np.zeros((_STEPS, 3))
        self.setRange(0, most)
        self.setSingleStep(step)
        self.setPageStep(10 * step)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFixedHeight(_HEIGHT)
        self.valueChanged.connect(lambda value: self.moved.emit(value, self._gesture))
        theme.changed.connect(self.update)

    @property
    def places(self) -> Floats:
        """The values that the track's colours stand for, shape (steps,)."""
        return np.linspace(self.minimum(), self.maximum(), _STEPS)

    def show_value(self, value: int, colours: Floats) -> None:
        """Show a value on a track of colours: sRGB from 0 to 1 at `places`, shape (steps, 3)."""
        self._colours = colours
        if not self.isSliderDown():
            self.blockSignals(True)
            self.setValue(value)
            self.blockSignals(False)
        self.update()

    def sizeHint(self) -> QSize:
        """Return a size that can be aimed at."""
        return QSize(20 * UNIT, _HEIGHT)

    def _track(self) -> QRectF:
        return QRectF(self.rect()).adjusted(_RING + 1, 6, -_RING - 1, -6)

    def paintEvent(self, event: object) -> None:
        """Paint track, hatching and ring."""
        del event
        tones, track = self._theme.tones, self._track()
        inside = shows(self._colours)
        rgb = np.round(255 * np.clip(self._colours, 0, 1)).astype(np.uint32)
        line = np.uint32(0xFF000000) | rgb[:, 0] << 16 | rgb[:, 1] << 8 | rgb[:, 2]
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(track, image_of(line[np.newaxis].astype(np.uint32)))
            step = track.width() / _STEPS
            painter.setPen(Qt.PenStyle.NoPen)
            for start, end in _runs(~inside):
                box = QRectF(track.left() + start * step, track.top(), (end - start) * step, 0)
                box.setBottom(track.bottom())
                painter.fillRect(box, QColor(tones.field))
                painter.fillRect(box, QBrush(QColor(tones.muted), Qt.BrushStyle.BDiagPattern))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            focus = self.hasFocus()
            painter.setPen(
                QPen(QColor(tones.accent if focus else tones.hairline), 2 if focus else 1)
            )
            painter.drawRoundedRect(track, 3, 3)
            at = QPointF(self._x_of(self.value()), track.center().y())
            for colour, width in ((tones.sheet, 4.5), (tones.ink, 2.0)):
                painter.setPen(QPen(QColor(colour), width))
                painter.drawEllipse(at, _RING, _RING)

    def _x_of(self, value: int) -> float:
        track, span = self._track(), max(self.maximum() - self.minimum(), 1)
        return track.left() + track.width() * (value - self.minimum()) / span

    def _follow(self, x: float) -> None:
        track, span = self._track(), self.maximum() - self.minimum()
        share = min(max((x - track.left()) / max(track.width(), 1.0), 0.0), 1.0)
        self.setValue(self.minimum() + round(share * span))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Bring the ring under the cursor."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._gesture = object()
            self.setSliderDown(True)
            self._follow(event.position().x())
            event.accept()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Let the ring follow."""
        if self.isSliderDown():
            self._follow(event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        del event
        self.setSliderDown(False)

    def wheelEvent(self, event: object) -> None:
        """Leave the wheel to the page unless the focus is here."""
        if self.hasFocus():
            super().wheelEvent(event)  # type: ignore[arg-type]
        else:
            event.ignore()  # type: ignore[attr-defined]

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin a gesture: its steps undo as one."""
        self._gesture = object()
        super().focusInEvent(event)


def _runs(mask: np.ndarray) -> list[tuple[int, int]]:
    """Return starts and ends of the runs of true in a mask."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], mask, [False]]).astype(np.int8)))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))
