"""One yarn of the shelf, and what is there of it.

A yarn of another dye lot is an entry of its own: lots are not to be mixed within a colour, so
they are counted apart. Amounts are whole balls and weighed remnants; what is put aside for a
blanket is still there, but is not free for another one.
"""

import math
import re
from collections.abc import Iterable
from datetime import date
from typing import Final
from uuid import uuid4

from core.design.document import MOST_BALLS
from core.design.signs import LINES, PLAIN, plain_line, plain_lines
from core.records import Struct
from core.shelf.faults import ShelfError
from core.words.vocabulary import vocabulary, weight_classes

MOST_YARNS: Final = 20_000
MOST_REMNANTS: Final = 100
MOST_ASIDES: Final = 50
MOST_G: Final = 100_000.0
MOST_M: Final = 100_000.0
MOST_PRICE: Final = 1_000_000.0
CRUMB_G: Final = 0.05
"""Less than this isn't kept as a remnant: no kitchen scale shows it (our own choice)."""

WEIGHTS: Final = weight_classes(vocabulary("US"))
"""Names of the weight classes, from the thinnest: those of the written pattern."""

LONGEST: Final = {
    "name": 80,
    "fibre": 80,
    "lot": 40,
    "currency": 12,
    "place": 80,
    "notes": 1000,
    "title": 200,
}
"""Signs of each text at most; name and title as in a design."""

_SIGNS_NAMED: Final = 8  # of a name that shows nothing

_COLOUR: Final = re.compile(r"#[0-9a-f]{6}")
_UID: Final = re.compile(r"[0-9a-f]{32}")
_PLAIN: Final = re.compile(PLAIN)
_LINES: Final = re.compile(LINES)


class Aside(Struct, frozen=True, order=True):
    """Grams put aside for the blanket of that title."""

    title: str
    grams: float


class Entry(Struct, frozen=True, kw_only=True):
    """A yarn in one colour and dye lot.

    Attributes:
        uid: What it is known by, 32 hexadecimal figures; never shown.
        name: Its name.
        colour: sRGB as "#rrggbb".
        ball_m: Metres of a ball.
        ball_g: Grams of a ball.
        fibre: What it is spun from.
        weight: Its class (`WEIGHTS`); None if unknown.
        lot: Its dye lot.
        price: Price of a ball; None if unknown.
        currency: What the price is in, as written.
        balls: Whole balls.
        remnants: Grams of what is left of balls.
        place: Where it is kept.
        bought: Day it was bought, as "2026-11-25"; empty if unknown.
        notes: Anything else.
        asides: What is put aside of it, by title.
    """

    uid: str
    name: str
    colour: str
    ball_m: float
    ball_g: float
    fibre: str = ""
    weight: int | None = None
    lot: str = ""
    price: float | None = None
    currency: str = ""
    balls: int = 0
    remnants: tuple[float, ...] = ()
    place: str = ""
    bought: str = ""
    notes: str = ""
    asides: tuple[Aside, ...] = ()

    @property
    def grams(self) -> float:
        """All that is there, by weight."""
        return self.balls * self.ball_g + sum(self.remnants)

    @property
    def aside_g(self) -> float:
        """What is put aside of it."""
        return sum(aside.grams for aside in self.asides)

    @property
    def free_g(self) -> float:
        """What is there and not put aside."""
        return max(self.grams - self.aside_g, 0.0)

    @property
    def m_per_g(self) -> float:
        """Metres of a gram."""
        return self.ball_m / self.ball_g

    @property
    def length_m(self) -> float:
        """All that is there, by length."""
        return self.grams * self.m_per_g

    @property
    def free_m(self) -> float:
        """What is free, by length."""
        return self.free_g * self.m_per_g

    def aside_for(self, title: str) -> float:
        """Return the grams put aside for a blanket."""
        return sum(aside.grams for aside in self.asides if aside.title == title)

    def for_title_g(self, title: str) -> float:
        """Return the grams there are for a blanket: what is free and what is put aside for it."""
        return min(self.free_g + self.aside_for(title), self.grams)


Identity = tuple[str, str, str]


def folded(text: str) -> str:
    """Return a text as names are compared: without case or idle spaces."""
    return " ".join(text.casefold().split())


def identity(entry: Entry) -> Identity:
    """Return what makes two entries the same yarn: name, colour and dye lot."""
    return folded(entry.name), entry.colour, folded(entry.lot)


