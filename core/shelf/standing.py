"""Which yarns of the shelf stand for a design's yarns, and how much there is of them.

A yarn of the shelf stands for the design's yarn of the same name that is nearest in colour; it
counts for one yarn only.
"""

from collections.abc import Iterable, Sequence

import numpy as np

from core.design.document import Design, Yarn
from core.palette.stash import NEAR
from core.shelf.entry import CRUMB_G, LONGEST, Entry, Identity, folded, identity
from core.shelf.finding import apart


def standing_for(design: Design, entries: Sequence[Entry]) -> tuple[tuple[Entry, ...], ...]:
    """Return the yarns of the shelf that stand for each of a design's yarns."""
    own = [folded(yarn.name) for yarn in design.yarns]
    called: dict[str, list[int]] = {}
    for number, name in enumerate(own):
        called.setdefault(name, []).append(number)
    for number, names in enumerate(known_as(design.yarns)):
        for name in names - {own[number]}:  # behind those called just so, if equally near
            called[name].append(number)
    groups: dict[str, list[Entry]] = {}
    for entry in entries:
        if (name := folded(entry.name)) in called:
            groups.setdefault(name, []).append(entry)
    found: list[list[Entry]] = [[] for _ in design.yarns]
    for name, group in groups.items():
        numbers = called[name]
        away = np.array([apart(design.yarns[n].colour, group) for n in numbers])
        for entry, place, nearest in zip(group, away.argmin(axis=0), away.min(axis=0), strict=True):
            if nearest <= NEAR:
                found[numbers[place]].append(entry)
    return tuple(tuple(some) for some in found)


def known_as(yarns: Sequence[Yarn]) -> list[set[str]]:
    """Return the names by which the shelf may know each yarn.

    A "Sea 2" beside a Sea may be another colour of it: that is how it is called when it is taken
    in (`core.shelf.against.taken_in`).
    """
    own = [folded(yarn.name) for yarn in yarns]
    known = []
    for yarn, name in zip(yarns, own, strict=True):
        base, _, number = name.rpartition(" ")
        names = {name}
        if base and number.isdecimal():
            is_cut = len(yarn.name) == LONGEST["name"]
            names |= {n for n in own if n == base or (is_cut and n.startswith(base))}
        known.append(names)
    return known


def there_m(design: Design, entries: Iterable[Entry]) -> float:
    """Return the metres there are of these yarns for a design."""
    return sum(entry.for_title_g(design.title) * entry.m_per_g for entry in entries)


def lots_of(design: Design, entries: Iterable[Entry]) -> tuple[int, str, float]:
    """Return how many dye lots there is something of, and the largest with its metres."""
    lots: dict[Identity, list[Entry]] = {}
    for entry in entries:
        if entry.for_title_g(design.title) >= CRUMB_G:
            lots.setdefault(identity(entry), []).append(entry)
    if not lots:
        return 0, "", 0.0
    most = max(lots.values(), key=lambda some: there_m(design, some))
    return len(lots), most[0].lot, there_m(design, most)
