"""The figures of a booklet, each drawn into a rectangle of the page."""

from collections.abc import Sequence
from typing import Protocol

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from app.booklet.manner import MM, POINT
from app.booklet.setting import draw_label, text_width
from app.booklet.source import Source
from app.painting.chart import fitted, paint_sheet
from core.booklet.nodes import Tick
from core.stripes.colour import ink_on

_DOTS_PER_MM = 7.0  # about 180 dpi: finer isn't seen in yarn
_LEAST_LETTER = 5.0  # points; smaller letters can't be read
_CHART_TEXT = 1.15  # height of a chart's numbers in stitch widths, as its sheet sets them


class Figure(Protocol):
    """A figure that is drawn as wide as it is asked to be."""

    def height_for(self, width: float) -> float:
        """Return the height it needs at a width."""
        ...

    def paint(self, painter: QPainter, room: QRectF) -> None:
        """Draw it into a rectangle."""
        ...


class FabricFigure:
    """The blanket's picture, true to proportion."""

    def __init__(self, source: Source) -> None:
        self._source = source
        self._known: tuple[int, QImage] | None = None
        self._image(64)  # small, to learn the proportion; it also says early what is wrong

    def height_for(self, width: float) -> float:
        """Return the height it needs at a width."""
        image = self._known[1] if self._known else self._image(64)
        return width * image.height() / image.width()

    def paint(self, painter: QPainter, room: QRectF) -> None:
        """Draw it into a rectangle."""
        image = self._image(min(max(round(room.width() / MM * _DOTS_PER_MM), 64), 1600))
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        high = room.width() * image.height() / image.width()
        painter.drawImage(QRectF(room.x(), room.y(), room.width(), high), image)
        painter.restore()

    def _image(self, width_px: int) -> QImage:
        if self._known is None or self._known[0] != width_px:
            self._known = width_px, QImage.fromData(self._source.fabric(width_px))
        return self._known[1]


class ChartFigure:
    """The chart extract with its key, its numbers no larger than the text around it."""

    def __init__(self, source: Source, *, text_points: float) -> None:
        assert source.sheet is not None
        self._sheet = source.sheet
        self._family = source.family
        stitch_mm = self._sheet.chart.width_mm
        self._largest = text_points * POINT / (_CHART_TEXT * stitch_mm)

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
        paint_sheet(painter, self._sheet, placing, family=self._family, ink="#000000")
        painter.restore()


class StripesFigure:
    """The stripes in order from left to right, each as wide as its rows."""

    def __init__(
        self, source: Source, stripes: Sequence[Tick], *, points: float, fills: bool
    ) -> None:
        self._stripes = stripes
        self._yarns = source.results.design.yarns
        self._family = source.family
        self._points = points
        self._fills = fills

    def height_for(self, width: float) -> float:
        """Return the height it needs at a width."""
        return 14 * MM + 2.4 * self._points * POINT

    def paint(self, painter: QPainter, room: QRectF) -> None:
        """Draw it into a rectangle."""
        rows = self._stripes[-1].last
        per_row = room.width() / rows
        high = room.height() - 2.4 * self._points * POINT
        letters = self._letter_points(per_row)
        painter.save()
        for stripe in self._stripes:
            left = room.x() + (stripe.first - 1) * per_row
            band = QRectF(left, room.y(), stripe.rows * per_row, high)
            colour = self._yarns[stripe.yarn].colour if self._fills else "#ffffff"
            painter.fillRect(band, QColor(colour))
            if not self._fills:
                painter.setPen(QPen(QColor("#000000"), 4))
                painter.drawLine(QLineF(band.topLeft(), band.bottomLeft()))
            if letters:
                x, y = band.center().x(), band.center().y()
                self._label(painter, x, y, stripe.letter, ink_on(colour), letters)
        painter.setPen(QPen(QColor("#000000"), 5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(room.x(), room.y(), room.width(), high))
        self._axis(painter, room, high, rows, per_row)
        painter.restore()

    def _axis(
        self, painter: QPainter, room: QRectF, high: float, rows: int, per_row: float
    ) -> None:
        """Draw row numbers under the stripes, as many as have room."""
        wide = 2.2 * text_width(str(rows), self._family, self._points)
        step = next(
            (s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000) if s * per_row >= wide), rows
        )
        low = room.y() + high
        for row in range(step, rows + 1, step):
            x = room.x() + row * per_row
            painter.setPen(QPen(QColor("#000000"), 4))
            painter.drawLine(QLineF(x, low, x, low + 0.5 * self._points * POINT))
            if x + 0.25 * wide <= room.right() + 1:
                self._label(
                    painter, x, low + 1.5 * self._points * POINT, str(row), "#000000", self._points
                )

    def _letter_points(self, per_row: float) -> float:
        """Return the size at which every stripe has room for its letter; 0 if too small to read."""
        room = min(stripe.rows for stripe in self._stripes) * per_row
        widest = max(
            text_width(letter, self._family, self._points)
            for letter in {stripe.letter for stripe in self._stripes}
        )
        points = min(self._points, 0.88 * self._points * room / widest)
        least = self._points if self._points > 14 else _LEAST_LETTER  # large type stays large
        return points if points >= least else 0.0

    def _label(
        self, painter: QPainter, x: float, y: float, text: str, colour: str, points: float
    ) -> None:
        draw_label(painter, x, y, text, family=self._family, points=points, colour=colour)
