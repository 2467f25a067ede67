"""Numbers in a row that make good widths: Fibonacci, Lucas, primes.

Makers use them as rows of stripes; with fewer colours than numbers the colours go round
(interweave.com on Fibonacci stripes, crochetcabana on Lucas numbers).
"""

import re
from collections.abc import Iterator
from itertools import count, islice
from typing import TypeVar

from core.errors import DesignError

_Width = TypeVar("_Width")

MOST_ROWS = 5000
"""Rows that a stripe may have in a design."""
MOST_WIDTHS = 400
_LONGEST = 20_000  # characters


def fibonacci() -> Iterator[int]:
    """Return 1, 1, 2, 3, 5, 8, ..."""
    one, other = 1, 1
    while True:
        yield one
        one, other = other, one + other


def lucas() -> Iterator[int]:
    """Return 2, 1, 3, 4, 7, 11, ..."""
    one, other = 2, 1
    while True:
        yield one
        one, other = other, one + other


def primes() -> Iterator[int]:
    """Return 2, 3, 5, 7, 11, ..."""
    found: list[int] = []
    for number in count(2):
        if all(number % prime for prime in found if prime * prime <= number):
            found.append(number)
            yield number


SERIES = {"fibonacci": fibonacci, "lucas": lucas, "primes": primes}
NAMES = {"fibonacci": "Fibonacci number", "lucas": "Lucas number", "primes": "prime"}


def first_of(series: str, terms: int) -> tuple[int, ...]:
    """Return the first terms of a series.

    Raises:
        DesignError: One of them is more rows than a stripe may have.
    """
    found: list[int] = []
    for number in islice(SERIES[series](), terms):
        if number > MOST_ROWS:
            raise DesignError(
                f"{NAMES[series].capitalize()} {len(found) + 1} is {number:,}, more rows than a "
                f"stripe may have ({MOST_ROWS:,}): take {len(found)} stripes at most"
            )
        found.append(number)
    return tuple(found)


def opposed(widths: tuple[_Width, ...]) -> tuple[_Width, ...]:
    """Return the widths going down between the same going up: 8, 1, 5, 1, 3, 2, 2, 3, ...

    In two colours one grows as the other shrinks (interweave.com: 55, 1, 34, 1, 21, 2, ...).
    """
    pairs = zip(widths[::-1], widths, strict=True)
    return tuple(width for pair in pairs for width in pair)


def read_widths(text: str) -> tuple[int, ...]:
    """Return the rows that a text lists: 1, 2, 4.

    Raises:
        DesignError: Something in it isn't a number of rows; the message says what.
    """
    if len(text) > _LONGEST:
        raise DesignError(f"the text is longer than a list of {MOST_WIDTHS} numbers can be")
    parts = [part for part in re.split(r"[,;\s]+", text.strip()) if part]
    if not parts:
        raise DesignError("there are no rows in the list: write numbers like 1, 2, 4")
    if len(parts) > MOST_WIDTHS:
        raise DesignError(f"{len(parts)} numbers are more than a list holds ({MOST_WIDTHS})")
    for part in parts:
        if not part.isascii() or not part.isdigit() or not 1 <= int(part[:9]) <= MOST_ROWS:
            shown = part if len(part) <= 20 else f"{part[:20]}…"
            raise DesignError(f'"{shown}" isn\'t a number of rows from 1 to {MOST_ROWS:,}')
    return tuple(int(part) for part in parts)
