"""Where to start: rows laid as the closed form says, before any spring has pulled.

Where a row lies d stitches further along than the row below, a fabric of right-angled
stitches slopes by atan(d w / h). A flat start would fold over itself. Rows that follow each
other with different shapes can't change from one to the next at once, so each row takes the
mean over the rows about it.
"""

from typing import Final

import numpy as np

from core.fabric.energy import Frame
from core.fabric.net import Level
from core.fabric.springs import Floats, Proportions
from core.rows.build import Rows
from core.rows.plan import CHILD, PARENT

_GRID: Final = 96  # places along a repeat at least
_REACH: Final = 0.3  # of a repeat's width: how far up and down a change of shape is felt


def rough_column(rows: Rows, levels: list[Level], size: Proportions) -> tuple[Floats, Frame]:
    """Return a column one repeat wide, and its repeat.

    Args:
        rows: The blanket's rows.
        levels: Windows of rows 0, 1, 2, ..., all equally wide.
        size: Rest lengths.
    """
    width = levels[0].width
    grid = max(_GRID, 2 * width)
    drift, height = _drifts(rows, levels, size, grid)
    reach = max(_REACH * width * size.width_mm / float(height.mean()), 1.0)
    slope = _level_slopes(_spread(drift, reach) * (size.width_mm / height)[:, np.newaxis])
    halfway = 0.5 * (slope + np.roll(slope, -1, axis=1))
    step = size.width_mm * width / grid
    x = np.cumsum(step * np.cos(halfway), axis=1)
    y = np.cumsum(step * (np.sin(halfway) - np.sin(halfway).mean(axis=1, keepdims=True)), axis=1)
    repeat_mm = float(x[:, -1].mean())
    x *= repeat_mm / x[:, -1:]
    y -= y.mean(axis=1, keepdims=True)
    rise = height * (1.0 / np.cos(slope)).mean(axis=1)
    rise[0] = 0.0
    y += np.cumsum(rise)[:, np.newaxis]
    tops = []
    for row, level in enumerate(levels):
        phase = (np.arange(level.width) + level.left - levels[0].left) / level.width
        turn, at = np.divmod(phase * grid, grid)
        knots = np.arange(grid + 1)
        line_x = np.concatenate([[0.0], x[row]])
        line_y = np.concatenate([y[row, -1:], y[row]])
        tops.append(
            np.stack(
                [np.interp(at, knots, line_x) + turn * repeat_mm, np.interp(at, knots, line_y)],
                axis=1,
            )
        )
    return np.concatenate(tops), Frame(repeat_mm)


def flat_rows(rows: Rows, size: Proportions) -> Floats:
    """Return straight rows, each spread evenly over what it is worked into.

    Only for rows that can't be settled: those of a design that doesn't fit.
    """
    x, y = np.arange(rows.makes(0)) * size.width_mm, 0.0
    tops = [np.stack([x, np.zeros(len(x))], axis=1)]
    for row in range(1, rows.drawn_rows + 1):
        plan, links = rows.plan(row), rows.fabric_links(row)
        y += float(np.asarray(size.heights_mm)[plan.kind.astype(np.intp)].mean())
        left, right = x[links[:, PARENT]].min(), x[links[:, PARENT]].max()
        x = np.linspace(left, right, plan.makes) if plan.makes > 1 else np.array([left])
        tops.append(np.stack([x, np.full(len(x), y)], axis=1))
    return np.concatenate(tops)


def _drifts(rows: Rows, levels: list[Level], size: Proportions, grid: int) -> tuple[Floats, Floats]:
    """Return how far the stitches at each place of a row lie along from their parents.

    Returns:
        Drifts in stitches, shape (rows, grid), and mean heights of the rows, shape (rows,); the
        foundation, which is worked into nothing, takes row 1's.
    """
    known: dict[tuple[int, ...], tuple[Floats, float]] = {}
    drifts, heights = [], []
    for level in levels:
        row = max(level.row, 1)
        key = (int(rows.which[row - 1]), row % 2, level.left, rows.makes(row))
        if key not in known:
            known[key] = _drift(rows, row, level, levels[0], size, grid)
        drift, height = known[key]
        drifts.append(drift)
        heights.append(height)
    return np.stack(drifts), np.array(heights)


def _drift(
    rows: Rows, row: int, level: Level, first: Level, size: Proportions, grid: int
) -> tuple[Floats, float]:
    links = rows.fabric_links(row)
    count = np.bincount(links[:, CHILD], minlength=1)
    along = np.bincount(links[:, CHILD], links[:, CHILD] - links[:, PARENT])
    worked = np.flatnonzero(count)
    every = np.arange(level.left, level.left + level.width)
    drift = np.interp(every, worked, along[worked] / count[worked])
    phase = (every - first.left) / level.width % 1.0
    wanted = np.arange(grid) / grid
    kinds = np.asarray(rows.in_fabric_order(row, rows.plan(row).kind)).astype(np.intp)
    height = np.asarray(size.heights_mm)[kinds][every[every < len(kinds)]].mean()
    return np.interp(wanted, phase, drift, period=1.0), float(max(height, 1e-3))


def _spread(values: Floats, reach: float) -> Floats:
    """Return the mean of every row with the rows about it, near ones counting more."""
    away = np.arange(-int(3 * reach) - 1, int(3 * reach) + 2)
    weight = np.exp(-0.5 * (away / reach) ** 2)
    total, share = np.zeros_like(values), np.zeros(len(values))
    n_rows = len(values)
    for step, much in zip(away.tolist(), weight.tolist(), strict=True):
        first, end = max(0, -step), n_rows - max(0, step)
        if first < end:
            total[first:end] += much * values[first + step : end + step]
            share[first:end] += much
    spread: Floats = total / share[:, np.newaxis]
    return spread


def _level_slopes(tangent: Floats) -> Floats:
    """Return each row's slopes, set off so that their sines cancel: no repeat climbs."""
    low, high = tangent.min(axis=1), tangent.max(axis=1)
    for _ in range(50):
        middle = 0.5 * (low + high)
        above = np.sin(np.arctan(tangent - middle[:, np.newaxis])).sum(axis=1) > 0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    slopes: Floats = np.arctan2(-(tangent - 0.5 * (low + high)[:, np.newaxis]), 1.0)
    return slopes
