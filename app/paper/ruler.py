"""The stripe ruler on pages: strips at true height, three on a page, and bars to check print by."""

from functools import partial
from typing import Final

from app.booklet.manner import MM
from app.paper.ink import INK, PAPER, QUIET, Ink, set_words
from app.paper.ruler_strip import TAB, DrawnStrip, RulerSheet, lined
from app.paper.sheets import FOOT, MARGIN, Page
from core.booklet.options import PAGES_MM, PageName
from core.craft.units import MM_PER_IN
from core.paper.ruler import Strip
from core.paper.speech import said_height, said_row

KIND: Final = "Stripe ruler"
ACROSS: Final = 3
"""Strips side by side; the first place of all holds the directions."""
BARS: Final = 19.0
"""Millimetres at the foot for the bars that print is checked by."""
_GUTTER: Final = 10.0  # at the right, for the upright bar
_GAP: Final = 4.0
_CHECK: Final = (
    "Print at 100 %, without fitting to the page. If this bar isn't 100 mm, and the lower one 4 "
    "in, the ruler isn't true: turn scaling off and print again."
)


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
        DrawnStrip(ink, sheet, strip, left, across, foot).draw()
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


__all__ = ["BARS", "KIND", "TAB", "RulerSheet", "bar_place", "room_mm", "ruler_pages"]
