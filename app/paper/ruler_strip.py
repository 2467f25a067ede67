"""One strip of the stripe ruler: stripes at true height, a line, number and box for every row."""

from bisect import bisect_left, bisect_right
from typing import Final

import numpy as np

from app.paper.ink import INK, PAPER, QUIET, Ink, cut_short, width_mm
from core.design.document import Hand, Units
from core.paper.ruler import Ruler, Strip
from core.paper.stripe_list import StripeLine
from core.records import Struct

TAB: Final = 12.0
"""Millimetres above a strip that the next one is glued to."""
_BAND: Final = 11.0
_NUMBER: Final = 7.0
_BOX: Final = 4.0
_LEAST_GAP: Final = 0.8  # millimetres between lines
_LEAST_ROW: Final = 3.0  # millimetres from which every row has its number


class RulerSheet(Struct, frozen=True, kw_only=True):
    """What the ruler's pages show.

    Attributes:
        title: The design's title.
        ruler: The ruler.
        lines: The stripes.
        hand: The working hand.
        units: Units of lengths.
        washed: By what share washing changes the length; None if that isn't known.
        trouble: Why it is a draft, if it is one.
    """

    title: str
    ruler: Ruler
    lines: tuple[StripeLine, ...]
    hand: Hand
    units: Units
    washed: float | None
    trouble: str


