"""A curve drawn by hand, read as one period of a wave.

What is drawn may cross itself, turn back, be steeper than the stitch allows, hold several
waves or half of one, and climb as a whole. Each of these gets a sentence and the nearest
curve that can be used; only a curve that is hardly there at all is sent back.
"""

from typing import Final

import numpy as np

from core.craft.stitches import height_ratio
from core.design.document import Gauge
from core.fabric.springs import Flags, Floats
from core.records import Struct
from core.sketch.period import Period, period_of

MOST_POINTS: Final = 20_000
STEEPEST_DRIFT: Final = 2.0
"""Stitches that a flank moves a row at most: 3 in each of 2 and two 3-togethers move two
(the steepest of the common ripples)."""

LEAST_STITCHES: Final = 4
"""Stitches of the narrowest repeat: 2 in 1, one plain, skip 1, one plain."""

MOST_STITCHES: Final = 120
"""Stitches of the widest repeat that is tried."""

_ALONG: Final = 256  # points along the curve as it was drawn
_ACROSS: Final = 512  # points of the curve as a function of x
_ALLOWANCE: Final = 1.15  # a hand draws a little steeper here and there
_LOPSIDED: Final = 0.25
_TILT: Final = 0.1  # rise over width of the whole that is worth a word


class Drawn(Struct, frozen=True, eq=False, kw_only=True):
    """One period of what was drawn.

    Attributes:
        period_mm: Its width.
        heights_mm: Its height at equal steps from left to right, the mean set to 0, shape (n,).
        within_mm: The same, nowhere steeper than the stitch allows.
        start_mm: Where the period begins in the drawing.
        level_mm: Where its mean lies in the drawing.
        turns: Peaks and dips in a period.
    """

    period_mm: float
    heights_mm: Floats
    within_mm: Floats
    start_mm: float
    level_mm: float
    turns: int

    @property
    def height_mm(self) -> float:
        """From its lowest place to its highest."""
        return float(np.ptp(self.heights_mm))


class Reading(Struct, frozen=True, eq=False):
    """What was made of a drawing.

    Attributes:
        drawn: The period to look for, or None if there is too little.
        said: A sentence on what was the matter; empty if nothing was.
    """

    drawn: Drawn | None
    said: str


def steepest_lean(gauge: Gauge, stitch: str) -> float:
    """Return the steepest lean that is looked for, in degrees: atan(d w / h)."""
    height = gauge.row_height_mm * height_ratio(stitch, gauge.stitch)
    return float(np.degrees(np.arctan(STEEPEST_DRIFT * gauge.stitch_width_mm / height)))


def read_curve(points_mm: Floats, gauge: Gauge, stitch: str) -> Reading:
    """Read a drawn curve.

    Args:
        points_mm: In the order drawn, x right, y up, shape (n, 2); any that aren't finite
            are left out.
        gauge: Says how wide and how steep a wave can be.
        stitch: What the wave will be worked in.
    """
    width = gauge.stitch_width_mm
    points = _sound(points_mm)
    if len(points) < 3 or np.ptp(points[:, 0]) < width:
        return Reading(None, "Draw a wave from one dip to the next, or set at least three points.")
    along = _resampled(points, _ALONG)
    if along[-1, 0] < along[0, 0]:
        along = along[::-1]
    back = float((np.maximum.accumulate(along[:, 0]) - along[:, 0]).max())
    turns_back = back > max(0.15 * width, 0.01 * float(np.ptp(along[:, 0])))
    said = ""
    if turns_back:
        what = "crosses itself" if crosses_itself(along) else "turns back"
        said = f"The curve {what}; no row can, so the nearest curve that runs on is used."
    x, y = _running_on(along)
    period = period_of(x, y)
    if period is None:
        return Reading(None, "The curve is a straight line: draw a peak or a dip into it.")
    drawn, steepest = _limited(period, gauge, stitch)
    return Reading(drawn, said or _trouble(drawn, period, steepest, gauge, stitch))


def _trouble(drawn: Drawn, period: Period, steepest: float, gauge: Gauge, stitch: str) -> str:
    """Return the one sentence that matters most, or none."""
    width, most = gauge.stitch_width_mm, steepest_lean(gauge, stitch)
    if steepest > most:
        return (
            f"The curve climbs at {steepest:.0f}°, and rows of this stitch lean {most:.0f}° at "
            "most: the nearest that can be worked are shown."
        )
    if drawn.period_mm < 0.9 * LEAST_STITCHES * width:
        return f"The wave is narrower than {LEAST_STITCHES} stitches, the least a repeat takes."
    if drawn.period_mm > 1.02 * MOST_STITCHES * width:
        return f"The wave is wider than {MOST_STITCHES} stitches; narrower ones are shown."
    if drawn.height_mm < 0.35 * width:
        return "The curve is nearly straight; the flattest waves are shown."
    if period.halved:
        return "Only one side of the wave is drawn; the other is taken as its mirror image."
    if lopsided(drawn.heights_mm) > _LOPSIDED:
        return "The wave leans to one side; rows are turned, so waves come out even."
    if abs(period.tilt) > _TILT:
        return "The curve climbs as a whole; it is laid level, as rows lie."
    return ""


