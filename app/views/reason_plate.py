"""A slip of paper on a canvas that says why nothing newer can be shown, and the way out."""

from typing import Final

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.theme import UNIT, Tones

_WIDEST_PX: Final = 460.0
_VEIL: Final = 150  # how much of the last good picture the ground hides, of 255
_WRAPPED: Final = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)


def paint_veil(painter: QPainter, room: QRectF, tones: Tones) -> None:
    """Let what is painted so far fade: it is no longer what the design says."""
    veil = QColor(tones.ground)
    veil.setAlpha(_VEIL)
    painter.fillRect(room, veil)


def paint_reason(painter: QPainter, text: str, room: QRectF, tones: Tones) -> QRectF:
    """Paint a sentence on a slip of paper at the foot of some room; return where it lies."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    metrics = painter.fontMetrics()
    side = metrics.ascent()
    inner_px = max(min(room.width() - 4 * UNIT, _WIDEST_PX) - side - 3 * UNIT, 40.0)
    words = QRectF(metrics.boundingRect(0, 0, int(inner_px), 10_000, _WRAPPED, text))
    slip = QRectF(0, 0, words.width() + side + 4 * UNIT, words.height() + 2 * UNIT)
    slip.moveCenter(room.center())
    slip.moveBottom(room.bottom() - 2 * UNIT)
    painter.setPen(QPen(QColor(tones.hairline), 1))
    painter.setBrush(QColor(tones.field))
    painter.drawRoundedRect(slip, UNIT, UNIT)
    _paint_sign(painter, QRectF(slip.left() + UNIT + 2, slip.top() + UNIT + 1, side, side), tones)
    painter.setPen(QColor(tones.ink))
    beside = slip.adjusted(side + 2.5 * UNIT, UNIT, 1 - 1.5 * UNIT, UNIT)
    painter.drawText(beside, _WRAPPED, text)
    painter.restore()
    return slip


def _paint_sign(painter: QPainter, place: QRectF, tones: Tones) -> None:
    """Paint the diamond that stands for what is to be mended, as on the Checks page."""
    painter.save()
    painter.translate(place.center())
    painter.rotate(45)
    half = 0.36 * place.width()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tones.trouble))
    painter.drawRect(QRectF(-half, -half, 2 * half, 2 * half))
    painter.rotate(-45)
    painter.setPen(QPen(QColor(tones.field), 1.6))
    painter.drawLine(0, round(-0.55 * half), 0, round(0.15 * half))
    painter.drawPoint(0, round(0.7 * half))
    painter.restore()
