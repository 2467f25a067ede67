"""What stands in a row beside its stitches: loops, yarns, the turn, what is left, what counts.

Each function takes its words from a cursor and returns the act they make; it leaves the cursor
where it was and returns None if other words come.
"""

from typing import Final

from core.reading.acts import Act, Leave, LikeRow, Loop, Remark, Turn, Yarn
from core.reading.counts import COUNTING, counts_of
from core.reading.cursor import Cursor
from core.reading.places import CH, take_noun, take_space

_LOOPS: Final = {"back": "back", "front": "front", "blo": "back", "flo": "front", "bl": "back",
                 "fl": "front", "both": "both", "blp": "back", "flp": "front"}  # fmt: skip
_LOOP_WORDS: Final = frozenset({"loop", "loops", "lp", "lps"})
_STOPS: Final = frozenset({",", ";", ".", "(", ")", "[", "]", "*", "**", "rep", "repeat"})
REPEAT: Final = frozenset({"rep", "reps", "repeat", "repeating"})


def like_row(cursor: Cursor, stop: int) -> Act | None:
    """Take words that a row is worked as another: "as row 2", "rep rows 2-3 until 20"."""
    back, start = cursor.at, cursor.start
    cursor.pass_over({"work", "same", "worked", "exactly", "just"})
    said = cursor.take_any({"as", "like", *REPEAT})
    if said is None:
        cursor.at = back
        return None
    cursor.pass_over({"for", "in", "the", "these", "of", "pattern"})
    is_last = cursor.take_any({"last", "previous", "prev", "these"}) is not None
    n = cursor.number() if is_last else None
    ordinals: list[int] = []
    while (nth := cursor.ordinal()) is not None:
        ordinals.append(nth)
        cursor.pass_over({"and", "&", ",", "to", "-"})
    if not cursor.take_any({"row", "rows", "r", "rs"}):
        cursor.at = back
        return None
    if ordinals:
        first, last = min(ordinals), max(ordinals)
    elif is_last:
        first, last = 0, n or 1
    else:
        numbers = _row_numbers(cursor)
        if not numbers:
            cursor.at = back
            return None
        first, last = min(numbers), max(numbers)
    until, last_as = _to_which_row(cursor, stop, last - first + 1 if first else last)
    return LikeRow(
        start=start, end=cursor.end, first=first, last=last, until=until, last_as=last_as
    )


def _row_numbers(cursor: Cursor) -> list[int]:
    numbers = []
    while (n := cursor.number()) is not None:
        numbers.append(n)
        back = cursor.at
        cursor.pass_over({"-", "to", "and", "&", ",", "through", "row"})
        if cursor.peek().kind != "number":
            cursor.at = back
            break
    return numbers


def _to_which_row(cursor: Cursor, stop: int, period: int) -> tuple[int | None, int | None]:
    """Take the rest of the words up to a bracket with the count."""
    until = last_as = None
    while cursor.at < stop and not cursor.is_at("("):
        if cursor.take("until"):
            cursor.pass_over({"a", "total", "of", "you", "have"})
            n = cursor.number()
            if n is not None and cursor.take_any({"row", "rows"}):
                until = n
        elif cursor.take("last", "is", "worked", "as", "row"):
            last_as = cursor.number()
        elif cursor.peek().text in ("changing", "change", "with"):
            break
        else:
            cursor.at += 1
    return until, last_as


def yarn(cursor: Cursor, text: str, stop: int) -> Act | None:
    """Take words on yarns: changing, joining, fastening off."""
    start, back = cursor.start, cursor.at
    if cursor.take("fasten", "off") or cursor.take("weave", "in") or cursor.take("break", "off"):
        _to_break(cursor, stop)
        return Remark(start=start, end=cursor.end)
    if cursor.take_any({"changing", "change"}):
        cursor.pass_over({"color", "colour", "yarn"})
        if not cursor.take("to"):
            _to_break(cursor, stop)
            return Remark(start=start, end=cursor.end)
        return Yarn(name=_name(cursor, text, stop), after=True, start=start, end=cursor.end)
    if cursor.take_any({"join", "joining", "using"}) or cursor.take("with"):
        cursor.pass_over({"yarn", "color", "colour", "new"})
        ahead = cursor.at
        if cursor.stitch() is not None or cursor.number() is not None:
            cursor.at = back
            return None
        cursor.at = ahead
        if cursor.peek().text in {"rs", "ws", "right", "wrong", "next", "last", "a", "the"}:
            cursor.at = back
            return None
        return Yarn(name=_name(cursor, text, stop), after=False, start=start, end=cursor.end)
    if cursor.take_any({"cut", "drop", "carry", "pick", "break"}):
        _to_break(cursor, stop)
        return Remark(start=start, end=cursor.end)
    return None


