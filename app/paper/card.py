"""The yarn card on pages: a slot for every colour to tie a snip of the real yarn to."""

import math
from functools import partial
from typing import Final

from PySide6.QtGui import QPainterPath

from app.paper.ink import HAIRLINE, QUIET, Ink, cut_short
from app.paper.sheets import FOOT, MARGIN, Page
from core.booklet.options import PAGES_MM, PageName
from core.paper.colours import PaperColour
from core.paper.shopping import ShoppingList, Wanted, balls
from core.paper.speech import said_grams, said_yarn

KIND: Final = "Yarn card"
_GAP: Final = 6.0
_HEAD: Final = 19.0
_SLOT: Final = 21.0
_END: Final = 10.0  # the stripes in order, at the card's foot
_NOTCH: Final = 2.6
_HOLE: Final = 3.0
_MOST_RUNS: Final = 400


def card_pages(
    shopping: ShoppingList,
    order: tuple[tuple[PaperColour, int], ...],
    paper: PageName,
    family: str,
) -> tuple[Page, ...]:
    """Return the cards' pages, two cards on each.

    Args:
        shopping: Colours and their amounts, in the order of the stripes.
        order: Every stripe's colour and rows, from the foundation up.
        paper: The paper.
        family: The type.
    """
    wide, high = PAGES_MM[paper]
    card = (wide - 2 * MARGIN - _GAP) / 2
    most = int((high - 2 * MARGIN - FOOT - _HEAD - _END - 4) / _SLOT)
    cards = max(math.ceil(len(shopping.wanted) / most), 1)
    per = math.ceil(len(shopping.wanted) / cards)
    parts = [shopping.wanted[n * per : (n + 1) * per] for n in range(cards)]
    pages = []
    for first in range(0, cards, 2):
        drawn = partial(
            _draw,
            shopping=shopping,
            order=order,
            parts=tuple(parts[first : first + 2]),
            first=first,
            cards=cards,
            start=first * per,
            card=card,
        )
        pages.append(Page(drawn, KIND))
    return tuple(pages)


def _draw(
    ink: Ink,
    *,
    shopping: ShoppingList,
    order: tuple[tuple[PaperColour, int], ...],
    parts: tuple[tuple[Wanted, ...], ...],
    first: int,
    cards: int,
    start: int,
    card: float,
) -> None:
    for n, wanted in enumerate(parts):
        x = MARGIN + n * (card + _GAP)
        high = _HEAD + len(wanted) * _SLOT + _END
        _outline(ink, x, card, high, len(wanted))
        _head(ink, x, shopping, card, f"{first + n + 1} of {cards}" if cards > 1 else "")
        for place, one in enumerate(wanted):
            _slot(ink, x, MARGIN + _HEAD + place * _SLOT, one, start + place + 1, shopping, card)
        start += len(wanted)
        _stripes(ink, x + 4, MARGIN + high - _END + 3.2, card - 8, order)
    if first == 0:
        room = 2 * card + _GAP if len(parts) == 1 else card
        low = MARGIN + _HEAD + max(map(len, parts)) * _SLOT + _END + 5
        ink.text(MARGIN, low, "Cut along the dashes. Punch the holes, or snip the notches, and tie "
                 "on a snip of each yarn." if len(parts) == 1 else
                 "Cut along the dashes; tie a snip through each hole.", 8, colour=QUIET,
                 room=room)  # fmt: skip


def _outline(ink: Ink, x: float, wide: float, high: float, slots: int) -> None:
    """Draw where to cut: along the left side a notch at every hole."""
    top = MARGIN
    ink.line(x, top, x + wide, top, dashed=True, wide=0.25)
    ink.line(x + wide, top, x + wide, top + high, dashed=True, wide=0.25)
    ink.line(x + wide, top + high, x, top + high, dashed=True, wide=0.25)
    y = top
    for slot in range(slots):
        middle = top + _HEAD + (slot + 0.5) * _SLOT
        ink.line(x, y, x, middle - _NOTCH, dashed=True, wide=0.25)
        ink.line(x, middle - _NOTCH, x + _NOTCH, middle, wide=0.25)
        ink.line(x + _NOTCH, middle, x, middle + _NOTCH, wide=0.25)
        y = middle + _NOTCH
    ink.line(x, y, x, top + high, dashed=True, wide=0.25)


def _head(ink: Ink, x: float, shopping: ShoppingList, wide: float, which: str) -> None:
    top = MARGIN
    ink.text(x + 5, top + 6, shopping.title, 13, bold=True, room=wide - 10)
    said = (
        f"Yarn card {which}, colours in the order of the stripes"
        if which
        else ("Yarn card, colours in the order of the stripes")
    )
    ink.text(x + 5, top + 12, said, 8, colour=QUIET, room=wide - 10)


def _slot(
    ink: Ink,
    x: float,
    y: float,
    wanted: Wanted,
    number: int,
    shopping: ShoppingList,
    wide: float,
) -> None:
    colour, use, middle = wanted.colour, wanted.use, y + _SLOT / 2
    ink.line(x + 4, y, x + wide - 4, y, colour=HAIRLINE, wide=0.15)
    hole = QPainterPath()
    hole.addEllipse(x + 9.5 - _HOLE, middle - _HOLE, 2 * _HOLE, 2 * _HOLE)
    ink.path(hole, wide=0.25)
    ink.line(x + 9.5 - 1, middle, x + 9.5 + 1, middle, wide=0.12, colour=QUIET)
    ink.line(x + 9.5, middle - 1, x + 9.5, middle + 1, wide=0.12, colour=QUIET)
    ink.swatch(x + 16, y + 2.5, 17, _SLOT - 5, colour)
    ink.letter(x + 24.5, middle, 4.4, colour)
    left, room = x + 36, wide - 40
    ink.text(left, y + 4.6, f"{number}. {colour.name}", 11, bold=True, room=room)
    ink.text(left, y + 9.0, colour.words, 8, colour=QUIET, room=room)
    amounts = (
        f"{said_yarn(use.length_m, shopping.units)}, {said_grams(use.mass_g)}, {balls(use.balls)}"
    )
    ink.text(left, y + 13.0, amounts, 8.5, room=room)
    ink.text(left, y + 17.2, _where(colour, room, ink.family), 8, colour=QUIET, room=room)


def _where(colour: PaperColour, room: float, family: str) -> str:
    """Return the numbers of a colour's stripes, or how many where they are too many."""
    many = len(colour.stripes)
    if not many:
        return "only in the edging"
    if many == 1:
        return f"stripe {colour.stripes[0]}"
    said = f"stripes {', '.join(map(str, colour.stripes))}"
    if cut_short(said, room, family, 8) == said:
        return said
    return f"{many} stripes: {colour.stripes[0]}, {colour.stripes[1]} … {colour.stripes[-1]}"


def _stripes(
    ink: Ink, x: float, y: float, wide: float, order: tuple[tuple[PaperColour, int], ...]
) -> None:
    """Draw the whole blanket's stripes in a line, the foundation at the left."""
    rows = sum(n for _, n in order)
    if not rows or len(order) > _MOST_RUNS:
        return
    at = x
    for colour, n in order:
        step = wide * n / rows
        ink.box(at, y, step, 3.0, line=0, fill=colour.colour)
        if step > 3.2:
            ink.letter(at + step / 2, y + 1.5, 1.15, colour)
        at += step
    ink.box(x, y, wide, 3.0, line=0.12)
