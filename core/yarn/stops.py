"""Good stopping places: rows where the blanket could end handsomely, and what is left there.

A row is one for what it is: the last of a stripe, the end of a whole sequence, the row that
makes the stripes read the same from both ends, the end of a wave that takes several rows.
"""

from collections.abc import Sequence
from typing import Final, Literal

import numpy as np

from core.design.document import Design, Reckoning
from core.records import Struct
from core.stripes.sequence import Indices, order_of_entries
from core.yarn.rows import Floats, RowYarn
from core.yarn.running_out import used_by_row
from core.yarn.tails import Tails

Why = Literal["stripe", "sequence", "mirror", "match", "wave"]
WORTH: Final[dict[Why, int]] = {"stripe": 1, "match": 2, "sequence": 4, "mirror": 8, "wave": 0}
"""How much each reason counts where places are ranked (our own choice)."""


class Stop(Struct, frozen=True):
    """A row where the blanket could end.

    Attributes:
        row: The row.
        why: What makes it one: it ends a stripe, ends a whole sequence, reads the same from both
            ends, ends in a stripe as the one it began with, ends a wave of several rows.
    """

    row: int
    why: tuple[Why, ...]

    @property
    def worth(self) -> int:
        """How handsome it is, for ranking."""
        return sum(WORTH[why] for why in self.why)


def stopping_places(design: Design, of_row: Indices, tails: Tails) -> tuple[Stop, ...]:
    """Return the rows where the blanket could end, from the foundation up."""
    if not len(of_row):
        return ()
    wholes = _whole_sequences(design, len(of_row))
    waves = _whole_waves(design, len(of_row))
    rows = np.unique(np.concatenate([tails.last, np.array(sorted(wholes), dtype=np.intp)]))
    pieces = np.searchsorted(tails.first, rows, side="right") - 1
    found, many = [], len(tails.last)
    first_height = int(tails.last[0])
    for row, piece in zip(rows.tolist(), pieces.tolist(), strict=True):
        why: list[Why] = []
        if row == tails.last[piece] and (piece + 1 < many or _ends_there(design, row)):
            why.append("stripe")
        if row in wholes:
            why.append("sequence")
        height = row - int(tails.first[piece]) + 1
        if piece and height == first_height and tails.yarn[piece] == tails.yarn[0]:
            done = of_row[:row]
            why.append("mirror" if np.array_equal(done, done[::-1]) else "match")
        if why and row in waves:
            why.append("wave")
        if why:
            found.append(Stop(row, tuple(why)))
    return tuple(found)


def _ends_there(design: Design, row: int) -> bool:
    """Return whether the last stripe is whole where the rows end, rather than cut off."""
    before = 0
    sequence = design.stripes.sequence
    if design.stripes.fill == "stop":
        return row <= design.stripes.rows and row in _borders(design)
    while before < row:
        for entry in order_of_entries(design.stripes):
            before += sequence[entry].rows
            if before >= row:
                break
    return before == row


def _borders(design: Design) -> set[int]:
    return set(np.cumsum([stripe.rows for stripe in design.stripes.sequence]).tolist())


def _whole_sequences(design: Design, n_rows: int) -> set[int]:
    """Return the rows that end whole rounds of the sequence."""
    sequence = design.stripes.sequence
    if design.stripes.fill == "stop":
        return {design.stripes.rows} & set(range(1, n_rows + 1))
    turn = sum(sequence[entry].rows for entry in order_of_entries(design.stripes))
    if design.stripes.fill == "mirror":  # up, and back to its first stripe
        first = sequence[0].rows
        return set(range(turn + first, n_rows + 1, turn))
    return set(range(turn, n_rows + 1, turn))


def _whole_waves(design: Design, n_rows: int) -> set[int]:
    """Return the rows that end a wave of several rows; none where every row is the same."""
    cycle = len(design.wave.rows_in_turn)
    lead = 1 if design.wave.setup else 0
    return set(range(lead + cycle, n_rows + 1, cycle)) if cycle > 1 else set()


def left_at(
    design: Design, by_row: RowYarn, tails: Tails, have_m: Sequence[float], rows: Sequence[int]
) -> Floats:
    """Return what is left of each yarn if the blanket ends there, shape (rows, yarns).

    Nothing is kept for edging. What is short is negative.

    Args:
        design: The design.
        by_row: What each row takes.
        tails: The pieces of yarn.
        have_m: Length to hand of each yarn.
        rows: The rows to end after.
    """
    at = np.asarray(rows, dtype=np.intp) - 1
    found = np.empty((len(at), len(design.yarns)))
    tail_m = (design.reckoning or Reckoning()).tail_mm / 1000
    piece = np.searchsorted(tails.first, at + 1, side="right") - 1
    cut_there = (at + 1 == tails.last[piece]) & ~tails.goes_on[piece]  # its end is counted
    for yarn in range(len(design.yarns)):
        used = used_by_row(design, by_row, tails, yarn, rate=1.0)[at]
        open_end = (tails.yarn[piece] == yarn) & ~cut_there
        found[:, yarn] = have_m[yarn] - used - np.where(open_end, tail_m, 0.0)
    return found
