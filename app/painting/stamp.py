"""The stamp of a draft on a picture: a word in a white box with a black frame."""

from typing import Final

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

_SHARE: Final = 0.035  # of the picture's width, the size of type
_LEAST_PX: Final = 11


def paint_stamp(painter: QPainter, word: str, width_px: int, down_px: float, family: str) -> None:
    """Paint the stamp at the top left of a picture of which a strip is painted.

    Args:
        painter: Paints the strip that begins `down_px` pixels below the picture's top.
        word: What it says.
        width_px: Width of the whole picture.
        down_px: Where the strip begins.
        family: Font.
    """
    size = max(round(_SHARE * width_px), _LEAST_PX)
    font = QFont(family)
    font.setPixelSize(size)
    font.setBold(True)
    wide = QFontMetricsF(font).horizontalAdvance(word) + 1.4 * size
    box = QRectF(0.7 * size, 0.7 * size - down_px, wide, 1.8 * size)
    painter.setBrush(QColor("#ffffff"))
    painter.setPen(QPen(QColor("#000000"), max(0.09 * size, 1.0)))
    painter.drawRect(box)
    painter.setFont(font)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, word)
