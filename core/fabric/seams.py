"""What pulls where strips and their copies meet, and how the whole blanket gives way to it.

The pull is found on a small blanket that has every seam of the large one: two copies of the
middle repeat and of the period of rows that are copied. The large blanket gives way to it as
an elastic sheet (`core.fabric.elastic`).
"""

from typing import Final

import numpy as np

from core.fabric.case import Case, row_starts, whole_levels
from core.fabric.elastic import give_way, stiffness_of
from core.fabric.energy import Frame, slope
from core.fabric.net import Level, SpringBook, build_net
from core.fabric.springs import Floats
from core.records import Struct
from core.rows.build import Rows
from core.rows.plan import Indices

_FELT: Final = 1e-4  # of the largest pull: smaller ones change nothing that can be seen


class Seams(Struct, frozen=True, eq=False, kw_only=True):
    """A small blanket laid of the same strips as the large one.

    Attributes:
        rows: Its rows.
        tops_mm: Its tops, shape (n_tops, 2).
        levels: Windows of the middle repeat in rows of the strips, before any copies.
        head: Row after which copied rows come in.
        copied_rows: Periods of copied rows in it, 0 or 2.
        copied_repeats: Repeats copied in it, 0 or 2.
    """

    rows: Rows
    tops_mm: Floats
    levels: list[Level]
    head: int
    copied_rows: int
    copied_repeats: int


def eased(case: Case, seams: Seams, rows: Rows, tops_mm: Floats, more_repeats: int) -> Floats:
    """Return the large blanket's tops after giving way to what pulls at its seams.

    Args:
        case: The design's.
        seams: The small blanket.
        rows: The large one's rows.
        tops_mm: Its tops as strips and copies lie, shape (n_tops, 2).
        more_repeats: How many repeats it has more than the small one.
    """
    assert case.steady is not None
    stiffness = stiffness_of(case.steady)
    if stiffness is None:
        return tops_mm
    book = SpringBook(seams.rows, case.size)
    net = build_net(book, whole_levels(seams.rows), None, periodic=False)
    pull = -slope(net, seams.tops_mm, Frame())
    pull[np.abs(pull).max(axis=1) < _FELT * np.abs(pull).max()] = 0.0
    pull = pull[_matches(case, seams, rows, more_repeats)]
    starts = row_starts(rows)
    corner = np.array([tops_mm[:, 0].min(), tops_mm[: starts[1], 1].mean()])
    size = (
        float(tops_mm[:, 0].max() - corner[0]),
        float(tops_mm[starts[-2] :, 1].mean() - corner[1]),
    )
    where = np.clip(tops_mm - corner, 0.0, size)
    moved = give_way(stiffness, size, where, pull)
    return tops_mm + moved


def _matches(case: Case, seams: Seams, rows: Rows, more_repeats: int) -> Indices:
    """Return the small blanket's tops and the large one's that they stand for."""
    period, head = case.period, seams.head
    more_rows = rows.drawn_rows - seams.rows.drawn_rows
    row = np.arange(rows.drawn_rows + 1)
    like = row.copy()
    if seams.copied_rows:
        # every copied period but the last is like the first of them
        copies = more_rows // period + 2
        in_copies = (row > head) & (row <= head + copies * period)
        last = row > head + (copies - 1) * period
        like[in_copies] = head + 1 + (row[in_copies] - head - 1) % period
        like[last] = row[last] - more_rows
    small_starts, large_starts = row_starts(seams.rows), row_starts(rows)
    counts = np.diff(large_starts)
    stitch = np.arange(counts.sum()) - np.repeat(large_starts[:-1], counts)
    levels = [seams.levels[_strip_row(r, case, seams)] for r in like.tolist()]
    end = np.repeat([level.left + level.width for level in levels], counts)
    width = np.repeat([level.width for level in levels], counts)
    # every copied repeat but the last is like the first of them
    copied = (stitch >= end) & (stitch < end + (more_repeats + 1) * width)
    beyond = stitch - more_repeats * width
    alike = np.where(stitch < end, stitch, np.where(copied, end + (stitch - end) % width, beyond))
    return np.repeat(small_starts[like], counts) + alike


def _strip_row(row: int, case: Case, seams: Seams) -> int:
    """Return the row of the strips that a row of the small blanket is a copy of."""
    copied = seams.copied_rows * case.period
    if row <= seams.head or not copied:
        return row
    if row <= seams.head + copied:
        return seams.head - case.period + 1 + (row - seams.head - 1) % case.period
    return row - copied
