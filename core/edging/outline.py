"""The outline of a blanket's end: how far each stitch of its last row lies below the crests.

The top end is the last row; the bottom end is the other side of the foundation chain, where
the peaks of the wave are the dips to be filled.
"""

from typing import Final

from core.design.document import Design, EndName
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.fabric.steady import window
from core.records import Struct
from core.rows.build import Rows

ENDS: Final[tuple[EndName, EndName]] = ("top", "bottom")


class Outline(Struct, frozen=True, eq=False, kw_only=True):
    """One end's outline, from the fabric's left edge.

    Attributes:
        end: Which end.
        tops_mm: Where its stitches lie, shape (n, 2).
        left: Stitches before the first repeat.
        width: Stitches of a repeat.
        repeats: How many repeats there are.
        repeat_mm: Width of a repeat.
        reversed: Whether the row's working order runs from right to left.
    """

    end: EndName
    tops_mm: Floats
    left: int
    width: int
    repeats: int
    repeat_mm: float
    reversed: bool

    @property
    def outward(self) -> float:
        """1 where the outside is upwards, -1 where it is downwards."""
        return 1.0 if self.end == "top" else -1.0

    @property
    def right(self) -> int:
        """Stitches after the last repeat."""
        return len(self.tops_mm) - self.left - self.width * self.repeats

    @property
    def middle(self) -> slice:
        """The stitches of the middle repeat."""
        first = self.left + self.repeats // 2 * self.width
        return slice(first, first + self.width)

    def gaps_mm(self) -> Floats:
        """Return how far each stitch lies below the crests, shape (n,).

        The crest line is that of the middle repeat, so stitches near a side edge may lie
        slightly above it.
        """
        out = self.outward * self.tops_mm[:, 1]
        gaps: Floats = out[self.middle].max() - out
        return gaps


def outline_of(design: Design, rows: Rows, fabric: Fabric, end: EndName) -> Outline | None:
    """Return the outline of one end; None if the rows don't fit or have no steady state."""
    if rows.misfit is not None or fabric.steady is None or not rows.drawn_rows:
        return None
    row = rows.drawn_rows if end == "top" else 0
    repeats = design.size.repeats
    middle, width = window(rows, row, repeats)
    if not width:
        return None
    tops, left = fabric.row_tops_mm(row), middle - repeats // 2 * width
    return Outline(
        end=end,
        tops_mm=tops,
        left=left,
        width=width,
        repeats=repeats,
        repeat_mm=_repeat_mm(tops[left : left + repeats * width, 0], width, repeats),
        reversed=rows.runs_left(max(row, 1)),
    )


def _repeat_mm(x: Floats, width: int, repeats: int) -> float:
    """Return how wide a repeat of this row lies: a few rows draw in less than many.

    Args:
        x: Where the stitches of all repeats lie across, shape (repeats * width,).
        width: Stitches of a repeat.
        repeats: How many there are.
    """
    if repeats == 1:
        return float(x[-1] - x[0]) * width / max(width - 1, 1)
    middle = repeats // 2 * width
    return float((x[middle : middle + width] - x[middle - width : middle]).mean())


__all__ = ["ENDS", "EndName", "Outline", "outline_of"]
