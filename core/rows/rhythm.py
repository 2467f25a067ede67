"""How the rows of a wave follow one another: shaped or plain, turned over, set off.

A rhythm knows nothing of stitches. It says of every row whether it is shaped, whether it is
worked from the side that row 1 starts at, whether peaks and dips have changed places, and
how far the wave has moved along.
"""

from math import ceil, gcd
from typing import Final

from core.craft.stitches import WorkedStitch
from core.design.document import Row
from core.records import Struct

MAX_EVERY: Final = 6
MAX_SWAP: Final = 60
MAX_SLANT: Final = 3
MAX_SETTLED: Final = 300
"""Stitches of a repeat, counted over a whole cycle, that the fabric settles in about a second."""

MAX_CYCLE: Final = 200
"""Rows that a design may list; see `core.design.document.Wave`."""


class Rhythm(Struct, frozen=True, kw_only=True):
    """Which rows are shaped, and how they change from row to row.

    Attributes:
        every: Every how many rows one is shaped; the others are plain, a stitch in each.
        swap_after: Rows after which peaks and dips change places; 0 for never.
        slant: Stitches that the wave moves along with every shaped row, away from the side
            that row 1 starts at; negative towards it.
        keeps_sides: Whether an uneven wave keeps its longer run on the same side. Rows are
            turned, so every other one is then worked in reverse.
        plain: The stitch of plain rows, if it isn't the wave's own.
    """

    every: int = 1
    swap_after: int = 0
    slant: int = 0
    keeps_sides: bool = False
    plain: WorkedStitch | None = None

    @property
    def swap_rows(self) -> int:
        """Rows before a swap, made up to whole groups of a shaped row and its plain ones."""
        return self.every * ceil(self.swap_after / self.every)

    def rows_until_again(self, multiple: int, *, turned: bool) -> int:
        """Return the rows after which everything comes round.

        Args:
            multiple: Stitches of a repeat.
            turned: Whether rows worked from the other side are worked in reverse.
        """
        rows = self.every
        if self.slant:
            rows *= multiple // gcd(multiple, abs(self.slant))
        elif self.swap_after:
            rows = 2 * self.swap_rows
        return 2 * rows if turned and rows % 2 else rows

    def is_swapped(self, row: int) -> bool:
        """Return whether peaks and dips have changed places in a row, counted from 0."""
        return bool(self.swap_after) and (row // self.swap_rows) % 2 == 1

    def shift(self, row: int) -> int:
        """Return how many stitches the wave has moved along by a row, counted from 0."""
        return self.slant * (row // self.every)


EVERY_ROW: Final = Rhythm()
"""Every row is shaped, and all are the same."""

OPPOSITE_NEXT: Final = Rhythm(swap_after=1)
"""Every row fills the one below."""


def shortest_cycle(rows: tuple[Row, ...]) -> tuple[Row, ...]:
    """Return the rows worked in turn without repeating themselves."""
    for length in range(1, len(rows)):
        if len(rows) % length == 0 and rows[:length] * (len(rows) // length) == rows:
            return rows[:length]
    return rows
