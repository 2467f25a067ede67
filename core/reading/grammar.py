"""A row's words into acts, by recursive descent; depth and steps are bounded.

Whatever can't be read becomes an `Unread` act that says what was expected, and reading goes
on at the next comma, so nothing typed is lost and one strange word hides no other.
"""

from collections.abc import Sequence
from typing import Final

from core.reading.acts import (
    Act,
    Chain,
    Count,
    Counts,
    Mark,
    Place,
    Remark,
    Repeated,
    Skip,
    Unread,
    Work,
)
from core.reading.asides import REPEAT, counting, leave, like_row, loop, turn, yarn
from core.reading.counts import count_of, counts_of, is_plain_remark
from core.reading.cursor import Cursor
from core.reading.how_often import (
    MAX_TIMES,
    plain_times,
    times_follow,
    times_in_a_row,
    times_in_all,
    times_of_star,
)
from core.reading.names import NOT_DRAWN, TIMES
from core.reading.places import CH, INTO, ST, place_after_into, take_until
from core.reading.singles import chain, legs_of, skip, where
from core.reading.tokens import Token
from core.records import replace

MAX_DEPTH: Final = 8

_BREAKS: Final = frozenset({",", ";", ".", ":", "and", "then", "now", "&", "+", "-", '"', "“", "”",
                            "/", "=", "!", "next,", "x"})  # fmt: skip
_STOPS: Final = frozenset({",", ";", ".", "(", ")", "[", "]", "*", "**", "rep", "repeat"})
_FILL: Final = frozenset({"work", "works", "worked", "make", "place", "ending", "end", "finish",
                          "finishing", "also", "again", "you", "begin", "beginning", "beg",
                          "starting", "start", "continue", "with", "by", "working", "but", "a",
                          "an", "another", "crochet", "only", "put", "rnd", "row"})  # fmt: skip
_STITCH: Final = "a stitch such as dc, a number, ch, skip, turn, a bracket or *"
_PLAIN: Final = (
    "plain stitches, since raised and clustered ones aren't drawn. Write the plain stitch that "
    "stands in its place"
)


def read_row(text: str, tokens: Sequence[Token]) -> tuple[Act, ...]:
    """Return the acts of one row's words (without its label); line ends are passed over."""
    words = [token for token in tokens if token.kind != "line"]
    return _Reader(text, _with_signs(words)).row()


def _with_signs(tokens: list[Token]) -> list[Token]:
    """Return the tokens with "start of repeat" and "end of repeat" as the asterisks they are."""
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        words = [token.text for token in tokens[at : at + 3]]
        if words in (["start", "of", "repeat"], ["end", "of", "repeat"]):
            found.append(Token("sign", "*", tokens[at].start, tokens[at + 2].end))
            at += 3
        else:
            found.append(tokens[at])
            at += 1
    return found


