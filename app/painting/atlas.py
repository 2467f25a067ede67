"""Symbols as ready-made sprites: thousands a frame cost what hundreds of drawn ones would.

A fabric repeats itself, so most symbols on a chart are the same few drawings in the same few
directions. Each is drawn once, into one large picture, at one of 128 directions and a length
to half a pixel; a frame then only places pieces of that picture. Sprites are made as they are
met and kept until scale or ink change.
"""

import math
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPen, QPixmap
from shiboken6 import Shiboken

from app.painting.strokes import Floats, draw_lines, polygon_of
from core.chart.symbols import NAMES, SYMBOLS
from core.records import Struct
from core.stripes.sequence import Indices

_TURNS: Final = 128
_PAGE_PX: Final = 1024  # across
_FIRST_PX: Final = 128  # downwards at first; a full page is made twice as long
_MOST_PX: Final = 8192
_LONGEST: Final = 4096  # half pixels; keeps a key in one number


class _Sprite(Struct, frozen=True):
    """A piece of the page: its corner and size, and its middle seen from the symbol's foot."""

    left: int
    top: int
    width: int
    height: int
    right_px: float
    down_px: float


class SymbolAtlas:
    """Draws symbols from a page of sprites."""

    def __init__(self) -> None:
        self._pen = QPen()
        self._style: tuple[str, float] = ("", 0.0)
        self._page: QPixmap | None = None
        self._sprites: dict[int, _Sprite] = {}
        self._begun = 0  # how often a page was begun
        self._shelf = (0, 0, 0)  # where the next sprite goes: x, y, height of the shelf

    def draw(
        self, painter: QPainter, symbol: Indices, foot_px: Floats, way_px: Floats, pen: QPen
    ) -> None:
        """Draw symbols from foot along their way, in the painter's own pixels.

        Args:
            painter: Where to; its transform may move by whole pixels.
            symbol: Numbers of the symbols, shape (n,).
            foot_px: Shape (n, 2), y downwards.
            way_px: Shape (n, 2).
            pen: Ink and stroke width.
        """
        if not len(symbol):
            return
        ratio = painter.device().devicePixelRatioF()
        self._take_style(pen, ratio)
        keys = _keys(symbol, way_px * ratio)
        wanted, which = np.unique(keys, return_inverse=True)
        begun = self._begun
        numbers = [self._numbers(int(key)) for key in wanted]
        if begun != self._begun:  # a page begun anew halfway holds none of the first half
            numbers = [self._numbers(int(key)) for key in wanted]
        sprites = np.array(numbers)[which]
        self._place(painter, sprites, foot_px * ratio, ratio)

    def _take_style(self, pen: QPen, ratio: float) -> None:
        style = (pen.color().name(), pen.widthF() * ratio)
        if style != self._style or self._page is None:
            self._style = style
            self._pen = QPen(pen)
            self._pen.setWidthF(pen.widthF() * ratio)
            self._clear()

    def _clear(self) -> None:
        self._begun += 1
        self._page = _empty_page(_FIRST_PX)
        self._sprites = {}
        self._shelf = (0, 0, 0)

    def _numbers(self, key: int) -> tuple[float, ...]:
        if key not in self._sprites:
            self._sprites[key] = self._make(key)
        sprite = self._sprites[key]
        return (
            sprite.left,
            sprite.top,
            sprite.width,
            sprite.height,
            sprite.right_px,
            sprite.down_px,
        )

    def _make(self, key: int) -> _Sprite:
        """Draw one sprite into the page."""
        rest, halves = divmod(key, _LONGEST)
        number, turn = divmod(rest, _TURNS)
        angle, length = 2 * math.pi * turn / _TURNS, 0.5 * halves
        way = np.array([length * math.cos(angle), length * math.sin(angle)])
        symbol = SYMBOLS[NAMES[number]]
        frame = np.array([[-way[1], way[0]], way])  # the symbol's x and y in pixels
        lines = symbol.lines @ frame
        solids = [outline @ frame for outline in symbol.solids]
        points = np.concatenate([lines.reshape(-1, 2), *solids])
        pad = 0.5 * self._pen.widthF() + 1.5
        low = np.floor(points.min(axis=0) - pad).astype(int)
        high = np.ceil(points.max(axis=0) + pad).astype(int)
        width, height = (high - low).tolist()
        left, top = self._room(width, height)
        assert self._page is not None
        with QPainter(self._page) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.translate(QPointF(left - low[0], top - low[1]))
            painter.setPen(self._pen)
            draw_lines(painter, lines)
            painter.setBrush(self._pen.color())
            for outline in solids:
                painter.drawPolygon(polygon_of(outline))
        return _Sprite(left, top, width, height, *(0.5 * (low + high)).tolist())

    def _room(self, width: int, height: int) -> tuple[int, int]:
        """Return a free place in the page, made longer if need be; beyond all bounds begun anew."""
        x, y, shelf = self._shelf
        if x + width > _PAGE_PX:
            x, y, shelf = 0, y + shelf, 0
        assert self._page is not None
        if y + height > _MOST_PX:
            self._clear()
            x, y, shelf = 0, 0, 0
        while y + height > self._page.height():
            longer = _empty_page(2 * self._page.height())
            with QPainter(longer) as painter:
                painter.drawPixmap(0, 0, self._page)
            self._page = longer
        self._shelf = (x + width, y, max(shelf, height))
        return x, y

    def _place(self, painter: QPainter, sprites: Floats, foot_px: Floats, ratio: float) -> None:
        assert self._page is not None
        pieces = np.ones((len(sprites), 10))  # x, y, source rectangle, scales, rotation, opacity
        # A sprite is drawn about its middle; whole pixels keep it sharp.
        corner = np.floor(foot_px + sprites[:, 4:6] - 0.5 * sprites[:, 2:4] + 0.5)
        pieces[:, 0:2] = corner + 0.5 * sprites[:, 2:4]
        pieces[:, 2:6] = sprites[:, 0:4]
        pieces[:, 8] = 0.0
        first: Any = Shiboken.wrapInstance(pieces.ctypes.data, QPainter.PixmapFragment)
        painter.save()
        painter.scale(1 / ratio, 1 / ratio)
        painter.drawPixmapFragments(first, len(pieces), self._page)
        painter.restore()


def _empty_page(height: int) -> QPixmap:
    page = QPixmap(_PAGE_PX, height)
    page.fill(Qt.GlobalColor.transparent)
    return page


def _keys(symbol: Indices, way_px: Floats) -> NDArray[np.int64]:
    """Return one number for every drawing: symbol, direction and length to half a pixel."""
    turn = np.round(np.arctan2(way_px[:, 1], way_px[:, 0]) * _TURNS / (2 * np.pi)) % _TURNS
    halves = np.clip(np.round(2 * np.hypot(way_px[:, 0], way_px[:, 1])), 1, _LONGEST - 1)
    keys: NDArray[np.int64] = ((symbol * _TURNS + turn) * _LONGEST + halves).astype(np.int64)
    return keys
