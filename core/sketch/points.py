"""Control points: a smooth curve through a few, and the few that stand for a curve."""

from itertools import pairwise
from typing import Final

import numpy as np

from core.fabric.springs import Floats

MOST: Final = 40
_BETWEEN: Final = 16  # points of the curve between two control points


def curve_through(points_mm: Floats) -> Floats:
    """Return a smooth curve through control points in their order, shape (m, 2).

    A centripetal Catmull-Rom curve: it passes through every point, and makes no loops or cusps
    between two of them (Yuksel, Schaefer and Keyser, "Parameterization and applications of
    Catmull-Rom curves", Computer-Aided Design 43, 2011).

    Args:
        points_mm: Shape (n, 2); doubles are left out.
    """
    points = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
    if len(points) > 1:
        points = points[np.r_[True, (np.diff(points, axis=0) != 0).any(axis=1)]]
    if len(points) < 3:
        return points
    ends = 2 * points[[0, -1]] - points[[1, -2]]
    around = np.concatenate([ends[:1], points, ends[1:]])
    steps = np.sqrt(np.maximum(np.hypot(*np.diff(around, axis=0).T), 1e-9))
    knots = np.concatenate([[0.0], np.cumsum(steps)])
    t0, t1, t2, t3 = (knots[n : len(knots) - 3 + n, np.newaxis, np.newaxis] for n in range(4))
    p0, p1, p2, p3 = (around[n : len(around) - 3 + n, np.newaxis, :] for n in range(4))
    t = t1 + (t2 - t1) * (np.arange(_BETWEEN) / _BETWEEN)[np.newaxis, :, np.newaxis]
    a1 = ((t1 - t) * p0 + (t - t0) * p1) / (t1 - t0)
    a2 = ((t2 - t) * p1 + (t - t1) * p2) / (t2 - t1)
    a3 = ((t3 - t) * p2 + (t - t2) * p3) / (t3 - t2)
    b1 = ((t2 - t) * a1 + (t - t0) * a2) / (t2 - t0)
    b2 = ((t3 - t) * a2 + (t - t1) * a3) / (t3 - t1)
    curve = ((t2 - t) * b1 + (t - t1) * b2) / (t2 - t1)
    return np.concatenate([curve.reshape(-1, 2), points[-1:]])


def points_on(curve_mm: Floats, *, within_mm: float, most: int = MOST) -> Floats:
    """Return the few points of a curve whose straight lines stay within a distance of it.

    The point farthest from the lines drawn so far is added until none is farther than
    `within_mm` or there are `most` points.
    """
    curve = np.asarray(curve_mm, dtype=np.float64).reshape(-1, 2)
    if len(curve) < 3:
        return curve
    kept = [0, len(curve) - 1]
    while len(kept) < most:
        gaps = [_farthest(curve, a, b) for a, b in pairwise(kept)]
        far, where = max(gaps)
        if far <= within_mm:
            break
        kept = sorted([*kept, where])
    few: Floats = curve[kept]
    return few


def _farthest(curve: Floats, first: int, last: int) -> tuple[float, int]:
    """Return how far a stretch of the curve gets from its chord, and where."""
    if last - first < 2:
        return 0.0, first
    start, along = curve[first], curve[last] - curve[first]
    away = curve[first + 1 : last] - start
    length = float(np.hypot(*along))
    if length < 1e-9:
        far = np.hypot(*away.T)
    else:
        part = np.clip(away @ along / length**2, 0.0, 1.0)[:, np.newaxis]
        far = np.hypot(*(away - part * along).T)
    where = int(np.argmax(far))
    return float(far[where]), first + 1 + where
