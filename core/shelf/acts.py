"""What is done with a yarn of the shelf: weighed, put aside, worked. Each makes a new entry."""

import math

from core.records import replace
from core.shelf.entry import CRUMB_G, Aside, Entry, checked
from core.shelf.faults import ShelfError

_EPS = 1e-9


def weigh_in(entry: Entry, grams: float) -> Entry:
    """Return the entry with one remnant more.

    Raises:
        ShelfError: No part of a ball weighs so much, or so little.
    """
    if not math.isfinite(grams) or grams < CRUMB_G:
        raise ShelfError("refused", "The remnant has no weight yet: type its grams.")
    if grams > entry.ball_g * (1 + _EPS):
        balls, rest = divmod(round(grams, 2), entry.ball_g)
        weigh = f" and weigh in {rest:.3g} g" if rest >= CRUMB_G else ""
        raise ShelfError(
            "refused",
            f"{grams:g} g is more than a ball of {entry.name} holds ({entry.ball_g:g} g). If it is "
            f"several, count {balls:.0f} more as whole{weigh}; weigh without core or bowl.",
        )
    return checked(replace(entry, remnants=(*entry.remnants, round(grams, 2))))


def drop_remnant(entry: Entry, number: int) -> Entry:
    """Return the entry without one of its remnants."""
    return replace(
        entry, remnants=tuple(g for place, g in enumerate(entry.remnants) if place != number)
    )


def put_aside(entry: Entry, title: str, grams: float) -> Entry:
    """Return the entry with so many grams put aside for a blanket, instead of what was before.

    Raises:
        ShelfError: There isn't so much of it that is free.
    """
    grams = round(grams, 2)
    if not math.isfinite(grams) or grams < CRUMB_G:
        raise ShelfError("refused", "There is nothing to put aside: type the grams.")
    others = tuple(aside for aside in entry.asides if aside.title != title)
    free = entry.grams - sum(aside.grams for aside in others)
    if grams > free + 0.005:
        raise ShelfError(
            "refused", f"Only {max(free, 0):.1f} g of {entry.name} are free to be put aside."
        )
    return checked(replace(entry, asides=(*others, Aside(title, min(grams, free)))))


def give_back(entry: Entry, title: str) -> Entry:
    """Return the entry with nothing put aside for that blanket."""
    return replace(entry, asides=tuple(a for a in entry.asides if a.title != title))


def take_off(entry: Entry, title: str, grams: float) -> Entry:
    """Return the entry once so many grams were worked into a blanket; nothing is aside for it then.

    Remnants are used before a new ball is begun, the smallest first; what is left of the last
    ball becomes a remnant.

    Raises:
        ShelfError: There isn't so much of it for that blanket.
    """
    if not math.isfinite(grams) or grams < CRUMB_G:
        raise ShelfError("refused", "Nothing would be taken off: type the grams worked.")
    there = entry.for_title_g(title)
    if grams > there + 0.005:
        raise ShelfError(
            "refused", f"Only {there:.1f} g of {entry.name} are there for this blanket."
        )
    wanted, left = grams, []
    for remnant in sorted(entry.remnants):
        used = min(remnant, wanted)
        wanted -= used
        left.append(round(remnant - used, 2))
    balls = min(math.ceil(wanted / entry.ball_g - 1e-6), entry.balls) if wanted > _EPS else 0
    left.append(round(balls * entry.ball_g - wanted, 2))
    return checked(
        replace(
            give_back(entry, title),
            balls=entry.balls - balls,
            remnants=tuple(grams for grams in left if grams >= CRUMB_G),
        )
    )
