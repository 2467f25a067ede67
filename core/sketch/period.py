"""The period of a drawn wave: one of several, the whole, or twice a half.

Peaks and dips are found with hysteresis, so that a trembling hand adds none. Where several
waves are drawn, the period is the one that a row of waves fits best, and the waves drawn are
averaged; where only one side of a wave is drawn, its mirror image makes the other.
"""

from typing import Final

import numpy as np

from core.fabric.springs import Floats
from core.records import Struct
from core.rows.plan import Indices

SAMPLES: Final = 96
_TURN: Final = 0.2  # of the whole height: what goes back less is no turn
_ALIKE: Final = 0.25  # of the whole height: peaks, or ends, that differ less are meant alike
_GOOD: Final = 0.06  # of the whole height: waves that are off by less on average are meant alike
_LEAST: Final = 0.05  # of the whole height: lower waves on a slope are no waves
_HARMONICS: Final = 5


class Period(Struct, frozen=True, eq=False, kw_only=True):
    """One period of a curve.

    Attributes:
        width: Its width.
        heights: Its height at equal steps, the end not repeated, shape (SAMPLES,).
        start: Where it begins.
        turns: Peaks and dips in it.
        tilt: Rise over width of the whole curve, which was taken out.
        halved: Whether one side of it was drawn, and the other mirrored.
    """

    width: float
    heights: Floats
    start: float
    turns: int
    tilt: float
    halved: bool


def period_of(x: Floats, y: Floats) -> Period | None:
    """Return one period of a curve at equal steps of x, or None for a level line."""
    tall = float(np.ptp(y))
    if tall <= 1e-9 * float(np.ptp(x)):
        return None
    turns = turning_points(y, _TURN * tall)
    level = y - np.polyval(np.polyfit(x, y, 1), x)
    level_turns = turning_points(level, _TURN * float(np.ptp(level)))
    if len(turns) < 3 <= len(level_turns) and np.ptp(level) > _LEAST * tall:  # on a slope
        turns = level_turns
    match len(turns):
        case 0:
            return _mirrored(x, y, 0, len(x) - 1)
        case 1:
            return _one_turn(x, y, int(turns[0]), tall)
        case 2:
            if abs(y[0] - y[-1]) <= _ALIKE * tall:
                return _whole(x, y, 2)
            return _mirrored(x, y, int(turns[0]), int(turns[1]))
        case _:
            return _several(x, y, turns)


def turning_points(y: Floats, least: float) -> Indices:
    """Return where the curve turns by more than `least`, ends left out."""
    found: list[int] = []
    way = 0
    high = low = 0
    for n, value in enumerate(y.tolist()):
        if value > y[high]:
            high = n
        if value < y[low]:
            low = n
        if way >= 0 and y[high] - value > least:
            if way or high:
                found.append(high)
            way, low = -1, n
        elif way <= 0 and value - y[low] > least:
            if way or low:
                found.append(low)
            way, high = 1, n
    return np.array([n for n in found if 0 < n < len(y) - 1], dtype=np.intp)


def _one_turn(x: Floats, y: Floats, turn: int, tall: float) -> Period:
    """Return a hump as it is, or its longer side doubled if the other hardly was begun."""
    left, right = abs(y[turn] - y[0]), abs(y[turn] - y[-1])
    if abs(left - right) > 0.4 * tall:
        return _mirrored(x, y, *((0, turn) if left > right else (turn, len(x) - 1)))
    return _whole(x, y, 2)


def _whole(x: Floats, y: Floats, turns: int) -> Period:
    """Return the whole curve as one period, laid so that its ends meet."""
    width = float(x[-1] - x[0])
    tilt = float(y[-1] - y[0]) / width
    level = y - tilt * (x - x.mean())
    return Period(
        width=width,
        heights=_sampled(x, level, float(x[0]), width),
        start=float(x[0]),
        turns=turns,
        tilt=tilt,
        halved=False,
    )


