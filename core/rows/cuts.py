"""Edges that cut a wave anywhere, for waves that move along or change over.

A cut leaves what belongs to each side there, and an increase at one edge and a decrease at
the other. Those keep the crests where they are: each edge gains or loses as much as if it
were half a turn.
"""

from typing import Final

from core.design.document import Item, Row, total_uses
from core.records import Struct
from core.rows.edges import gain_of, with_a_stitch_first
from core.rows.shape import WaveShape, joined, run_of, units_of

_MOST_IN_ONE: Final = 12
"""What one item may make or work together; see `core.design.document.Item`."""


class Place(Struct, frozen=True):
    """A place in the repeat where an edge cuts it.

    Attributes:
        stitch: Stitches of the row below from the repeat's beginning on.
        shared: Whether that stitch stands at both edges; if not, the cut is just before it.
        gain: What the start edge has to gain up to the repeat's beginning; the end edge
            loses as much from there on.
    """

    stitch: int
    shared: bool
    gain: int


def middle_of(shape: WaveShape, number: int) -> int:
    """Return the stitch of the row below that is in the middle of a turn."""
    before = sum(shape.runs[: number + 1]) + sum(turn.uses for turn in shape.turns[:number])
    return before + shape.turns[number].uses // 2


def row_cut_at(shape: WaveShape, place: Place) -> Row | None:
    """Return the row whose edges both cut the repeat at one place, or None if none is there."""
    stitch, order = shape.stitch, zip(shape.runs, shape.turns, strict=True)
    items = [item for run, turn in order for item in (*run_of(stitch, run), *turn.items)]
    whole = units_of(items)
    plain = Item(stitch=stitch)
    end, start = _cut(whole, place, plain)
    gain, first = place.gain, shape.runs[0]
    last = shape.runs[-1] + len(units_of(shape.turns[-1].items))
    if _plain_in(start) == 0:  # the edge takes the run after it too
        start, whole, end = start + whole[:first], whole[first:] + whole[:first], end[first:]
    elif place.stitch <= first:  # there is little left for the other edge
        gain -= gain_of(tuple(whole[-last:]))
        start, whole, end = start[:-last], whole[-last:] + whole[:-last], whole[-last:] + end
    if not start or not end:
        return None
    started, ended = _edged(start, gain, plain), _edged(end[::-1], -gain, plain)
    if started is None or ended is None:
        return None
    margin = run_of(stitch, shape.margin)
    return Row(joined((*margin, *started)), joined(whole), joined((*ended[::-1], *margin)))


def _plain_in(units: list[Item]) -> int:
    return sum(unit.is_plain for unit in units)


def _cut(units: list[Item], place: Place, plain: Item) -> tuple[list[Item], list[Item]]:
    """Return what ends a row and what begins it when a repeat is cut at a place."""
    spent, at, shared = 0, place.stitch or total_uses(tuple(units)), place.shared
    if shared:
        at = place.stitch
    for number, unit in enumerate(units):
        before, after = units[:number], units[number:]
        if spent >= at and not shared:
            return before, after
        if spent <= at < spent + unit.uses:
            into = at - spent
            if unit.over == 1:  # only shared stitches get here
                return [*before, plain], after
            legs = into + shared, unit.over - into
            return [*before, _together(unit, legs[0])], [_together(unit, legs[1]), *after[1:]]
        spent += unit.uses
    return units, []


def _together(unit: Item, over: int) -> Item:
    return Item(stitch=unit.stitch, over=over)


def _edged(units: list[Item], gain: int, plain: Item) -> list[Item] | None:
    """Return the units with the edge at their front changed until they gain so much.

    They use as many stitches as before. None if that can't be had near the edge.
    """
    units = list(units)
    change = gain - gain_of(tuple(units))
    while change:
        step = _more(units, plain) if change > 0 else _fewer(units)
        if step is None:
            return None
        units = step
        change = gain - gain_of(tuple(units))
    return with_a_stitch_first(units)


def _more(units: list[Item], plain: Item) -> list[Item] | None:
    """Return the units with one stitch more, as near the front as can be."""
    first, rest = units[0], units[1:]
    if first.skip is not None:
        return [plain, *rest]
    if first.over > 1:
        return [plain, _together(first, first.over - 1), *rest]
    if first.makes >= _MOST_IN_ONE:
        return None
    return [Item(stitch=plain.stitch, make=first.makes + 1), *rest]


def _fewer(units: list[Item]) -> list[Item] | None:
    """Return the units with one stitch fewer, as near the front as can be."""
    first, rest = units[0], units[1:]
    if first.makes > 1:
        return [Item(stitch=first.stitch, make=first.makes - 1), *rest]
    if not rest:
        return None
    second = rest[0]
    if first.skip is not None or second.makes > 1:
        fewer = _fewer(rest)
        return None if fewer is None else [first, *fewer]
    if second.skip is not None:  # a skip is widened by the stitch after it
        plain = next((n for n, unit in enumerate(rest) if unit.is_plain), None)
        if plain is None:
            return None
        return [first, *rest[:plain], Item(skip=1), *rest[plain + 1 :]]
    both = first.over + second.over
    return [_together(first, both), *rest[1:]] if both <= _MOST_IN_ONE else None
