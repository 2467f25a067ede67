"""Rows worked with a mistake in them, as a design: what the maker makes of what they have.

Rows are turned, so what is gained at one edge is met by the next row at its other end. The run
beside takes it up and peaks stay over peaks, until there is nothing left to take.
"""

from collections.abc import Callable
from typing import Final, Literal

from core.design.document import (
    Design,
    Item,
    Row,
    Size,
    Wave,
    total_makes,
    total_uses,
)
from core.design.edits import set_values
from core.doctor.slips import spread_peak
from core.doctor.stretch import Spent, Units, edge_run, plain_of, run_around
from core.records import Struct, field, replace
from core.rows.shape import joined, units_of

MAX_ITEMS: Final = 200
SHOWN_REPEATS: Final = 3

EdgeSlip = Callable[[Units], Units]
Finder = Callable[[Units], int | None]
RepeatSlip = Callable[[Units, int], Units]


class Slip(Struct, frozen=True, kw_only=True):
    """What a mistake does to a row.

    Attributes:
        start: To the start edge.
        end: To the end edge.
        find: Which unit of the repeat it happens at.
        repeat: To that unit, in every repeat.
        peaks: Whether peaks are worked one stitch late, or with their increases set apart.
        first: First row that can have it.
        right_side_only: Whether only right-side rows have it.
    """

    start: EdgeSlip | None = None
    end: EdgeSlip | None = None
    find: Finder | None = None
    repeat: RepeatSlip | None = None
    peaks: Literal["late", "spread"] | None = None
    first: int = 1
    right_side_only: bool = False

    def happens_in(self, row: int) -> bool:
        """Return whether row number `row` has it."""
        return row >= self.first and (row % 2 == 1 or not self.right_side_only)


class _State(Struct, frozen=True):
    """What has been gained so far: at the side that row 1 starts at, at the other, in a repeat."""

    near: int = 0
    far: int = 0
    repeat: int = 0
    late: int = 0


class _Total(Struct):
    """A whole row of three repeats as units, each with the part it belongs to."""

    units: Units = field(default_factory=list)
    parts: list[int] = field(default_factory=list)


def row_of(design: Design, number: int) -> Row:
    """Return row number `number` as it is designed."""
    wave = design.wave
    if wave.setup is not None and number == 1:
        return wave.setup
    turn = wave.rows_in_turn
    return turn[(number - 1 - (wave.setup is not None)) % len(turn)]


def worked_wrong(design: Design, slip: Slip, n_rows: int) -> Design:
    """Return the first rows of a design worked with a slip, three repeats of them.

    Raises:
        Spent: So many rows can't be gone on with, or the slip can't happen at all.
    """
    rows, state = [], _State()
    for number in range(1, n_rows + 1):
        row, state = _worked(row_of(design, number), slip, number, state)
        rows.append(row)
    return _as_design(design, rows, wide=slip.repeat is None)


def worked_right(design: Design, n_rows: int, *, wide: bool) -> Design:
    """Return the same rows without a slip, their edges `wide` if the slip's are."""
    return worked_wrong(design, Slip(repeat=None if wide else lambda units, at: units), n_rows)


def gain_of_row(design: Design, slip: Slip, number: int) -> int:
    """Return how many stitches more the slip leaves in one row, if nothing went wrong before.

    Raises:
        Spent: The slip can't happen in that row.
    """
    _, after = _worked(row_of(design, number), slip, number, _State())
    return after.near + after.far + design.size.repeats * after.repeat


def _worked(right: Row, slip: Slip, number: int, state: _State) -> tuple[Row, _State]:
    odd, happens = number % 2 == 1, slip.happens_in(number)
    at_start, at_end = (state.near, state.far) if odd else (state.far, state.near)
    if slip.repeat is not None:
        row, gained = _with_repeat(right, slip, state.repeat, happens=happens)
        return row, replace(state, repeat=state.repeat + gained)
    if slip.peaks is not None:
        late = state.late + happens
        total = _total(right)
        if slip.peaks == "late":
            _make_late(total, late if odd else -late)
        elif happens:
            _spread(total, after_first=odd)
        return _row_of_total(total), replace(state, late=late)
    start = units_of((*right.start, *right.repeat))
    end = units_of((*right.repeat, *right.end))[::-1]
    start = edge_run(start, at_start, keep=_kept(start))
    end = edge_run(end, at_end, keep=_kept(end))
    before = _gain(start), _gain(end)
    if happens and slip.start is not None:
        start = slip.start(start)
    if happens and slip.end is not None:
        end = slip.end(end)
    more = _gain(start) - before[0], _gain(end) - before[1]
    near, far = more if odd else more[::-1]
    row = Row(joined(start), right.repeat, joined(end[::-1]))
    return row, replace(state, near=state.near + near, far=state.far + far)


