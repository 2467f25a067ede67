"""What a row does at its two ends when they cut the wave.

Half a turn at each edge (common practice; checked against published ripples in
`tests/core/test_waves.py`): a turn is cut in two, its second half begins the row and its
first half ends it. What can't be halved evenly is shared so that the start edge has the
larger part.

Straight edges are plain stitches outside of half turns: whole repeats between straight edges
would move each row's peaks off those below.
"""

from core.craft.stitches import WorkedStitch
from core.design.document import Item, Items, Row, total_makes, total_uses
from core.records import replace
from core.rows.shape import (
    Turn,
    WaveShape,
    joined,
    reversed_shape,
    run_of,
    units_of,
    worked,
)


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
            led = with_a_stitch_first(after)
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


def with_a_stitch_first(units: list[Item]) -> list[Item] | None:
    """Return the units with a plain stitch moved to the very edge if a skip stands there."""
    if units[0].skip is None:
        return units
    number = next((n for n, unit in enumerate(units) if unit.is_plain), None)
    return None if number is None else [units[number], *units[:number], *units[number + 1 :]]
