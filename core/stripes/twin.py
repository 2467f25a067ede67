"""A second colourway: the same stripes with the yarns changed about.

Yarns go round in the order of their lightness, so that light stays beside dark wherever it was;
or light and dark change places; or they are dealt out anew by a seed.
"""

from collections.abc import Mapping
from typing import Final

from core.design.document import Design
from core.design.edits import with_yarns
from core.records import Struct
from core.stripes.chance import Chance
from core.stripes.colour import lightness

_DEAL_AGAIN: Final = 50


class Colourway(Struct, frozen=True):
    """A way to change yarns about.

    Attributes:
        name: What it is called.
        becomes: For each yarn that is used, the yarn that takes its place.
    """

    name: str
    becomes: Mapping[int, int]


def yarns_used(design: Design) -> tuple[int, ...]:
    """Return the numbers of the yarns in the stripes, from the lightest to the darkest."""
    used = {stripe.yarn for stripe in design.stripes.sequence}
    return tuple(sorted(used, key=lambda n: (-lightness(design.yarns[n].colour), n)))


def colourways(design: Design, first: int, count: int) -> tuple[Colourway, ...]:
    """Return colourways from number `first` (0) on: turned, reversed, then dealt anew.

    Fewer come back where two or three yarns have no more ways.
    """
    yarns = yarns_used(design)
    known: dict[tuple[int, ...], str] = {}
    for by in range(1, len(yarns)):
        known.setdefault(yarns[by:] + yarns[:by], _turned_name(by, len(yarns)))
    known.setdefault(yarns[::-1], "Light and dark change places")
    seed, misses = 1, 0
    while len(known) < first + count and misses < _DEAL_AGAIN:
        dealt = tuple(Chance(seed, stream=13).shuffled(yarns))
        misses = misses + 1 if dealt in known or dealt == yarns else 0
        if not misses:
            known[dealt] = f"Dealt anew, number {seed}"
        seed += 1
    known.pop(yarns, None)
    ways = list(known.items())[first : first + count]
    return tuple(Colourway(name, dict(zip(yarns, to, strict=True))) for to, name in ways)


def _turned_name(by: int, count: int) -> str:
    if by == 1:
        return "Each yarn a step darker"
    if by == count - 1:
        return "Each yarn a step lighter"
    return f"Each yarn {by} steps darker"


def in_colourway(design: Design, way: Colourway) -> Design:
    """Return the design with every yarn of its stripes, fills and border changed about.

    The plan stays as it is: its order is that of the first colourway.
    """
    return with_yarns(design, lambda yarn: way.becomes.get(yarn, yarn))
