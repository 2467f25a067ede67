"""What stands under a chart: what it shows, for which hand, in which terms; its scale."""

from typing import Final

from core.chart.piece import Extent, Part, extent_of
from core.chart.setting import Measure
from core.craft.stitches import Terms
from core.craft.units import MM_PER_IN
from core.design.document import Design, Hand

_CM: Final = (1, 2, 5, 10, 20, 50, 100)
_IN: Final = (0.5, 1, 2, 5, 10, 20, 50)
_STITCHES: Final = (2, 5, 10, 20, 50, 100)


def caption_of(design: Design, part: Part, *, hand: Hand, terms: Terms) -> str:
    """Return a line on the part, one on hand and terms, and where needed one on the quiet row."""
    extent = extent_of(design, part)
    first, last = extent.rows
    rows = f"row {first}" if first == last else f"rows {first} to {last}"
    if part.shown == "extract":
        pattern = {2: "pattern row 2", 3: "pattern rows 2 and 3"}.get(
            last, f"pattern rows 2 to {last}"
        )
        rows = "set-up row 1" if last == 1 else f"set-up row 1 and {pattern}"
    told = f"{rows[0].upper()}{rows[1:]}, {_across(extent, part)}."
    told += f"\nFor {hand}-handed working, seen from the right side. {terms} terms."
    if first > 1:
        told += f"\nRow {first - 1}, drawn in grey, is only what row {first} is worked into."
    return told


def _across(extent: Extent, part: Part) -> str:
    if part.shown == "extract":
        return "one repeat between both edges"
    low, high = extent.repeats
    if extent.near_edge and extent.far_edge:
        return "from edge to edge"
    which = f"repeat {low}" if low == high else f"repeats {low} to {high}"
    edge = ""
    if extent.near_edge:
        edge = ", with the edge there"
    elif extent.far_edge:
        edge = ", with the far edge"
    return f"{which} of {extent.of_repeats} counted from where row 1 starts{edge}"


def scales_of(design: Design, *, straight: bool) -> tuple[Measure, ...]:
    """Return bars that can show a chart's scale, from the shortest.

    They measure the fabric as it is worked, before washing. A straight grid has no true scale
    along the rows of a wave, so its bar counts stitches.
    """
    if straight:
        width = design.gauge.stitch_width_mm
        return tuple((n * width, f"{n} stitches of the grid") for n in _STITCHES)
    if design.units == "in":
        return tuple((n * MM_PER_IN, f"{n:g} in of fabric") for n in _IN)
    return tuple((10.0 * n, f"{n} cm of fabric") for n in _CM)
