"""Stitches that were followed into the items of a design, and where the repeat is.

A row becomes a list of units first: one place worked, one skipped, one chain. The repeat then
is where the text has its asterisks; where rows disagree on how often it is worked, the widest
stretch that repeats around the asterisks is used, and at worst the whole row is one repeat.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from core.craft.stitches import Terms, WorkedStitch
from core.design.document import Item, Items, Row
from core.reading.names import meaning
from core.reading.worked import Event, Worked
from core.records import Struct

MAX_ITEMS: Final = 200
_MOST_MAKE: Final = 12
_MOST_OVER: Final = 12
_MOST_CHAIN: Final = 20
_MOST_SKIP: Final = 50
_MOST_TIMES: Final = 1000


class Unit(Struct, frozen=True):
    """What one place, or one join of places, or one chain is.

    Attributes:
        stitch: The stitch; None for a skip or a chain.
        make: Stitches into one place.
        over: Places joined in one stitch.
        chain: Chains between the stitches of an increase; for no stitch, 1 for a chain.
        is_odd: Whether no item says it: different stitches or uneven chains in one place.
    """

    stitch: WorkedStitch | None
    make: int = 1
    over: int = 1
    chain: int = 0
    is_odd: bool = False

    @property
    def uses(self) -> int:
        """Places used of the row below."""
        if self.stitch is None:
            return 0 if self.chain else 1
        return self.over


SKIP: Final = Unit(None)
CHAIN: Final = Unit(None, chain=1)


class Flat(Struct, frozen=True):
    """A row as units, with the asterisks' place among them.

    Attributes:
        units: What is worked, in order.
        first: The first unit between the asterisks; 0 without any.
        period: Units of one repeat; 0 without asterisks.
        times: How often it is worked.
        odd: Events that no item can say.
    """

    units: tuple[Unit, ...]
    first: int = 0
    period: int = 0
    times: int = 0
    odd: tuple[Event, ...] = ()

    @property
    def uses(self) -> int:
        """Places used of the row below."""
        return sum(unit.uses for unit in self.units)


def flat_of(worked: Worked, terms: Terms) -> Flat:
    """Return a row's units."""
    units: list[Unit] = []
    odd: list[Event] = []
    at_event: list[int] = []  # the unit that each event belongs to
    events = worked.events
    number = 0
    while number < len(events):
        event = events[number]
        if event.kind != "st":
            at_event.append(len(units))
            units.append(CHAIN if event.kind == "ch" else SKIP)
            number += 1
            continue
        group = _group(events, number)
        unit = _unit(group, terms)
        if unit.is_odd:
            odd.append(event)
        at_event += [len(units)] * len(group)
        units.append(unit)
        number += len(group)
    at_event.append(len(units))
    if worked.repeat is None:
        return Flat(tuple(units), odd=tuple(odd))
    begin, once, times = worked.repeat
    first = at_event[min(begin, len(events))]
    period = at_event[min(begin + once, len(events))] - first
    return Flat(tuple(units), first, period, times if period else 0, tuple(odd))


def _group(events: Sequence[Event], first: int) -> Sequence[Event]:
    """Return the events that go into the same place as one stitch, chains between included."""
    feet, last = events[first].feet, first
    if len(feet) > 1:
        return events[first : first + 1]
    for number in range(first + 1, len(events)):
        event = events[number]
        if event.kind == "st" and event.feet == feet:
            last = number
        elif event.kind != "ch":
            break
    return events[first : last + 1]


def _unit(group: Sequence[Event], terms: Terms) -> Unit:
    stitches = [event for event in group if event.kind == "st"]
    names = {meaning(event.name, terms) for event in stitches}
    stitch = meaning(stitches[0].name, terms)
    over = len(stitches[0].feet)
    if stitch is None:
        return Unit("sc", is_odd=True)
    if over > 1:
        return Unit(stitch, over=over, is_odd=over > _MOST_OVER)
    gaps: list[int] = []
    for event in group[1:]:
        if event.kind == "ch":
            gaps.append(0) if not gaps or gaps[-1] < 0 else None
            gaps[-1] += 1
        else:
            if not gaps or gaps[-1] < 0:
                gaps.append(0)
            gaps[-1] = -1 - gaps[-1]  # closed
    chains = {-gap - 1 for gap in gaps}
    make = len(stitches)
    odd = len(names) > 1 or len(chains) > 1 or make > _MOST_MAKE
    chain = max(chains, default=0)
    return Unit(stitch, make=make, chain=chain, is_odd=odd or chain > _MOST_CHAIN)


# --- units into items ----------------------------------------------------------------------


