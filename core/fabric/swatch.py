"""From a worked wave to the gauge: which stitch width, row height and firmness fit it.

A plain swatch doesn't tell how much a wave draws in; a worked wave does. Its repeat width
(peak to peak over several repeats), the rise of a row (rows over a length) and its wave
height are compared with the model's, and the model's three figures are changed until they
agree: two measures settle width and height, the third settles the firmness. With fewer
measures than figures the others keep what the design has.

Gauge and worked wave are both of the piece before it is washed; see `core.fabric.wash`.
"""

from typing import Any, Final

import numpy as np

from core.design.document import Design, Swatch
from core.design.edits import set_gauge
from core.errors import DesignError
from core.fabric.measure import WaveMeasures
from core.fabric.relax import ShouldStop, never
from core.fabric.springs import Floats, proportions_of
from core.fabric.wave_model import FIRMNESS, HEIGHT, WIDTH, Held, WaveModel
from core.records import Struct, replace

READING_MM: Final = 2.0
"""What one reading of a ruler laid on cloth may be off, either way (our own assumption)."""

MEASURES: Final = ("Repeat width", "Rise per row", "Wave height")

_STEPS: Final = 25
_CLOSE: Final = 1e-5  # a hundredth of a millimetre in a metre


class WorkedWave(Struct, frozen=True, kw_only=True):
    """What was measured on a worked wave; None for what wasn't.

    Attributes:
        repeat_width_mm: Peak to peak, best taken over several repeats.
        rise_mm: A length up the piece over its rows.
        wave_height_mm: From dip to peak along one row.
        repeats: Repeats that were measured together.
        rows: Rows that were measured together.
    """

    repeat_width_mm: float | None = None
    rise_mm: float | None = None
    wave_height_mm: float | None = None
    repeats: int = 1
    rows: int = 1

    @property
    def values_mm(self) -> tuple[float | None, float | None, float | None]:
        """The measures in the order of `MEASURES`."""
        return self.repeat_width_mm, self.rise_mm, self.wave_height_mm

    def without(self, name: str) -> "WorkedWave":
        """Return the wave without one of its `MEASURES`."""
        fields = ("repeat_width_mm", "rise_mm", "wave_height_mm")
        gone: dict[str, Any] = {fields[MEASURES.index(name)]: None}
        return replace(self, **gone)

    @property
    def given(self) -> np.ndarray:
        """Which measures were taken, shape (3,)."""
        return np.array([value is not None for value in self.values_mm])

    def give(self) -> Floats:
        """Return by what share each measure given may be off, from one reading, shape (given,)."""
        together = (self.repeats, self.rows, 1)
        pairs = zip(self.values_mm, together, strict=True)
        return np.array([READING_MM / (mm * n) for mm, n in pairs if mm is not None])


class SwatchFit(Struct, frozen=True, kw_only=True):
    """The model's figures that come nearest to what was measured.

    Attributes:
        stitch_width_mm: Width of a plain stitch.
        row_height_mm: Height of a plain row of the gauge's stitch.
        firmness: Stiffness of the shear springs.
        give: By what share each of the three may be off, for readings good to `READING_MM`;
            None for a figure that was kept.
        wave: What the model then makes of the wave.
        off: For each measure that was given, in the order of `MEASURES`, by what share the
            model differs from it.
        explained: Whether readings good to `READING_MM` explain all differences.
    """

    stitch_width_mm: float
    row_height_mm: float
    firmness: float
    give: tuple[float | None, float | None, float | None]
    wave: WaveMeasures
    off: tuple[float, ...]
    explained: bool


class Comparison(Struct, frozen=True):
    """One measure of the worked wave beside the model's.

    Attributes:
        name: What was measured, one of `MEASURES`.
        piece_mm: On the piece.
        model_mm: In the model.
        give: By what share one reading of the ruler may be off.
    """

    name: str
    piece_mm: float
    model_mm: float
    give: float

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
        repeats=swatch.repeats,
        rows=swatch.rows,
    )


