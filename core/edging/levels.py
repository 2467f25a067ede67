"""Stitches as steps of height, and the best steps for heights that are wished for.

Neighbouring stitches differ by one step at most, so that a fill row rises and falls smoothly.
"""

from typing import Final, cast

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CATALOGUE, NUMBER, WORKED, WorkedStitch
from core.fabric.springs import Floats, Proportions

Levels = NDArray[np.intp]

STEPS: Final[tuple[WorkedStitch, ...]] = tuple(
    sorted(WORKED, key=lambda key: CATALOGUE[key].height_to_width)
)
"""Stitches from the lowest to the tallest: what a fill row is made of."""

_LIKE: Final = 0.06  # stitch widths within which two heights are the same
_PREFERRED: Final = 1e-6  # so little is said for the lower of two equally good steps


def step_heights_mm(size: Proportions) -> Floats:
    """Return the height of every step, shape (len(STEPS),)."""
    return np.array([size.heights_mm[NUMBER[key]] for key in STEPS])


def stitches_of(levels: Levels) -> tuple[WorkedStitch, ...]:
    """Return the stitches of some steps."""
    return tuple(STEPS[int(level)] for level in levels)


def levels_of(stitches: tuple[WorkedStitch, ...]) -> Levels:
    """Return the steps of some stitches."""
    return np.array([STEPS.index(stitch) for stitch in stitches], dtype=np.intp)


def nearest_levels(
    wanted_mm: Floats,
    size: Proportions,
    *,
    lowest: int = 0,
    around: bool = True,
    axis: int | None = None,
) -> Levels:
    """Return the steps nearest to the wanted heights, neighbours one step apart at most.

    Args:
        wanted_mm: Height wished for at every stitch, shape (n,).
        size: Rest lengths.
        lowest: The lowest step that may be used.
        around: Whether the last stitch is a neighbour of the first, as in a repeat.
        axis: From `mirror_axis`, where the steps have to be the same on both sides of it.
    """
    costs = _costs(wanted_mm, size, lowest)
    if axis is not None:
        return _mirrored(costs, axis)
    if around:
        return _closed(costs)
    if len(costs) and np.allclose(wanted_mm, wanted_mm[::-1], atol=_LIKE * size.width_mm):
        n = len(costs)
        both = (costs + costs[::-1])[: (n + 1) // 2]
        half = _open(both)
        return np.concatenate([half, half[: n // 2][::-1]])
    return _open(costs)


def mirror_axis(values: Floats) -> int | None:
    """Return a number a with values[(a - i) % n] equal to values[i] for all i, or None."""
    n = len(values)
    places = np.arange(n)
    every = values[(np.arange(n)[:, np.newaxis] - places) % n]  # (axes, n)
    good = np.flatnonzero((np.abs(every - values) <= _LIKE).all(axis=1))
    return int(good[0]) if len(good) else None


def _costs(wanted_mm: Floats, size: Proportions, lowest: int) -> Floats:
    heights = step_heights_mm(size)
    scaled = (heights - wanted_mm[:, np.newaxis]) / size.width_mm
    costs: Floats = scaled**2 + _PREFERRED * np.arange(len(heights))
    costs[:, :lowest] = np.inf
    return costs


def _mirrored(costs: Floats, axis: int) -> Levels:
    """Return the best steps that are the same at i and axis - i."""
    n = len(costs)
    # Walk from one end of the axis to the other; every place on the way stands for a pair.
    pairs = n // 2 + 1 if axis % 2 == 0 else (n + 1) // 2
    walked = ((axis + 1) // 2 + np.arange(pairs)) % n
    partner = (axis - walked) % n
    share = np.where(partner == walked, 0.5, 1.0)[:, np.newaxis]
    found = _open(share * (costs[walked] + costs[partner]))
    levels = np.zeros(n, dtype=np.intp)
    levels[walked] = found
    levels[partner] = found
    return levels


def _closed(costs: Floats) -> Levels:
    """Return the best steps round a repeat: every first step is tried."""
    best: tuple[float, Levels] | None = None
    for first in range(costs.shape[1]):
        held = costs.copy()
        held[0, np.arange(costs.shape[1]) != first] = np.inf
        last = np.abs(np.arange(costs.shape[1]) - first) > 1
        held[-1, last] = np.inf
        found = _open(held)
        cost = float(held[np.arange(len(held)), found].sum())
        if np.isfinite(cost) and (best is None or cost < best[0]):
            best = cost, found
    assert best is not None  # all the same step is always possible
    return best[1]


def _open(costs: Floats) -> Levels:
    """Return the best steps along a row with loose ends."""
    n, n_steps = costs.shape
    if not n:
        return np.zeros(0, dtype=np.intp)
    steps = np.arange(n_steps)
    apart = np.where(np.abs(steps[:, np.newaxis] - steps) <= 1, 0.0, np.inf)
    total = costs[0]
    came_from = np.zeros((n, n_steps), dtype=np.intp)
    for place in range(1, n):
        through = total[:, np.newaxis] + apart  # (from, to)
        came_from[place] = np.argmin(through, axis=0)
        total = through[came_from[place], steps] + costs[place]
    found = np.zeros(n, dtype=np.intp)
    found[-1] = int(np.argmin(total))
    for place in range(n - 1, 0, -1):
        found[place - 1] = came_from[place, found[place]]
    return cast("Levels", found)
