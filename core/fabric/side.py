"""The rows from the side: a drawing of how they hang on each other and fold.

Seen from the fabric's left edge with the right side to the right. Each row is a slab from the
loops it hangs on up to its own tops; tops are chains, seen end on as two loops.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from core.design.document import WorkIn
from core.fabric.fold import fold_of
from core.fabric.sheet import Fabric
from core.records import Struct
from core.stripes.loops import ridge_of_row

_LOOP: Final = 0.17  # how far a loop lies from the middle of its chain, in stitch widths


class SideRow(Struct, frozen=True, kw_only=True):
    """One row from the side; every place is (towards the right side, up) in stitch widths.

    Attributes:
        row: Row number; 0 is the foundation chain, which has no slab.
        foot: Where its slab begins.
        top: The middle of its tops.
        front: Its tops' loop on the right side.
        back: Its tops' loop on the wrong side.
        worked_front: Whether the row above goes into the loop on the right side.
        worked_back: Whether it goes into the loop on the wrong side.
    """

    row: int
    foot: tuple[float, float]
    top: tuple[float, float]
    front: tuple[float, float]
    back: tuple[float, float]
    worked_front: bool
    worked_back: bool


def side_rows(fabric: Fabric, loops: Sequence[WorkIn]) -> tuple[SideRow, ...]:
    """Return every row from the foundation up; the last one's loops are both free."""
    n_rows = fabric.n_rows
    fold = fold_of(loops[:n_rows])
    y = np.add.reduceat(fabric.tops_mm[:, 1], fabric.starts[:-1]) / np.diff(fabric.starts)
    up = (y - y[0]) / fabric.size.width_mm
    found = []
    for row in range(n_rows + 1):
        depth, height = float(fold.joint[row]), float(up[row])
        out = ridge_of_row(loops[row], row + 1).faces_out if row < n_rows else None
        last = row == n_rows
        found.append(
            SideRow(
                row=row,
                foot=(float(fold.foot[row]), float(up[max(row - 1, 0)])),
                top=(depth, height),
                front=(depth + _LOOP, height),
                back=(depth - _LOOP, height),
                worked_front=not last and out is not True,
                worked_back=not last and out is not False,
            )
        )
    return tuple(found)
