"""One end of a blanket to scale: a corner and two repeats, before and after its fill rows."""

from itertools import pairwise
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from app.painting.chart import Placing, paint_symbols, symbol_pen
from app.painting.strokes import Floats, polygon_of
from app.theme import Tones
from core.chart.symbols import NUMBER
from core.edging.bands import cells_mm
from core.edging.edits import place_in
from core.edging.fill import Fill
from core.edging.outline import EndName, Outline
from core.pipeline import Results
from core.records import Struct
from core.stripes.colour import grey_of, lightness

REPEATS_SHOWN: Final = 2
_UNDER_ROWS: Final = 2  # rows of the blanket shown beside the end
_MOST_PX_PER_MM: Final = 4.0
_LABEL_PX: Final = 62.0  # beside the drawing, for the bump; more in large type
_DIM_PX: Final = 10.0
_LABEL_FROM_PX: Final = 1.4 * _DIM_PX


class EndPicture(Struct, frozen=True, eq=False):
    """What is drawn of one end.

    Attributes:
        outline: The end as it is.
        fill: Its fill rows, if there are any.
        first: Number of the first stitch shown, from the fabric's left edge.
        n: Stitches shown.
        under_mm: The last rows of the blanket, innermost first, each of shape (n, 2).
        under_yarns: Yarns of what lies between those rows.
        cells_mm: The stitches of every fill row, each of shape (n, 4, 2).
        stitches: Names of those stitches.
    """

    outline: Outline
    fill: Fill | None
    first: int
    n: int
    under_mm: tuple[Floats, ...]
    under_yarns: tuple[int, ...]
    cells_mm: tuple[Floats, ...]
    stitches: tuple[tuple[str, ...], ...]

    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Return left, bottom, right and top."""
        every = np.concatenate([*self.under_mm, *(c.reshape(-1, 2) for c in self.cells_mm)])
        low, high = every.min(axis=0), every.max(axis=0)
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])

    def cell_at(self, x_mm: float, y_mm: float) -> tuple[int, int] | None:
        """Return the fill row and the stitch of the blanket at a place, None if there is none."""
        for row, cells in enumerate(self.cells_mm):
            for place, cell in enumerate(cells):
                shape = polygon_of(cell)
                if shape.containsPoint(QPointF(x_mm, y_mm), Qt.FillRule.OddEvenFill):
                    return row, self.first + place
        return None


def end_picture(results: Results, end: EndName) -> EndPicture | None:
    """Return what is drawn of one end, None if there is nothing to see."""
    outline = results.ends.outlines.get(end)
    if outline is None:
        return None
    fill = results.ends.fills.get(end)
    whole = len(outline.tops_mm)
    repeats = min(REPEATS_SHOWN, outline.repeats) * outline.width
    at_left = outline.left <= outline.right  # the corner that takes less room
    n = min((outline.left if at_left else outline.right) + repeats + 1, whole)
    first = 0 if at_left else whole - n
    shown = slice(first, first + n)
    last = results.fabric.n_rows
    under = [max(last - k, 0) if end == "top" else min(k, last) for k in range(_UNDER_ROWS, -1, -1)]
    left, right = outline.tops_mm[shown][[0, -1], 0]
    near = 0.5 * results.fabric.size.width_mm
    rows = [_between(results.fabric.row_tops_mm(row), left - near, right + near) for row in under]
    yarns = results.yarn_of_row
    worked_in = [int(yarns[max(max(one, other) - 1, 0)]) for one, other in pairwise(under)]
    cells, stitches = [], []
    feet = outline.tops_mm
    for number, tops in enumerate(fill.tops_mm if fill else ()):
        cells.append(cells_mm(feet, tops)[shown])
        along = fill.rows[number].along(outline.repeats) if fill else ()
        stitches.append(along[shown])
        feet = tops
    return EndPicture(
        outline=outline,
        fill=fill,
        first=first,
        n=n,
        under_mm=(*rows[:-1], outline.tops_mm[shown]),
        under_yarns=tuple(worked_in),
        cells_mm=tuple(cells),
        stitches=tuple(stitches),
    )


def _between(tops: Floats, left: float, right: float) -> Floats:
    """Return the part of a row that lies between two places across, two stitches at least."""
    inside = np.flatnonzero((tops[:, 0] >= left) & (tops[:, 0] <= right))
    return tops[inside[0] : inside[-1] + 1] if len(inside) > 1 else tops[:2]


def label_px(metrics: QFontMetricsF, bump_text: str) -> float:
    """Return how much room the bump's words take beside the drawing."""
    return max(_LABEL_PX, _LABEL_FROM_PX + metrics.horizontalAdvance(bump_text) + 2.0)


def placed(picture: EndPicture, room: QRectF, label: float) -> Placing:
    """Return how the picture lies in the room: to scale, against the left edge.

    `label` is the room for the bump's words, from `label_px`.
    """
    left, bottom, right, top = picture.bounds_mm()
    scale = min(
        (room.width() - label) / max(right - left, 1e-6),
        room.height() / max(top - bottom, 1e-6),
        _MOST_PX_PER_MM,
    )
    y = room.center().y() + scale * 0.5 * (top + bottom)
    return Placing(scale, room.left() - scale * left, y)


