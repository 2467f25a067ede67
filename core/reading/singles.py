"""Skips, chains, the legs of a decrease and the place behind a stitch, each taken by itself."""

from typing import Final

from core.reading.acts import Act, Chain, Place, Skip, Unread
from core.reading.asides import loop
from core.reading.cursor import Cursor
from core.reading.how_often import MAX_TIMES
from core.reading.places import CH, INTO, ST, place_after_into, take_until

_PLACED: Final = frozenset({"each", "next", "same", "every", "first", "last"})
_SKIP: Final = frozenset({"skip", "sk", "miss", "skp", "skipping", "missing", "ski"})


def skip(cursor: Cursor) -> Act | None:
    """Take what is skipped."""
    start = cursor.start
    if not cursor.take_any(_SKIP):
        return None
    cursor.pass_over({"over", "the"})
    place = place_after_into(cursor)
    if place is None:
        return Unread(start=start, end=cursor.end, expected="how many stitches are skipped")
    return Skip(start=start, end=cursor.end, place=place)


def chain(cursor: Cursor) -> Act | None:
    """Take chains: ch 2, 2 ch, ch-2, ch 3 more."""
    start, back = cursor.start, cursor.at
    n = cursor.number()
    cursor.take("-")
    if not cursor.take_any(CH):
        cursor.at = back
        return None
    cursor.take("-")
    after = cursor.at
    n = n or cursor.number()
    if n is None:
        if cursor.take("a", "st"):
            n = 1
        elif cursor.peek().text in {"counts", "count", "across"}:
            cursor.at = back
            return None
        else:
            cursor.at = after
            n = 1
    more = cursor.take("more")
    return Chain(start=start, end=cursor.end, n=min(n, MAX_TIMES), more=more)


def legs_of(cursor: Cursor, n: int | None) -> int | None:
    """Take what makes a stitch a decrease; return its legs."""
    back = cursor.at
    if cursor.take_any({"tog", "together"}):
        return n or 2
    cursor.take("-")
    if cursor.take_any({"dec", "decrease"}):
        return cursor.number() or 2
    cursor.pass_over({"the", "next"} if cursor.is_at("next") or cursor.is_at("the") else set())
    legs = cursor.number()
    if legs is not None:
        cursor.pass_over({"-"})
        cursor.take_any(ST)
        if cursor.take_any({"tog", "together"}):
            return legs
    cursor.at = back
    return None


def where(cursor: Cursor, stop: int) -> Place | None:
    """Take a place behind a stitch, with or without "in"."""
    back = cursor.at
    cursor.pass_over({"evenly", "loosely"})
    taken = loop(cursor) if cursor.peek().text in {"blo", "flo", "through"} else None
    if taken is not None:
        back = cursor.at
    if cursor.take_any({"all", "together"}) and cursor.peek().text not in INTO:
        cursor.at = back
    if cursor.take_any(INTO) or cursor.peek().text in _PLACED:
        place = place_after_into(cursor)
    else:
        place = None
        leave_back = cursor.at
        leave = take_until(cursor)
        if leave is not None:
            return Place(order="across", each=True, leave=leave or None)
        cursor.at = leave_back
    if place is None:
        cursor.at = back
        return None
    return _until(cursor, place)


def _until(cursor: Cursor, place: Place) -> Place:
    """Add "across" or "to last 3 sts" behind a place."""
    if place.order != "next" or not place.each:
        return place
    leave = take_until(cursor)
    if leave is None:
        return place
    return Place(order="across", each=True, leave=leave or None)