class DrawnStrip(Struct, frozen=True):
    """A strip on its page; the coloured edge is at the left for right-handers."""

    ink: Ink
    sheet: RulerSheet
    strip: Strip
    left: float
    wide: float
    foot: float

    def at(self, height_mm: float) -> float:
        """Return where a height over the foundation lies on the page."""
        return self.foot - (height_mm - self.strip.bottom_mm)

    def across(self, from_edge: float, wide: float = 0.0) -> float:
        """Return the left end of something so far from the coloured edge."""
        if self.sheet.hand == "right":
            return self.left + from_edge
        return self.left + self.wide - from_edge - wide

    def draw(self) -> None:
        """Draw stripes, rows, joins."""
        ink, strip = self.ink, self.strip
        top = self.at(strip.top_mm)
        rows = self._rows_here()
        shown = self._stripes_here(rows)
        for line, after in shown:
            self._stripe(line, after)
        self._rows(rows)
        for line, _ in shown:
            self._letter(line)
        ink.box(self.left, top, self.wide, strip.height_mm, line=0.2)
        self._ends(top)

    def _rows_here(self) -> range:
        """Return the rows of which something lies on this strip."""
        tops = self.sheet.ruler.tops_mm
        first = int(np.searchsorted(tops, self.strip.bottom_mm + 1e-6, side="right"))
        last = int(np.searchsorted(tops, self.strip.top_mm - 1e-6, side="left"))
        return range(max(first, 1), min(last, len(tops) - 1) + 1)

    def _stripes_here(self, rows: range) -> list[tuple[StripeLine, StripeLine | None]]:
        """Return the stripes of these rows, each with the one above it."""
        lines = self.sheet.lines
        start = bisect_left(lines, rows.start, key=lambda line: line.last)
        end = bisect_right(lines, rows.stop - 1, key=lambda line: line.first)
        return list(zip(lines[start:end], (*lines[start + 1 : end + 1], None), strict=False))

    def _ends(self, top: float) -> None:
        ink, strips = self.ink, self.sheet.ruler.strips
        is_last = self.strip.number == len(strips)
        if not is_last:
            ink.box(self.left, top - TAB, self.wide, TAB, line=0.2, dashed=True)
            ink.text(self.left + self.wide / 2, top - TAB + 3.6,
                     f"glue strip {self.strip.number + 1} here", 8, colour=QUIET,
                     anchor=0.5)  # fmt: skip
            ink.text(self.left + self.wide / 2, top - TAB + 8.0, "its foot on the line below", 7.5,
                     colour=QUIET, anchor=0.5)  # fmt: skip
            self._marks(top)
        else:
            end = "end of the ruler" if not self.sheet.ruler.is_whole else "last row"
            ink.text(self.left + self.wide / 2, top - 2.6, end, 8, colour=QUIET, anchor=0.5)
        if self.strip.number > 1:
            self._marks(self.foot)
        said = f"Strip {self.strip.number} of {len(strips)}"
        if self.strip.number == 1:
            said += ": foot at the foundation"
        ink.text(self.left + self.wide / 2, self.foot + 2.6, said, 8, bold=True, anchor=0.5)

    def _marks(self, y: float) -> None:
        """Draw marks on both sides of a join that come to lie on each other."""
        for x, way in ((self.left, 1), (self.left + self.wide, -1)):
            self.ink.shape([(x, y), (x + 2.4 * way, y - 1.2), (x + 2.4 * way, y + 1.2)])

    def _part(self, line: StripeLine) -> tuple[float, float] | None:
        """Return where the part of a stripe on this strip begins and ends; None without one."""
        tops = self.sheet.ruler.tops_mm
        low = max(float(tops[line.first - 1]), self.strip.bottom_mm)
        end = min(float(tops[line.last]), self.strip.top_mm)
        return (low, end) if end - low > 1e-6 else None

    def _letter(self, line: StripeLine) -> None:
        part = self._part(line)
        radius = 0.0 if part is None else min(2.6, 0.46 * (part[1] - part[0]))
        if part is not None and radius > 0.7:
            self.ink.letter(self.across(_BAND / 2), self.at(sum(part) / 2), radius, line.colour)

    def _stripe(self, line: StripeLine, after: StripeLine | None) -> None:
        ink, part = self.ink, self._part(line)
        if part is None:
            return
        low, end = part
        high = float(self.sheet.ruler.tops_mm[line.last])
        y, tall = self.at(end), end - low
        ink.swatch(self.across(0, _BAND), y, _BAND, tall, line.colour, line=0)
        ends_here = high <= self.strip.top_mm + 1e-6
        if tall >= _LEAST_GAP:  # lines closer than that would be one black field
            ink.line(self.left, y, self.left + self.wide, y, wide=0.3)
        if tall >= 1.9:
            self._label(line, after if ends_here else None, y, tall, ends_here=ends_here)

    def _label(
        self, line: StripeLine, after: StripeLine | None, y: float, tall: float, *, ends_here: bool
    ) -> None:
        ink, inner = self.ink, _BAND + _NUMBER + _BOX + 2.2
        room = self.wide - inner - 1.2
        x = self.across(inner, room)
        points = min(9.0, 2.3 * tall)
        pitch = 4.0
        if after is not None and line.same_after:
            after = None  # the yarn just goes on
        change = f"then {after.colour.letter} at {line.ends}" if after and ends_here else ""
        if tall < 2 * pitch:
            arrow = 4.0 if change else 0.0
            span = width_mm(line.span, ink.family, points)
            name = cut_short(line.colour.name, room - span - arrow - 1.5, ink.family, points)
            ink.text(x, y + tall / 2, name, points)
            ink.text(x + room - arrow, y + tall / 2, line.span, points, anchor=1.0)
            if change:
                self._arrow(x + room - 1.5, y + tall / 2, min(1.1, 0.3 * tall), line)
            return
        rows, name = "row" if line.first == line.last else "rows", line.colour.name
        texts = [(name, 9.5, True, INK), (f"{rows} {line.span}", 8.5, False, INK)]
        if change and tall >= 3 * pitch:
            texts.append((change, 8.5, False, INK))
        if line.label and tall >= 4 * pitch + 1:
            texts.append((line.label, 8, False, QUIET))
        at = y + tall / 2 - 0.5 * pitch * (len(texts) - 1)
        for words, size, bold, colour in texts:
            ink.text(
                x,
                at,
                words,
                size,
                bold=bold,
                colour=colour,
                room=room - (3 if words is name and tall < 4.5 * pitch else 0),
            )
            at += pitch
        if change:
            self._arrow(x + room - 1.5, y + 2.2, 1.1, line)

    def _arrow(self, x: float, y: float, size: float, line: StripeLine) -> None:
        way = -1 if line.ends == "left" else 1
        self.ink.shape(
            [(x + way * size, y), (x - way * size, y - size), (x - way * size, y + size)]
        )

    def _rows(self, rows: range) -> None:
        """Draw a line, a number and a box for every row that ends on this strip."""
        ink, tops = self.ink, self.sheet.ruler.tops_mm
        stops = {stop.row for stop in self.sheet.ruler.stops}
        every = lined(self.sheet.ruler)
        for row in rows:
            high, low = float(tops[row]), float(tops[row - 1])
            if high > self.strip.top_mm + 1e-6:
                continue
            y, tall = self.at(high), high - low
            self._row_line(row, y, every)
            tall = min(tall, high - self.strip.bottom_mm)
            middle = y + tall / 2
            if tall >= _LEAST_ROW or (row % 5 == 0 and 5 * tall >= _LEAST_ROW):
                points = min(8.0, 2.4 * max(tall, _LEAST_ROW))
                ink.text(self.across(_BAND + _NUMBER / 2), middle, str(row), points,
                         bold=row % 10 == 0, anchor=0.5)  # fmt: skip
            size = min(_BOX, 0.72 * tall)
            if size > 1.0:
                x = self.across(_BAND + _NUMBER + (_BOX - size) / 2 + 0.6, size)
                ink.box(x, middle - size / 2, size, size, line=0.18)
            if row in stops and tall > 1.0:
                self._stop(y, min(1.3, 0.3 * tall))

    def _row_line(self, row: int, y: float, every: int) -> None:
        if row % every:
            return
        long = _BAND + _NUMBER + (_BOX + 1.5 if row % (5 * every) == 0 else 0)
        left, wide = self.across(0, long), 0.3 if row % (10 * every) == 0 else 0.15
        self.ink.line(left, y, left + long, y, wide=wide)

    def _stop(self, y: float, size: float) -> None:
        """Mark a row that is good to stop after."""
        x = self.across(self.wide - 2.2)
        self.ink.shape(
            [(x - size, y), (x, y - size), (x + size, y), (x, y + size)], fill=PAPER, line=0.25
        )


def lined(ruler: Ruler) -> int:
    """Return at every which row a line is drawn, so that lines can be told apart."""
    return next((n for n in (1, 5, 10, 50, 100) if n * ruler.row_mm >= _LEAST_GAP), 500)