def lopsided(heights: Floats) -> float:
    """Return how far a period is from its mirror image, laid on it at best, as a share.

    1 is as far as two curves that have nothing to do with each other.
    """
    wave = np.fft.rfft(heights - heights.mean())
    alike = np.fft.irfft(wave * wave, len(heights)).max()  # the mirror image at every phase
    whole = float(np.square(heights - heights.mean()).sum())
    return float(np.sqrt(max(1.0 - alike / whole, 0.0))) if whole > 0 else 0.0


# --- the line itself ----------------------------------------------------------------------


def _sound(points_mm: Floats) -> Floats:
    """Return the points that are numbers, not too many of them, doubles left out."""
    points = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
    points = points[np.isfinite(points).all(axis=1) & (np.abs(points) < 1e6).all(axis=1)]
    if len(points) > MOST_POINTS:
        points = points[np.linspace(0, len(points) - 1, MOST_POINTS).astype(np.intp)]
    new = np.ones(len(points), dtype=bool)
    new[1:] = (np.diff(points, axis=0) != 0).any(axis=1)
    sound: Floats = points[new]
    return sound


def _resampled(points: Floats, count: int) -> Floats:
    """Return points at equal steps along the curve."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    far = np.concatenate([[0.0], np.cumsum(steps)])
    wanted = np.linspace(0.0, far[-1], count)
    return np.stack([np.interp(wanted, far, points[:, axis]) for axis in (0, 1)], axis=1)


def crosses_itself(points: Floats) -> bool:
    """Return whether a polyline of shape (n, 2) crosses itself."""
    a, b = points[:-1], points[1:]

    def side(p: Floats, q: Floats, r: Floats) -> Floats:
        """Return on which side of the line pq each r lies, for all pairs."""
        pq, pr = q - p, r[np.newaxis] - p[:, np.newaxis]
        turned: Floats = pq[:, :1] * pr[..., 1] - pq[:, 1:] * pr[..., 0]
        return turned

    apart: Flags = side(a, b, a) * side(a, b, b) < 0
    return bool((apart & apart.T).any())


def _running_on(along: Floats) -> tuple[Floats, Floats]:
    """Return the curve as a function of x at equal steps: (x, y).

    Read forwards, whatever goes back is left out until it gets further than before; read
    backwards, likewise. The mean of both is the same whichever way a curve was drawn.
    """
    x, y = along.T
    across = np.linspace(x.min(), x.max(), _ACROSS)
    forth = _records(x)
    back = _records(-x[::-1])
    one = np.interp(across, x[forth], y[forth])
    other = np.interp(across, x[::-1][back][::-1], y[::-1][back][::-1])
    return across, 0.5 * (one + other)


def _records(values: Floats) -> Flags:
    """Return which values are greater than all before them."""
    before = np.concatenate([[-np.inf], np.maximum.accumulate(values)[:-1]])
    return np.asarray(values > before, dtype=bool)


def _limited(period: Period, gauge: Gauge, stitch: str) -> tuple[Drawn, float]:
    """Return the period with its slopes held within the limit, and its steepest lean.

    A slope is taken over a stitch, since a row doesn't bend within one.
    """
    heights, count = period.heights, len(period.heights)
    step = period.width / count
    over = min(max(round(gauge.stitch_width_mm / step), 1), count // 4)
    slopes = (np.roll(heights, -over) - heights) / (over * step)
    steepest = float(np.degrees(np.arctan(np.quantile(np.abs(slopes), 0.95) / _ALLOWANCE)))
    limit = np.tan(np.radians(steepest_lean(gauge, stitch)))
    rises = np.clip((np.roll(heights, -1) - heights) / step, -limit, limit)
    rises -= rises.mean()  # the ends meet
    within = np.concatenate([[0.0], np.cumsum(rises[:-1])]) * step
    level = float(heights.mean())
    drawn = Drawn(
        period_mm=period.width,
        heights_mm=heights - level,
        within_mm=within - within.mean(),
        start_mm=period.start,
        level_mm=level,
        turns=period.turns,
    )
    return drawn, steepest