def items_of(units: Sequence[Unit]) -> Items:
    """Return units as items, as few as say them."""
    found: list[Item] = []
    number = 0
    while number < len(units):
        unit = units[number]
        end = number + 1
        while end < len(units) and units[end] == unit:
            end += 1
        found += _items(unit, end - number)
        number = end
    return tuple(found)


def _items(unit: Unit, n: int) -> Iterator[Item]:
    most = _MOST_TIMES
    if unit.stitch is None:
        most = _MOST_CHAIN if unit.chain else _MOST_SKIP
    while n > 0:
        part = min(n, most)
        n -= part
        if unit.stitch is None:
            yield Item(chain=part) if unit.chain else Item(skip=part)
        else:
            yield Item(
                stitch=unit.stitch,
                times=part,
                make=unit.make,
                over=unit.over,
                chain=unit.chain or None,
            )


def units_of(items: Items) -> Iterator[Unit]:
    """Return items as units."""
    for item in items:
        if item.stitch is None:
            yield from [SKIP] * (item.skip or 0)
            yield from [CHAIN] * (item.chain or 0)
        else:
            unit = Unit(item.stitch, item.make, item.over, item.chain or 0)
            yield from [unit] * item.times


def row_units(row: Row, repeats: int) -> tuple[Unit, ...]:
    """Return a row of a design as units."""
    return (*units_of(row.start), *tuple(units_of(row.repeat)) * repeats, *units_of(row.end))


# --- where the repeat is -------------------------------------------------------------------


def divisions(flat: Flat, repeats: int) -> Iterator[Row]:
    """Return ways to part a row into start, so many repeats and end, the text's own first."""
    units = flat.units
    if flat.times == repeats and flat.period:
        yield from _cut(units, flat.first, flat.period, repeats)
    for period, first, last in _stretches(flat):
        room = (last - first) // period
        if room < repeats:
            continue
        phase = (flat.first - first) % period if flat.period == period else 0
        starts = [phase + first + k * period for k in range(room)] if flat.period else []
        starts = [start for start in starts if start + repeats * period <= last]
        others = range(first, last - repeats * period + 1)
        for start in dict.fromkeys((*starts, *others)):
            yield from _cut(units, start, period, repeats)
    if repeats == 1:
        yield from _cut(units, 0, len(units), 1)


def _stretches(flat: Flat) -> Iterator[tuple[int, int, int]]:
    """Return (period, first, end) of stretches that repeat themselves."""
    units, n = flat.units, len(flat.units)
    if flat.period and flat.times:
        first = flat.first
        end = flat.first + flat.period * flat.times
        while first > 0 and units[first - 1] == units[first - 1 + flat.period]:
            first -= 1
        while end < n and units[end] == units[end - flat.period]:
            end += 1
        yield flat.period, first, end
        return
    for period in range(1, min(n // 2, 400) + 1):
        best = _longest(units, period)
        if best is not None and best[1] - best[0] >= max(2 * period, n // 2):
            yield period, *best
            return


def _longest(units: Sequence[Unit], period: int) -> tuple[int, int] | None:
    """Return the longest stretch in which every unit is like the one a period before."""
    best: tuple[int, int] | None = None
    start = 0
    for number in range(period, len(units) + 1):
        if number < len(units) and units[number] == units[number - period]:
            continue
        if best is None or number - start > best[1] - best[0]:
            best = (start, number)
        start = number - period + 1
    return best


def _cut(units: Sequence[Unit], first: int, period: int, repeats: int) -> Iterator[Row]:
    end = first + period * repeats
    if end > len(units) or not period:
        return
    parts = [
        items_of(units[:first]),
        items_of(units[first : first + period]),
        items_of(units[end:]),
    ]
    if max(map(len, parts)) > MAX_ITEMS:
        return
    try:
        yield Row(*parts)
    except ValueError:  # a repeat that makes no stitch
        return


def plain_division(
    flat: Flat, repeats: int, below: Row | None, *, starts_empty: bool
) -> Row | None:
    """Return a row of one stitch throughout parted as the row below is, if it is such a row.

    With `starts_empty` its first repeat begins with its first stitch.
    """
    kinds = set(flat.units)
    if len(kinds) != 1 or below is None or repeats < 2:
        return None
    unit = next(iter(kinds))
    if unit.stitch is None or unit.make > 1 or unit.over > 1:
        return None
    middle = sum(item.makes for item in below.repeat)
    start = 0 if starts_empty else sum(item.makes for item in below.start)
    end = len(flat.units) - start - middle * repeats
    if end < 0 or middle < 1:
        return None
    return Row(items_of([unit] * start), items_of([unit] * middle), items_of([unit] * end))
