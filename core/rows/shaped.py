"""From the shape of a wave to its rows: the one that repeats, or those worked in turn."""

from functools import lru_cache

from core.design.document import Item, Row, Wave, total_makes, total_uses
from core.records import replace
from core.rows.cuts import Place, middle_of, row_cut_at
from core.rows.edges import (
    can_have_half_turns,
    gain_of,
    row_with_half_turns,
)
from core.rows.rhythm import EVERY_ROW, MAX_CYCLE, shortest_cycle
from core.rows.shape import WaveShape, run_of


def wave_of_runs(shape: WaveShape) -> Wave:
    """Return the rows of a shape, with edges that fit; see `core.rows.waves.wave_of`.

    Where the rhythm asks for more than the edges can do, or for more rows than a design may
    list, the wave's row repeats as it is.
    """
    rows = shortest_cycle(_rows_in_turn(shape))
    first = rows[0]
    return Wave(first.start, first.repeat, first.end, cycle=rows if len(rows) > 1 else None)


def can_swap(shape: WaveShape) -> bool:
    """Return whether peaks and dips can change places and keep the edges workable."""
    return _swapped_row(shape, backwards=False) is not None


def can_slant(shape: WaveShape, slant: int) -> bool:
    """Return whether the wave can move along by so many stitches a row between its edges."""
    if not slant:
        return True
    if shape.edge == "own" or shape.far is not None:
        return False
    rhythm = replace(shape.rhythm, slant=slant, swap_after=0)
    rows = rhythm.rows_until_again(shape.multiple, turned=True)
    return rows <= MAX_CYCLE and _can_be_moved(replace(shape, rhythm=EVERY_ROW))


@lru_cache(maxsize=64)
def _can_be_moved(shape: WaveShape) -> bool:
    """Return whether the edges can cut the wave anywhere."""
    return all(
        _row_moved(shape, stitches, backwards=False) is not None
        for stitches in range(shape.multiple)
    )


def _rows_in_turn(shape: WaveShape) -> tuple[Row, ...]:
    rhythm = shape.rhythm
    turned = is_turned(shape)
    count = rhythm.rows_until_again(shape.multiple, turned=turned)
    if count > MAX_CYCLE:
        return (_row(shape, backwards=False),)
    rows: list[Row] = []
    for number in range(count):
        if number % rhythm.every:
            rows.append(_plain_row(shape, rows[0]))
            continue
        row = _shaped_row(shape, number, backwards=turned and number % 2 == 1)
        if row is None:
            return (_row(shape, backwards=False),)
        rows.append(row)
    return tuple(rows)


def is_turned(shape: WaveShape) -> bool:
    """Return whether rows worked from the other side are worked in reverse."""
    rhythm = shape.rhythm
    moves = rhythm.keeps_sides or rhythm.swap_after or rhythm.slant
    return bool(moves or shape.far is not None)


def _row(shape: WaveShape, *, backwards: bool) -> Row:
    """Return the row of runs and turns between its edges."""
    if shape.edge != "own":
        return row_with_half_turns(shape, backwards=backwards)
    row = Row(shape.start, _repeat(shape), shape.end)
    return _reversed(row) if backwards else row


def _reversed(row: Row) -> Row:
    return Row(row.end[::-1], row.repeat[::-1], row.start[::-1])


def _repeat(shape: WaveShape) -> tuple[Item, ...]:
    items = tuple(
        item
        for run, turn in zip(shape.runs, shape.turns, strict=True)
        for item in (*run_of(shape.stitch, run), *turn.items)
    )
    if shape.leads_with_run or not shape.runs[0]:
        return items
    return items[1:] + items[:1]


def _plain_row(shape: WaveShape, below: Row) -> Row:
    """Return a row with one stitch in each of the row below."""
    stitch = shape.rhythm.plain or shape.stitch
    edges = total_makes(below.start) + total_makes(below.end)
    return Row((), run_of(stitch, total_makes(below.repeat)), run_of(stitch, edges))


def _shaped_row(shape: WaveShape, number: int, *, backwards: bool) -> Row | None:
    rhythm = shape.rhythm
    if rhythm.slant and shape.edge != "own":
        return _row_moved(shape, rhythm.shift(number), backwards=backwards)
    if rhythm.is_swapped(number):
        return _swapped_row(shape, backwards=backwards)
    return _row(shape, backwards=backwards)


# --- rows that differ from the first -------------------------------------------------------


def _extra(shape: WaveShape) -> int:
    """Return the stitches of a row between its straight edges beyond whole repeats."""
    row = _row(shape, backwards=False)
    edges = total_uses(row.start) + total_uses(row.end)
    return edges - shape.multiple - 2 * shape.margin


def _cut_row(shape: WaveShape, stitch: int, extra: int, *, backwards: bool) -> Row | None:
    """Return the row whose edges cut the wave at a stitch of the repeat."""
    if extra not in (0, 1):
        return None
    gain = gain_of(_row(shape, backwards=backwards).start)
    if backwards:  # that was the far edge's half; the near one has the rest of the turn
        gain = shape.turns[-1].gain - gain
    row = row_cut_at(shape, Place(stitch % shape.multiple, extra == 1, gain))
    return _reversed(row) if row is not None and backwards else row


def _row_moved(shape: WaveShape, stitches: int, *, backwards: bool) -> Row | None:
    """Return the row with its wave moved along by so many stitches, its edges where they were."""
    if stitches % shape.multiple == 0:
        return _row(shape, backwards=backwards)
    middle = middle_of(shape, len(shape.turns) - 1)
    return _cut_row(shape, middle - stitches, _extra(shape), backwards=backwards)


def _swapped_row(shape: WaveShape, *, backwards: bool) -> Row | None:
    """Return the row with peaks where its dips were, as many stitches wide."""
    if shape.edge == "own":
        return None
    if shape.far is not None:  # the two sides change places
        return _row(shape, backwards=not backwards)
    other = turned_to(shape, "dip" if shape.turns[-1].kind == "peak" else "peak")
    if other is None:
        return None
    if not can_have_half_turns(other):
        return None
    extra = _extra(shape)
    if _extra(other) == extra:
        return _row(other, backwards=backwards)
    return _cut_row(other, middle_of(other, len(other.turns) - 1), extra, backwards=backwards)


def turned_to(shape: WaveShape, kind: str) -> WaveShape | None:
    """Return the shape that begins after the next turn of a kind, or None if there is none."""
    for step in range(1, len(shape.turns) + 1):
        turns = shape.turns[step:] + shape.turns[:step]
        if turns[-1].kind == kind:
            return replace(shape, turns=turns, runs=shape.runs[step:] + shape.runs[:step])
    return None
