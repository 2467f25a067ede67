"""What is worked round the blanket, computed from the settled fabric and the designer's wish.

Fills are looked for by settling the end again and again, which takes a while; a quick sketch
of them comes first. The border follows from either in no time.
"""

from collections.abc import Mapping
from typing import Any

from core.design.document import Design, EndFill
from core.edging.border import BorderPlan, plan_border
from core.edging.fill import Fill, settle_fill, sketch_fill
from core.edging.outline import ENDS, EndName, Outline, outline_of
from core.edging.piece import cut_piece
from core.fabric.relax import ShouldStop, never
from core.fabric.sheet import Fabric
from core.fabric.wash import UNWASHED, Wash
from core.records import Struct
from core.rows.build import Rows


class Ends(Struct, frozen=True, eq=False, kw_only=True):
    """Both ends of a blanket.

    Attributes:
        outlines: As they are, by name; empty if the rows don't fit.
        fills: The fill rows on them, where they are wished for.
        settled: Whether the fills have been settled, if there are any.
    """

    outlines: Mapping[EndName, Outline]
    fills: Mapping[EndName, Fill | None]
    settled: bool

    @property
    def has_fill(self) -> bool:
        """Whether any end is filled."""
        return any(self.fills.values())


def fills_part(design: Design) -> Any:
    """Return what the fills follow from beside the fabric."""
    edging = design.edging
    return tuple(_shape_of(wish_for(design, end)) for end in ENDS) if edging else (None, None)


def _shape_of(wish: EndFill | None) -> Any:
    """Return what a fill's shape depends on: all but its yarn."""
    return None if wish is None else (wish.n_rows, wish.own)


def wish_for(design: Design, end: EndName) -> EndFill | None:
    """Return what the designer wants at an end."""
    edging = design.edging
    if edging is None:
        return None
    return edging.top if end == "top" else edging.bottom


def ends_of(
    design: Design,
    rows: Rows,
    fabric: Fabric,
    *,
    settle: bool,
    should_stop: ShouldStop = never,
) -> Ends:
    """Return both ends, the fills settled or only sketched.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    outlines: dict[EndName, Outline] = {}
    fills: dict[EndName, Fill | None] = {}
    for end in ENDS:
        outline = outline_of(design, rows, fabric, end)
        wish = wish_for(design, end)
        fills[end] = None
        if outline is None:
            continue
        outlines[end] = outline
        if wish is not None:
            piece = cut_piece(design, rows, fabric, outline)
            if settle:
                fills[end] = settle_fill(wish, outline, piece, should_stop=should_stop)
            else:
                fills[end] = sketch_fill(wish, outline, piece)
    return Ends(outlines=outlines, fills=fills, settled=settle or not any(fills.values()))


def border_of(
    design: Design, fabric: Fabric, ends: Ends, *, yarn_m_per_m2: float
) -> BorderPlan | None:
    """Return the border, None if there is none or the rows don't fit."""
    border = design.edging.border if design.edging else None
    if border is None or len(ends.outlines) < len(ENDS):
        return None
    return plan_border(
        border,
        fabric,
        dict(ends.outlines),
        dict(ends.fills),
        yarn_m_per_mm2=yarn_m_per_m2 / 1e6,
    )


def grown_mm(ends: Ends, border: BorderPlan | None, wash: Wash = UNWASHED) -> tuple[float, float]:
    """Return how much wider and longer the blanket gets by its fill rows and border."""
    around = 2.0 * border.adds_mm if border else 0.0
    filled = 0.0
    for fill in ends.fills.values():
        if fill is not None:
            rise = fill.tops_mm[-1][:, 1].mean() - fill.outline.tops_mm[:, 1].mean()
            filled += abs(float(rise))
    return wash.width * around, wash.length * (filled + around)
