"""What a page shows while there is nothing on it yet: a small drawing and the way on."""

import math
from typing import Final, Literal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from app.theme import UNIT, Theme, Tones
from app.views.pages.page import Note

Drawing = Literal["slips", "fits"]
_TALL_PX: Final = 88


class EmptySheet(QWidget):
    """A drawing with a sentence under it."""

    def __init__(
        self, theme: Theme, drawing: Drawing, text: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.picture = _Picture(theme, drawing, self)
        self.note = Note(text, self)
        self.note.setAlignment(Qt.AlignmentFlag.AlignHCenter)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 3 * UNIT, 0, 0)
        column.setSpacing(UNIT)
        column.addWidget(self.picture)
        column.addWidget(self.note)

    def text(self) -> str:
        """Return what is said."""
        return self.note.text()


class _Picture(QWidget):
    def __init__(self, theme: Theme, drawing: Drawing, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme, self._drawing = theme, drawing
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return a low picture."""
        return QSize(20 * UNIT, _TALL_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the drawing in hairlines."""
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            room = QRectF(0, 0, 150, _TALL_PX - 4)
            room.moveCenter(QRectF(self.rect()).center())
            paint = _paint_slips if self._drawing == "slips" else _paint_fits
            paint(painter, room, self._theme.tones)


def _paint_slips(painter: QPainter, room: QRectF, tones: Tones) -> None:
    """Paint slips of paper lying over one another, a wave on the topmost."""
    slip = QRectF(0, 0, 82, 58)
    for number, turn in enumerate((-9.0, 5.0, 0.0)):
        painter.save()
        painter.translate(room.center())
        painter.rotate(turn)
        slip.moveCenter(QPointF(0, 0))
        painter.setPen(QPen(QColor(tones.hairline), 1.2))
        painter.setBrush(QColor(tones.field))
        painter.drawRect(slip)
        if number == 2:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(tones.muted), 1.6))
            for row in range(4):
                painter.drawPolyline(_wave(slip.adjusted(10, 12 + 9 * row, -10, 0), 6))
        painter.restore()


def _paint_fits(painter: QPainter, room: QRectF, tones: Tones) -> None:
    """Paint rows that fit into each other, and a tick."""
    painter.setPen(QPen(QColor(tones.muted), 1.6))
    for row in range(4):
        painter.drawPolyline(_wave(room.adjusted(12, 18 + 12 * row, -44, 0), 9))
    pen = QPen(QColor(tones.accent), 3)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    at = QPointF(room.right() - 30, room.center().y())
    painter.drawPolyline(QPolygonF([at, at + QPointF(8, 9), at + QPointF(24, -14)]))


def _wave(room: QRectF, high_px: float) -> QPolygonF:
    points = []
    for number in range(49):
        share = number / 48
        y = room.top() + high_px * math.cos(4 * math.pi * share)
        points.append(QPointF(room.left() + share * room.width(), y))
    return QPolygonF(points)
