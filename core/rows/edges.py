"""What a row does at its two ends when they cut the wave.

Half a turn at each edge (common practice; checked against published ripples in
`tests/core/test_waves.py`): a turn is cut in two, its second half begins the row and its
first half ends it. What can't be halved evenly is shared so that the start edge has the
larger part.

A cut anywhere else leaves what belongs to each side there; a decrease that is cut through
takes one more stitch along, so that the row still loses as much as it gains.
"""

from dataclasses import dataclass

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

_MOST_TOGETHER = 12
"""What one item may work together; see `core.design.document.Item`."""


def can_halve(turn: Turn) -> bool:
    """Return whether a turn can be cut in two."""
    return len(turn.items) == 1 or _middle_of(turn) is not None


def halves(turn: Turn, stitch: WorkedStitch) -> tuple[Items, Items]:
    """Return what ends a row and what begins it when a turn is cut in two."""
    if len(turn.items) > 1:
        return _halves_of_many(turn)
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


def _middle_of(turn: Turn) -> int | None:
    """Return the number of the unit that a turn of many items is halved at.

    That is the one in its middle if it is plain, and so stands at both edges, or the one
    after its middle if no unit is cut through there.
    """
    units, spent = units_of(turn.items), 0
    if any(unit.stitch is None and unit.skip is None for unit in units):
        return None
    for number, unit in enumerate(units):
        if 2 * spent == turn.uses or (2 * spent + 1 == turn.uses and unit.is_plain):
            return number
        spent += unit.uses
    return None


def _halves_of_many(turn: Turn) -> tuple[Items, Items]:
    units, middle = units_of(turn.items), _middle_of(turn)
    assert middle is not None
    shared = turn.uses % 2
    return joined(units[: middle + shared]), joined(units[middle:])


# --- half turns at the edges ---------------------------------------------------------------


def cuts_a_skip(turn: Turn) -> bool:
    """Return whether half of a turn begins with a skip, which no row can."""
    return turn.items[0].skip is not None and len(turn.items) == 1


def can_have_half_turns(shape: WaveShape) -> bool:
    """Return whether a shape's edges can cut the turns that it says."""
    near, far = shape.turns[-1], shape.far_turn
    if not (can_halve(near) and can_halve(far)):
        return False
    if cuts_a_skip(near) and (shape.runs[0] < 1 or len(shape.turns) < 2):
        return False
    number = len(shape.turns) - 1 if shape.far is None else shape.far
    if cuts_a_skip(far) and shape.runs[number] < 1:
        return False
    if cuts_a_skip(near) and number == 0 and cuts_a_skip(far):
        return False  # both would want the one run between them
    return _half_turns(shape) is not None


def row_with_half_turns(shape: WaveShape, *, backwards: bool = False) -> Row:
    """Return the row between half turns, worked from the far edge if `backwards`.

    A row can't begin with a skip: one stitch of the run goes to the very edge before it.
    """
    found = _half_turns(shape)
    assert found is not None
    return Row(*_backwards(shape, *found)) if backwards else Row(*_forwards(shape, *found))


def _half_turns(shape: WaveShape) -> tuple[Items, Items] | None:
    """Return the near edge's half and the far edge's, which together keep the count."""
    near_before, near_after = halves(shape.turns[-1], shape.stitch)
    if shape.far is None:
        return near_after, near_before
    between = sum(turn.gain for turn in shape.turns[: shape.far])
    before, after = halves(shape.far_turn, shape.stitch)
    for near in (near_after, near_before[::-1]):
        for far in (before, after[::-1]):
            if _gain(near) + between + _gain(far) == 0:
                return near, far
    return None


def _gain(items: Items) -> int:
    return total_makes(items) - total_uses(items)


def _forwards(shape: WaveShape, near: Items, far: Items) -> tuple[Items, Items, Items]:
    number = len(shape.turns) - 1 if shape.far is None else shape.far
    return _between(shape, number, near, far)


def _backwards(shape: WaveShape, near: Items, far: Items) -> tuple[Items, Items, Items]:
    """Return the row as it is met from the far edge, which becomes the near one."""
    if shape.far is not None:  # the turn that the far edge cuts becomes the last
        after = shape.far + 1
        shape = WaveShape(
            stitch=shape.stitch,
            runs=shape.runs[after:] + shape.runs[:after],
            turns=shape.turns[after:] + shape.turns[:after],
            edge="half",
        )
        number = after - 1  # the turns before it stand in front, in reverse
    else:
        number = len(shape.turns) - 1
    return _between(reversed_shape(shape), number, far[::-1], near[::-1])


