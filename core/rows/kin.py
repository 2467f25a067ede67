"""Which stitches a stitch is worked into, and which are worked into it.

Stitches are numbered from the fabric's left edge, as they are pointed at. One look costs as much
as a row has links, whatever the blanket's size: nothing is built for rows nobody asks about.
"""

import numpy as np

from core.records import Struct
from core.rows.build import Rows
from core.rows.plan import CHILD, PARENT, Indices


class Kin(Struct, frozen=True, eq=False):
    """The kin of some stitches of one row, each list sorted and without doubles.

    Attributes:
        parents: Stitches of the row below that they are worked into, shape (n,).
        children: Stitches of the row above that are worked into them, shape (m,).
    """

    parents: Indices
    children: Indices


def kin_of(rows: Rows, row: int, first: int, last: int) -> Kin:
    """Return the parents and children of stitches `first` to `last` of a row (0 is the chain).

    Raises:
        IndexError: There is no such row.
    """
    if not 0 <= row <= rows.drawn_rows:
        raise IndexError(f"there is no row {row} in {rows.drawn_rows}")
    none = np.empty(0, dtype=np.intp)
    parents = _met(rows, row, CHILD, first, last) if row else none
    children = _met(rows, row + 1, PARENT, first, last) if row < rows.drawn_rows else none
    return Kin(parents, children)


def _met(rows: Rows, row: int, end: int, first: int, last: int) -> Indices:
    """Return what the links of `row` whose `end` lies between two stitches lead to."""
    links = rows.fabric_links(row)
    here = (links[:, end] >= first) & (links[:, end] <= last)
    met: Indices = np.unique(links[here, PARENT if end == CHILD else CHILD])
    return met


def feet_of(rows: Rows, row: int, firsts: Indices, lasts: Indices) -> tuple[Indices, Indices]:
    """Return the leftmost and rightmost parents of several spans of a row, shape (n,) each.

    Where a span has none (chains), the right one lies left of the left one.
    """
    links = rows.fabric_links(row)
    low = np.searchsorted(links[:, CHILD], firsts, side="left")
    high = np.searchsorted(links[:, CHILD], lasts, side="right") - 1
    none = high < low
    left = links[np.minimum(low, len(links) - 1), PARENT].copy()
    right = links[np.maximum(high, 0), PARENT].copy()
    left[none], right[none] = 0, -1
    return left, right