def height_for(picture: EndPicture, width: float, label: float) -> float:
    """Return the height in which the picture fills so much width, the bump's words in it."""
    left, bottom, right, top = picture.bounds_mm()
    scale = min((width - label) / max(right - left, 1e-6), _MOST_PX_PER_MM)
    return scale * (top - bottom)


def paint_end(
    painter: QPainter,
    picture: EndPicture,
    results: Results,
    placing: Placing,
    tones: Tones,
    *,
    fill_yarn: int | None,
    chosen: tuple[int, int] | None,
    strong: bool,
    bump_text: str,
) -> None:
    """Paint one end.

    Args:
        painter: Where to paint.
        picture: From `end_picture`.
        results: The blanket.
        placing: From `placed`.
        tones: The window's colours.
        fill_yarn: Number of the fill's yarn.
        chosen: Fill row and stitch to mark, with its likes in the other repeats.
        strong: Whether keys act on it.
        bump_text: What stands beside the bump's dimension.
    """
    yarns = results.design.yarns
    for number, yarn in enumerate(picture.under_yarns):
        one, other = picture.under_mm[number], picture.under_mm[number + 1]
        painter.setPen(QPen(QColor(yarns[yarn].colour).darker(118), 1))
        painter.setBrush(QColor(yarns[yarn].colour))
        painter.drawPolygon(polygon_of(placing.points(np.concatenate([one, other[::-1]]))))
    if fill_yarn is not None:
        _paint_cells(painter, picture, placing, yarns[fill_yarn].colour)
    before = polygon_of(placing.points(picture.under_mm[-1]))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((tones.sheet, 3.5), (tones.ink, 1.5)):
        painter.setPen(QPen(QColor(colour), width))
        painter.drawPolyline(before)
    if picture.cells_mm:
        last = picture.cells_mm[-1]
        after = np.vstack([last[:, 3], last[-1:, 2]])
        painter.setPen(QPen(QColor(tones.ink), 1.5, Qt.PenStyle.DashLine))
        painter.drawPolyline(polygon_of(placing.points(after)))
    if chosen is not None:
        _mark(painter, picture, placing, tones, chosen, wide=2.5 if strong else 1.5)
    _paint_bump(painter, picture, placing, tones, bump_text)


def _paint_cells(painter: QPainter, picture: EndPicture, placing: Placing, colour: str) -> None:
    yarn = QColor(colour)
    painter.setBrush(yarn)
    painter.setPen(QPen(yarn.darker(125), 1))
    for cells in picture.cells_mm:
        for cell in placing.points(cells):
            painter.drawPolygon(polygon_of(cell))
    ink = "#201c18" if lightness(grey_of(colour)) > 50 else "#f8f4ec"
    pen = symbol_pen(max(0.9, 0.5 * placing.scale), ink)
    for cells, stitches in zip(picture.cells_mm, picture.stitches, strict=True):
        symbols = np.array([NUMBER[name] for name in stitches], dtype=np.intp)
        feet = 0.5 * (cells[:, 0] + cells[:, 1])
        tops = 0.5 * (cells[:, 2] + cells[:, 3])
        inset = 0.12 * (tops - feet)
        paint_symbols(painter, symbols, feet + inset, tops - inset, placing, pen)


def _mark(
    painter: QPainter,
    picture: EndPicture,
    placing: Placing,
    tones: Tones,
    chosen: tuple[int, int],
    *,
    wide: float,
) -> None:
    row, place = chosen
    part = place_in(picture.outline, place)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for other in range(picture.n):
        if place_in(picture.outline, picture.first + other) != part:
            continue
        shape: QPolygonF = polygon_of(placing.points(picture.cells_mm[row][other]))
        for colour, width in ((tones.sheet, wide + 2.0), (tones.accent, wide)):
            painter.setPen(QPen(QColor(colour), width))
            painter.drawPolygon(shape)


def _paint_bump(
    painter: QPainter, picture: EndPicture, placing: Placing, tones: Tones, text: str
) -> None:
    """Paint the two levels between which the end still goes up and down, and what that is."""
    outline, fill = picture.outline, picture.fill
    tops = fill.tops_mm[-1] if fill else outline.tops_mm
    levels = tops[outline.middle, 1]
    right = placing.points(np.array([picture.bounds_mm()[2], 0.0]))[0]
    low, high = (placing.points(np.array([0.0, y]))[1] for y in (levels.min(), levels.max()))
    painter.setPen(QPen(QColor(tones.muted), 1))
    for y in (low, high):
        painter.drawLine(QPointF(right - _DIM_PX, y), QPointF(right + _DIM_PX, y))
    x = right + 0.6 * _DIM_PX
    painter.drawLine(QPointF(x, low), QPointF(x, high))
    painter.setPen(QColor(tones.ink))
    wide = label_px(QFontMetricsF(painter.font()), text) - _LABEL_FROM_PX
    box = QRectF(right + _LABEL_FROM_PX, 0.5 * (low + high) - 20, wide, 40)
    painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
