"""From rows to the shape of a wave: which runs, turns, edges and rhythm make exactly these.

The first row tells runs, turns and edges. What can follow it is tried: a rhythm is read only
if it gives every row of the cycle, stitch by stitch, so a wave that is read can be written
back unchanged.
"""

from collections.abc import Iterator
from itertools import product

from core.design.document import Items, Row, Wave
from core.records import replace
from core.rows.edges import can_have_half_turns, row_with_half_turns
from core.rows.rhythm import MAX_EVERY, MAX_SLANT, MAX_SWAP, Rhythm
from core.rows.shape import MAX_MARGIN, EdgeKind, Turn, WaveShape, runs_and_turns
from core.rows.shaped import is_turned, wave_of_runs


def runs_of_wave(wave: Wave) -> WaveShape | None:
    """Return the shape of a wave in runs and turns, or None where it has none."""
    first = wave.rows_in_turn[0]
    if wave.setup is not None or first != wave.row:
        return None
    shape = _of_repeat(first.repeat)
    if shape is None:
        return None
    for candidate in _with_edges(shape, first):
        for rhythm in _rhythms(wave, candidate):
            again = replace(candidate, rhythm=rhythm)
            count = rhythm.rows_until_again(again.multiple, turned=is_turned(again))
            if count % len(wave.rows_in_turn) == 0 and wave_of_runs(again) == wave:
                return again
    return None


def _of_repeat(repeat: Items) -> WaveShape | None:
    """Return a shape that makes this repeat, edges still to be found."""
    pieces = runs_and_turns(repeat)
    turns = tuple(Turn(items) for items, run in pieces if not run)
    stitches = {item.stitch for item in repeat if item.stitch}
    if not turns or len(stitches) != 1 or any(not turn.gain for turn in turns):
        return None
    leads = bool(pieces[0][1]) or not pieces[-1][1]
    runs = _runs_before_turns(pieces)
    return WaveShape(
        stitch=stitches.pop(),
        runs=runs if leads else (runs[-1], *runs[:-1]),
        turns=turns,
        edge="half",
        leads_with_run=leads,
    )


def _runs_before_turns(pieces: list[tuple[Items, int]]) -> tuple[int, ...]:
    """Return the run before each turn; what follows the last turn is put at the end."""
    runs: list[int] = []
    waiting = 0
    for items, run in pieces:
        if items:
            runs.append(waiting)
            waiting = 0
        else:
            waiting = run
    if pieces[0][0] and waiting:  # begins with a turn, ends with the run before it
        return (*runs[1:], waiting)
    return tuple(runs)


def _with_edges(shape: WaveShape, row: Row) -> Iterator[WaveShape]:
    """Yield the shapes whose first row may be this one."""
    for far, leads, margin in product(
        (None, *range(len(shape.turns) - 1)),
        {shape.leads_with_run: None, False: None},
        range(_plain_at_both_ends(row) + 1),
    ):
        edge: EdgeKind = "straight" if margin else "half"
        candidate = replace(shape, edge=edge, margin=margin, far=far, leads_with_run=leads)
        if can_have_half_turns(candidate) and row_with_half_turns(candidate) == row:
            yield candidate
    shape = replace(shape, edge="own", start=row.start, end=row.end)
    if wave_of_runs(_alone(shape)).row == row:
        yield shape


def _plain_at_both_ends(row: Row) -> int:
    """Return how many plain stitches stand at the start and at the end, as far as read."""
    first, last = row.start[:1], row.end[-1:]
    if not (first and last and first[0].is_plain and last[0].is_plain):
        return 0
    return min(first[0].times, last[0].times, MAX_MARGIN)


def _alone(shape: WaveShape) -> WaveShape:
    return replace(shape, rhythm=Rhythm())


def _rhythms(wave: Wave, shape: WaveShape) -> Iterator[Rhythm]:
    """Yield the rhythms that may make so many rows, the likeliest first."""
    rows = wave.rows_in_turn
    every = 1
    while every < len(rows) and _is_plain(rows[every]):
        every += 1
    if every > MAX_EVERY:
        return
    own = {item.stitch for row in rows[1:every] for item in (*row.repeat, *row.end)}
    plain = own.pop() if len(own) == 1 else shape.stitch
    base = Rhythm(every=every, plain=None if plain == shape.stitch else plain)
    yield base
    yield replace(base, keeps_sides=True)
    for swap in (len(rows) // 2, len(rows)):
        if 0 < swap <= MAX_SWAP:
            yield replace(base, swap_after=swap)
    for slant in range(1, MAX_SLANT + 1):
        yield replace(base, slant=slant)
        yield replace(base, slant=-slant)


def _is_plain(row: Row) -> bool:
    return all(item.is_plain for item in (*row.start, *row.repeat, *row.end))
