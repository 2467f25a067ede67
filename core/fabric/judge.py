"""Which measure of a worked wave disagrees with the others.

Three measures settle three figures, so they nearly always fit some cloth, if an unlikely one.
Each is therefore held against what the others lead one to expect of usual cloth: a stitch as
tall for its width as published gauges of it, a firmness as published waves show. The measure
that is further off than readings and cloth explain is the one to take again.
"""

from typing import Final

import numpy as np

from core.design.document import Design
from core.fabric.relax import ShouldStop, never
from core.fabric.springs import DEFAULT_FIRMNESS, Floats
from core.fabric.swatch import (
    MEASURES,
    SwatchFit,
    WorkedWave,
    fit_swatch,
    with_fit,
    worked_wave,
)
from core.fabric.wave_model import FIRMNESS, HEIGHT, WIDTH, WaveModel
from core.records import Struct

SHAPE_SPREAD: Final = 0.09
"""Share by which published gauges of one stitch differ in proportion
(`tests/core/published_tables.py`, the one plush gauge left out)."""

FIRMNESS_SPREAD: Final = 0.7
"""Of the firmness's logarithm: a factor of two either way (our own choice; published waves
that settle a firmness at all are too few, see DEVELOPERS.md)."""

DISAGREES: Final = 2.0
"""A measure more than so many of its own spreads from what is expected of it disagrees."""

FAR_OFF: Final = 3.0
"""A measure more than so many of its own spreads off is left out of the fit."""

RIVALS: Final = 0.7
"""A measure at least so odd, beside the oddest, may be the wrong one as well (own choice: of
measures spoilt one by one, the spoilt one is then always among those named)."""

_STEPS: Final = 6
_CLOSE: Final = 5e-3  # half a per cent: an expectation is never sharper than that


class Expected(Struct, frozen=True, kw_only=True):
    """What the other measures and usual cloth say of one measure.

    Attributes:
        name: The measure, one of `MEASURES`.
        taken_mm: What was measured.
        low_mm: Least that the others lead one to expect.
        usual_mm: What they lead one to expect.
        high_mm: Most of it.
        spreads: How many of its own spreads the measure lies from that.
    """

    name: str
    taken_mm: float
    low_mm: float
    usual_mm: float
    high_mm: float
    spreads: float

    @property
    def disagrees(self) -> bool:
        """Whether readings and usual cloth don't explain the difference."""
        return abs(self.spreads) > DISAGREES

    @property
    def is_far_off(self) -> bool:
        """Whether a fit had better not follow it."""
        return abs(self.spreads) > FAR_OFF


class Judgement(Struct, frozen=True):
    """The gauge that a worked wave speaks of, and how far its measures agree.

    Attributes:
        fit: The gauge.
        expected: What the others say of each measure; nothing if there is but one.
        left_out: The measure that the fit doesn't follow, if one of three was far off.
    """

    fit: SwatchFit
    expected: tuple[Expected, ...]
    left_out: Expected | None

    @property
    def odd(self) -> tuple[Expected, ...]:
        """The measure that disagrees most and those that may be wrong in its place."""
        return odd_ones_out(self.expected)


def judge_wave(
    design: Design, measured: WorkedWave, *, should_stop: ShouldStop = never
) -> Judgement:
    """Return the gauge that a worked wave speaks of, without a measure that can't be right.

    Raises:
        DesignError: Nothing was measured, or the design's rows have no steady state.
        Stopped: `should_stop` answered yes.
    """
    expected = expected_measures(design, measured, should_stop=should_stop)
    odd = odd_ones_out(expected)
    left_out = odd[0] if len(odd) == 1 and odd[0].is_far_off and len(expected) == 3 else None
    kept = measured if left_out is None else measured.without(left_out.name)
    return Judgement(fit_swatch(design, kept, should_stop=should_stop), expected, left_out)


def fitted_gauge(design: Design) -> Design:
    """Return the design with its gauge fitted to the worked wave of its swatch.

    Raises:
        DesignError: As for `judge_wave`.
    """
    return with_fit(design, judge_wave(design, worked_wave(design.swatch)).fit)


def expected_measures(
    design: Design, measured: WorkedWave, *, should_stop: ShouldStop = never
) -> tuple[Expected, ...]:
    """Return for each measure given what the others say of it; nothing if there is but one.

    Raises:
        DesignError: The design's rows have no steady state.
        Stopped: `should_stop` answered yes.
    """
    given = np.flatnonzero(measured.given)
    if len(given) < 2:
        return ()
    model = WaveModel(design, should_stop)
    values = [value for value in measured.values_mm if value is not None]
    target, give = np.log(values), measured.give()
    found = []
    for place, measure in enumerate(given.tolist()):
        others = np.arange(len(given)) != place
        guess, spread = _expect(model, given[others], target[others], give[others], measure)
        wide = float(np.hypot(spread, give[place]))
        found.append(
            Expected(
                name=MEASURES[measure],
                taken_mm=values[place],
                low_mm=float(np.exp(guess - DISAGREES * wide)),
                usual_mm=float(np.exp(guess)),
                high_mm=float(np.exp(guess + DISAGREES * wide)),
                spreads=(float(target[place]) - guess) / wide,
            )
        )
    return tuple(found)


def odd_ones_out(expected: tuple[Expected, ...]) -> tuple[Expected, ...]:
    """Return the measures that may be wrong, the likeliest first; none where all agree.

    Repeat width and rise speak of the same proportion: where one is wrong, the other often
    looks nearly as odd, and nothing tells which of the two it is.
    """
    odd = sorted(expected, key=lambda one: -abs(one.spreads))
    least = max(RIVALS * abs(odd[0].spreads), DISAGREES) if odd else 0.0
    return tuple(one for one in odd if abs(one.spreads) > least)


def _expect(
    model: WaveModel, which: np.ndarray, target: Floats, give: Floats, wanted: int
) -> tuple[float, float]:
    """Return the logarithm of a measure as others and usual cloth have it, and its spread.

    Least squares over the readings, the usual proportion and the usual firmness together, by
    Gauss and Newton's method.
    """
    usual = np.array([model.usual_shape, np.log(DEFAULT_FIRMNESS)])
    cloth = np.zeros((2, 3))
    cloth[0, [WIDTH, HEIGHT]] = -1.0, 1.0
    cloth[1, FIRMNESS] = 1.0
    weights = np.array([*(1 / give), 1 / SHAPE_SPREAD, 1 / FIRMNESS_SPREAD])
    figures = np.array([0.0, model.usual_shape, usual[1]])
    here = model.measures(figures)
    size = float(np.mean(target - here[which]))  # a wave grows with its stitch
    figures, here = figures + (size, size, 0.0), here + size
    for _ in range(_STEPS):
        slopes = model.slopes(figures, here)
        rows = np.vstack([slopes[which], cloth])
        gap = np.concatenate([target - here[which], usual - cloth @ figures])
        scaled = rows * weights[:, np.newaxis]
        step = np.linalg.lstsq(scaled, gap * weights, rcond=None)[0]
        figures, _ = model.within(figures + np.clip(step, -0.7, 0.7))
        if np.abs(step).max() < _CLOSE:
            here = here + slopes @ step
            break
        here = model.measures(figures)
    spread = slopes[wanted] @ np.linalg.inv(scaled.T @ scaled) @ slopes[wanted]
    return float(here[wanted]), float(np.sqrt(spread))
