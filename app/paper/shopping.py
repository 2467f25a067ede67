"""The shopping list on pages: a block for every colour, with room for its dye lot."""

from functools import partial
from typing import Final

from app.booklet.manner import MM
from app.booklet.setting import SetText
from app.paper.ink import FILL_IN, HAIRLINE, QUIET, Ink, set_words, width_mm
from app.paper.sheets import FOOT, MARGIN, Page
from core.booklet.options import PAGES_MM, PageName
from core.paper.shopping import (
    ShoppingList,
    Wanted,
    balls,
    per_100g,
    said_total,
)
from core.paper.speech import said_grams, said_number, said_price, said_yarn

KIND: Final = "Shopping list"
_LINE: Final = 5.0  # mm from one line of figures to the next
_SWATCH: Final = 21.0
_NAME_X: Final = 35.0  # from the margin
_PARTS_X: Final = 98.0
_PARTS_WIDE: Final = 44.0
_BUY_X: Final = 148.0
_PAD: Final = 3.2
_RULE: Final = 3.0  # from the rule under the last colour to the words


_Placed = tuple[float, Wanted | SetText]  # from where on, and what


def shopping_pages(shopping: ShoppingList, paper: PageName, family: str) -> tuple[Page, ...]:
    """Return the list's pages."""
    wide, high = PAGES_MM[paper]
    room = wide - 2 * MARGIN
    bottom = high - MARGIN - FOOT - 1
    pages: list[list[_Placed]] = [[]]
    y = _head_height(shopping, room, family)
    for wanted in shopping.wanted:
        tall = _block_height(wanted, family)
        if y + tall > bottom and pages[-1]:
            pages.append([])
            y = MARGIN
        pages[-1].append((y, wanted))
        y += tall
    y += _RULE
    for words, gap in _tail_parts(shopping, room, family):
        if y + _mm(words) > bottom and pages[-1]:
            pages.append([])
            y = MARGIN
        pages[-1].append((y, words))
        y += _mm(words) + gap
    return tuple(
        Page(partial(_draw, shopping=shopping, placed=tuple(placed), first=not n, room=room), KIND)
        for n, placed in enumerate(pages)
    )


def _draw(
    ink: Ink,
    *,
    shopping: ShoppingList,
    placed: tuple[_Placed, ...],
    first: bool,
    room: float,
) -> None:
    if first:
        _draw_head(ink, shopping, room)
    after_colours = False
    for y, what in placed:
        if isinstance(what, Wanted):
            _draw_block(ink, y, what, shopping, room)
            after_colours = True
            continue
        if after_colours:  # a rule between the last colour and what is said of all
            ink.line(MARGIN, y - _RULE, MARGIN + room, y - _RULE, wide=0.3)
            after_colours = False
        ink.block(MARGIN, y, what)


# head


def _head_parts(shopping: ShoppingList, room: float, family: str) -> list[tuple[SetText, float]]:
    parts: list[tuple[SetText, float]] = [
        (set_words(shopping.title, room, family, 20, bold=True, leading=1.15), 1.5)
    ]
    totals = shopping.totals
    said = (
        f"{len(shopping.wanted)} colours, {said_yarn(totals.length_m, shopping.units)}, "
        f"{said_grams(totals.mass_g)} in all. To buy: {balls(totals.to_buy)}{said_total(totals)}."
    )
    parts.append((set_words(said, room, family, 11), 1.0))
    if shopping.trouble:
        parts.append((set_words(shopping.trouble, room, family, 9.5, bold=True), 1.0))
    return parts


def _head_height(shopping: ShoppingList, room: float, family: str) -> float:
    y = MARGIN + 6.0
    for words, gap in _head_parts(shopping, room, family):
        y += _mm(words) + gap
    return y + 3.0


def _draw_head(ink: Ink, shopping: ShoppingList, room: float) -> None:
    ink.text(MARGIN, MARGIN + 2, KIND, 9, colour=QUIET)
    ink.text(MARGIN + room, MARGIN + 2, "Tick a colour once it is bought.", 9, colour=QUIET,
             anchor=1.0)  # fmt: skip
    y = MARGIN + 6.0
    for words, gap in _head_parts(shopping, room, ink.family):
        y = ink.block(MARGIN, y, words) + gap


# a colour


def _name(wanted: Wanted, family: str) -> SetText:
    wide = _PARTS_X - _NAME_X - 4
    return set_words(wanted.colour.name, wide, family, 14, bold=True, leading=1.2)


def _block_height(wanted: Wanted, family: str) -> float:
    left = _mm(_name(wanted, family)) + 2 * _LINE + (6 if wanted.fibre else 13)
    middle = (len(wanted.parts) + 1) * _LINE + 1
    return max(left, middle, 27.5) + 2 * _PAD


