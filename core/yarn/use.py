"""How much of each yarn the blanket takes.

Body, foundation, fill rows, border, tails and spare are lines of their own, never hidden in each
other. Whole balls are rounded up colour by colour, so no colour has to be bought twice: a second
purchase rarely comes from the same dye lot.
"""

import math
from collections.abc import Sequence

import numpy as np

from core.design.document import Design, Reckoning
from core.records import Struct
from core.rows.build import Rows
from core.stripes.sequence import Indices, yarn_of_rows
from core.yarn.edging import EdgingUse
from core.yarn.plain import yarn_band, yarn_m_per_m2
from core.yarn.rows import RowYarn, row_yarn
from core.yarn.tails import Tails, tails_of


class YarnUse(Struct, frozen=True, kw_only=True):
    """What one yarn of the design has to do.

    Attributes:
        yarn: Number of the yarn.
        rows: Rows worked in it.
        stitches: Stitches worked in it, chains between stitches included.
        body_m: Length in the rows.
        foundation_m: Length in the foundation chain, if it is this yarn's.
        fill_m: Length in fill rows.
        border_m: Length in the border.
        tails_m: Length left as tails.
        carried_m: Length carried up the sides.
        spare_m: What to buy beyond that.
        low_m: Least that all but the spare may come to.
        high_m: Most that all but the spare may come to.
        ends: Ends to weave in.
        mass_g: Weight of all of it by the ball band.
        balls: Whole balls.
    """

    yarn: int
    rows: int
    stitches: int
    body_m: float
    foundation_m: float
    fill_m: float = 0.0
    border_m: float = 0.0
    tails_m: float
    carried_m: float = 0.0
    spare_m: float
    low_m: float
    high_m: float
    ends: int
    mass_g: float
    balls: int

    @property
    def worked_m(self) -> float:
        """Length in stitches and chains."""
        return self.body_m + self.foundation_m + self.fill_m + self.border_m

    @property
    def needed_m(self) -> float:
        """Length of all lines but the spare."""
        return self.worked_m + self.tails_m + self.carried_m

    @property
    def length_m(self) -> float:
        """Length of all lines together."""
        return self.needed_m + self.spare_m


def yarn_use(
    design: Design,
    rows: Rows,
    edging: Sequence[EdgingUse] = (),
    *,
    by_row: RowYarn | None = None,
    tails: Tails | None = None,
) -> tuple[YarnUse, ...]:
    """Return what every yarn of the design has to do, in the design's order.

    Args:
        design: The design.
        rows: Its rows.
        edging: What is worked round them (`core.yarn.edging`).
        by_row: What each row takes, if that is known already.
        tails: The ends of the rows, if they are known already.
    """
    if by_row is None:
        by_row = row_yarn(design, rows)
    of_row = yarn_of_rows(design.stripes, rows.drawn_rows) if tails is None else _of_row(tails)
    if tails is None:
        tails = tails_of(design, of_row)
    reckoning, band = design.reckoning or Reckoning(), yarn_band(design)
    many = len(design.yarns)
    body = np.bincount(of_row, weights=by_row.row_m, minlength=many).tolist()
    n_rows = np.bincount(of_row, minlength=many).tolist()
    stitches = np.bincount(of_row, weights=by_row.stitches, minlength=many).tolist()
    ends = tails.ends_of(many).tolist()
    passed = np.bincount(
        tails.yarn[tails.carried], weights=tails.gaps[tails.carried], minlength=many
    ).tolist()
    found = []
    for number, yarn in enumerate(design.yarns):
        foundation = by_row.foundation_m if len(of_row) and of_row[0] == number else 0.0
        around = [part for part in edging if part.yarn == number]
        fill = sum(part.length_m for part in around if part.part != "border")
        border = sum(part.length_m for part in around if part.part == "border")
        n_ends = ends[number] + 2 * len(around)
        loose = n_ends * reckoning.tail_mm / 1000
        carried = passed[number] * design.gauge.row_height_mm / 1000
        worked = body[number] + foundation + fill + border
        needed = worked + loose + carried
        total = needed * (1 + reckoning.spare)
        found.append(
            YarnUse(
                yarn=number,
                rows=n_rows[number],
                stitches=int(stitches[number]),
                body_m=body[number],
                foundation_m=foundation,
                fill_m=fill,
                border_m=border,
                tails_m=loose,
                carried_m=carried,
                spare_m=needed * reckoning.spare,
                low_m=worked * band.low + loose + carried,
                high_m=worked * band.high + loose + carried,
                ends=n_ends,
                mass_g=total / yarn.ball_m * yarn.ball_g,
                balls=math.ceil(total / yarn.ball_m - 1e-9),
            )
        )
    return tuple(found)


def _of_row(tails: Tails) -> Indices:
    return np.repeat(tails.yarn, tails.last - tails.first + 1)


__all__ = ["YarnUse", "yarn_m_per_m2", "yarn_use"]
