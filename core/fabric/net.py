"""A piece of fabric as a net: numbered nodes, springs between them, images of a repeat.

A net may be periodic. Then a spring may end at an *image* of a node: the node moved by so
many repeats across and so many periods up. How far one repeat and one period move things is
part of the unknowns, or given.
"""

from collections.abc import Sequence

import numpy as np

from core.fabric.springs import Flags, Floats, Proportions, RowSprings, course_springs, row_springs
from core.records import Struct, replace
from core.rows.build import Rows
from core.rows.plan import Indices


class Net(Struct, frozen=True, eq=False):
    """Springs between numbered nodes.

    Attributes:
        n_nodes: Number of nodes.
        width_mm: Stitch width.
        ends: Nodes at both ends of every spring, shape (n_springs, 2).
        across: Repeats between the second end's image and the first's, shape (n_springs,).
        up: Periods between them, shape (n_springs,).
        rest_mm: Shape (n_springs,).
        stiffness: Shape (n_springs,).
        kind: `COURSE`, `POST` or `SHEAR`, shape (n_springs,).
        corners: Triangles that must stay anticlockwise, shape (n_triangles, 3).
        corner_across: Repeats that each corner's image is away, shape (n_triangles, 3).
        corner_up: Periods, shape (n_triangles, 3).
    """

    n_nodes: int
    width_mm: float
    ends: Indices
    across: Indices
    up: Indices
    rest_mm: Floats
    stiffness: Floats
    kind: Indices
    corners: Indices
    corner_across: Indices
    corner_up: Indices

    def touching(self, wanted: Flags) -> "Net":
        """Return the net with only the springs and cells that touch a wanted node."""
        springs = wanted[self.ends].any(axis=1)
        cells = wanted[self.corners].any(axis=1)
        return replace(
            self,
            ends=self.ends[springs],
            across=self.across[springs],
            up=self.up[springs],
            rest_mm=self.rest_mm[springs],
            stiffness=self.stiffness[springs],
            kind=self.kind[springs],
            corners=self.corners[cells],
            corner_across=self.corner_across[cells],
            corner_up=self.corner_up[cells],
        )


class Level(Struct, frozen=True):
    """How one row of the net is numbered.

    Attributes:
        row: Row of the blanket.
        offset: Number of the node at the window's left end.
        left: Stitch of the row at the window's left end.
        width: Stitches in the window; beyond it come images.
        up: Periods that the nodes lie above where the row is.
    """

    row: int
    offset: int
    left: int
    width: int
    up: int = 0

    def node(self, stitch: Indices) -> tuple[Indices, Indices]:
        """Return the node of each stitch, and the repeats its image is away."""
        across, local = np.divmod(stitch - self.left, self.width)
        return self.offset + local, across


class SpringBook:
    """Looks up the springs of any row; rows of one kind are worked out once."""

    def __init__(self, rows: Rows, size: Proportions) -> None:
        self._rows = rows
        self._size = size
        self._known: dict[tuple[int, ...], RowSprings] = {}

    @property
    def width_mm(self) -> float:
        """The stitch width."""
        return self._size.width_mm

    def springs(self, row: int) -> RowSprings:
        """Return the springs that end in row `row`; row 0 is the foundation chain."""
        rows = self._rows
        kind = 1 + int(rows.which[row - 1]) if row else 0
        key = (kind, row % 2, rows.makes(row), rows.makes(row - 1) if row else 0)
        if key not in self._known:
            self._known[key] = self._work_out(row)
        return self._known[key]

    def _work_out(self, row: int) -> RowSprings:
        rows = self._rows
        if row == 0:
            return course_springs(rows.makes(0), self._size)
        kinds = np.asarray(rows.in_fabric_order(row, rows.plan(row).kind), dtype=np.uint8)
        return row_springs(rows.fabric_links(row), kinds, self._size)


def build_net(
    book: SpringBook, levels: Sequence[Level], below: Level | None, *, periodic: bool
) -> Net:
    """Return the net of the rows that `levels` number.

    Args:
        book: The springs by row.
        levels: The rows, from below upwards.
        below: The level under the first; None leaves the first row's posts out.
        periodic: Keep what starts inside the window, and let images stand for the rest;
            otherwise the window is the whole row.
    """
    parts = []
    for level in levels:
        parts.append(_level_parts(book.springs(level.row), level, below, periodic=periodic))
        below = level
    columns = [np.concatenate(column) for column in zip(*parts, strict=True)]
    return Net(sum(level.width for level in levels), book.width_mm, *columns)


def _level_parts(
    springs: RowSprings, level: Level, below: Level | None, *, periodic: bool
) -> tuple[Indices, Indices, Indices, Floats, Floats, Indices, Indices, Indices, Indices]:
    keep = np.ones(len(springs.at), dtype=bool)
    keep_cell = np.ones(len(springs.corners), dtype=bool)
    if periodic:
        keep &= (springs.at >= level.left) & (springs.at < level.left + level.width)
        anchor = springs.corners[:, 2] - level.left  # the third corner is always in this row
        keep_cell &= (anchor >= 0) & (anchor < level.width)
    if below is None:
        keep &= ~springs.below
        keep_cell &= False
        below = level
    at, at_across = level.node(springs.at[keep])
    other = _looked_up(springs.other[keep], springs.below[keep], level, below)
    corner = _looked_up(springs.corners[keep_cell], springs.corner_below[keep_cell], level, below)
    return (
        np.stack([at, other[0]], axis=1),
        other[1] - at_across,
        other[2],
        springs.rest_mm[keep],
        springs.stiffness[keep],
        springs.kind[keep],
        *corner,
    )


def _looked_up(
    stitch: Indices, is_below: Flags, level: Level, below: Level
) -> tuple[Indices, Indices, Indices]:
    here, here_across = level.node(stitch)
    down, down_across = below.node(stitch)
    return (
        np.where(is_below, down, here),
        np.where(is_below, down_across, here_across),
        np.where(is_below, below.up, level.up),
    )
