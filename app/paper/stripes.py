"""The colours stripe by stripe on pages: a box to tick, rows, what is done, where tails fall."""

import math
from functools import partial
from typing import Final

from app.booklet.manner import MM
from app.booklet.setting import SetText
from app.paper.ink import HAIRLINE, QUIET, Ink, set_words
from app.paper.sheets import FOOT, MARGIN, Page
from core.booklet.options import PAGES_MM, PageName
from core.craft.units import MM_PER_IN
from core.design.document import Units
from core.paper.colours import PaperColour
from core.paper.speech import said_number
from core.paper.stripe_list import StripeLine

KIND: Final = "Stripe list"
_PITCH: Final = 7.0
_HEAD: Final = 6.0
_MOST_ROOMY: Final = 60  # stripes up to which the list stands in one column
_GAP: Final = 8.0
_TAILS: Final = (
    "Tails: the edge where a stripe's first and its last tail hang, right side facing you."
)
_SHORT: Final = "L left, R right, – no tail. A stripe's last row is the number of rows so far."


def stripe_pages(
    lines: tuple[StripeLine, ...],
    *,
    title: str,
    trouble: str,
    units: Units,
    paper: PageName,
    family: str,
) -> tuple[Page, ...]:
    """Return the list's pages: one column, or two where there are many stripes."""
    wide, high = PAGES_MM[paper]
    room = wide - 2 * MARGIN
    columns = 1 if len(lines) <= _MOST_ROOMY else 2
    colours = tuple({line.colour.yarn: line.colour for line in lines}.values())
    top = _front_height(title, trouble, colours, room, family, with_key=columns > 1)
    bottom = high - MARGIN - FOOT - 2
    pages, start, y = [], 0, top
    while True:
        per = max(int((bottom - y - _HEAD) / _PITCH), 1)
        shown = lines[start : start + per * columns]
        if columns == 2:  # a page that isn't full has columns of one height
            per = math.ceil(len(shown) / 2) or 1
        drawn = partial(
            _draw,
            front=(title, trouble, colours if columns > 1 else ()) if not start else None,
            y=y,
            parts=tuple(shown[n * per : (n + 1) * per] for n in range(columns)),
            units=units,
            room=room,
        )
        pages.append(Page(drawn, KIND))
        start += len(shown)
        y = MARGIN
        if start >= len(lines):
            return tuple(pages)


def _front_height(
    title: str,
    trouble: str,
    colours: tuple[PaperColour, ...],
    room: float,
    family: str,
    *,
    with_key: bool,
) -> float:
    y = MARGIN + 6 + set_words(title, room, family, 18, bold=True, leading=1.15).height / MM + 1
    y += _tails_words(room, family, is_short=with_key).height / MM + 2
    if trouble:
        y += set_words(trouble, room, family, 9.5, bold=True).height / MM + 2
    if with_key:
        y += math.ceil(len(colours) / 3) * 6.4 + 3
    return y


def _tails_words(room: float, family: str, *, is_short: bool) -> SetText:
    words = f"{_TAILS} {_SHORT}" if is_short else _TAILS
    return set_words(words, room, family, 9, colour=QUIET)


def _draw(
    ink: Ink,
    *,
    front: tuple[str, str, tuple[PaperColour, ...]] | None,
    y: float,
    parts: tuple[tuple[StripeLine, ...], ...],
    units: Units,
    room: float,
) -> None:
    if front is not None:
        _draw_front(ink, *front, room)
    wide = (room - _GAP * (len(parts) - 1)) / len(parts)
    for n, lines in enumerate(parts):
        x = MARGIN + n * (wide + _GAP)
        if lines:
            _column_head(ink, x, y, wide, units)
        for place, line in enumerate(lines):
            _line(ink, x, y + _HEAD + place * _PITCH, wide, line, units)


def _draw_front(
    ink: Ink, title: str, trouble: str, colours: tuple[PaperColour, ...], room: float
) -> None:
    family = ink.family
    ink.text(MARGIN, MARGIN + 2, KIND, 9, colour=QUIET)
    y = ink.block(MARGIN, MARGIN + 6, set_words(title, room, family, 18, bold=True, leading=1.15))
    y = ink.block(MARGIN, y + 1, _tails_words(room, family, is_short=bool(colours))) + 2
    if trouble:
        y = ink.block(MARGIN, y, set_words(trouble, room, family, 9.5, bold=True)) + 2
    per = math.ceil(len(colours) / 3)
    for n, colour in enumerate(colours):
        column, row = divmod(n, per)
        x, at = MARGIN + column * room / 3, y + row * 6.4
        ink.swatch(x, at, 9, 5.2, colour)
        ink.letter(x + 4.5, at + 2.6, 2.0, colour)
        ink.text(x + 11, at + 2.6, colour.name, 9, room=room / 3 - 13)


def _places(wide: float) -> tuple[float, float, float, float]:
    """Return where rows, rows so far and height end, and where tails begin, from the left."""
    if wide > 120:
        return wide - 76, wide - 58, wide - 36, wide - 30
    return wide - 23, 0.0, wide - 10.5, wide - 8


def _column_head(ink: Ink, x: float, y: float, wide: float, units: Units) -> None:
    rows, far, height, tails = _places(wide)
    middle = y + _HEAD / 2 - 0.5
    is_roomy = wide > 120
    ink.text(x + 8, middle, "Stripe", 8, bold=True)
    for place, words in (
        (rows, "Rows"),
        (far, "So far" if is_roomy else ""),
        (height, f"Height, {units}" if is_roomy else units),
    ):
        ink.text(x + place, middle, words, 8, bold=True, anchor=1.0)
    ink.text(x + tails, middle, "Tails", 8, bold=True)
    ink.line(x, y + _HEAD, x + wide, y + _HEAD, wide=0.3)


def _line(ink: Ink, x: float, y: float, wide: float, line: StripeLine, units: Units) -> None:
    rows, far, height, tails = _places(wide)
    middle, is_roomy = y + _PITCH / 2, wide > 120
    points = 10 if is_roomy else 8.5
    ink.box(x + 0.5, middle - 2.1, 4.2, 4.2, line=0.25)
    ink.text(x + 14, middle, str(line.number), points, anchor=1.0)
    ink.swatch(x + 16, middle - 2.5, 9, 5, line.colour)
    ink.letter(x + 20.5, middle, 2.0, line.colour)
    name = f"{line.colour.name} · {line.label}" if line.label and is_roomy else line.colour.name
    span = 22 if is_roomy else 16
    ink.text(x + 27.5, middle, name, points, bold=is_roomy, room=rows - span - 27.5)
    ink.text(x + rows, middle, line.span, points, anchor=1.0)
    if is_roomy:
        ink.text(x + far, middle, str(line.last), points, anchor=1.0)
    tall = line.height_mm / (10 if units == "cm" else MM_PER_IN)
    ink.text(x + height, middle, said_number(tall, 1), points, anchor=1.0)
    said = line.tails if is_roomy else _short(line)
    ink.text(x + tails, middle, said, points if is_roomy else 7.5, room=wide - tails)
    ink.line(x, y + _PITCH, x + wide, y + _PITCH, colour=HAIRLINE)


def _short(line: StripeLine) -> str:
    """Return where tails fall, in a narrow column."""
    signs = {"left": "L", "right": "R", "": "–"}
    return f"{signs[line.starts]}, {signs[line.stops]}"
