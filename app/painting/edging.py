"""Fill rows and border as bands in their yarns' colours, painted over the fabric's picture."""

from typing import Final

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPixmap

from app.painting.chart import Placing
from app.painting.strokes import draw_lines, polygon_of
from core.edging.bands import FillBand, Rim, extent_mm, fill_bands, rim_of
from core.palette.sight import PLAIN, Sight, seen
from core.pipeline import Results
from core.records import Struct

_SEEN_PX: Final = 4.0  # width of a stitch from which its sides are drawn
_SIDE: Final = 118  # darkness of a stitch's sides, as Qt counts it


class EdgingShapes(Struct, frozen=True, eq=False):
    """What is worked round one blanket.

    Attributes:
        of: The results it belongs to.
        bands: Fill rows.
        rim: The border.
        extent_mm: Left, bottom, right and top with all of it.
    """

    of: Results
    bands: tuple[FillBand, ...]
    rim: Rim | None
    extent_mm: tuple[float, float, float, float]

    @property
    def is_there(self) -> bool:
        """Whether there is anything to paint."""
        return bool(self.bands) or self.rim is not None


def edging_shapes(results: Results) -> EdgingShapes:
    """Return the shapes of what is worked round a blanket."""
    bands = fill_bands(results.design, results.ends)
    rim = rim_of(results.fabric, results.ends, results.border)
    return EdgingShapes(results, bands, rim, extent_mm(results.fabric, bands, rim))


class EdgingOverlay:
    """Paints the edging, and keeps the picture for as long as nothing about it changes."""

    def __init__(self) -> None:
        self._shapes: EdgingShapes | None = None
        self._kept: tuple[object, QPixmap] | None = None

    def shapes(self, results: Results) -> EdgingShapes:
        """Return the shapes, worked out once for the same results."""
        if self._shapes is None or self._shapes.of is not results:
            self._shapes = edging_shapes(results)
        return self._shapes

    def paint(
        self,
        painter: QPainter,
        results: Results,
        placing: Placing,
        room: QRectF,
        *,
        sight: Sight = PLAIN,
    ) -> None:
        """Paint the edging over the fabric.

        Args:
            painter: In the widget's pixels.
            results: The blanket.
            placing: How its millimetres map to them.
            room: The part of the widget that is seen.
            sight: How colours are seen.
        """
        shapes = self.shapes(results)
        if not shapes.is_there:
            return
        fine = painter.device().devicePixelRatioF()
        key = (
            shapes,
            placing.scale,
            placing.x,
            placing.y,
            room.width(),
            room.height(),
            sight,
            fine,
        )
        if self._kept is None or self._kept[0] != key:
            picture = QPixmap(room.size().toSize() * fine)
            picture.setDevicePixelRatio(fine)
            picture.fill(Qt.GlobalColor.transparent)
            with QPainter(picture) as inner:
                inner.setRenderHint(QPainter.RenderHint.Antialiasing)
                inner.translate(-room.topLeft())
                paint_edging(inner, shapes, placing, sight=sight)
            self._kept = key, picture
        painter.drawPixmap(room.topLeft(), self._kept[1])


def paint_edging(
    painter: QPainter, shapes: EdgingShapes, placing: Placing, *, sight: Sight = PLAIN
) -> None:
    """Paint fill rows and border."""
    yarns = shapes.of.design.yarns
    colours = [QColor(seen(yarn.colour, sight)) for yarn in yarns]
    if shapes.rim is not None:
        _paint_rim(painter, shapes.rim, placing, colours[shapes.rim.yarn])
    stitch_px = shapes.of.fabric.size.width_mm * placing.scale
    for band in shapes.bands:
        _paint_band(painter, band, placing, colours[band.yarn], stitch_px)


def _paint_band(
    painter: QPainter, band: FillBand, placing: Placing, colour: QColor, stitch_px: float
) -> None:
    painter.setPen(QPen(colour.darker(_SIDE), 1.0))
    painter.setBrush(colour)
    painter.drawPolygon(polygon_of(placing.points(band.outline_mm())))
    if stitch_px >= _SEEN_PX:
        painter.setPen(QPen(colour.darker(_SIDE), max(0.08 * stitch_px, 0.6)))
        draw_lines(painter, placing.points(band.cells_mm[:, [1, 2]]))


def _paint_rim(painter: QPainter, rim: Rim, placing: Placing, colour: QColor) -> None:
    """Paint what lies between the first and the last closed line, and the line of every round."""
    loops = [polygon_of(placing.points(loop)) for loop in rim.loops_mm]
    ring = QPainterPath()
    ring.setFillRule(Qt.FillRule.OddEvenFill)
    for loop in (loops[0], loops[-1]):
        ring.addPolygon(loop)
        ring.closeSubpath()
    painter.fillPath(ring, colour)
    painter.setPen(QPen(colour.darker(_SIDE), 0))
    for loop in loops:
        painter.drawPolyline(loop)
