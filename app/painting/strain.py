"""Strain on a painter: a scale of colours, and signs that need no colour.

What is stretched carries open rings, what is squeezed carries bundles of ticks; both grow with
the strain. Colours run from the sheet's own tone to a cool and a warm end that are as light as
each other, in steps that look equal (`core.stripes.diverging`).
"""

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap
from shiboken6 import Shiboken

from app.painting.strokes import Floats, image_of
from app.theme import Tones
from core.stripes.diverging import diverging
from core.stripes.sequence import Indices

FULL: Final = 0.30
"""Strain at which the scale ends."""

STEPS: Final = 10
"""Colours of each arm."""

LEVELS: Final = (0.03, 0.06, 0.10, 0.15, 0.25)
"""From each of these strains a sign is larger."""

_LIGHT_ENDS: Final = ("#1f68a6", "#a8480f")
_DARK_ENDS: Final = ("#8cc8ff", "#ffb27a")
_SIDE: Final = 19  # px of a sign's stamp, odd: its middle is a pixel
_OPAQUE: Final = 225


def scale_of(tones: Tones) -> tuple[str, ...]:
    """Return the colours from squeezed over none to stretched."""
    low, high = _DARK_ENDS if tones.is_dark else _LIGHT_ENDS
    return diverging(low, tones.sheet, high, STEPS)


def colour_number(strain: Floats) -> Indices:
    """Return which colour of the scale stands for each strain; 0 is the most squeezed."""
    share = np.clip(strain / FULL, -1.0, 1.0)
    numbers: Indices = np.round(share * STEPS).astype(np.intp) + STEPS
    return numbers


def sign_level(strain: Floats) -> Indices:
    """Return the size of each strain's sign from 1, negative where squeezed, 0 for none."""
    level = np.searchsorted(LEVELS, np.abs(strain), side="right")
    signed: Indices = (np.sign(strain) * level).astype(np.intp)
    return signed


def paint_cells(painter: QPainter, mean: Floats, place: QRectF, tones: Tones) -> None:
    """Paint cells of strain, shape (down, across), into `place`; nan stays clear."""
    table = np.array([_packed(colour) for colour in scale_of(tones)], dtype=np.uint32)
    empty = np.isnan(mean)
    pixels: NDArray[np.uint32] = table[colour_number(np.where(empty, 0.0, mean))]
    pixels[empty] = 0
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, on=False)
    painter.drawImage(place, image_of(pixels))


def _packed(colour: str) -> int:
    """Return a colour as a premultiplied pixel that lets a little through."""
    known = QColor(colour)
    red, green, blue = (
        round(part * _OPAQUE / 255) for part in (known.red(), known.green(), known.blue())
    )
    return _OPAQUE << 24 | red << 16 | green << 8 | blue


class StrainSigns:
    """Rings and ticks as stamps: thousands are placed in one call."""

    def __init__(self) -> None:
        self._style: tuple[str, str, float] | None = None
        self._page: QPixmap | None = None

    def draw(self, painter: QPainter, at_px: Floats, level: Indices, tones: Tones) -> None:
        """Draw signs about points of the widget, shape (n, 2), one level each."""
        shown = level != 0
        if not shown.any():
            return
        ratio = painter.device().devicePixelRatioF()
        page = self._stamps(tones, ratio)
        side = round(_SIDE * ratio)
        pieces = np.ones((int(shown.sum()), 10))  # x, y, source rectangle, scales, turn, opacity
        corner = np.round(at_px[shown] * ratio - 0.5 * side)  # whole pixels keep it sharp
        pieces[:, 0:2] = corner + 0.5 * side
        pieces[:, 2] = (level[shown] + len(LEVELS)) * side
        pieces[:, 3] = 0.0
        pieces[:, 4:6] = side
        pieces[:, 8] = 0.0
        first: Any = Shiboken.wrapInstance(pieces.ctypes.data, QPainter.PixmapFragment)
        painter.save()
        painter.scale(1 / ratio, 1 / ratio)
        painter.drawPixmapFragments(first, len(pieces), page)
        painter.restore()

    def _stamps(self, tones: Tones, ratio: float) -> QPixmap:
        style = (tones.ink, tones.sheet, ratio)
        if self._page is None or style != self._style:
            self._style = style
            side = round(_SIDE * ratio)
            self._page = QPixmap(side * (2 * len(LEVELS) + 1), side)
            self._page.fill(Qt.GlobalColor.transparent)
            with QPainter(self._page) as painter:
                painter.setRenderHint(QPainter.RenderHint.Antialiasing)
                for level in range(-len(LEVELS), len(LEVELS) + 1):
                    painter.resetTransform()
                    painter.translate((level + len(LEVELS)) * side, 0)
                    painter.scale(side / _SIDE, side / _SIDE)
                    _paint_sign(painter, level, tones)
        return self._page


def _paint_sign(painter: QPainter, level: int, tones: Tones) -> None:
    """Paint one sign into a stamp: a ring, or two to four ticks."""
    middle, size = 0.5 * _SIDE, abs(level)
    for colour, width in ((tones.sheet, 3.0), (tones.ink, 1.2)):
        pen = QPen(QColor(colour), width)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if level > 0:
            radius = 0.8 + 1.2 * size
            painter.drawEllipse(QPointF(middle, middle), radius, radius)
        elif level < 0:
            half, ticks = 1.5 + 1.1 * size, (size + 3) // 2
            for tick in range(ticks):
                x = middle + 2.6 * (tick - 0.5 * (ticks - 1))
                painter.drawLine(QPointF(x, middle - half), QPointF(x, middle + half))