def _name(cursor: Cursor, text: str, stop: int) -> str:
    """Take a yarn's name, up to a comma or the words on where it changes."""
    first = cursor.start
    end = first
    while cursor.at < stop and cursor.peek().text not in {",", ";", ".", ":"}:
        if cursor.peek().text in ("on", "in", "at") and cursor.peek(1).text in {"last", "the"}:
            _to_break(cursor, stop)
            break
        cursor.at += 1
        end = cursor.end
    back = cursor.at
    cursor.pass_over({","})
    if cursor.is_at("ready", "for"):
        _to_break(cursor, stop)
    else:
        cursor.at = back
    return text[first:end].strip()


def _to_break(cursor: Cursor, stop: int) -> None:
    while cursor.at < stop and cursor.peek().text not in {",", ";", ".", ":", "("}:
        cursor.at += 1


def loop(cursor: Cursor) -> Act | None:
    """Take words on loops: working in back loops only, blo, last st through both loops."""
    start, back = cursor.start, cursor.at
    last = False
    cursor.take("the")
    if cursor.take_any({"last"}) and take_noun(cursor):
        last = True
    cursor.pass_over({"working", "work", "worked", "in", "into", "through", "thru", "the"})
    word = cursor.take_any(_LOOPS)
    named = word in ("blo", "flo")
    if word is not None:
        named = bool(cursor.take_any(_LOOP_WORDS)) or named or word in ("blp", "flp")
    if word is None or not named:
        cursor.at = back
        return None
    cursor.pass_over({"only", "throughout", "of", "each", "st"} if not cursor.is_at("of")
                     else set())  # fmt: skip
    if cursor.is_at("of"):
        cursor.at = back
        return None
    at = cursor.at
    cursor.pass_over({",", "the"})
    last_both = False
    if cursor.take_any({"last"}) and take_noun(cursor):
        cursor.pass_over({"through", "in", "into", "worked"})
        if cursor.take("both") and cursor.take_any(_LOOP_WORDS):
            last_both = True
    if not last_both:
        cursor.at = at
    if last:
        return Loop(start=start, end=cursor.end, work_in="both", last_both=True)
    work_in = _LOOPS[word]
    return Loop(start=start, end=cursor.end, work_in=work_in, last_both=last_both)  # type: ignore[arg-type]


def leave(cursor: Cursor, stop: int) -> Act | None:
    """Take words on what is left unworked."""
    start = cursor.start
    if not cursor.take_any({"leave", "leaving"}):
        return None
    cursor.pass_over({"the"})
    n, turning = 0, False
    while cursor.at < stop and cursor.peek().text not in _STOPS | {"unworked"}:
        if cursor.take("turning") or cursor.take("tch") or cursor.take("t", "ch"):
            turning = True
            cursor.pass_over(CH)
        elif cursor.take("last"):
            chains = take_space(cursor)
            if chains is None:
                n += cursor.number() or 1
                take_noun(cursor)
            else:
                n += max(chains, 1)
        elif cursor.peek().kind == "number":
            n += cursor.number() or 0
            take_noun(cursor)
        else:
            cursor.at += 1
    cursor.take("unworked")
    return Leave(start=start, end=cursor.end, n=n, turning=turning)


def turn(cursor: Cursor) -> Act | None:
    """Take the turn."""
    start = cursor.start
    if cursor.take("do", "not", "turn") or cursor.take("don't", "turn"):
        return Remark(start=start, end=cursor.end)
    if cursor.peek().text != "turn":
        return None
    cursor.at += 1
    cursor.pass_over({"the", "your", "work", "now"} if cursor.is_at("the") or cursor.is_at(
        "work") or cursor.is_at("your") else set())  # fmt: skip
    return Turn(start=start, end=cursor.end)


def counting(cursor: Cursor, stop: int) -> Act | None:
    """Take words outside brackets that tell what a chain counts as."""
    at = cursor.at
    if cursor.peek().text not in COUNTING | {
        "where",
        "which",
        "the",
        "does",
        "do",
        "this",
        "ch",
        "chain",
        "skipped",
    }:
        return None
    end = at
    while end < min(stop, at + 14) and cursor.tokens[end].text not in _STOPS:
        end += 1
    tokens = list(cursor.tokens[at:end])
    counts = counts_of(tokens)
    if counts is None:
        return None
    words = [token.text for token in tokens]
    number = next(n for n, word in enumerate(words) if word in COUNTING)
    if "turn" in words[:number]:
        return None
    if words[0] in CH:  # ch 3 counts as dc: the chain itself comes first
        return None
    cursor.at = end
    return counts
