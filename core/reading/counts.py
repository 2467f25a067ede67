"""What a chain is said to count as, and the count at a row's end."""

from typing import Final

from core.reading.acts import Act, Count, Counts
from core.reading.cursor import Cursor
from core.reading.places import CH, ST
from core.reading.tokens import Token

COUNTING: Final = frozenset({"count", "counts", "counting", "counted"})
_NOT: Final = frozenset({"not", "doesn't", "don't", "never", "isn't"})
_SKIPPED: Final = frozenset({"skipped", "missed"})


def counts_of(tokens: list[Token]) -> Counts | None:
    """Return what words like "the 3 skipped ch count as 1 dc" say, None if they don't count."""
    number = next((n for n, token in enumerate(tokens) if token.text in COUNTING), None)
    if number is None:
        return None
    start, end = tokens[0].start, tokens[-1].end
    left, right = tokens[:number], tokens[number + 1 :]
    said = {token.text for token in left}
    if _NOT & {token.text for token in tokens}:
        return Counts(start=start, end=end, said=None)
    cursor = Cursor(right)
    cursor.pass_over({"as", "a", "an", "the", "first", "1", "one", "beg", "your", "-"})
    numbers = [token.value for token in left if token.kind == "number"]
    stitch, over = cursor.stitch(), 1
    if stitch is None and _SKIPPED & said:
        chains = _only_chains(left, right, numbers)
        if chains:
            return Counts(start=start, end=end, said=None, only_chains=chains)
    legs = cursor.number() if stitch else None
    if legs and cursor.take_any({"tog", "together"}):
        over = legs
    return Counts(
        start=start,
        end=end,
        said=stitch or "",
        over=over,
        chains=_chains_besides(cursor),
        own=_own(left, numbers),
        joins=over > 1,
        whole_row=bool(CH & said) and not said & {*_SKIPPED, "turning", "this", "first", "beg"},
    )


def _only_chains(left: list[Token], right: list[Token], numbers: list[int]) -> int:
    """Return how many skipped chains are stitches of their own: "the 2 skipped ch count as sts"."""
    if right and right[-1].text in {"sts", "stitches"}:
        return numbers[0] if numbers else 1
    is_part = any(token.text == "of" for token in left)
    if right and right[-1].text in ST and right[-2:-1] and right[-2].text == "a":
        if is_part and numbers:
            return numbers[0]
        return 0 if numbers else 1
    return 0


def _own(left: list[Token], numbers: list[int]) -> int | None:
    """Return how many of the skipped chains count: "the first 4 of the 5 skipped ch"."""
    words = [token.text for token in left]
    if "first" not in words or "of" not in words:
        return None
    after = words.index("first") + 1
    return left[after].value if left[after].kind == "number" and numbers else 1


def _chains_besides(cursor: Cursor) -> int:
    cursor.pass_over({"and", "+", ",", "plus", "st", "a"})
    if cursor.take_any(CH):
        cursor.take("-")
        return cursor.number() or 1
    n = cursor.number()
    return n if n is not None and cursor.take_any(CH) else 0


def count_of(tokens: list[Token]) -> Count | None:
    """Return the stitches that words like "36 sts, 3 of them ch" give a row."""
    cursor = Cursor(tokens)
    cursor.pass_over({"total", "of", "=", "-", "you", "will", "have", "a", ":", "there", "are"})
    first = cursor.number()
    if first is None:
        return None
    if cursor.is_done:
        return Count(start=tokens[0].start, end=tokens[-1].end, n=first)
    if not (cursor.take_any(ST) or cursor.stitch()):
        return None
    cursor.take_any(ST)
    spaces = 0
    chains: int | None = None
    while True:
        cursor.pass_over({",", "and", "&", "+", "total", "in", "all", "made", "across", "now",
                          "each", "row", "remain", "with", "for", "this", "on", "per"})  # fmt: skip
        if cursor.at >= len(tokens):
            break
        n = cursor.number()
        if n is None:
            return None
        if cursor.take("of", "them"):
            cursor.pass_over({"are", "a"})
            chains = n
            cursor.pass_over(CH)
        elif cursor.take_any(CH):
            cursor.take("-")
            cursor.number()
            cursor.take("-")
            cursor.take_any({"sp", "sps", "space", "spaces"})
            spaces += n
        elif cursor.stitch():
            first += n
        else:
            return None
    return Count(start=tokens[0].start, end=tokens[-1].end, n=first, chains=chains, spaces=spaces)


def is_plain_remark(tokens: list[Token]) -> bool:
    """Return whether words in brackets only tell the side that faces or the like."""
    words = {token.text for token in tokens}
    return bool(words & {"rs", "ws", "side", "facing", "note"})


__all__ = ["COUNTING", "Act", "count_of", "counts_of", "is_plain_remark"]
