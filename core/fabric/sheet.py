"""The whole blanket, from narrow strips that are settled once and laid side by side.

Far from its edges a blanket is the steady state. So four small pieces stand for any size:

1. one steady repeat (`core.fabric.steady`);
2. a column one repeat wide, periodic across, with the real first and last rows;
3. the left edge and 4. the right edge of a short blanket, a repeat or two wide, tied to the
   column on their inner side.

Rows and repeats between them are copies. Small blankets are settled whole. What the strips
miss against the whole sheet is measured in `tests/core/test_sheet.py`.
"""

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from core.design.document import Design, Wave, total_makes, total_uses
from core.design.edits import set_wave
from core.fabric.energy import Frame, energy
from core.fabric.net import Level, SpringBook, build_net
from core.fabric.relax import ShouldStop, never, relax_rows
from core.fabric.springs import Flags, Floats, Proportions, proportions_of
from core.fabric.steady import Steady, lead_and_cycle, period_of, steady_of, window
from core.rows.build import Rows, build_rows
from core.rows.plan import Indices

_WIDE_REPEAT: Final = 24  # stitches from which one repeat beside an edge is margin enough
_MOST_EFFORT: Final = 4e9  # of one Newton step of an edge, about a second; beyond, no edges
_FEW_ROWS: Final = 8
_SETTLING: Final = 1.25  # repeat widths of height in which first and last rows settle


@dataclass(frozen=True, slots=True, eq=False)
class Fabric:
    """Where every stitch top lies, the foundation chain being row 0.

    Attributes:
        tops_mm: Shape (n_tops, 2), row after row, each from the left; x right, y up, as seen
            from the right side; the foundation's left end has x = 0, its mean y is 0.
        starts: Number of each row's first top, shape (rows + 2,).
        size: The rest lengths it was made with.
        steady: The steady state of the rows that repeat, if there is one.
        settled: False for a first sketch whose edges still follow the steady state.
    """

    tops_mm: Floats
    starts: Indices
    size: Proportions
    steady: Steady | None
    settled: bool

    @property
    def n_rows(self) -> int:
        """Rows above the foundation chain."""
        return len(self.starts) - 2

    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Return left, bottom, right and top of the tops."""
        x, y = self.tops_mm[:, 0], self.tops_mm[:, 1]
        return float(x.min()), float(y.min()), float(x.max()), float(y.max())

    def row_tops_mm(self, row: int) -> Floats:
        """Return one row's tops from left to right, shape (stitches, 2)."""
        return self.tops_mm[self.starts[row] : self.starts[row + 1]]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Case:
    """What all pieces of one design have in common."""

    design: Design
    size: Proportions
    steady: Steady | None
    lead: int
    period: int
    is_stand_in: bool = False

    def rows(self, repeats: int, n_rows: int) -> Rows:
        return build_rows(self.design, repeats=repeats, rows=n_rows)


def sketch_fabric(design: Design, rows: Rows) -> Fabric:
    """Return the blanket laid out as its steady state, edges included: quick, nearly right."""
    case = _case(design, never)
    return _finished(_lattice(case, rows, design.size.repeats), rows, case, settled=False)


