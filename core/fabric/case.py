"""What all pieces of one design's fabric have in common: sizes, steady state, windows of rows."""

import numpy as np

from core.design.document import Design
from core.fabric.net import Level
from core.fabric.relax import ShouldStop, never
from core.fabric.springs import Floats, Proportions, proportions_of
from core.fabric.steady import Steady, lead_and_cycle, period_of, steady_of, window
from core.records import Struct
from core.rows.build import Rows, build_rows
from core.rows.plan import Indices


class Case(Struct, frozen=True, eq=False, kw_only=True):
    """What the pieces of one design's fabric have in common.

    Attributes:
        design: The design.
        size: Rest lengths.
        steady: The steady state of the rows that repeat, if there is one.
        lead: Rows before those that repeat.
        period: Rows after which everything repeats, turning included.
    """

    design: Design
    size: Proportions
    steady: Steady | None
    lead: int
    period: int

    def rows(self, repeats: int, n_rows: int) -> Rows:
        """Return the rows of the same design in another size."""
        return build_rows(self.design, repeats=repeats, rows=n_rows)


def case_of(design: Design, *, should_stop: ShouldStop = never) -> Case:
    """Return the case of a design; solves its steady state.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    lead, cycle = lead_and_cycle(design)
    return Case(
        design=design,
        size=proportions_of(design.gauge),
        steady=steady_of(design, should_stop=should_stop),
        lead=lead,
        period=period_of(cycle),
    )


# --- windows: the stitches that stand for a repeat ---------------------------------------


def levels_of(case: Case, rows: Rows, repeats: int, *, last: int | None = None) -> list[Level]:
    """Return the windows of all rows: the middle repeat, counted from the left edge.

    With `last`, only of those up to that row. Below the rows that repeat, windows are aligned
    stitch by stitch with the last row of a period, which they stand in for.
    """
    levels: list[Level] = []
    offset = 0
    once = case.lead + case.period if rows.misfit is None else rows.drawn_rows
    end = rows.drawn_rows if last is None else min(last, rows.drawn_rows)
    for row in range(end + 1):
        if row > once:
            below = levels[row - case.period]
            levels.append(Level(row, offset, below.left, below.width))
            offset += below.width
            continue
        like = max(row, case.lead) if row > case.lead else case.lead + case.period
        if row <= case.lead and rows.makes(row) != _makes(rows, case, like):
            left, width = window(rows, row, repeats)
        else:
            left, width = _window(rows, case, like, repeats)
        levels.append(Level(row, offset, left, width))
        offset += width
    return levels


def whole_levels(rows: Rows) -> list[Level]:
    """Return every row as its own window, from edge to edge."""
    starts = row_starts(rows)
    return [Level(row, int(starts[row]), 0, rows.makes(row)) for row in range(rows.drawn_rows + 1)]


def row_starts(rows: Rows) -> Indices:
    """Return the number of each row's first top, and their total, shape (rows + 2,)."""
    return np.concatenate([[0], np.cumsum(rows.counts())])


def tiled(tops_mm: Floats, repeat_mm: float, levels: list[Level], rows: Rows) -> Floats:
    """Return every top of `rows` as copies of a column one repeat wide.

    Args:
        tops_mm: Tops of the column, numbered as `levels` say.
        repeat_mm: How far apart copies are.
        levels: The windows of all rows.
        rows: Rows as wide as those that the windows count from.
    """
    tops = []
    for level in levels:
        node, across = level.node(np.arange(rows.makes(level.row)))
        placed = tops_mm[node]
        placed[:, 0] += across * repeat_mm
        tops.append(placed)
    return np.concatenate(tops)


def _makes(rows: Rows, case: Case, row: int) -> int:
    return rows.plans[_which(rows, case, row)].makes


def _which(rows: Rows, case: Case, row: int) -> int:
    """Return the plan of a row that the blanket may be too short to have."""
    if row <= len(rows.which):
        return int(rows.which[row - 1])
    in_turn = case.design.wave.rows_in_turn
    wanted = in_turn[(row - case.lead - 1) % len(in_turn)]
    return next(n for n, plan in enumerate(rows.plans) if plan.row == wanted)


def _window(rows: Rows, case: Case, row: int, repeats: int) -> tuple[int, int]:
    if row <= rows.drawn_rows:
        return window(rows, row, repeats)
    tall = case.rows(repeats, row)
    return window(tall, row, repeats)
