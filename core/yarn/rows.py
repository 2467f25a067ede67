"""The yarn in every row, in one repeat of it and in the foundation chain.

The yarn in a stitch is proportional to its own area in the plain swatch, width times height:
published measured strips found the same length a square metre in sc, hdc and dc
(`core.craft.tables.YARN_M_PER_M2`). Every leg of a decrease counts as a stitch; a chain space
counts as a chain, like the foundation. Which loop the hook takes changes it too little for
anybody to have published a figure, so loops have none of their own.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CHAIN, KEYS, NUMBER, height_ratio
from core.craft.tables import YARN_MM_PER_CHAIN_MM
from core.design.document import Design
from core.rows.build import Rows
from core.rows.plan import CHILD, RowPlan
from core.yarn.plain import yarn_m_per_m2

Floats = NDArray[np.float64]
Counts = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RowYarn:
    """What each drawn row takes; index 0 is row 1.

    Attributes:
        row_m: Yarn in each row, shape (rows,).
        repeat_m: Yarn in one repeat of each row, shape (rows,).
        stitches: Stitches of each row, chains between them included, shape (rows,).
        legs: Legs of each kind of stitch (`core.craft.stitches.KEYS`) in each row, chains under
            their own kind, shape (rows, kinds).
        foundation_m: Yarn in the foundation chain.
        foundation_repeat_m: Yarn in one repeat of it.
    """

    row_m: Floats
    repeat_m: Floats
    stitches: Counts
    legs: Counts
    foundation_m: float
    foundation_repeat_m: float


def row_yarn(design: Design, rows: Rows) -> RowYarn:
    """Return the yarn in every row; the few kinds of rows are reckoned once each."""
    per_kind = _m_per_leg(design)
    kinds = list(rows.plans)
    which = np.array(rows.which[: rows.drawn_rows])
    if rows.partial is not None:
        kinds.append(rows.partial)
        which[-1] = len(kinds) - 1
    legs = np.stack([_legs(plan, 0) for plan in kinds])
    in_repeat = np.stack([_legs(plan, 1) for plan in kinds])
    makes = np.array([plan.makes for plan in kinds])
    chain_m = float(per_kind[NUMBER[CHAIN]])
    return RowYarn(
        row_m=(legs @ per_kind)[which],
        repeat_m=(in_repeat @ per_kind)[which],
        stitches=makes[which],
        legs=legs[which],
        foundation_m=rows.foundation.chains * chain_m,
        foundation_repeat_m=rows.foundation.multiple * chain_m,
    )


def leg_m(design: Design, stitch: str) -> float:
    """Return the yarn in one stitch, or in one leg of a decrease."""
    return float(_m_per_leg(design)[NUMBER[stitch]])


def _m_per_leg(design: Design) -> Floats:
    """Return the yarn in one leg of every kind of stitch, in the order of `KEYS`."""
    gauge = design.gauge
    heights = [gauge.row_height_mm * height_ratio(key, gauge.stitch) for key in KEYS]
    found = np.array(heights) * gauge.stitch_width_mm * yarn_m_per_m2(design) / 1e6
    found[NUMBER[CHAIN]] = gauge.stitch_width_mm * YARN_MM_PER_CHAIN_MM / 1000
    return found


def _legs(plan: RowPlan, repeat: int) -> Counts:
    """Return the legs of every kind in a row, or in its repeat number one (from 0: the first)."""
    counted = np.bincount(plan.links[:, CHILD], minlength=plan.makes)
    counted = np.maximum(counted, 1)  # a chain has no foot and is one chain
    kinds = plan.kind.astype(np.intp)
    if repeat:
        inside = plan.section == 0
        counted, kinds = counted[inside], kinds[inside]
    return np.bincount(kinds, weights=counted, minlength=len(KEYS)).astype(np.intp)
