"""How much of each yarn the blanket takes.

The yarn in a stitch is proportional to its own area in the plain swatch, width times height:
published measured strips found the same length a square metre in sc, hdc and dc
(`core.craft.tables.YARN_M_PER_M2`). A swatch that was weighed replaces the published figure.
Foundation, fill rows, border, tails and spare are lines of their own, never hidden in the body.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import KEYS, height_ratio
from core.craft.tables import SPARE_PART, TAIL_MM, YARN_MM_PER_CHAIN_MM
from core.design.document import Design, Gauge
from core.rows.build import Rows
from core.stripes.sequence import yarn_of_rows
from core.yarn.edging import EdgingUse
from core.yarn.plain import yarn_m_per_m2

Counts = NDArray[np.intp]
Lengths = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class YarnUse:
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
        spare_m: What to buy beyond that.
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
    spare_m: float
    mass_g: float
    balls: int

    @property
    def length_m(self) -> float:
        """Length of all lines together."""
        worked = self.body_m + self.foundation_m + self.fill_m + self.border_m
        return worked + self.tails_m + self.spare_m


def yarn_use(design: Design, rows: Rows, edging: Sequence[EdgingUse] = ()) -> tuple[YarnUse, ...]:
    """Return what every yarn of the design has to do, in the design's order.

    Args:
        design: The design.
        rows: Its rows.
        edging: What is worked round them (`core.yarn.edging`).
    """
    n_rows = rows.drawn_rows
    of_row = yarn_of_rows(design.stripes, n_rows)
    stitches, length = _of_rows(rows, design.gauge, yarn_m_per_m2(design))
    starts = np.flatnonzero(np.diff(of_row, prepend=-1))
    found = []
    for number, yarn in enumerate(design.yarns):
        mine = of_row == number
        body = float(length[mine].sum())
        foundation = _foundation_m(design, rows) if n_rows and of_row[0] == number else 0.0
        around = [part for part in edging if part.yarn == number]
        fill = sum(part.length_m for part in around if part.part != "border")
        border = sum(part.length_m for part in around if part.part == "border")
        pieces = int((of_row[starts] == number).sum()) + len(around)
        tails = 2 * pieces * TAIL_MM / 1000
        needed = body + foundation + fill + border + tails
        total = needed * (1 + SPARE_PART)
        use = YarnUse(
            yarn=number,
            rows=int(mine.sum()),
            stitches=int(stitches[mine].sum()),
            body_m=body,
            foundation_m=foundation,
            fill_m=fill,
            border_m=border,
            tails_m=tails,
            spare_m=needed * SPARE_PART,
            mass_g=total / yarn.ball_m * yarn.ball_g,
            balls=math.ceil(total / yarn.ball_m - 1e-9),
        )
        found.append(use)
    return tuple(found)


@lru_cache(maxsize=4)
def _of_rows(rows: Rows, gauge: Gauge, m_per_m2: float) -> tuple[Counts, Lengths]:
    """Return stitches and yarn (m) of every row; kept, as other stripes change neither."""
    numbers = range(1, rows.drawn_rows + 1)
    stitches = np.array([rows.makes(row) for row in numbers], dtype=np.intp)
    return stitches, np.array([_row_m(gauge, m_per_m2, rows, row) for row in numbers])


def _row_m(gauge: Gauge, m_per_m2: float, rows: Rows, row: int) -> float:
    """Return the yarn in one row: every leg counts as a stitch, every chain as a chain."""
    plan = rows.plan(row)
    per_mm2 = m_per_m2 / 1e6
    heights = np.array([gauge.row_height_mm * height_ratio(key, gauge.stitch) for key in KEYS])
    legs = np.bincount(plan.links[:, 0], minlength=plan.makes)
    kinds = plan.kind.astype(np.intp)
    worked = float((legs * heights[kinds]).sum()) * gauge.stitch_width_mm * per_mm2
    chains = int((legs == 0).sum()) * gauge.stitch_width_mm * YARN_MM_PER_CHAIN_MM / 1000
    return worked + chains


def _foundation_m(design: Design, rows: Rows) -> float:
    width = design.gauge.stitch_width_mm
    return rows.foundation.chains * width * YARN_MM_PER_CHAIN_MM / 1000


__all__ = ["YarnUse", "yarn_m_per_m2", "yarn_use"]
