"""From a worked wave to the gauge: which stitch width, row height and firmness fit it.

A plain swatch doesn't tell how much a wave draws in; a worked wave does. Its repeat width
(peak to peak over several repeats), the rise of a row (rows over a length) and its wave
height are compared with the model's, and the model's three figures are changed until they
agree: two measures settle width and height, the third settles the firmness. With fewer
measures than figures the others keep what the design has.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from core.design.document import Design, Swatch
from core.design.edits import set_gauge
from core.errors import DesignError
from core.fabric.measure import WaveMeasures, measure_wave
from core.fabric.relax import ShouldStop, never
from core.fabric.springs import Floats, Proportions, proportions_of
from core.fabric.steady import lead_and_cycle, sample_rows, settle_steady
from core.rows.build import Rows

_STEPS: Final = 25
_NUDGE: Final = 1e-4
_CLOSE: Final = 1e-5  # a hundredth of a millimetre in a metre
_FIRMNESS: Final = (0.02, 20.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedWave:
    """What was measured on a worked wave; None for what wasn't.

    Attributes:
        repeat_width_mm: Peak to peak, best taken over several repeats.
        rise_mm: A length up the piece over its rows.
        wave_height_mm: From dip to peak along one row.
    """

    repeat_width_mm: float | None = None
    rise_mm: float | None = None
    wave_height_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SwatchFit:
    """The model's figures that come nearest to what was measured.

    Attributes:
        stitch_width_mm: Width of a plain stitch.
        row_height_mm: Height of a plain row of the gauge's stitch.
        firmness: Stiffness of the shear springs.
        wave: What the model then makes of the wave.
        off: For each measure that was given, in the order of `WorkedWave`, by what share the
            model differs from it.
    """

    stitch_width_mm: float
    row_height_mm: float
    firmness: float
    wave: WaveMeasures
    off: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Comparison:
    """One measure of the worked wave beside the model's.

    Attributes:
        name: What was measured.
        piece_mm: On the piece.
        model_mm: In the model.
    """

    name: str
    piece_mm: float
    model_mm: float

    @property
    def off(self) -> float:
        """By what share the model differs from the piece."""
        return self.model_mm / self.piece_mm - 1.0


def worked_wave(swatch: Swatch | None) -> WorkedWave:
    """Return what a swatch says of its wave."""
    if swatch is None:
        return WorkedWave()
    return WorkedWave(
        repeat_width_mm=swatch.repeats_mm and swatch.repeats_mm / swatch.repeats,
        rise_mm=swatch.rows_mm and swatch.rows_mm / swatch.rows,
        wave_height_mm=swatch.wave_height_mm,
    )


def compare(swatch: Swatch | None, wave: WaveMeasures) -> tuple[Comparison, ...]:
    """Return the worked wave's measures beside the model's, those that were taken."""
    piece = worked_wave(swatch)
    pairs = (
        ("Repeat width", piece.repeat_width_mm, wave.repeat_width_mm),
        ("Rise per row", piece.rise_mm, wave.rise_mm),
        ("Wave height", piece.wave_height_mm, wave.wave_height_mm),
    )
    return tuple(Comparison(name, there, here) for name, there, here in pairs if there is not None)


def fitted_gauge(design: Design) -> Design:
    """Return the design with its gauge fitted to the worked wave of its swatch.

    Raises:
        DesignError: As for `fit_swatch`.
    """
    fit = fit_swatch(design, worked_wave(design.swatch))
    gauge = design.gauge
    told_firmness = fit.firmness != proportions_of(gauge).firmness
    return set_gauge(
        design,
        stitches=round(gauge.over_mm / fit.stitch_width_mm, 2),
        rows=round(gauge.over_mm / fit.row_height_mm, 2),
        firmness=round(fit.firmness, 2) if told_firmness else gauge.firmness,
    )


def fit_swatch(
    design: Design, measured: WorkedWave, *, should_stop: ShouldStop = never
) -> SwatchFit:
    """Return the gauge that a worked wave speaks of.

    Raises:
        DesignError: Nothing was measured, or the design's rows have no steady state.
        Stopped: `should_stop` answered yes.
    """
    wanted = [measured.repeat_width_mm, measured.rise_mm, measured.wave_height_mm]
    given = np.array([value is not None for value in wanted])
    if not given.any():
        raise DesignError("measure the repeat's width, the rows or the wave's height first")
    target = np.log([value for value in wanted if value is not None])
    model = _Model(design, should_stop)
    free = np.array([bool(given[0] or given[2]), bool(given[1]), bool(given[0] and given[2])])
    if not free.any():
        free[0] = True
    figures = model.start()
    for _ in range(_STEPS):
        gap = target - model.measures(figures)[given]
        if np.abs(gap).max() < _CLOSE:
            break
        step = np.zeros(3)
        step[free] = np.linalg.lstsq(model.slopes(figures, free)[given], gap, rcond=None)[0]
        figures = model.within(figures + np.clip(step, -0.5, 0.5))
    width, height, firmness = np.exp(figures).tolist()
    off = np.exp(model.measures(figures)[given] - target) - 1.0
    return SwatchFit(
        stitch_width_mm=width,
        row_height_mm=height,
        firmness=firmness,
        wave=model.wave(figures),
        off=tuple(off.tolist()),
    )


class _Model:
    """The settled wave as a function of the logarithms of width, height and firmness."""

    def __init__(self, design: Design, should_stop: ShouldStop) -> None:
        self._gauge = proportions_of(design.gauge)
        self._height_mm = design.gauge.row_height_mm
        self._lead, self._cycle = lead_and_cycle(design)
        self._sample: Rows = sample_rows(design)
        self._should_stop = should_stop

    def start(self) -> Floats:
        """Return the figures that the design has now."""
        return np.log([self._gauge.width_mm, self._height_mm, self._gauge.firmness])

    def within(self, figures: Floats) -> Floats:
        """Return the figures with a firmness that the design may have."""
        return np.array([*figures[:2], np.clip(figures[2], *np.log(_FIRMNESS))])

    def wave(self, figures: Floats) -> WaveMeasures:
        """Return the measures of the wave with these figures."""
        width, height, firmness = np.exp(figures).tolist()
        taller = height / self._height_mm
        heights = tuple(taller * value for value in self._gauge.heights_mm)
        steady = settle_steady(
            self._sample,
            Proportions(width, heights, firmness),
            lead=self._lead,
            cycle=self._cycle,
            should_stop=self._should_stop,
        )
        if steady is None:
            raise DesignError("the rows don't repeat, so no worked wave can be compared with them")
        return measure_wave(steady)

    def measures(self, figures: Floats) -> Floats:
        """Return the logarithms of repeat width, rise and wave height."""
        wave = self.wave(figures)
        found = np.array([wave.repeat_width_mm, wave.rise_mm, wave.wave_height_mm])
        return np.asarray(np.log(np.maximum(found, 1e-6)), dtype=np.float64)

    def slopes(self, figures: Floats, free: np.ndarray) -> Floats:
        """Return how the measures follow the free figures, shape (3, free figures)."""
        here = self.measures(figures)
        columns = []
        for number in np.flatnonzero(free):
            nudged = figures.copy()
            nudged[number] += _NUDGE
            columns.append((self.measures(nudged) - here) / _NUDGE)
        return np.stack(columns, axis=1)