def _with_repeat(right: Row, slip: Slip, grown: int, *, happens: bool) -> tuple[Row, int]:
    """Return the row with its repeat as grown as the one below, and what it gains in its turn."""
    units, at = units_of(right.repeat), None
    if slip.find is not None:
        at = slip.find(units)
        units = run_around(units, -1 if at is None else at, grown)
        at = slip.find(units)
    gained = 0
    if happens and at is not None and slip.repeat is not None:
        before = _gain(units)
        units = slip.repeat(units, at)
        gained = _gain(units) - before
    if not any(unit.makes for unit in units):
        raise Spent
    return Row(right.start, joined(units), right.end), gained


def _kept(units: Units) -> int:
    """Return how many units stand at the very edge: the turn it cuts, or one plain stitch."""
    return max(next((n for n, unit in enumerate(units) if unit.is_plain), len(units)), 1)


def _gain(units: Units) -> int:
    return total_makes(tuple(units)) - total_uses(tuple(units))


# --- peaks between the edges ---------------------------------------------------------------


def _total(row: Row) -> _Total:
    total = _Total()
    parts = ((*row.start, *row.repeat), row.repeat, (*row.repeat, *row.end))
    for number, items in enumerate(parts):
        units = units_of(items)
        total.units += units
        total.parts += [number] * len(units)
    return total


def _row_of_total(total: _Total) -> Row:
    parts = [
        joined([unit for unit, part in zip(total.units, total.parts, strict=True) if part == n])
        for n in range(3)
    ]
    return Row(*parts)


def _peaks(total: _Total) -> list[tuple[int, int]]:
    """Return first and end of every peak between the edges, the last one first."""
    found, units, first = [], total.units, 0
    while first < len(units):
        end = first
        while end < len(units) and not units[end].is_plain:
            end += 1
        if 0 < first < end < len(units) and _gain(units[first:end]) > 0:
            found.append((first, end))
        first = max(end, first + 1)
    return found[::-1]


def _make_late(total: _Total, late: int) -> None:
    """Set every peak so many stitches later along the row; a negative number sets it earlier."""
    peaks = _peaks(total)
    if late and not peaks:
        raise Spent
    one = Item(stitch=plain_of(total.units))
    for first, end in peaks:
        for _ in range(abs(late)):
            if late > 0:
                _take(total, end)
                _put(total, first, one)
                first, end = first + 1, end + 1
            else:
                _take(total, first - 1)
                first, end = first - 1, end - 1
                _put(total, end, one)


def _spread(total: _Total, *, after_first: bool) -> None:
    """Set the increases of every peak apart; the runs beside give the stitches for it."""
    peaks = _peaks(total)
    if not peaks:
        raise Spent
    for first, end in peaks:
        old = total.units[first:end]
        new = spread_peak(tuple(old), plain_of(total.units))
        part = total.parts[first]
        needed = total_uses(tuple(new)) - total_uses(tuple(old))
        for number in range(needed):
            if (number % 2 == 0) == after_first:
                _take(total, end)
            else:
                _take(total, first - 1)
                first, end = first - 1, end - 1
        total.units[first:end] = new
        total.parts[first:end] = [part] * len(new)


def _take(total: _Total, at: int) -> None:
    if not (0 < at < len(total.units) - 1 and total.units[at].is_plain):
        raise Spent
    del total.units[at]
    del total.parts[at]


def _put(total: _Total, at: int, unit: Item) -> None:
    part = total.parts[max(at - 1, 0)]
    total.units.insert(at, unit)
    total.parts.insert(at, part)


# --- as a design ---------------------------------------------------------------------------


def _as_design(design: Design, rows: list[Row], *, wide: bool) -> Design:
    if max(len(part) for row in rows for part in (row.start, row.repeat, row.end)) > MAX_ITEMS:
        raise Spent
    first = rows[0]
    wave = Wave(first.start, first.repeat, first.end, None, tuple(rows))
    size = Size(SHOWN_REPEATS - 2 if wide else SHOWN_REPEATS, len(rows))
    return set_values(design, wave=wave, size=size)


__all__ = [
    "SHOWN_REPEATS",
    "Slip",
    "Spent",
    "gain_of_row",
    "row_of",
    "worked_right",
    "worked_wrong",
]
