"""Where the fabric is stretched or pushed together: the strain of its posts.

Peaks and dips can't rise as fast as the flanks want to, so posts there are stretched: that is
where ripples show holes, and where they bunch.
"""

from dataclasses import dataclass

import numpy as np

from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.rows.build import Rows
from core.rows.plan import CHILD, PARENT


@dataclass(frozen=True, slots=True, eq=False)
class PostStrain:
    """The posts of some rows.

    Attributes:
        posts_mm: From the parent's top to the child's, shape (n, 2 ends, 2 axes).
        strain: Length over rest length, less one; negative where pushed together, shape (n,).
    """

    posts_mm: Floats
    strain: Floats


def post_strain(
    fabric: Fabric, rows: Rows, *, first: int = 1, last: int | None = None
) -> PostStrain:
    """Return the strain of every post of the rows from `first` to `last`."""
    last = fabric.n_rows if last is None else min(last, fabric.n_rows)
    heights = np.asarray(fabric.size.heights_mm)
    posts, rest = [np.empty((0, 2, 2))], [np.empty(0)]
    for row in range(max(first, 1), last + 1):
        links = rows.fabric_links(row)
        kinds = np.asarray(rows.in_fabric_order(row, rows.plan(row).kind)).astype(np.intp)
        foot = fabric.row_tops_mm(row - 1)[links[:, PARENT]]
        top = fabric.row_tops_mm(row)[links[:, CHILD]]
        posts.append(np.stack([foot, top], axis=1))
        rest.append(heights[kinds[links[:, CHILD]]])
    joined = np.concatenate(posts)
    length = np.linalg.norm(joined[:, 1] - joined[:, 0], axis=1)
    return PostStrain(joined, length / np.concatenate(rest) - 1.0)
