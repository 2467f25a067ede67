"""Lists with drawings in them: stripes to tick off, letters and colours, measures in short."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.booklet.manner import MM, POINT, SHORT, Manner
from app.booklet.setting import SetText, draw_label, elided, text_width
from core.booklet.nodes import Colour, Tick
from core.design.document import Yarn
from core.words.vocabulary import Vocabulary

_COLUMN_GAP = 9 * MM


@dataclass(frozen=True, slots=True, kw_only=True)
class TicksPiece:
    """Stripes to tick off, in columns; the head stands over each of them."""

    stripes: tuple[Tick, ...]
    yarns: Sequence[Yarn]
    family: str
    manner: Manner
    words: Vocabulary
    width: float
    before: float = 0.0
    keep: bool = False

    @property
    def _large(self) -> bool:
        return self.manner.is_large

    @property
    def _points(self) -> float:
        return self.manner.body if self._large else self.manner.small + 0.5

    @property
    def _pitch(self) -> float:
        return self.manner.tick_pitch * self._points * POINT

    @property
    def _head(self) -> float:
        return 0.0 if self._large else 1.9 * self._points * POINT

    @property
    def _per_column(self) -> int:
        return math.ceil(len(self.stripes) / self.manner.tick_columns)

    @property
    def height(self) -> float:
        """Its height, in units."""
        return self._head + self._per_column * self._pitch

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        if self.height <= SHORT * room:
            return self.height
        return self._head + min(self._per_column, 3) * self._pitch

    def split(self, left: float, room: float) -> "tuple[TicksPiece, TicksPiece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        lines = int((left - self._head) / self._pitch + 1e-6)
        n = lines * self.manner.tick_columns
        if lines < 2 or n >= len(self.stripes):
            return None
        return (
            replace(self, stripes=self.stripes[:n]),
            replace(self, stripes=self.stripes[n:], before=0.0),
        )

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        columns, per = self.manner.tick_columns, self._per_column
        wide = (self.width - (columns - 1) * _COLUMN_GAP) / columns
        for column in range(columns):
            mine = self.stripes[column * per : (column + 1) * per]
            if not mine:
                break
            left = x + column * (wide + _COLUMN_GAP)
            if self._head:
                self._draw_head(painter, left, y, wide)
            for number, stripe in enumerate(mine):
                top = y + self._head + number * self._pitch
                self._draw_stripe(painter, stripe, left, top, wide)

    def _places(self, wide: float) -> tuple[float, float, float]:
        """Return where rows, their numbers and the total end, from the left."""
        _, numbers, total = self._heads
        number = max(
            text_width("0000–0000", self.family, self._points),
            text_width(numbers, self.family, self._points, bold=True),
        )
        all_ = text_width(total, self.family, self._points, bold=True)
        gap = 0.9 * self._points * POINT
        return wide - all_ - 2 * gap - number, wide - all_ - gap, wide

    @property
    def _heads(self) -> tuple[str, str, str]:
        """What stands over rows, their numbers and the total."""
        say = self.words.say
        return say("column rows"), say("ticks numbers"), say("ticks in all")

    def _draw_head(self, painter: QPainter, x: float, y: float, wide: float) -> None:
        middle = y + 0.5 * self._head
        colour = self.words.say("column colour")
        self._say(painter, x + self._text_x, middle, colour, bold=True, anchor=0.0)
        for place, text in zip(self._places(wide), self._heads, strict=True):
            self._say(painter, x + place, middle, text, bold=True, anchor=1.0)
        painter.setPen(QPen(QColor(self.manner.hairline), 8))
        painter.drawLine(QLineF(x, y + self._head, x + wide, y + self._head))

    @property
    def _text_x(self) -> float:
        """Where the words begin: after the box and, in colour, the swatch."""
        return (3.5 if self.manner.fills else 1.8) * self._points * POINT

    def _draw_stripe(
        self, painter: QPainter, stripe: Tick, x: float, y: float, wide: float
    ) -> None:
        size = 1.05 * self._points * POINT
        first = y + (0.75 * self._points * POINT + 40 if self._large else 0.5 * self._pitch)
        painter.setPen(QPen(QColor(self.manner.ink), 12 if self._large else 6))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(x + 8, first - 0.5 * size, size, size))
        self._draw_swatch(painter, stripe, x + 1.55 * size, first, size)
        if self._large:
            self._draw_large(painter, stripe, x, first, wide)
            return
        rows, numbers, total = self._places(wide)
        least = text_width(self._heads[0], self.family, self._points) + 0.4 * self._points * POINT
        room = rows - self._text_x - least
        name = elided(f"{stripe.letter}  {stripe.name}", room, self.family, self._points)
        self._say(painter, x + self._text_x, first, name, anchor=0.0)
        for place, text in (
            (rows, f"{stripe.rows}"),
            (numbers, stripe.span(self.words)),
            (total, f"{stripe.last}"),
        ):
            self._say(painter, x + place, first, text, anchor=1.0)
        painter.setPen(QPen(QColor(self.manner.hairline), 3))
        painter.drawLine(QLineF(x, y + self._pitch, x + wide, y + self._pitch))

    def _draw_swatch(
        self, painter: QPainter, stripe: Tick, x: float, middle: float, size: float
    ) -> None:
        if self.manner.fills:
            painter.setPen(QPen(QColor(self.manner.ink), 4))
            painter.setBrush(QColor(self.yarns[stripe.yarn].colour))
            painter.drawRect(QRectF(x, middle - 0.5 * size, 1.3 * size, size))
            painter.setBrush(Qt.BrushStyle.NoBrush)

    def _draw_large(
        self, painter: QPainter, stripe: Tick, x: float, first: float, wide: float
    ) -> None:
        left = x + self._text_x
        room = wide - self._text_x
        name = self.words.say(
            "tick name", number=stripe.number, letter=stripe.letter, name=stripe.name
        )
        self._say(
            painter,
            left,
            first,
            elided(name, room, self.family, self._points),
            anchor=0.0,
            bold=False,
        )
        text = self.words.say("tick rows", n=stripe.rows, span=stripe.span(self.words))
        self._say(painter, left, first + 1.25 * self._points * POINT, text, anchor=0.0)

    def _say(
        self,
        painter: QPainter,
        x: float,
        y: float,
        text: str,
        *,
        anchor: float,
        bold: bool = False,
    ) -> None:
        draw_label(
            painter,
            x,
            y,
            text,
            family=self.family,
            points=self._points,
            colour=self.manner.ink,
            bold=bold,
            anchor=anchor,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ColoursPiece:
    """What the yarns' letters stand for, a line each."""

    yarns: tuple[Colour, ...]
    family: str
    manner: Manner
    width: float
    before: float = 0.0
    keep: bool = False

    @property
    def _pitch(self) -> float:
        return min(self.manner.tick_pitch, 1.8) * self.manner.body * POINT

    @property
    def height(self) -> float:
        """Its height, in units."""
        return len(self.yarns) * self._pitch

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        if self.height <= SHORT * room:
            return self.height
        return min(len(self.yarns), 3) * self._pitch

    def split(self, left: float, room: float) -> "tuple[ColoursPiece, ColoursPiece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        n = min(int(left / self._pitch + 1e-6), len(self.yarns) - 2)
        if n < 2:
            return None
        return (
            replace(self, yarns=self.yarns[:n], keep=False),
            replace(self, yarns=self.yarns[n:], before=0.0),
        )

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        points = self.manner.body
        size = points * POINT
        swatch = 2.2 * size if self.manner.fills else 0.0
        letters = max(
            (text_width(c.letter, self.family, points, bold=True) for c in self.yarns), default=0.0
        )
        for number, colour in enumerate(self.yarns):
            middle = y + (number + 0.5) * self._pitch
            if swatch:
                painter.setPen(QPen(QColor(self.manner.ink), 4))
                painter.setBrush(QColor(colour.colour))
                painter.drawRect(QRectF(x, middle - 0.55 * size, 1.7 * size, 1.1 * size))
                painter.setBrush(Qt.BrushStyle.NoBrush)
            left = x + swatch
            common = {"family": self.family, "points": points, "colour": self.manner.ink}
            draw_label(painter, left, middle, colour.letter, bold=True, anchor=0.0, **common)  # type: ignore[arg-type]
            left += letters + 0.8 * size
            text = f"{colour.name}, {colour.words}"
            text = elided(text, x + self.width - left, self.family, points)
            draw_label(painter, left, middle, text, anchor=0.0, **common)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class FactsPiece:
    """Measures in short, each name over its value."""

    rows: tuple[tuple[SetText, SetText], ...]
    gap: float
    before: float = 0.0
    keep: bool = False

    @property
    def height(self) -> float:
        """Its height, in units."""
        high = sum(name.height + value.height for name, value in self.rows)
        return high + self.gap * max(len(self.rows) - 1, 0)

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        name, value = self.rows[0]
        return name.height + value.height

    def split(self, left: float, room: float) -> "tuple[FactsPiece, FactsPiece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        high, n = 0.0, 0
        for name, value in self.rows:
            high += name.height + value.height
            if high > left + 1e-6:
                break
            high, n = high + self.gap, n + 1
        if not 0 < n < len(self.rows):
            return None
        return (
            replace(self, rows=self.rows[:n], keep=False),
            replace(self, rows=self.rows[n:], before=0.0),
        )

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        for name, value in self.rows:
            name.draw(painter, x, y)
            value.draw(painter, x, y + name.height)
            y += name.height + value.height + self.gap
