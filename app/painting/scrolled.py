"""A drawing kept as a picture, so that moving it paints only what comes into view.

Painting a piece must give the same pixels whichever piece of the canvas it belongs to, and
moving a drawing by whole pixels must move its pixels: the drawing may depend on the placing
only through positions.

The picture is never moved itself. It is used as if its opposite edges were joined: what leaves on
one side makes room for what comes in on the other, and the canvas's corner wanders over it.
"""

from collections.abc import Callable, Iterator
from typing import Final

from PySide6.QtCore import QPoint, QRect, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPixmap, QRegion

from app.painting.chart import Placing

Draw = Callable[[QPainter, QRect], None]
"""Draws what lies in a rectangle of the canvas (what is drawn beyond it is cut off)."""

_MARGIN: Final = 6  # pixels drawn round a piece: smooth lines come out otherwise at their cut
_WHOLE: Final = 1e-6  # of a pixel: as near as moved whole pixels have to come


class Scrolled:
    """Keeps the last picture of one canvas."""

    def __init__(self) -> None:
        self._picture: QPixmap | None = None
        self._key: object = None
        self._placing: Placing | None = None
        self._corner = QPoint(0, 0)  # where in the picture the canvas begins, in its pixels

    def forget(self) -> None:
        """Draw everything anew next time."""
        self._picture = None

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
        if moved is None:
            self._begin(size, ratio)
            everything = QRegion(QRect(QPoint(0, 0), size * ratio))
        else:
            everything = self._let_in(moved)
        self._key, self._placing = whole, placing
        for strip in everything:  # type: ignore[attr-defined]
            for piece, corner in self._pieces(strip):
                self._draw(piece, corner, ratio, QColor(ground), draw)
        self._show(painter, ratio)

    def _moved(self, placing: Placing, ratio: float) -> QPoint | None:
        """Return by how many of the picture's pixels the drawing was moved, if by whole ones."""
        before, picture = self._placing, self._picture
        if picture is None or before is None:
            return None
        right, down = (placing.x - before.x) * ratio, (placing.y - before.y) * ratio
        whole = QPoint(round(right), round(down))
        near = max(abs(right - whole.x()), abs(down - whole.y())) < _WHOLE
        stays = abs(whole.x()) < picture.width() and abs(whole.y()) < picture.height()
        return whole if near and stays else None

    def _begin(self, size: QSize, ratio: float) -> None:
        """Take a new picture only if the canvas has another size."""
        if self._picture is None or self._picture.size() != size * ratio:
            self._picture = QPixmap(size * ratio)
            self._picture.fill(QColor("white"))  # opaque pictures are copied, not mixed
        self._corner = QPoint(0, 0)

    def _let_in(self, moved: QPoint) -> QRegion:
        """Move the corner; return what of the canvas is to be drawn anew."""
        assert self._picture is not None
        whole = self._picture.rect()
        x = (self._corner.x() - moved.x()) % whole.width()
        y = (self._corner.y() - moved.y()) % whole.height()
        self._corner = QPoint(x, y)
        return QRegion(whole).subtracted(QRegion(whole.translated(moved)))

    def _pieces(self, part: QRect) -> Iterator[tuple[QRect, QPoint]]:
        """Yield the pieces of a part of the canvas that lie in one piece in the picture.

        Each comes with where in the picture the canvas's corner would be for it.
        """
        assert self._picture is not None
        whole = self._picture.rect()
        for right in (0, -whole.width()):
            for down in (0, -whole.height()):
                corner = self._corner + QPoint(right, down)
                piece = part.translated(corner).intersected(whole).translated(-corner)
                if not piece.isEmpty():
                    yield piece, corner

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

    def _show(self, painter: QPainter, ratio: float) -> None:
        """Paint the picture's pieces where they belong."""
        assert self._picture is not None
        for piece, corner in self._pieces(self._picture.rect()):
            if ratio == 1.0:
                painter.drawPixmap(piece.topLeft(), self._picture, piece.translated(corner))
                continue
            source = QRectF(piece.translated(corner))
            painter.drawPixmap(_scaled(piece, ratio), self._picture, source)


def _scaled(piece: QRect, ratio: float) -> QRectF:
    return QRectF(
        piece.x() / ratio, piece.y() / ratio, piece.width() / ratio, piece.height() / ratio
    )
