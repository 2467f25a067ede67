"""The stripe ruler on pages: strips at true height, three on a page, and bars to check print by."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from functools import partial
from typing import Final

import numpy as np

from app.booklet.manner import MM
from app.paper.ink import INK, PAPER, QUIET, Ink, cut_short, set_words, width_mm
from app.paper.sheets import FOOT, MARGIN, Page
from core.booklet.options import PAGES_MM, PageName
from core.craft.units import MM_PER_IN
from core.design.document import Hand, Units
from core.paper.ruler import Ruler, Strip
from core.paper.speech import said_height, said_row
from core.paper.stripe_list import StripeLine

KIND: Final = "Stripe ruler"
ACROSS: Final = 3
"""Strips side by side; the first place of all holds the directions."""
TAB: Final = 12.0
"""Millimetres above a strip that the next one is glued to."""
BARS: Final = 19.0
"""Millimetres at the foot for the bars that print is checked by."""
_GUTTER: Final = 10.0  # at the right, for the upright bar
_GAP: Final = 4.0
_BAND: Final = 11.0
_NUMBER: Final = 7.0
_BOX: Final = 4.0
_LEAST_GAP: Final = 0.8  # millimetres between lines
_LEAST_ROW: Final = 3.0  # millimetres from which every row has its number
_CHECK: Final = (
    "Print at 100 %, without fitting to the page. If this bar isn't 100 mm, and the lower one 4 "
    "in, the ruler isn't true: turn scaling off and print again."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RulerSheet:
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


def room_mm(paper: PageName) -> float:
    """Return the height that a strip may have on a page."""
    return PAGES_MM[paper][1] - 2 * MARGIN - FOOT - BARS - TAB - 2.0


def bar_place(paper: PageName) -> tuple[float, float]:
    """Return where the bar of 100 mm begins: its left end and its height on the page."""
    return MARGIN, PAGES_MM[paper][1] - MARGIN - FOOT - BARS + 8.0


def ruler_pages(sheet: RulerSheet, paper: PageName) -> tuple[Page, ...]:
    """Return the ruler's pages."""
    places = len(sheet.ruler.strips) + 1  # the directions stand in the first one
    pages = []
    for first in range(0, places, ACROSS):
        strips = sheet.ruler.strips[max(first - 1, 0) : first + ACROSS - 1]
        drawn = partial(_draw, sheet=sheet, paper=paper, strips=strips, first=first == 0)
        pages.append(Page(drawn, KIND))
    return tuple(pages)


def strip_places(paper: PageName, *, first: bool, number: int) -> tuple[float, float, float]:
    """Return left edge, width and foot of the strip at a place on a page."""
    wide, high = PAGES_MM[paper]
    step = (wide - 2 * MARGIN - _GUTTER + _GAP) / ACROSS
    left = MARGIN + (number + (1 if first else 0)) * step
    return left, step - _GAP, high - MARGIN - FOOT - BARS


def _draw(
    ink: Ink, *, sheet: RulerSheet, paper: PageName, strips: tuple[Strip, ...], first: bool
) -> None:
    wide, _ = PAGES_MM[paper]
    if first:
        _, across, foot = strip_places(paper, first=False, number=0)
        _directions(ink, sheet, across, foot)
    for n, strip in enumerate(strips):
        left, across, foot = strip_places(paper, first=first, number=n)
        _Drawn(ink, sheet, strip, left, across, foot).draw()
    _bars(ink, paper, wide)


def _bars(ink: Ink, paper: PageName, wide: float) -> None:
    """Draw what print is checked by: across in millimetres and inches, and upright."""
    x, y = bar_place(paper)
    _bar(ink, x, y, 100.0, 10.0, "100 mm")
    _bar(ink, x, y + 7.0, 4 * MM_PER_IN, MM_PER_IN, "4 in")
    words = set_words(_CHECK, wide - x - MARGIN - 122, ink.family, 8.5)
    ink.block(x + 122, y - 4.2, words)
    right, low = wide - MARGIN - 1.0, y - 12.0
    ink.line(right, low, right, low - 100.0, wide=0.25)
    for step in range(11):
        long = 4.0 if step % 5 == 0 else 2.4
        ink.line(right - long, low - 10.0 * step, right, low - 10.0 * step, wide=0.2)
    ink.painter.save()
    ink.painter.translate((right - 5.6) * MM, (low - 50.0) * MM)
    ink.painter.rotate(-90)
    ink.text(0, 0, "100 mm upright", 7.5, colour=QUIET, anchor=0.5)
    ink.painter.restore()


