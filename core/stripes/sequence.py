"""Which yarn each row is worked in, and the stripes that come of it."""

from collections.abc import Hashable, Iterable, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from core.design.document import Edging, Stripes
from core.records import Struct

Indices = NDArray[np.intp]


class Worked(Struct, frozen=True):
    """A stripe as it is worked: rows one after another in one yarn.

    Attributes:
        yarn: Number of the yarn.
        first: Its first row, from 1.
        rows: How many rows.
        entry: Number of the entry of the sequence it comes from, from 0.
    """

    yarn: int
    first: int
    rows: int
    entry: int

    @property
    def last(self) -> int:
        """Its last row."""
        return self.first + self.rows - 1


def order_of_entries(stripes: Stripes) -> tuple[int, ...]:
    """Return the entries in the order of one round of the sequence.

    A mirrored sequence goes up and comes back; the stripes at both ends are its centres and
    stand once, so that A B C goes on as A B C B A B C.
    """
    forward = tuple(range(len(stripes.sequence)))
    if stripes.fill == "mirror":
        return forward + forward[-2:0:-1]
    return forward


def comes_again(kinds: Sequence[Hashable]) -> int:
    """Return after how many entries a list begins again; all of them if never twice over.

    The last time may be cut short.
    """
    matched = [0] * len(kinds)  # of each entry, how many up to it begin the list once more
    for at in range(1, len(kinds)):
        n = matched[at - 1]
        while n and kinds[at] != kinds[n]:
            n = matched[n - 1]
        matched[at] = n + (kinds[at] == kinds[n])
    period = len(kinds) - matched[-1] if kinds else 0
    return period if 2 * period <= len(kinds) else len(kinds)


def yarns_worked(edging: Edging | None, of_row: Iterable[int]) -> tuple[int, ...]:
    """Return the numbers of the yarns that rows and edging are worked in, in the design's order."""
    around = {yarn for _, yarn in edging.yarns} if edging else set()
    return tuple(sorted(around | {int(yarn) for yarn in of_row}))


@lru_cache(maxsize=16)
def worked_stripes(stripes: Stripes, n_rows: int) -> tuple[Worked, ...]:
    """Return the stripes of a blanket of `n_rows` rows, from the foundation up.

    Where a sequence that stops is too short, its last stripe goes on to the end.
    """
    found: list[Worked] = []
    row = 1
    while row <= n_rows:
        for entry in order_of_entries(stripes):
            stripe = stripes.sequence[entry]
            rows = min(stripe.rows, n_rows - row + 1)
            if rows <= 0:
                break
            found.append(Worked(stripe.yarn, row, rows, entry))
            row += rows
        if stripes.fill == "stop" and row <= n_rows:
            last = found[-1]
            found[-1] = Worked(last.yarn, last.first, last.rows + n_rows - row + 1, last.entry)
            break
    return tuple(found)


def yarn_of_rows(stripes: Stripes, n_rows: int) -> Indices:
    """Return the number of each row's yarn, shape (n_rows,)."""
    worked = worked_stripes(stripes, n_rows)
    return np.repeat([s.yarn for s in worked], [s.rows for s in worked]).astype(np.intp)
