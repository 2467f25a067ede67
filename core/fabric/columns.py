"""The columns of a repeat: how far each stitch leans, and how far it lifts the fabric.

A column is a stitch of the repeat, counted from the left as seen from the right side. Its lean
is measured from its foot, the middle of the stitches it is worked into, to its top.
"""

import numpy as np

from core.fabric.energy import spring_vectors_mm
from core.fabric.sheet import Fabric
from core.fabric.springs import POST, Floats
from core.fabric.steady import Steady, window
from core.records import Struct
from core.rows.build import Rows, is_right_side
from core.rows.plan import CHILD, PARENT


class Columns(Struct, frozen=True, eq=False):
    """The stitches of one repeat of one row, from the left.

    Attributes:
        row: The row.
        first: Number of the leftmost stitch in its row.
        feet_mm: Shape (n, 2); not a number for a chain, which has no foot.
        tops_mm: Shape (n, 2).
        lean_deg: From the vertical, positive to the right, shape (n,); nan for a chain.
        lift_mm: From foot to top, vertically, shape (n,); nan for a chain.
        rise_mm: How far the row's line lies above the line of the row below, on average.
    """

    row: int
    first: int
    feet_mm: Floats
    tops_mm: Floats
    lean_deg: Floats
    lift_mm: Floats
    rise_mm: float


def steady_columns(steady: Steady) -> Columns:
    """Return the columns of a steady state's first right-side row."""
    number = next(n for n, level in enumerate(steady.levels) if is_right_side(level.row))
    level, net = steady.levels[number], steady.net
    tops = steady.tops_mm[level.offset : level.offset + level.width]
    mine = (net.kind == POST) & (net.ends[:, 0] >= level.offset)
    mine &= net.ends[:, 0] < level.offset + level.width
    child = net.ends[mine, 0] - level.offset
    down = spring_vectors_mm(net, steady.tops_mm, steady.frame)[mine]
    feet = tops + _mean_by(child, down, level.width)
    rise = steady.frame.period_mm[1] / steady.period
    return _columns(level.row, level.left, feet, tops, rise)


def repeat_columns(fabric: Fabric, rows: Rows, row: int, stitch: int) -> Columns | None:
    """Return the columns of the repeat of `row` that `stitch` (from the left) belongs to.

    The edge stitches count with the repeat beside them. None for the foundation chain, for a
    row that can't be worked to its end, and where no repeat is whole.
    """
    if not 1 <= row <= fabric.n_rows or (rows.partial and row == rows.drawn_rows):
        return None
    repeats = rows.plan(row).repeats
    left, width = window(rows, row, repeats)
    if not width:
        return None
    left -= repeats // 2 * width  # the first repeat from the left
    first = left + width * int(np.clip((stitch - left) // width, 0, repeats - 1))
    links = rows.fabric_links(row)
    links = links[(links[:, CHILD] >= first) & (links[:, CHILD] < first + width)]
    tops, below = fabric.row_tops_mm(row)[first : first + width], fabric.row_tops_mm(row - 1)
    feet = _mean_by(links[:, CHILD] - first, below[links[:, PARENT]], width)
    return _columns(row, first, feet, tops, _rise(tops, below))


def _columns(row: int, first: int, feet: Floats, tops: Floats, rise: float) -> Columns:
    way = tops - feet
    lean: Floats = np.degrees(np.arctan2(way[:, 0], way[:, 1]))
    return Columns(row, first, feet, tops.copy(), lean, way[:, 1].copy(), rise)


def _mean_by(number: np.ndarray, values: Floats, length: int) -> Floats:
    """Return the mean of the points that carry each number, nan where there is none."""
    count = np.bincount(number, minlength=length).astype(float)
    count[count == 0] = np.nan
    sums = [np.bincount(number, values[:, axis], length) for axis in (0, 1)]
    mean: Floats = np.stack(sums, axis=1) / count[:, np.newaxis]
    return mean


def _rise(tops: Floats, below: Floats) -> float:
    """Return how far the line of `tops` lies above the line below, over its own width."""
    along = np.linspace(tops[0, 0], tops[-1, 0], max(4 * len(tops), 2))
    upper, lower = (np.interp(along, line[:, 0], line[:, 1]) for line in (tops, below))
    return float(np.mean(upper - lower))
