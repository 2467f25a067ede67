"""The figures of a booklet, each drawn into a rectangle of the page."""

import math
from collections.abc import Sequence
from typing import Protocol

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from app.booklet.manner import MM, POINT
from app.booklet.setting import draw_label, text_width
from app.booklet.source import Source
from app.painting.chart import fitted, paint_sheet
from core.booklet.closeup import Part
from core.booklet.nodes import Tick
from core.fabric.wash import wash_of
from core.stripes.colour import ink_on

_DOTS_PER_MM = 7.0  # about 180 dpi: finer isn't seen in yarn
_LEAST_LETTER = 5.0  # points; smaller letters can't be read
_MOST_LINES = 12  # of the picture of the stripes


class Figure(Protocol):
    """A figure that is drawn as wide as it is asked to be."""

    def height_for(self, width: float) -> float:
        """Return the height it needs at a width."""
        ...

    def paint(self, painter: QPainter, room: QRectF) -> None:
        """Draw it into a rectangle."""
        ...


class FabricFigure:
    """A picture of the blanket or of a part of it, true to proportion."""

    def __init__(self, source: Source, part: Part | None = None) -> None:
        self._part = part
        self._source = source
        self._known: tuple[int, QImage] | None = None
        self._image(64)  # small, to learn the proportion; it also says early what is wrong

    def height_for(self, width: float) -> float:
        """Return the height it needs at a width."""
        image = self._known[1] if self._known else self._image(64)
        return width * self._proportion(image)

    def paint(self, painter: QPainter, room: QRectF) -> None:
        """Draw it into a rectangle."""
        image = self._image(min(max(round(room.width() / MM * _DOTS_PER_MM), 64), 1600))
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        high = room.width() * self._proportion(image)
        seen_px = round(room.width() * painter.combinedTransform().m11())
        if 0 < seen_px < image.width() // 2:  # small: averaged first, or stitches shimmer
            image = image.scaledToWidth(seen_px, Qt.TransformationMode.SmoothTransformation)
        painter.drawImage(QRectF(room.x(), room.y(), room.width(), high), image)
        painter.restore()

    def _proportion(self, image: QImage) -> float:
        """Return height over width, after washing where that changes them."""
        wash = wash_of(self._source.results.design.swatch)
        return image.height() * wash.length / (image.width() * wash.width)

    def _image(self, width_px: int) -> QImage:
        if self._known is None or self._known[0] != width_px:
            self._known = width_px, self._source.fabric(width_px, self._part)
        return self._known[1]


class ChartFigure:
    """The chart extract with its key, its numbers no larger than the text around it."""

    def __init__(self, source: Source) -> None:
        assert source.sheet is not None
        self._sheet = source.sheet
        self._family = source.family
        self._largest = self._sheet.print_scale * MM

    def height_for(self, width: float) -> float:
        """Return the height it needs at a width."""
        left, bottom, right, top = self._sheet.bounds_mm
        return (top - bottom) * min(width / (right - left), self._largest)

    def paint(self, painter: QPainter, room: QRectF) -> None:
        """Draw it into a rectangle."""
        left, bottom, right, top = self._sheet.bounds_mm
        scale = min(room.width() / (right - left), room.height() / (top - bottom), self._largest)
        part = QRectF(room.x(), room.y(), scale * (right - left), scale * (top - bottom))
        painter.save()
        placing = fitted(self._sheet.bounds_mm, part)
        paint_sheet(painter, self._sheet, placing, family=self._family)
        painter.restore()


class StripesFigure:
    """The stripes in order from left to right, in as many lines as their letters need."""

    def __init__(
        self, source: Source, stripes: Sequence[Tick], *, points: float, fills: bool
    ) -> None:
        self._stripes = stripes
        self._yarns = source.results.design.yarns
        self._family = source.family
        self._points = points
        self._fills = fills
        self._widest = max(
            text_width(letter, self._family, points) for letter in {s.letter for s in stripes}
        )

    @property
    def _rows(self) -> int:
        return self._stripes[-1].last

    def height_for(self, width: float) -> float:
        """Return the height it needs at a width."""
        return self._lines(width) * self._line_height(width)

    def _line_height(self, width: float) -> float:
        return (14 if self._lines(width) == 1 else 8) * MM + 2.6 * self._points * POINT

    def _lines(self, width: float) -> int:
        """Return the fewest lines in which every stripe has room for its letter."""
        for lines in range(1, _MOST_LINES + 1):
            if self._letter_points(width / math.ceil(self._rows / lines)):
                return lines
        return 1

    def _letter_points(self, per_row: float) -> float:
        """Return the size at which every stripe has room for its letter; 0 if too small."""
        room = min(stripe.rows for stripe in self._stripes) * per_row
        points = min(self._points, 0.88 * self._points * room / self._widest)
        least = self._points if self._points > 14 else _LEAST_LETTER  # large type stays large
        return points if points >= least else 0.0

    def paint(self, painter: QPainter, room: QRectF) -> None:
        """Draw it into a rectangle."""
        lines = self._lines(room.width())
        each = math.ceil(self._rows / lines)
        per_row, high = room.width() / each, self._line_height(room.width())
        painter.save()
        for line in range(lines):
            first, last = line * each + 1, min((line + 1) * each, self._rows)
            if first <= last:
                top = room.y() + line * high
                self._line(painter, room.x(), top, per_row, first, last, high)
        painter.restore()

    def _line(
        self,
        painter: QPainter,
        left: float,
        top: float,
        per_row: float,
        first: int,
        last: int,
        line_height: float,
    ) -> None:
        """Draw rows `first` to `last` with their numbers below."""
        high = line_height - 2.6 * self._points * POINT
        letters = self._letter_points(per_row)
        for stripe in self._stripes:
            low, up = max(stripe.first, first), min(stripe.last, last)
            if low > up:
                continue
            x = left + (low - first) * per_row
            band = QRectF(x, top, (up - low + 1) * per_row, high)
            colour = self._yarns[stripe.yarn].colour if self._fills else "#ffffff"
            painter.fillRect(band, QColor(colour))
            if not self._fills:
                painter.setPen(QPen(QColor("#000000"), 3))
                painter.drawLine(QLineF(band.topLeft(), band.bottomLeft()))
            if letters:
                at = band.center()
                self._label(painter, at.x(), at.y(), stripe.letter, ink_on(colour), letters)
        painter.setPen(QPen(QColor("#000000"), 5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        wide = (last - first + 1) * per_row
        painter.drawRect(QRectF(left, top, wide, high))
        self._axis(painter, left, top + high, per_row, first, last)

    def _axis(
        self, painter: QPainter, left: float, y: float, per_row: float, first: int, last: int
    ) -> None:
        """Draw row numbers under the middle of their rows, as many as have room."""
        wide = 2.2 * text_width(str(self._rows), self._family, self._points)
        steps = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
        step = next((step for step in steps if step * per_row >= wide), self._rows)
        for row in range(first, last + 1):
            x = left + (row - first + 0.5) * per_row
            within = x + 0.25 * wide <= left + (last - first + 1) * per_row
            if row % step == 0 and (within or per_row > 0.5 * wide):
                painter.setPen(QPen(QColor("#000000"), 4))
                painter.drawLine(QLineF(x, y, x, y + 0.5 * self._points * POINT))
                at = y + 1.3 * self._points * POINT
                self._label(painter, x, at, str(row), "#000000", self._points)

    def _label(
        self, painter: QPainter, x: float, y: float, text: str, colour: str, points: float
    ) -> None:
        draw_label(painter, x, y, text, family=self._family, points=points, colour=colour)