class _Reader:
    def __init__(self, text: str, tokens: list[Token]) -> None:
        self._text = text
        self._cursor = Cursor(tokens)
        self._closing = _closings(tokens)
        self._last_work: Work | None = None
        self._has_worked = False

    def row(self) -> tuple[Act, ...]:
        return self._acts(len(self._cursor.tokens), 0, in_star=False)

    # lists of acts

    def _acts(self, stop: int, depth: int, *, in_star: bool) -> tuple[Act, ...]:
        """Read acts up to token number `stop`, in a star up to its end."""
        cursor, found = self._cursor, list[Act]()
        while True:
            cursor.pass_over(_BREAKS)
            if cursor.at >= stop:
                cursor.at = min(cursor.at, stop)
                return tuple(found)
            if in_star and (cursor.is_at("*") or self._is_rep()):
                return tuple(found)
            if self._all_in(found):
                continue
            before = cursor.at
            found.append(self._act(stop, depth, in_star=in_star))
            if cursor.at == before:  # an act takes something, whatever happens
                cursor.at += 1

    def _all_in(self, found: list[Act]) -> bool:
        """Put "1 dc then ch 1 then 1 dc" into the one place told behind: "all in the next st"."""
        cursor = self._cursor
        if not (cursor.is_at("all") and cursor.peek(1).text in INTO and found):
            return False
        first = len(found) - 1
        while first > 0 and self._text[found[first - 1].end : found[first].start].strip() == "then":
            first -= 1
        made: list[str] = []
        for act in found[first:]:
            if isinstance(act, Chain):
                made += ["ch"] * act.n
            elif isinstance(act, Work) and act.is_bare and act.over == 1:
                made += list(act.made) * (act.times or 1)
            else:
                return False
        back = cursor.at
        cursor.at += 2
        place = place_after_into(cursor)
        if place is None or len(made) > MAX_TIMES:
            cursor.at = back
            return False
        start = found[first].start
        found[first:] = [Work(start=start, end=cursor.end, made=tuple(made), place=place)]
        return True

    def _act(self, stop: int, depth: int, *, in_star: bool) -> Act:
        cursor = self._cursor
        token = cursor.peek()
        if depth > MAX_DEPTH:
            return self._unread(stop, f"brackets not more than {MAX_DEPTH} deep")
        if token.text in ("(", "["):
            return self._bracket(stop, depth)
        if token.text.startswith("*"):
            return self._star(stop, depth, in_star=in_star)
        often = times_in_a_row(cursor)
        if often is not None and cursor.at < stop:
            inner = self._act(stop, depth + 1, in_star=in_star)
            return Repeated(start=token.start, end=inner.end, body=(inner,), times=often)
        aside = self._aside(stop)
        if aside is not None:
            return aside
        if self._is_rep():
            return self._unread(stop, "a * before the words that are repeated")
        start = cursor.start
        cursor.pass_over(_FILL)
        act = None
        if cursor.peek().text in ("(", "[") and cursor.at < stop:
            act = self._bracket(stop, depth)
        else:
            act = loop(cursor) or skip(cursor) or chain(cursor) or self._work(stop)
        if act is not None:
            return replace(act, start=start)
        if cursor.at >= stop:
            return Remark(start=start, end=cursor.end)
        known = self._cursor.peek().text.split("-")[0] in NOT_DRAWN
        return self._unread(stop, _PLAIN if known else _STITCH)

    def _aside(self, stop: int) -> Act | None:
        cursor = self._cursor
        same = like_row(cursor, stop)
        self._has_worked = self._has_worked or same is not None
        return (
            same
            or yarn(cursor, self._text, stop)
            or loop(cursor)
            or leave(cursor, stop)
            or turn(cursor)
            or counting(cursor, stop)
            or self._end_count(stop)
        )

    def _unread(self, stop: int, expected: str) -> Unread:
        cursor = self._cursor
        start = cursor.start
        cursor.at += 1
        while cursor.at < stop and cursor.peek().text not in _STOPS:
            cursor.at += 1
        return Unread(start=start, end=cursor.end, expected=expected)

    # brackets

    def _bracket(self, stop: int, depth: int) -> Act:
        cursor = self._cursor
        close, start = self._closing.get(cursor.at), cursor.start
        if close is None or close >= stop:
            sign = cursor.peek().text
            cursor.at += 1
            return Unread(start=start, end=cursor.end, expected=f"a bracket that closes {sign}")
        inside = cursor.tokens[cursor.at + 1 : close]
        opened = cursor.at + 1
        cursor.at = close + 1
        after = cursor.at
        if times_follow(cursor):
            cursor.at = opened
            body = self._acts(close, depth + 1, in_star=False)
            cursor.at = after
            return self._times(body, start) or Remark(start=start, end=cursor.end)
        if not inside:
            return Remark(start=start, end=cursor.end)
        remark = self._remark(inside, start, cursor.end)
        if remark is not None:
            return remark
        cursor.pass_over({"all", "together", "both"})
        if cursor.take_any(INTO) and cursor.at < stop:
            place = place_after_into(cursor)
            made = self._pieces(opened, close, depth)
            if place is not None and made:
                self._has_worked = True
                return self._suffixed(
                    Work(start=start, end=cursor.end, made=made, place=place), stop
                )
            cursor.at = after
            return Unread(start=start, end=cursor.end, expected="stitches and chains in one place")
        cursor.at = opened
        body = self._acts(close, depth + 1, in_star=False)
        cursor.at = after
        if any(isinstance(act, Work | Skip | Chain | Repeated) for act in body):
            return Repeated(start=start, end=cursor.end, body=body, times=1)
        return Remark(start=start, end=cursor.end)

    def _remark(self, inside: Sequence[Token], start: int, end: int) -> Act | None:
        tokens = list(inside)
        counts = counts_of(tokens)
        if counts is not None:
            return replace(counts, start=start, end=end, whole_row=False)
        count = count_of(tokens)
        if count is not None and self._cursor.peek().text not in INTO:
            return replace(count, start=start, end=end)
        return Remark(start=start, end=end) if is_plain_remark(tokens) else None

    def _pieces(self, opened: int, close: int, depth: int) -> tuple[str, ...]:
        """Return what goes into one place; empty if it can't be read."""
        cursor = self._cursor
        back, cursor.at = cursor.at, opened
        made: list[str] = []
        while True:
            cursor.pass_over(_BREAKS | {"work", "make", "a"})
            if cursor.at >= close:
                break
            inner = self._closing.get(cursor.at)
            if inner is not None and inner < close and depth < MAX_DEPTH:
                again = self._pieces(cursor.at + 1, inner, depth + 1)
                cursor.at = inner + 1
                made += again * min(plain_times(cursor) or 1, MAX_TIMES)
                continue
            n = cursor.number()
            cursor.take("-")
            if cursor.take_any(CH):
                cursor.take("-")
                made += ["ch"] * min(n or cursor.number() or 1, MAX_TIMES)
            else:
                stitch = cursor.stitch()
                if stitch is None:
                    made = []
                    break
                made += [stitch] * min(n or 1, MAX_TIMES)
            if len(made) > MAX_TIMES:
                made = []
                break
        cursor.at = back
        return tuple(made[:MAX_TIMES])

    # how often

    def _times(self, body: tuple[Act, ...], start: int) -> Act | None:
        """Read how often a body is worked, right behind it."""
        cursor = self._cursor
        n = plain_times(cursor)
        if n is not None:
            if cursor.take("more"):
                n += 1
            cursor.take("in", "all")
            if cursor.is_at("("):
                times_in_all(cursor)
            return Repeated(start=start, end=cursor.end, body=body, times=n)
        leave = take_until(cursor)
        if leave is None:
            return None
        return Repeated(
            start=start,
            end=cursor.end,
            body=body,
            to_last=leave or None,
            across=not leave,
        )

    # stars

    def _is_rep(self) -> bool:
        cursor = self._cursor
        if cursor.peek().text not in REPEAT:
            return False
        following = cursor.peek(1).text
        if following in {"from", "between", "across", "to", "*", "until", "all", "the", "this"}:
            return True
        if cursor.peek(1).kind == "ordinal":
            return False
        return following not in {"row", "rows", "last", "these"}

    def _star(self, stop: int, depth: int, *, in_star: bool) -> Act:
        cursor = self._cursor
        start = cursor.start
        sign = cursor.peek().text
        cursor.at += 1
        if in_star:
            return Mark(start=start, end=cursor.end)
        body = self._acts(stop, depth + 1, in_star=True) if sign else ()
        closed = cursor.take("*")
        back = cursor.at
        cursor.pass_over(_BREAKS)
        if self._is_rep():
            return self._rep(body, start, stop)
        cursor.at = back
        cursor.take(",")
        if closed and times_follow(cursor):
            whole = self._times(body, start)
            if isinstance(whole, Repeated):
                return replace(whole, marked=True)
        cursor.at = back
        if any(isinstance(act, Work | Skip | Chain | Repeated) for act in body):
            self._last_work = None
            return Repeated(start=start, end=cursor.end, body=(*body, Unread(
                start=start, end=start + 1,
                expected="the words that end the repeat, such as: repeat from * to last 3 sts",
            )), times=1)  # fmt: skip
        return Remark(start=start, end=cursor.end)

    def _rep(self, body: tuple[Act, ...], start: int, stop: int) -> Act:
        cursor = self._cursor
        cursor.at += 1
        cursor.pass_over({"from", "between", "the", "this", "section", "instructions", "step"})
        stars = 0
        while cursor.take_any({"*", "**", "to", "and", "-", "s", "stars", "star", "asterisks",
                               "asterisk"} if stars < 4
                              else set()):  # fmt: skip
            stars += 1
            if cursor.peek(-1).text == "to" and not cursor.peek().text.startswith("*"):
                cursor.at -= 1
                break
        cursor.pass_over({",", "again"} if cursor.peek(1).text != "ending" else set())
        whole = Repeated(start=start, end=cursor.end, body=body, marked=True)
        n, other = times_of_star(cursor)
        if n is not None:
            in_all = times_in_all(cursor)
            if in_all is not None:
                n, other = in_all, None
            ending, last = self._ending_at(stop)
            return replace(
                whole, end=cursor.end, times=n, or_times=other, ending=ending, last_until=last
            )
        leave = take_until(cursor)
        if leave:
            return replace(whole, end=cursor.end, to_last=leave)
        stops = leave == 0 or cursor.peek().text in (",", ";", ".", "", "(")
        ending, last = self._ending_at(stop)
        if stops or ending or last:
            return replace(whole, end=cursor.end, across=True, ending=ending, last_until=last)
        strange = self._unread(stop, "how often it is repeated, such as: to last 3 sts")
        return replace(whole, body=(*body, strange), end=cursor.end, times=1)

    def _ending_at(self, stop: int) -> tuple[tuple[Act, ...], bool]:
        """Take "ending last rep at **" or "ending last rep with 2 dc in last st"."""
        cursor = self._cursor
        back = cursor.at
        cursor.pass_over({",", ";"})
        if not cursor.take_any({"ending", "end", "finishing", "finish"}):
            cursor.at = back
            return (), False
        last = cursor.take_any({"last", "final"}) is not None
        cursor.pass_over({"rep", "repeat", "the"})
        if cursor.take_any({"at", "with", "on", "in", "after"}):
            cursor.pass_over({"a"})
        if cursor.take("**") or cursor.take("*"):
            return (), True
        if not last:
            cursor.at = back
            return (), False
        until = cursor.at
        while until < stop and cursor.tokens[until].text not in (".", "*"):
            if cursor.tokens[until].text == "(" and count_of(
                list(cursor.tokens[until + 1 : self._closing.get(until, until + 1)])
            ):
                break
            until += 1
        return self._acts(until, 1, in_star=False), False

    # single acts

    def _end_count(self, stop: int) -> Act | None:
        """Take "36 sts" where it ends a row outside brackets."""
        cursor = self._cursor
        at = cursor.at
        cursor.pass_over({"total", "of", "=", "-", "you", "will", "have", "should", "there", "are"})
        if cursor.peek().kind != "number" or cursor.at >= stop:
            cursor.at = at
            return None
        end = cursor.at
        while end < min(stop, at + 12) and cursor.tokens[end].text not in {".", ";", "(", "["}:
            end += 1
        tokens = list(cursor.tokens[cursor.at : end])
        is_last = all(token.text in {".", ";"} for token in cursor.tokens[end:stop])
        count = count_of(tokens)
        named = len(tokens) > 1 and tokens[1].text in ST
        before = cursor.tokens[at - 1].text if at else ""
        named = named or (len(tokens) > 1 and (before in {".", "-", "="} or at < cursor.at))
        if count is None or not is_last or not named or not self._has_worked:
            cursor.at = at
            return None
        start = cursor.start
        cursor.at = end
        return replace(count, start=start)

    # stitches

    def _work(self, stop: int) -> Act | None:
        cursor = self._cursor
        start, back = cursor.start, cursor.at
        n = cursor.number()
        if n is not None:
            cursor.take("-")
        if n is None and self._last_work is not None and cursor.take_any({"in", "into"}):
            place = place_after_into(cursor)  # "and in each of next 5": what was worked before
            if place is not None:
                again = replace(self._last_work, start=start, end=cursor.end, place=place,
                                times=None, is_bare=False)  # fmt: skip
                return self._suffixed(again, stop)
            cursor.at = back
            return None
        said = cursor.stitch()
        if said is None:
            if cursor.take_any({"inc", "increase"}):
                return self._placed(("",) * 2, 1, start, stop)
            if cursor.take_any({"dec", "decrease"}):
                return self._placed(("",), 2, start, stop)
            if n is not None and cursor.take_any({"tog", "together"}):
                return self._placed(("",), n, start, stop)
            if (
                n is not None
                and cursor.take_any({"sts", "st"})
                and cursor.take_any({"tog", "together"})
            ):
                return self._placed(("",), n, start, stop)
            cursor.at = back
            return None
        legs = legs_of(cursor, n)
        if legs is not None:
            many = n if n is not None and legs != n else 1
            return self._placed((said,), legs, start, stop, times=many)
        cursor.take("-")
        if cursor.take_any({"inc", "increase"}):
            return self._placed((said,) * 2, 1, start, stop, times=n)
        if cursor.take_any({"shell", "fan", "sh", "group"}):
            return self._placed((said,) * min(n or 1, 50), 1, start, stop)
        if n is not None and cursor.take_any({"cl", "cluster", "clus"}):
            return self._placed((said,), n, start, stop)
        return self._many(said, n, start, stop)

    def _many(self, said: str, n: int | None, start: int, stop: int) -> Act:
        cursor = self._cursor
        back = cursor.at
        if n is None and (after := cursor.number()) is not None:  # sc 10
            cursor.take_any(ST)
            if cursor.at >= stop or cursor.peek().text in _STOPS:
                n = after
            else:
                cursor.at = back
        place = where(cursor, stop)
        if place is None:
            work = Work(start=start, end=cursor.end, made=(said,), times=n or 1, is_bare=True)
        else:
            made = (said,) * min(n or 1, MAX_TIMES)
            work = Work(start=start, end=cursor.end, made=made, place=place)
        self._last_work = work
        return self._suffixed(work, stop)

    def _placed(
        self, made: tuple[str, ...], over: int, start: int, stop: int, times: int | None = None
    ) -> Act:
        place = where(self._cursor, stop)
        work = Work(
            start=start,
            end=self._cursor.end,
            made=made,
            over=max(over, 1),
            place=place or Place(),
            times=(times or 1) if place is None else None,
            is_bare=place is None,
        )
        if place is not None and times is not None and times > 1:
            work = replace(work, times=times)
        self._last_work = work
        return self._suffixed(work, stop)

    def _suffixed(self, work: Work, stop: int) -> Act:
        """Take loops and "twice" behind a stitch."""
        cursor = self._cursor
        if cursor.peek().text in {"in", "through", "working", "blo", "flo"}:
            loop(self._cursor)
        work = replace(work, end=cursor.end)
        self._last_work, self._has_worked = work, True
        back = cursor.at
        if cursor.take(",") and cursor.peek().text not in TIMES:
            cursor.at = back
        n = plain_times(cursor)
        elsewhere = cursor.is_at("more") or cursor.is_at("in", "a", "row")
        if n is not None and cursor.at <= stop and not elsewhere:
            return Repeated(start=work.start, end=cursor.end, body=(work,), times=n)
        cursor.at = back
        return work


def _closings(tokens: Sequence[Token]) -> dict[int, int]:
    """Return for each bracket that opens the number of the one that closes it."""
    pairs = {")": "(", "]": "["}
    found: dict[int, int] = {}
    opened: list[int] = []
    for number, token in enumerate(tokens):
        if token.text in ("(", "["):
            opened.append(number)
        elif token.text in pairs:
            while opened:
                start = opened.pop()
                if tokens[start].text == pairs[token.text]:
                    found[start] = number
                    break
    return found


__all__ = ["Count", "Counts", "read_row"]
