"""The legend of the strain overlay: a bar of the colours, the signs on it, words and figures."""

from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.painting.strain import FULL, LEVELS, StrainSigns, scale_of, sign_level
from app.theme import UNIT, Tones
from app.views.figures import number
from core.fabric.strain import HOLES_FROM, PUCKERS_FROM

LEGEND_PX: Final = 7 * UNIT
"""Height that the legend takes at the foot of the canvas."""

NO_SHAPE: Final = (
    "These rows don't settle into one shape, so lean and strain aren't known. "
    "Checks says what keeps them from it."
)

_WIDEST: Final = 460.0
_BAR: Final = 1.5 * UNIT
_FIGURES: Final = (-FULL, PUCKERS_FROM, 0.0, HOLES_FROM, FULL)


def paint_legend(
    painter: QPainter,
    canvas: QRectF,
    signs: StrainSigns,
    span: tuple[float, float] | None,
    tones: Tones,
) -> None:
    """Paint the legend at the foot of the canvas.

    Args:
        painter: With the font to write in.
        canvas: The widget.
        signs: The signs used on the fabric.
        span: Least and greatest strain of this fabric; None while it is being worked out.
        tones: The tones in force.
    """
    width = min(canvas.width() - 6 * UNIT, _WIDEST)
    left = canvas.center().x() - 0.5 * width
    ground = QRectF(canvas.left(), canvas.bottom() - LEGEND_PX, canvas.width(), LEGEND_PX)
    painter.fillRect(ground, QColor(tones.ground))
    bar = QRectF(left, ground.top() + 2.5 * UNIT, width, _BAR)
    _paint_bar(painter, bar, tones)
    _paint_signs(painter, bar, signs, tones)
    _paint_words(painter, bar, tones)
    _paint_figures(painter, bar, span, tones)


def paint_unknown(painter: QPainter, room: QRectF, height: int, tones: Tones) -> None:
    """Say at the foot of the canvas that these rows have no shape to measure."""
    box = QRectF(room.left() + UNIT, room.bottom() - height, room.width() - 2 * UNIT, height)
    painter.fillRect(box, QColor(tones.ground))
    painter.setPen(QColor(tones.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, NO_SHAPE)


def place_of(strain: float, bar: QRectF) -> float:
    """Return where on the bar a strain lies; beyond its ends at the end."""
    share = min(max(strain / FULL, -1.0), 1.0)
    return bar.center().x() + 0.5 * bar.width() * share


def _paint_bar(painter: QPainter, bar: QRectF, tones: Tones) -> None:
    colours = scale_of(tones)
    # The end colours stand for half a step only, as all the others reach half a step each way.
    edges = np.clip((np.arange(len(colours) + 1) - 0.5) / (len(colours) - 1), 0.0, 1.0)
    xs = bar.left() + bar.width() * edges
    for colour, start, end in zip(colours, xs[:-1], xs[1:], strict=True):
        painter.fillRect(QRectF(start, bar.top(), end - start, bar.height()), QColor(colour))
    painter.setPen(QPen(QColor(tones.muted), 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(bar)
    for strain in (PUCKERS_FROM, HOLES_FROM):
        x = place_of(strain, bar)
        painter.setPen(QPen(QColor(tones.ink), 1))
        painter.drawLine(QPointF(x, bar.top() - 4), QPointF(x, bar.bottom() + 4))


def _paint_signs(painter: QPainter, bar: QRectF, signs: StrainSigns, tones: Tones) -> None:
    ends = (*LEVELS[1:], FULL)
    middles = np.array([0.5 * (low + high) for low, high in zip(LEVELS, ends, strict=True)])
    strains = np.concatenate([-middles[::-1], middles])
    at = np.array([[place_of(strain, bar), bar.center().y()] for strain in strains.tolist()])
    signs.draw(painter, at, sign_level(strains), tones)


def _paint_words(painter: QPainter, bar: QRectF, tones: Tones) -> None:
    """Write what the ranges mean over the bar, shorter where there is little room."""
    metrics = QFontMetricsF(painter.font())
    painter.setPen(QColor(tones.ink))
    puckers, holes = place_of(PUCKERS_FROM, bar), place_of(HOLES_FROM, bar)
    for start, end, texts in (
        (bar.left(), puckers, ("puckers likely", "puckers")),
        (puckers, holes, ("squeezed · stretched", "")),
        (holes, bar.right(), ("holes likely", "holes")),
    ):
        room = end - start
        text = next((text for text in texts if metrics.horizontalAdvance(text) <= room), "")
        box = QRectF(start, bar.top() - 2.5 * UNIT, room, 2.25 * UNIT)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)


def _paint_figures(
    painter: QPainter, bar: QRectF, span: tuple[float, float] | None, tones: Tones
) -> None:
    metrics = QFontMetricsF(painter.font())
    painter.setPen(QColor(tones.muted))
    for strain in _FIGURES:
        text = _signed(strain)
        half = 0.5 * metrics.horizontalAdvance(text) + 2
        box = QRectF(place_of(strain, bar) - half, bar.bottom() + 2, 2 * half, 2 * UNIT)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    if span is None:
        return
    painter.setPen(QPen(QColor(tones.ink), 2))
    y = bar.bottom() + 1.0
    painter.drawLine(QPointF(place_of(span[0], bar), y), QPointF(place_of(span[1], bar), y))


def span_words(span: tuple[float, float] | None) -> str:
    """Return the extremes of a fabric in a sentence."""
    if span is None:
        return "The strain is being worked out."
    return (
        f"Squeezed by up to {number(-100 * span[0])} %, stretched by up to "
        f"{number(100 * span[1])} %. Puckers are likely from {number(-100 * PUCKERS_FROM)} %, "
        f"holes from {number(100 * HOLES_FROM)} %: this program's estimate."
    )


def _signed(strain: float) -> str:
    return f"{'−' if strain < 0 else '+' if strain > 0 else ''}{number(100 * abs(strain))} %"
