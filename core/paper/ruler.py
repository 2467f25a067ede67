"""The stripe ruler: every row at its height as worked, in strips that fit a page.

Heights are those of the settled fabric, before washing, since the ruler lies along work that is on
the hook. A row's height is taken as the length of the blanket is: averaged over its width, which
along straight runs is the height midway between a peak and a dip.
"""

from typing import Final

import numpy as np

from core.fabric.measure import length_after
from core.pipeline import Results
from core.records import Struct
from core.yarn.rows import Floats
from core.yarn.stops import Stop, Why, stopping_places

MOST_STRIPS: Final = 180
"""Strips that are drawn at most: sixty pages of three."""
_LEAST_MM: Final = 0.01
_GOOD: Final[tuple[Why, ...]] = ("mirror", "sequence", "match")
"""Reasons that make a row better to stop after than any stripe's end."""


class Strip(Struct, frozen=True):
    """A part of the ruler that is printed in one piece.

    Attributes:
        number: Its number, from 1, from the foundation up.
        bottom_mm: Height over the foundation where it begins.
        top_mm: Height where the next one is joined.
    """

    number: int
    bottom_mm: float
    top_mm: float

    @property
    def height_mm(self) -> float:
        """How high it is, without the tab that the next one is glued to."""
        return self.top_mm - self.bottom_mm


class Ruler(Struct, frozen=True, eq=False):
    """The whole ruler.

    Attributes:
        tops_mm: Height of the foundation and of every row over the foundation, shape (rows + 1,).
        strips: Its parts from the foundation up.
        stops: Rows that are good to stop after, better than any stripe's end.
        is_whole: Whether the strips reach the last row.
    """

    tops_mm: Floats
    strips: tuple[Strip, ...]
    stops: tuple[Stop, ...]
    is_whole: bool

    @property
    def row_mm(self) -> float:
        """Height of a row on average; 0 where there is none."""
        rows = len(self.tops_mm) - 1
        return float(self.tops_mm[-1]) / rows if rows else 0.0


def row_tops_mm(results: Results) -> Floats:
    """Return heights of foundation and rows over the foundation as worked, shape (rows + 1,)."""
    fabric = results.fabric
    rows = min(results.rows.drawn_rows, fabric.n_rows)
    tops = np.array([0.0, *(length_after(fabric, row) for row in range(1, rows + 1))])
    return np.concatenate([[0.0], np.cumsum(np.maximum(np.diff(tops), _LEAST_MM))])


def ruler_of(results: Results, room_mm: float) -> Ruler:
    """Return the ruler in strips of at most `room_mm`, cut between rows where that can be."""
    tops = row_tops_mm(results)
    strips = strips_of(tops, room_mm)
    places = stopping_places(results.design, results.yarn_of_row, results.yarn_ends)
    stops = tuple(stop for stop in places if any(why in _GOOD for why in stop.why))
    reaches = bool(strips) and strips[-1].top_mm >= tops[-1] - _LEAST_MM
    return Ruler(tops, strips, stops, reaches or len(tops) < 2)


def strips_of(tops_mm: Floats, room_mm: float) -> tuple[Strip, ...]:
    """Return the strips that hold these heights.

    A strip ends at the top of the last row that it has room for; where rows are so high that half
    of it would be lost, it is cut within a row.
    """
    found: list[Strip] = []
    bottom, end = 0.0, float(tops_mm[-1])
    while bottom < end - _LEAST_MM / 2 and len(found) < MOST_STRIPS:
        limit = bottom + room_mm
        last = int(np.searchsorted(tops_mm, limit + 1e-9, side="right")) - 1
        top = float(tops_mm[last])
        if top < bottom + 0.5 * room_mm and end > limit:
            top = limit
        found.append(Strip(len(found) + 1, bottom, top))
        bottom = top
    return tuple(found)
