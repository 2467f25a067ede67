"""How much yarn fill rows and a border take: their stitches by their own area, as in the rows."""

from collections.abc import Iterable
from typing import Literal

from core.craft.stitches import HAND_MOVES, WorkedStitch, height_ratio
from core.design.document import Design, total_makes
from core.edging.border import BorderPlan
from core.edging.outline import ENDS
from core.edging.plan import Ends, wish_for
from core.records import Struct
from core.yarn.plain import yarn_m_per_m2

EdgingPart = Literal["top", "bottom", "border"]


class EdgingUse(Struct, frozen=True, kw_only=True):
    """The yarn in one part of what is worked round the blanket.

    Attributes:
        part: Which part.
        yarn: Number of its yarn.
        stitches: Stitches of all its rows or rounds.
        length_m: Yarn in them.
        repeat_m: What one more repeat adds to it, nearly.
        moves: The hand's movements in them (`core.craft.stitches.HAND_MOVES`).
    """

    part: EdgingPart
    yarn: int
    stitches: int
    length_m: float
    repeat_m: float
    moves: int


def edging_use(design: Design, ends: Ends, border: BorderPlan | None) -> tuple[EdgingUse, ...]:
    """Return the yarn in every part that is worked."""
    found = []
    for end in ENDS:
        fill, wish = ends.fills.get(end), wish_for(design, end)
        if fill is not None and wish is not None:
            worked = [kind for row in fill.rows for kind in row.along(fill.outline.repeats)]
            inside = [kind for row in fill.rows for kind in row.repeat]
            found.append(
                EdgingUse(
                    part=end,
                    yarn=wish.yarn,
                    stitches=len(worked),
                    length_m=_stitches_m(design, worked),
                    repeat_m=_stitches_m(design, inside),
                    moves=sum(HAND_MOVES[kind] for kind in worked),
                )
            )
    if border is not None:
        found.append(
            EdgingUse(
                part="border",
                yarn=border.border.yarn,
                stitches=sum(border.rounds),
                length_m=border.length_m,
                repeat_m=_border_repeat_m(design, border),
                moves=sum(border.rounds) * HAND_MOVES[border.border.stitch],
            )
        )
    return tuple(found)


def _border_repeat_m(design: Design, border: BorderPlan) -> float:
    """Return the ends' share of a border, over the repeats across, edges counted as part of one."""
    ends = border.top.total + border.bottom.total
    share = ends / max(ends + 2 * border.side_total, 1)
    row = design.wave.rows_in_turn[-1]
    return border.length_m * share * total_makes(row.repeat) / row.makes(design.size.repeats)


def _stitches_m(design: Design, worked: Iterable[WorkedStitch]) -> float:
    gauge = design.gauge
    heights = (gauge.row_height_mm * height_ratio(stitch, gauge.stitch) for stitch in worked)
    return sum(heights) * gauge.stitch_width_mm * yarn_m_per_m2(design) / 1e6
