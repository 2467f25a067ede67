"""Runs the stages in order and keeps each one's last result.

A stage runs again only when the part of the design that it reads has changed, so a new
colour doesn't settle the fabric again. The quick way lays the fabric out as its steady state;
the settled fabric may be computed elsewhere and handed in (`Pipeline.take_settled`), and is
used for as long as it belongs to the design.
"""

from collections.abc import Callable
from functools import lru_cache
from typing import Any, Final, TypeVar, cast

from core.checks.cautions import check_cautions
from core.checks.edging import check_edging
from core.checks.findings import Finding, by_level
from core.checks.fit import check_fit
from core.checks.flatness import check_flatness
from core.checks.stripes import check_stripes
from core.design.document import Design
from core.design.edits import set_size
from core.edging.border import BorderPlan
from core.edging.plan import Ends, border_of, ends_of, fills_part
from core.fabric.case import Case, case_of
from core.fabric.extract import extract
from core.fabric.measure import SizeMeasures, WaveMeasures, measure_wave
from core.fabric.profile import Profile, profile_of
from core.fabric.relax import ShouldStop, never
from core.fabric.rowsteps import Progress, silent
from core.fabric.sheet import Fabric, settle_exactly, settle_fabric, sketch_fabric
from core.fabric.sizes import finished_size
from core.fabric.wash import wash_of
from core.records import Struct
from core.rows.build import Rows, build_rows
from core.rows.waves import Shape, shape_of
from core.stripes.sequence import Indices, yarn_of_rows
from core.yarn.edging import EdgingUse, edging_use
from core.yarn.rows import RowYarn, row_yarn
from core.yarn.tails import Tails, tails_of
from core.yarn.use import YarnUse, yarn_m_per_m2, yarn_use

_Value = TypeVar("_Value")
_MOST_EXACT: Final = 60_000  # stitches, some seconds' work and a few hundred megabytes
_TILED_REPEATS: Final = 8  # from here on a blanket is laid out of equal repeats


class Results(Struct, frozen=True, eq=False, kw_only=True, weakref=True):
    """Everything computed from one design.

    Attributes:
        design: The design it was computed from.
        rows: Its rows.
        fabric: Its fabric, settled or a first sketch.
        shape: The wave as runs and turns or as stitch heights, if it can be read that way.
        wave: Measures of the steady state as worked, if there is one.
        profile: The settled row to be shaped by hand, if there is a steady state.
        size: Measures of the finished blanket: after washing, if a change by it is known.
        ends: Its top and bottom as they are and filled.
        border: The border, if there is one.
        edging: The yarn of what is worked round it.
        yarn_of_row: Number of each drawn row's yarn, shape (rows,).
        yarn: What each yarn has to do.
        row_yarn: What each row takes.
        yarn_ends: The pieces of yarn that the rows are worked in, and their ends.
        findings: What is quickly seen to be wrong, errors first; `core.techedit` has the rest.
    """

    design: Design
    rows: Rows
    fabric: Fabric
    shape: Shape | None
    wave: WaveMeasures | None
    profile: Profile | None
    size: SizeMeasures
    ends: Ends
    border: BorderPlan | None
    edging: tuple[EdgingUse, ...]
    yarn_of_row: Indices
    yarn: tuple[YarnUse, ...]
    row_yarn: RowYarn
    yarn_ends: Tails
    findings: tuple[Finding, ...]

    @property
    def known_size(self) -> SizeMeasures | None:
        """Measures of the finished blanket; None while rows don't fit, as then only a part is."""
        return self.size if self.rows.misfit is None else None

    @property
    def tails(self) -> int:
        """Yarn ends of the rows to weave in."""
        return self.yarn_ends.n_ends

    @property
    def finished_wave(self) -> WaveMeasures | None:
        """Measures of the steady state after washing, if a change by it is known."""
        return self.wave and self.wave.after(wash_of(self.design.swatch))