def _draw_block(ink: Ink, y: float, wanted: Wanted, shopping: ShoppingList, room: float) -> None:
    colour, units = wanted.colour, shopping.units
    ink.line(MARGIN, y, MARGIN + room, y, colour=HAIRLINE, wide=0.2)
    top = y + _PAD
    ink.box(MARGIN, top + 0.5, 6, 6, line=0.35)
    ink.swatch(MARGIN + 10, top + 0.5, _SWATCH, _SWATCH, colour)
    ink.letter(MARGIN + 10 + _SWATCH / 2, top + 0.5 + _SWATCH / 2, 4.6, colour)
    x = MARGIN + _NAME_X
    at = ink.block(x, top, _name(wanted, ink.family))
    wide = _PARTS_X - _NAME_X - 4
    fibre = f"; {wanted.fibre}" if wanted.fibre else ""
    ink.text(x, at + 2.2, f"{colour.words}{fibre}", 10, colour=QUIET, room=wide)
    ink.text(x, at + 2.2 + _LINE, per_100g(wanted, units), 10, colour=QUIET, room=wide)
    foot = max(at + 2.2 + _LINE + 7.0, top + (25.0 if fibre else 19.0))
    if not fibre:
        _fill_in(ink, x, foot, "Fibre", wide)
        foot += 7.0
    _fill_in(ink, x, foot, "Dye lot", wide)
    _draw_parts(ink, top, wanted, shopping)
    _draw_buy(ink, top, wanted, room)


def _fill_in(ink: Ink, x: float, y: float, words: str, wide: float) -> None:
    ink.text(x, y - 1.2, words, 9, colour=QUIET)
    begin = x + width_mm(words, ink.family, 9) + 2
    ink.line(begin, y, x + wide, y, colour=FILL_IN, wide=0.2)


def _draw_parts(ink: Ink, top: float, wanted: Wanted, shopping: ShoppingList) -> None:
    x, right = MARGIN + _PARTS_X, MARGIN + _PARTS_X + _PARTS_WIDE
    at = top + 2.2
    for name, metres in wanted.parts:
        ink.text(x, at, name, 10)
        ink.text(right, at, said_yarn(metres, shopping.units), 10, anchor=1.0)
        at += _LINE
    ink.line(x, at - 2.1, right, at - 2.1, colour=QUIET, wide=0.15)
    at += 0.9
    ink.text(x, at, said_grams(wanted.use.mass_g), 11.5, bold=True)
    ink.text(right, at, said_yarn(wanted.use.length_m, shopping.units), 11.5, bold=True,
             anchor=1.0)  # fmt: skip


def _draw_buy(ink: Ink, top: float, wanted: Wanted, room: float) -> None:
    x, right = MARGIN + _BUY_X, MARGIN + room
    number = f"{wanted.to_buy:,}"
    ink.text(x, top + 4.4, number, 25 if len(number) < 4 else 16, bold=True)
    wide = width_mm(number, ink.family, 25 if len(number) < 4 else 16, bold=True)
    ink.text(x + wide + 2, top + 5.6, "to buy", 11, room=right - x - wide - 2)
    at = top + 12.5
    lines = [f"{balls(wanted.use.balls)} to have"]
    lines.append(f"{said_number(wanted.owned)} owned")
    if wanted.price is not None and wanted.cost is not None:
        lines.append(f"at {said_price(wanted.price)} each")
        lines.append(f"= {said_price(wanted.cost)}")
    else:
        lines.append("price")
    for n, line in enumerate(lines):
        if line == "price":
            _fill_in(ink, x, at + 2.2, "Price", right - x)
        else:
            ink.text(x, at, line, 10, bold=n == 3, room=right - x)
        at += _LINE


# the end of it


def _tail_parts(shopping: ShoppingList, room: float, family: str) -> list[tuple[SetText, float]]:
    totals, units = shopping.totals, shopping.units
    said = (
        f"All colours: {said_yarn(totals.length_m, units)}, {said_grams(totals.mass_g)}, "
        f"{balls(totals.balls)} to have; to buy {balls(totals.to_buy)}{said_total(totals)}."
    )
    parts: list[tuple[SetText, float]] = [(set_words(said, room, family, 11, bold=True), 2.0)]
    if shopping.unused:
        unused = f"Not used in this blanket: {', '.join(shopping.unused)}."
        parts.append((set_words(unused, room, family, 9.5, colour=QUIET), 1.5))
    if shopping.cautions:
        first, *rest = shopping.cautions
        parts.append((set_words(f"Care. {first}", room, family, 9.5), 1.0))
        parts += [(set_words(words, room, family, 9.5), 1.0) for words in rest]
    parts += [(set_words(words, room, family, 10), 1.2) for words in shopping.advice]
    return parts


def _mm(words: SetText) -> float:
    return words.height / MM
