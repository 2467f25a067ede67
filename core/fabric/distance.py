"""How far it is from one place of the fabric to another: by the ruler, in stitches and in rows."""

import numpy as np

from core.fabric.sheet import Fabric
from core.fabric.wash import UNWASHED, Wash
from core.records import Struct

Place = tuple[float, float]


class Distance(Struct, frozen=True, kw_only=True):
    """A length on the fabric.

    Attributes:
        length_mm: Straight from one place to the other.
        across_mm: How far apart they are sideways.
        up_mm: How far apart they are up and down.
        stitches: How many stitches lie between, along a row.
        rows: How many rows lie between.
    """

    length_mm: float
    across_mm: float
    up_mm: float
    stitches: int
    rows: int


def distance(
    fabric: Fabric,
    one: Place,
    two: Place,
    stitches: tuple[tuple[int, int], tuple[int, int]],
    wash: Wash = UNWASHED,
) -> Distance:
    """Return the distance between two places in mm, whose nearest stitches are known.

    Lengths are after washing where its change is known. Rows of different counts are compared by
    the share of the row that lies left of a stitch.
    """
    across, up = np.abs(np.subtract(two, one)) * (wash.width, wash.length)
    (row, stitch), (other, last) = stitches
    n, m = (int(fabric.starts[r + 1] - fabric.starts[r]) for r in (row, other))
    moved = last * (n - 1) / max(m - 1, 1) - stitch
    return Distance(
        length_mm=float(np.hypot(across, up)),
        across_mm=float(across),
        up_mm=float(up),
        stitches=abs(round(moved)),
        rows=abs(other - row),
    )