def _between(shape: WaveShape, number: int, start: Items, end: Items) -> tuple[Items, Items, Items]:
    """Return start edge, repeat and end edge around halves that are given.

    The end edge cuts turn `number`.
    """
    stitch, runs, turns = shape.stitch, shape.runs, shape.turns
    order = list(zip(runs, turns, strict=True))
    one = run_of(stitch, 1)
    last = (*run_of(stitch, runs[number]), *end)
    if cuts_a_skip(turns[number]):
        last = (*run_of(stitch, runs[number] - 1), *end, *one)
    body = [item for run, turn in order[:number] for item in (*run_of(stitch, run), *turn.items)]
    if not cuts_a_skip(turns[-1]):
        repeat = [item for run, turn in order for item in (*run_of(stitch, run), *turn.items)]
        return start, tuple(repeat), (*body, *last)
    first = run_of(stitch, runs[0])
    repeat = [item for run, turn in order for item in (*run_of(stitch, run), *turn.items)]
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
    """

    stitch: int
    shared: bool


def middle_place(shape: WaveShape, number: int, *, shared: bool) -> Place:
    """Return the place in the middle of a turn."""
    before = sum(shape.runs[: number + 1]) + sum(turn.uses for turn in shape.turns[:number])
    return Place(before + shape.turns[number].uses // 2, shared)


def row_cut_at(shape: WaveShape, place: Place) -> Row | None:
    """Return the row whose edges both cut the repeat at one place, or None if none is there."""
    stitch, order = shape.stitch, zip(shape.runs, shape.turns, strict=True)
    items = [item for run, turn in order for item in (*run_of(stitch, run), *turn.items)]
    whole = units_of(items)
    end, start = _cut(whole, place, Item(stitch=stitch))
    first = shape.runs[0]
    if start and start[0].skip and not any(unit.is_plain for unit in start):
        start, whole, end = start + whole[:first], whole[first:] + whole[:first], end[first:]
    started = _with_a_stitch_first(start) if start else start
    ended = _with_a_stitch_first(end[::-1]) if end else end
    if started is None or ended is None:
        return None
    row = Row(joined(started), joined(whole), joined(ended[::-1]))
    kept = row.makes(1) == row.uses(1)
    return row if kept else None


def _cut(units: list[Item], place: Place, plain: Item) -> tuple[list[Item], list[Item]]:
    """Return what ends a row and what begins it when a repeat is cut at a place."""
    spent, at, shared = 0, place.stitch, place.shared
    for number, unit in enumerate(units):
        before, after = units[:number], units[number:]
        if spent >= at and not shared:
            return before, after
        if spent <= at < spent + unit.uses:
            into = at - spent
            if shared:
                ends, begins = _shared(unit, into, plain)
                return [*before, ends], [begins, *after[1:]]
            return _cut_through(before, unit, into, after[1:])
        spent += unit.uses
    return units, []


def _shared(unit: Item, into: int, plain: Item) -> tuple[Item, Item]:
    """Return what a unit leaves at the end and at the start if both have stitch `into` of it."""
    if unit.skip is not None:  # one of the two is worked, or the row would lose too much
        return plain, unit
    assert unit.stitch is not None
    if unit.over > 1:
        over = into + 1, unit.over - into
        return Item(stitch=unit.stitch, over=over[0]), Item(stitch=unit.stitch, over=over[1])
    gain = unit.makes - unit.uses
    less = gain // 2
    return (
        Item(stitch=unit.stitch, make=less + 1),
        Item(stitch=unit.stitch, make=gain - less + 1),
    )


def _cut_through(
    before: list[Item], unit: Item, into: int, after: list[Item]
) -> tuple[list[Item], list[Item]]:
    """Return both sides of a decrease that is cut after `into` of its stitches.

    Two halves of it lose one stitch less than the whole: a neighbour is taken in as well.
    """
    assert unit.stitch is not None
    ends, begins = into, unit.over - into
    if after and after[0].stitch and after[0].make == 1:
        begins += after[0].over
        after = after[1:]
    elif before and before[-1].stitch and before[-1].make == 1:
        ends += before[-1].over
        before = before[:-1]
    ends, begins = min(ends, _MOST_TOGETHER), min(begins, _MOST_TOGETHER)
    return (
        [*before, Item(stitch=unit.stitch, over=ends)],
        [Item(stitch=unit.stitch, over=begins), *after],
    )


def _with_a_stitch_first(units: list[Item]) -> list[Item] | None:
    """Return the units with a plain stitch moved to the very edge if a skip stands there."""
    if units[0].skip is None:
        return units
    plain = next((number for number, unit in enumerate(units) if unit.is_plain), None)
    if plain is None:
        return None
    return [units[plain], *units[:plain], *units[plain + 1 :]]
