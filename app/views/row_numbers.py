"""Row numbers of a chart on screen: only as densely as can be read, and never cut off.

They are painted whenever the chart moves, so each is a small picture that is drawn once.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPixmap

from app.painting.chart import Placing, symbol_pen
from app.painting.strokes import draw_lines
from app.theme import Tones
from core.chart.labels import RowLabel
from core.chart.setting import AFTER_ARROW, ARROW, NUMBERS, PER_ARROW, arrows
from core.records import Struct

_EDGE_PX: Final = 6.0  # between a number and the view's edge
_LABEL_PX: Final = 13.0
_BASE: Final = 0.36  # of the type size that the base line lies under a number's middle
_SMALLEST, _LARGEST = 0.72, 1.1  # type size over the height of the view's own lines
_RIM_PX: Final = 4.0  # around a figure in its picture
_MOST_FIGURES: Final = 1000  # in hand
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


class Number(Struct, frozen=True):
    """A row's number as it was painted; `box` is what it takes of the view."""

    row: int
    box: QRectF


class _Labels:
    """Labels of rows as arrays, for as long as they are the same.

    Attributes:
        rows: Their rows.
        sides: 1 where the number stands to the right, -1 where to the left.
        arrows_mm: Lines of their arrows, `PER_ARROW` each.
        starts_mm: Where the numbers begin, shape (labels, 2).
    """

    def __init__(self, labels: tuple[RowLabel, ...], every: int, mm: float) -> None:
        self._of, self._as = labels, (every, mm)
        here = [label for label in labels if is_numbered(label.row, every)]
        self.rows = [label.row for label in here]
        self.sides = np.array([1.0 if label.runs_left else -1.0 for label in here])
        tips = np.array([(label.x_mm, label.y_mm) for label in here]).reshape(-1, 2)
        self.arrows_mm = arrows(tips, self.sides, ARROW * mm).reshape(-1, PER_ARROW, 2, 2)
        away = self.sides * ((ARROW + AFTER_ARROW) * mm)
        self.starts_mm = tips + np.stack([away, np.zeros(len(here))], axis=1)

    def are_of(self, labels: tuple[RowLabel, ...], every: int, mm: float) -> bool:
        return self._of is labels and self._as == (every, mm)


class RowNumbers:
    """Paints them, and knows where."""

    def __init__(self) -> None:
        self.shown: list[Number] = []
        self._labels = _Labels((), 1, 1.0)
        self._look: object = None  # of the figures in hand
        self._figures: dict[tuple[int, bool], QPixmap] = {}

    def row_at(self, point: QPointF) -> int:
        """Return the row whose number is under a point of the view; 0 for none."""
        for number in self.shown:
            if number.box.adjusted(-3, -2, 3, 2).contains(point):
                return number.row
        return 0

    def paint(
        self,
        painter: QPainter,
        labels: tuple[RowLabel, ...],
        placing: Placing,
        every: int,
        *,
        mm: float,
        font: QFont,
        size: QSize,
        tones: Tones,
    ) -> None:
        """Paint arrows and numbers of one row in `every`, moved into a view of this size.

        Args:
            painter: A painter of the view.
            labels: Where rows have their numbers.
            placing: Where the chart lies.
            every: See `numbered_every`.
            mm: How many of the chart's millimetres are one of print.
            font: The view's own.
            size: The view's.
            tones: For ink and paper.
        """
        self.shown = []
        if not self._labels.are_of(labels, every, mm):
            self._labels = _Labels(labels, every, mm)
        rows, sides = self._labels.rows, self._labels.sides
        starts = placing.points(self._labels.starts_mm)
        here = np.flatnonzero((starts[:, 1] >= 0) & (starts[:, 1] <= size.height()))
        if not len(here):
            return
        painter.setPen(symbol_pen(1.0, tones.ink))
        draw_lines(painter, placing.points(self._labels.arrows_mm[here]).reshape(-1, 2, 2))
        family, own_px = font.family(), _high_of(font.toString())
        wish = NUMBERS * mm * placing.scale
        size_px = round(min(max(wish, _SMALLEST * own_px), _LARGEST * own_px))
        ratio = painter.device().devicePixelRatioF()
        self._dress(family, size_px, ratio, tones)
        high, most_x = float(size_px), size.width() - _EDGE_PX
        most_y = size.height() - 0.5 * _EDGE_PX - high
        for number, (start, middle) in zip(here.tolist(), starts[here].tolist(), strict=True):
            row = rows[number]
            wide = _wide(str(row), family, size_px)
            left = start if sides[number] > 0 else start - wide
            x = min(max(left, _EDGE_PX), most_x - wide)
            y = min(max(middle - 0.5 * high, 0.5 * _EDGE_PX), most_y)
            figure = self._figure(row, abs(x - left) > 0.5, family, size_px, ratio, tones)
            painter.drawPixmap(QPointF(x - _RIM_PX, y - _RIM_PX), figure)
            self.shown.append(Number(row, QRectF(x, y, wide, high)))

    def _dress(self, family: str, size_px: int, ratio: float, tones: Tones) -> None:
        """Forget figures that look otherwise."""
        look = family, size_px, ratio, tones
        if self._look != look or len(self._figures) > _MOST_FIGURES:
            self._look, self._figures = look, {}

    def _figure(
        self, row: int, moved: bool, family: str, size_px: int, ratio: float, tones: Tones
    ) -> QPixmap:
        """Return a number with some room around; one moved over symbols is on a piece of paper."""
        known = self._figures.get((row, moved))
        if known is not None:
            return known
        wide = _wide(str(row), family, size_px)
        room = QSizeF(wide + 2 * _RIM_PX, size_px + 2 * _RIM_PX)
        picture = QPixmap((room * ratio).toSize().expandedTo(QSize(1, 1)) + QSize(1, 1))
        picture.setDevicePixelRatio(ratio)
        picture.fill(Qt.GlobalColor.transparent)
        with QPainter(picture) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if moved:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(tones.sheet))
                box = QRectF(_RIM_PX, _RIM_PX, wide, size_px)
                painter.drawRoundedRect(box.adjusted(-2, -2, 2, 2), 3, 3)
            painter.setPen(QColor(tones.ink))
            painter.setFont(_lettering(family, size_px)[0])
            painter.drawText(QPointF(_RIM_PX, _RIM_PX + (0.5 + _BASE) * size_px), str(row))
        self._figures[row, moved] = picture
        return picture


@lru_cache(maxsize=64)
def _lettering(family: str, size_px: int) -> tuple[QFont, QFontMetricsF]:
    font = QFont(family)
    font.setPixelSize(size_px)
    return font, QFontMetricsF(font)


@lru_cache(maxsize=4096)
def _wide(text: str, family: str, size_px: int) -> float:
    return _lettering(family, size_px)[1].horizontalAdvance(text)


@lru_cache(maxsize=8)
def _high_of(font: str) -> float:
    """Return the height of a line in a font, given as Qt writes fonts down."""
    own = QFont()
    own.fromString(font)
    return QFontMetricsF(own).height()
