"""Rows' lines sampled at columns of pixels, many rows in one go."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.fabric.view import View
from core.rows.plan import Indices

Points = NDArray[np.complex128]

_STILL_PX: Final = 0.02  # sideways: copies that wander further are sampled one by one
_APART: Final = 4.0  # rows lie behind each other this many times the width all of them need


def rows_in_view(fabric: Fabric, view: View, margin_mm: float = 0.0) -> tuple[int, int]:
    """Return the first and last row of which something shows, or lies so near; (1, 0) if none."""
    low = view.top_mm - view.height_px / view.px_per_mm - margin_mm
    y, starts = fabric.tops_mm[:, 1], fabric.starts[:-1]
    lowest, highest = np.minimum.reduceat(y, starts), np.maximum.reduceat(y, starts)
    seen = np.flatnonzero((highest[1:] >= low) & (lowest[:-1] <= view.top_mm + margin_mm))
    return (int(seen[0]) + 1, int(seen[-1]) + 1) if len(seen) else (1, 0)


def lines_px(fabric: Fabric, rows: Indices, view: View) -> NDArray[np.float32]:
    """Return how far below a view's top some rows' tops run, in pixels.

    A line goes on level beyond its ends; where a row turns back, it stands still sideways.

    Args:
        fabric: Where the tops lie.
        rows: Numbers of the rows, 0 for the foundation; at least one.
        view: Gives the columns, taken at their middles.

    Returns:
        Shape (len(rows), view.width_px).
    """
    steady = fabric.steady
    if steady is None or fabric.settled:
        return _sampled(fabric, rows, view)
    # A sketch repeats its steady state, so most of its rows are copies of a few.
    like = np.where(rows < steady.first, rows, steady.first + (rows - steady.first) % steady.period)
    tops = _as_complex(fabric)
    moved = tops[fabric.starts[rows]] - tops[fabric.starts[like]]
    if np.abs(moved.real).max() * view.px_per_mm > _STILL_PX:
        return _sampled(fabric, rows, view)
    few, which = np.unique(like, return_inverse=True)
    lines = _sampled(fabric, few, view)[which]
    lines -= (moved.imag * view.px_per_mm).astype(np.float32)[:, np.newaxis]
    return lines


def _sampled(fabric: Fabric, rows: Indices, view: View) -> NDArray[np.float32]:
    counts = fabric.starts[rows + 1] - fabric.starts[rows]
    lengths = counts + 2  # every row has an end far out on each side
    ends = np.cumsum(lengths)
    starts = ends - lengths
    # One place more than its row has at either end; those are put right below.
    at = np.arange(ends[-1]) + np.repeat(fabric.starts[rows] - starts - 1, lengths)
    at[starts] += 1
    at[ends - 1] -= 1
    tops = _as_complex(fabric).take(at)
    x = (tops.real - view.left_mm) * view.px_per_mm
    y = (view.top_mm - tops.imag) * view.px_per_mm
    low, high = min(float(x.min()), 0.0) - 1.0, max(float(x.max()), float(view.width_px)) + 1.0
    x[starts], x[ends - 1] = low, high
    # Laid behind each other, all rows are one line that never turns back: one look-up does.
    behind = np.arange(len(rows)) * (_APART * (high - low))
    x += np.repeat(behind, lengths)
    np.maximum.accumulate(x, out=x)
    columns = (np.arange(view.width_px) + 0.5) + behind[:, np.newaxis]
    found: Floats = np.interp(columns.ravel(), x, y)
    return found.astype(np.float32).reshape(len(rows), view.width_px)


def _as_complex(fabric: Fabric) -> Points:
    points: Points = np.ascontiguousarray(fabric.tops_mm).view(np.complex128)[:, 0]
    return points


def passed(lines: NDArray[np.float32], top_px: int, bottom_px: int) -> NDArray[np.uint16]:
    """Return how many of some lines run above each pixel's middle.

    Args:
        lines: From the lowest up, shape (lines, width), as `lines_px` returns them. Where lines
            cross, a pixel below a lower one is below all that are higher.
        top_px: First row of pixels.
        bottom_px: The one after the last.

    Returns:
        Shape (bottom_px - top_px, width).
    """
    n_lines, width = lines.shape
    height = bottom_px - top_px
    first = np.clip(np.ceil(lines[::-1] - np.float32(top_px + 0.5)), 0, height).astype(np.int32)
    first *= width  # of the pixels below the line, in each column
    first += np.arange(width, dtype=np.int32)
    marks = np.zeros((height + 1) * width, dtype=np.uint16)
    # Higher lines come first and the last to be put down stays: the lowest in a pixel counts.
    marks[first.ravel()] = np.repeat(np.arange(1, n_lines + 1, dtype=np.uint16), width)
    below: NDArray[np.uint16] = marks.reshape(height + 1, width)[:height]
    np.maximum.accumulate(below, axis=0, out=below)
    return below
