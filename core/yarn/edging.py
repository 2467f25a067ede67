"""How much yarn fill rows and a border take: their stitches by their own area, as in the rows."""

from dataclasses import dataclass
from typing import Literal

from core.craft.stitches import height_ratio
from core.design.document import Design
from core.edging.border import BorderPlan
from core.edging.fill import Fill
from core.edging.outline import ENDS
from core.edging.plan import Ends, wish_for
from core.yarn.plain import yarn_m_per_m2

EdgingPart = Literal["top", "bottom", "border"]


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgingUse:
    """The yarn in one part of what is worked round the blanket.

    Attributes:
        part: Which part.
        yarn: Number of its yarn.
        stitches: Stitches of all its rows or rounds.
        length_m: Yarn in them.
    """

    part: EdgingPart
    yarn: int
    stitches: int
    length_m: float


def edging_use(design: Design, ends: Ends, border: BorderPlan | None) -> tuple[EdgingUse, ...]:
    """Return the yarn in every part that is worked."""
    found = []
    for end in ENDS:
        fill, wish = ends.fills.get(end), wish_for(design, end)
        if fill is not None and wish is not None:
            stitches = sum(len(row.along(fill.outline.repeats)) for row in fill.rows)
            length = fill_m(design, fill)
            found.append(EdgingUse(part=end, yarn=wish.yarn, stitches=stitches, length_m=length))
    if border is not None:
        found.append(
            EdgingUse(
                part="border",
                yarn=border.border.yarn,
                stitches=sum(border.rounds),
                length_m=border.length_m,
            )
        )
    return tuple(found)


def fill_m(design: Design, fill: Fill) -> float:
    """Return the yarn in an end's fill rows."""
    gauge = design.gauge
    heights = [
        gauge.row_height_mm * height_ratio(stitch, gauge.stitch)
        for row in fill.rows
        for stitch in row.along(fill.outline.repeats)
    ]
    return sum(heights) * gauge.stitch_width_mm * yarn_m_per_m2(design) / 1e6