def settle_fabric(design: Design, rows: Rows, *, should_stop: ShouldStop = never) -> Fabric:
    """Return the blanket at rest.

    Args:
        design: The design that `rows` were built from.
        rows: Its rows; those after a misfit are left out.
        should_stop: Asked before every Newton step.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    case = _case(design, should_stop)
    repeats, n_rows = design.size.repeats, rows.drawn_rows
    if case.steady is None or case.is_stand_in or rows.misfit is not None:
        # Rows that don't fit or don't repeat in a few rows have nothing to be built from.
        return _finished(_lattice(case, rows, repeats), rows, case, settled=True)
    few_rows, head = _reduced_rows(case, n_rows)
    few_repeats = _reduced_repeats(case, repeats)
    short = case.rows(few_repeats, few_rows)
    start = _column_start(case, short, few_repeats, should_stop)
    if few_repeats == repeats:
        tops = _settled_lowest(case, short, repeats, start, should_stop)
    else:
        tops = start
        if _effort(case, short, few_repeats) <= _MOST_EFFORT:
            tops = _settled_edges(case, short, few_repeats, start, should_stop)
        tops = _with_more_repeats(case, short, few_repeats, tops, repeats)
    narrow = case.rows(repeats, few_rows)
    tops = _with_more_rows(case, narrow, head, tops, n_rows)
    return _finished(tops, rows, case, settled=True)


def settle_exactly(design: Design, rows: Rows, *, should_stop: ShouldStop = never) -> Fabric:
    """Return the blanket at rest with every stitch free at once; slow, for comparison."""
    case = _case(design, should_stop)
    start = _lattice(case, rows, design.size.repeats)
    return _finished(_settled_whole(case, rows, start, should_stop), rows, case, settled=True)


def _case(design: Design, should_stop: ShouldStop) -> _Case:
    size = proportions_of(design.gauge)
    lead, cycle = lead_and_cycle(design)
    steady = steady_of(design, should_stop=should_stop)
    if steady is None and cycle > 1:
        return _stand_in(design, size, should_stop)
    return _Case(design=design, size=size, steady=steady, lead=lead, period=period_of(cycle))


def _stand_in(design: Design, size: Proportions, should_stop: ShouldStop) -> _Case:
    """Return the case of a long cycle laid out as its first row alone: a sketch, no more."""
    rows = design.wave.rows_in_turn
    alike = {(total_makes(row.repeat), total_uses(row.repeat)) for row in rows}
    first = rows[0]
    single = set_wave(design, Wave(first.start, first.repeat, first.end))
    steady = None
    if len(alike) == 1 and design.wave.setup is None:
        steady = steady_of(single, should_stop=should_stop)
    return _Case(
        design=design, size=size, steady=steady, lead=0, period=period_of(1), is_stand_in=True
    )


# --- how much has to be settled ----------------------------------------------------------


def _reduced_rows(case: _Case, n_rows: int) -> tuple[int, int]:
    """Return how many rows stand for `n_rows`, and after which of them copies come in."""
    assert case.steady is not None
    frame, period = case.steady.frame, case.period
    rise_mm = max(frame.period_mm[1] / period, 0.2 * case.size.width_mm)
    settling = max(8, math.ceil(_SETTLING * frame.repeat_mm / rise_mm))
    settling = period * math.ceil(settling / period)
    head = case.lead + settling + period
    least = head + settling
    if n_rows <= least + period:
        return n_rows, n_rows
    return least + (n_rows - least) % period, head


def _reduced_repeats(case: _Case, repeats: int) -> int:
    assert case.steady is not None
    margin = 1 if case.steady.levels[0].width > _WIDE_REPEAT else 2
    return min(repeats, 2 * margin + 1)


def _effort(case: _Case, short: Rows, repeats: int) -> float:
    """Return the multiplications that one step of settling the larger edge takes."""
    most = max(
        max(level.left, short.makes(level.row) - level.left - level.width)
        for level in _levels(case, short, repeats)
    )
    return short.drawn_rows * (2.0 * most) ** 3


# --- where to start ----------------------------------------------------------------------


def _levels(case: _Case, rows: Rows, repeats: int) -> list[Level]:
    """Return the windows of all rows: the middle repeat, counted from the left edge.

    Below the rows that repeat, windows are aligned stitch by stitch with the last row of a
    period, which they stand in for.
    """
    levels: list[Level] = []
    offset = 0
    for row in range(rows.drawn_rows + 1):
        like = max(row, case.lead) if row > case.lead else case.lead + case.period
        if row <= case.lead and rows.makes(row) != _makes(rows, case, like):
            left, width = window(rows, row, repeats)
        else:
            left, width = _window(rows, case, like, repeats)
        levels.append(Level(row, offset, left, width))
        offset += width
    return levels


def _makes(rows: Rows, case: _Case, row: int) -> int:
    return rows.plans[_which(rows, case, row)].makes


def _which(rows: Rows, case: _Case, row: int) -> int:
    """Return the plan of a row that the blanket may be too short to have."""
    if row <= len(rows.which):
        return int(rows.which[row - 1])
    in_turn = case.design.wave.rows_in_turn
    wanted = in_turn[(row - case.lead - 1) % len(in_turn)]
    return next(n for n, plan in enumerate(rows.plans) if plan.row == wanted)


def _window(rows: Rows, case: _Case, row: int, repeats: int) -> tuple[int, int]:
    if row <= rows.drawn_rows:
        return window(rows, row, repeats)
    tall = case.rows(repeats, row)
    return window(tall, row, repeats)


def _lattice(case: _Case, rows: Rows, repeats: int) -> Floats:
    """Return every top where the steady state would have it."""
    if case.steady is None:
        return _flat(rows, case.size)
    steady = case.steady
    levels = _levels(case, rows, repeats)
    tops = []
    for level in levels:
        stitches = np.arange(rows.makes(level.row))
        tops.append(steady.row_tops_mm(level.row, stitches, level))
    return np.concatenate(tops)


def _flat(rows: Rows, size: Proportions) -> Floats:
    """Return straight rows, each spread evenly over what it is worked into.

    Only for rows too few to fold over: those of a design that doesn't fit.
    """
    x, y = np.arange(rows.makes(0)) * size.width_mm, 0.0
    tops = [np.stack([x, np.zeros(len(x))], axis=1)]
    for row in range(1, rows.drawn_rows + 1):
        plan, links = rows.plan(row), rows.fabric_links(row)
        y += float(np.asarray(size.heights_mm)[plan.kind.astype(np.intp)].mean())
        left, right = x[links[:, 1]].min(), x[links[:, 1]].max()
        x = np.linspace(left, right, plan.makes) if plan.makes > 1 else np.array([left])
        tops.append(np.stack([x, np.full(len(x), y)], axis=1))
    return np.concatenate(tops)


def _column_start(case: _Case, short: Rows, repeats: int, should_stop: ShouldStop) -> Floats:
    """Return a short blanket's tops as copies of a settled column one repeat wide."""
    assert case.steady is not None
    levels = _levels(case, short, repeats)
    net = build_net(SpringBook(short, case.size), levels, None, periodic=True)
    start = np.concatenate(
        [
            case.steady.row_tops_mm(level.row, level.left + np.arange(level.width), level)
            for level in levels
        ]
    )
    frame = Frame(repeat_mm=case.steady.frame.repeat_mm)
    row_of = np.repeat(np.arange(len(levels)), [level.width for level in levels])
    free = np.ones(net.n_nodes, dtype=bool)
    free[0] = False
    column = relax_rows(net, start, frame, row_of=row_of, free=free, should_stop=should_stop)
    tops = []
    for level in levels:
        node, across = level.node(np.arange(short.makes(level.row)))
        placed = column.tops_mm[node]
        placed[:, 0] += across * frame.repeat_mm
        tops.append(placed)
    return np.concatenate(tops)


