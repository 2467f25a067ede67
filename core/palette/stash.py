"""Which yarns of the list come near wished colours: those owned first, then the others."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from core.design.document import Yarn
from core.palette.difference import Floats, ciede2000
from core.palette.sight import lab_of
from core.palette.words import colour_words
from core.records import Struct

NEAR: Final = 12.0
"""CIEDE2000 up to which a yarn is proposed for a colour (our own choice)."""


class Match(Struct, frozen=True):
    """A yarn for a colour.

    Attributes:
        yarn: Its number in the list.
        apart: CIEDE2000 between the two.
        owned: Whether there is any of it.
    """

    yarn: int
    apart: float
    owned: bool


def matches(colours: Sequence[str], yarns: Sequence[Yarn]) -> tuple[Match | None, ...]:
    """Return the yarn proposed for each colour; None where a new one is wanted.

    Owned yarns are given out first, the nearest pairs before the others; no yarn stands for
    two colours.
    """
    found: list[Match | None] = [None] * len(colours)
    taken: set[int] = set()
    away = _table(colours, yarns)
    for owned in (True, False):
        pairs = sorted(
            (float(away[colour, yarn]), colour, yarn)
            for colour in range(len(colours))
            for yarn in range(len(yarns))
            if (yarns[yarn].owned_balls > 0) == owned and away[colour, yarn] <= NEAR
        )
        for apart, colour, yarn in pairs:
            if found[colour] is None and yarn not in taken:
                found[colour] = Match(yarn, apart, owned)
                taken.add(yarn)
    return tuple(found)


def nearest(colour: str, yarns: Sequence[Yarn]) -> tuple[Match, ...]:
    """Return all yarns for a colour: owned ones first, each kind from near to far."""
    away = _table([colour], yarns)[0].tolist()
    found = [Match(n, away[n], yarn.owned_balls > 0) for n, yarn in enumerate(yarns)]
    return tuple(sorted(found, key=lambda match: (not match.owned, match.apart)))


def new_yarns(colours: Sequence[str], yarns: Sequence[Yarn]) -> tuple[Yarn, ...]:
    """Return yarns in new colours, named by what they look like, in balls like the last yarn's."""
    names = {yarn.name for yarn in yarns}
    made, like = [], yarns[-1]
    for colour in colours:
        words = colour_words(colour).capitalize()
        name, number = words, 2
        while name in names:
            name, number = f"{words} {number}", number + 1
        names.add(name)
        made.append(Yarn(name=name, colour=colour, ball_m=like.ball_m, ball_g=like.ball_g))
    return tuple(made)


def _table(colours: Sequence[str], yarns: Sequence[Yarn]) -> Floats:
    """Return CIEDE2000 of every colour and every yarn, shape (colours, yarns)."""
    if not colours or not yarns:
        return np.zeros((len(colours), len(yarns)))
    wished = np.array([lab_of(colour) for colour in colours])
    there = np.array([lab_of(yarn.colour) for yarn in yarns])
    return ciede2000(wished[:, np.newaxis], there)
