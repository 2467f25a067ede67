"""The line of a settled row over one repeat, guessed or from the model, and how far it is off.

Drawing and row are both taken as one period, laid on one another at their middles so that
places of the same phase belong together. The distance is the root of the mean squared distance
between such places: upwards what their heights differ, sideways what their widths differ,
(difference of the widths) times (phase from the middle). So height, shape and width count, all
in millimetres, and it doesn't matter where in the wave a drawing begins. All rows of the
settled period count, as turned rows need not be alike.
"""

from typing import Final

import numpy as np

from core.craft.stitches import height_ratio
from core.design.document import Design, Items, Size, Stripe, Stripes, Wave, Yarn
from core.design.edits import set_values, set_wave
from core.fabric.measure import WaveMeasures, measure_wave
from core.fabric.relax import ShouldStop, never
from core.fabric.springs import Floats
from core.fabric.steady import Steady, steady_of
from core.records import Struct
from core.rows.build import is_right_side

_PHASES: Final = 96
_KEPT: Final = 1024
_YARN: Final = Yarn(name="any", colour="#000000", ball_m=1, ball_g=1)


class Outline(Struct, frozen=True, eq=False, kw_only=True):
    """The rows of one settled period, each over one repeat.

    Attributes:
        repeat_mm: Width of a repeat.
        lines_mm: Each row's tops from left to right, shape (stitches, 2), means not taken out.
        shown: Which of them is worked on the right side.
        measures: What the model says of the wave; None for a guess.
    """

    repeat_mm: float
    lines_mm: tuple[Floats, ...]
    shown: int = 0
    measures: WaveMeasures | None = None

    def heights(self, number: int, phases: Floats) -> Floats:
        """Return a row's height at phases of the repeat (1 is a whole repeat), its mean 0."""
        line = self.lines_mm[number]
        level = np.interp(_grid(), line[:, 0] / self.repeat_mm, line[:, 1], period=1.0).mean()
        found = np.interp(phases, line[:, 0] / self.repeat_mm, line[:, 1], period=1.0)
        return np.asarray(found - level, dtype=np.float64)


class Match(Struct, frozen=True):
    """How a row lies on a drawn period.

    Attributes:
        distance_mm: How far they are apart.
        phase: What to add to a phase of the drawing for the counterpart in the row.
    """

    distance_mm: float
    phase: float


def _grid() -> Floats:
    grid: Floats = np.arange(_PHASES) / _PHASES
    return grid


class OutlineBook:
    """The model's outlines of waves in one design's gauge; each is worked out once."""

    def __init__(self, design: Design) -> None:
        self._design = _bare(design)
        self._known: dict[Wave, Outline | None] = {}

    @property
    def settled(self) -> int:
        """How many waves the model has been asked about."""
        return len(self._known)

    def outline(self, wave: Wave, should_stop: ShouldStop = never) -> Outline | None:
        """Return the outline of a wave, or None if its rows don't come to rest.

        Raises:
            Stopped: `should_stop` answered yes; it isn't asked about a wave that is known.
        """
        if wave not in self._known:
            if len(self._known) >= _KEPT:
                self._known.clear()
            design = set_wave(self._design, wave)
            self._known[wave] = outline_of(steady_of(design, should_stop=should_stop))
        return self._known[wave]


def outline_of(steady: Steady | None) -> Outline | None:
    """Return the outline of a steady state that came to rest."""
    if steady is None or not steady.converged:
        return None
    lines = tuple(
        steady.tops_mm[level.offset : level.offset + level.width] for level in steady.levels
    )
    shown = next(n for n, level in enumerate(steady.levels) if is_right_side(level.row))
    return Outline(
        repeat_mm=steady.frame.repeat_mm,
        lines_mm=lines,
        shown=shown,
        measures=measure_wave(steady),
    )


def _bare(design: Design) -> Design:
    """Return the design at its smallest: a steady state doesn't follow from size or colour."""
    stripes = Stripes((Stripe(0, 2),))
    return set_values(design, size=Size(1, 2), yarns=(_YARN,), stripes=stripes)


def guessed_outline(design: Design, wave: Wave) -> Outline:
    """Return the outline that the closed form gives: every stitch slopes by atan(d w / h).

    d is how far the row lies along from the row below at that stitch: it changes by what each
    item gains, and is set off so that the repeat ends as high as it began.
    """
    gauge = design.gauge
    rows = [_drift(row.repeat) for row in wave.rows_in_turn]
    places = (np.arange(len(rows[0])) + 0.5) / len(rows[0])
    drift = np.mean(
        [np.interp(places, (np.arange(len(row)) + 0.5) / len(row), row) for row in rows], axis=0
    )
    stitch = next((item.stitch for item in wave.repeat if item.stitch), gauge.stitch)
    scale = gauge.stitch_width_mm / (gauge.row_height_mm * height_ratio(stitch, gauge.stitch))
    low, high = float(drift.min()), float(drift.max())
    for _ in range(30):
        middle = 0.5 * (low + high)
        if np.sin(np.arctan((middle - drift) * scale)).sum() > 0:
            high = middle
        else:
            low = middle
    slope = np.arctan((0.5 * (low + high) - drift) * scale)
    steps = gauge.stitch_width_mm * np.stack([np.cos(slope), np.sin(slope)], axis=1)
    ends = np.cumsum(steps, axis=0)
    return Outline(repeat_mm=float(ends[-1, 0]), lines_mm=(ends - steps,))


def _drift(items: Items) -> Floats:
    """Return the drift at every stitch made, its mean not yet taken out."""
    parts: list[Floats] = []
    now = 0.0
    for item in items:
        gain = item.makes - item.uses
        parts.append(now + gain * (np.arange(item.makes) + 0.5) / max(item.makes, 1))
        now += gain
    return np.concatenate(parts)


def match(period_mm: float, heights_mm: Floats, outline: Outline) -> Match:
    """Return how far a drawn period and an outline are apart, and how they lie.

    Args:
        period_mm: Width of the drawn period.
        heights_mm: Its heights at equal steps, their mean 0, shape (n,).
        outline: The rows.
    """
    grid, phases = _grid(), np.arange(len(heights_mm)) / len(heights_mm)
    drawn = np.interp(grid, phases, heights_mm, period=1.0)
    numbers = range(len(outline.lines_mm))
    phase = _best_phase(drawn, np.sum([outline.heights(n, grid) for n in numbers], axis=0))
    off = np.stack([outline.heights(n, grid + phase) - drawn for n in numbers])
    sideways = (outline.repeat_mm - period_mm) ** 2 / 12  # the mean over phases of -1/2 to 1/2
    return Match(float(np.sqrt(np.square(off).mean() + sideways)), phase)


def _best_phase(drawn: Floats, row: Floats) -> float:
    """Return the phase to add to the drawing's that lays the two on one another best."""
    product = np.fft.irfft(np.fft.rfft(row) * np.conj(np.fft.rfft(drawn)), len(row))
    best = int(np.argmax(product))
    before, here, after = (float(product[(best + n) % len(row)]) for n in (-1, 0, 1))
    bend = before - 2 * here + after
    finer = 0.5 * (before - after) / bend if bend < 0 else 0.0
    return (best + finer) / len(row) % 1.0
