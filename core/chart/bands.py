"""Bands of colour behind the symbols: the ground that a stripe covers, row by row."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.chart.symbols import Floats
from core.fabric.sheet import Fabric
from core.stripes.sequence import Indices

Points = NDArray[np.complex128]

_AS_COMPLEX: Final = np.array([1.0, 1j])


@dataclass(frozen=True, slots=True, eq=False)
class Band:
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
    within_mm: float = 0.0,
) -> tuple[Band, ...]:
    """Return one band for every run of rows in one yarn, from below.

    Args:
        fabric: Where the tops lie.
        yarn_of_row: Number of each row's yarn, shape (rows,).
        first: First row wanted.
        last: Last row wanted; None for the fabric's last.
        between_mm: Leave out what lies left or right of these.
        within_mm: How far a point may lie from the straight way past it and be left out. Points
            are left out in three passes with all of it, a half and a quarter, so an outline stays
            within 1.75 times this of the tops. Neighbours share their line all the same.
    """
    last = fabric.n_rows if last is None else min(last, fabric.n_rows)
    if last < first:
        return ()
    yarns = yarn_of_row[first - 1 : last]
    starts = [0, *(np.flatnonzero(np.diff(yarns)) + 1).tolist()]
    ends = [first + end - 1 for end in [*starts[1:], len(yarns)]]
    lines = _lines_mm(fabric, np.array([first - 1, *ends]), between_mm, within_mm)
    left, right = _sides_mm(fabric, np.arange(first, last))
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
    within_mm: float,
) -> list[Floats]:
    """Return the edge lines of some rows, cut and thinned, all of them at once."""
    left, right = _sides_mm(fabric, rows)
    lengths = fabric.starts[rows + 1] - fabric.starts[rows] + 2
    ends = np.cumsum(lengths)
    starts = ends - lengths
    place = np.arange(ends[-1]) - np.repeat(starts, lengths)
    at = np.clip(np.repeat(fabric.starts[rows], lengths) + place - 1, 0, len(fabric.tops_mm) - 1)
    points = np.ascontiguousarray(fabric.tops_mm).view(np.complex128)[:, 0][at]
    points[starts], points[ends - 1] = left @ _AS_COMPLEX, right @ _AS_COMPLEX
    line = np.repeat(np.arange(len(rows)), lengths)
    # Thinned before they are cut, so that a line is the same in every piece of it.
    allowed = within_mm
    while within_mm and len(points) and allowed > 0.2 * within_mm:
        stays = _far_from_their_neighbours(points, line, allowed)
        if len(stays) == len(points):
            break
        points, line = points[stays], line[stays]
        allowed *= 0.5  # a way past one left out moves by no more than later passes allow
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


def _far_from_their_neighbours(points: Points, line: Indices, within_mm: float) -> Indices:
    """Return all points but every second of each line that lies near the straight way past it."""
    counts = np.bincount(line)
    first = np.repeat(np.cumsum(counts) - counts, counts)  # where each point's line begins
    odd = (np.arange(len(points)) - first) % 2 == 1
    odd[-1:] = False
    odd[:-1] &= line[1:] == line[:-1]  # a line's last point stays
    here = np.flatnonzero(odd)
    before = points[here - 1]
    way, off = points[here + 1] - before, points[here] - before
    cross = np.abs(way.real * off.imag - way.imag * off.real)
    odd[here] = cross <= within_mm * np.maximum(np.abs(way), 1e-9)
    return np.flatnonzero(~odd)


def _sides_mm(fabric: Fabric, rows: Indices) -> tuple[Floats, Floats]:
    """Return the ends of some rows' lines, left and right, shape (len(rows), 2) each."""
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
