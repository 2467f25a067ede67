"""The fabric as a picture: for every pixel its row, and how light falls on it there.

A row of a wave is a line that runs from left to right without turning back, so each column of
pixels meets the rows one above the other. Marking where they are crossed and summing upwards
numbers every pixel's row at once, whatever the blanket's size. Within a row, the place across
a stitch and up its post gives the relief: plump posts, the chain along the top, the line of
unworked loops, and the fan fold of fabric worked in one loop.

The relief is a drawing, not a measurement; which loops show on which face is the trade's
(enjoy2crochet and crochetkitten on the unworked loop; crochetbug: two rows make one ridge).
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.design.document import Loops
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.rows.build import Rows
from core.rows.plan import CHILD, PARENT

Integers = NDArray[np.int32]
Narrow = NDArray[np.float32]

SHADES: Final = 64
_PLAIN_SHADE: Final = 0.80  # of the yarn's own colour; light and shadow lie about it
_FINE_PX: Final = 5.0  # below this stitch width single stitches aren't drawn


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """The piece of fabric to be pictured.

    Attributes:
        left_mm: Its left edge.
        top_mm: Its upper edge.
        px_per_mm: Scale.
        width_px: Pixels across.
        height_px: Pixels down.
    """

    left_mm: float
    top_mm: float
    px_per_mm: float
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True, eq=False)
class Relief:
    """A picture without its colours.

    Attributes:
        row: Row of every pixel, 0 outside the fabric, shape (height, width).
        shade: Light there, 0 to `SHADES` - 1, shape (height, width).
    """

    row: NDArray[np.int16]
    shade: NDArray[np.uint8]


def relief_of(
    fabric: Fabric, rows: Rows, loops: Loops, view: View, *, ridges: bool = True
) -> Relief:
    """Return the picture of the fabric that `view` shows.

    Args:
        fabric: Where the tops lie.
        rows: Its rows.
        loops: Decide on the line of unworked loops and the fold.
        view: What to picture.
        ridges: Draw loops and fold; without them rows differ only in their posts.
    """
    first, last = _rows_in_view(fabric, view)
    height, width = view.height_px, view.width_px
    if last < first:
        empty = np.zeros((height, width), dtype=np.int16)
        return Relief(empty, empty.astype(np.uint8))
    lines = _Lines(fabric, rows, view, first, last)
    number = _numbered(lines.y, height)
    inside = (number > 0) & (number <= last - first + 1)
    number = np.where(inside, number, 1)
    up, across = lines.places(number)
    inside &= lines.between_edges(number, up)
    row = np.where(inside, number + (first - 1), 0).astype(np.int16)
    fine = fabric.size.width_mm * view.px_per_mm >= _FINE_PX
    light = _FINE.at(up, across) if fine else _COARSE.at(up, across)
    if ridges and loops.work_in != "both":
        light += _fold(loops, first, last).take(number)
        light += _ridge_light(loops, first, last).take(number) * (1.0 - up)
    shade = np.clip(light, 0, SHADES - 1).astype(np.uint8)
    return Relief(row, shade)


def _rows_in_view(fabric: Fabric, view: View) -> tuple[int, int]:
    """Return the first and the last row of which something may show."""
    low = view.top_mm - view.height_px / view.px_per_mm
    starts = fabric.starts[:-1]
    y = fabric.tops_mm[:, 1]
    lowest = np.minimum.reduceat(y, starts)
    highest = np.maximum.reduceat(y, starts)
    seen = np.flatnonzero((highest[1:] >= low) & (lowest[:-1] <= view.top_mm))
    return (int(seen[0]) + 1, int(seen[-1]) + 1) if len(seen) else (1, 0)


class _Lines:
    """The rows' lines, sampled at every column of pixels."""

    def __init__(self, fabric: Fabric, rows: Rows, view: View, first: int, last: int) -> None:
        columns = view.left_mm + (np.arange(view.width_px) + 0.5) / view.px_per_mm
        n_lines = last - first + 2
        self.y = np.empty((n_lines, view.width_px), dtype=np.float32)
        self._top_place = np.empty((n_lines, view.width_px), dtype=np.float32)
        self._foot_place = np.empty((n_lines, view.width_px), dtype=np.float32)
        ends = np.empty((n_lines, 2))
        half = 0.5 * fabric.size.width_mm
        feet: dict[tuple[int, ...], Floats] = {}  # rows of one kind stand alike
        for line, row in enumerate(range(first - 1, last + 1)):
            tops = fabric.row_tops_mm(row)
            x = np.maximum.accumulate(tops[:, 0])
            y = (view.top_mm - tops[:, 1]) * view.px_per_mm
            self.y[line] = np.interp(columns, x, y)
            places = np.arange(len(tops), dtype=np.float64)
            self._top_place[line] = np.interp(columns, x, places)
            ends[line] = (x[0] - half, x[-1] + half)
            if row < last:
                kind = (int(rows.which[row]), row % 2, len(tops), rows.makes(row + 1))
                if kind not in feet:
                    feet[kind] = _foot_places(rows, row + 1, len(tops))
                self._foot_place[line] = np.interp(columns, x, feet[kind])
        ends_px = ((ends - view.left_mm) * view.px_per_mm).astype(np.float32)
        self._left, self._right = ends_px[:, 0], ends_px[:, 1]

    def places(self, number: Integers) -> tuple[Narrow, Narrow]:
        """Return for every pixel how far up its row it lies, and its place along the stitches."""
        width = self.y.shape[1]
        above = np.asarray(number * width + np.arange(width), dtype=np.int32)
        below = np.asarray(above - width, dtype=np.int32)
        low, high = self.y.take(below), self.y.take(above)
        down = (np.arange(len(number), dtype=np.float32) + 0.5)[:, np.newaxis]
        up = np.clip((low - down) / np.maximum(low - high, 1e-3), 0.0, 1.0)
        foot, top = self._foot_place.take(below), self._top_place.take(above)
        return up, foot + up * (top - foot)

    def between_edges(self, number: Integers, up: Narrow) -> NDArray[np.bool_]:
        """Return which pixels lie between their row's side edges."""
        at = np.arange(self.y.shape[1], dtype=np.float32)[np.newaxis, :] + 0.5
        left, right = self._left, self._right
        below = number - 1
        left_here = left.take(below) + up * np.diff(left).take(below)
        right_here = right.take(below) + up * np.diff(right).take(below)
        return np.asarray((at >= left_here) & (at <= right_here), dtype=bool)


