"""How long it takes, from one row that was timed.

A stitch is counted by the hand's movements (`core.craft.stitches.HAND_MOVES`), so a row of another
stitch than the timed one takes its share.
"""

import math
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Final

import numpy as np

from core.craft.stitches import CHAIN, HAND_MOVES, KEYS
from core.craft.tables import EVENING_HOURS
from core.design.document import Design, Reckoning
from core.records import Struct
from core.rows.build import Rows
from core.yarn.edging import EdgingUse
from core.yarn.rows import Floats, RowYarn

_MOST_WEEKS: Final = 5_000  # about a century: a later date is none


class Hours(Struct, frozen=True, kw_only=True):
    """How long everything takes.

    Attributes:
        row_minutes: Minutes of every row, shape (rows,).
        rows_h: Hours of chain and rows.
        edging_h: Hours of fill rows and border.
        ends: Ends to weave in.
        ends_h: Hours of weaving them in.
        weeks: Weeks at the hours given; None without them.
    """

    row_minutes: Floats
    rows_h: float
    edging_h: float
    ends: int
    ends_h: float
    weeks: float | None

    @property
    def all_h(self) -> float:
        """All hours together."""
        return self.rows_h + self.edging_h + self.ends_h

    @property
    def evenings_of_ends(self) -> int:
        """Evenings that weaving in takes, begun ones counted."""
        return math.ceil(self.ends_h / EVENING_HOURS - 1e-9)

    def by(self, today: date) -> date | None:
        """Return the day it is finished, if it goes on from today."""
        if self.weeks is None or self.weeks > _MOST_WEEKS:
            return None
        return today + timedelta(days=math.ceil(7 * self.weeks - 1e-9))


def hours_of(
    design: Design, rows: Rows, by_row: RowYarn, edging: Sequence[EdgingUse], n_ends: int
) -> Hours | None:
    """Return how long everything takes; None until a row has been timed.

    Args:
        design: The design.
        rows: Its rows.
        by_row: What each row is made of.
        edging: What is worked round them.
        n_ends: Ends to weave in.
    """
    reckoning = design.reckoning or Reckoning()
    if reckoning.row_minutes is None or not len(by_row.row_m):
        return None
    moves = by_row.legs @ np.array([HAND_MOVES[key] for key in KEYS], dtype=float)
    timed = min(reckoning.timed_row, len(moves)) - 1
    per_move = reckoning.row_minutes / float(moves[timed])
    minutes = moves * per_move
    chain = rows.foundation.chains * HAND_MOVES[CHAIN] * per_move
    around = sum(part.moves for part in edging) * per_move
    ends_h = n_ends * reckoning.weave_minutes / 60
    rows_h = (float(minutes.sum()) + chain) / 60
    weeks = reckoning.week_hours and (rows_h + around / 60 + ends_h) / reckoning.week_hours
    return Hours(
        row_minutes=minutes,
        rows_h=rows_h,
        edging_h=around / 60,
        ends=n_ends,
        ends_h=ends_h,
        weeks=weeks,
    )
