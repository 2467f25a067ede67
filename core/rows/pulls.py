"""Edits of a wave's shape that stay workable, whatever is asked for.

An edit that can't be had gives back the shape as it was, or as near as it can come.
"""

from dataclasses import replace
from typing import Final

from core.craft.stitches import WORKED, WorkedStitch
from core.design.document import Item
from core.rows.edges import begins_with_skip, can_halve, can_have_half_turns
from core.rows.families import Family, family_shape, spaced_skips
from core.rows.heights import HeightShape, checked_heights
from core.rows.rhythm import MAX_CYCLE, MAX_EVERY, MAX_SETTLED, MAX_SLANT, MAX_SWAP, Rhythm
from core.rows.shape import (
    MAX_GAIN,
    MAX_MARGIN,
    MAX_RUN,
    PartKind,
    Turn,
    TurnKind,
    WaveShape,
)
from core.rows.shaped import can_slant, can_swap, is_turned

Shape = WaveShape | HeightShape

_BROAD: Final = 6  # turns of so many places can be told apart with no run between them
OFFERED_SLANT: Final = 2
_STEEP: Final = 2  # stitches gained at a peak, on average over the rows
_LONGEST_SKIP: Final = 4  # a wider hole is closed by stitches between


def can_be_worked(shape: WaveShape) -> bool:
    """Return whether edges and rhythm of a shape can be had together."""
    if shape.edge != "own" and not can_have_half_turns(shape):
        return False
    rhythm = shape.rhythm
    if rhythm.rows_until_again(shape.multiple, turned=is_turned(shape)) > MAX_CYCLE:
        return False
    if rhythm.slant:
        return can_slant(shape, rhythm.slant) and not is_steep(shape)
    return not rhythm.swap_after or (can_swap(shape) and not is_steep(shape))


def is_steep(shape: WaveShape) -> bool:
    """Return whether the wave gains too much a row to turn over or to move along.

    Steep flanks would have to fold where a peak comes over a dip. Skips with stitches
    between spread the loss, so that wide fans are not steep.
    """
    if any(turn.is_spaced for turn in shape.turns):
        return False
    return max(abs(turn.gain) for turn in shape.turns) > _STEEP * shape.rhythm.every


def _if_workable(new: WaveShape, old: WaveShape) -> WaveShape:
    return new if can_be_worked(new) else old


# --- runs and turns ------------------------------------------------------------------------


def with_run(shape: WaveShape, number: int, stitches: int) -> WaveShape:
    """Return the shape with one run made longer or shorter.

    One stitch stays, since a peak and a dip right beside each other are easily miscounted;
    broad turns may touch.
    """
    stitches = min(max(stitches, _least_run(shape, number)), MAX_RUN)
    runs = (*shape.runs[:number], stitches, *shape.runs[number + 1 :])
    return _if_workable(replace(shape, runs=runs), shape)


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
    return _if_workable(replace(shape, runs=tuple(runs)), shape)


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
    return _if_workable(replace(shape, turns=tuple(turns)), shape)


# --- edges ---------------------------------------------------------------------------------


def with_edge_at(shape: WaveShape, kind: TurnKind) -> WaveShape:
    """Return the shape rotated so that both edges cut a turn of `kind` in half."""
    return with_edges(shape, kind, kind)


def with_edges(shape: WaveShape, near: TurnKind, far: TurnKind) -> WaveShape:
    """Return the shape with half a turn of these kinds at each edge.

    The near edge is the one that row 1 starts at.
    """
    for step, last in enumerate(shape.turns):
        if last.kind != near or not can_halve(last):
            continue
        turns = shape.turns[step + 1 :] + shape.turns[: step + 1]
        runs = shape.runs[step + 1 :] + shape.runs[: step + 1]
        halved = replace(shape, turns=turns, runs=runs, edge="half", margin=0, far=None)
        halved = replace(halved, start=(), end=())
        for number in (None,) if near == far else range(len(turns) - 1):
            if number is not None and turns[number].kind != far:
                continue
            found = replace(halved, far=number)
            if number is not None:
                found = replace(found, rhythm=replace(found.rhythm, slant=0))
            if can_be_worked(found):
                return found
    return shape


def with_straight_edge(shape: WaveShape, stitches: int) -> WaveShape:
    """Return the shape with so many plain stitches at both edges, half turns beside them."""
    stitches = min(max(stitches, 1), MAX_MARGIN)
    if shape.edge == "own":
        shape = with_edge_at(shape, "peak")
    new = replace(shape, edge="straight", margin=stitches, start=(), end=())
    return _if_workable(new, shape)


def edge_kinds(shape: Shape) -> tuple[str, str]:
    """Return what the two edges are: "peak", "dip", "straight" or "own"; the near one first."""
    if isinstance(shape, HeightShape):
        return shape.near, shape.far
    if shape.edge != "half":
        return shape.edge, shape.edge
    return shape.turns[-1].kind, shape.far_turn.kind


