"""Which shapes can be worked: edges and rhythm that go together."""

from typing import Final

from core.rows.edges import can_have_half_turns
from core.rows.rhythm import MAX_CYCLE
from core.rows.shape import WaveShape
from core.rows.shaped import can_slant, can_swap, is_turned

_STEEP: Final = 2  # stitches gained at a peak, on average over the rows


def can_be_worked(shape: WaveShape, *, even_steep: bool = False) -> bool:
    """Return whether edges and rhythm of a shape can be had together."""
    if shape.edge != "own" and not can_have_half_turns(shape):
        return False
    rhythm = shape.rhythm
    if rhythm.rows_until_again(shape.multiple, turned=is_turned(shape)) > MAX_CYCLE:
        return False
    if not rhythm.slant and not rhythm.swap_after:
        return True
    if is_steep(shape) and not even_steep:
        return False
    return can_slant(shape, rhythm.slant) if rhythm.slant else can_swap(shape)


def is_steep(shape: WaveShape) -> bool:
    """Return whether the wave gains too much a row to turn over or to move along.

    Steep flanks would have to fold where a peak comes over a dip. Skips with stitches
    between spread the loss, so that wide fans are not steep.
    """
    if any(turn.is_spaced for turn in shape.turns):
        return False
    return max(abs(turn.gain) for turn in shape.turns) > _STEEP * shape.rhythm.every


def if_workable(new: WaveShape, old: WaveShape) -> WaveShape:
    """Return the new shape, or the old one if the new can't be worked.

    A steep wave from a file that swaps or slants all the same can be changed further.
    """
    was_allowed = is_steep(old) and bool(old.rhythm.swap_after or old.rhythm.slant)
    return new if can_be_worked(new, even_steep=was_allowed) else old
