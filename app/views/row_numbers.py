"""Row numbers of a chart on screen: only as densely as can be read, and never cut off.

They are painted whenever the chart moves, so each costs a plain piece of text in a font that is
set once for all of them.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

from app.painting.chart import Placing, symbol_pen
from app.painting.strokes import draw_lines
from app.theme import Tones
from core.chart.sheet import Sheet

_EDGE_PX: Final = 6.0  # between a number and the view's edge
_LABEL_PX: Final = 13.0
_BASE: Final = 0.36  # of the type size that the base line lies under a number's middle
_SMALLEST, _LARGEST = 0.72, 1.1  # type size over the height of the view's own lines
_STEPS: Final = (1, 2, 5, 10, 20, 50, 100, 1000)


def numbered_every(rise_px: float) -> int:
    """Return every how many rows one is numbered, so that the numbers can be read."""
    return next(n for n in _STEPS if n * rise_px >= _apart_px(n) or n == _STEPS[-1])


def is_numbered(row: int, every: int) -> bool:
    """Return whether a row is numbered: every so manieth, and the first."""
    return row == 1 or row % every == 0


def _apart_px(every: int) -> float:
    """Return how far apart numbers are at least; odd and even rows stand at different sides."""
    return (0.55 if every == 1 else 1.1) * _LABEL_PX


@dataclass(frozen=True, slots=True)
class Number:
    """A row's number as it was painted; `box` is what it takes of the view."""

    row: int
    box: QRectF


class RowNumbers:
    """Paints them, and knows where."""

    def __init__(self) -> None:
        self.shown: list[Number] = []

    def row_at(self, point: QPointF) -> int:
        """Return the row whose number is under a point of the view; 0 for none."""
        for number in self.shown:
            if number.box.adjusted(-3, -2, 3, 2).contains(point):
                return number.row
        return 0

    def paint(
        self,
        painter: QPainter,
        sheet: Sheet,
        placing: Placing,
        every: int,
        *,
        font: QFont,
        size: QSize,
        tones: Tones,
    ) -> None:
        """Paint arrows and numbers of one row in `every`, moved into a view of this size.

        Args:
            painter: A painter of the view.
            sheet: Holds the rows' labels.
            placing: Where the chart lies.
            every: See `numbered_every`.
            font: The view's own.
            size: The view's.
            tones: For ink and paper.
        """
        self.shown = []
        labels = sheet.chart.labels
        wanted = np.array([is_numbered(label.row, every) for label in labels], dtype=np.bool_)
        arrows = np.repeat(wanted, 3)  # a shaft and two barbs each
        painter.setPen(symbol_pen(1.0, tones.ink))
        lines = np.concatenate(
            [sheet.lines_mm[: len(arrows)][arrows], sheet.lines_mm[len(arrows) :]]
        )
        draw_lines(painter, placing.points(lines))
        texts = [text for text in sheet.texts if text.row]
        if not texts:
            return
        family, own_px = font.family(), _high_of(font.toString())
        wish = texts[0].size_mm * placing.scale
        size_px = round(min(max(wish, _SMALLEST * own_px), _LARGEST * own_px))
        font, metrics = _lettering(family, size_px)
        painter.setFont(font)
        ink, paper = QColor(tones.ink), QColor(tones.sheet)
        by_row = {label.row: label for label in labels}
        for text in texts:
            middle = placing.y - placing.scale * text.y_mm
            if not is_numbered(text.row, every) or not 0 <= middle <= size.height():
                continue
            wide = metrics.horizontalAdvance(text.text)
            left = placing.x + placing.scale * text.x_mm
            left -= 0.0 if by_row[text.row].runs_left else wide
            top = middle - 0.5 * size_px
            x = min(max(left, _EDGE_PX), size.width() - _EDGE_PX - wide)
            y = min(max(top, 0.5 * _EDGE_PX), size.height() - 0.5 * _EDGE_PX - size_px)
            box = QRectF(x, y, wide, size_px)
            if abs(x - left) > 0.5:  # over the symbols: on a piece of paper
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(paper)
                painter.drawRoundedRect(box.adjusted(-2, -2, 2, 2), 3, 3)
                painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(ink)
            painter.drawText(QPointF(x, y + (0.5 + _BASE) * size_px), text.text)
            self.shown.append(Number(text.row, box))


@lru_cache(maxsize=64)
def _lettering(family: str, size_px: int) -> tuple[QFont, QFontMetricsF]:
    font = QFont(family)
    font.setPixelSize(size_px)
    return font, QFontMetricsF(font)


@lru_cache(maxsize=8)
def _high_of(font: str) -> float:
    """Return the height of a line in a font, given as Qt writes fonts down."""
    own = QFont()
    own.fromString(font)
    return QFontMetricsF(own).height()
