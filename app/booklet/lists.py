"""Lists with drawings in them: stripes to tick off, letters and colours, measures in short."""

import math
from collections.abc import Sequence
from functools import lru_cache

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.booklet.manner import MM, POINT, SHORT, Manner
from app.booklet.setting import Run, SetText, draw_label, text_width
from core.booklet.nodes import Colour, Tick
from core.design.document import Yarn
from core.records import Struct, replace
from core.words.vocabulary import Vocabulary

_COLUMN_GAP = 9 * MM
_NAME_LEADING = 1.25
_LEAST_LINES = 3  # of a list that goes on in another column


def _set_line(name: str, room: float, family: str, points: float, *, colour: str) -> SetText:
    """Return a name set into a width."""
    return SetText(
        [Run(name)], room, family=family, points=points, leading=_NAME_LEADING, colour=colour
    )


@lru_cache(maxsize=8192)
def _lines(name: str, room: float, family: str, points: float) -> int:
    """Return how many lines a name takes; known again for every page a list goes on to."""
    return _set_line(name, room, family, points, colour="#000000").n_lines


class TicksPiece(Struct, frozen=True, kw_only=True):
    """Stripes to tick off, in columns; the head stands over each of them."""

    stripes: tuple[Tick, ...]
    yarns: Sequence[Yarn]
    family: str
    manner: Manner
    words: Vocabulary
    width: float
    columns: int = 1
    before: float = 0.0
    keep: bool = False

    def with_names_whole(self) -> "TicksPiece":
        """Return it in as many columns as its manner has, in one if names would be cut there."""
        wanted = replace(self, columns=self.manner.tick_columns)
        room = wanted._name_room(wanted._column_width)
        named = {self._name(stripe) for stripe in self.stripes} if wanted.columns > 1 else set()
        fits = all(text_width(name, self.family, self._points) <= room for name in named)
        return wanted if fits else replace(self, columns=1)

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
        return math.ceil(len(self.stripes) / self.columns)

    @property
    def _column_width(self) -> float:
        return (self.width - (self.columns - 1) * _COLUMN_GAP) / self.columns

    @property
    def height(self) -> float:
        """Its height, in units."""
        return self._head + sum(self._heights[: self._per_column])

    @property
    def _heights(self) -> list[float]:
        """Height of every stripe; in one column a long name takes more than one line."""
        if self.columns > 1:
            return [self._pitch] * len(self.stripes)
        line = self._points * _NAME_LEADING * POINT
        more = (_lines(*self._setting(self._name(stripe))) - 1 for stripe in self.stripes)
        return [self._pitch + lines * line for lines in more]

    def _setting(self, name: str) -> tuple[str, float, str, float]:
        """Return what a name's lines follow from: text, width, font, size."""
        wide = self._column_width
        room = wide - self._text_x if self._large else self._name_room(wide)
        return name, room, self.family, self._points

    def _name(self, stripe: Tick) -> str:
        if not self._large:
            return f"{stripe.letter}  {stripe.name}"
        return self.words.say(
            "tick name", number=stripe.number, letter=stripe.letter, name=stripe.name
        )

    def _set_name(self, name: str) -> SetText:
        return _set_line(*self._setting(name), colour=self.manner.ink)

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        if self.height <= SHORT * room:
            return self.height
        return self._head + sum(self._heights[: min(self._per_column, 3)])

    def split(self, left: float, room: float) -> "tuple[TicksPiece, TicksPiece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        y, lines = self._head, 0
        for high in self._heights[: self._per_column]:
            y += high
            if y > left + 1e-6:
                break
            lines += 1
        lines = min(lines, self._per_column - _LEAST_LINES)  # no line or two on a page of its own
        n = lines * self.columns
        if lines < 2 or n >= len(self.stripes):
            return None
        return (
            replace(self, stripes=self.stripes[:n]),
            replace(self, stripes=self.stripes[n:], before=0.0),
        )

    def draw(self, painter: QPainter, x: float, y: float) -> None:
        """Draw it with its top left corner at a place."""
        columns, per = self.columns, self._per_column
        wide, heights = self._column_width, self._heights
        for column in range(columns):
            mine = self.stripes[column * per : (column + 1) * per]
            if not mine:
                break
            left = x + column * (wide + _COLUMN_GAP)
            if self._head:
                self._draw_head(painter, left, y, wide)
            top = y + self._head
            for stripe, high in zip(mine, heights[column * per :], strict=False):
                self._draw_stripe(painter, stripe, left, top, wide)
                top += high

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
            self._draw_large(painter, stripe, x, first)
            return
        rows, numbers, total = self._places(wide)
        name = self._set_name(self._name(stripe))
        name.draw(painter, x + self._text_x, first - 0.5 * name.pitch)
        for place, text in (
            (rows, f"{stripe.rows}"),
            (numbers, stripe.span(self.words)),
            (total, f"{stripe.last}"),
        ):
            self._say(painter, x + place, first, text, anchor=1.0)
        painter.setPen(QPen(QColor(self.manner.hairline), 3))
        bottom = y + self._pitch + (name.n_lines - 1) * name.pitch
        painter.drawLine(QLineF(x, bottom, x + wide, bottom))

    def _name_room(self, wide: float) -> float:
        """Return the width that a stripe's letter and name have in a line."""
        least = text_width(self._heads[0], self.family, self._points) + 0.4 * self._points * POINT
        return self._places(wide)[0] - self._text_x - least

    def _draw_swatch(
        self, painter: QPainter, stripe: Tick, x: float, middle: float, size: float
    ) -> None:
        if self.manner.fills:
            painter.setPen(QPen(QColor(self.manner.ink), 4))
            painter.setBrush(QColor(self.yarns[stripe.yarn].colour))
            painter.drawRect(QRectF(x, middle - 0.5 * size, 1.3 * size, size))
            painter.setBrush(Qt.BrushStyle.NoBrush)

    def _draw_large(self, painter: QPainter, stripe: Tick, x: float, first: float) -> None:
        left, text = x + self._text_x, self._set_name(self._name(stripe))
        text.draw(painter, left, first - 0.5 * text.pitch)
        rows = self.words.say("tick rows", n=stripe.rows, span=stripe.span(self.words))
        self._say(painter, left, first + text.height, rows, anchor=0.0)

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


