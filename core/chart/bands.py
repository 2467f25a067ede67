"""Bands of colour behind the symbols: the ground that a stripe covers, row by row."""

from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.chart.symbols import Floats
from core.fabric.sheet import Fabric
from core.records import Struct
from core.stripes.sequence import Indices

Points = NDArray[np.complex128]

_AS_COMPLEX: Final = np.array([1.0, 1j])


class Band(Struct, frozen=True, eq=False):
    """The ground of neighbouring rows in one yarn.

    Attributes:
        yarn: Number of the yarn.
        first: Its first row.
        last: Its last row.
        outline_mm: Closed outline, shape (n, 2): below, right, above, left.
        corners: Where in it the right side begins, the line above, and the left side.
    """

    yarn: int
    first: int
    last: int
    outline_mm: Floats
    corners: tuple[int, int, int]


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
    ends = [first + end - 1 for end in [*starts[1:], len(yarns)]]
    lines = _lines_mm(fabric, np.array([first - 1, *ends]), between_mm)
    left, right = sides_mm(fabric, np.arange(first, last))
    bands = []
    for number, (start, high) in enumerate(zip(starts, ends, strict=True)):
        low, below, above = first + start, lines[number], lines[number + 1]
        inner = slice(low - first, high - first)  # rows that end within the band
        up, down = right[inner], left[inner][::-1]
        if between_mm is not None:
            up, down = up[up[:, 0] <= between_mm[1]], down[down[:, 0] >= between_mm[0]]
        outline = np.concatenate([below, up, above[::-1], down])
        corners = len(below), len(below) + len(up), len(outline) - len(down)
        bands.append(Band(int(yarns[start]), low, high, outline, corners))
    return tuple(bands)


def _lines_mm(
    fabric: Fabric,
    rows: Indices,
    between_mm: tuple[float, float] | None,
) -> list[Floats]:
    """Return the edge lines of some rows, cut, all of them at once."""
    left, right = sides_mm(fabric, rows)
    lengths = fabric.starts[rows + 1] - fabric.starts[rows] + 2
    ends = np.cumsum(lengths)
    starts = ends - lengths
    place = np.arange(ends[-1]) - np.repeat(starts, lengths)
    at = np.clip(np.repeat(fabric.starts[rows], lengths) + place - 1, 0, len(fabric.tops_mm) - 1)
    points = np.ascontiguousarray(fabric.tops_mm).view(np.complex128)[:, 0][at]
    points[starts], points[ends - 1] = left @ _AS_COMPLEX, right @ _AS_COMPLEX
    line = np.repeat(np.arange(len(rows)), lengths)
    if between_mm is not None:
        x = points.real
        inside = np.flatnonzero((x >= between_mm[0]) & (x <= between_mm[1]))
        low, high = np.full(len(rows), len(points)), np.full(len(rows), -1)
        # Lines lie one after another, so the last to be put down wins.
        low[line[inside[::-1]]], high[line[inside]] = inside[::-1], inside
        which = np.arange(len(points))  # one point beyond at each end
        kept = (which >= low[line] - 1) & (which <= high[line] + 1)
        points, line = points[kept], line[kept]
    pairs = points.view(np.float64).reshape(-1, 2)
    cuts = [0, *np.searchsorted(line, np.arange(1, len(rows))).tolist(), len(pairs)]
    return [pairs[cut:end] for cut, end in pairwise(cuts)]


def sides_mm(fabric: Fabric, rows: Indices) -> tuple[Floats, Floats]:
    """Return the ends of some rows' lines, left and right, shape (len(rows), 2) each.

    Half a stitch beyond the outermost tops.
    """
    tops, starts = fabric.tops_mm, fabric.starts[rows]
    ends = fabric.starts[rows + 1] - 1
    several = (ends > starts)[:, np.newaxis]
    half = np.array([fabric.size.width_mm, 0.0])
    last = len(tops) - 1
    right_step = np.where(several, tops[ends] - tops[np.maximum(ends - 1, 0)], half)
    left_step = np.where(several, tops[np.minimum(starts + 1, last)] - tops[starts], half)
    return tops[starts] - 0.5 * left_step, tops[ends] + 0.5 * right_step


def edge_line_mm(fabric: Fabric, row: int) -> Floats:
    """Return a row's tops with half a stitch added at both ends, shape (n + 2, 2)."""
    tops = fabric.row_tops_mm(row)
    if len(tops) < 2:
        half = np.array([0.5 * fabric.size.width_mm, 0.0])
        return np.concatenate([tops[:1] - half, tops, tops[-1:] + half])
    first = tops[:1] - 0.5 * (tops[1:2] - tops[:1])
    last = tops[-1:] + 0.5 * (tops[-1:] - tops[-2:-1])
    return np.concatenate([first, tops, last])
