"""Which loop each row is worked into: one rule for all readers.

A row goes into both loops of the stitches below, or into one of them: the back loop lies away
from the maker, the front loop towards them. Loops may change from row to row, or begin anew
with each colour (zoeymakes: back loops in the first row of each colour, both in its second,
for a crisp colour line).
"""

from functools import lru_cache
from typing import Any, Final, Literal, NamedTuple

import numpy as np

from core.design.document import Design, Loops, Stripes, WorkIn
from core.stripes.sequence import yarn_of_rows

FIRST_CHOICE: Final = 2  # row 1 goes into chains, which have no such loops to choose from


class Ridge(NamedTuple):
    """What a row's loops do to its joint with the row below.

    Attributes:
        loop: The loop the row is worked into.
        faces_out: Whether the loop left unworked lies on the right side; None for both loops.
    """

    loop: WorkIn
    faces_out: bool | None


def first_row_of(loops: Loops) -> int:
    """Return the first row to which the choice of loops applies."""
    return max(loops.from_row, FIRST_CHOICE)


def is_plain(loops: Loops) -> bool:
    """Return whether every row goes into both loops."""
    return set(loops.in_turn or (loops.work_in,)) == {"both"}


@lru_cache(maxsize=16)
def loops_of_rows(loops: Loops, stripes: Stripes, n_rows: int) -> tuple[WorkIn, ...]:
    """Return the loop of row 1, 2, ... of a blanket of `n_rows` rows.

    Loops in turn begin with the first row they apply to and go round. Begun anew with each
    colour, they count from its first row, and the last of them holds to the colour's end;
    stripes that follow each other in one yarn are one colour.
    """
    first = min(first_row_of(loops), n_rows + 1)
    turn: tuple[WorkIn, ...] = loops.in_turn or (loops.work_in,)
    if loops.each_colour:
        since = _rows_since_change(stripes, n_rows)[first - 1 :]
        chosen = [turn[min(n, len(turn) - 1)] for n in since]
    else:
        chosen = [turn[n % len(turn)] for n in range(n_rows - first + 1)]
    before: list[WorkIn] = ["both"] * (first - 1)
    return tuple(before + chosen)


def loop_of_row(design: Design, row: int) -> WorkIn:
    """Return the loop that row number `row` (from 1) is worked into."""
    return design_loops(design, row)[row - 1]


def design_loops(design: Design, at_least: int = 0) -> tuple[WorkIn, ...]:
    """Return the loop of every row of the design, of `at_least` so many rows."""
    return loops_of_rows(design.loops, design.stripes, max(design.size.rows, at_least))


def ridge_of_row(loop: WorkIn, row: int) -> Ridge:
    """Return what row number `row`, worked into `loop`, does to the joint at its foot.

    The loop left unworked stays on the side that faced the maker (enjoy2crochet.com and
    crochetkitten.com on the unworked loop); row 1 and every second row after it show their
    right side to the maker. Worked in the back loop of a right-side row, it lies on the right
    side; so it does in the front loop of a wrong-side row.
    """
    if loop == "both":
        return Ridge(loop, None)
    return Ridge(loop, (row % 2 == 1) == (loop == "back"))


def _rows_since_change(stripes: Stripes, n_rows: int) -> list[int]:
    """Return for every row how many rows in its colour come before it."""
    yarn = yarn_of_rows(stripes, n_rows)
    changes = np.flatnonzero(np.diff(yarn, prepend=-1))
    lengths = np.diff([*changes.tolist(), n_rows])
    return [n for length in lengths for n in range(int(length))]


Plan = Literal["both", "back", "front", "colour", "turn"]

PLANS: Final[dict[Plan, dict[str, Any]]] = {
    "both": {"work_in": "both"},
    "back": {"work_in": "back"},
    "front": {"work_in": "front"},
    "colour": {"in_turn": ("back", "both"), "each_colour": True},
    "turn": {"in_turn": ("back", "both"), "each_colour": False},
}  # what each way of choosing loops starts from, for `core.design.edits.set_loops`


def plan_of(loops: Loops) -> Plan:
    """Return which way of choosing loops a design has."""
    if loops.in_turn is None:
        return loops.work_in
    return "colour" if loops.each_colour else "turn"