class Pipeline:
    """Computes `Results` of one design after another, doing only what has changed."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[Any, Any]] = {}
        self._settled: tuple[Any, Fabric] | None = None
        self._settled_ends: tuple[Fabric, Any, Ends] | None = None

    def results(self, design: Design) -> Results:
        """Return the results for `design`, with the settled fabric if it has been handed in."""
        # Rows and fabrics compare by identity, so a stage's part may hold them.
        rows = self._rows(design)
        fabric = self._fabric(design, rows)
        shape = self._stage("shape", design.wave, lambda: shape_of(design.wave))
        wave, profile = self._stage(
            "profile", (fabric, design.hand), lambda: _profile(design, fabric, shape)
        )
        size = self._stage("size", (fabric, design.swatch), lambda: finished_size(design, fabric))
        stripes = self._stage(
            "stripes",
            (design.stripes, rows.drawn_rows),
            lambda: yarn_of_rows(design.stripes, rows.drawn_rows),
        )
        yarn_ends = self._stage(
            "ends of yarn",
            (design.stripes, rows.drawn_rows, design.hand, design.reckoning),
            lambda: tails_of(design, stripes),
        )
        ends = self._ends(design, rows, fabric)
        border, edging = self._stage(
            "edging",
            (ends, fabric, design.edging, design.swatch),
            lambda: _edging(design, fabric, ends),
        )
        by_row = self._stage(
            "yarn of rows",
            (rows, design.gauge, design.swatch),
            lambda: row_yarn(design, rows),
        )
        use = self._stage(
            "yarn",
            (by_row, yarn_ends, design.yarns, edging),
            lambda: yarn_use(design, rows, edging, by_row=by_row, tails=yarn_ends),
        )
        findings = self._stage(
            "findings",
            (design, rows, fabric, ends),
            lambda: _findings(design, rows, size, fabric, ends),
        )
        return Results(
            design=design,
            rows=rows,
            fabric=fabric,
            shape=shape,
            wave=wave,
            profile=profile,
            size=size,
            ends=ends,
            border=border,
            edging=edging,
            yarn_of_row=stripes,
            yarn=use,
            row_yarn=by_row,
            yarn_ends=yarn_ends,
            findings=findings,
        )

    def settled_results(self, design: Design, *, should_stop: ShouldStop = never) -> Results:
        """Return the results for `design` with its fabric settled here and now.

        Raises:
            Stopped: `should_stop` answered yes.
        """
        work = self.work(design)
        while work is not None:
            self.take_settled(design, *settle(work, should_stop=should_stop))
            work = self.work(design)
        return self.results(design)

    def work(self, design: Design) -> "SettlingWork | None":
        """Return what is still to be settled of a design; to be done on any thread."""
        known = self._settled_fabric(design)
        done = known is not None and (known.exact or not worth_settling_exactly(known))
        if done and (not any(fills_part(design)) or self._known_ends(design, known)):
            return None
        case, rows = self._case(design), self._rows(design)
        return SettlingWork(design, case, rows, known, only_ends=done)

    def take_settled(self, design: Design, fabric: Fabric, ends: Ends | None = None) -> None:
        """Use these for every design that has the same rows, gauge and fills as `design`."""
        self._settled = (fabric_part(design), fabric)
        if ends is not None:
            self._settled_ends = (fabric, fills_part(design), ends)

    def _settled_fabric(self, design: Design) -> Fabric | None:
        if self._settled is not None and self._settled[0] == fabric_part(design):
            return self._settled[1]
        return None

    def _known_ends(self, design: Design, fabric: Fabric | None) -> Ends | None:
        known = self._settled_ends
        if known is not None and known[0] is fabric and known[1] == fills_part(design):
            return known[2]
        return None

    def _rows(self, design: Design) -> Rows:
        return self._stage("rows", _rows_part(design), lambda: build_rows(design))

    def _case(self, design: Design) -> Case:
        return self._stage("case", _case_part(design), lambda: case_of(design))

    def _fabric(self, design: Design, rows: Rows) -> Fabric:
        settled = self._settled_fabric(design)
        if settled is not None:
            return settled

        def sketch() -> Fabric:
            return sketch_fabric(design, rows, case=self._case(design))

        return self._stage("fabric", fabric_part(design), sketch)

    def _ends(self, design: Design, rows: Rows, fabric: Fabric) -> Ends:
        known = self._known_ends(design, fabric)
        if known is not None:
            return known

        def sketch() -> Ends:
            return ends_of(design, rows, fabric, settle=False)

        return self._stage("ends", (fabric, fills_part(design)), sketch)

    def _stage(self, name: str, part: Any, compute: Callable[[], _Value]) -> _Value:
        known = self._kept.get(name)
        if known is None or known[0] != part:
            known = (part, compute())
            self._kept[name] = known
        return cast("_Value", known[1])


class SettlingWork(Struct, frozen=True, eq=False):
    """A fabric to be settled: from strips, then with every stitch free, then its fill rows.

    Attributes:
        design: The design.
        case: Its case.
        rows: Its rows.
        start: The fabric from strips, if that is there already.
        only_ends: Whether that fabric can't be bettered and only its fill rows are to be found.
    """

    design: Design
    case: Case
    rows: Rows
    start: Fabric | None
    only_ends: bool


def settle(
    work: SettlingWork, *, should_stop: ShouldStop = never, progress: Progress = silent
) -> tuple[Fabric, Ends | None]:
    """Return the next better fabric, and its ends at rest if they were what was left to do.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    design, rows, start = work.design, work.rows, work.start
    if start is None:
        return settle_fabric(design, rows, case=work.case, should_stop=should_stop), None
    if work.only_ends:
        return start, ends_of(design, rows, start, settle=True, should_stop=should_stop)
    exact = settle_exactly(
        design, rows, case=work.case, start=start, should_stop=should_stop, progress=progress
    )
    return exact, None


