"""What a bit more blanket costs in each yarn: one more repeat, one more stripe."""

from collections.abc import Sequence

import numpy as np

from core.design.document import Design, Reckoning
from core.records import Struct
from core.yarn.edging import EdgingUse
from core.yarn.rows import RowYarn
from core.yarn.tails import Tails


class More(Struct, frozen=True, kw_only=True):
    """What more blanket takes of one yarn, spare left out.

    Attributes:
        repeat_m: One more repeat, along the chain, all rows in this yarn and its edging.
        row_m: One more row, as long as the blanket's last row; 0 where the yarn has no row.
        stripe_rows: Rows of its commonest stripe; 0 where it has none.
        stripe_m: One more such stripe, both ends included.
    """

    repeat_m: float
    row_m: float
    stripe_rows: int
    stripe_m: float


def more_of(
    design: Design, by_row: RowYarn, tails: Tails, edging: Sequence[EdgingUse]
) -> tuple[More, ...]:
    """Return what more blanket takes of each yarn, in the design's order.

    Neighbouring stripes of one yarn count as one stripe.
    """
    many = len(design.yarns)
    heights = tails.last - tails.first + 1
    of_row = np.repeat(tails.yarn, heights)
    repeat = np.bincount(of_row, weights=by_row.repeat_m, minlength=many)
    if len(of_row):
        repeat[of_row[0]] += by_row.foundation_repeat_m
    for part in edging:
        repeat[part.yarn] += part.repeat_m
    row_m = float(by_row.row_m[-1]) if len(of_row) else 0.0
    ends_m = 2 * (design.reckoning or Reckoning()).tail_mm / 1000
    found = []
    for number in range(many):
        mine = heights[tails.yarn == number]
        rows = int(np.bincount(mine).argmax()) if len(mine) else 0  # the lowest, if as common
        found.append(
            More(
                repeat_m=float(repeat[number]),
                row_m=row_m if rows else 0.0,
                stripe_rows=rows,
                stripe_m=rows * row_m + ends_m if rows else 0.0,
            )
        )
    return tuple(found)
