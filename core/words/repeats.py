"""Which rows have to be written and which repeat them."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.records import Struct

Indices = NDArray[np.intp]


class Stretch(Struct, frozen=True, kw_only=True):
    """Rows of which the first are written and the others repeat the end of those.

    Attributes:
        first: Its first row.
        cycle: The first row of those that are repeated.
        written: The last row that is written.
        last: Its last row; the same as `written` if nothing is repeated.
    """

    first: int
    cycle: int
    written: int
    last: int

    @property
    def period(self) -> int:
        """How many rows are repeated."""
        return self.written - self.cycle + 1

    def like(self, row: int) -> int:
        """Return the written row that row number `row` repeats."""
        return row if row <= self.written else self.cycle + (row - self.cycle) % self.period


def stretches(kinds: Sequence[int], starts: Sequence[int]) -> tuple[Stretch, ...]:
    """Return the rows from 1 on as stretches, of which each begins at one of `starts`.

    Rows of the same kind have the same text; `kinds[0]` is that of row 1. Each stretch has as
    few written rows as it can.
    """
    bounds = [*starts, len(kinds) + 1]
    return tuple(
        _stretch(np.array(kinds[first - 1 : after - 1]), first) for first, after in pairwise(bounds)
    )


_FAR_BACK: Final = 400  # rows looked through for the longest copy


class Copy(Struct, frozen=True, kw_only=True):
    """Rows one after another that are written, or worked as rows before them.

    Attributes:
        first: Its first row.
        last: Its last row.
        of: The row that its first row is worked as; 0 if it is written.
    """

    first: int
    last: int
    of: int = 0

    @property
    def rows(self) -> int:
        """How many rows."""
        return self.last - self.first + 1

    @property
    def period(self) -> int:
        """How far back the rows are that it is worked as."""
        return self.first - self.of


def copies(kinds: Sequence[int], first: int) -> tuple[Copy, ...]:
    """Return the rows from `first` on, each kind written once and otherwise copied.

    A copy is as long as it can be; it may run into itself, and then it is those rows again and
    again. Of copies equally long, the nearest is taken.
    """
    found: list[Copy] = []
    met: dict[int, int] = {}
    for number, kind in enumerate(kinds, start=1):
        met.setdefault(kind, number)
    row = first
    while row <= len(kinds):
        of, rows = 0, 0
        nearest = range(row - 1, max(row - 1 - _FAR_BACK, 0), -1)
        for start in (*nearest, met[kinds[row - 1]]):
            if start >= row:
                break
            n = 0
            while row + n <= len(kinds) and kinds[start + n - 1] == kinds[row + n - 1]:
                n += 1
            if n > rows:
                of, rows = start, n
        found.append(Copy(first=row, last=row + max(rows, 1) - 1, of=of))
        row = found[-1].last + 1
    return tuple(found)


def _stretch(kinds: Indices, first: int) -> Stretch:
    fewest, best_period = len(kinds), 0
    for period in range(1, len(kinds)):
        if period >= fewest:
            break
        differs = np.flatnonzero(kinds[period:] != kinds[:-period])
        lead = int(differs[-1]) + 1 if len(differs) else 0
        if lead + period < fewest:
            fewest, best_period = lead + period, period
    written = first + fewest - 1
    return Stretch(
        first=first,
        cycle=written - best_period + 1,
        written=written,
        last=first + len(kinds) - 1,
    )
