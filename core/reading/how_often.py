"""How often something is worked: twice, 3 times, x 3, 6 times more, 4 times in all."""

from typing import Final

from core.reading.asides import REPEAT
from core.reading.cursor import Cursor
from core.reading.names import TIMES
from core.reading.places import take_until

MAX_TIMES: Final = 4_000


def times_in_a_row(cursor: Cursor) -> int | None:
    """Take "twice in a row" before what is worked so often."""
    back = cursor.at
    n = plain_times(cursor)
    if n is not None and cursor.take("in", "a", "row"):
        return n
    cursor.at = back
    return None


def times_follow(cursor: Cursor) -> bool:
    """Return whether words on how often come next; take none."""
    back = cursor.at
    found = plain_times(cursor) is not None or take_until(cursor) is not None
    cursor.at = back
    return found


def plain_times(cursor: Cursor) -> int | None:
    """Take twice, 3 times, x 3, 3 x."""
    back = cursor.at
    cursor.take("work", "this", "repeat")
    if cursor.peek().text in REPEAT | {"work", "worked"} and (
        cursor.peek(1).kind == "number" or cursor.peek(1).text in TIMES
    ):
        cursor.at += 1
    word = cursor.take_any(TIMES)
    if word is not None:
        return TIMES[word]
    if cursor.take("x"):
        n = cursor.number()
        if n is not None:
            return min(n, MAX_TIMES)
        cursor.at = back
        return None
    cursor.pass_over({"a", "total", "of", "for"} if cursor.is_at("a", "total") else set())
    n = cursor.number()
    if n is not None and cursor.take_any({"times", "time", "x"}):
        return min(n, MAX_TIMES)
    cursor.at = back
    return None


def times_in_all(cursor: Cursor) -> int | None:
    """Take (twice in all), 3 times in all."""
    back = cursor.at
    bracket = cursor.take("(") or cursor.take("[")
    cursor.pass_over({",", "for", "a", "total", "of"} if not bracket else {"a", "total", "of"})
    n = plain_times(cursor)
    if n is None and bracket:
        n = cursor.number()
    if n is not None:
        said = cursor.take("in", "all") or cursor.take("in", "total") or cursor.take("total")
        said = said or cursor.take("altogether")
        if said and (not bracket or cursor.take(")") or cursor.take("]")):
            return n
    cursor.at = back
    return None


def times_of_star(cursor: Cursor) -> tuple[int | None, int | None]:
    """Take how often a repeat is worked; return it and what else the words may mean."""
    back = cursor.at
    if cursor.is_at("for", "a", "total", "of") or cursor.is_at("a", "total", "of"):
        cursor.pass_over({"for", "a", "total", "of"})
        n = plain_times(cursor)
        if n is not None:
            return n, None
    word = cursor.take_any(TIMES)
    n = TIMES[word] if word else cursor.number()
    if n is None:
        cursor.at = back
        return None, None
    n = min(n, MAX_TIMES)
    if word and (cursor.take("in", "all") or cursor.take("in", "total")):
        return n, None
    more = cursor.take("more")
    timed = bool(word) or bool(cursor.take_any({"times", "time", "x"}))
    more = cursor.take("more") or more
    if timed and (cursor.take("in", "all") or cursor.take("in", "total")):
        return n, None
    if not timed and not more:
        cursor.at = back
        return None, None
    return n + 1, None if more or n == 1 else n
