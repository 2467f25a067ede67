"""The rows' tops as lines, sampled at every column of a picture's pixels.

A row of a wave is a line that runs from left to right without turning back, so each column of
pixels meets the rows one above the other. Marking where they are crossed and summing upwards
numbers every pixel's row at once, whatever the blanket's size.
"""

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CHAIN, NUMBER
from core.fabric.sampling import lines_px, passed
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.fabric.view import View
from core.rows.build import Rows
from core.rows.plan import CHILD, PARENT

Integers = NDArray[np.int32]
Narrow = NDArray[np.float32]
Numbers = NDArray[np.floating[Any]]
Indices = NDArray[np.intp]

FAR: Final = 1e7
_ROUND: Final = 0.7  # over how much of a stitch width rows' lines are rounded where they bend
_ROOMY: Final = 1.35  # from this distance of rows on, in stitch widths, chains have their height
_LEAST_ROOM: Final = 0.5


class Links:
    """The posts of rows, from the fabric's left edge; rows of one kind share them.

    A turning chain that counts stands for the first post of its row.
    """

    def __init__(self, rows: Rows, *, turning_counts: bool = False) -> None:
        self._rows, self._turning_counts = rows, turning_counts
        self._known: dict[tuple[int, bool, int], tuple[Indices, Indices, Indices]] = {}

    def of(self, row: int) -> tuple[Indices, Indices, Indices]:
        """Return for every post of a row its parent, its child and its kind of stitch."""
        rows = self._rows
        plan = rows.plan(row)
        key = id(plan), rows.runs_left(row), rows.makes(row - 1)
        if key not in self._known:
            links = rows.fabric_links(row)
            kinds = np.asarray(rows.in_fabric_order(row, plan.kind)).astype(np.intp)
            kind = kinds[links[:, CHILD]]
            if self._turning_counts:
                kind[-1 if rows.runs_left(row) else 0] = NUMBER[CHAIN]
            self._known[key] = links[:, PARENT], links[:, CHILD], kind
        return self._known[key]


