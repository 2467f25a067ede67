"""The yarn in every row, in one repeat of it and in the foundation chain.

The yarn in a stitch is proportional to its own area in the plain swatch, width times height:
published measured strips found the same length a square metre in sc, hdc and dc
(`core.craft.tables.YARN_M_PER_M2`). Every further leg of a decrease is a stitch without its top; a
chain space counts as a chain, like the foundation. Which
loop the hook takes changes it too little for anybody to have published a figure, so loops have
none of their own.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CATALOGUE, CHAIN, KEYS, NUMBER, height_ratio
from core.craft.tables import YARN_MM_PER_CHAIN_MM, YARN_OF_TOP
from core.design.document import Design
from core.records import Struct
from core.rows.build import Rows
from core.rows.plan import CHILD, RowPlan
from core.yarn.plain import yarn_m_per_m2

Floats = NDArray[np.float64]
Counts = NDArray[np.intp]


class RowYarn(Struct, frozen=True, eq=False, kw_only=True):
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
    per_kind = _m_per_stitch(design)
    chain_m = float(per_kind[NUMBER[CHAIN]])
    tops = np.array([YARN_OF_TOP / CATALOGUE[key].height_to_width for key in KEYS])
    further = per_kind * (1.0 - np.minimum(tops, 1.0))  # a leg that has no top of its own
    kinds = list(rows.plans)
    which = np.array(rows.which[: rows.drawn_rows])
    if rows.partial is not None:
        kinds.append(rows.partial)
        which[-1] = len(kinds) - 1
    stitches, legs = _counts(kinds, in_repeat=False)
    once, once_legs = _counts(kinds, in_repeat=True)
    return RowYarn(
        row_m=(stitches @ per_kind + (legs - stitches) @ further)[which],
        repeat_m=(once @ per_kind + (once_legs - once) @ further)[which],
        stitches=stitches.sum(axis=1)[which],
        legs=legs[which],
        foundation_m=rows.foundation.chains * chain_m,
        foundation_repeat_m=rows.foundation.multiple * chain_m,
    )


def _m_per_stitch(design: Design) -> Floats:
    """Return the yarn in every kind of stitch, in the order of `KEYS`."""
    gauge = design.gauge
    heights = [gauge.row_height_mm * height_ratio(key, gauge.stitch) for key in KEYS]
    found = np.array(heights) * gauge.stitch_width_mm * yarn_m_per_m2(design) / 1e6
    found[NUMBER[CHAIN]] = gauge.stitch_width_mm * YARN_MM_PER_CHAIN_MM / 1000
    return found


def _counts(plans: Sequence[RowPlan], *, in_repeat: bool) -> tuple[Counts, Counts]:
    """Return stitches and legs of every kind in each row, or in one repeat of it.

    Returns:
        Two arrays of shape (rows, kinds).
    """
    stitches = np.zeros((len(plans), len(KEYS)), dtype=np.intp)
    legs = np.zeros_like(stitches)
    for number, plan in enumerate(plans):
        of_stitch = np.bincount(plan.links[:, CHILD], minlength=plan.makes)
        of_stitch = np.maximum(of_stitch, 1)  # a chain has no foot
        kinds = plan.kind.astype(np.intp)
        if in_repeat:
            inside = plan.section == 0
            of_stitch, kinds = of_stitch[inside], kinds[inside]
        stitches[number] = np.bincount(kinds, minlength=len(KEYS))
        legs[number] = np.bincount(kinds, weights=of_stitch, minlength=len(KEYS))
    return stitches, legs
