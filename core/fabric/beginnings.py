"""A design to begin with: a family in a stitch, in a usual size, from a swatch of one's own."""

from typing import Final, get_args

from core.craft.stitches import Terms, WorkedStitch
from core.craft.tables import USUAL_SIZES_MM
from core.design.document import Design, Units, Use
from core.design.edits import set_size, set_swatch, set_values, set_wanted
from core.errors import DesignError
from core.fabric.measure import measure_wave
from core.fabric.relax import ShouldStop, never
from core.fabric.sheet import sketch_fabric
from core.fabric.sizes import finished_size, length_choices, width_choices
from core.fabric.swatch import fit_swatch, with_fit, worked_wave
from core.records import Struct
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.waves import Family

AS_IT_COMES: Final = ""
OWN_SIZE: Final = "own"
_NAMES: Final = tuple(name for name, _, _ in USUAL_SIZES_MM)
_EVERY_USE: Final[dict[str, Use]] = {use: use for use in get_args(Use)}
_USES: Final[dict[str, Use]] = {name: _EVERY_USE[name.split()[-1]] for name in _NAMES}
"""What each usual size is for: its name's last word, so a single bed's is a bed."""
_WHOLE_STRIPES: Final = 2  # rows that a starter's stripes have, so that none is cut short


class Piece(Struct, frozen=True, kw_only=True):
    """What was measured on a worked piece of the wave, before it was washed.

    Attributes:
        repeats: Repeats measured together, peak to peak.
        width_mm: Their width.
        rows: Rows measured together.
        length_mm: Their height.
    """

    repeats: int
    width_mm: float
    rows: int
    length_mm: float


class Beginning(Struct, frozen=True, kw_only=True):
    """What a design is to begin with.

    Attributes:
        family: Its wave.
        stitch: What its rows are worked in.
        run: Plain stitches in a run; None for the family's own.
        size: Name of a usual size (`core.craft.tables.USUAL_SIZES_MM`), `AS_IT_COMES`, or
            `OWN_SIZE` with `own_mm`.
        own_mm: Finished width and length wanted.
        title: What it is called; the wave's and the size's own words where empty.
        piece: A piece of this wave to take the gauge from.
        terms: Terms it is written in.
        units: Units it is measured in.
    """

    family: Family
    stitch: WorkedStitch = "dc"
    run: int | None = None
    size: str = AS_IT_COMES
    own_mm: tuple[float, float] | None = None
    title: str = ""
    piece: Piece | None = None
    terms: Terms = "US"
    units: Units = "cm"


def begin(beginning: Beginning, *, should_stop: ShouldStop = never) -> Design:
    """Return the design to begin with.

    Raises:
        DesignError: There is no such usual size, or the piece's wave never comes to rest, so it
            tells no gauge.
        ValueError: A measure lies outside the document's bounds.
        Stopped: `should_stop` answered yes.
    """
    _refuse_unknown(beginning)
    design = starter(
        beginning.family,
        stitch=beginning.stitch,
        run=beginning.run,
        terms=beginning.terms,
        units=beginning.units,
    )
    if beginning.piece is not None:
        design = _gauged(design, beginning.piece, should_stop)
    for name, width_mm, length_mm in USUAL_SIZES_MM:
        if name == beginning.size:
            design = set_values(design, use=_USES[name], title=f"{design.title}, {name}")
            design = _wanted(design, width_mm, length_mm)
    if beginning.own_mm is not None:
        design = _wanted(design, *beginning.own_mm)
    return set_values(design, title=beginning.title) if beginning.title else design


def _wanted(design: Design, width_mm: float, length_mm: float) -> Design:
    design = set_wanted(design, width_mm=width_mm, length_mm=length_mm)
    return in_size(design, width_mm, length_mm)


def in_size(design: Design, width_mm: float, length_mm: float) -> Design:
    """Return the design in the whole repeats and pairs of rows nearest to a finished size."""
    fabric = sketch_fabric(design, build_rows(design))
    if fabric.steady is None:
        return design
    wave, size = measure_wave(fabric.steady), finished_size(design, fabric)
    wide = width_choices(design, size, wave, wanted_mm=width_mm, spread=0)[0]
    long = length_choices(design, size, wave, wanted_mm=length_mm, step=_WHOLE_STRIPES, spread=0)[0]
    return set_size(design, repeats=wide.repeats, rows=long.rows)


def _refuse_unknown(beginning: Beginning) -> None:
    size = beginning.size
    if size not in (AS_IT_COMES, OWN_SIZE, *_NAMES):
        known = ", ".join(_NAMES)
        raise DesignError(f"there is no usual size {size!r:.60}: choose one of {known}")
    if (size == OWN_SIZE) != (beginning.own_mm is not None):
        raise DesignError("a size of one's own needs its width and length, and only that one")


def _gauged(design: Design, piece: Piece, should_stop: ShouldStop) -> Design:
    """Return the design with the gauge that a worked piece of its wave speaks of."""
    design = set_swatch(
        design,
        repeats=piece.repeats,
        repeats_mm=piece.width_mm,
        rows=piece.rows,
        rows_mm=piece.length_mm,
    )
    fit = fit_swatch(design, worked_wave(design.swatch), should_stop=should_stop)
    if not fit.explained:
        worst = max(fit.off, key=abs)
        raise DesignError(
            f"no fabric of this wave has both measures, the nearest is {abs(worst):.0%} off: "
            "count its repeats and rows again, or choose the wave that was worked"
        )
    return with_fit(design, fit)
