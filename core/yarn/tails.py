"""Yarn ends: where each falls, which yarns can be carried up the side, and what that saves.

A row is joined where the row below ended, so a stripe's first end hangs at the edge where its
first row starts, its last one where its last row stops (common practice). The very first end is
the knot of the foundation chain, which lies where row 1 arrives. A yarn can be carried up an edge
only to where it is wanted next: after an even number of rows (place-marker, stellandlulu), and
past no more rows than the designer allows.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from core.craft.tables import CARRY_ROWS
from core.design.document import Design, Hand, Reckoning, Stripe, Stripes
from core.records import Struct
from core.stripes.sequence import Indices, yarn_of_rows

Flags = NDArray[np.bool_]


class YarnEnd(Struct, frozen=True):
    """One end to weave in.

    Attributes:
        yarn: Its yarn.
        row: The row at whose top it hangs; 0 is the foundation chain.
        at_left: Whether that is the fabric's left edge, seen from the right side.
        is_start: Whether it is where the yarn was joined.
    """

    yarn: int
    row: int
    at_left: bool
    is_start: bool


class Carry(Struct, frozen=True):
    """A yarn that waits at the edge where it is wanted next.

    Attributes:
        yarn: The yarn.
        from_row: The row it stops after.
        to_row: The row it goes on with.
        at_left: The edge.
    """

    yarn: int
    from_row: int
    to_row: int
    at_left: bool

    @property
    def rows(self) -> int:
        """Rows of other yarns that it passes."""
        return self.to_row - self.from_row - 1


class Tails(Struct, frozen=True, eq=False, kw_only=True):
    """The pieces of yarn that the rows are worked in, and their ends; arrays are by piece.

    Stripes that follow each other in the same yarn are one piece.

    Attributes:
        yarn: Yarn of each piece.
        first: Its first row, from 1.
        last: Its last row.
        before: Number of the piece before it in the same yarn; -1 if there is none.
        meets: Whether that piece ends at the edge where this one starts.
        carried: Whether it goes on with the yarn carried up from there.
        hand: The working hand.
    """

    yarn: Indices
    first: Indices
    last: Indices
    before: Indices
    meets: Flags
    carried: Flags
    hand: Hand

    @property
    def n_ends(self) -> int:
        """Ends to weave in."""
        return 2 * (len(self.yarn) - int(self.carried.sum()))

    @property
    def goes_on(self) -> Flags:
        """Whether the yarn of each piece is carried on from its last row."""
        found = np.zeros(len(self.yarn), dtype=bool)
        found[self.before[self.carried]] = True
        return found

    @property
    def gaps(self) -> Indices:
        """Rows of other yarns between each piece and the one before it in the same yarn."""
        return np.where(self.before >= 0, self.first - self.last[self.before] - 1, 0)

    def ends_of(self, n_yarns: int) -> Indices:
        """Return the ends of each yarn, shape (n_yarns,)."""
        cut = 2 - self.carried.astype(np.intp) - self.goes_on
        return np.bincount(self.yarn, weights=cut, minlength=n_yarns).astype(np.intp)

    def sides(self) -> tuple[int, int]:
        """Return the ends at the left edge and at the right."""
        is_right_handed = self.hand == "right"
        start_left = ((self.first % 2 == 1) == is_right_handed) == (self.first == 1)
        stop_left = (self.last % 2 == 1) == is_right_handed
        left = int((start_left & ~self.carried).sum() + (stop_left & ~self.goes_on).sum())
        return left, self.n_ends - left

    def ends(self) -> Iterator[YarnEnd]:
        """Yield every end from the foundation up."""
        goes_on = self.goes_on
        for piece, (yarn, first, last) in enumerate(
            zip(self.yarn.tolist(), self.first.tolist(), self.last.tolist(), strict=True)
        ):
            if not self.carried[piece]:
                at_left = runs_left(first, self.hand) == (first == 1)
                yield YarnEnd(yarn, first - 1, at_left, is_start=True)
            if not goes_on[piece]:
                yield YarnEnd(yarn, last, runs_left(last, self.hand), is_start=False)

    def carries(self, *, most_rows: int | None = None) -> tuple[Carry, ...]:
        """Return what is carried; with `most_rows`, what could be past so many rows."""
        wanted = self.carried if most_rows is None else self.meets & (self.gaps <= most_rows)
        found = []
        for piece in np.flatnonzero(wanted).tolist():
            before = int(self.last[self.before[piece]])
            found.append(
                Carry(
                    int(self.yarn[piece]),
                    before,
                    int(self.first[piece]),
                    runs_left(before, self.hand),
                )
            )
        return tuple(found)


def tails_of(design: Design, of_row: Indices) -> Tails:
    """Return the pieces and ends of rows in these yarns, shape (rows,)."""
    allowed = (design.reckoning or Reckoning()).carry_rows
    starts = np.flatnonzero(np.diff(of_row, prepend=-1))
    first, last = starts + 1, np.append(starts[1:], len(of_row))[: len(starts)]
    yarn = of_row[starts]
    order = np.argsort(yarn, kind="stable")
    before = np.full(len(starts), -1)
    same = yarn[order[1:]] == yarn[order[:-1]]
    before[order[1:][same]] = order[:-1][same]
    gaps = first - last[before] - 1 if len(starts) else first
    meets = (before >= 0) & (gaps % 2 == 0)
    return Tails(
        yarn=yarn,
        first=first,
        last=last,
        before=before,
        meets=meets,
        carried=meets & (gaps <= allowed),
        hand=design.hand,
    )


def two_row_tails(design: Design, n_rows: int) -> tuple[int, int]:
    """Return the ends if every stripe had two rows: all cut, and carried as far as is usual."""
    sequence = tuple(Stripe(stripe.yarn, 2) for stripe in design.stripes.sequence)
    of_row = yarn_of_rows(Stripes(sequence, design.stripes.fill), n_rows)
    tails = tails_of(design, of_row)
    limit = usual_carry(design)
    carried = int((tails.meets & (tails.gaps <= limit)).sum())
    return 2 * len(tails.yarn), 2 * (len(tails.yarn) - carried)


def usual_carry(design: Design) -> int:
    """Return the rows past which carrying is spoken of: the usual ones, or those allowed."""
    return max(CARRY_ROWS, (design.reckoning or Reckoning()).carry_rows)


def runs_left(row: int, hand: Hand) -> bool:
    """Return whether a row is worked from right to left, seen from the right side."""
    return (row % 2 == 1) == (hand == "right")
