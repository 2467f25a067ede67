"""Flows pieces into the columns of pages, one after another.

A heading is never last in a column, lines that belong together stay together, at least two
lines of a paragraph stand on either side of a cut.
"""

from collections import deque
from collections.abc import Iterable, Iterator

from app.booklet.pieces import Page, Piece, Placed, at_top
from core.records import Struct


class Column(Struct, frozen=True):
    """Room for pieces on one page.

    Attributes:
        page: Number of the page, from 0.
        x: Its left edge.
        y: Its top.
        height: Its height.
        whole: Height of a column with nothing above it; this one may be shorter.
    """

    page: int
    x: float
    y: float
    height: float
    whole: float

    @property
    def is_short(self) -> bool:
        """Whether another column has more room even while this one is empty."""
        return self.height < self.whole


class Start(Struct, frozen=True):
    """Marks where a part begins, for bookmarks; takes no room."""

    name: str


def flowed(pieces: Iterable[Piece | Start], columns: Iterator[Column]) -> dict[int, Page]:
    """Return the pages that pieces come to lie on, by number.

    Args:
        pieces: In order.
        columns: The columns they may fill, as many as it takes.
    """
    pages: dict[int, Page] = {}
    column, y = next(columns), 0.0
    waiting = deque(pieces)
    starts: list[str] = []
    while waiting:
        piece = waiting[0]
        if isinstance(piece, Start):
            starts.append(piece.name)
            waiting.popleft()
            continue
        before = piece.before if y else 0.0
        left = column.height - y
        may_leave = bool(y) or column.is_short
        if before + _least(waiting, column.whole) > left + 1e-6 and may_leave:
            column, y = next(columns), 0.0
            continue
        waiting.popleft()
        rest: Piece | None = None
        if before + piece.height > left + 1e-6:
            parts = piece.split(left - before, column.whole)
            if parts is None and may_leave:
                waiting.appendleft(piece)
                column, y = next(columns), 0.0
                continue
            if parts is not None:  # otherwise no column can hold it: it is let run over
                piece, rest = parts
        if not y:
            piece = at_top(piece)
        page = pages.setdefault(column.page, Page())
        page.placed.append(Placed(piece, column.x, column.y + y + before))
        page.starts += starts
        starts = []
        y += before + piece.height
        if rest is not None:
            waiting.appendleft(rest)
            column, y = next(columns), 0.0
    return pages


def _least(waiting: "deque[Piece | Start]", room: float) -> float:
    """Return the room that the first piece takes at least, with what it has to stay with."""
    total = 0.0
    for number, piece in enumerate(p for p in waiting if not isinstance(p, Start)):
        before = piece.before if number else 0.0
        if not piece.keep:
            return total + before + piece.least(room)
        total += before + piece.height
        if total > room:
            return total
    return total