# --- settling ----------------------------------------------------------------------------


def _whole_levels(rows: Rows) -> list[Level]:
    counts = [rows.makes(row) for row in range(rows.drawn_rows + 1)]
    starts = np.concatenate([[0], np.cumsum(counts)])
    return [Level(row, int(starts[row]), 0, n) for row, n in enumerate(counts)]


def _settled_lowest(
    case: _Case, short: Rows, repeats: int, start: Floats, should_stop: ShouldStop
) -> Floats:
    """Return a small blanket's tops, from a second start as well if it is only a few rows high.

    A few rows of a sharp wave have more than one shape to rest in, and the column, which is
    held at the steady state's width, may lead into the wrong one.
    """
    found = _settled_whole(case, short, start, should_stop)
    if short.drawn_rows > _FEW_ROWS:
        return found
    other = _settled_whole(case, short, _lattice(case, short, repeats), should_stop)
    net = build_net(SpringBook(short, case.size), _whole_levels(short), None, periodic=False)
    return min(found, other, key=lambda tops: energy(net, tops, Frame()))


def _settled_whole(case: _Case, rows: Rows, start: Floats, should_stop: ShouldStop) -> Floats:
    return _settled_part(case, rows, start, np.ones(len(start), dtype=bool), should_stop)


def _settled_part(
    case: _Case, rows: Rows, start: Floats, free: Flags, should_stop: ShouldStop
) -> Floats:
    """Return the tops after the free ones have settled, the others held."""
    levels = _whole_levels(rows)
    net = build_net(SpringBook(rows, case.size), levels, None, periodic=False)
    row_of = np.repeat(np.arange(len(levels)), [level.width for level in levels])
    settled = relax_rows(
        net.touching(free), start, Frame(), row_of=row_of, free=free, should_stop=should_stop
    )
    return settled.tops_mm


def _settled_edges(
    case: _Case, short: Rows, repeats: int, start: Floats, should_stop: ShouldStop
) -> Floats:
    """Return a short blanket's tops with both edges settled beside a held middle repeat."""
    inner = _levels(case, short, repeats)
    counts = [short.makes(level.row) for level in inner]
    stitch = np.concatenate([np.arange(n) for n in counts])
    left_end = np.repeat([level.left for level in inner], counts)
    right_end = np.repeat([level.left + level.width for level in inner], counts)
    left = _settled_part(case, short, start, stitch < left_end, should_stop)
    return _settled_part(case, short, left, stitch >= right_end, should_stop)


# --- copies ------------------------------------------------------------------------------


def _with_more_repeats(case: _Case, short: Rows, few: int, tops: Floats, repeats: int) -> Floats:
    """Return the tops of a blanket `repeats` wide: the middle repeat copied in each row."""
    assert case.steady is not None
    repeat_mm, copies = case.steady.frame.repeat_mm, repeats - few
    wide: list[Floats] = []
    start = 0
    for level in _levels(case, short, few):
        row = tops[start : start + short.makes(level.row)]
        start += len(row)
        end = level.left + level.width
        middle = np.tile(row[level.left : end], (copies, 1))
        middle[:, 0] += np.repeat(1 + np.arange(copies), level.width) * repeat_mm
        wide += [row[:end], middle, row[end:] + (copies * repeat_mm, 0.0)]
    return np.concatenate(wide)


def _with_more_rows(case: _Case, narrow: Rows, head: int, tops: Floats, n_rows: int) -> Floats:
    """Return the tops of a blanket `n_rows` high: a period of rows copied after row `head`."""
    copies = (n_rows - narrow.drawn_rows) // case.period
    if not copies:
        return tops
    counts = [narrow.makes(row) for row in range(narrow.drawn_rows + 1)]
    starts = np.concatenate([[0], np.cumsum(counts)])
    first, end = starts[head - case.period + 1], starts[head + 1]
    before = starts[head - 2 * case.period + 1]
    way = (tops[first:end] - tops[before:first]).mean(axis=0)
    middle = np.tile(tops[first:end], (copies, 1))
    middle += np.repeat(1 + np.arange(copies), end - first)[:, np.newaxis] * way
    return np.concatenate([tops[:end], middle, tops[end:] + copies * way])


def _finished(tops: Floats, rows: Rows, case: _Case, *, settled: bool) -> Fabric:
    counts = [rows.makes(row) for row in range(rows.drawn_rows + 1)]
    starts = np.concatenate([[0], np.cumsum(counts)])
    tops = _level(tops, starts)
    tops -= (tops[0, 0], tops[: counts[0], 1].mean())
    tops.setflags(write=False)
    return Fabric(tops, starts, case.size, case.steady, settled)


def _level(tops: Floats, starts: Indices) -> Floats:
    """Return the tops turned so that the rows lie level on average."""
    ends = tops[starts[1:] - 1] - tops[starts[:-1]]
    along, up = ends.sum(axis=0)
    length = math.hypot(along, up)
    if not length:
        return tops.copy()
    cos, sin = along / length, up / length
    turned: Floats = tops @ np.array([[cos, -sin], [sin, cos]])
    return turned
