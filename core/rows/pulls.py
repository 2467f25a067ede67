"""A wave pulled into shape by hand: runs, turns, and what follows from them.

A pull that can't be had gives back the shape as it was, or as near as it can come.
"""

from typing import Final

from core.craft.stitches import RUNGS, WorkedStitch
from core.design.document import Item
from core.records import replace
from core.rows.choices import Shape, with_heights, with_length
from core.rows.edges import begins_with_skip
from core.rows.families import spaced_skips
from core.rows.heights import HeightShape
from core.rows.shape import MAX_GAIN, MAX_RUN, PartKind, Turn, WaveShape
from core.rows.workable import can_be_worked, if_workable

_BROAD: Final = 6  # turns of so many places can be told apart with no run between them
_LONGEST_SKIP: Final = 4  # a wider hole is closed by stitches between


# --- runs and turns ------------------------------------------------------------------------


def with_run(shape: WaveShape, number: int, stitches: int) -> WaveShape:
    """Return the shape with one run made longer or shorter.

    One stitch stays, since a peak and a dip right beside each other are easily miscounted;
    broad turns may touch.
    """
    stitches = min(max(stitches, _least_run(shape, number)), MAX_RUN)
    runs = (*shape.runs[:number], stitches, *shape.runs[number + 1 :])
    return if_workable(replace(shape, runs=runs), shape)


def _least_run(shape: WaveShape, number: int) -> int:
    before, after = shape.turns[number - 1], shape.turns[number]
    if before.kind == after.kind:
        return 2 if before.is_skipped and after.is_skipped else 1
    broad = min(before.uses, after.uses) >= _BROAD
    return 0 if broad and not (begins_with_skip(before) or begins_with_skip(after)) else 1


def with_turn_moved(shape: WaveShape, number: int, stitches: int) -> WaveShape:
    """Return the shape with a turn moved along the row, towards the end of working.

    The run before it grows by what the run after it loses, as far as there is any.
    """
    after = (number + 1) % len(shape.turns)
    if after == number:
        return shape
    stitches = min(stitches, shape.runs[after] - _least_run(shape, after))
    stitches = max(stitches, _least_run(shape, number) - shape.runs[number])
    runs = list(shape.runs)
    runs[number] += stitches
    runs[after] -= stitches
    if max(runs) > MAX_RUN:
        return shape
    return if_workable(replace(shape, runs=tuple(runs)), shape)


def with_gain(shape: WaveShape, number: int, gain: int) -> WaveShape:
    """Return the shape with a turn that gains or loses `gain` stitches, kept workable.

    The nearest turn of the other kind makes up for all others, so that a repeat leaves as
    many stitches as it uses, even if it didn't before. Where a gain can't be had, as in a
    fan with chains between, the next one in the same direction is taken.
    """
    gain = min(max(gain, 1), MAX_GAIN)
    partner = _partner(shape, number)
    if partner is None:
        return shape
    now = abs(shape.turns[number].gain)
    further = range(gain, MAX_GAIN + 1) if gain > now else range(gain, 0, -1)
    for candidate in further if gain != now else (gain,):
        found = _with_gains(shape, number, partner, candidate)
        if found is not None and can_be_worked(found):
            return found
    return shape


def _with_gains(shape: WaveShape, number: int, partner: int, gain: int) -> WaveShape | None:
    sign = 1 if shape.turns[number].kind == "peak" else -1
    rest = sum(t.gain for n, t in enumerate(shape.turns) if n not in (number, partner))
    other = sign * (sign * gain + rest)
    if not 1 <= other <= MAX_GAIN:
        return None
    turns = list(shape.turns)
    turns[number] = turn_with_gain(turns[number], gain, shape.stitch)
    turns[partner] = turn_with_gain(turns[partner], other, shape.stitch)
    if (abs(turns[number].gain), abs(turns[partner].gain)) != (gain, other):
        return None
    return replace(shape, turns=tuple(turns))


def _partner(shape: WaveShape, number: int) -> int | None:
    count = len(shape.turns)
    for step in range(1, count):
        for candidate in ((number + step) % count, (number - step) % count):
            if shape.turns[candidate].kind != shape.turns[number].kind:
                return candidate
    return None


def turn_with_gain(turn: Turn, gain: int, stitch: WorkedStitch) -> Turn:
    """Return a turn of the same manner that gains or loses `gain` stitches.

    A fan with chains between its stitches gains in steps: it comes as near as it can.
    """
    item = turn.items[0]
    if turn.is_spaced:
        return Turn(spaced_skips(gain, stitch))
    if item.skip is not None:
        return Turn((Item(skip=gain),))
    if item.chain is not None and item.make > 1:
        return Turn(
            (Item(stitch=stitch, make=max(gain // (1 + item.chain), 1) + 1, chain=item.chain),)
        )
    size = max(item.make, item.over)
    each = size - 1 if len(turn.items) == 1 and item.stitch else 1
    if item.times == 1 and size > 2:  # one place that all of them share
        size, times = gain + 1, 1
    elif each and gain % each == 0:
        times = gain // each
    else:
        size, times = 2, gain
    if turn.kind == "peak":
        return Turn((Item(stitch=stitch, make=size, times=times),))
    return Turn((Item(stitch=stitch, over=size, times=times),))


def with_skipped_dips(shape: WaveShape, skipped: bool) -> WaveShape:
    """Return the shape with its dips skipped (a hole) or worked together."""
    turns = []
    for turn in shape.turns:
        if turn.kind == "peak" or turn.is_skipped == skipped:
            turns.append(turn)
        elif not skipped:
            turns.append(Turn((Item(stitch=shape.stitch, over=2, times=-turn.gain),)))
        elif -turn.gain <= _LONGEST_SKIP:
            turns.append(Turn((Item(skip=-turn.gain),)))
        else:
            turns.append(Turn(spaced_skips(-turn.gain, shape.stitch)))
    return if_workable(replace(shape, turns=tuple(turns)), shape)


# --- by hand -------------------------------------------------------------------------------


def pulled(shape: Shape, kind: PartKind, number: int, *, moved: int, changed: int) -> Shape:
    """Return the shape with a part pulled along the row and up or down.

    Args:
        shape: The shape before.
        kind: What is pulled.
        number: Number of the turn, or of the run before that turn.
        moved: Stitches along the row, towards the end of working; for turns.
        changed: Steps more of what the part has: stitches of a run, stitches gained or lost
            by a turn, steps of height for stitch heights.
    """
    if isinstance(shape, HeightShape):
        return _pulled_heights(shape, kind, changed)
    if kind == "run":
        return with_run(shape, number, shape.runs[number] + changed)
    gain = abs(shape.turns[number].gain) + changed
    return with_gain(with_turn_moved(shape, number, moved), number, gain)


def _pulled_heights(shape: HeightShape, kind: PartKind, changed: int) -> HeightShape:
    if kind == "run":
        return with_length(shape, shape.length + 2 * changed)
    low, high = RUNGS.index(shape.low), RUNGS.index(shape.high)
    if kind == "peak":
        high = min(max(high + changed, low + 1), len(RUNGS) - 1)
    else:
        low = min(max(low - changed, 0), high - 1)
    return with_heights(shape, RUNGS[low], RUNGS[high])