def new_uid() -> str:
    """Return a name no other entry has."""
    return uuid4().hex


def tidied(field: str, text: str) -> str:
    """Return a text from a file as an entry may hold it.

    Files of earlier programs and lists from elsewhere may have signs in them that no text may have
    (`core.design.signs`). None of them is seen, so they go; a name made of nothing else is named
    by them, since a yarn can't be without one.
    """
    if field == "notes":
        return plain_lines(text)
    if field == "title":  # as the design has it, with its spaces
        return plain_line(text)
    plain = plain_line(text).strip()
    if plain or field != "name":
        return plain
    return " ".join(f"U+{ord(sign):04X}" for sign in text[:_SIGNS_NAMED])


def tidied_asides(asides: Iterable[Aside]) -> tuple[Aside, ...]:
    """Return what is put aside, with titles as they may be; equal ones are summed."""
    found: dict[str, float] = {}
    for aside in asides:
        title = tidied("title", aside.title)
        found[title] = found.get(title, 0.0) + aside.grams
    return tuple(Aside(title, grams) for title, grams in found.items())


def checked(entry: Entry) -> Entry:
    """Return the entry if every value is within its bounds.

    Raises:
        ShelfError: One isn't; it says which and what is allowed.
    """
    if not entry.name.strip():
        raise ShelfError("refused", "A yarn needs a name.")
    called = entry.name[:40]
    for field, most in LONGEST.items():
        text = getattr(entry, field, "")
        if len(text) > most:
            raise ShelfError(
                "refused", f"{called}: {field} is {len(text)} signs long; {most} fit there."
            )
        if text != text.strip() and field != "notes":
            raise ShelfError("refused", f"{called}: {field} begins or ends with a space.")
        if not (_LINES if field == "notes" else _PLAIN).match(text):
            raise ShelfError("refused", f"{called}: {field} has signs that can't be printed.")
    if not _UID.fullmatch(entry.uid):
        raise ShelfError("refused", f"{called}: its id isn't 32 figures and letters from a to f.")
    if not _COLOUR.fullmatch(entry.colour):
        raise ShelfError("refused", f"{called}: a colour is written like #2a6f97.")
    _within(called, "metres of a ball", entry.ball_m, 0.1, MOST_M)
    _within(called, "grams of a ball", entry.ball_g, 0.1, MOST_G)
    if entry.price is not None:
        _within(called, "the price", entry.price, 0, MOST_PRICE)
    if entry.weight is not None and not 0 <= entry.weight < len(WEIGHTS):
        raise ShelfError("refused", f"{called}: weight classes go from 0 to {len(WEIGHTS) - 1}.")
    if not 0 <= entry.balls <= MOST_BALLS:
        raise ShelfError("refused", f"{called}: {MOST_BALLS:,} balls at most, and not below 0.")
    _check_pieces(called, entry)
    if entry.bought and not _is_day(entry.bought):
        raise ShelfError("refused", f"{called}: a day is written like 2026-11-25.")
    return entry


def _check_pieces(called: str, entry: Entry) -> None:
    if len(entry.remnants) > MOST_REMNANTS:
        raise ShelfError("refused", f"{called}: {MOST_REMNANTS} remnants at most.")
    for grams in entry.remnants:
        _within(called, "a remnant's grams", grams, CRUMB_G, MOST_G)
    if len(entry.asides) > MOST_ASIDES:
        raise ShelfError(
            "refused", f"{called}: it is put aside for {MOST_ASIDES} blankets at most."
        )
    titles = [aside.title for aside in entry.asides]
    if len(set(titles)) != len(titles):
        raise ShelfError("refused", f"{called}: one blanket has it put aside twice.")
    for aside in entry.asides:
        _within(called, "the grams put aside", aside.grams, CRUMB_G, MOST_BALLS * MOST_G)
        if len(aside.title) > LONGEST["title"] or not _PLAIN.match(aside.title):
            raise ShelfError(
                "refused",
                f"{called}: a blanket it is put aside for has a title that none can have.",
            )


def _within(called: str, what: str, value: float, low: float, high: float) -> None:
    if not (math.isfinite(value) and low <= value <= high):
        raise ShelfError("refused", f"{called}: {what} must be from {low:g} to {high:,.0f}.")


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
