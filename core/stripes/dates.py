"""Dates as widths: birthdays, a wedding, a year of a place.

Three ways: every digit a stripe (a nought is left out), day, month and year's last two digits a
stripe each, or the days between one date and the next in proportion to the blanket's rows.
"""

import re
from datetime import date
from itertools import pairwise
from typing import Final

from core.design.plan import DatesAs
from core.errors import DesignError

MONTHS: Final = (
    "January", "February", "March", "April", "May", "June", "July",
    "August", "September", "October", "November", "December",
)  # fmt: skip
MOST_DATES: Final = 400
_LONGEST: Final = 20_000  # characters, room enough for so many dates
_ISO: Final = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DOTS: Final = re.compile(r"(\d{1,2})\.\s*(\d{1,2})\.\s*(\d{4})")
_WORDS: Final = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?\.?\s+([A-Za-z]{3,9})\.?,?\s+(\d{4})")
_AMERICAN: Final = re.compile(r"([A-Za-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})")


def read_dates(text: str) -> tuple[str, ...]:
    """Return the dates of a text as 2019-05-03, in the order they are written.

    One a line, or set apart by semicolons: 2019-05-03, 3 May 2019, May 3, 2019 or 3.5.2019.

    Raises:
        DesignError: Something in it isn't a date; the message says what.
    """
    if len(text) > _LONGEST:
        raise DesignError(f"the text is longer than a plan's dates ({MOST_DATES}) can be")
    parts = [part.strip() for part in re.split(r"[;\n]", text) if part.strip()]
    if len(parts) > MOST_DATES:
        raise DesignError(f"{len(parts)} dates are more than a plan holds ({MOST_DATES})")
    return tuple(_read(part) for part in parts)


def _read(text: str) -> str:
    shown = text if len(text) <= 40 else f"{text[:40]}…"
    if match := _ISO.fullmatch(text):
        year, month, day = (int(part) for part in match.groups())
    elif match := _DOTS.fullmatch(text):
        day, month, year = (int(part) for part in match.groups())
    elif match := _WORDS.fullmatch(text):
        day, month, year = int(match[1]), _month(match[2]), int(match[3])
    elif match := _AMERICAN.fullmatch(text):
        month, day, year = _month(match[1]), int(match[2]), int(match[3])
    else:
        raise DesignError(f'"{shown}" isn\'t read as a date: write it as 3 May 2019 or 2019-05-03')
    try:
        return date(year, month, day).isoformat()
    except ValueError:
        raise DesignError(f'"{shown}" isn\'t a day of the calendar') from None


def _month(word: str) -> int:
    named = [n for n, name in enumerate(MONTHS, 1) if name.lower().startswith(word.lower())]
    return named[0] if len(named) == 1 else 0


def said_date(iso: str) -> str:
    """Return a date in words: 3 May 2019."""
    day = date.fromisoformat(iso)
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def widths_of(dates: tuple[str, ...], dates_as: DatesAs, rows: int) -> tuple[tuple[int, str], ...]:
    """Return the rows of every stripe that the dates give, each with what it stands for.

    Args:
        dates: The dates, as 2019-05-03.
        dates_as: Which way.
        rows: Rows of the blanket, which days between dates are shared out over.

    Raises:
        DesignError: There are too few dates, or one isn't a day.
    """
    try:
        days = [date.fromisoformat(iso) for iso in dates]
    except ValueError:
        raise DesignError("one of the plan's dates isn't a day of the calendar") from None
    if not days:
        raise DesignError("there is no date yet: write one a line")
    if dates_as == "between":
        return _between(sorted(days), rows)
    found = []
    for day in days:
        said = said_date(day.isoformat())
        if dates_as == "digits":
            digits = f"{day.day}{day.month}{day.year}"
            found += [(int(digit), said) for digit in digits if digit != "0"]
        else:
            parts = (day.day, day.month, day.year % 100)
            found += [(part, said) for part in parts if part]
    return tuple(found)


def _between(days: list[date], rows: int) -> tuple[tuple[int, str], ...]:
    """Return the days between following dates shared out over the rows, one row at least each."""
    spans = [(later - one).days for one, later in pairwise(days)]
    said = [
        f"to {said_date(later.isoformat())}"
        for (_, later), span in zip(pairwise(days), spans, strict=True)
        if span
    ]
    spans = [span for span in spans if span]
    if not spans:
        raise DesignError("days between dates take two different dates at least")
    if len(spans) > rows:
        raise DesignError(f"{len(spans)} spans don't fit into {rows} rows: add rows, or drop dates")
    return tuple(zip(shared_out(rows, spans), said, strict=True))


def shared_out(rows: int, weights: list[int]) -> list[int]:
    """Return rows shared out by weight, one at least each; they add up to `rows`.

    Each row goes to whoever is furthest below its share (largest remainder).
    """
    total = sum(weights)
    found = [max(rows * weight // total, 1) for weight in weights]
    while sum(found) != rows:
        more = 1 if sum(found) < rows else -1
        able = [n for n, have in enumerate(found) if have + more >= 1]
        off = {n: more * (rows * weights[n] / total - found[n]) for n in able}
        found[max(able, key=lambda n: (off[n], -n))] += more
    return found
