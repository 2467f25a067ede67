"""The schematic: the blanket's outline with its measures, and one wave enlarged."""

from typing import Final

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.booklet.manner import POINT
from app.booklet.setting import draw_label, text_width
from app.booklet.source import Source
from app.painting.chart import fitted
from app.painting.edging import EdgingShapes, edging_shapes
from app.painting.strokes import Floats, polygon_of
from core.chart.bands import bands_of, edge_line_mm
from core.fabric.wash import wash_of

_INK: Final = "#000000"
_FINE: Final = "#767676"
_LEAST_WAVE: Final = 9  # lines of type that the enlarged wave has room for
_MOST_LINES: Final = 120  # stripes whose borders can be told apart in an outline


class SchematicFigure:
    """An outline with width and length, beside it one wave with its own measures.

    Type too large for both side by side has them one over the other.
    """

    def __init__(self, source: Source, *, points: float, stacked: bool, tallest: float) -> None:
        """Prepare the drawing.

        Args:
            source: The blanket.
            points: Type size of the measures.
            stacked: The wave below the outline instead of beside it.
            tallest: Height of the outline that isn't gone beyond, in units.
        """
        self._source = source
        self._points = points
        self._stacked = stacked
        self._tallest = tallest
        self._line = points * POINT
        results = source.results
        self._edging = edging_shapes(results)
        self._bounds = _bounds_mm(source, self._edging)
        wash = wash_of(results.design.swatch)
        self._stretch = np.array([wash.width, wash.length])
        left, bottom, right, top = self._bounds
        self._proportion = (top - bottom) * wash.length / ((right - left) * wash.width)

    @property
    def _has_wave(self) -> bool:
        measures = self._source.measures
        return (
            self._source.results.profile is not None
            and measures is not None
            and measures.repeat_width is not None
        )

    def height_for(self, width: float) -> float:
        """Return the height it needs at a width."""
        room = self._outline_width(width)
        high = min(room * self._proportion, self._tallest) + 3.6 * self._line
        if self._has_wave and not self._stacked:
            high = max(high, _LEAST_WAVE * self._line)
        if self._stacked and self._has_wave:
            high += self._wave_height(width) + 2 * self._line
        return high

    def _outline_width(self, width: float) -> float:
        share = 0.56 if self._has_wave and not self._stacked else 1.0
        return max(share * width - self._side_room(), 200.0)

    def _side_room(self) -> float:
        """Return the width taken by the length at the right and by row numbers at the left."""
        return self._text_width(self._length_text) + self._rows_width() + 2.2 * self._line

    def _rows_width(self) -> float:
        return (
            self._text_width(self._row_text(self._source.results.rows.drawn_rows))
            + 0.8 * self._line
        )

    def _wave_height(self, width: float) -> float:
        return min(0.3 * width, 9 * self._line)

    def paint(self, painter: QPainter, room: QRectF) -> None:
        """Draw it into a rectangle."""
        painter.save()
        high = min(self._outline_width(room.width()) * self._proportion, self._tallest)
        wide = high / self._proportion
        left = room.x() + self._rows_width()
        outline = QRectF(left, room.y() + 0.2 * self._line, wide, high)
        self._outline(painter, outline)
        if self._has_wave:
            if self._stacked:
                tall = self._wave_height(room.width())
                wave = QRectF(room.x(), room.bottom() - tall, room.width(), tall)
            else:
                x = outline.right() + self._text_width(self._length_text) + 4.2 * self._line
                tall = max(0.42 * outline.height(), (_LEAST_WAVE - 1) * self._line)
                tall = min(tall, 0.9 * (room.right() - x), room.height())
                top = max(outline.bottom() - tall, room.top())
                wave = QRectF(x, top, room.right() - x, tall)
            self._wave(painter, wave)
        painter.restore()

    # the whole

    def _outline(self, painter: QPainter, part: QRectF) -> None:
        source = self._source
        results = source.results
        fabric = results.fabric
        left, bottom, right, _ = self._bounds
        scale = np.array(
            [part.width() / (right - left), part.height() / (self._bounds[3] - bottom)]
        )

        def placed(points: Floats) -> QPolygonF:
            xy = (points - (left, bottom)) * scale
            return polygon_of(np.stack([part.left() + xy[:, 0], part.bottom() - xy[:, 1]], axis=1))

        bands = bands_of(fabric, results.yarn_of_row)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(_FINE), 3))
        if len(bands) <= _MOST_LINES:
            for band in bands[1:]:
                painter.drawPolyline(placed(edge_line_mm(fabric, band.first - 1)))
        painter.setPen(QPen(QColor(_INK), 9))
        painter.drawPolygon(placed(_silhouette(source)))
        painter.setPen(QPen(QColor(_INK), 5))
        for fill in self._edging.bands:
            painter.drawPolygon(placed(fill.outline_mm()))
        if self._edging.rim is not None:
            for loop in self._edging.rim.loops_mm:
                painter.drawPolygon(placed(loop))
        if source.measures is None:
            return
        line = self._line
        text = source.measures.short(source.measures.width)
        self._across(painter, part.left(), part.right(), part.bottom() + 0.9 * line, text)
        self._up(painter, part.right() + 0.9 * line, part.top(), part.bottom(), self._length_text)
        self._rows(painter, part)

    def _rows(self, painter: QPainter, part: QRectF) -> None:
        """Say at the left where the first and the last row lie, with an arrow upwards."""
        line, rows = self._line, self._source.results.rows.drawn_rows
        x = part.left() - 0.5 * line
        low, high = part.bottom() - 0.5 * line, part.top() + 0.5 * line
        self._say(painter, x, low, self._row_text(1), anchor=1.0)
        if rows > 1 and high < low - 1.6 * line:
            self._say(painter, x, high, self._row_text(rows), anchor=1.0)
        middle = x - 0.5 * self._text_width(self._row_text(1))
        if low - high > 4 * line:
            painter.setPen(QPen(QColor(_INK), 5))
            painter.drawLine(QLineF(middle, low - line, middle, high + line))
            _head(painter, middle, high + line, 0.0, -1.0, 0.32 * line)

    # one wave

    def _wave(self, painter: QPainter, room: QRectF) -> None:
        profile, measures = self._source.results.profile, self._source.measures
        assert profile is not None
        assert measures is not None
        assert measures.repeat_width is not None
        assert measures.wave_height is not None
        body, top = profile.body_mm * self._stretch, profile.line_mm * self._stretch
        start, repeat = _peak_from(top, measures.repeat_width)
        line = self._line
        tall = measures.short(measures.wave_height, fine=True)
        side = self._text_width(tall) + 1.6 * line
        bounds = (
            max(start - 0.3 * repeat, float(body[:, 0].min())),
            float(body[:, 1].min()),
            min(start + 1.3 * repeat, float(body[:, 0].max())),
            float(body[:, 1].max()),
        )
        part = room.adjusted(0, 1.9 * line, -side, 0)
        placing = fitted(bounds, part)
        corners = placing.points(np.array([[bounds[0], bounds[3]], [bounds[2], bounds[1]]]))
        painter.save()
        painter.setClipRect(QRectF(*corners[0], *(corners[1] - corners[0])).adjusted(0, -9, 0, 9))
        painter.setPen(QPen(QColor(_INK), 6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolygon(polygon_of(placing.points(body)))
        painter.setPen(QPen(QColor(_FINE), 3))
        for stem in placing.points(profile.stems_mm * self._stretch):
            painter.drawLine(QLineF(*stem.ravel().tolist()))
        painter.restore()
        height = float(top[:, 1].max())
        first, second = placing.points(np.array([[start, height], [start + repeat, height]]))
        text = measures.short(measures.repeat_width, fine=True)
        self._across(
            painter,
            float(first[0]),
            float(second[0]),
            float(first[1]) - 0.7 * line,
            text,
            above=True,
        )
        low = placing.points(np.array([0.0, float(top[:, 1].min())]))[1]
        right = placing.points(np.array([bounds[2], 0.0]))[0]
        self._up(painter, float(right) + 0.7 * line, float(first[1]), float(low), tall)

    # measures

    @property
    def _length_text(self) -> str:
        measures = self._source.measures
        return measures.short(measures.length) if measures else ""

    def _row_text(self, row: int) -> str:
        return self._source.words.say("drawing row", row=row)

    def _text_width(self, text: str) -> float:
        return text_width(text, self._source.family, self._points)

    def _say(
        self, painter: QPainter, x: float, y: float, text: str, *, anchor: float = 0.5
    ) -> None:
        draw_label(
            painter,
            x,
            y,
            text,
            family=self._source.family,
            points=self._points,
            colour=_INK,
            anchor=anchor,
        )

    def _across(
        self,
        painter: QPainter,
        left: float,
        right: float,
        y: float,
        text: str,
        *,
        above: bool = False,
    ) -> None:
        """Draw a measure from left to right with its words below it or above."""
        size = 0.3 * self._line
        painter.setPen(QPen(QColor(_INK), 5))
        painter.drawLine(QLineF(left, y, right, y))
        for x, way in ((left, -1.0), (right, 1.0)):
            painter.drawLine(QLineF(x, y - size, x, y + size))
            _head(painter, x, y, way, 0.0, size)
        self._say(painter, 0.5 * (left + right), y + (-0.9 if above else 0.9) * self._line, text)

    def _up(self, painter: QPainter, x: float, top: float, bottom: float, text: str) -> None:
        """Draw a measure from top to bottom with its words at the right."""
        size = 0.3 * self._line
        painter.setPen(QPen(QColor(_INK), 5))
        painter.drawLine(QLineF(x, top, x, bottom))
        for y, way in ((top, -1.0), (bottom, 1.0)):
            painter.drawLine(QLineF(x - size, y, x + size, y))
            if bottom - top > 3 * size:
                _head(painter, x, y, 0.0, way, size)
        self._say(painter, x + 0.6 * self._line, 0.5 * (top + bottom), text, anchor=0.0)


def _head(painter: QPainter, x: float, y: float, dx: float, dy: float, size: float) -> None:
    """Draw an arrow's head with its tip at a place, pointing along (dx, dy)."""
    tip = QPointF(x, y)
    for side in (-0.45, 0.45):
        back = QPointF(x - size * dx + side * size * dy, y - size * dy + side * size * dx)
        painter.drawLine(QLineF(tip, back))


def _bounds_mm(source: Source, edging: EdgingShapes) -> tuple[float, float, float, float]:
    if edging.is_there:
        return edging.extent_mm
    points = _silhouette(source)
    low, high = points.min(axis=0), points.max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def _silhouette(source: Source) -> Floats:
    """Return the blanket's outline as one closed line, shape (n, 2)."""
    fabric = source.results.fabric
    lines = [edge_line_mm(fabric, row) for row in range(fabric.n_rows + 1)]
    right = np.array([line[-1] for line in lines[1:-1]]).reshape(-1, 2)
    left = np.array([line[0] for line in lines[-2:0:-1]]).reshape(-1, 2)
    return np.concatenate([lines[0], right, lines[-1][::-1], left])


def _peak_from(line: Floats, repeat: float) -> tuple[float, float]:
    """Return where the first peak with another one after it lies, and how far that is."""
    inside = line[line[:, 0] <= line[-1, 0] - repeat]
    if not len(inside):
        return float(line[0, 0]), min(repeat, float(line[-1, 0] - line[0, 0]))
    return float(inside[int(np.argmax(inside[:, 1])), 0]), repeat
