"""Strain over the fabric: what is stretched and may show holes, what is squeezed and may pucker.

Large stitches show each post and each piece of row in its colour; small ones are averaged over
cells. The strain itself is worked out off the GUI thread, once for each fabric.
"""

from typing import Final

import numpy as np
from PySide6.QtCore import QObject, QPointF, QRectF, QSizeF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap

from app.computing import LatestWins, ShouldStop
from app.painting.chart import Placing
from app.painting.strain import (
    StrainSigns,
    colour_number,
    paint_cells,
    scale_of,
    sign_level,
)
from app.painting.strokes import Floats, draw_lines
from app.theme import Tones
from app.views.figures import number
from core.craft.numbers import median
from core.fabric.sheet import Fabric
from core.fabric.steady import period_of
from core.fabric.strain import FabricStrain, fabric_strain, stitch_strain
from core.fabric.strain_map import rows_in_view, strain_cells
from core.pipeline import Results
from core.records import Struct

_FINE_PX: Final = 12.0  # from this stitch width on posts may be drawn one by one,
_FEW_STITCHES: Final = 2500  # if so many at most are in sight
_LEAST_CELL_PX: Final = 4.0
_BLOCK_PX: Final = 22.0  # one sign at most in a square of this
_VEIL: Final = 190


class StrainOverlay(QObject):
    """Paints strain; keeps what was worked out for the fabric shown."""

    changed = Signal()  # the strain asked for is there

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._asked: Fabric | None = None
        self._known: tuple[Fabric, FabricStrain] | None = None
        self.signs = StrainSigns()
        self._layer: QPixmap | None = None
        self._layer_of: object = None
        self._worker = LatestWins(_strain_of, self)
        self._worker.finished.connect(self._on_found)

    def close(self) -> None:
        """Stop the thread."""
        self._worker.close()

    def strain_of(self, results: Results) -> FabricStrain | None:
        """Return the strain of the fabric shown, or None until it has been worked out."""
        fabric = results.fabric
        if self._known is not None and self._known[0] is fabric:
            return self._known[1]
        if self._asked is not fabric:
            self._asked = fabric
            self._worker.submit(results)
        return None

    def span_of(self, results: Results) -> tuple[float, float] | None:
        """Return the least and the greatest strain, or None if it isn't known (yet)."""
        strain = self.strain_of(results) if has_shape(results) else None
        return strain.span if strain is not None else None

    def words(self, results: Results, row: int, stitch: int) -> str:
        """Return what is strained at a stitch in a few words; nothing if it isn't known (yet)."""
        strain = self.strain_of(results) if has_shape(results) else None
        if strain is None or not 0 <= row <= results.fabric.n_rows:
            return ""
        if not 0 <= stitch < len(results.fabric.row_tops_mm(row)):
            return ""
        found = stitch_strain(strain, results.fabric, row, stitch)
        parts = [
            f"{name} {percent(value)}"
            for name, value in (("post", found.post), ("row", found.course))
            if value is not None
        ]
        return ", ".join(parts)

    def paint(
        self,
        painter: QPainter,
        results: Results,
        placing: Placing,
        fabric_px: QRectF,
        canvas: QRectF,
        tones: Tones,
    ) -> None:
        """Paint the strain over a faded fabric; what was painted last is kept."""
        seen = fabric_px.intersected(canvas)
        if seen.isEmpty() or not has_shape(results):
            return
        strain = self.strain_of(results)
        ratio = painter.device().devicePixelRatioF()
        asked = (id(strain), placing, canvas.width(), canvas.height(), ratio, tones)
        if self._layer is None or asked != self._layer_of:
            self._layer_of = asked
            self._layer = self._painted(strain, results.fabric, placing, seen, canvas, ratio, tones)
        painter.drawPixmap(QPointF(0, 0), self._layer)

    def _painted(
        self,
        strain: FabricStrain | None,
        fabric: Fabric,
        placing: Placing,
        seen: QRectF,
        canvas: QRectF,
        ratio: float,
        tones: Tones,
    ) -> QPixmap:
        layer = QPixmap(QSizeF(canvas.size() * ratio).toSize())
        layer.setDevicePixelRatio(ratio)
        layer.fill(Qt.GlobalColor.transparent)
        with QPainter(layer) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            veil = QColor(tones.sheet)
            veil.setAlpha(_VEIL)
            painter.fillRect(seen, veil)
            painter.setClipRect(seen)
            if strain is not None:
                piece = _Piece(fabric, strain, placing, seen)
                if piece.is_fine:
                    _paint_posts(painter, piece, self.signs, tones)
                else:
                    _paint_cells(painter, piece, self.signs, tones)
        return layer

    def _on_found(self, answer: tuple[Fabric, FabricStrain]) -> None:
        if answer[0] is self._asked:
            self._known = answer
            self.changed.emit()


