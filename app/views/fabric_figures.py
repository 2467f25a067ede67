"""A figure of the sentence, drawn on the fabric where it is measured while it is pointed at."""

from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.painting.chart import Placing
from app.theme import Tones
from app.views.fabric_rulers import paint_dimension
from app.views.figures import counted, length_text
from core.fabric.sheet import Fabric
from core.pipeline import Results
from core.records import Struct

ON_FABRIC: Final[frozenset[str]] = frozenset(
    ("width", "length", "rows", "repeat", "wave height", "lean")
)
_OUT_PX: Final = 3.0


class Wave(Struct, frozen=True):
    """One wave of a row in the middle of the blanket, in mm.

    Attributes:
        row: The row.
        dip: Its lowest top between two peaks.
        peak: The peak right of it.
        next_peak: Where the wave comes again: one repeat further on.
        foot: The foot of the post that leans most between dip and peak.
        top: Its top.
    """

    row: int
    dip: tuple[float, float]
    peak: tuple[float, float]
    next_peak: tuple[float, float]
    foot: tuple[float, float]
    top: tuple[float, float]


def wave_in(results: Results, seen_mm: tuple[float, float]) -> Wave | None:
    """Return a wave near a place, to be measured; None without a steady wave."""
    measures, fabric = results.wave, results.fabric
    if measures is None or results.rows.misfit is not None or not fabric.n_rows:
        return None
    row = _row_at(fabric, seen_mm[1])
    tops = fabric.row_tops_mm(row)
    repeat = measures.repeat_width_mm
    left = min(max(seen_mm[0], float(tops[0, 0]) + 0.5 * repeat), float(tops[-1, 0]) - repeat)
    first = np.flatnonzero((tops[:, 0] >= left - 0.5 * repeat) & (tops[:, 0] <= left + repeat))
    if len(first) < 3:
        return None
    window = tops[first]
    peak_at = int(np.argmax(window[:, 1]))
    peak = window[peak_at]
    beside = tops[np.abs(tops[:, 0] - peak[0]) <= 0.6 * repeat]
    dip = beside[int(np.argmin(beside[:, 1]))]
    links = results.rows.fabric_links(row)
    feet = fabric.row_tops_mm(row - 1)
    low, high = sorted((float(dip[0]), float(peak[0])))
    ends = tops[links[:, 0]]
    between = (ends[:, 0] > low) & (ends[:, 0] < high)
    way = ends - feet[links[:, 1]]
    lean = np.where(between, np.abs(way[:, 0]), -1.0)
    steepest = int(np.argmax(lean))
    next_peak = (float(peak[0]) + repeat, float(peak[1]))
    if next_peak[0] > float(tops[-1, 0]) + 0.5 * repeat:
        next_peak = (float(peak[0]) - repeat, float(peak[1]))
    return Wave(
        row,
        _pair(dip),
        _pair(peak),
        next_peak,
        _pair(feet[links[steepest, 1]]),
        _pair(ends[steepest]),
    )


def _row_at(fabric: Fabric, y: float) -> int:
    """Return the row whose middle height is nearest, from 1 on."""
    means = np.add.reduceat(fabric.tops_mm[:, 1], fabric.starts[:-1]) / np.diff(fabric.starts)
    return int(np.argmin(np.abs(means[1:] - y))) + 1