def _bar(ink: Ink, x: float, y: float, long: float, step: float, words: str) -> None:
    for n in range(round(long / step)):
        fill = INK if n % 2 == 0 else PAPER
        ink.box(x + n * step, y - 1.1, step, 2.2, line=0, fill=fill)
    ink.line(x, y - 1.1, x + long, y - 1.1, wide=0.15)
    ink.line(x, y + 1.1, x + long, y + 1.1, wide=0.15)
    for at in (x, x + long):
        ink.line(at, y - 2.2, at, y + 2.2, wide=0.15)
    ink.text(x + long + 2.5, y, words, 9, bold=True)


def _directions(ink: Ink, sheet: RulerSheet, wide: float, foot: float) -> None:
    x, y, family = MARGIN, MARGIN, ink.family
    ink.text(x, y + 2, KIND, 9, colour=QUIET)
    y = ink.block(x, y + 6, set_words(sheet.title, wide, family, 17, bold=True, leading=1.15)) + 3
    for words, bold in _said(sheet):
        y = ink.block(x, y, set_words(words, wide, family, 9, bold=bold)) + 1.8
    y += 1
    seen: set[int] = set()
    colours = []
    for line in sheet.lines:
        if line.colour.yarn not in seen:
            seen.add(line.colour.yarn)
            colours.append(line.colour)
    for n, colour in enumerate(colours):
        if y > foot - 9:
            rest = len(colours) - n
            ink.text(x, y + 2, f"and {rest} more: see the yarn card", 8, colour=QUIET)
            break
        ink.swatch(x, y, 9, 5.4, colour)
        ink.letter(x + 4.5, y + 2.7, 2.1, colour)
        ink.text(x + 11, y + 2.7, colour.name, 9, room=wide - 11)
        y += 6.6


def _said(sheet: RulerSheet) -> list[tuple[str, bool]]:
    ruler, strips = sheet.ruler, len(sheet.ruler.strips)
    if not strips:
        return [("There are no rows yet that can be worked: see Checks.", True)]
    found = [(sheet.trouble, True)] if sheet.trouble else []
    rows, total = len(ruler.tops_mm) - 1, float(ruler.tops_mm[-1])
    said = f"{said_height(total, sheet.units)}, {said_row(ruler.row_mm, sheet.units)} a row"
    found.append((f"{rows:,} rows as worked: {said}. Fill rows and border come after.", False))
    if sheet.washed is not None:
        found.append(
            (
                f"Washing changes the length by {100 * (sheet.washed - 1):+.1f} %; this ruler is "
                "for work that isn't washed yet.",
                False,
            )
        )
    joined = (
        f"Cut out the {strips} strips. Glue each onto the tab of the one below, edge on the line."
        if strips > 1
        else "Cut out the strip."
    )
    found += [
        (joined, False),
        ("Lay the coloured edge along the work, its foot at the foundation chain, midway between "
         "a peak and a dip. Smooth the work, don't stretch it.", False),
        ("Tick each row. Arrows say at which edge the next colour is joined, as you look at the "
         "right side.", False),
        ("A diamond is a good place to stop: the stripes end as they began, or a sequence is "
         "whole. If your rows run past the lines, your gauge isn't the swatch's.", False),
    ]  # fmt: skip
    if lined(ruler) > 1:
        found.append(
            (
                "Rows are too low to be drawn one by one: there is a line at every "
                f"{lined(ruler)}th.",
                True,
            )
        )
    if not ruler.is_whole:
        found.append(
            (f"The ruler ends after {strips} strips, at "
             f"{ruler.strips[-1].top_mm / 1000:,.1f} m: the rest is on the stripe list.", True)
        )  # fmt: skip
    return found


@dataclass(frozen=True, slots=True)
class _Drawn:
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


__all__ = ["BARS", "KIND", "TAB", "RulerSheet", "bar_place", "room_mm", "ruler_pages"]
