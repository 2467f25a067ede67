"""What is pointed at or selected: stitches of one row, whole rows, a repeat, the stitches of words.

A selection is a value. It names stitches by row and by place from the fabric's left edge, so it
outlives a change of the design; `within` cuts it down to the rows there are.
"""

from typing import Literal, NamedTuple

import numpy as np

from core.records import Struct
from core.rows.build import Rows
from core.rows.kin import kin_of

Place = tuple[int, int]
"""A row (0 is the foundation chain) and a stitch of it from the left edge, from 0."""

Kind = Literal["stitch", "range", "row", "rows", "repeat", "words"]


class Span(NamedTuple):
    """Stitches `first` to `last` of one row."""

    row: int
    first: int
    last: int

    @property
    def size(self) -> int:
        """How many stitches."""
        return self.last - self.first + 1


class Selection(Struct, frozen=True):
    """Some stitches, and between which two of them it was drawn.

    Attributes:
        kind: What they are together.
        spans: The stitches, by row from the lowest; never empty.
        anchor: Where selecting began.
        head: Where it has come to; keys walk on from there.
    """

    kind: Kind
    spans: tuple[Span, ...]
    anchor: Place
    head: Place

    @property
    def count(self) -> int:
        """How many stitches."""
        return sum(span.size for span in self.spans)

    @property
    def rows(self) -> tuple[int, int]:
        """The lowest and the highest row."""
        return self.spans[0].row, self.spans[-1].row

    @property
    def is_one(self) -> bool:
        """Whether it is a single stitch."""
        return self.count == 1

    def holds(self, place: Place) -> bool:
        """Return whether a stitch is among them."""
        row, stitch = place
        return any(s.row == row and s.first <= stitch <= s.last for s in self.spans)


def one_stitch(place: Place) -> Selection:
    """Return one stitch as a selection."""
    row, stitch = place
    return Selection("stitch", (Span(row, stitch, stitch),), place, place)


def between(rows: Rows, anchor: Place, head: Place) -> Selection:
    """Return all from one stitch to another: along a row, or whole rows if theirs differ."""
    if anchor == head:
        return one_stitch(anchor)
    if anchor[0] == head[0]:
        first, last = sorted((anchor[1], head[1]))
        return Selection("range", (Span(anchor[0], first, last),), anchor, head)
    low, high = sorted((anchor[0], head[0]))
    spans = tuple(_whole(rows, row) for row in range(low, high + 1))
    return Selection("rows", spans, anchor, head)


def whole_rows(rows: Rows, first: int, last: int) -> Selection:
    """Return rows `first` to `last` from edge to edge."""
    spans = tuple(_whole(rows, row) for row in range(first, last + 1))
    kind: Kind = "row" if first == last else "rows"
    return Selection(kind, spans, (first, 0), (last, spans[-1].last))


def repeat_at(rows: Rows, place: Place) -> Selection | None:
    """Return the repeat of its row that a stitch belongs to; None at the edges and in the chain."""
    row, stitch = place
    if not 1 <= row <= rows.drawn_rows:
        return None
    section = rows.in_fabric_order(row, rows.plan(row).section)
    if not 0 <= stitch < len(section) or section[stitch] < 0:
        return None
    mine = np.flatnonzero(section == section[stitch])
    span = Span(row, int(mine[0]), int(mine[-1]))
    return Selection("repeat", (span,), (row, span.first), (row, span.last))


def of_spans(kind: Kind, spans: tuple[Span, ...]) -> Selection | None:
    """Return these stitches as a selection; None if there are none."""
    if not spans:
        return None
    ordered = tuple(sorted(spans))
    low, high = ordered[0], ordered[-1]
    return Selection(kind, ordered, (low.row, low.first), (high.row, high.last))


def within(selection: Selection, rows: Rows) -> Selection | None:
    """Return what is left of a selection in these rows; None if nothing is.

    Whole rows stay whole and a repeat stays a repeat, though they have become longer or shorter.
    """
    if selection.kind in ("row", "rows", "repeat"):
        entire = _entire(selection, rows)
        if entire is not None:
            return selection if entire.spans == selection.spans else entire
    spans = []
    for span in selection.spans:
        if span.row <= rows.drawn_rows:
            last = min(span.last, rows.makes(span.row) - 1)
            if span.first <= last:
                spans.append(Span(span.row, span.first, last))
    if tuple(spans) == selection.spans:
        return selection
    if not spans:
        return None
    places = (_nearest(place, spans) for place in (selection.anchor, selection.head))
    kind: Kind = "range" if selection.kind == "repeat" else selection.kind
    if len(spans) == 1 and spans[0].size == 1:
        kind = "stitch"
    return Selection(kind, tuple(spans), *places)


def _entire(selection: Selection, rows: Rows) -> Selection | None:
    """Return the same rows, or the repeat in the same place; None if there is no such thing."""
    if selection.kind == "repeat":
        return repeat_at(rows, selection.anchor)
    first, last = selection.rows[0], min(selection.rows[1], rows.drawn_rows)
    if first > last:
        return None
    whole = whole_rows(rows, first, last)
    places = (_nearest(place, list(whole.spans)) for place in (selection.anchor, selection.head))
    return Selection(whole.kind, whole.spans, *places)


def stepped(rows: Rows, place: Place, right: int, up: int) -> Place:
    """Return the stitch so many to the right, or one row up or down, of another.

    Up goes to the middle one of the stitches worked into it, down to the middle one it is worked
    into; a stitch without such kin (a chain has none) leads to the one that lies above or below by
    its share of the row. At an edge it stays.
    """
    row, stitch = place
    if up:
        target = row + (1 if up > 0 else -1)
        if not 0 <= target <= rows.drawn_rows:
            return place
        kin = kin_of(rows, row, stitch, stitch)
        near = kin.children if up > 0 else kin.parents
        if len(near):
            return target, int(near[(len(near) - 1) // 2])
        share = stitch / max(rows.makes(row) - 1, 1)
        return target, round(share * (rows.makes(target) - 1))
    return row, min(max(stitch + right, 0), rows.makes(row) - 1)


def _whole(rows: Rows, row: int) -> Span:
    return Span(row, 0, rows.makes(row) - 1)


def _nearest(place: Place, spans: list[Span]) -> Place:
    span = min(spans, key=lambda s: (abs(s.row - place[0]), abs(s.first - place[1])))
    return span.row, min(max(place[1], span.first), span.last)
