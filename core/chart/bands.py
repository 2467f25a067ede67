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


def bands_of(fabric: Fabric, yarn_of_row: Indices) -> tuple[Band, ...]:
    """Return one band for every run of rows in one yarn, from the foundation up."""
    bands: list[Band] = []
    n_rows = fabric.n_rows
    changes = np.flatnonzero(np.diff(yarn_of_row[:n_rows])) + 1
    starts = [0, *changes.tolist()] if n_rows else []
    for start, end in zip(starts, [*starts[1:], n_rows], strict=True):
        first, last = start + 1, end
        lower, upper = edge_line_mm(fabric, first - 1), edge_line_mm(fabric, last)
        sides = [edge_line_mm(fabric, row) for row in range(first, last)]
        right = np.array([side[-1] for side in sides]).reshape(-1, 2)
        left = np.array([side[0] for side in sides[::-1]]).reshape(-1, 2)
        outline = np.concatenate([lower, right, upper[::-1], left])
        bands.append(Band(int(yarn_of_row[start]), first, last, outline))
    return tuple(bands)


def edge_line_mm(fabric: Fabric, row: int) -> Floats:
    """Return a row's tops with half a stitch added at both ends, shape (n + 2, 2)."""
    tops = fabric.row_tops_mm(row)
    if len(tops) < 2:
        half = np.array([0.5 * fabric.size.width_mm, 0.0])
        return np.concatenate([tops[:1] - half, tops, tops[-1:] + half])
    first = tops[:1] - 0.5 * (tops[1:2] - tops[:1])
    last = tops[-1:] + 0.5 * (tops[-1:] - tops[-2:-1])
    return np.concatenate([first, tops, last])
