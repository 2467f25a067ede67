"""Rows taken apart: stitches one by one, runs made longer or shorter beside an edge or a turn.

A maker who has gained or lost a stitch keeps peaks over peaks, so the plain run beside the
place takes it up. Where no run can, the mistake can't be gone on with: `Spent`.
"""

from core.craft.stitches import WorkedStitch
from core.design.document import Item

Units = list[Item]


class Spent(Exception):  # noqa: N818 (nobody's error: the rows end here)
    """There is no plain stitch left to take."""


def plain_of(units: Units) -> WorkedStitch:
    """Return the stitch that plain stitches among these are worked in."""
    for unit in units:
        if unit.is_plain and unit.stitch:
            return unit.stitch
    return next((unit.stitch for unit in units if unit.stitch), "dc")


def edge_run(units: Units, extra: int, *, keep: int = 1) -> Units:
    """Return units, listed from an edge inwards, with `extra` plain stitches more beside it.

    The first `keep` units stay at the very edge, and so does a turn that the edge cuts.

    Raises:
        Spent: More are to be taken away than there are.
    """
    found = list(units)
    free = [n for n in range(keep, len(found)) if found[n].is_plain]
    if extra > 0:
        at = free[0] if free else len(found)
        found[at:at] = [Item(stitch=plain_of(units))] * extra
    elif -extra > len(free):
        raise Spent
    else:
        gone = set(free[:-extra])
        found = [unit for n, unit in enumerate(found) if n not in gone]
    return found


def run_around(units: Units, at: int, extra: int) -> Units:
    """Return a repeat's units with `extra` plain stitches more, shared by the runs about one unit.

    The repeat goes round: before its first unit comes its last.

    Raises:
        Spent: More are to be taken away than there are.
    """
    more: dict[int, int] = {}  # beside which plain unit, how many more
    plain = [n for n, unit in enumerate(units) if unit.is_plain and n != at]
    if not plain:
        if extra < 0:
            raise Spent
        return [*units[: at + 1], *[Item(stitch=plain_of(units))] * extra, *units[at + 1 :]]
    size = len(units)
    before = sorted(plain, key=lambda n: (at - n) % size)
    after = sorted(plain, key=lambda n: (n - at) % size)
    if extra < 0:
        if -extra > len(plain):
            raise Spent
        order = [n for pair in zip(after, before, strict=True) for n in pair]
        gone = set(list(dict.fromkeys(order))[:-extra])
        return [unit for n, unit in enumerate(units) if n not in gone]
    for number in range(extra):
        place = (before if number % 2 else after)[0]
        more[place] = more.get(place, 0) + 1
    return [unit for n, one in enumerate(units) for unit in [one] * (1 + more.get(n, 0))]
