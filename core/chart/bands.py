"""Bands of colour behind the symbols: the ground that a stripe covers, row by row."""

from dataclasses import dataclass

import numpy as np

from core.chart.symbols import Floats
from core.fabric.sheet import Fabric
from core.stripes.sequence import Indices


@dataclass(frozen=True, slots=True, eq=False)
class Band:
    """The ground of neighbouring rows in one yarn.

    Attributes:
        yarn: Number of the yarn.
        first: Its first row.
        last: Its last row.
        outline_mm: Closed outline, shape (n, 2).
    """

    yarn: int
    first: int
    last: int
    outline_mm: Floats


def bands_of(
    fabric: Fabric,
    yarn_of_row: Indices,
    *,
    first: int = 1,
    last: int | None = None,
    between_mm: tuple[float, float] | None = None,
) -> tuple[Band, ...]:
    """Return one band for every run of rows in one yarn, from below.

    Args:
        fabric: Where the tops lie.
        yarn_of_row: Number of each row's yarn, shape (rows,).
        first: First row wanted.
        last: Last row wanted; None for the fabric's last.
        between_mm: Leave out what lies left or right of these.
    """
    last = fabric.n_rows if last is None else min(last, fabric.n_rows)
    if last < first:
        return ()
    yarns = yarn_of_row[first - 1 : last]
    starts = [0, *(np.flatnonzero(np.diff(yarns)) + 1).tolist()]
    bands = []
    for start, end in zip(starts, [*starts[1:], len(yarns)], strict=True):
        low, high = first + start, first + end - 1
        outline = _outline(fabric, low, high, between_mm)
        bands.append(Band(int(yarns[start]), low, high, outline))
    return tuple(bands)


def _outline(
    fabric: Fabric, first: int, last: int, between_mm: tuple[float, float] | None
) -> Floats:
    lines = [_cut(edge_line_mm(fabric, row), between_mm) for row in (first - 1, last)]
    sides = [edge_line_mm(fabric, row) for row in range(first, last)]
    right = np.array([side[-1] for side in sides]).reshape(-1, 2)
    left = np.array([side[0] for side in sides[::-1]]).reshape(-1, 2)
    if between_mm is not None:
        right = right[right[:, 0] <= between_mm[1]]
        left = left[left[:, 0] >= between_mm[0]]
    return np.concatenate([lines[0], right, lines[1][::-1], left])


def _cut(line: Floats, between_mm: tuple[float, float] | None) -> Floats:
    """Return the part of a line between two places, with one point beyond at each end."""
    if between_mm is None:
        return line
    inside = np.flatnonzero((line[:, 0] >= between_mm[0]) & (line[:, 0] <= between_mm[1]))
    if not len(inside):
        return line[:0]
    return line[max(inside[0] - 1, 0) : inside[-1] + 2]


def edge_line_mm(fabric: Fabric, row: int) -> Floats:
    """Return a row's tops with half a stitch added at both ends, shape (n + 2, 2)."""
    tops = fabric.row_tops_mm(row)
    if len(tops) < 2:
        half = np.array([0.5 * fabric.size.width_mm, 0.0])
        return np.concatenate([tops[:1] - half, tops, tops[-1:] + half])
    first = tops[:1] - 0.5 * (tops[1:2] - tops[:1])
    last = tops[-1:] + 0.5 * (tops[-1:] - tops[-2:-1])
    return np.concatenate([first, tops, last])
