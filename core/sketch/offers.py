"""A wave on offer: what it measures and what a blanket of the same size takes in it."""

import numpy as np

from core.design.document import MAX_ROW_STITCHES, MAX_STITCHES, Design, Wave, total_makes
from core.design.edits import set_size, set_wave
from core.fabric.measure import WaveMeasures
from core.fabric.relax import ShouldStop, never
from core.fabric.springs import Floats
from core.records import Struct
from core.rows.build import build_rows
from core.rows.foundation import foundation_of
from core.sketch.curve import Drawn
from core.sketch.outline import Match, Outline, OutlineBook
from core.yarn.use import yarn_use

_AROUND = 4  # repeats shown on either side of the middle one


class Blanket(Struct, frozen=True):
    """The size that offers are compared at.

    Attributes:
        width_mm: Between the side edges.
        length_mm: From the foundation to the last row.
    """

    width_mm: float
    length_mm: float


class Offer(Struct, frozen=True, eq=False, kw_only=True):
    """A wave to choose.

    Attributes:
        name: What a person calls it.
        wave: The wave.
        measures: Of its steady state.
        multiple: Chains that one more repeat takes.
        extra: What the chain has beyond whole multiples.
        repeats: Repeats for a blanket nearest to the size compared at.
        rows: Rows likewise.
        width_mm: What that makes.
        length_mm: Likewise.
        yarn_m: Yarn of all colours for it, tails and spare included.
        line_mm: A right-side row's tops, laid so that it matches the drawing: x from the
            drawn period's left end, heights from the mean; several repeats, shape (n, 2).
        distance_mm: How far it is from what was drawn, on average; None if nothing was.
        share: The same as a share of the drawn wave's height.
    """

    name: str
    wave: Wave
    measures: WaveMeasures
    multiple: int
    extra: int
    repeats: int
    rows: int
    width_mm: float
    length_mm: float
    yarn_m: float
    line_mm: Floats
    distance_mm: float | None = None
    share: float | None = None


def blanket_of(design: Design, book: OutlineBook, should_stop: ShouldStop = never) -> Blanket:
    """Return the size of a design as its wave makes it, or as its gauge if it has no steady one.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    outline, size, gauge = book.outline(design.wave, should_stop), design.size, design.gauge
    if outline is None or outline.measures is None:
        stitches = design.wave.first.makes(size.repeats)
        return Blanket(stitches * gauge.stitch_width_mm, size.rows * gauge.row_height_mm)
    across = (size.repeats + _edge_repeats(design.wave)) * outline.measures.repeat_width_mm
    return Blanket(across, size.rows * outline.measures.rise_mm)


def _edge_repeats(wave: Wave) -> float:
    """Return how many repeats both edges together are as wide as."""
    row = wave.rows_in_turn[0]
    return (total_makes(row.start) + total_makes(row.end)) / total_makes(row.repeat)


def _most_stitches(wave: Wave, repeats: int) -> int:
    """Return the stitches of the longest row."""
    return max(max(row.makes(repeats), row.uses(repeats)) for row in wave.rows_in_turn)


def offer_of(
    design: Design,
    name: str,
    wave: Wave,
    outline: Outline,
    blanket: Blanket,
    *,
    drawn: Drawn,
    laid: Match,
    is_compared: bool = True,
) -> Offer:
    """Return an offer in full.

    Args:
        design: What is made in it.
        name: What a person calls it.
        wave: The wave.
        outline: What the model makes of it, with measures.
        blanket: The size to compare at.
        drawn: What it lies on.
        laid: How.
        is_compared: Whether its distance from that is worth telling.
    """
    assert outline.measures is not None
    measures = outline.measures
    edges = _edge_repeats(wave)
    repeats = round(blanket.width_mm / measures.repeat_width_mm - edges)
    repeats = max(min(repeats, 1000, int(MAX_ROW_STITCHES / _most_stitches(wave, 1)) - 1), 1)
    rows = round(blanket.length_mm / measures.rise_mm)
    rows = max(min(rows, 5000, MAX_STITCHES // _most_stitches(wave, repeats)), 1)
    sized = set_size(set_wave(design, wave), repeats=repeats, rows=rows)
    foundation = foundation_of(wave.first, design.turning, repeats)
    yarn = sum(use.length_m for use in yarn_use(sized, build_rows(sized)))
    return Offer(
        name=name,
        wave=wave,
        measures=measures,
        multiple=foundation.multiple,
        extra=foundation.extra,
        repeats=repeats,
        rows=rows,
        width_mm=(repeats + edges) * measures.repeat_width_mm,
        length_mm=rows * measures.rise_mm,
        yarn_m=yarn,
        line_mm=laid_line(outline, drawn.period_mm, laid),
        distance_mm=laid.distance_mm if is_compared else None,
        share=laid.distance_mm / max(drawn.height_mm, 1e-9) if is_compared else None,
    )


def laid_line(outline: Outline, period_mm: float, laid: Match) -> Floats:
    """Return some repeats of the row shown, its match in the middle of the drawn period."""
    tops = outline.lines_mm[outline.shown]
    phases = tops[:, 0] / outline.repeat_mm
    heights = outline.heights(outline.shown, phases)
    x = 0.5 * period_mm + (phases - 0.5 - laid.phase) * outline.repeat_mm
    turns = np.arange(-_AROUND - 1, _AROUND + 2)[:, np.newaxis] * outline.repeat_mm
    x = x - np.floor((x[0] - 0.5 * period_mm) / outline.repeat_mm) * outline.repeat_mm
    every = np.stack([(turns + x).ravel(), np.tile(heights, len(turns))], axis=1)
    line: Floats = every[np.argsort(every[:, 0], kind="stable")]
    return line


def take(design: Design, offer: Offer) -> Design:
    """Return the design in the wave on offer, as near to its own size as repeats and rows allow.

    Raises:
        DesignError, ValueError: It would leave the bounds of a design.
    """
    if offer.wave == design.wave:
        return design
    return set_size(set_wave(design, offer.wave), repeats=offer.repeats, rows=offer.rows)
