"""A small piece worked with a mistake, at rest: what the mistake does to the fabric.

Three repeats between the real edges, up to ten rows. The right piece is settled first; the
mistaken rows begin where the right ones lie, stretched along to their own counts, and every
stitch is then free.
"""

from typing import Final

import numpy as np

from core.design.document import Design
from core.doctor.mistakes import Mistake
from core.fabric.case import Case, row_starts
from core.fabric.relax import ShouldStop, never
from core.fabric.sheet import settle_fabric
from core.fabric.springs import Floats, proportions_of
from core.fabric.strips import settled_whole
from core.records import Struct
from core.rows.build import Rows, build_rows
from core.rows.plan import CHILD, END, PARENT, START, Indices

_KEPT: Final = 64
_FEW_ROWS: Final = 6


class Piece(Struct, frozen=True, eq=False):
    """A settled piece.

    Attributes:
        tops_mm: Shape (n_tops, 2), row after row from the foundation, each from the left.
        starts: Number of each row's first top, shape (rows + 2,).
        posts_mm: Feet and tops of all posts, shape (n_posts, 2 ends, 2 axes).
        posts_of_row: How many of them each row has, from row 1.
        width_mm: Stitch width.
        came_to_rest: Whether it did, within the steps there are.
    """

    tops_mm: Floats
    starts: Indices
    posts_mm: Floats
    posts_of_row: tuple[int, ...]
    width_mm: float
    came_to_rest: bool

    @property
    def n_rows(self) -> int:
        """Rows above the foundation."""
        return len(self.starts) - 2

    def row_mm(self, row: int) -> Floats:
        """Return one row's tops from the left, shape (stitches, 2)."""
        return self.tops_mm[self.starts[row] : self.starts[row + 1]]

    def edges_mm(self, row: int) -> tuple[float, float]:
        """Return how far left and right a row reaches, half a stitch outside its tops."""
        x = self.row_mm(row)[:, 0]
        half = 0.5 * self.width_mm
        return float(x[0]) - half, float(x[-1]) + half

    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Return left, bottom, right and top, half a stitch around the tops."""
        half = 0.5 * self.width_mm
        low, high = self.tops_mm.min(axis=0) - half, self.tops_mm.max(axis=0) + half
        return float(low[0]), float(low[1]), float(high[0]), float(high[1])


class Comparison(Struct, frozen=True, eq=False):
    """A mistaken piece beside the right one."""

    wrong: Piece
    right: Piece


def compared(design: Design, mistake: Mistake, *, should_stop: ShouldStop = never) -> Comparison:
    """Return what a mistake does; the same design isn't settled twice.

    Raises:
        Stopped: `should_stop` answered yes.
        Spent: The mistake can't happen in this design.
    """
    n_rows = mistake.rows_of(design)
    wrong = mistake.applied(design, n_rows)
    key = mistake.key, wrong.gauge, wrong.wave, wrong.hand
    known = _KNOWN.get(key)
    if known is None:
        known = _settled(design, mistake, n_rows, should_stop)
        if not known.wrong.came_to_rest and n_rows > _FEW_ROWS:  # it strains too much to go on
            known = _settled(design, mistake, _FEW_ROWS, should_stop)
        while len(_KNOWN) >= _KEPT:
            _KNOWN.pop(next(iter(_KNOWN)), None)
        _KNOWN[key] = known
    return known


_KNOWN: dict[object, Comparison] = {}


def _settled(design: Design, mistake: Mistake, n_rows: int, should_stop: ShouldStop) -> Comparison:
    right, rows = _right_piece(mistake.right(design, n_rows), should_stop)
    return Comparison(
        _wrong_piece(mistake.applied(design, n_rows), rows, right, should_stop), right
    )


def _right_piece(design: Design, should_stop: ShouldStop) -> tuple[Piece, Rows]:
    rows = build_rows(design)
    tops = settle_fabric(design, rows, should_stop=should_stop).tops_mm
    return _piece(design, rows, tops, came_to_rest=True), rows


def _wrong_piece(design: Design, right_rows: Rows, right: Piece, should_stop: ShouldStop) -> Piece:
    rows = build_rows(design)
    tops = [right.row_mm(0)]
    for row in range(1, rows.drawn_rows + 1):
        like = _like(_sections(rows, row), _sections(right_rows, row))
        tops.append(_along(right.row_mm(row), like))
    case = Case(
        design=design,
        size=proportions_of(design.gauge),
        steady=None,
        lead=0,
        period=rows.drawn_rows + 1,
    )
    start = np.concatenate(tops)
    found, rests = settled_whole(case, rows, start, should_stop)
    return _piece(design, rows, found, came_to_rest=rests)


def _piece(design: Design, rows: Rows, tops: Floats, *, came_to_rest: bool) -> Piece:
    starts = row_starts(rows)
    tops = _level(tops, starts)
    tops = tops - (tops[0, 0], tops[: starts[1], 1].mean())
    posts = []
    for row in range(1, rows.drawn_rows + 1):
        links = rows.fabric_links(row)
        feet, heads = starts[row - 1] + links[:, PARENT], starts[row] + links[:, CHILD]
        posts.append(np.stack([tops[feet], tops[heads]], axis=1))
    tops.setflags(write=False)
    return Piece(
        tops_mm=tops,
        starts=starts,
        posts_mm=np.concatenate(posts),
        posts_of_row=tuple(len(part) for part in posts),
        width_mm=design.gauge.stitch_width_mm,
        came_to_rest=came_to_rest,
    )


def _level(tops: Floats, starts: Indices) -> Floats:
    """Return the tops turned so that the rows lie level on average."""
    along, up = (tops[starts[1:] - 1] - tops[starts[:-1]]).sum(axis=0)
    length = float(np.hypot(along, up))
    cos, sin = along / length, up / length
    turned: Floats = tops @ np.array([[cos, -sin], [sin, cos]])
    return turned


def _sections(rows: Rows, row: int) -> Indices:
    """Return for every stitch of a row from the left the part it belongs to, edges outermost."""
    section = np.asarray(rows.in_fabric_order(row, rows.plan(row).section)).astype(np.intp)
    left = START if not rows.runs_left(row) else END
    found = section.copy()
    found[section == left] = -1
    found[(section < 0) & (section != left)] = section.max(initial=0) + 1
    if rows.runs_left(row):
        inside = section >= 0
        found[inside] = section.max(initial=0) - section[inside]
    return found


def _like(mine: Indices, right: Indices) -> Floats:
    """Return for every stitch which place of the right row it is like, part by part."""
    places = np.empty(len(mine))
    for part in np.unique(mine):
        here = np.flatnonzero(mine == part)
        there = np.flatnonzero(right == part)
        if not len(there):  # a part that the right row doesn't have
            there = np.array([0 if part < 0 else len(right) - 1])
        share = (np.arange(len(here)) + 0.5) / len(here)
        places[here] = there[0] - 0.5 + share * len(there)
    return places


def _along(tops: Floats, places: Floats) -> Floats:
    numbers = np.arange(len(tops))
    found: Floats = np.stack([np.interp(places, numbers, tops[:, axis]) for axis in (0, 1)], axis=1)
    before, after = np.minimum(places, 0.0), np.maximum(places - numbers[-1], 0.0)
    if len(tops) > 1:
        found += before[:, np.newaxis] * (tops[1] - tops[0])
        found += after[:, np.newaxis] * (tops[-1] - tops[-2])
    return found
