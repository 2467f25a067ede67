"""Where on the chart a mistake is likely to have been made."""

from typing import Final

import numpy as np

from core.design.document import Design, Items
from core.doctor.mistakes import Mistake, Place
from core.rows.build import Rows
from core.rows.plan import RowPlan

_MOST_ROWS: Final = 6
_MOST: Final = 600

Marks = tuple[tuple[int, int], ...]
"""Rows, and stitches of them counted from the fabric's left edge."""


def likely_stitches(design: Design, rows: Rows, mistake: Mistake, *, since: int = 1) -> Marks:
    """Return the stitches to look at, in the first few rows that can have the mistake."""
    slip = mistake.slip_of(design)
    if slip is None:
        return ()
    numbers = [row for row in range(since, rows.drawn_rows + 1) if slip.happens_in(row)]
    found: list[tuple[int, int]] = []
    for row in numbers[:_MOST_ROWS]:
        plan = rows.plan(row)
        for stitch in _in_row(plan, mistake.place):
            at = plan.makes - 1 - stitch if rows.runs_left(row) else stitch
            found.append((row, at))
    return tuple(found[:_MOST])


def _in_row(plan: RowPlan, place: Place) -> list[int]:
    """Return the stitches of a row in working order."""
    if not plan.makes:
        return []
    ends = {"start": [0], "end": [plan.makes - 1], "both": [0, plan.makes - 1]}
    if place in ends:
        return ends[place]
    wanted = _items(plan.row.repeat, gains=place == "peak")
    here = (plan.section >= 0) & np.isin(plan.item, wanted)
    return np.flatnonzero(here).tolist()


def _items(items: Items, *, gains: bool) -> list[int]:
    """Return the items that gain or lose; a skip, which leaves no stitch, by its neighbours."""
    found = set()
    for number, item in enumerate(items):
        if gains and item.stitch and item.make > 1:
            found.add(number)
        if not gains and item.stitch and item.over > 1:
            found.add(number)
        if not gains and item.skip:
            found |= {number - 1, number + 1} & set(range(len(items)))
    return sorted(found)