class Lines:
    """The rows' tops as lines, sampled at every column of pixels, and one beyond at each end.

    Line 0 is the tops of the row below the first that shows, or the foundation; every array
    has shape (lines, width), the last line lying above everything.
    """

    def __init__(
        self,
        fabric: Fabric,
        view: View,
        first: int,
        last: int,
        links: Links | None = None,
    ) -> None:
        """Sample the lines; the posts' places along them are found where `links` are given."""
        width, self._height = view.width_px, view.height_px
        columns = np.arange(width) + 0.5
        shape = (last - first + 3, width)  # one line more at the top, far away
        self.y = np.full(shape, -FAR, dtype=np.float32)
        self.level, self.rising = np.ones(shape, np.float32), np.zeros(shape, np.float32)
        self.chain_place = np.zeros(shape, dtype=np.float32)
        self.foot_place = np.zeros(shape, dtype=np.float32)
        self.top_place = np.zeros(shape, dtype=np.float32)
        half = 0.5 * fabric.size.width_mm * view.px_per_mm
        rows = np.arange(first - 1, last + 1)
        self.y[:-1] = lines_px(fabric, rows, view)
        ends = np.full((shape[0], 2), -FAR)
        sides = fabric.tops_mm[[fabric.starts[rows], fabric.starts[rows + 1] - 1], 0]
        ends[:-1] = ((sides - view.left_mm) * view.px_per_mm).T + (-half, half)
        if links is not None:  # where stitches are told apart; chains are even elsewhere
            self._find_places(fabric, view, (first, last), links)
        self._smooth(round(_ROUND * 2.0 * half))
        shorter = 0.08 * half  # than the row: chains end before its edge
        self.chain_there = (columns >= ends[:, :1] + shorter) & (columns <= ends[:, 1:] - shorter)
        self._left, self._right = ends[:, 0].astype(np.float32), ends[:, 1].astype(np.float32)
        slope = np.gradient(self.y[:-1], axis=1) if width > 1 else np.zeros_like(self.y[:-1])
        self.level[:-1] = 1.0 / np.sqrt(1.0 + slope**2)
        self.rising[:-1] = -slope * self.level[:-1]
        stitch_px = fabric.size.width_mm * view.px_per_mm
        self.per_height = self.level / (stitch_px * self._room(stitch_px))
        self.per_stitch = 1.0 / (np.maximum(self.level, 0.3) * stitch_px)

    def _find_places(
        self, fabric: Fabric, view: View, shown: tuple[int, int], links: Links
    ) -> None:
        """Find how posts and chains follow each other along the lines."""
        columns = np.arange(view.width_px) + 0.5
        first, last = shown
        stitch_px = fabric.size.width_mm * view.px_per_mm
        post, below = 0, np.zeros(0)
        pixels = RowPixels(fabric, view, first - 1, last)
        for line, row in enumerate(range(first - 1, last + 1)):
            x, _ = pixels.of(row)
            places = np.arange(len(x)) + 1.0
            self.chain_place[line] = _beyond_ends(columns, x, places, stitch_px)
            if row > first - 1:
                parent, child, _ = links.of(row)
                numbers = post + 1.0 + np.arange(len(parent))
                self.top_place[line] = np.interp(columns, x[child], numbers)
                self.foot_place[line - 1] = np.interp(columns, below[parent], numbers)
                post += len(parent) + 2  # none stands at either end
            below = x

    def _room(self, stitch_px: float) -> Narrow:
        """Return how high chains may be against their usual height, less between short rows."""
        apart = (self.y[:-2] - self.y[1:-1]) * self.level[:-2] / stitch_px
        room = np.ones_like(self.y)
        room[1:-1] = np.clip(apart / _ROOMY, _LEAST_ROOM, 1.0)
        room[0] = room[1]
        return room

    def _smooth(self, width: int) -> None:
        """Round the lines where they bend, over so many pixels."""
        if width < 3:
            return
        ahead = width // 2
        lines = self.y[:-1].astype(np.float64)
        wide = np.pad(lines, ((0, 0), (ahead + 1, width - 1 - ahead)), mode="edge")
        total = np.cumsum(wide - lines[:, :1], axis=1)
        self.y[:-1] = (total[:, width:] - total[:, :-width]) / width + lines[:, :1]

    def numbered(self, top_px: int, bottom_px: int) -> Integers:
        """Return for each pixel the number of the line above it, counted from the lowest, 0."""
        number: Integers = len(self.y) - passed(self.y, top_px, bottom_px).astype(np.int32)
        return number

    def between_edges(self, number: Integers, up: Narrow, at: Narrow) -> NDArray[np.bool_]:
        """Return which pixels lie between their row's side edges."""
        below = number - 1
        left_low, right_low = self._left.take(below), self._right.take(below)
        left = left_low + up * (self._left.take(number) - left_low)
        right = right_low + up * (self._right.take(number) - right_low)
        return np.asarray((at >= left) & (at <= right), dtype=bool)


class RowPixels:
    """The tops of some rows in pixels, x never falling."""

    def __init__(self, fabric: Fabric, view: View, first: int, last: int) -> None:
        self._starts, self._first = fabric.starts[first : last + 2] - fabric.starts[first], first
        tops = fabric.tops_mm[fabric.starts[first] : fabric.starts[last + 1]]
        self._x = (tops[:, 0] - view.left_mm) * view.px_per_mm
        self._y = (view.top_mm - tops[:, 1]) * view.px_per_mm
        falls = np.flatnonzero(np.diff(self._x) < 0) + 1
        rows = np.searchsorted(self._starts, falls, side="right") - 1
        for row in np.unique(rows[self._starts[rows] != falls]).tolist():
            here = slice(self._starts[row], self._starts[row + 1])
            self._x[here] = np.maximum.accumulate(self._x[here])

    def of(self, row: int) -> tuple[Floats, Floats]:
        """Return x and y of a row's tops."""
        here = slice(self._starts[row - self._first], self._starts[row - self._first + 1])
        return self._x[here], self._y[here]


def _beyond_ends(columns: Numbers, x: Numbers, places: Numbers, step: float) -> Numbers:
    """Return the places along a row, carried on beyond its ends."""
    found = np.interp(columns, x, places)
    found += np.minimum(columns - x[0], 0.0) / step + np.maximum(columns - x[-1], 0.0) / step
    return np.maximum(found, 0.0)
