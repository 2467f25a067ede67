"""What a row does at its two ends when they cut the wave.

Half a turn at each edge (common practice; checked against published ripples in
`tests/core/test_waves.py`): a turn is cut in two, its second half begins the row and its
first half ends it. What can't be halved evenly is shared so that the start edge has the
larger part.

Straight edges are plain stitches outside of half turns: whole repeats between straight edges
would move each row's peaks off those below.

A cut anywhere else leaves what belongs to each side there, and an increase at one edge and a
decrease at the other. Those keep the crests where they are: each edge gains or loses as much
as if it were half a turn.
"""

from dataclasses import dataclass, replace
from typing import Final

from core.craft.stitches import WorkedStitch
from core.design.document import Item, Items, Row, total_makes, total_uses
from core.rows.shape import (
    Turn,
    WaveShape,
    joined,
    reversed_shape,
    run_of,
    units_of,
    worked,
)

_MOST_IN_ONE: Final = 12
"""What one item may make or work together; see `core.design.document.Item`."""


def can_halve(turn: Turn) -> bool:
    """Return whether a turn can be cut in two."""
    return len(turn.items) == 1 or _halves_of_many(turn) is not None


def halves(turn: Turn, stitch: WorkedStitch) -> tuple[Items, Items]:
    """Return what ends a row and what begins it when a turn is cut in two."""
    if len(turn.items) > 1:
        found = _halves_of_many(turn)
        assert found is not None
        return found
    item = turn.items[0]
    if item.skip is not None:
        less = item.skip // 2
        return _skip(less), _skip(item.skip - less)
    if item.stitch is None:
        return (), turn.items
    whole, middle = divmod(item.times, 2)
    full: Items = ()
    if whole:
        full = (worked(item, whole),)
    if not middle:
        return full, full
    change = abs(turn.gain) // item.times
    parts = change // 2, change - change // 2
    ends = [
        Item(stitch=stitch, make=part + 1) if turn.gain > 0 else Item(stitch=stitch, over=part + 1)
        for part in parts
    ]
    return (*full, ends[0]), (ends[1], *full)


def _skip(stitches: int) -> Items:
    return (Item(skip=stitches),) if stitches else ()


def _halves_of_many(turn: Turn) -> tuple[Items, Items] | None:
    """Return the halves of a turn of many items, or None if it can't be cut in two.

    A plain stitch in the middle stands at both edges. A skip there goes to the second half,
    with a stitch moved in front of it.
    """
    units, spent = units_of(turn.items), 0
    if any(unit.stitch is None and unit.skip is None for unit in units):
        return None
    for number, unit in enumerate(units):
        before, after = units[:number], units[number:]
        in_middle = 2 * spent + 1 == turn.uses
        if in_middle and unit.is_plain:
            return joined([*before, unit]), joined(after)
        if 2 * spent == turn.uses or (in_middle and unit.skip):
            led = _with_a_stitch_first(after)
            fits = led is not None and before and before[-1].skip is None
            return (joined(before), joined(led)) if led and fits else None
        spent += unit.uses
    return None


# --- half turns at the edges ---------------------------------------------------------------


def begins_with_skip(turn: Turn) -> bool:
    """Return whether half of a turn begins with a skip, which no row can."""
    return turn.items[0].skip is not None and len(turn.items) == 1


def can_have_half_turns(shape: WaveShape) -> bool:
    """Return whether a shape's edges can cut the turns that it says."""
    near, far = shape.turns[-1], shape.far_turn
    if not (can_halve(near) and can_halve(far)):
        return False
    number = len(shape.turns) - 1 if shape.far is None else shape.far
    if not shape.margin:  # a skip at the very edge takes a stitch of the run beside it
        if begins_with_skip(near) and (shape.runs[0] < 1 or len(shape.turns) < 2):
            return False
        if begins_with_skip(far) and shape.runs[number] < 1:
            return False
        if begins_with_skip(near) and number == 0 and begins_with_skip(far):
            return False  # both would want the one run between them
    return bool(_balanced_halves(shape))