def _pair(point: np.ndarray) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def paint_figure(
    painter: QPainter,
    key: str,
    results: Results,
    placing: Placing,
    fabric_px: QRectF,
    canvas: QSize,
    tones: Tones,
) -> None:
    """Paint where a figure is measured; nothing for one that has no place."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    units = results.design.units
    if key in ("length", "rows"):
        y = min(max(fabric_px.center().x(), 20.0), canvas.width() - 20.0)
        ends = QPointF(y, fabric_px.bottom()), QPointF(y, fabric_px.top())
        text = length_text(results.size.length_mm, units)
        text += f", {counted(results.design.size.rows, 'row')}"
        paint_dimension(painter, *ends, text, canvas, tones, strong=True)
        return
    if key == "width":
        y = min(max(fabric_px.center().y(), 20.0), canvas.height() - 20.0)
        ends = QPointF(fabric_px.left(), y), QPointF(fabric_px.right(), y)
        text = length_text(results.size.width_mm, units)
        paint_dimension(painter, *ends, text, canvas, tones, strong=True)
        return
    middle = QPointF(
        min(max(fabric_px.center().x(), 0.0), float(canvas.width())),
        min(max(fabric_px.center().y(), 0.0), float(canvas.height())),
    )
    at = ((middle.x() - placing.x) / placing.scale, (placing.y - middle.y()) / placing.scale)
    wave, measures = wave_in(results, at), results.finished_wave
    if wave is None or measures is None:
        return
    points = {
        name: QPointF(*placing.points(np.array(getattr(wave, name))).tolist())
        for name in ("dip", "peak", "next_peak", "foot", "top")
    }
    if key == "repeat":
        y = min(points["peak"].y(), points["next_peak"].y()) - 14
        ends = QPointF(points["peak"].x(), y), QPointF(points["next_peak"].x(), y)
        text = f"one repeat: {length_text(measures.repeat_width_mm, units, digits=1)}"
        paint_dimension(painter, *ends, text, canvas, tones, strong=True)
    elif key == "wave height":
        _paint_height(painter, points, length_text(measures.wave_height_mm, units, digits=1), tones)
    elif key == "lean":
        _paint_lean(painter, points, f"{measures.lean_deg:.0f}°", tones)


def _pens(tones: Tones) -> tuple[QPen, QPen]:
    return QPen(QColor(tones.sheet), 5.0), QPen(QColor(tones.accent), 2.0)


def _paint_height(painter: QPainter, points: dict[str, QPointF], text: str, tones: Tones) -> None:
    """Paint level lines through a dip and a peak, and the height between them."""
    dip, peak = points["dip"], points["peak"]
    left, right = sorted((dip.x(), peak.x()))
    x = left - 10 if peak.x() > dip.x() else right + 10
    for pen in _pens(tones):
        painter.setPen(pen)
        for point in (dip, peak):
            painter.drawLine(QPointF(x - 6, point.y()), QPointF(point.x(), point.y()))
            painter.drawEllipse(point, _OUT_PX, _OUT_PX)
        painter.drawLine(QPointF(x, dip.y()), QPointF(x, peak.y()))
    _paint_plate(painter, QPointF(x, peak.y() - 16), text, tones)


def _paint_lean(painter: QPainter, points: dict[str, QPointF], text: str, tones: Tones) -> None:
    """Paint the post that leans most beside the vertical, and the angle between."""
    foot, way = points["foot"], points["top"] - points["foot"]
    long = max((way.x() ** 2 + way.y() ** 2) ** 0.5, 1e-6)
    reach = max(long, 34.0)
    tip = foot + way * (reach / long)
    angle = float(np.degrees(np.arctan2(-way.y(), way.x())))
    for pen in _pens(tones):
        painter.setPen(pen)
        painter.drawLine(foot, tip)
        dashed = QPen(pen)
        dashed.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(dashed)
        painter.drawLine(foot, foot - QPointF(0, reach))
        painter.setPen(pen)
        box = QRectF(foot.x() - 0.7 * reach, foot.y() - 0.7 * reach, 1.4 * reach, 1.4 * reach)
        painter.drawArc(box, 16 * 90, round(16 * (angle - 90)))
    _paint_plate(painter, foot - QPointF(0, reach + 16), text, tones)


def _paint_plate(painter: QPainter, at: QPointF, text: str, tones: Tones) -> None:
    box = QRectF(painter.fontMetrics().boundingRect(text)).adjusted(-6, -1, 6, 1)
    box.moveCenter(at)
    painter.fillRect(box, QColor(tones.ground))
    painter.setPen(QColor(tones.accent))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