class ColoursPiece(Struct, frozen=True, kw_only=True):
    """What the yarns' letters stand for, a line each; a long name goes on below."""

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
    def _name_x(self) -> float:
        """Where names begin: after the swatch, in colour, and the widest letter."""
        size = self.manner.body * POINT
        letters = [
            text_width(yarn.letter, self.family, self.manner.body, bold=True) for yarn in self.yarns
        ]
        return self._letter_x + max(letters, default=0.0) + 0.8 * size

    @property
    def _letter_x(self) -> float:
        return 2.2 * self.manner.body * POINT if self.manner.fills else 0.0

    @property
    def _texts(self) -> list[SetText]:
        room, points = self.width - self._name_x, self.manner.body
        return [
            _set_line(f"{y.name}, {y.words}", room, self.family, points, colour=self.manner.ink)
            for y in self.yarns
        ]

    @property
    def _heights(self) -> list[float]:
        return [self._pitch + (text.n_lines - 1) * text.pitch for text in self._texts]

    @property
    def height(self) -> float:
        """Its height, in units."""
        return sum(self._heights)

    def least(self, room: float) -> float:
        """Return the height of the smallest first part."""
        heights = self._heights
        return sum(heights) if sum(heights) <= SHORT * room else sum(heights[:3])

    def split(self, left: float, room: float) -> "tuple[ColoursPiece, ColoursPiece] | None":
        """Return a part no higher than what is left, and the rest, if it can be cut."""
        y, n = 0.0, 0
        for high in self._heights:
            y += high
            if y > left + 1e-6:
                break
            n += 1
        n = min(n, len(self.yarns) - 2)
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
        for yarn, text, high in zip(self.yarns, self._texts, self._heights, strict=True):
            middle = y + 0.5 * self._pitch
            if self.manner.fills:
                painter.setPen(QPen(QColor(self.manner.ink), 4))
                painter.setBrush(QColor(yarn.colour))
                painter.drawRect(QRectF(x, middle - 0.55 * size, 1.7 * size, 1.1 * size))
                painter.setBrush(Qt.BrushStyle.NoBrush)
            draw_label(
                painter,
                x + self._letter_x,
                middle,
                yarn.letter,
                family=self.family,
                points=points,
                colour=self.manner.ink,
                bold=True,
                anchor=0.0,
            )
            text.draw(painter, x + self._name_x, middle - 0.5 * text.pitch)
            y += high


class FactsPiece(Struct, frozen=True, kw_only=True):
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
