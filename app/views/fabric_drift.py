"""Rows whose counts drift, marked beside the fabric: where it will ruffle, cup, or grow wings."""

import math
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen, QPolygonF

from app.painting.chart import Placing
from app.theme import Tones
from app.views.figures import number
from core.design.document import Wave
from core.fabric.flatness import Drift, DriftKind, tendency
from core.fabric.sheet import Fabric

_BESIDE_PX: Final = 12.0  # from the fabric to the line of the mark
_WAVE_PX: Final = 9.0  # length of one ruffle of the mark
_SWING_PX: Final = 4.0

_WORDS: Final[dict[DriftKind, str]] = {
    "ruffle": "ruffles",
    "cup": "cups",
    "wings": "wings",
    "taper": "tapers",
}


def paint_drifts(
    painter: QPainter,
    drifts: tuple[Drift, ...],
    fabric: Fabric,
    placing: Placing,
    fabric_px: QRectF,
    canvas: QRectF,
    tones: Tones,
) -> None:
    """Paint a mark along the rows of each drift, at the fabric's right edge.

    A ruffle is a line that waves ever more, a cup a bow, wings lean out and tapers lean in;
    each says in words what it is and how much the rows change.
    """
    x = min(fabric_px.right() + _BESIDE_PX, canvas.right() - 2 * _BESIDE_PX)
    for drift in drifts:
        low, high = (_height_px(fabric, row, placing) for row in (drift.first - 1, drift.last))
        _paint_line(painter, drift, x, low, high, tones)
        _paint_words(painter, drift, x, low, high, canvas, tones)


def drift_words(drift: Drift) -> str:
    """Return what a mark says."""
    change = number(100 * abs(drift.growth))
    way = "longer" if drift.growth > 0 else "shorter"
    return f"{_WORDS[drift.kind]}: {change} % {way}"


def tendency_words(wave: Wave) -> str:
    """Return what rows that don't fit would do if they went on, or nothing if that isn't known."""
    words = {
        "ruffle": "Worked on, it would ruffle. ",
        "cup": "Worked on, it would cup. ",
        "wings": "Worked on, it would grow wings. ",
        "taper": "Worked on, it would taper. ",
    }
    kind = tendency(wave)
    return words[kind] if kind else ""


def _height_px(fabric: Fabric, row: int, placing: Placing) -> float:
    """Return the height of a row's right end on the canvas."""
    return float(placing.points(fabric.row_tops_mm(row)[-1])[1])


def _paint_line(
    painter: QPainter, drift: Drift, x: float, low: float, high: float, tones: Tones
) -> None:
    painter.setPen(QPen(QColor(tones.trouble), 2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    steps = max(int(abs(low - high)), 2)
    share = np.linspace(0.0, 1.0, steps)
    y = low + (high - low) * share
    if drift.kind == "ruffle":
        aside = _SWING_PX * share * np.sin(2 * math.pi * (low - y) / _WAVE_PX)
    elif drift.kind == "cup":
        aside = 2 * _SWING_PX * np.sin(math.pi * share)
    else:
        way = share if drift.kind == "wings" else 1.0 - share
        aside = 2 * _SWING_PX * way
    points = np.stack([x + aside, y], axis=1)
    painter.drawPolyline(QPolygonF([QPointF(*point) for point in points.tolist()]))
    for end in (low, high):
        painter.drawLine(QPointF(x - 5, end), QPointF(x + 5, end))


def _paint_words(
    painter: QPainter,
    drift: Drift,
    x: float,
    low: float,
    high: float,
    canvas: QRectF,
    tones: Tones,
) -> None:
    text = drift_words(drift)
    metrics = QFontMetricsF(painter.font())
    half = 0.5 * metrics.horizontalAdvance(text) + 4
    y = min(max(0.5 * (low + high), canvas.top() + half), canvas.bottom() - half)
    painter.save()
    painter.translate(min(x + _BESIDE_PX + 6, canvas.right() - 9), y)
    painter.rotate(-90)
    box = QRectF(-half, -8, 2 * half, 16)
    painter.fillRect(box, QColor(tones.ground))
    painter.setPen(QColor(tones.trouble))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    painter.restore()
