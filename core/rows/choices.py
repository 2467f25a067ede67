"""Choices about a wave: its family, its edges, how rows follow one another, its heights.

Like the pulls, they give back the shape as it was, or as near as it can come, if what is
asked for can't be had.
"""

from typing import Final

from core.craft.stitches import RUNGS, WorkedStitch
from core.records import replace
from core.rows.edges import can_halve
from core.rows.families import Family, family_shape
from core.rows.heights import HeightShape, checked_heights
from core.rows.rhythm import MAX_CYCLE, MAX_EVERY, MAX_SETTLED, MAX_SLANT, MAX_SWAP, Rhythm
from core.rows.shape import MAX_MARGIN, TurnKind, WaveShape
from core.rows.shaped import can_slant, can_swap, is_turned
from core.rows.workable import can_be_worked, if_workable, is_steep

Shape = WaveShape | HeightShape

_OFFERED_SLANT: Final = 2


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
    return if_workable(new, shape)


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
    for slant in range(-_OFFERED_SLANT, _OFFERED_SLANT + 1):
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
    return if_workable(replace(shape, far=far, rhythm=rhythm), shape)


def with_sides_kept(shape: WaveShape, kept: bool) -> WaveShape:
    """Return the shape with its longer runs kept on the same side, or changing sides."""
    found = _with_rhythm(shape, keeps_sides=kept)
    assert isinstance(found, WaveShape)
    return found


def _with_rhythm(shape: Shape, **values: int) -> Shape:
    rhythm: Rhythm = replace(shape.rhythm, **values)
    if isinstance(shape, HeightShape):
        return checked_heights(replace(shape, rhythm=rhythm))
    return if_workable(replace(shape, rhythm=rhythm), shape)


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
    at = min(RUNGS.index(low), len(RUNGS) - 2)
    top = max(RUNGS.index(high), at + 1)
    rhythm = shape.rhythm
    if rhythm.plain == low:
        rhythm = replace(rhythm, plain=None)
    return checked_heights(replace(shape, low=RUNGS[at], high=RUNGS[top], rhythm=rhythm))


def with_ends(shape: HeightShape, near: TurnKind, far: TurnKind) -> HeightShape:
    """Return the shape with edges in the middle of other stitches, short (dip) or tall (peak)."""
    return replace(shape, near=near, far=far)
