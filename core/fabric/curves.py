"""The fabric as curves: along one repeat stitch by stitch, and row by row up the blanket."""

import numpy as np

from core.fabric.columns import steady_columns
from core.fabric.energy import spring_vectors_mm
from core.fabric.sheet import Fabric
from core.fabric.springs import COURSE, POST, Floats
from core.fabric.steady import Steady
from core.fabric.wash import Wash
from core.records import Struct


class RepeatCurves(Struct, frozen=True, eq=False):
    """One right-side repeat of the steady state, from its left stitch to its right.

    Attributes:
        row: The row.
        lean_deg: From the vertical, positive to the right, shape (n,); nan for a chain.
        lift: How far the stitch lifts the fabric over the height of its row joint to joint, shape
            (n,): 1 where it rises as the row does on average; nan for a chain.
        post: Strain of the stitch, its longest leg counting, shape (n,); nan for a chain.
        course: Strain of the top between the stitch to the left and this one, shape (n,).
    """

    row: int
    lean_deg: Floats
    lift: Floats
    post: Floats
    course: Floats


class RowCurves(Struct, frozen=True, eq=False):
    """Every row from the foundation up.

    Attributes:
        stitches: In each row, shape (rows + 1,).
        width_mm: From the first top to the last, straight, and a stitch's width more for its two
            halves, shape (rows + 1,).
    """

    stitches: Floats
    width_mm: Floats


def repeat_curves(steady: Steady) -> RepeatCurves:
    """Return the curves along one repeat."""
    columns, net = steady_columns(steady), steady.net
    level = next(level for level in steady.levels if level.row == columns.row)
    vectors = spring_vectors_mm(net, steady.tops_mm, steady.frame)
    strain = np.hypot(vectors[:, 0], vectors[:, 1]) / net.rest_mm - 1.0
    post = np.full(level.width, -np.inf)
    course = np.full(level.width, np.nan)
    for kind in (POST, COURSE):
        mine = (net.kind == kind) & (net.ends[:, 0] >= level.offset)
        mine &= net.ends[:, 0] < level.offset + level.width
        stitch = net.ends[mine, 0] - level.offset
        if kind == POST:
            np.maximum.at(post, stitch, strain[mine])
        else:
            course[stitch] = strain[mine]
    post[np.isinf(post)] = np.nan
    lift: Floats = columns.lift_mm / columns.rise_mm
    return RepeatCurves(columns.row, columns.lean_deg, lift, post, course)


def row_curves(fabric: Fabric, wash: Wash) -> RowCurves:
    """Return the curves up the blanket, after washing if a change by it is known."""
    ends = fabric.tops_mm[fabric.starts[1:] - 1] - fabric.tops_mm[fabric.starts[:-1]]
    width = np.hypot(ends[:, 0], ends[:, 1]) + fabric.size.width_mm
    return RowCurves(np.diff(fabric.starts).astype(float), width * wash.width)