def row_with_half_turns(shape: WaveShape, *, backwards: bool = False) -> Row:
    """Return the row between half turns, worked from the far edge if `backwards`.

    What can't be halved evenly gives its larger part to one edge in one row and to the other
    in the next, so that crests stay where they are.
    """
    found = _balanced_halves(shape)
    near, far = found[0]
    there = Row(*_forwards(shape, near, far))
    if not backwards:
        return there
    if shape.far is None:
        before, after = halves(Turn(shape.turns[-1].items[::-1]), shape.stitch)
        return Row(*_backwards(shape, before[::-1], after[::-1]))
    near, far = found[-1]
    missing = there.uses(1) - Row(*_backwards(shape, near, far)).uses(1)
    if missing < 0:
        return Row(*_backwards(shape, *found[0]))
    return Row(*_backwards(shape, near, (*run_of(shape.stitch, missing), *far)))


def _balanced_halves(shape: WaveShape) -> list[tuple[Items, Items]]:
    """Return halves for the near edge and the far one that together keep the count."""
    near_before, near_after = halves(shape.turns[-1], shape.stitch)
    if shape.far is None:
        return [(near_after, near_before)]
    between = sum(turn.gain for turn in shape.turns[: shape.far])
    before, after = halves(shape.far_turn, shape.stitch)
    return [
        (near, far)
        for near in (near_after, near_before[::-1])
        for far in (before, after[::-1])
        if gain_of(near) + between + gain_of(far) == 0
    ]


def gain_of(items: Items) -> int:
    """Return how many stitches items gain."""
    return total_makes(items) - total_uses(items)


def _forwards(shape: WaveShape, near: Items, far: Items) -> tuple[Items, Items, Items]:
    number = len(shape.turns) - 1 if shape.far is None else shape.far
    return _between(shape, number, near, far)


def _backwards(shape: WaveShape, near: Items, far: Items) -> tuple[Items, Items, Items]:
    """Return the row as it is met from the far edge, which becomes the near one."""
    number = len(shape.turns) - 1
    if shape.far is not None:  # the turn that the far edge cuts becomes the last
        after = shape.far + 1
        shape = replace(
            shape,
            runs=shape.runs[after:] + shape.runs[:after],
            turns=shape.turns[after:] + shape.turns[:after],
            far=None,
        )
        number = after - 1  # the turns before it stand in front, in reverse
    return _between(reversed_shape(shape), number, far[::-1], near[::-1])


def _between(shape: WaveShape, number: int, start: Items, end: Items) -> tuple[Items, Items, Items]:
    """Return start edge, repeat and end edge around halves that are given.

    The end edge cuts turn `number`. A row can't begin or end with a skip: one stitch of the
    run goes to the very edge, unless there is a straight one.
    """
    stitch, runs, turns = shape.stitch, shape.runs, shape.turns
    order = list(zip(runs, turns, strict=True))
    one, margin = run_of(stitch, 1), run_of(stitch, shape.margin)
    last = (*run_of(stitch, runs[number]), *end, *margin)
    if begins_with_skip(turns[number]) and not margin:
        last = (*run_of(stitch, runs[number] - 1), *end, *one)
    body = [item for run, turn in order[:number] for item in (*run_of(stitch, run), *turn.items)]
    repeat = [item for run, turn in order for item in (*run_of(stitch, run), *turn.items)]
    if not begins_with_skip(turns[-1]) or margin:
        return (*margin, *start), tuple(repeat), (*body, *last)
    first = run_of(stitch, runs[0])
    edge = (*one, *start, *run_of(stitch, runs[0] - 1))
    rest = (*body, *last)
    return edge, (*repeat[len(first) :], *first), rest[len(first) :]


# --- cuts anywhere -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Place:
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
    return _with_a_stitch_first(units)


def _with_a_stitch_first(units: list[Item]) -> list[Item] | None:
    """Return the units with a plain stitch moved to the very edge if a skip stands there."""
    if units[0].skip is None:
        return units
    number = next((n for n, unit in enumerate(units) if unit.is_plain), None)
    return None if number is None else [units[number], *units[:number], *units[number + 1 :]]


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
