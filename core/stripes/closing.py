"""Totals that close: row counts at which the blanket ends as it began.

A sequence of so many rows that goes round ends as it began whenever the first stripe has just
been worked once more: after whole rounds and that stripe. A sequence that stops is complete
once it has been worked through.
"""

from core.design.document import Stripes
from core.records import Struct
from core.stripes.sequence import order_of_entries

_SPREAD = 1


class Total(Struct, frozen=True):
    """A number of rows at which the stripes close.

    Attributes:
        rows: The rows.
        more: Rows beyond those wished for; fewer are negative.
        rounds: How often the whole sequence is worked before the last stripe.
    """

    rows: int
    more: int
    rounds: int


def round_rows(stripes: Stripes) -> int:
    """Return the rows of one round: of a mirrored sequence, up and back again."""
    return sum(stripes.sequence[entry].rows for entry in order_of_entries(stripes))


def closing_totals(stripes: Stripes, wish: int, *, most: int = 5000) -> tuple[Total, ...]:
    """Return the totals that close near the rows wished for, the fewest first.

    They are the nearest, and one more each way.
    """
    if stripes.fill == "stop":
        rows = stripes.rows
        return (Total(rows, rows - wish, 1),) if rows <= most else ()
    round_, first = round_rows(stripes), stripes.sequence[0].rows
    if first > most:
        return ()
    nearest = max((2 * (wish - first) + round_) // (2 * round_), 0)
    last = (most - first) // round_
    nearest = min(nearest, last)
    low = max(min(nearest - _SPREAD, last - 2 * _SPREAD), 0)
    numbers = range(low, min(low + 2 * _SPREAD, last) + 1)
    return tuple(Total(n * round_ + first, n * round_ + first - wish, n) for n in numbers)
