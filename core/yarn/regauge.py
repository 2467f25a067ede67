"""Another stitch or yarn for the same blanket: old and new side by side.

The new gauge gets as many repeats and rows as bring the blanket nearest to the finished size it
has now. What was measured on the old wave says nothing of the new one and is left behind.
"""

from core.craft.stitches import WorkedStitch
from core.design.document import Design
from core.design.edits import set_gauge, set_size, set_stitch, set_swatch, set_values
from core.errors import DesignError, Stopped
from core.fabric.measure import SizeMeasures, WaveMeasures, measure_wave
from core.fabric.relax import ShouldStop, never
from core.fabric.sheet import sketch_fabric
from core.fabric.sizes import across, finished_size, length_choices, width_choices
from core.fabric.wash import before_washing, wash_of
from core.records import Struct
from core.rows.build import build_rows
from core.yarn.use import yarn_use


class Gauged(Struct, frozen=True, kw_only=True):
    """A blanket in one gauge.

    Attributes:
        design: It as a design.
        across: Repeats as the chain counts them.
        chains: Foundation chain.
        width_mm: Finished width.
        length_mm: Finished length.
        wave_height_mm: Finished height of the wave.
        lean_deg: Lean of the runs.
        yarn_m: Yarn to have, tails and spare included.
    """

    design: Design
    across: int
    chains: int
    width_mm: float
    length_mm: float
    wave_height_mm: float
    lean_deg: float
    yarn_m: float


class SideBySide(Struct, frozen=True):
    """The blanket as it is and in another gauge."""

    old: Gauged
    new: Gauged


def side_by_side(
    design: Design,
    stitch: WorkedStitch,
    stitches: float,
    rows: float,
    *,
    should_stop: ShouldStop = never,
) -> SideBySide:
    """Return the blanket beside itself in another gauge, counted over the same length.

    Raises:
        DesignError: No fabric has that gauge, the rows have no steady state, or the blanket
            would be bigger than the program draws.
        Stopped: `should_stop` answered yes.
    """
    try:
        other = _in_gauge(design, stitch, stitches, rows)
        size, _ = _measured(design, should_stop)
        fine_size, fine_wave = _measured(other, should_stop)
        widths = width_choices(other, fine_size, fine_wave, wanted_mm=size.width_mm)
        repeats = min(widths, key=lambda choice: abs(choice.off_mm or 0.0)).repeats
        lengths = length_choices(other, fine_size, fine_wave, wanted_mm=size.length_mm)
        n_rows = min(lengths, key=lambda choice: abs(choice.off_mm or 0.0)).rows
        other = set_size(other, repeats=repeats, rows=n_rows)
    except ValueError as error:
        raise DesignError(str(error)) from error
    return SideBySide(_gauged(design, should_stop), _gauged(other, should_stop))


def _in_gauge(design: Design, stitch: WorkedStitch, stitches: float, rows: float) -> Design:
    """Return the design in another gauge, without what was measured on the old cloth.

    Washing is taken to change the new cloth as it does the old while both are compared.
    """
    other = set_stitch(design, stitch) if stitch != design.gauge.stitch else design
    return set_gauge(other, stitches=stitches, rows=rows)


def taken_over(compared: SideBySide) -> Design:
    """Return the design in its new gauge and size.

    Weighed yarn and washing are kept until they are measured anew, so that sizes stay those
    compared; worked wave, chain and the piece on the hook are of the old cloth and are left out.
    """
    design = compared.new.design
    old = design.swatch
    bare = set_values(design, swatch=None, progress=None)
    if old is None:
        return bare
    width, length = before_washing(old)
    return set_swatch(
        bare,
        yarn_m_per_m2=old.yarn_m_per_m2,
        wash_width_mm=width if old.washed_width_mm is not None else None,
        washed_width_mm=old.washed_width_mm,
        wash_length_mm=length if old.washed_length_mm is not None else None,
        washed_length_mm=old.washed_length_mm,
    )


def _measured(design: Design, should_stop: ShouldStop) -> tuple[SizeMeasures, WaveMeasures]:
    fabric = sketch_fabric(design, build_rows(design))
    if should_stop():
        raise Stopped
    if fabric.steady is None:
        raise DesignError("the rows don't go on evenly, so there is no size to keep: see Checks")
    wave = measure_wave(fabric.steady).after(wash_of(design.swatch))
    return finished_size(design, fabric), wave


def _gauged(design: Design, should_stop: ShouldStop) -> Gauged:
    size, wave = _measured(design, should_stop)
    rows = build_rows(design)
    return Gauged(
        design=design,
        across=across(rows.foundation, design.size.repeats),
        chains=rows.foundation.chains,
        width_mm=size.width_mm,
        length_mm=size.length_mm,
        wave_height_mm=wave.wave_height_mm,
        lean_deg=wave.lean_deg,
        yarn_m=sum(use.length_m for use in yarn_use(design, rows)),
    )
