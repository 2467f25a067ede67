"""A drawing kept as a picture, so that moving it paints only what comes into view.

Painting a piece must give the same pixels whichever piece of the canvas it belongs to, and
moving a drawing by whole pixels must move its pixels: the drawing may depend on the placing
only through positions.

The picture is never moved itself. It is used as if its opposite edges were joined: what leaves on
one side makes room for what comes in on the other, and the canvas's corner wanders over it. It has
some room to spare beside the canvas: what comes in is drawn that far ahead, so that most moves draw
nothing.
"""

from collections.abc import Callable, Iterator
from typing import Final

from PySide6.QtCore import QPoint, QRect, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPixmap, QRegion

from app.painting.chart import Placing

Draw = Callable[[QPainter, QRect], None]
"""Draws what lies in a rectangle of the canvas (what is drawn beyond it is cut off)."""

_MARGIN: Final = 6  # pixels drawn round a piece: smooth lines come out otherwise at their cut
AHEAD_PX: Final = 64  # of the picture's, that may be drawn beside the canvas
_WHOLE: Final = 1e-6  # of a pixel: as near as moved whole pixels have to come


class Scrolled:
    """Keeps the last picture of one canvas."""

    def __init__(self) -> None:
        self._picture: QPixmap | None = None
        self._key: object = None
        self._placing: Placing | None = None
        self._corner = QPoint(0, 0)  # where in the picture the canvas begins, in its pixels
        self._drawn = QRect()  # what is there, seen from the canvas's corner

    def forget(self) -> None:
        """Draw everything anew next time."""
        self._key = None  # the picture's room is kept: taking new room takes time

    def paint(
        self,
        painter: QPainter,
        size: QSize,
        ground: str,
        key: object,
        placing: Placing,
        draw: Draw,
    ) -> None:
        """Paint the drawing, from the picture as far as that shows the same.

        Args:
            painter: A painter of the canvas, untransformed.
            size: The canvas.
            ground: What it is drawn on.
            key: What the drawing depends on besides its place; compared by `==`.
            placing: Where it lies.
            draw: Draws a piece of it.
        """
        ratio = painter.device().devicePixelRatioF()
        whole = (key, ground, size, ratio, placing.scale)
        moved = self._moved(placing, ratio) if whole == self._key else None
        canvas = QRect(QPoint(0, 0), size * ratio)
        there = self._drawn.translated(moved) if moved is not None else QRect()
        if moved is None or not there.intersects(canvas):
            self._begin(size * ratio)
            there, self._drawn = QRect(), canvas
        else:
            self._corner -= moved
            self._drawn = _reaching(there, canvas)
        self._key, self._placing = whole, placing
        for strip in QRegion(self._drawn).subtracted(QRegion(there)):  # type: ignore[attr-defined]
            for piece, corner in self._pieces(strip):
                self._draw(piece, corner, ratio, QColor(ground), draw)
        self._show(painter, canvas, ratio)

    def _moved(self, placing: Placing, ratio: float) -> QPoint | None:
        """Return by how many of the picture's pixels the drawing was moved, if by whole ones."""
        before = self._placing
        if self._picture is None or before is None:
            return None
        right, down = (placing.x - before.x) * ratio, (placing.y - before.y) * ratio
        whole = QPoint(round(right), round(down))
        near = max(abs(right - whole.x()), abs(down - whole.y())) < _WHOLE
        return whole if near else None

    def _begin(self, canvas: QSize) -> None:
        """Take a new picture only if the canvas has another size."""
        room = canvas + QSize(2 * AHEAD_PX, 2 * AHEAD_PX)
        if self._picture is None or self._picture.size() != room:
            self._picture = QPixmap(room)
            self._picture.fill(QColor("white"))  # opaque pictures are copied, not mixed
        self._corner = QPoint(0, 0)

    def _pieces(self, part: QRect) -> Iterator[tuple[QRect, QPoint]]:
        """Yield the pieces of a part of the canvas that lie in one piece in the picture.

        Each comes with where in the picture the canvas's corner would be for it.
        """
        assert self._picture is not None
        wide, high = self._picture.width(), self._picture.height()
        at = self._corner + part.topLeft()
        for left, x, width in _joined(at.x(), part.width(), wide):
            for top, y, height in _joined(at.y(), part.height(), high):
                piece = QRect(part.left() + left, part.top() + top, width, height)
                yield piece, QPoint(x, y) - piece.topLeft()

    def _draw(self, piece: QRect, corner: QPoint, ratio: float, ground: QColor, draw: Draw) -> None:
        assert self._picture is not None
        outer = piece.adjusted(-_MARGIN, -_MARGIN, _MARGIN, _MARGIN)
        fresh = QPixmap(outer.size())
        fresh.fill(ground)
        fresh.setDevicePixelRatio(ratio)
        with QPainter(fresh) as painter:
            painter.translate(-outer.x() / ratio, -outer.y() / ratio)
            scaled = _scaled(outer, ratio)
            draw(painter, scaled.toAlignedRect())
        fresh.setDevicePixelRatio(1.0)
        with QPainter(self._picture) as painter:
            inner = QRect(QPoint(_MARGIN, _MARGIN), piece.size())
            painter.drawPixmap(piece.topLeft() + corner, fresh, inner)

    def _show(self, painter: QPainter, canvas: QRect, ratio: float) -> None:
        """Paint the picture's pieces where they belong."""
        assert self._picture is not None
        for piece, corner in self._pieces(canvas):
            if ratio == 1.0:
                painter.drawPixmap(piece.topLeft(), self._picture, piece.translated(corner))
                continue
            source = QRectF(piece.translated(corner))
            painter.drawPixmap(_scaled(piece, ratio), self._picture, source)


def _joined(start: int, length: int, size: int) -> Iterator[tuple[int, int, int]]:
    """Yield the one or two pieces that a stretch has on a ring: offset, place on it, length."""
    place = start % size
    first = min(length, size - place)
    yield 0, place, first
    if first < length:
        yield first, 0, length - first


def _reaching(there: QRect, canvas: QRect) -> QRect:
    """Return a piece that holds the canvas, grown from what is there on sides where it doesn't."""
    left, right = _grown(there.left(), there.right(), canvas.left(), canvas.right())
    top, bottom = _grown(there.top(), there.bottom(), canvas.top(), canvas.bottom())
    return QRect(QPoint(left, top), QPoint(right, bottom))


def _grown(low: int, high: int, least: int, most: int) -> tuple[int, int]:
    if low > least:
        low = least - AHEAD_PX
        high = min(high, most + AHEAD_PX)
    if high < most:
        high = most + AHEAD_PX
        low = max(low, least - AHEAD_PX)
    return low, high


def _scaled(piece: QRect, ratio: float) -> QRectF:
    return QRectF(
        piece.x() / ratio, piece.y() / ratio, piece.width() / ratio, piece.height() / ratio
    )
