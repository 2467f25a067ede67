"""Where a stitch goes: in next 3 sts, in 4th ch from hook, in top of turning ch, across."""

from typing import Final

from core.reading.acts import Place
from core.reading.cursor import Cursor

ST: Final = frozenset({"st", "sts", "stitch", "stitches"})
CH: Final = frozenset({"ch", "chs", "chain", "chains"})
_SPACE: Final = frozenset({"sp", "sps", "space", "spaces"})
INTO: Final = frozenset({"in", "into", "over", "on", "at", "through"})


def take_noun(cursor: Cursor) -> bool:
    """Take a word for stitches or chains, or a stitch's name that stands for them."""
    if cursor.take_any(ST) or cursor.take_any(CH):
        return True
    at = cursor.at
    if cursor.stitch() is not None:
        cursor.take_any(ST)
        return True
    cursor.at = at
    return False


def take_turning_chain(cursor: Cursor) -> bool:
    """Take a name of the turning chain: turning ch, tch, t-ch, beg ch-3."""
    at = cursor.at
    cursor.pass_over({"the", "prev", "previous"})
    cursor.take_any({"previous"})
    for words in (("tch",), ("t", "ch"), ("turning", "ch"), ("turning", "chain"), ("turn", "ch")):
        if cursor.take(*words):
            _after_turning(cursor)
            return True
    begun = bool(cursor.take_any({"beg", "beginning", "starting", "skipped", "missed"}))
    n = cursor.number()
    begun = bool(cursor.take_any({"skipped", "missed"})) or (begun and n is None)
    if cursor.take_any(CH) and not cursor.is_at("sp"):
        cursor.take("-")
        has_number = cursor.number() is not None
        if (has_number or begun) and cursor.peek().text not in _SPACE | {"-"}:
            _after_turning(cursor)
            return True
    cursor.at = at
    return False


def _after_turning(cursor: Cursor) -> None:
    """Take "-3" and "of the row below" behind a turning chain."""
    at = cursor.at
    if cursor.take("-") and cursor.number() is None:
        cursor.at = at
    at = cursor.at
    cursor.pass_over({"of", "from", "the", "prev", "previous"})
    if not cursor.take_any({"row"}):
        cursor.at = at
        return
    cursor.pass_over({"below"})
    cursor.number()


def place_after_into(cursor: Cursor) -> Place | None:
    """Take what follows in, into or over; None, and nothing taken, if it isn't a place."""
    at = cursor.at
    place = _place(cursor)
    if place is None:
        cursor.at = at
    return place


def _place(cursor: Cursor) -> Place | None:
    cursor.pass_over({"the", "all"})
    if cursor.take_any({"back", "front"}) or cursor.take_any({"blo", "flo", "bl", "fl", "blp"}):
        cursor.pass_over({"loop", "loops", "lp", "lps", "only", "of"})
    place = _hook(cursor) or _turning(cursor) or _same(cursor)
    if place is not None:
        return place
    each = bool(cursor.take_any({"each", "every", "ea"}))
    cursor.pass_over({"of", "the"})
    if cursor.is_at("rest") or cursor.is_at("remaining") or cursor.is_at("rem"):
        return _across(cursor, each=True)
    order = _order(cursor)
    cursor.pass_over({"the", "of"})
    if order is None and cursor.is_at("next"):
        order = "next"
        cursor.take("next")
    n = cursor.number()
    if n is not None and cursor.is_at("-"):  # the 2-ch space: its chains, not how many spaces
        cursor.at -= 1
        n = None
    if order is None:  # in the 3 next sts
        order = _order(cursor)
    space = take_space(cursor)
    if space is not None:
        return Place(order="space", n=space, ordinal=n or 1)
    noun = take_noun(cursor)
    if order is None and n is None and not noun:
        return None
    if order is None and each and (n is None or cursor.is_at("across") or cursor.is_at("to")):
        return _across(cursor, each=True)
    if order is None and n is not None and each:  # each of the 36 sts
        return Place(order="across", n=n, each=True, number_said=True)
    count = n if n is not None else 1
    if each and n is None and order == "next":
        count = 1
    found = Place(order=order or "next", n=count, each=each, number_said=n is not None)  # type: ignore[arg-type]
    return _with_more(cursor, found)


def _with_more(cursor: Cursor, place: Place) -> Place:
    """Add "and top of turning ch" to places that were named."""
    at = cursor.at
    if cursor.take("and"):
        cursor.pass_over({"in", "into"})
        more = _turning(cursor)
        if more is not None:
            return Place(
                order=place.order,
                n=place.n,
                each=place.each,
                number_said=place.number_said,
                also_turning=True,
            )
    cursor.at = at
    return place


def _order(cursor: Cursor) -> str | None:
    word = cursor.take_any({"next", "nxt", "first", "1st", "last", "following", "foll", "center",
                            "centre", "middle"})  # fmt: skip
    if word is None:
        return None
    if word in ("first", "1st"):
        return "first"
    return "last" if word == "last" else "next"


