"""Where a chart's row numbers stand, and the bracket under its repeat."""

from collections.abc import Iterable, Sequence
from typing import Final

import numpy as np

from core.design.document import Design, total_uses
from core.fabric.sheet import Fabric
from core.records import Struct
from core.rows.build import Rows

Spans = Sequence[tuple[int, int]]
"""First stitch kept of every row from the foundation up, and the one after the last."""

BESIDE: Final = 0.75  # how far a turning chain that isn't a stitch stands outside
_NUMBER_AWAY: Final = 0.95


class RowLabel(Struct, frozen=True):
    """A row's number, where the row starts.

    Attributes:
        row: Row number.
        x_mm: Where the tip of its arrow stands; the number follows outwards.
        y_mm: Height of its middle.
        runs_left: Whether the row runs to the left, so that the number stands at the right.
    """

    row: int
    x_mm: float
    y_mm: float
    runs_left: bool


class RepeatMark(Struct, frozen=True):
    """The bracket under one repeat.

    Attributes:
        left_mm: Its left end.
        right_mm: Its right end.
        y_mm: Height of its bar.
        stitches: What the repeat uses.
        over: First stitch of the row below that it stands under, from the left edge.
    """

    left_mm: float
    right_mm: float
    y_mm: float
    stitches: int
    over: int


def row_labels(
    design: Design, rows: Rows, fabric: Fabric, wanted: Iterable[int]
) -> tuple[RowLabel, ...]:
    """Return the numbers of some rows, each beside the stitch that the row starts with."""
    away = _number_away(design)
    return tuple(_label(rows, fabric, row, away) for row in wanted)


def _number_away(design: Design) -> float:
    """Return how far row numbers stand outside: beyond a turning chain that stands beside."""
    beside = design.turning.chains and not design.turning.counts
    return _NUMBER_AWAY + (BESIDE if beside else 0.0)


def _label(rows: Rows, fabric: Fabric, row: int, away: float) -> RowLabel:
    """Return the row's number, beside the stitch that the row starts with."""
    runs_left = rows.runs_left(row)
    end = -1 if runs_left else 0
    low, high = fabric.row_tops_mm(row - 1)[end], fabric.row_tops_mm(row)[end]
    side = 1.0 if runs_left else -1.0
    x = max(side * low[0], side * high[0]) * side + side * away * fabric.size.width_mm
    return RowLabel(row, float(x), float(0.5 * (low[1] + high[1])), runs_left)


def repeat_mark(
    rows: Rows, fabric: Fabric, row: int, spans: Spans | None, *, near_mm: float | None = None
) -> RepeatMark | None:
    """Return the bracket under the stitches that one repeat of the lowest row is worked into.

    That is the leftmost one, or with `near_mm` the one whose middle is nearest to it.
    """
    plan = rows.plan(row)
    width = total_uses(plan.row.repeat)
    if not width or plan.uses != rows.makes(row - 1):
        return None
    left = total_uses(plan.row.end if rows.runs_left(row) else plan.row.start)
    if spans is not None:  # the leftmost repeat that is kept
        left += -(-(max(spans[row - 1][0] - left, 0)) // width) * width
    base, half = fabric.row_tops_mm(row - 1), 0.5 * fabric.size.width_mm
    if near_mm is not None and spans is None:
        firsts = np.arange(left, len(base) - width + 1, width)
        middles = 0.5 * (base[firsts, 0] + base[firsts + width - 1, 0])
        left = int(firsts[np.abs(middles - near_mm).argmin()]) if len(firsts) else left
    right = left + width - 1
    if right >= len(base):
        return None
    low = base if spans is None else base[slice(*spans[row - 1])]
    return RepeatMark(
        left_mm=float(base[left, 0] - half),
        right_mm=float(base[right, 0] + half),
        y_mm=float(low[:, 1].min() - 1.3 * fabric.size.width_mm),
        stitches=width,
        over=left,
    )
