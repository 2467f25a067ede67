"""What can be measured on a settled blanket, in the trade's terms.

Every measure says how it is taken, since "the width" of a wavy thing can mean several.
"""

import numpy as np

from core.craft.numbers import median
from core.fabric.energy import spring_vectors_mm
from core.fabric.sheet import Fabric
from core.fabric.springs import POST, Flags, Floats
from core.fabric.steady import Steady
from core.fabric.wash import UNWASHED, Wash
from core.records import Struct, replace


class WaveMeasures(Struct, frozen=True, kw_only=True):
    """Measures of the steady state.

    Attributes:
        repeat_width_mm: Peak to peak along one row.
        rise_mm: How far one row lifts the wave, averaged over the rows of a period.
        wave_height_mm: From dip to peak along one row's tops, averaged likewise.
        lean_deg: Angle of the runs' posts from the vertical: the median over the plain posts.
    """

    repeat_width_mm: float
    rise_mm: float
    wave_height_mm: float
    lean_deg: float

    def after(self, wash: Wash) -> "WaveMeasures":
        """Return the measures after washing."""
        if not wash.is_known:
            return self
        lean = np.radians(self.lean_deg)
        across, up = np.sin(lean) * wash.width, np.cos(lean) * wash.length
        return WaveMeasures(
            repeat_width_mm=self.repeat_width_mm * wash.width,
            rise_mm=self.rise_mm * wash.length,
            wave_height_mm=self.wave_height_mm * wash.length,
            lean_deg=float(np.degrees(np.arctan2(across, up))),
        )


class SizeMeasures(Struct, frozen=True, kw_only=True):
    """Measures of the whole blanket, after washing if `wash` is known.

    Attributes:
        width_mm: Between the side edges, averaged over the rows; the edge runs half a stitch
            outside the first and the last top.
        length_mm: From the foundation up to the last row, averaged over the columns.
        chain_mm: The foundation's base laid out straight, before it is drawn in; never washed.
        wash: What washing did to width and length, if a change by it is known.
    """

    width_mm: float
    length_mm: float
    chain_mm: float
    wash: Wash = UNWASHED

    @property
    def is_washed(self) -> bool:
        """Whether width and length are those after washing."""
        return self.wash.is_known

    @property
    def worked_width_mm(self) -> float:
        """The width as it comes off the hook."""
        return self.width_mm / self.wash.width

    @property
    def worked_length_mm(self) -> float:
        """The length as it comes off the hook."""
        return self.length_mm / self.wash.length

    @property
    def draw_in(self) -> float:
        """How much narrower the finished blanket is than its chain, as a share of the chain."""
        return 1.0 - self.width_mm / self.chain_mm

    def after(self, wash: Wash) -> "SizeMeasures":
        """Return the measures after washing."""
        return replace(
            self,
            width_mm=self.worked_width_mm * wash.width,
            length_mm=self.worked_length_mm * wash.length,
            wash=wash,
        )


def measure_wave(steady: Steady) -> WaveMeasures:
    """Return the measures of a steady state."""
    heights = []
    for level in steady.levels:
        y = steady.tops_mm[level.offset : level.offset + level.width, 1]
        heights.append(float(y.max() - y.min()))
    return WaveMeasures(
        repeat_width_mm=steady.frame.repeat_mm,
        rise_mm=steady.frame.period_mm[1] / steady.period,
        wave_height_mm=float(np.mean(heights)),
        lean_deg=median(_leans_deg(steady)),
    )


def _leans_deg(steady: Steady) -> Floats:
    """Return the lean of every plain post, or of every post if none is plain."""
    net = steady.net
    posts = net.kind == POST
    down = spring_vectors_mm(net, steady.tops_mm, steady.frame)[posts]
    lean: Floats = np.degrees(np.arctan2(np.abs(down[:, 0]), -down[:, 1]))
    plain = _alone(net.ends[posts, 0]) & _alone(net.ends[posts, 1])
    return lean[plain] if plain.any() else lean


def _alone(nodes: np.ndarray) -> Flags:
    """Return which entries occur only once."""
    return np.asarray(np.bincount(nodes)[nodes] == 1, dtype=bool)


def measure_size(fabric: Fabric) -> SizeMeasures:
    """Return the measures of the whole blanket."""
    widths = _row_widths_mm(fabric)
    base = fabric.row_tops_mm(0)
    return SizeMeasures(
        width_mm=float(widths[1:].mean() if fabric.n_rows else widths[0]),
        length_mm=_mean_height_mm(fabric.row_tops_mm(fabric.n_rows)) - _mean_height_mm(base),
        chain_mm=len(base) * fabric.size.width_mm,
    )


def length_after(fabric: Fabric, row: int) -> float:
    """Return the length up to a row, mm, as `measure_size` takes it up to the last."""
    return _mean_height_mm(fabric.row_tops_mm(row)) - _mean_height_mm(fabric.row_tops_mm(0))


def _row_widths_mm(fabric: Fabric) -> Floats:
    """Return the width of every row from the foundation up, half a stitch added at both ends."""
    x = fabric.tops_mm[:, 0]
    first, last = fabric.starts[:-1], fabric.starts[1:] - 1
    left, right = x[first], x[last]
    second, last_but_one = x[np.minimum(first + 1, last)], x[np.maximum(last - 1, first)]
    widths: Floats = right - left + 0.5 * (second - left) + 0.5 * (right - last_but_one)
    return widths


def _mean_height_mm(tops: Floats) -> float:
    """Return the mean height of a row, every bit of its width counting alike."""
    if len(tops) < 2 or tops[-1, 0] == tops[0, 0]:
        return float(tops[:, 1].mean())
    return float(np.trapezoid(tops[:, 1], tops[:, 0]) / (tops[-1, 0] - tops[0, 0]))