def _mirrored(x: Floats, y: Floats, first: int, last: int) -> Period:
    """Return a flank and its mirror image."""
    half = float(x[last] - x[first])
    at = np.arange(SAMPLES) / SAMPLES * 2.0
    wanted = x[first] + half * np.where(at <= 1.0, at, 2.0 - at)
    return Period(
        width=2 * half,
        heights=np.interp(wanted, x, y),
        start=float(x[first]),
        turns=2,
        tilt=0.0,
        halved=True,
    )


def _several(x: Floats, y: Floats, turns: Indices) -> Period:
    """Return the mean of the waves drawn, two humps to a period if every other one differs."""
    spacing = float(np.polyfit(np.arange(len(turns)), x[turns], 1)[0]) * 2
    whole = float(x[-1] - x[0])
    one = _best_fit(x, y, min(spacing, whole))
    level = y[turns]  # a tilt that fits badly says nothing
    unlike = max(_unlike(level[::2]), _unlike(level[1::2])) > _ALIKE * float(np.ptp(level))
    if not one.is_good and whole >= 3.6 * spacing:
        two = _best_fit(x, y, min(2 * spacing, whole))
        if two.is_good or two.off < 0.5 * one.off:
            return _folded(x, y, two, turns=4)
    if one.is_good or not unlike or whole >= 2.8 * spacing:
        return _folded(x, y, one, turns=2)
    return _whole(x, y, 4)


def _unlike(heights: Floats) -> float:
    """Return by how much every other one of the heights differs from those between."""
    if len(heights) < 2:
        return 0.0
    return abs(float(heights[::2].mean() - heights[1::2].mean()))


class _Fit(Struct, frozen=True, order=True):
    """How well waves of one width fit a curve: off by what share of its height; and its tilt."""

    off: float
    width: float
    tilt: float

    @property
    def is_good(self) -> bool:
        return self.off < _GOOD


def _folded(x: Floats, y: Floats, fit: _Fit, *, turns: int) -> Period:
    """Return the mean of all periods of a width."""
    level = y - fit.tilt * (x - x.mean())
    return Period(
        width=fit.width,
        heights=_sampled(x, level, float(x[0]), fit.width),
        start=float(x[0]),
        turns=turns,
        tilt=fit.tilt,
        halved=False,
    )


def _best_fit(x: Floats, y: Floats, about: float) -> _Fit:
    """Return the waves of a width near `about` that fit the curve best."""
    longest = float(x[-1] - x[0])
    best = _Fit(np.inf, about, 0.0)
    for spread, count in ((0.12, 25), (0.012, 13)):
        for width in np.linspace(1 - spread, 1 + spread, count) * best.width:
            if width <= longest * (1 + 1e-9):
                best = min(best, _fit(x, y, float(width)))
    return best


def _fit(x: Floats, y: Floats, width: float) -> _Fit:
    angles = 2 * np.pi * np.outer(np.arange(1, _HARMONICS + 1), x / width)
    columns = np.vstack([np.ones_like(x), x - x.mean(), np.cos(angles), np.sin(angles)]).T
    found, *_ = np.linalg.lstsq(columns, y, rcond=None)
    tilt = float(found[1])
    off = np.sqrt(np.square(y - columns @ found).mean())
    tall = max(float(np.ptp(y - tilt * x)), 1e-9 * float(np.ptp(y)))
    return _Fit(float(off) / tall, width, tilt)


def _sampled(x: Floats, y: Floats, start: float, width: float) -> Floats:
    """Return the mean of the periods in the curve at equal steps."""
    at = start + np.arange(SAMPLES) / SAMPLES * width
    total, count = np.zeros(SAMPLES), np.zeros(SAMPLES)
    for turn in range(max(int((x[-1] - start) / width + 1e-6), 0) + 1):
        there = at + turn * width
        inside = there <= x[-1] + 1e-9 * width
        total += np.where(inside, np.interp(there, x, y), 0.0)
        count += inside
    mean: Floats = total / np.maximum(count, 1)
    return mean
