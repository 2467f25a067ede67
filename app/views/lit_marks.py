"""How stitches that are pointed at or selected are marked on chart and fabric.

Never by colour alone: what is pointed at has a ring or an outline, what is selected a double one;
stitches it is worked into are squares on solid lines, stitches worked into it triangles on dotted
ones.
"""

from itertools import groupby
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.painting.chart import Placing
from app.painting.strokes import Floats, draw_lines, polygon_of
from app.theme import Tones
from core.fabric.sheet import Fabric
from core.records import Struct, field
from core.rows.build import Rows
from core.rows.kin import feet_of, kin_of
from core.rows.selection import Selection, Span

_RIM_PX: Final = 2.5
_PAD_PX: Final = 8.0
_LEAST_PX: Final = 5.0
_MOST_KIN_PX: Final = 9.0
_Corners = tuple[tuple[float, float], ...]
_SQUARE: Final[_Corners] = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
_TRIANGLE: Final[_Corners] = ((0.0, -1.3), (-1.2, 1.0), (1.2, 1.0))
_MOST_KIN: Final = 60  # stitches whose kin is still marked


class LitMarks(Struct):
    """Marks in the widget's pixels, ready to be painted; `rect` holds all of them."""

    rings: list[tuple[QPointF, bool]] = field(default_factory=list)  # middle, whether selected
    outlines: list[tuple[QPolygonF, bool]] = field(default_factory=list)
    parents: Floats = field(default_factory=lambda: np.empty((0, 2)))
    children: Floats = field(default_factory=lambda: np.empty((0, 2)))
    parent_lines: Floats = field(default_factory=lambda: np.empty((0, 2, 2)))
    child_lines: Floats = field(default_factory=lambda: np.empty((0, 2, 2)))
    radius: float = _LEAST_PX
    rect: QRectF = field(default_factory=QRectF)

    def paint(self, painter: QPainter, tones: Tones) -> None:
        """Paint them over whatever is there."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        self._paint_kin(painter, tones)
        for outline, selected in self.outlines:
            for pen in _pens(tones, 5.0 if selected else 2.0, selected=selected):
                painter.setPen(pen)
                painter.drawPolygon(outline)
        for at, selected in self.rings:
            radius = self.radius + (2.0 if selected else 0.0)
            for pen in _pens(tones, 5.0 if selected else 2.5, selected=selected):
                painter.setPen(pen)
                painter.drawEllipse(at, radius, radius)

    def _paint_kin(self, painter: QPainter, tones: Tones) -> None:
        accent, sheet = QColor(tones.accent), QColor(tones.sheet)
        for lines, style in (
            (self.parent_lines, Qt.PenStyle.SolidLine),
            (self.child_lines, Qt.PenStyle.DotLine),
        ):
            painter.setPen(QPen(sheet, 4.5))
            draw_lines(painter, lines)
            painter.setPen(QPen(accent, 2.0, style))
            draw_lines(painter, lines)
        half = min(0.6 * self.radius, _MOST_KIN_PX)
        shapes: list[tuple[list[float], _Corners]]
        shapes = [(at, _SQUARE) for at in self.parents.tolist()]
        shapes += [(at, _TRIANGLE) for at in self.children.tolist()]
        for pen in (QPen(sheet, 4.5), QPen(accent, 2.0)):
            painter.setPen(pen)
            for (x, y), corners in shapes:
                points = [QPointF(x + half * right, y + half * down) for right, down in corners]
                painter.drawPolygon(QPolygonF(points))


def _pens(tones: Tones, width: float, *, selected: bool) -> list[QPen]:
    """Return the pens of a mark, the widest first: rim, line, and what makes a double one."""
    pens = [QPen(QColor(tones.sheet), width + _RIM_PX), QPen(QColor(tones.accent), width)]
    if selected:
        pens.append(QPen(QColor(tones.sheet), width - 3.6))
    for pen in pens:
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return pens


def marks_of(
    rows: Rows,
    fabric: Fabric,
    placing: Placing,
    pointed: Selection | None,
    chosen: Selection | None,
) -> LitMarks:
    """Return the marks of what is pointed at and selected, on this fabric, placed like this."""
    marks = LitMarks(radius=max(0.5 * fabric.size.width_mm * placing.scale, _LEAST_PX))
    for selection, selected in ((chosen, True), (pointed, False)):
        if selection is None or selection.rows[1] > fabric.n_rows:
            continue
        if selection.is_one:
            row, stitch, _ = selection.spans[0]
            at = placing.points(fabric.row_tops_mm(row)[stitch])
            marks.rings.append((QPointF(*at.tolist()), selected))
        else:
            outlines = outlines_mm(rows, fabric, selection.spans)
            marks.outlines += [(polygon_of(placing.points(line)), selected) for line in outlines]
    main = pointed or chosen
    if main is not None and main.rows[1] <= fabric.n_rows:
        _add_kin(marks, rows, fabric, placing, main)
    marks.rect = _bounds(marks)
    return marks


def _add_kin(
    marks: LitMarks, rows: Rows, fabric: Fabric, placing: Placing, selection: Selection
) -> None:
    if len(selection.spans) > 1 or selection.count > _MOST_KIN or selection.kind == "row":
        return
    row, first, last = selection.spans[0]
    kin = kin_of(rows, row, first, last)
    if row:
        marks.parents = placing.points(fabric.row_tops_mm(row - 1)[kin.parents])
    if row < fabric.n_rows:
        marks.children = placing.points(fabric.row_tops_mm(row + 1)[kin.children])
    if first == last:
        at = placing.points(fabric.row_tops_mm(row)[first])
        marks.parent_lines = _from(at, marks.parents, marks.radius)
        marks.child_lines = _from(at, marks.children, marks.radius)


def _from(at: Floats, others: Floats, radius: float) -> Floats:
    """Return lines from the rim of a ring to other points, shape (n, 2, 2)."""
    way = others - at
    long = np.maximum(np.hypot(way[:, 0], way[:, 1])[:, np.newaxis], 1e-9)
    lines: Floats = np.stack([at + way * np.minimum(radius / long, 1.0), others], axis=1)
    return lines


def outlines_mm(rows: Rows, fabric: Fabric, spans: tuple[Span, ...]) -> list[Floats]:
    """Return an outline for every span, shape (n, 2); whole rows on each other share one."""
    found: list[Floats] = []
    for row, group in groupby(_blocks(fabric, spans), key=lambda block: block[1].row):
        mine = [(low, span) for low, span in group]
        firsts = np.array([span.first for _, span in mine])
        lasts = np.array([span.last for _, span in mine])
        for number, (low, span) in enumerate(mine):
            top = _widened(fabric.row_tops_mm(row)[span.first : span.last + 1], fabric)
            if low:  # the feet of the lowest row of the block
                if low == row:
                    left, right = feet_of(rows, row, firsts, lasts)
                    a, b = int(left[number]), int(right[number])
                else:
                    a, b = 0, len(fabric.row_tops_mm(low - 1)) - 1
                under = fabric.row_tops_mm(low - 1)[a : b + 1]
                below = _widened(under, fabric) if len(under) else top - (0.0, _high(fabric))
            else:
                below = _widened(fabric.row_tops_mm(0)[span.first : span.last + 1], fabric)
                below = below - (0.0, 0.5 * fabric.size.width_mm)
            found.append(np.concatenate([top, below[::-1]]))
    return found


def _blocks(fabric: Fabric, spans: tuple[Span, ...]) -> list[tuple[int, Span]]:
    """Return spans with the lowest row each stands for: whole rows on each other are joined."""
    blocks: list[tuple[int, Span]] = []
    for span in spans:
        whole = _is_whole(fabric, span)
        if blocks and whole and blocks[-1][1].row == span.row - 1:
            low, below = blocks[-1]
            if _is_whole(fabric, below):
                blocks[-1] = low, span
                continue
        blocks.append((span.row, span))
    return blocks


def _is_whole(fabric: Fabric, span: Span) -> bool:
    n = int(fabric.starts[span.row + 1] - fabric.starts[span.row])
    return span.first == 0 and span.last == n - 1


def _high(fabric: Fabric) -> float:
    return float(np.median(fabric.size.heights_mm))


def _widened(line: Floats, fabric: Fabric) -> Floats:
    """Return a line of tops that reaches half a stitch beyond its ends."""
    half = 0.45 * fabric.size.width_mm
    wide: Floats = np.concatenate([line[:1] - (half, 0.0), line, line[-1:] + (half, 0.0)])
    return wide


def _bounds(marks: LitMarks) -> QRectF:
    """Return the pixels that the marks take, pens included."""
    rect = QRectF()
    for at, _ in marks.rings:
        rect = rect.united(QRectF(at.x(), at.y(), 0.1, 0.1))
    for outline, _ in marks.outlines:
        rect = rect.united(outline.boundingRect())
    for points in (marks.parents, marks.children):
        if len(points):
            low, high = points.min(axis=0), points.max(axis=0)
            rect = rect.united(QRectF(QPointF(*low.tolist()), QPointF(*(high + 0.1).tolist())))
    if rect.isNull():
        return rect
    pad = 1.5 * marks.radius + _PAD_PX
    return rect.adjusted(-pad, -pad, pad, pad)
