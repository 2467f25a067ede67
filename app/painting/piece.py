"""A small settled piece: its rows in their yarns, its posts as thin lines."""

import numpy as np
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.painting.chart import Placing
from app.painting.strokes import Floats, draw_lines, polygon_of
from core.doctor.piece import Piece
from core.stripes.colour import grey_of, lightness


def paint_piece(
    painter: QPainter, piece: Piece, placing: Placing, colours: list[str], outline: str
) -> None:
    """Paint a piece.

    Args:
        painter: Where to paint.
        piece: The piece.
        placing: How it lies there.
        colours: A colour for each of its rows, from the first.
        outline: Colour of the line around it.
    """
    lines = [placing.points(_edged(piece.row_mm(row))) for row in range(piece.n_rows + 1)]
    posts, first = placing.points(piece.posts_mm), 0
    for row in range(1, piece.n_rows + 1):
        colour = QColor(colours[row - 1])
        painter.setPen(QPen(colour.darker(115), 1))
        painter.setBrush(colour)
        painter.drawPolygon(polygon_of(np.concatenate([lines[row - 1], lines[row][::-1]])))
        end = first + piece.posts_of_row[row - 1]
        is_light = lightness(grey_of(colours[row - 1])) > 50
        ink = colour.darker(165) if is_light else colour.lighter(165)
        painter.setPen(QPen(ink, max(0.09 * piece.width_mm * placing.scale, 0.6)))
        draw_lines(painter, posts[first:end])
        first = end
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(outline), 1.2))
    for line in (lines[0], lines[-1]):
        painter.drawPolyline(polygon_of(line))
    for side in (0, -1):
        painter.drawPolyline(polygon_of(np.array([line[side] for line in lines])))


def placed_in(bounds_mm: tuple[float, float, float, float], room: QRectF) -> Placing:
    """Return the placing that shows the bounds as large as they fit, in the middle."""
    left, bottom, right, top = bounds_mm
    scale = min(room.width() / max(right - left, 1e-6), room.height() / max(top - bottom, 1e-6))
    x = room.center().x() - scale * 0.5 * (left + right)
    return Placing(scale, x, room.center().y() + scale * 0.5 * (bottom + top))


def _edged(tops: Floats) -> Floats:
    """Return a row's tops with both ends moved out by half a stitch."""
    if len(tops) < 2:
        return tops
    before = tops[0] - 0.5 * (tops[1] - tops[0])
    after = tops[-1] + 0.5 * (tops[-1] - tops[-2])
    return np.concatenate([before[np.newaxis], tops, after[np.newaxis]])