def _foot_places(rows: Rows, row: int, n_below: int) -> Floats:
    """Return for each stitch of the row below where along `row` its stitches stand."""
    links = rows.fabric_links(row)
    parent, child = links[:, PARENT], links[:, CHILD]
    count = np.bincount(parent, minlength=n_below)
    total = np.bincount(parent, child.astype(np.float64), n_below)
    worked = np.flatnonzero(count)
    every: Floats = np.interp(np.arange(n_below), worked, total[worked] / count[worked])
    return every


def _numbered(y: Narrow, height: int) -> Integers:
    """Return each pixel's row, counted from 1 for the lowest line up; 0 lies below it."""
    n_lines, width = y.shape
    crossing = np.clip(np.ceil(y - 0.5), 0, height).astype(np.int32)
    flat = (crossing * width + np.arange(width, dtype=np.int32)).ravel()
    marks = np.bincount(flat, minlength=(height + 1) * width).astype(np.int32)
    passed = np.cumsum(marks.reshape(height + 1, width)[:height], axis=0, dtype=np.int32)
    number: Integers = n_lines - passed  # seen from above, every line passed takes one off
    return number


class _Table:
    """The light on one stitch, looked up by place: up the post and across the stitches."""

    _UP: Final = 64
    _ACROSS: Final = 32

    def __init__(self, *, fine: bool) -> None:
        up = ((np.arange(self._UP) + 0.5) / self._UP)[:, np.newaxis]
        across = ((np.arange(self._ACROSS) + 0.5) / self._ACROSS)[np.newaxis, :]
        light = _light_along(up) + (_light_across(up, across) if fine else 0.0 * across)
        self._light = (light * (SHADES - 1)).astype(np.float32)

    def at(self, up: Narrow, across: Narrow) -> Narrow:
        """Return the light in shades, shape of both arguments."""
        row = np.minimum((up * self._UP).astype(np.int32), self._UP - 1)
        column = (across * self._ACROSS).astype(np.int32) & (self._ACROSS - 1)
        found: Narrow = self._light.take(row * self._ACROSS + column)
        return found


def _light_along(up: Floats) -> Floats:
    """Return the light up a row: the shadow at its foot, the groove under its chain."""
    foot = 0.30 * np.exp(-((up / 0.07) ** 2))
    groove = 0.10 * np.exp(-(((up - 0.80) / 0.05) ** 2))
    light: Floats = _PLAIN_SHADE - foot - groove + 0.05 * np.sin(np.pi * up)
    return light


def _light_across(up: Floats, across: Floats) -> Floats:
    """Return the light across stitches: plump twisted posts, slanting loops along the top.

    Whole numbers of `across` are the middles of posts.
    """
    beside = np.abs((across + 0.5) % 1.0 - 0.5)  # 0 on a post's middle, 0.5 between posts
    post = 1.0 - (2.0 * beside) ** 2
    twist = np.cos(2.0 * np.pi * (across + 1.6 * up)) * 0.5 + 0.5
    in_chain = np.clip((up - 0.80) / 0.08, 0.0, 1.0)
    body = 0.26 * post - 0.20 + 0.06 * twist * post
    loop = 0.16 * np.cos(2.0 * np.pi * (across + 3.5 * (up - 0.9))) + 0.04
    light: Floats = (1.0 - in_chain) * body + in_chain * loop
    return light


_FINE: Final = _Table(fine=True)
_COARSE: Final = _Table(fine=False)


def _ridge_light(loops: Loops, first: int, last: int) -> Narrow:
    """Return the light of the unworked loops at the foot of every row, 0 where none shows.

    The loop left unworked lies on the side that faced the maker: the right side, in a
    right-side row worked in the back loops or a wrong-side row worked in the front loops.
    """
    row = np.arange(first - 1, last + 1)
    seen = (row >= max(loops.from_row, 2)) & _faces_out(loops, row)
    return np.asarray(0.10 * SHADES * seen, dtype=np.float32)


def _fold(loops: Loops, first: int, last: int) -> Narrow:
    """Return how much lighter a row is that stands out, and darker one that falls back."""
    row = np.arange(first - 1, last + 1)
    folded = row + 1 >= max(loops.from_row, 2)
    way = np.where(_faces_out(loops, row), 1.0, -1.0)
    return np.asarray(0.07 * SHADES * way * folded, dtype=np.float32)


def _faces_out(loops: Loops, row: NDArray[np.int64]) -> NDArray[np.bool_]:
    return np.asarray((row % 2 == 1) == (loops.work_in == "back"), dtype=bool)
