"""Tall-and-short waves: the wave is made of stitch heights, and nothing gains or loses.

A row goes up from short stitches to tall ones and down again; the opposite row, tall where
that one is short, fills it, and its top is level again. Published orders (sources beside
`tests/core/test_heights.py`): every height once and both ends twice in 8 stitches, every
height twice in 12; one row before the opposite one, or two.

Where the edges differ, a row that begins short ends tall. Turned, the same row begins short
over tall stitches: it is its own opposite.
"""

from collections.abc import Iterator
from typing import Final

from core.craft.stitches import CATALOGUE, RUNGS, WorkedStitch
from core.design.document import Items, Row, Turning, Wave, total_makes
from core.records import Struct, replace
from core.rows.rhythm import MAX_CYCLE, MAX_EVERY, MAX_SWAP, OPPOSITE_NEXT, Rhythm, shortest_cycle
from core.rows.shape import Part, TurnKind, run_of

MAX_LENGTH: Final = 60


class HeightShape(Struct, frozen=True, kw_only=True):
    """A wave of stitch heights.

    Attributes:
        low: The shortest stitch.
        high: The tallest stitch.
        length: Stitches of one wave, an even number.
        near: Whether the edge that row 1 starts at is in the middle of a dip (short) or a
            peak (tall).
        far: Likewise the other edge.
        rhythm: How rows follow one another; `swap_after` are the rows before the opposite
            one, 1 at least, and plain rows are worked in the shortest stitch if not said
            otherwise.
    """

    low: WorkedStitch
    high: WorkedStitch
    length: int
    near: TurnKind = "dip"
    far: TurnKind = "peak"
    rhythm: Rhythm = OPPOSITE_NEXT

    @property
    def multiple(self) -> int:
        """Stitches that one wave uses."""
        return self.length

    @property
    def ladder(self) -> tuple[WorkedStitch, ...]:
        """The stitches from the shortest to the tallest."""
        return RUNGS[RUNGS.index(self.low) : RUNGS.index(self.high) + 1]


def least_length(low: WorkedStitch, high: WorkedStitch) -> int:
    """Return the fewest stitches that a wave between two heights takes."""
    return 2 * (RUNGS.index(high) - RUNGS.index(low))


def checked_heights(shape: HeightShape) -> HeightShape:
    """Return the shape with a length that has room for all its heights."""
    least = least_length(shape.low, shape.high)
    length = min(max(shape.length - shape.length % 2, least), MAX_LENGTH)
    rhythm = replace(shape.rhythm, swap_after=max(shape.rhythm.swap_after, 1), slant=0)
    return replace(shape, length=length, rhythm=rhythm)


def turning_of_heights(shape: HeightShape) -> Turning:
    """Return the turning chain that goes with the stitch that row 1 begins with."""
    first = CATALOGUE[shape.low if shape.near == "dip" else shape.high]
    return Turning(first.turning_chains, first.chain_counts)


# --- from shape to rows --------------------------------------------------------------------


def wave_of_heights(shape: HeightShape) -> Wave:
    """Return the rows of a wave of heights."""
    rhythm = shape.rhythm
    count = rhythm.rows_until_again(shape.length, turned=True)
    if count > MAX_CYCLE:
        count, rhythm = 2, OPPOSITE_NEXT
    rows: list[Row] = []
    for number in range(count):
        if number % rhythm.every:
            rows.append(_plain_row(shape, rows[0]))
            continue
        near, far = shape.near, shape.far
        if rhythm.is_swapped(number):
            near, far = _opposite(near), _opposite(far)
        if number % 2:
            near, far = far, near
        rows.append(_row(shape, near, far))
    cycle = shortest_cycle(tuple(rows))
    first = cycle[0]
    return Wave(first.start, first.repeat, first.end, cycle=cycle if len(cycle) > 1 else None)


def _opposite(kind: TurnKind) -> TurnKind:
    return "peak" if kind == "dip" else "dip"


