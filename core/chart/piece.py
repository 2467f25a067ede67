"""The piece of a blanket that a chart shows, laid out to be read.

A pattern's chart shows one repeat between both edges, the set-up row and two pattern rows; a
range of rows and repeats for whoever asks about a place; or everything. Pieces lie in the
steady state: the shape that the middle of the blanket has, the same in every repeat. Where
stitches bunch so closely that symbols would lie on one another, they are moved apart along
their own row.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Final, Literal

import numpy as np

from core.chart.layout import Chart, lay_out
from core.chart.symbols import Floats
from core.design.document import Design, Hand, total_uses
from core.design.edits import set_size, set_values
from core.fabric.extract import straight_grid
from core.fabric.sheet import Fabric, sketch_fabric
from core.fabric.steady import window
from core.records import Struct, replace
from core.rows.build import Rows, build_rows

Shown = Literal["extract", "part", "whole"]

MOST_PATTERN_ROWS: Final = 12
"""Rows of a cycle that the standard extract shows after the set-up row, at most."""
_LEAST_STEP: Final = 0.62  # between stitches moved apart, in stitch widths


class Part(Struct, frozen=True, kw_only=True):
    """What a chart shows.

    Attributes:
        shown: The standard extract, a range of rows and repeats, or the whole blanket.
        first_row: First row of a range.
        last_row: Its last row.
        first_repeat: First repeat of a range, counted from where row 1 starts.
        last_repeat: Its last repeat.
    """

    shown: Shown = "extract"
    first_row: int = 1
    last_row: int = 3
    first_repeat: int = 1
    last_repeat: int = 1


STANDARD: Final = Part()


class Extent(Struct, frozen=True, kw_only=True):
    """A part within a design's bounds: rows and repeats from and to, both counted in."""

    rows: tuple[int, int]
    repeats: tuple[int, int]
    of_repeats: int

    @property
    def near_edge(self) -> bool:
        """Whether the edge that row 1 starts at is shown."""
        return self.repeats[0] == 1

    @property
    def far_edge(self) -> bool:
        """Whether the other edge is shown."""
        return self.repeats[1] == self.of_repeats


def extent_of(design: Design, part: Part) -> Extent:
    """Return what a part comes to in a design; a range is brought within its bounds.

    The standard extract is the set-up row and two pattern rows, or as many as are worked in
    turn if those are more, with one repeat between both edges.
    """
    rows, repeats = design.size.rows, design.size.repeats
    if part.shown == "whole":
        return Extent(rows=(1, rows), repeats=(1, repeats), of_repeats=repeats)
    if part.shown == "extract":
        pattern = min(max(2, len(design.wave.rows_in_turn)), MOST_PATTERN_ROWS)
        return Extent(rows=(1, min(1 + pattern, rows)), repeats=(1, 1), of_repeats=1)
    first = min(max(part.first_row, 1), rows)
    left = min(max(part.first_repeat, 1), repeats)
    return Extent(
        rows=(first, min(max(part.last_row, first), rows)),
        repeats=(left, min(max(part.last_repeat, left), repeats)),
        of_repeats=repeats,
    )


def chart_of_part(
    design: Design,
    rows: Rows,
    fabric: Fabric,
    part: Part,
    *,
    straight: bool = False,
    hand: Hand | None = None,
) -> Chart:
    """Return the chart of a part of a blanket.

    Args:
        design: The design.
        rows: Its rows.
        fabric: Its fabric; only the whole blanket is laid out on it.
        part: What is shown.
        straight: On a straight grid instead of the fabric's own lie.
        hand: For this hand instead of the design's own: mirrored, rows starting at the other
            side.
    """
    extent = extent_of(design, part)
    other = hand is not None and hand != design.hand
    spans = None
    if part.shown != "whole":
        shown = extent.repeats[1] - extent.repeats[0] + 1
        beyond = (not extent.near_edge) + (not extent.far_edge)  # to be cut away again
        small = set_size(design, repeats=shown + beyond, rows=extent.rows[1])
        rows, fabric = _piece(small)
    if straight and rows.misfit is None:  # a misfit lies straight anyway
        fabric = straight_grid(rows, fabric.size)
    if not (extent.near_edge and extent.far_edge) and rows.misfit is None:
        spans = _spans(rows, fabric, extent)
    if other:
        design = set_values(design, hand=hand)
        rows = build_rows(design, repeats=rows.plan(1).repeats, rows=len(rows.which))
        if spans is not None:
            spans = [
                (rows.makes(row) - high, rows.makes(row) - low)
                for row, (low, high) in enumerate(spans)
            ]
        fabric = mirrored(fabric)
    return lay_out(
        design,
        rows,
        fabric,
        first=extent.rows[0],
        last=extent.rows[1],
        quiet_below=True,
        spans=spans,
    )


