"""Yarns of the shelf found again: by words, weight class, length and nearness to a colour."""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from core.palette.difference import Floats, ciede2000
from core.palette.spaces import rgb_of
from core.palette.stash import NEAR
from core.records import Struct
from core.shelf.entry import MOST_YARNS, WEIGHTS, Entry, folded
from core.stripes.screen import cielab


class Search(Struct, frozen=True, kw_only=True):
    """What is looked for.

    Attributes:
        words: All of them are in a yarn's texts.
        weight: Its weight class.
        least_m: So much of it is free at least.
        colour: A colour it comes near to (`core.palette.stash.NEAR`).
    """

    words: str = ""
    weight: int | None = None
    least_m: float = 0.0
    colour: str | None = None

    @property
    def is_open(self) -> bool:
        """Whether every yarn is found."""
        return self == Search()


class Found(Struct, frozen=True):
    """A yarn found, and how far it is from the colour looked for (CIEDE2000)."""

    entry: Entry
    apart: float | None = None


def find(entries: Sequence[Entry], search: Search) -> tuple[tuple[Found, ...], Found | None]:
    """Return the yarns found, and the nearest by colour of those that are too far.

    With a colour the nearest come first, else they go by name and dye lot.
    """
    words = folded(search.words).split()
    fitting = [
        entry
        for entry in entries
        if (search.weight is None or entry.weight == search.weight)
        and (search.least_m <= 0 or entry.free_m >= search.least_m - 1e-9)
        and all(word in _text(entry) for word in words)
    ]
    fitting.sort(key=_order)
    if search.colour is None:
        return tuple(Found(entry) for entry in fitting), None
    away = apart(search.colour, fitting)
    order = np.argsort(away, kind="stable").tolist()
    near = tuple(Found(fitting[n], float(away[n])) for n in order if away[n] <= NEAR)
    far = order[len(near) :]
    return near, Found(fitting[far[0]], float(away[far[0]])) if far else None


def apart(colour: str, entries: Sequence[Entry]) -> Floats:
    """Return CIEDE2000 of a colour and each yarn's, shape (entries,)."""
    if not entries:
        return np.zeros(0)
    channels = np.array([rgb_of(entry.colour) for entry in entries]) / 255
    return ciede2000(cielab(np.array(rgb_of(colour)) / 255), cielab(channels))


@lru_cache(maxsize=MOST_YARNS)
def _order(entry: Entry) -> tuple[str, str, str]:
    return folded(entry.name), folded(entry.lot), entry.uid


@lru_cache(maxsize=MOST_YARNS)
def _text(entry: Entry) -> str:
    """Return everything that is looked through for words."""
    weight = "" if entry.weight is None else WEIGHTS[entry.weight]
    return folded(
        f"{entry.name} {entry.fibre} {entry.lot} {entry.place} {entry.notes} {weight} "
        + " ".join(aside.title for aside in entry.asides)
    )