class _Piece(Struct, frozen=True, eq=False):
    """What is to be painted: strained fabric, how it is placed, and what of it shows."""

    fabric: Fabric
    strain: FabricStrain
    placing: Placing
    seen: QRectF

    @property
    def stitch_px(self) -> float:
        return self.fabric.size.width_mm * self.placing.scale

    @property
    def is_fine(self) -> bool:
        """Whether stitches are large and few enough to be drawn one by one."""
        height_px = median(self.fabric.size.heights_mm) * self.placing.scale
        room = self.seen.width() * self.seen.height()
        return self.stitch_px >= _FINE_PX and room <= _FEW_STITCHES * self.stitch_px * height_px

    @property
    def window_mm(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of what shows."""
        seen, now = self.seen, self.placing
        x = [(edge - now.x) / now.scale for edge in (seen.left(), seen.right())]
        y = [(now.y - edge) / now.scale for edge in (seen.bottom(), seen.top())]
        return x[0], y[0], x[1], y[1]


def _paint_cells(painter: QPainter, piece: _Piece, signs: StrainSigns, tones: Tones) -> None:
    """Paint the mean strain of cells, and a sign in every block of them."""
    placing = piece.placing
    cell_mm = max(piece.stitch_px, _LEAST_CELL_PX) / placing.scale
    cells = strain_cells(piece.fabric, piece.strain, piece.window_mm, cell_mm)
    down, across = cells.mean.shape
    side = cells.cell_mm * placing.scale
    x, y = placing.points(np.array([cells.left_mm, cells.top_mm])).tolist()
    paint_cells(painter, cells.mean, QRectF(x, y, across * side, down * side), tones)
    strain, middles = cells.strongest(max(round(_BLOCK_PX / side), 1))
    signs.draw(painter, placing.points(middles), sign_level(strain), tones)


def _paint_posts(painter: QPainter, piece: _Piece, signs: StrainSigns, tones: Tones) -> None:
    """Paint posts and pieces of row one by one, with a sign on the strained ones."""
    lines_mm, amount = _springs(piece)
    lines, seen = piece.placing.points(lines_mm), piece.seen
    inside = lines[..., 0].max(axis=1) > seen.left()
    inside &= lines[..., 0].min(axis=1) < seen.right()
    lines, amount = lines[inside], amount[inside]
    which, colours = colour_number(amount), scale_of(tones)
    none = len(colours) // 2
    painter.setPen(QPen(QColor(tones.hairline), 1))
    draw_lines(painter, lines[which == none])
    for index in np.unique(which[which != none]).tolist():
        width = min(0.14 * piece.stitch_px, 6.0) * (0.6 + 0.08 * abs(index - none))
        painter.setPen(QPen(QColor(colours[index]), max(width, 1.0)))
        draw_lines(painter, lines[which == index])
    signs.draw(painter, lines.mean(axis=1), sign_level(amount), tones)


def _springs(piece: _Piece) -> tuple[Floats, Floats]:
    """Return the posts and pieces of row in sight, shape (n, 2 ends, 2 axes), and their strain."""
    fabric, strain = piece.fabric, piece.strain
    _, bottom, _, top = piece.window_mm
    first, last = rows_in_view(fabric, bottom, top)
    if last < first:
        return np.empty((0, 2, 2)), np.empty(0)
    posts = slice(int(strain.post_starts[first]), int(strain.post_starts[last + 1]))
    tops = fabric.tops_mm
    course = np.arange(fabric.starts[first], fabric.starts[last + 1])
    course = course[~np.isin(course, fabric.starts[1:] - 1)]
    upright = np.stack([tops[strain.foot[posts]], tops[strain.top[posts]]], axis=1)
    along = np.stack([tops[course], tops[course + 1]], axis=1)
    both = np.concatenate([strain.post[posts], strain.course[course]])
    return np.concatenate([upright, along]), both


def has_shape(results: Results) -> bool:
    """Return whether the fabric is one that settles, not straight rows or a stand-in for it."""
    steady = results.fabric.steady
    period = period_of(len(results.design.wave.rows_in_turn))
    return steady is not None and results.rows.misfit is None and steady.period == period


def percent(strain: float) -> str:
    """Return a strain in words."""
    share = number(100 * abs(strain), 0)
    if share == "0":
        return "at rest"
    return f"{'stretched' if strain > 0 else 'squeezed'} by {share} %"


def _strain_of(results: Results, should_stop: ShouldStop) -> tuple[Fabric, FabricStrain]:
    del should_stop  # a tenth of a second for the largest blanket
    return results.fabric, fabric_strain(results.fabric, results.rows)