def in_family(shape: Shape | None, family: Family, stitch: WorkedStitch) -> Shape:
    """Return a family's shape with the edges and the first run of the one before."""
    if not isinstance(shape, WaveShape) or family.is_of_heights:
        return family_shape(family, stitch, family.run)
    run = shape.runs[0] or family.run
    new = family_shape(family, stitch, run if family.run else 0)
    assert isinstance(new, WaveShape)
    if shape.edge == "own":
        return new
    new = with_edges(new, shape.turns[-1].kind, shape.far_turn.kind)
    return with_straight_edge(new, shape.margin) if shape.margin else new


# --- the rhythm ----------------------------------------------------------------------------


def with_every(shape: Shape, rows: int) -> Shape:
    """Return the shape with one row in so many shaped, the others plain."""
    return _with_rhythm(shape, every=min(max(rows, 1), MAX_EVERY))


def with_swap(shape: Shape, rows: int) -> Shape:
    """Return the shape with peaks and dips changing places after so many rows; 0 for never."""
    rows = min(max(rows, 0), most_rows_to_swap(shape))
    if rows:
        rows = replace(shape.rhythm, swap_after=rows).swap_rows
    return _with_rhythm(shape, swap_after=rows, slant=0 if rows else shape.rhythm.slant)


def most_rows_to_swap(shape: Shape) -> int:
    """Return the most rows before peaks and dips change places that the fabric can show.

    There are none if the edges can't be had, or if the wave is steep.
    """
    if isinstance(shape, WaveShape) and (is_steep(shape) or not can_swap(shape)):
        return 0
    every = shape.rhythm.every
    rows = min(MAX_SWAP, MAX_SETTLED // (2 * shape.multiple), MAX_CYCLE // 2)
    return max(rows - rows % every, every)


def slants_of(shape: WaveShape) -> tuple[int, ...]:
    """Return the slants that can be had and that the fabric can show, upright among them."""
    found = []
    for slant in range(-OFFERED_SLANT, OFFERED_SLANT + 1):
        rhythm = replace(shape.rhythm, slant=slant, swap_after=0)
        rows = rhythm.rows_until_again(shape.multiple, turned=True)
        is_small = rows * shape.multiple <= MAX_SETTLED
        if slant in (0, shape.rhythm.slant) or (
            is_small and can_slant(shape, slant) and not is_steep(shape)
        ):
            found.append(slant)
    return tuple(found)


def with_slant(shape: WaveShape, stitches: int) -> WaveShape:
    """Return the shape with its waves moved along with every shaped row; 0 for upright.

    If that takes more rows than a design may list, or edges that can't be had, the wave is
    left as it was.
    """
    stitches = min(max(stitches, -MAX_SLANT), MAX_SLANT)
    far = None if stitches else shape.far
    rhythm = replace(shape.rhythm, slant=stitches, swap_after=0)
    if not stitches:
        rhythm = replace(shape.rhythm, slant=0)
    return _if_workable(replace(shape, far=far, rhythm=rhythm), shape)


def with_sides_kept(shape: WaveShape, kept: bool) -> WaveShape:
    """Return the shape with its longer runs kept on the same side, or changing sides."""
    found = _with_rhythm(shape, keeps_sides=kept)
    assert isinstance(found, WaveShape)
    return found


def _with_rhythm(shape: Shape, **values: int) -> Shape:
    rhythm: Rhythm = replace(shape.rhythm, **values)  # type: ignore[arg-type]
    if isinstance(shape, HeightShape):
        return checked_heights(replace(shape, rhythm=rhythm))
    return _if_workable(replace(shape, rhythm=rhythm), shape)


def could_keep_sides(shape: Shape) -> bool:
    """Return whether it makes a difference if longer runs keep their side.

    It makes none if the wave is even, if all shaped rows are worked from the same side, or
    if something else of the shape settles it.
    """
    if isinstance(shape, HeightShape) or shape.rhythm.every % 2 == 0:
        return False
    rhythm = replace(shape.rhythm, keeps_sides=False)
    return shape.is_uneven and not is_turned(replace(shape, rhythm=rhythm))


# --- waves of heights ----------------------------------------------------------------------


def with_length(shape: HeightShape, stitches: int) -> HeightShape:
    """Return the shape with waves of another length, an even number of stitches."""
    if stitches % 2:  # a step up or down goes to the next even number
        stitches += 1 if stitches > shape.length else -1
    return checked_heights(replace(shape, length=stitches))


def with_heights(shape: HeightShape, low: WorkedStitch, high: WorkedStitch) -> HeightShape:
    """Return the shape between two other stitches; the tallest gives way if they cross."""
    at = min(WORKED.index(low), len(WORKED) - 2)
    top = max(WORKED.index(high), at + 1)
    rhythm = shape.rhythm
    if rhythm.plain == low:
        rhythm = replace(rhythm, plain=None)
    return checked_heights(replace(shape, low=WORKED[at], high=WORKED[top], rhythm=rhythm))


def with_ends(shape: HeightShape, near: TurnKind, far: TurnKind) -> HeightShape:
    """Return the shape with edges in the middle of other stitches, short (dip) or tall (peak)."""
    return replace(shape, near=near, far=far)


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
    low, high = WORKED.index(shape.low), WORKED.index(shape.high)
    if kind == "peak":
        high = min(max(high + changed, low + 1), len(WORKED) - 1)
    else:
        low = min(max(low - changed, 0), high - 1)
    return with_heights(shape, WORKED[low], WORKED[high])
