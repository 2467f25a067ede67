"""The paper that a wave is drawn on: stitches, rulers, the wave as it is, points and a hint.

It only paints; what is drawn and what hands do is `sketch_surface`.
"""

from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.painting.chart import Placing
from app.painting.strokes import Floats, draw_lines, polygon_of
from app.theme import Tones
from app.views.figures import number
from core.craft.units import MM_PER_IN
from core.design.document import Units
from core.records import Struct

RULER_PX: Final = 24
_LEAST_GRID_PX: Final = 6.0
_HINT: Final = "Draw a wave here with the mouse, or press Enter to begin with the wave as it is."


def paint_line(painter: QPainter, line_px: Floats, pen: QPen) -> None:
    """Paint a line through points in pixels, shape (n, 2)."""
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(polygon_of(line_px))


class Paper(Struct, frozen=True):
    """The paper as it is to be painted.

    Attributes:
        placing: How millimetres map to pixels; x = 0 is where the ruler begins.
        size: Of the widget.
        tones: What it is painted in.
    """

    placing: Placing
    size: QSize
    tones: Tones

    @property
    def _bottom_px(self) -> int:
        return self.size.height() - RULER_PX

    def paint_grid(self, painter: QPainter, stitch_mm: tuple[float, float]) -> None:
        """Paint the stitches of a plain swatch; every other few where they would crowd."""
        placing, wide, bottom = self.placing, self.size.width(), float(self._bottom_px)
        tone = QColor(self.tones.hairline)
        tone.setAlphaF(0.45)
        painter.setPen(QPen(tone, 1))
        for axis, size in enumerate(stitch_mm):
            step = size * placing.scale
            step *= np.ceil(_LEAST_GRID_PX / step)
            if axis == 0:
                at = np.arange(placing.x % step, wide, step)
                ends = [(at, np.zeros_like(at)), (at, np.full_like(at, bottom))]
            else:
                at = np.arange(placing.y % step, bottom, step)
                ends = [(np.full_like(at, RULER_PX), at), (np.full_like(at, wide), at)]
            draw_lines(painter, np.stack([np.stack(end, axis=1) for end in ends], axis=1))

    def paint_wave(self, painter: QPainter, now_mm: Floats) -> None:
        """Paint the wave as it is, faintly, all along the paper."""
        if not len(now_mm):
            return
        wide = float(np.ptp(now_mm[:, 0]))
        seen = (self.size.width() - self.placing.x) / self.placing.scale
        turns = np.arange(0, int(seen / wide) + 1)
        line = np.concatenate([now_mm + (n * wide, 0.0) for n in turns])
        tone = QColor(self.tones.muted)
        tone.setAlphaF(0.5)
        paint_line(painter, self.placing.points(line), QPen(tone, 2))

    def paint_points(self, painter: QPainter, points_mm: Floats, chosen: int) -> None:
        """Paint control points, with a ring round the chosen one."""
        for n, (x, y) in enumerate(self.placing.points(points_mm).tolist()):
            is_chosen = n == chosen
            painter.setPen(QPen(QColor(self.tones.accent), 2))
            painter.setBrush(QColor(self.tones.accent if is_chosen else self.tones.field))
            radius = 6 if is_chosen else 4.5
            painter.drawEllipse(QPointF(x, y), radius, radius)
            if is_chosen:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(QPointF(x, y), 10, 10)

    def paint_rulers(self, painter: QPainter, units: Units) -> None:
        """Paint rulers below and at the left; heights count from the middle of the wave."""
        placing, tones, top = self.placing, self.tones, self._bottom_px
        per_px = (10.0 if units == "cm" else MM_PER_IN) * placing.scale
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        painter.fillRect(0, top, self.size.width(), RULER_PX, QColor(tones.ground))
        painter.fillRect(0, 0, RULER_PX, self.size.height(), QColor(tones.ground))
        painter.setPen(QColor(tones.muted))
        step = next((s for s in (1, 2, 5, 10, 20, 50) if s * per_px >= 36), 100)
        for n in range(0, int((self.size.width() - placing.x) / per_px) + 1, step):
            x = round(placing.x + n * per_px)
            painter.drawLine(x, top, x, top + 4)
            text = number(n) if n else f"0 {units}"
            box = QRectF(x - 30, top + 4, 60, RULER_PX - 4)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
        to_right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        reach = int(0.5 * top / per_px)
        for n in range(-(reach // step) * step, reach + 1, step):
            y = round(placing.y - n * per_px)
            if not 8 <= y <= top - 8:
                continue
            painter.drawLine(RULER_PX - 4, y, RULER_PX, y)
            painter.drawText(QRectF(0, y - 10, RULER_PX - 5, 20), to_right, number(n))

    def paint_hint(self, painter: QPainter) -> None:
        """Paint what to do, while nothing is drawn."""
        painter.setPen(QColor(self.tones.ink))
        box = QRectF(RULER_PX, 8, self.size.width() - RULER_PX, 28)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, _HINT)
