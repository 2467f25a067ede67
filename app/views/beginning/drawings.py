"""Small drawings for the ways to begin that aren't a family of waves."""

import math
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.theme import Tones

_POINTS: Final = 64


def paint_sketch(painter: QPainter, room: QRectF, tones: Tones) -> None:
    """Paint a line that a hand has drawn, with the pencil still at its end."""
    line = _curve(room.adjusted(18, 26, -52, -26), 1.6, waver=1.5)
    painter.setPen(_pen(tones.ink, 2.2))
    painter.drawPolyline(line)
    tip = line.at(line.count() - 1)
    painter.setPen(_pen(tones.accent, 1.6))
    painter.setBrush(QColor(tones.field))
    corners = ((0, 0), (5, -12), (27, -34), (35, -26), (13, -4))
    painter.drawPolygon(QPolygonF([tip + QPointF(x, y) for x, y in corners]))
    painter.drawLine(tip + QPointF(5, -12), tip + QPointF(13, -4))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def paint_rows(painter: QPainter, room: QRectF, tones: Tones) -> None:
    """Paint a slip of paper with written rows."""
    paper = QRectF(0, 0, 148, room.height() - 16)
    paper.moveCenter(room.center() + QPointF(0, 8))
    painter.setPen(_pen(tones.hairline, 1))
    painter.setBrush(QColor(tones.field))
    painter.drawRect(paper)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for number, words in enumerate(
        ((16, 30, 42, 22), (16, 46, 20, 26), (16, 30, 38), (16, 24, 44))
    ):
        x, y = paper.left() + 10, paper.top() + 15 + 15 * number
        for place, width in enumerate(words):
            painter.setPen(_pen(tones.accent if not place else tones.muted, 3))
            painter.drawLine(QPointF(x, y), QPointF(x + width - 8, y))
            x += width


def paint_swatch(painter: QPainter, room: QRectF, tones: Tones) -> None:
    """Paint a worked piece between two rulers."""
    piece = room.adjusted(56, 12, -24, -30)
    painter.setPen(_pen(tones.ink, 1.8))
    for row in range(5):
        part = QRectF(piece.left(), piece.top() + 9 * row, piece.width(), 10)
        painter.drawPolyline(_curve(part, 2.0))
    painter.setPen(_pen(tones.accent, 1.4))
    below, beside = piece.bottom() + 14, piece.left() - 14
    painter.drawLine(QPointF(piece.left(), below), QPointF(piece.right(), below))
    for tick in range(9):
        x = piece.left() + tick * piece.width() / 8
        painter.drawLine(QPointF(x, below), QPointF(x, below + (7 if tick % 4 == 0 else 4)))
    painter.drawLine(QPointF(beside, piece.top()), QPointF(beside, piece.bottom()))
    for tick in range(6):
        y = piece.top() + tick * piece.height() / 5
        painter.drawLine(QPointF(beside, y), QPointF(beside - (7 if tick % 5 == 0 else 4), y))


def _curve(room: QRectF, waves: float, *, waver: float = 0.0) -> QPolygonF:
    """Return a wave that fills some room; `waver` is how far a hand strays, in pixels."""
    points = []
    for number in range(_POINTS + 1):
        share = number / _POINTS
        phase = 2 * math.pi * waves * share
        stray = waver * math.sin(3.7 * phase + 1)
        y = room.center().y() - 0.5 * room.height() * math.cos(phase) + stray
        points.append(QPointF(room.left() + share * room.width(), y))
    return QPolygonF(points)


def _pen(colour: str, width: float) -> QPen:
    pen = QPen(QColor(colour), width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen
