"""Narrow pieces that are settled once, and copies of them laid side by side.

Far from its edges a blanket is the steady state. So four small pieces stand for any size:

1. one steady repeat (`core.fabric.steady`);
2. a column one repeat wide, periodic across, with the real first and last rows;
3. the left edge and 4. the right edge of a short blanket, a repeat or two wide, tied to the
   column on their inner side.

Rows and repeats between them are copies. Rows without a steady state (cycles too long to
repeat soon) have a column as high as the blanket, whose width is found with it.
"""

import math
from typing import Final

import numpy as np

from core.fabric.case import Case, levels_of, tiled, whole_levels
from core.fabric.energy import Frame, energy
from core.fabric.net import Level, SpringBook, build_net
from core.fabric.relax import SMALL_STEP, ShouldStop, relax_rows
from core.fabric.rough import rough_column
from core.fabric.rowsteps import Progress, silent
from core.fabric.seams import Seams, eased
from core.fabric.springs import Flags, Floats
from core.records import Struct
from core.rows.build import Rows

_WIDE_REPEAT: Final = 24  # stitches from which one repeat beside an edge is margin enough
_MOST_EFFORT: Final = 2e10  # of an edge's inverse: some seconds; beyond, edges are left as laid
_CLOSE: Final = 1e-5  # of a stitch: strips miss more than that where they meet
_FEW_ROWS: Final = 8
_SETTLING: Final = 1.75  # repeat widths of height in which first and last rows settle


class Column(Struct, frozen=True, eq=False):
    """A column one repeat wide.

    Attributes:
        levels: Windows of its rows in a short blanket.
        tops_mm: Shape (n_nodes, 2).
        repeat_mm: Width of the repeat.
    """

    levels: list[Level]
    tops_mm: Floats
    repeat_mm: float


def laid_from_strips(
    case: Case, repeats: int, n_rows: int, should_stop: ShouldStop
) -> tuple[Floats, bool]:
    """Return a blanket's tops laid from settled strips, and whether it was settled whole.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    few_rows, head = _reduced_rows(case, n_rows)
    few_repeats = _reduced_repeats(case, repeats)
    short = case.rows(few_repeats, few_rows)
    column = settled_column(case, short, few_repeats, should_stop)
    tops = tiled(column.tops_mm, column.repeat_mm, column.levels, short)
    if few_repeats == repeats:
        tops = _settled_lowest(case, short, repeats, tops, should_stop)
        if few_rows == n_rows:
            return tops, True
    elif _effort(column.levels, short) <= _MOST_EFFORT:
        tops = _settled_edges(case, short, column.levels, tops, should_stop)
    pieces = _Pieces(case, column, short, tops, few_repeats, head)
    laid = pieces.copied(repeats, n_rows)
    if case.steady is None:
        return laid, False
    more_repeats = max(repeats - few_repeats - 2, 0)
    few = pieces.seams(repeats - more_repeats, min(n_rows, few_rows + 2 * case.period))
    return eased(case, few, case.rows(repeats, n_rows), laid, more_repeats), False


class _Pieces(Struct, frozen=True, eq=False):
    """A short settled blanket to be copied from."""

    case: Case
    column: Column
    short: Rows
    tops_mm: Floats
    repeats: int
    head: int

    def copied(self, repeats: int, n_rows: int) -> Floats:
        """Return the tops of a larger blanket: its middle repeat and a period of rows copied."""
        tops = _with_more_repeats(self.column, self.short, self.tops_mm, repeats - self.repeats)
        if n_rows == self.short.drawn_rows:
            return tops
        narrow = self.case.rows(repeats, self.short.drawn_rows)
        return _with_more_rows(self.case, narrow, self.head, tops, n_rows)

    def seams(self, repeats: int, n_rows: int) -> Seams:
        """Return a blanket that is only as large as it must be to have every seam."""
        return Seams(
            rows=self.case.rows(repeats, n_rows),
            tops_mm=self.copied(repeats, n_rows),
            levels=self.column.levels,
            head=self.head,
            copied_rows=(n_rows - self.short.drawn_rows) // self.case.period,
            copied_repeats=repeats - self.repeats,
        )


# --- how much has to be settled ----------------------------------------------------------


def _reduced_rows(case: Case, n_rows: int) -> tuple[int, int]:
    """Return how many rows stand for `n_rows`, and after which of them copies come in."""
    if case.steady is None:
        return n_rows, n_rows
    frame, period = case.steady.frame, case.period
    rise_mm = max(frame.period_mm[1] / period, 0.2 * case.size.width_mm)
    settling = max(8, math.ceil(_SETTLING * frame.repeat_mm / rise_mm))
    settling = period * math.ceil(settling / period)
    head = case.lead + settling + period
    least = head + settling
    if n_rows <= least + period:
        return n_rows, n_rows
    return least + (n_rows - least) % period, head


def _reduced_repeats(case: Case, repeats: int) -> int:
    first = levels_of(case, case.rows(1, 1), 1)[-1]
    margin = 1 if first.width > _WIDE_REPEAT else 2
    return min(repeats, 2 * margin + 1)


def _effort(levels: list[Level], short: Rows) -> float:
    """Return the multiplications that the inverse of the larger edge takes."""
    most = max(
        max(level.left, short.makes(level.row) - level.left - level.width) for level in levels
    )
    return short.drawn_rows * (2.0 * most) ** 3


# --- settling ----------------------------------------------------------------------------


def settled_column(case: Case, short: Rows, repeats: int, should_stop: ShouldStop) -> Column:
    """Return a column with all rows of `short`, at rest."""
    levels = levels_of(case, short, repeats)
    net = build_net(SpringBook(short, case.size), levels, None, periodic=True)
    if case.steady is None:
        start, frame = rough_column(short, levels, case.size)
    else:
        steady = case.steady
        start = np.concatenate(
            [
                steady.row_tops_mm(level.row, level.left + np.arange(level.width), level)
                for level in levels
            ]
        )
        frame = Frame(repeat_mm=steady.frame.repeat_mm)
    row_of = np.repeat(np.arange(len(levels)), [level.width for level in levels])
    free = np.ones(net.n_nodes, dtype=bool)
    free[0] = False
    found = relax_rows(
        net,
        start,
        frame,
        row_of=row_of,
        free=free,
        free_repeat=case.steady is None,
        period=case.period,
        close=_CLOSE,
        should_stop=should_stop,
    )
    return Column(levels, found.tops_mm, found.frame.repeat_mm)


def settled_whole(
    case: Case,
    rows: Rows,
    start: Floats,
    should_stop: ShouldStop,
    progress: Progress = silent,
) -> tuple[Floats, bool]:
    """Return the tops with every stitch free at once, and whether they came to rest."""
    free = np.ones(len(start), dtype=bool)
    return _settled_part(case, rows, start, free, should_stop, progress)


def _settled_part(
    case: Case,
    rows: Rows,
    start: Floats,
    free: Flags,
    should_stop: ShouldStop,
    progress: Progress = silent,
    close: float = SMALL_STEP,
) -> tuple[Floats, bool]:
    """Return the tops after the free ones have settled, the others held."""
    levels = whole_levels(rows)
    net = build_net(SpringBook(rows, case.size), levels, None, periodic=False)
    settled = relax_rows(
        net.touching(free),
        start,
        Frame(),
        row_of=np.repeat(np.arange(len(levels)), [level.width for level in levels]),
        free=free,
        period=case.period,
        close=close,
        should_stop=should_stop,
        progress=progress,
    )
    return settled.tops_mm, settled.converged


def _settled_lowest(
    case: Case, short: Rows, repeats: int, start: Floats, should_stop: ShouldStop
) -> Floats:
    """Return a small blanket's tops, from a second start as well if it is only a few rows high.

    A few rows of a sharp wave have more than one shape to rest in, and the column, which is
    held at the steady state's width, may lead into the wrong one.
    """
    found, _ = settled_whole(case, short, start, should_stop)
    if short.drawn_rows > _FEW_ROWS or case.steady is None:
        return found
    other, _ = settled_whole(case, short, steady_lattice(case, short, repeats), should_stop)
    net = build_net(SpringBook(short, case.size), whole_levels(short), None, periodic=False)
    return min(found, other, key=lambda tops: energy(net, tops, Frame()))


def steady_lattice(case: Case, rows: Rows, repeats: int) -> Floats:
    """Return every top where the steady state would have it."""
    assert case.steady is not None
    last = case.lead + case.period if rows.misfit is None else None
    levels = levels_of(case, rows, repeats, last=last)
    tops = []
    for level in levels:
        stitches = np.arange(rows.makes(level.row))
        tops.append(case.steady.row_tops_mm(level.row, stitches, level))
    missing = int(rows.counts()[len(levels) :].sum())
    if missing:
        period = np.concatenate(tops[-case.period :])
        copies = -(-missing // len(period))
        # As complex numbers: numpy takes far less time for them than for pairs.
        way = (1 + np.arange(copies)) * complex(*case.steady.frame.period_mm)
        moved = np.add.outer(way, period.view(np.complex128)[:, 0]).ravel()[:missing]
        tops.append(moved.view(np.float64).reshape(-1, 2))
    return np.concatenate(tops)


def _settled_edges(
    case: Case, short: Rows, inner: list[Level], start: Floats, should_stop: ShouldStop
) -> Floats:
    """Return a short blanket's tops with both edges settled beside a held middle repeat."""
    counts = [short.makes(level.row) for level in inner]
    stitch = np.concatenate([np.arange(n) for n in counts])
    left_end = np.repeat([level.left for level in inner], counts)
    right_end = np.repeat([level.left + level.width for level in inner], counts)
    tops = start
    for free in (stitch < left_end, stitch >= right_end):
        tops, _ = _settled_part(case, short, tops, free, should_stop, close=_CLOSE)
    return tops


# --- copies ------------------------------------------------------------------------------


def _with_more_repeats(column: Column, short: Rows, tops: Floats, copies: int) -> Floats:
    """Return the tops of a wider blanket: the middle repeat copied in each row."""
    wide: list[Floats] = []
    start = 0
    for level in column.levels:
        row = tops[start : start + short.makes(level.row)]
        start += len(row)
        end = level.left + level.width
        middle = np.tile(row[level.left : end], (copies, 1))
        middle[:, 0] += np.repeat(1 + np.arange(copies), level.width) * column.repeat_mm
        wide += [row[:end], middle, row[end:] + (copies * column.repeat_mm, 0.0)]
    return np.concatenate(wide)


def _with_more_rows(case: Case, narrow: Rows, head: int, tops: Floats, n_rows: int) -> Floats:
    """Return the tops of a blanket `n_rows` high: a period of rows copied after row `head`."""
    copies = (n_rows - narrow.drawn_rows) // case.period
    counts = [narrow.makes(row) for row in range(narrow.drawn_rows + 1)]
    starts = np.concatenate([[0], np.cumsum(counts)])
    first, end = starts[head - case.period + 1], starts[head + 1]
    assert case.steady is not None  # else no rows are left out
    way = np.asarray(case.steady.frame.period_mm)
    middle = np.tile(tops[first:end], (copies, 1))
    middle += np.repeat(1 + np.arange(copies), end - first)[:, np.newaxis] * way
    return np.concatenate([tops[:end], middle, tops[end:] + copies * way])
