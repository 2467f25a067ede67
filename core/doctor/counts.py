"""What the counts of a maker's own rows say: which mistake would leave just these.

A mistake changes the count of every row that has it by a number that follows from the rows.
It may have begun in any row, so every beginning is tried. A stitch gained or lost once stays
in all rows after it.
"""

import contextlib
import math
import re
from collections.abc import Mapping
from typing import Final

import numpy as np

from core.design.document import Design
from core.doctor.mistakes import Mistake, mistakes_of
from core.doctor.worked import Spent, gain_of_row, row_of
from core.errors import DesignError
from core.records import Struct
from core.rows.plan import Indices

MAX_ROW: Final = 5000
MAX_COUNT: Final = 100_000
MAX_TYPED: Final = 60
_FEW_REPEATS: Final = 3
_ONE: Final = re.compile(
    r"(?:(?:rows?|markers?)\s*)?(\d{1,9})\s*(?:[:=]|\s|has)\s*(\d{1,9})", re.IGNORECASE
)


class Suspect(Struct, frozen=True):
    """A mistake that the counts speak for.

    Attributes:
        mistake: It; None for stitches gained or lost once.
        since: The row in which it began.
        once: Stitches gained once, where it is that; negative for lost.
        repeats: In how many repeats, where it is one that happens in repeats; else 0.
        missed_by: Stitches by which the counts differ from what it would leave, all together.
    """

    mistake: Mistake | None
    since: int
    once: int
    missed_by: int
    repeats: int = 0


def read_counts(text: str, *, what: str = "row") -> dict[int, int]:
    """Return counts typed as "row 4: 142, row 6: 140", by row or whatever else is counted to.

    Raises:
        DesignError: A part can't be read as a row and its count, or is out of bounds.
    """
    found: dict[int, int] = {}
    for part in re.split(r"[,;\n]+", text):
        if not part.strip():
            continue
        match = _ONE.fullmatch(part.strip())
        if match is None:
            raise DesignError(
                f'"{part.strip():.40}" can\'t be read. Write a {what} and its count, as '
                f'"{what} 4: 142", with commas between'
            )
        row, count = int(match[1]), int(match[2])
        if not 1 <= row <= MAX_ROW or count > MAX_COUNT:
            raise DesignError(
                f'"{part.strip():.40}" is out of bounds: {what}s go up to {MAX_ROW:,}, '
                f"counts up to {MAX_COUNT:,}"
            )
        found[row] = count
        if len(found) > MAX_TYPED:
            raise DesignError(f"{MAX_TYPED} counts are enough")
    return found


def right_count(design: Design, row: int) -> int:
    """Return how many stitches row number `row` should have."""
    return row_of(design, row).makes(design.size.repeats)


def wrong_count(design: Design, mistake: Mistake, row: int, *, since: int = 1) -> int:
    """Return how many stitches row `row` has if every row from `since` on had the mistake."""
    gains = _gains(design, mistake, row)
    return right_count(design, row) + int(gains[max(since, 1) - 1 : row].sum())


def changes_counts(design: Design, mistake: Mistake) -> bool:
    """Return whether counting can find it at all."""
    return bool(_gains(design, mistake, 12 + 2 * len(design.wave.rows_in_turn)).any())


def suspects(design: Design, counts: Mapping[int, int]) -> tuple[Suspect, ...]:
    """Return what explains the counts, best first; nothing if they are right.

    Only what explains them better than no mistake at all is returned.
    """
    rows = np.array(sorted(counts), dtype=np.intp)
    if not len(rows):
        return ()
    off = np.array([counts[int(row)] - right_count(design, int(row)) for row in rows])
    unexplained = int(np.abs(off).sum())
    if not unexplained:
        return ()
    found = [_once(rows, off)]
    for mistake in mistakes_of(design):
        gains = _gains(design, mistake, int(rows[-1]))
        if gains.any():
            found.append(min(_beginnings(design, mistake, gains, rows, off), key=_missed))
    better = [suspect for suspect in found if suspect.missed_by < unexplained]
    return tuple(sorted(better, key=_missed))


def _gains(design: Design, mistake: Mistake, n_rows: int) -> Indices:
    """Return what the mistake adds to each of so many rows, shape (n_rows,).

    After a set-up row and the rows that can't have it, rows come round with their cycle.
    """
    slip = mistake.slip_of(design)
    if slip is None:
        return np.zeros(n_rows, dtype=np.intp)
    cycle = math.lcm(2, len(design.wave.rows_in_turn))
    lead = max(slip.first, 2) + 1
    known = np.zeros(lead + cycle, dtype=np.intp)
    for row in range(1, len(known) + 1):
        if slip.happens_in(row):
            with contextlib.suppress(Spent):  # such a row can't have it
                known[row - 1] = gain_of_row(design, slip, row)
    times = max(n_rows - lead, 0) // cycle + 1
    return np.concatenate([known[:lead], np.tile(known[lead:], times)])[:n_rows]


def _missed(suspect: Suspect) -> int:
    return suspect.missed_by


def _beginnings(
    design: Design, mistake: Mistake, gains: Indices, rows: Indices, off: Indices
) -> list[Suspect]:
    """Return the best beginning in all repeats, or in only a few of them."""
    slip, every = mistake.slip_of(design), design.size.repeats
    if slip is None or slip.repeat is None:
        return [_best_beginning(mistake, gains, rows, off, repeats=0)]
    few = [n for n in range(1, _FEW_REPEATS + 1) if n < every]
    return [
        _best_beginning(mistake, gains // every * n, rows, off, repeats=n) for n in (every, *few)
    ]


def _best_beginning(
    mistake: Mistake, gains: Indices, rows: Indices, off: Indices, *, repeats: int
) -> Suspect:
    total = np.concatenate([[0], np.cumsum(gains)])
    begins = np.flatnonzero(gains) + 1
    left = total[rows][np.newaxis, :] - total[begins - 1][:, np.newaxis]
    left = np.where(rows[np.newaxis, :] >= begins[:, np.newaxis], left, 0)
    missed = np.abs(left - off).sum(axis=1)
    best = int(missed.argmin())
    return Suspect(mistake, int(begins[best]), 0, int(missed[best]), repeats)


def _once(rows: Indices, off: Indices) -> Suspect:
    """Return the best single gain or loss, in the first row that shows it."""
    found = []
    for number in range(len(rows)):
        for size in sorted(set(off[number:].tolist()) - {0}, key=abs):
            missed = int(np.abs(off[:number]).sum() + np.abs(off[number:] - size).sum())
            found.append(Suspect(None, int(rows[number]), int(size), missed))
    return min(found, key=_missed)
