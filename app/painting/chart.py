"""A chart sheet onto a painter, whether that paints a screen, a picture or a PDF page."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QTransform

from app.painting.strokes import Floats, draw_lines, polygon_of
from core.chart.sheet import Sheet, Text
from core.chart.symbols import NAMES, SYMBOLS
from core.stripes.colour import INK
from core.stripes.sequence import Indices

_TEXT_PX: Final = 100.0  # fonts are set at this size and scaled: no hinting, same everywhere


@dataclass(frozen=True, slots=True)
class Placing:
    """From the chart's millimetres to the painter's units.

    Attributes:
        scale: Units per millimetre.
        x: Where x = 0 lies.
        y: Where y = 0 lies; y grows downwards there.
    """

    scale: float
    x: float
    y: float

    def points(self, points_mm: Floats) -> Floats:
        """Return points in the painter's units, any shape (..., 2)."""
        placed: Floats = points_mm * (self.scale, -self.scale) + (self.x, self.y)
        return placed

    def transform(self) -> QTransform:
        """Return the same as a Qt transform."""
        return QTransform(self.scale, 0, 0, -self.scale, self.x, self.y)


def paint_sheet(
    painter: QPainter, sheet: Sheet, placing: Placing, *, family: str, ink: str = INK
) -> None:
    """Paint everything on the sheet."""
    paint_grounds(painter, sheet, placing)
    pen = symbol_pen(sheet.stroke_mm * placing.scale, ink)
    chart = sheet.chart
    paint_symbols(painter, chart.symbol, chart.foot_mm, chart.top_mm, placing, pen)
    paint_symbols(painter, sheet.key_symbol, sheet.key_foot_mm, sheet.key_top_mm, placing, pen)
    painter.setPen(pen)
    draw_lines(painter, placing.points(sheet.lines_mm))
    for text in sheet.texts:
        paint_text(painter, text, placing, family=family, ink=ink)


def symbol_pen(width: float, ink: str) -> QPen:
    """Return the pen for symbols."""
    pen = QPen(QColor(ink), max(width, 0.1))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pen


def paint_grounds(painter: QPainter, sheet: Sheet, placing: Placing) -> None:
    """Paint the coloured bands behind the symbols."""
    painter.setPen(Qt.PenStyle.NoPen)
    for ground in sheet.grounds:
        painter.setBrush(QBrush(QColor(ground.colour)))
        painter.drawPolygon(polygon_of(placing.points(ground.outline_mm)))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def paint_symbols(
    painter: QPainter,
    symbol: Indices,
    foot_mm: Floats,
    top_mm: Floats,
    placing: Placing,
    pen: QPen,
) -> None:
    """Paint symbols from foot to top."""
    foot, way = placing.points(foot_mm), (top_mm - foot_mm) * (placing.scale, -placing.scale)
    painter.setPen(pen)
    for number in np.unique(symbol):
        here = symbol == number
        drawing = SYMBOLS[NAMES[number]]
        if len(drawing.lines):
            draw_lines(painter, placed(drawing.lines, foot[here], way[here]))
        for outline in drawing.solids:
            painter.setBrush(pen.color())
            for points in placed(outline[np.newaxis], foot[here], way[here]):
                painter.drawPolygon(polygon_of(points))
            painter.setBrush(Qt.BrushStyle.NoBrush)


def placed(drawing: Floats, foot: Floats, way: Floats) -> Floats:
    """Return a drawing at every stem.

    Args:
        drawing: Pieces in the symbol's frame, shape (pieces, points, 2).
        foot: Where each stem begins, shape (n, 2).
        way: Where it leads, shape (n, 2).

    Returns:
        Shape (n * pieces, points, 2).
    """
    across = np.stack([-way[:, 1], way[:, 0]], axis=1)  # the stem's right hand, y downwards
    x, y = drawing[..., 0], drawing[..., 1]
    moved = (
        foot[:, np.newaxis, np.newaxis, :]
        + x[np.newaxis, :, :, np.newaxis] * across[:, np.newaxis, np.newaxis, :]
        + y[np.newaxis, :, :, np.newaxis] * way[:, np.newaxis, np.newaxis, :]
    )
    flat: Floats = moved.reshape(-1, *drawing.shape[1:])
    return flat


def paint_text(painter: QPainter, text: Text, placing: Placing, *, family: str, ink: str) -> None:
    """Paint a piece of text at the size it has on the sheet."""
    font = QFont(family)
    font.setPixelSize(int(_TEXT_PX))
    font.setBold(text.bold)
    wide = QFontMetricsF(font).horizontalAdvance(text.text)
    shift = {"start": 0.0, "middle": -0.5 * wide, "end": -wide}[text.anchor]
    scale = text.size_mm * placing.scale / _TEXT_PX
    painter.save()
    at = placing.points(np.array([text.x_mm, text.y_mm]))
    painter.translate(QPointF(float(at[0]), float(at[1])))
    painter.scale(scale, scale)
    painter.setFont(font)
    painter.setPen(QColor(ink))
    painter.drawText(QPointF(shift, 0.36 * _TEXT_PX), text.text)
    painter.restore()


def fitted(bounds_mm: tuple[float, float, float, float], into: QRectF) -> Placing:
    """Return the placing that shows all of the bounds, centred in `into`."""
    left, bottom, right, top = bounds_mm
    scale = min(into.width() / (right - left), into.height() / (top - bottom))
    x = into.center().x() - scale * 0.5 * (left + right)
    y = into.center().y() + scale * 0.5 * (bottom + top)
    return Placing(scale, x, y)
