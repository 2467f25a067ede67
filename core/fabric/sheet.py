"""The whole blanket: sketched at once, laid from settled strips, settled stitch by stitch.

Three answers to the same question, each better than the one before: the steady state
everywhere (`sketch_fabric`, milliseconds), strips with copies between them (`settle_fabric`, a
tenth of a second whatever the size), every stitch free at once (`settle_exactly`). How far they
lie apart is measured in `tests/core/test_sheet.py`.
"""

import math
from typing import Final

import numpy as np

from core.design.document import Design
from core.fabric.case import Case, case_of, levels_of, row_starts, tiled
from core.fabric.relax import ShouldStop, never
from core.fabric.rough import flat_rows, rough_column
from core.fabric.rowsteps import Progress, silent
from core.fabric.springs import Floats, Proportions
from core.fabric.steady import Steady
from core.fabric.strips import laid_from_strips, settled_whole, steady_lattice
from core.records import Struct, replace
from core.rows.build import Rows
from core.rows.plan import Indices


class Fabric(Struct, frozen=True, eq=False):
    """Where every stitch top lies, the foundation chain being row 0.

    Attributes:
        tops_mm: Shape (n_tops, 2), row after row, each from the left; x right, y up, as seen
            from the right side; the foundation's left end has x = 0, its mean y is 0.
        starts: Number of each row's first top, shape (rows + 2,).
        size: The rest lengths it was made with.
        steady: The steady state of the rows that repeat, if there is one.
        settled: False for a first sketch whose edges still follow the steady state.
        exact: Whether every stitch was settled at once, or can't be settled any better.
    """

    tops_mm: Floats
    starts: Indices
    size: Proportions
    steady: Steady | None
    settled: bool
    exact: bool = False

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


_AS_GOOD_AS_LEVEL: Final = 1e-12  # sine of the angle that rounding leaves


def sketch_fabric(design: Design, rows: Rows, *, case: Case | None = None) -> Fabric:
    """Return the blanket laid out as its steady state, edges included: quick, nearly right.

    Rows without a steady state are laid as the closed form says.
    """
    case = case or case_of(design)
    repeats = design.size.repeats
    if case.steady is not None:
        tops = steady_lattice(case, rows, repeats)
    elif _can_settle(case, rows):
        levels = levels_of(case, rows, repeats)
        column, frame = rough_column(rows, levels, case.size)
        tops = tiled(column, frame.repeat_mm, levels, rows)
    else:
        tops = flat_rows(rows, case.size)
    return _finished(tops, rows, case, settled=False)


def settle_fabric(
    design: Design, rows: Rows, *, case: Case | None = None, should_stop: ShouldStop = never
) -> Fabric:
    """Return the blanket laid from settled strips.

    Args:
        design: The design that `rows` were built from.
        rows: Its rows; those after a misfit are left out.
        case: The design's, if it is known already.
        should_stop: Asked before every Newton step.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    case = case or case_of(design, should_stop=should_stop)
    if not _can_settle(case, rows):
        sketch = sketch_fabric(design, rows, case=case)
        return replace(sketch, settled=True, exact=True)
    tops, exact = laid_from_strips(case, design.size.repeats, rows.drawn_rows, should_stop)
    return replace(_finished(tops, rows, case, settled=True), exact=exact)


def settle_exactly(
    design: Design,
    rows: Rows,
    *,
    case: Case | None = None,
    start: Fabric | None = None,
    should_stop: ShouldStop = never,
    progress: Progress = silent,
) -> Fabric:
    """Return the blanket at rest with every stitch free at once.

    Args:
        design: The design that `rows` were built from.
        rows: Its rows.
        case: The design's, if it is known already.
        start: The blanket laid from strips, if it is known already; returned as it is if the
            stitches don't come to rest, marked as the best there is.
        should_stop: Asked often.
        progress: Told what share of the work is done.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    case = case or case_of(design, should_stop=should_stop)
    start = start or settle_fabric(design, rows, case=case, should_stop=should_stop)
    if start.exact:
        return start
    tops, converged = settled_whole(case, rows, start.tops_mm, should_stop, progress)
    if not converged:
        return replace(start, exact=True)
    return replace(_finished(tops, rows, case, settled=True), exact=True)


def _can_settle(case: Case, rows: Rows) -> bool:
    """Return whether the rows have a shape: they fit, and repeats keep their stitches."""
    if rows.misfit is not None or not rows.drawn_rows:
        return False
    if case.steady is not None:
        return True
    short = case.rows(1, min(rows.drawn_rows, case.lead + case.period))
    widths = {level.width for level in levels_of(case, short, 1)}
    return len(widths) == 1


def _finished(tops: Floats, rows: Rows, case: Case, *, settled: bool) -> Fabric:
    starts = row_starts(rows)
    tops = _level(tops, starts)
    corner = complex(tops[0, 0], tops[: starts[1], 1].mean())
    tops.view(np.complex128)[...] -= corner
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
    if abs(sin) < _AS_GOOD_AS_LEVEL:
        return tops.copy()
    turned = np.ascontiguousarray(tops).view(np.complex128) * complex(cos, -sin)
    return turned.view(np.float64)
