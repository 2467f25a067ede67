"""A view's name painted on a canvas, so that nobody takes it for the plain colours."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPainter

from app.theme import UNIT, Theme, small


def paint_plate(painter: QPainter, text: str, theme: Theme) -> None:
    """Paint a view's name in the upper left corner of another canvas."""
    tones = theme.tones
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(small(painter.font()))
    box = painter.fontMetrics().boundingRect(text).adjusted(-UNIT, -UNIT // 2, UNIT, UNIT // 2)
    box.moveTo(UNIT, UNIT)
    painter.setPen(QColor(tones.accent))
    painter.setBrush(QColor(tones.sheet))
    painter.drawRoundedRect(box, 6, 6)
    painter.setPen(QColor(tones.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    painter.restore()