def worth_settling_exactly(fabric: Fabric) -> bool:
    """Return whether the exact fabric is worth its time: copies of a period are nearly right."""
    return fabric.steady is None or len(fabric.tops_mm) <= _MOST_EXACT


def settled_extract(
    results: Results, *, repeats: int, n_rows: int, should_stop: ShouldStop = never
) -> tuple[Rows, Fabric]:
    """Return the first rows between the real edges with only so many repeats, settled.

    A small blanket has no repeat that is free of its edges, so the piece is then cut from a
    wider one.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    design, rows, fabric = results.design, results.rows, results.fabric
    narrow = repeats < design.size.repeats < _TILED_REPEATS and rows.misfit is None
    if narrow:
        design = set_size(design, repeats=_TILED_REPEATS)
        rows, fabric = _wide_piece(design)
    elif not fabric.settled:
        fabric = settle_fabric(design, rows, should_stop=should_stop)
    return extract(design, rows, fabric, repeats=repeats, n_rows=n_rows)


def _profile(
    design: Design, fabric: Fabric, shape: Shape | None
) -> tuple[WaveMeasures | None, Profile | None]:
    if fabric.steady is None:
        return None, None
    return measure_wave(fabric.steady), profile_of(design, fabric.steady, shape)


@lru_cache(maxsize=4)
def _wide_piece(design: Design) -> tuple[Rows, Fabric]:
    """Return a settled piece that narrower ones are cut from; kept, as it is asked for again."""
    rows = build_rows(design)
    return rows, settle_fabric(design, rows)


def _rows_part(design: Design) -> Any:
    return design.wave, design.turning, design.size, design.hand


def _case_part(design: Design) -> Any:
    return design.gauge, design.wave, design.turning, design.hand


def fabric_part(design: Design) -> Any:
    """Return the part of a design that its fabric follows from."""
    return design.gauge, *_rows_part(design)


def _edging(
    design: Design, fabric: Fabric, ends: Ends
) -> tuple[BorderPlan | None, tuple[EdgingUse, ...]]:
    border = border_of(design, fabric, ends, yarn_m_per_m2=yarn_m_per_m2(design))
    return border, edging_use(design, ends, border)


def _findings(
    design: Design,
    rows: Rows,
    size: SizeMeasures,
    fabric: Fabric,
    ends: Ends,
) -> tuple[Finding, ...]:
    found = check_fit(design, rows)
    found += check_flatness(design, rows, fabric.steady)
    if rows.misfit is None:  # until the rows fit, most stripes are of rows not drawn
        found += check_stripes(design, rows.drawn_rows)
        found += check_edging(ends)
        found += check_cautions(design, size, fabric.steady)
    return by_level(found)