def compare(swatch: Swatch | None, wave: WaveMeasures) -> tuple[Comparison, ...]:
    """Return the worked wave's measures beside the model's, those that were taken."""
    piece = worked_wave(swatch)
    model = (wave.repeat_width_mm, wave.rise_mm, wave.wave_height_mm)
    gives = iter(piece.give())
    return tuple(
        Comparison(name, there, here, float(next(gives)))
        for name, there, here in zip(MEASURES, piece.values_mm, model, strict=True)
        if there is not None
    )


def with_fit(design: Design, fit: SwatchFit) -> Design:
    """Return the design with a fit's figures as its gauge; a firmness kept stays as it is."""
    gauge = design.gauge
    told_firmness = fit.firmness != proportions_of(gauge).firmness
    return set_gauge(
        design,
        stitches=_count(gauge.over_mm / fit.stitch_width_mm),
        rows=_count(gauge.over_mm / fit.row_height_mm),
        firmness=round(fit.firmness, 2) if told_firmness else gauge.firmness,
    )


def _count(stitches: float) -> float:
    """Return stitches or rows of a gauge, rounded and within the document's bounds."""
    return min(max(round(stitches, 2), 0.5), 500.0)


def fit_swatch(
    design: Design, measured: WorkedWave, *, should_stop: ShouldStop = never
) -> SwatchFit:
    """Return the gauge that a worked wave speaks of.

    Measures that no fabric has together give the nearest fabric: within the bounds of
    proportion and firmness, nearest in readings of the ruler.

    Raises:
        DesignError: Nothing was measured, or the design's rows have no steady state.
        Stopped: `should_stop` answered yes.
    """
    given = measured.given
    if not given.any():
        raise DesignError("measure the repeat's width, the rows or the wave's height first")
    model = WaveModel(design, should_stop)
    target = np.log([value for value in measured.values_mm if value is not None])
    give = measured.give()
    free = _free_figures(given)
    figures, held = model.start(), Held()
    for _ in range(_STEPS):
        here = model.measures(figures)
        gap = (target - here[given]) / give
        ways = _ways(free, held)
        slopes = model.slopes(figures, here)[given] @ ways / give[:, np.newaxis]
        step = ways @ np.linalg.lstsq(slopes, gap, rcond=None)[0]
        after, hit = model.within(figures + np.clip(step, -0.5, 0.5))
        done = np.abs(after - figures).max() < _CLOSE and hit in (held, Held())
        figures, held = after, held | hit
        if done:
            break
    here = model.measures(figures)
    width, height, firmness = np.exp(figures).tolist()
    off = np.exp(here[given] - target) - 1.0
    return SwatchFit(
        stitch_width_mm=width,
        row_height_mm=height,
        firmness=firmness,
        give=_give(model.slopes(figures, here)[given] / give[:, np.newaxis], _ways(free, held)),
        wave=model.wave(figures),
        off=tuple(off.tolist()),
        explained=bool((np.abs(off) <= 2 * give).all()),
    )


def _free_figures(given: np.ndarray) -> np.ndarray:
    """Return which of width, height and firmness the measures given settle, shape (3,)."""
    width, rise, height = given.tolist()
    free = np.zeros(3, dtype=bool)
    free[WIDTH] = width or height or not rise
    free[HEIGHT] = rise
    free[FIRMNESS] = width and height
    return free


def _ways(free: np.ndarray, held: Held) -> Floats:
    """Return the directions that the figures may still go in, as columns, shape (3, ways)."""
    ways = np.eye(3)[:, free & np.array([True, True, not held.firmness])]
    if held.shape:
        together = np.array([[1.0], [1.0], [0.0]])
        alone = ways[:, ways[FIRMNESS] > 0]
        ways = np.hstack([together, alone]) if free[WIDTH] and free[HEIGHT] else alone
    return ways


def _give(slopes: Floats, ways: Floats) -> tuple[float | None, float | None, float | None]:
    """Return by what share each figure follows a reading's error; None for one that is kept."""
    along = slopes @ ways
    spread = np.sqrt(np.diag(ways @ np.linalg.pinv(along.T @ along) @ ways.T))
    width, height, firmness = (float(value) if value > 0 else None for value in spread)
    return width, height, firmness
