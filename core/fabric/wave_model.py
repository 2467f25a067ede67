"""The settled wave as a function of stitch width, row height and firmness.

All three are handled as logarithms. Repeat width, rise and wave height grow with the stitch
when its proportion and firmness stay, so only proportion and firmness have to be settled anew.
"""

from typing import Final

import numpy as np

from core.craft.stitches import CATALOGUE
from core.design.document import SHAPE_RANGE, Design
from core.errors import DesignError
from core.fabric.measure import WaveMeasures, measure_wave
from core.fabric.relax import ShouldStop, never
from core.fabric.springs import Floats, Proportions, proportions_of
from core.fabric.steady import lead_and_cycle, sample_rows, settle_steady
from core.records import Struct
from core.rows.build import Rows

WIDTH, HEIGHT, FIRMNESS = range(3)

LEAST_FIRMNESS: Final = 0.02
MOST_FIRMNESS: Final = 20.0
_NUDGE: Final = 1e-4
_INSIDE: Final = 1.02  # so that a rounded gauge is still within the document's bounds


class Held(Struct, frozen=True):
    """Which bounds of a fabric figures were held at.

    Attributes:
        shape: That of the stitch's proportion.
        firmness: That of the firmness.
    """

    shape: bool = False
    firmness: bool = False

    def __or__(self, other: "Held") -> "Held":
        return Held(self.shape or other.shape, self.firmness or other.firmness)


class WaveModel:
    """Measures of one design's wave for any stitch width, row height and firmness."""

    def __init__(self, design: Design, should_stop: ShouldStop = never) -> None:
        self._gauge = proportions_of(design.gauge)
        self._height_mm = design.gauge.row_height_mm
        self._lead, self._cycle = lead_and_cycle(design)
        self._sample: Rows = sample_rows(design)
        self._should_stop = should_stop
        self.usual_shape = float(np.log(CATALOGUE[design.gauge.stitch].height_to_width))
        self._shape_range = float(np.log(SHAPE_RANGE / _INSIDE))

    def start(self) -> Floats:
        """Return the figures that the design has now, shape (3,)."""
        return np.log([self._gauge.width_mm, self._height_mm, self._gauge.firmness])

    def wave(self, figures: Floats) -> WaveMeasures:
        """Return the measures of the wave with these figures.

        Raises:
            DesignError: The rows have no steady state.
            Stopped: `should_stop` answered yes.
        """
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
        """Return the logarithms of repeat width, rise and wave height, shape (3,)."""
        wave = self.wave(figures)
        found = np.array([wave.repeat_width_mm, wave.rise_mm, wave.wave_height_mm])
        return np.asarray(np.log(np.maximum(found, 1e-6)), dtype=np.float64)

    def slopes(self, figures: Floats, here: Floats) -> Floats:
        """Return how the measures (`here` at `figures`) follow the figures, shape (3, 3)."""
        columns = np.empty((3, 3))
        for number in (HEIGHT, FIRMNESS):
            nudged = figures.copy()
            nudged[number] += _NUDGE
            columns[:, number] = (self.measures(nudged) - here) / _NUDGE
        columns[:, WIDTH] = 1.0 - columns[:, HEIGHT]  # scaling both scales every measure
        return columns

    def within(self, figures: Floats) -> tuple[Floats, Held]:
        """Return the nearest figures that a fabric may have, and the bounds they were held at."""
        width, height, firmness = figures.tolist()
        over = height - width - self.usual_shape
        spare = over - min(max(over, -self._shape_range), self._shape_range)
        firm = min(max(firmness, float(np.log(LEAST_FIRMNESS))), float(np.log(MOST_FIRMNESS)))
        nearest = np.array([width + 0.5 * spare, height - 0.5 * spare, firm])
        return nearest, Held(shape=spare != 0, firmness=firm != firmness)
