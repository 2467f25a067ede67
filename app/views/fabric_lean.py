"""Lean: one repeat, larger, with the angle of each stitch's post and the rise of the row."""

from itertools import groupby
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from app.painting.chart import Placing, fitted
from app.painting.strokes import Floats, draw_lines
from app.theme import UNIT, Tones
from app.views.fabric_strain import has_shape
from app.views.figures import number, small_length
from core.design.document import Units
from core.fabric.columns import Columns, repeat_columns
from core.pipeline import Results

LEAN_PX: Final = 15 * UNIT
"""Height that the card takes at the foot of the canvas."""

_WIDEST: Final = 460.0


def columns_at(results: Results, row: int, stitch: int) -> Columns | None:
    """Return the repeat at a stitch, or one in the middle of the blanket if none is meant.

    None where the fabric has no settled shape.
    """
    rows = results.rows
    if not has_shape(results):
        return None
    if not 1 <= row <= results.fabric.n_rows or stitch < 0:
        row = max((rows.drawn_rows + 1) // 2, 1)
        stitch = rows.makes(min(row, rows.drawn_rows)) // 2
    return repeat_columns(results.fabric, rows, row, stitch)


def paint_lean(
    painter: QPainter,
    columns: Columns,
    placing: Placing,
    room: QRectF,
    units: Units,
    tones: Tones,
) -> None:
    """Paint the posts in their place on the fabric, and a card with the repeat enlarged.

    Args:
        painter: With the font to write in.
        columns: The repeat.
        placing: Where the fabric lies on the canvas.
        room: The part of the canvas that the card may use; it goes to the foot of it.
        units: Of the rise.
        tones: The tones in force.
    """
    posts = _posts_mm(columns)
    for colour, width in ((tones.sheet, 3.0), (tones.accent, 1.5)):
        painter.setPen(QPen(QColor(colour), width))
        draw_lines(painter, placing.points(posts))
    width = min(room.width() - 6 * UNIT, _WIDEST)
    if width < 20 * UNIT:
        return
    top = room.bottom() - LEAN_PX
    card = QRectF(room.center().x() - 0.5 * width, top, width, LEAN_PX - UNIT)
    painter.setPen(QPen(QColor(tones.hairline), 1))
    painter.setBrush(QColor(tones.sheet))
    painter.drawRoundedRect(card, 6, 6)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    _paint_repeat(painter, columns, card.adjusted(UNIT, UNIT, -UNIT, -UNIT), units, tones)


def _posts_mm(columns: Columns) -> Floats:
    posts = np.stack([columns.feet_mm, columns.tops_mm], axis=1)
    known: Floats = posts[~np.isnan(columns.lean_deg)]
    return known


def _paint_repeat(
    painter: QPainter, columns: Columns, box: QRectF, units: Units, tones: Tones
) -> None:
    metrics = QFontMetricsF(painter.font())
    painter.setPen(QColor(tones.muted))
    title = f"Lean, row {columns.row}"
    painter.drawText(box, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop, title)
    rise = f"rise {small_length(columns.rise_mm, units)}"
    right = max(metrics.horizontalAdvance(text) for text in (rise, title)) + 3 * UNIT
    inner = box.adjusted(UNIT, 1.5 * metrics.height(), -right, 0)
    points = np.concatenate([columns.tops_mm, columns.feet_mm])
    points = points[~np.isnan(points).any(axis=1)]
    (left, bottom), (end, top) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    here = fitted((left, bottom, end, top), inner)
    painter.setPen(QPen(QColor(tones.ink), 1.4))
    draw_lines(painter, here.points(_posts_mm(columns)))
    tops = here.points(columns.tops_mm)
    painter.setPen(QPen(QColor(tones.ink), 2.2))
    painter.drawPolyline(QPolygonF([QPointF(*at) for at in tops.tolist()]))
    _paint_angles(painter, columns, tops, box.top(), tones)
    _paint_rise(painter, here, columns, inner.right() + 1.5 * UNIT, rise, tones)


def _paint_angles(
    painter: QPainter, columns: Columns, tops: Floats, highest: float, tones: Tones
) -> None:
    """Write the angles over the posts, neighbours that lean alike together."""
    metrics = QFontMetricsF(painter.font())
    painter.setPen(QColor(tones.ink))
    taken: list[QRectF] = []
    known = [n for n in range(len(tops)) if not np.isnan(columns.lean_deg[n])]
    for lean, group in groupby(known, key=lambda n: round(float(columns.lean_deg[n]))):
        members = list(group)
        text = f"{abs(lean)}°"
        width, height = metrics.horizontalAdvance(text), metrics.ascent()
        x = float(tops[members, 0].mean()) - 0.5 * width
        y = float(tops[members, 1].min()) - 5.0
        tried = [QRectF(x, y - height * (line + 1), width, height - 1) for line in (0, 1, 2)]
        tried = [box for box in tried if box.top() >= highest]
        free = [box for box in tried if not any(box.intersects(other) for other in taken)]
        if free:  # otherwise there is no room: the status line and the report have it
            taken.append(free[0].adjusted(-2, 0, 2, 0))
            painter.drawText(free[0].bottomLeft(), text)


def _paint_rise(
    painter: QPainter, here: Placing, columns: Columns, x: float, text: str, tones: Tones
) -> None:
    """Paint the rise as a dimension line from the row below to this row."""
    y = float(here.points(columns.tops_mm)[-1, 1])
    low = y + here.scale * columns.rise_mm
    painter.setPen(QPen(QColor(tones.muted), 1))
    painter.drawLine(QPointF(x, y), QPointF(x, low))
    for end in (y, low):
        painter.drawLine(QPointF(x - 4, end), QPointF(x + 4, end))
    painter.setPen(QColor(tones.ink))
    middle = 0.5 * (y + low) + 0.35 * QFontMetricsF(painter.font()).ascent()
    painter.drawText(QPointF(x + UNIT, middle), text)


def lean_words(columns: Columns, stitch: int) -> str:
    """Return how one stitch of the repeat leans, in words; nothing for a stitch outside it."""
    at = stitch - columns.first
    if not 0 <= at < len(columns.lean_deg) or np.isnan(columns.lean_deg[at]):
        return ""
    lean = round(float(columns.lean_deg[at]))
    return f"leans {abs(lean)}° {'right' if lean > 0 else 'left'}" if lean else "upright"


def repeat_words(columns: Columns, units: Units) -> str:
    """Return the whole repeat in a sentence, from the left."""
    leans = ", ".join(
        "chain" if np.isnan(lean) else f"{number(lean)}°" for lean in columns.lean_deg.tolist()
    )
    rise = small_length(columns.rise_mm, units)
    return f"A row rises {rise}; from the left, right is positive, its stitches lean {leans}."