def _hook(cursor: Cursor) -> Place | None:
    at = cursor.at
    first = cursor.ordinal()
    if first is None:
        return None
    last = first
    if cursor.take_any({"and", "to", "-", "&", "through"}):
        cursor.pass_over({"the"})
        last = cursor.ordinal() or 0
    noun = cursor.take_any(CH | ST)
    hook = noun is not None and cursor.take("from")
    if hook:
        cursor.pass_over({"the", "your", "hook"})
    named = hook or (noun in CH and first > 1 and not cursor.is_at("of"))
    if named and last >= first:
        n = last - first + 1
        return Place(order="hook", ordinal=first, n=n, number_said=n > 1)
    cursor.at = at
    return None


def _turning(cursor: Cursor) -> Place | None:
    at = cursor.at
    cursor.pass_over({"the"})
    ordinal = cursor.ordinal()
    if ordinal is not None:
        if cursor.take_any(CH | ST):
            cursor.pass_over({"of", "the", "skipped", "missed"})
            if take_turning_chain(cursor):
                return Place(order="turning", ordinal=ordinal)
        cursor.at = at
        cursor.pass_over({"the"})
    if cursor.take("top"):
        if cursor.take("st") or cursor.take("stitch"):
            return Place(order="last")
        cursor.pass_over({"ch", "chain"} if cursor.peek(1).text == "of" else set())
        cursor.pass_over({"of", "the"})
        if take_turning_chain(cursor) or cursor.take_any(CH):
            return Place(order="turning")
        cursor.at = at
        return None
    if take_turning_chain(cursor):
        return Place(order="turning")
    cursor.at = at
    return None


def _same(cursor: Cursor) -> Place | None:
    at = cursor.at
    if cursor.take("same"):
        if not (take_noun(cursor) or cursor.take_any({"place", "spot", "space", "sp"})):
            cursor.at = cursor.at
        mark = cursor.at
        if cursor.take_any({"as", "at"}):
            cursor.pass_over({"the", "last", "base", "of"})
            if not (take_turning_chain(cursor) or take_noun(cursor)):
                cursor.at = mark
        return Place(order="same")
    if take_noun(cursor):
        cursor.pass_over({"at", "the"})
    if cursor.take_any({"base", "bottom", "foot"}):
        cursor.pass_over({"of", "the"})
        if not take_turning_chain(cursor):
            take_noun(cursor)
            cursor.take_any({"-"})
            cursor.number()
        return Place(order="same")
    cursor.at = at
    return None


def take_space(cursor: Cursor) -> int | None:
    """Take a chain space; return its chains, 0 if they aren't said."""
    at = cursor.at
    n = 0
    if cursor.take_any(CH):
        cursor.take("-")
        n = cursor.number() or 0
        cursor.take("-")
    elif cursor.peek().kind == "number":
        n = cursor.number() or 0
        cursor.take("-")
        if not cursor.take_any(CH):
            cursor.at = at
            return None
        cursor.take("-")
    if cursor.take_any(_SPACE):
        return n
    cursor.at = at
    return None


def _across(cursor: Cursor, *, each: bool) -> Place:
    """Take the end of "each st across", "each st to last 3 sts"."""
    cursor.pass_over({"rest", "remaining", "rem", "of", "the"})
    n = cursor.number()
    take_noun(cursor)
    cursor.pass_over({"of"} if cursor.peek(1).text in {"the", "row"} else set())
    leave = take_until(cursor)
    if leave is None and n is not None:
        return Place(order="across", n=n, each=each, number_said=True)
    return Place(order="across", each=each, leave=leave if leave else None)


def take_until(cursor: Cursor) -> int | None:
    """Take across, to end, to last 3 sts; return the places left, 0 for none, None for no such.

    "To last st" leaves one.
    """
    at = cursor.at
    if cursor.take_any({"across", "along"}):
        at = cursor.at
        if cursor.peek().text in {"the", "row", "rest", "entire", "this"}:
            cursor.pass_over({"the", "row", "this", "rest", "of", "entire"})
        until = cursor.peek().text in {"to", "until", "till"}
        leave = take_until(cursor) if until else None
        return leave if leave is not None else 0
    if cursor.take("all", "the", "way") or cursor.take("all", "way"):
        cursor.pass_over({"across", "along", "to", "the", "end", "row"})
        return 0
    if not cursor.take_any({"to", "until", "till", "within"}):
        return None
    cursor.pass_over({"within", "the", "you", "reach", "there", "are", "is", "only"})
    if cursor.take("end"):
        if cursor.take("of"):
            cursor.pass_over({"the", "row", "this"})
        return 0
    n = cursor.number()
    if cursor.take("last"):
        n = cursor.number() if n is None else n
        n = 1 if n is None else n
        if not take_noun(cursor):
            take_turning_chain(cursor)
        cursor.pass_over({"remain", "remains", "left", "remaining"})
        return n
    if n is not None and take_noun(cursor):
        cursor.pass_over({"remain", "remains", "are", "left", "remaining", "from", "end", "the"})
        return n
    cursor.at = at
    return None
