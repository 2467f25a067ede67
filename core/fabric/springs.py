"""The springs of one row: to its neighbours along the row, and to the row below.

A node is a stitch's top. Three kinds of spring hold it (energy k/2 (length - rest)^2):

course  neighbouring tops of one row; rest one stitch width, stiffness 1
post    a parent's top to the child's; rest the child's height, stiffness 1
shear   both diagonals of the cell between neighbouring posts; rest sqrt(h^2 + base * top),
        which is Ptolemy's theorem for legs of equal length on parallel sides; stiffness
        is the firmness

Two posts that share a parent or a child make a triangle and need no diagonal. A chain has no
post, so nothing would say which side of its row it lies on: two stays of shear stiffness tie
it to the feet of the posts on either side.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CHAIN, KEYS, NUMBER, height_ratio
from core.design.document import Gauge
from core.records import Struct
from core.rows.plan import CHILD, PARENT, Indices

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

COURSE: Final = 0
POST: Final = 1
SHEAR: Final = 2

DEFAULT_FIRMNESS: Final = 0.5
"""Fits published ripples that state gauge, rows and size best; see DEVELOPERS.md."""


class Proportions(Struct, frozen=True):
    """What the springs need to know of the gauge.

    Attributes:
        width_mm: Stitch width.
        heights_mm: Post length by catalogue number.
        firmness: Stiffness of the shear springs.
    """

    width_mm: float
    heights_mm: tuple[float, ...]
    firmness: float


def proportions_of(gauge: Gauge) -> Proportions:
    """Return the stitch sizes that follow from a plain swatch in one stitch."""
    firmness = DEFAULT_FIRMNESS if gauge.firmness is None else gauge.firmness
    heights = tuple(gauge.row_height_mm * height_ratio(key, gauge.stitch) for key in KEYS)
    return Proportions(gauge.stitch_width_mm, heights, firmness)


LEAST_CELL: Final = 0.02
"""Area below which a cell's triangle pushes back, in squares of the stitch width."""

PUSH: Final = 100.0
"""How hard it does: a triangle gone flat pushes like a spring stretched by a stitch width."""


class RowSprings(Struct, frozen=True, eq=False):
    """The springs whose upper end is in one row, and its cells.

    Attributes:
        at: Stitch of this row, from the fabric's left edge, shape (n,).
        other: Stitch at the spring's other end, shape (n,).
        below: Whether that one is in the row below, shape (n,).
        rest_mm: Length at rest, shape (n,).
        stiffness: Shape (n,).
        kind: `COURSE`, `POST` or `SHEAR`, shape (n,).
        corners: Triangles of the row's cells, anticlockwise, shape (n_triangles, 3).
        corner_below: Whether a corner is in the row below, shape (n_triangles, 3).
    """

    at: Indices
    other: Indices
    below: Flags
    rest_mm: Floats
    stiffness: Floats
    kind: Indices
    corners: Indices
    corner_below: Flags


def course_springs(n_stitches: int, size: Proportions) -> RowSprings:
    """Return the springs of the foundation chain, which has no row below."""
    return _joined([_course(n_stitches, size)], _no_triangles(), _no_triangles().astype(bool))


def row_springs(links: Indices, kinds: NDArray[np.uint8], size: Proportions) -> RowSprings:
    """Return the springs and cells of one row.

    Args:
        links: (child, parent) pairs numbered from the left edge, sorted, shape (n_links, 2).
        kinds: Catalogue number of each of the row's stitches from the left, shape (n,).
        size: Rest lengths.
    """
    height = np.asarray(size.heights_mm)[kinds]
    child, parent = links[:, CHILD], links[:, PARENT]
    post = (child, parent, True, height[child], 1.0, POST)
    parts = [_course(len(kinds), size), post]
    parts += _shear(links, height, size)
    parts += _stays(links, kinds, height, size)
    corners, corner_below = _triangles(links)
    return _joined(parts, corners, corner_below)


_Part = tuple[Indices, Indices, bool, Floats, float, int]


def _course(n_stitches: int, size: Proportions) -> _Part:
    left = np.arange(n_stitches - 1)
    return (left + 1, left, False, np.full(len(left), size.width_mm), 1.0, COURSE)


def _shear(links: Indices, height: Floats, size: Proportions) -> list[_Part]:
    first, second = _cells(links)
    sides = (second - first).prod(axis=1) * size.width_mm**2  # base times top
    parts: list[_Part] = []
    for top, foot in ((second, first), (first, second)):
        at = top[:, CHILD]
        rest = np.sqrt(height[at] ** 2 + sides)
        parts.append((at, foot[:, PARENT], True, rest, size.firmness, SHEAR))
    return parts


def _cells(links: Indices) -> tuple[Indices, Indices]:
    """Return the left and the right post of every four-cornered cell, shapes (n_cells, 2)."""
    whole = (np.diff(links, axis=0) > 0).all(axis=1)
    return links[:-1][whole], links[1:][whole]


def _stays(
    links: Indices, kinds: NDArray[np.uint8], height: Floats, size: Proportions
) -> list[_Part]:
    """Return the two stays of every chain: to the last foot on its left, the first on its right."""
    chains = np.flatnonzero(kinds == NUMBER[CHAIN])
    if not len(chains) or not len(links):
        return []
    parts: list[_Part] = []
    for step in (-1, 0):
        near = np.searchsorted(links[:, CHILD], chains, side="left") + step
        has = (near >= 0) & (near < len(links))
        at, post = chains[has], links[near[has]]
        away = (at - post[:, CHILD]) * size.width_mm
        rest = np.sqrt(height[post[:, CHILD]] ** 2 + away**2)
        parts.append((at, post[:, PARENT], True, rest, size.firmness, SHEAR))
    return parts


def _triangles(links: Indices) -> tuple[Indices, Flags]:
    """Return every cell as triangles, anticlockwise when nothing is turned inside out."""
    steps = np.diff(links, axis=0)
    (c1, p1), (c2, p2) = links[:-1].T, links[1:].T
    wide_below, wide_above = steps[:, PARENT] > 0, steps[:, CHILD] > 0
    lower = np.stack([p1, p2, c2], axis=1)[wide_below]
    upper = np.stack([p1, c2, c1], axis=1)[wide_above]
    below = [np.tile([True, True, False], (len(lower), 1))]
    below += [np.tile([True, False, False], (len(upper), 1))]
    return np.concatenate([lower, upper]), np.concatenate(below)


def _no_triangles() -> Indices:
    return np.empty((0, 3), dtype=np.intp)


def _joined(parts: list[_Part], corners: Indices, corner_below: Flags) -> RowSprings:
    counts = [len(part[0]) for part in parts]
    return RowSprings(
        at=np.concatenate([part[0] for part in parts]),
        other=np.concatenate([part[1] for part in parts]),
        below=np.repeat([part[2] for part in parts], counts),
        rest_mm=np.concatenate([part[3] for part in parts]),
        stiffness=np.repeat([part[4] for part in parts], counts),
        kind=np.repeat([part[5] for part in parts], counts),
        corners=corners,
        corner_below=corner_below,
    )