def _row(shape: HeightShape, start: TurnKind, end: TurnKind) -> Row:
    """Return the row that begins and ends in the middle of a dip or a peak."""
    ladder = shape.ladder if start == "dip" else shape.ladder[::-1]
    slope, level = _slope_and_level(shape)
    half = (level + 1) // 2
    away = _runs(ladder[1:-1], slope)
    back = away[::-1]
    near, there = ladder[0], ladder[-1]
    repeat = (*away, *run_of(there, level), *back, *run_of(near, level))
    last = (*away, *run_of(there, half))
    if start == end:
        last = (*away, *run_of(there, level), *back, *run_of(near, half))
    return Row(run_of(near, half), repeat, last)


def _slope_and_level(shape: HeightShape) -> tuple[int, int]:
    """Return the stitches of each height between, and those of the shortest and the tallest."""
    steps = len(shape.ladder) - 1
    slope = shape.length // (2 * steps)
    return slope, (shape.length - 2 * (steps - 1) * slope) // 2


def _runs(stitches: tuple[WorkedStitch, ...], times: int) -> Items:
    return tuple(item for stitch in stitches for item in run_of(stitch, times))


def _plain_row(shape: HeightShape, below: Row) -> Row:
    stitch = shape.rhythm.plain or shape.low
    edges = total_makes(below.start) + total_makes(below.end)
    return Row((), run_of(stitch, total_makes(below.repeat)), run_of(stitch, edges))


# --- from rows to shape --------------------------------------------------------------------


def heights_of_wave(wave: Wave) -> HeightShape | None:
    """Return the shape of a wave of heights, or None where it isn't exactly one."""
    rows = wave.rows_in_turn
    first = rows[0]
    stitches = {item.stitch for item in first.repeat if item.stitch}
    if wave.setup is not None or first != wave.row or len(stitches) < 2:
        return None
    if not all(item.is_plain for row in rows for item in (*row.start, *row.repeat, *row.end)):
        return None
    order = [stitch for stitch in RUNGS if stitch in stitches]
    length = total_makes(first.repeat)
    if length > MAX_LENGTH or len(order) < len(stitches):  # one of them is no rung
        return None
    kinds: tuple[TurnKind, TurnKind] = ("dip", "peak")
    for near in kinds:
        for far in kinds:
            shape = HeightShape(low=order[0], high=order[-1], length=length, near=near, far=far)
            for rhythm in _rhythms(rows, shape):
                candidate = replace(shape, rhythm=rhythm)
                if candidate == checked_heights(candidate) and wave_of_heights(candidate) == wave:
                    return candidate
    return None


def _rhythms(rows: tuple[Row, ...], shape: HeightShape) -> Iterator[Rhythm]:
    every = 1
    while every < len(rows) and len({item.stitch for item in rows[every].repeat}) == 1:
        every += 1
    if every > MAX_EVERY:
        return
    own = {item.stitch for row in rows[1:every] for item in row.repeat}
    plain = own.pop() if len(own) == 1 else shape.low
    for swap in (1, len(rows) // 2, len(rows)):
        if 0 < swap <= MAX_SWAP:
            kept = None if plain == shape.low else plain
            yield Rhythm(every=every, swap_after=swap, plain=kept)


def parts_of_heights(shape: HeightShape, repeat: Items) -> tuple[Part, ...]:
    """Return the parts of a repeat's items: its tallest, its shortest and the slopes between."""
    parts: list[Part] = []
    slopes = 0
    for number, item in enumerate(repeat):
        if item.stitch in (shape.low, shape.high):
            kind: TurnKind = "dip" if item.stitch == shape.low else "peak"
            parts.append(Part(kind, int(kind == "dip"), number, 1))
        elif parts and parts[-1].kind == "run":
            parts[-1] = replace(parts[-1], count=parts[-1].count + 1)
        else:
            parts.append(Part("run", slopes, number, 1))
            slopes += 1
    return tuple(parts)
