"""A chart sheet onto a painter, whether that paints a screen, a picture or a PDF page."""

from collections.abc import Callable, Iterator
from functools import lru_cache, partial
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontMetricsF, QPainter, QPen, QTransform

from app.painting.strokes import Floats, draw_lines, polygon_of
from core.chart.sheet import Sheet
from core.chart.symbols import NAMES, SYMBOLS
from core.chart.words import Text
from core.records import Struct
from core.stripes.sequence import Indices

_AT_ONCE: Final = 256
"""Symbols that are painted in one step: other threads get their turn between two."""
_TEXT_PX: Final = 100.0  # fonts are set at this size and scaled: no hinting, same everywhere


class Placing(Struct, frozen=True):
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
    painter: QPainter,
    sheet: Sheet,
    placing: Placing,
    *,
    family: str,
    between_mm: tuple[float, float] | None = None,
) -> None:
    """Paint everything on the sheet, or what lies between two heights of it."""
    for piece in sheet_pieces(sheet, placing, family=family, between_mm=between_mm):
        piece(painter)


Paint = Callable[[QPainter], None]


def sheet_pieces(
    sheet: Sheet,
    placing: Placing,
    *,
    family: str,
    between_mm: tuple[float, float] | None = None,
) -> Iterator[Paint]:
    """Yield what paints the sheet piece by piece, from the ground up, none of them long.

    Args:
        sheet: What is painted.
        placing: Where to.
        family: Font.
        between_mm: Heights of the sheet outside of which nothing has to be painted.
    """

    def ground(painter: QPainter) -> None:
        paint_grounds(painter, sheet, placing)
        paint_guides(painter, sheet, placing)

    yield ground
    yield from _symbol_pieces(sheet, placing, between_mm)

    def around(painter: QPainter) -> None:
        _paint_around(painter, sheet, placing, family)

    yield around


def _symbol_pieces(
    sheet: Sheet, placing: Placing, between_mm: tuple[float, float] | None
) -> Iterator[Paint]:
    chart = sheet.chart
    seen = np.ones(len(chart.row), dtype=np.bool_)
    if between_mm is not None:
        near, y = chart.width_mm, np.stack([chart.foot_mm[:, 1], chart.top_mm[:, 1]])
        seen = (y.max(axis=0) > between_mm[0] - near) & (y.min(axis=0) < between_mm[1] + near)
    for row in np.unique(chart.row[seen]).tolist():  # row by row: other threads get their turn
        stroke, here = sheet.stroke_of(row), seen & (chart.row == row)
        pen = symbol_pen(stroke.width_mm * placing.scale, stroke.colour)
        stems = chart.symbol[here], chart.foot_mm[here], chart.top_mm[here]
        for first in range(0, len(stems[0]), _AT_ONCE):
            some = slice(first, first + _AT_ONCE)
            part = stems[0][some], stems[1][some], stems[2][some]
            yield partial(_paint_stems, part, placing, pen)


def _paint_stems(
    stems: tuple[Indices, Floats, Floats], placing: Placing, pen: QPen, painter: QPainter
) -> None:
    paint_symbols(painter, *stems, placing, pen)


def _paint_around(painter: QPainter, sheet: Sheet, placing: Placing, family: str) -> None:
    """Paint the key, what marks repeat and scale, numbers and words."""
    pen = symbol_pen(sheet.key_stroke_mm * placing.scale, sheet.ink)
    paint_symbols(painter, sheet.key_symbol, sheet.key_foot_mm, sheet.key_top_mm, placing, pen)
    line = symbol_pen(sheet.line_mm * placing.scale, sheet.ink)
    painter.setPen(line)
    draw_lines(painter, placing.points(sheet.lines_mm))
    for patch in sheet.patches:
        painter.setPen(symbol_pen(0.5 * sheet.line_mm * placing.scale, sheet.ink))
        painter.setBrush(QColor(patch.colour))
        painter.drawPolygon(polygon_of(placing.points(patch.outline_mm)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
    for text in sheet.texts:
        paint_text(
            painter, text, placing, family=family, ink=sheet.quiet_ink if text.quiet else sheet.ink
        )


def paint_guides(painter: QPainter, sheet: Sheet, placing: Placing) -> None:
    """Paint the dashed lines between rows."""
    if sheet.guides_mm:
        pen = symbol_pen(sheet.line_mm * placing.scale, sheet.quiet_ink)
        pen.setDashPattern([4.0, 4.0])
        painter.setPen(pen)
        for guide in sheet.guides_mm:
            painter.drawPolyline(polygon_of(placing.points(guide)))


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
    font, shift, _ = _set(text, family)
    scale = text.size_mm * placing.scale / _TEXT_PX
    painter.save()
    at = placing.points(np.array([text.x_mm, text.y_mm]))
    painter.translate(QPointF(float(at[0]), float(at[1])))
    painter.scale(scale, scale)
    painter.setFont(font)
    painter.setPen(QColor(ink))
    painter.drawText(QPointF(shift, 0.36 * _TEXT_PX), text.text)
    painter.restore()


def _set(text: Text, family: str) -> tuple[QFont, float, float]:
    """Return the font, how far the text begins from its anchor, and its width, all unscaled."""
    font, wide = _width(text.text, family, bold=text.bold)
    return font, {"start": 0.0, "middle": -0.5 * wide, "end": -wide}[text.anchor], wide


@lru_cache(maxsize=2048)
def _width(text: str, family: str, *, bold: bool) -> tuple[QFont, float]:
    font = QFont(family)
    font.setPixelSize(int(_TEXT_PX))
    font.setBold(bold)
    return font, QFontMetricsF(font).horizontalAdvance(text)


def fitted(bounds_mm: tuple[float, float, float, float], into: QRectF) -> Placing:
    """Return the placing that shows all of the bounds, centred in `into`."""
    left, bottom, right, top = bounds_mm
    scale = min(into.width() / (right - left), into.height() / (top - bottom))
    x = into.center().x() - scale * 0.5 * (left + right)
    y = into.center().y() + scale * 0.5 * (bottom + top)
    return Placing(scale, x, y)