def mirrored(fabric: Fabric) -> Fabric:
    """Return the fabric as the other hand works it: left and right exchanged."""
    across = np.array([-1.0, 1.0])
    pieces = [fabric.row_tops_mm(row)[::-1] * across for row in range(fabric.n_rows + 1)]
    tops = np.concatenate(pieces)
    tops[:, 0] -= pieces[0][0, 0]
    tops.setflags(write=False)
    return replace(fabric, tops_mm=tops, steady=None)


@lru_cache(maxsize=8)
def _piece(design: Design) -> tuple[Rows, Fabric]:
    """Return a small blanket in the steady state, its stitches moved apart where they bunch."""
    rows = build_rows(design)
    fabric = sketch_fabric(design, rows)
    if rows.misfit is not None:
        return rows, fabric
    pieces = []
    for row in range(rows.drawn_rows + 1):
        left, width = window(rows, row, design.size.repeats)
        left -= design.size.repeats // 2 * width
        ends = [left + n * width for n in range(design.size.repeats + 1)] if width else []
        pieces.append(spread(fabric.row_tops_mm(row), ends, _LEAST_STEP * fabric.size.width_mm))
    tops = np.concatenate(pieces)
    tops.setflags(write=False)
    return rows, replace(fabric, tops_mm=tops)


def spread(tops: Floats, ends: Sequence[int], least_mm: float) -> Floats:
    """Return a row's tops moved along its own line until no two are too close.

    Nothing moves that has room. Steps below `least_mm` are lengthened, the others give way in
    proportion, and the length from one repeat's first stitch to the next one's stays, so that
    repeats stay alike.

    Args:
        tops: Shape (n, 2), from the left.
        ends: First stitch of every repeat, and the one after the last repeat.
        least_mm: The least step; where all can't have it, all steps are alike.
    """
    if len(tops) < 3:
        return tops
    steps = np.linalg.norm(np.diff(tops, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    # From either end, and between the two: a twin's row is this row's mirror image.
    there = _moved(steps, ends, least_mm)
    back = _moved(steps[::-1], [len(tops) - end for end in ends], least_mm)
    new = 0.5 * (there + along[-1] - back[::-1])
    return np.stack([np.interp(new, along, tops[:, axis]) for axis in (0, 1)], axis=1)


def _moved(steps: Floats, ends: Sequence[int], least: float) -> Floats:
    """Return how far along each top lies after steps are evened between the repeats' ends."""
    last = len(steps)
    knots = sorted({0, *(min(max(end, 0), last) for end in ends), last})
    evened = [_evened(steps[a:b], least) for a, b in pairwise(knots)]
    moved: Floats = np.concatenate([[0.0], *evened]).cumsum()
    return moved


def _evened(steps: Floats, least: float) -> Floats:
    """Return steps of the same sum of which none is below `least`, if that can be."""
    if steps.sum() <= least * len(steps):
        return np.full(len(steps), steps.sum() / max(len(steps), 1))
    short = steps < least
    while short.any():
        spare = steps[~short].sum()
        scale = (steps.sum() - least * short.sum()) / spare
        more = ~short & (steps * scale < least)
        if not more.any():
            evened: Floats = np.where(short, least, steps * scale)
            return evened
        short |= more
    return steps


def _spans(rows: Rows, fabric: Fabric, extent: Extent) -> list[tuple[int, int]]:
    """Return the stitches kept of every row where one edge or both aren't shown.

    The cut runs straight up from where the lowest row's repeats begin and end: rows are turned,
    so repeats of odd and even rows begin at different stitches.
    """
    near_is_right = rows.runs_left(1)
    keep_left = extent.far_edge if near_is_right else extent.near_edge
    keep_right = extent.near_edge if near_is_right else extent.far_edge
    row = extent.rows[0]
    items, width = rows.plan(row).row, total_uses(rows.plan(row).row.repeat)
    left = total_uses(items.end if rows.runs_left(row) else items.start)
    right = left + (rows.plan(row).repeats - (not keep_right)) * width
    left += (not keep_left) * width
    x = fabric.row_tops_mm(row - 1)[:, 0]
    low = 0.5 * (x[left] + x[left - 1]) if left else -np.inf
    high = 0.5 * (x[right - 1] + x[right]) if right < len(x) else np.inf
    spans = []
    for number in range(rows.drawn_rows + 1):
        x = fabric.row_tops_mm(number)[:, 0]
        inside = np.flatnonzero(
            (x > (-np.inf if keep_left else low)) & (x < (np.inf if keep_right else high))
        )
        spans.append((int(inside[0]), int(inside[-1]) + 1) if len(inside) else (0, len(x)))
    return spans
