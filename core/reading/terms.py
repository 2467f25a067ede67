"""Whether a text is in US or UK terms, guessed from its words, with the reason."""

from collections.abc import Sequence
from typing import Final, Literal

from core.craft.stitches import Terms
from core.reading.cursor import Cursor
from core.reading.names import ONLY_UK, ONLY_US, Said
from core.reading.places import CH
from core.reading.tokens import Token
from core.records import Struct

Sureness = Literal["stated", "sure", "likely", "open"]

_WEAK: Final[dict[str, Terms]] = {
    "miss": "UK", "missed": "UK", "tension": "UK", "yrh": "UK", "colour": "UK",
    "sk": "US", "skip": "US", "skipped": "US", "gauge": "US", "color": "US", "yo": "US",
}  # fmt: skip


class Guess(Struct, frozen=True):
    """The terms a text is likely in.

    Attributes:
        terms: US or UK; where nothing tells, what was asked for.
        sureness: How well that is founded; "open" if nothing tells.
        reason: One sentence.
    """

    terms: Terms
    sureness: Sureness
    reason: str


def guess_terms(tokens: Sequence[Token], otherwise: Terms) -> Guess:
    """Return the terms that the words are in."""
    stated = _stated(tokens)
    if stated is not None:
        return Guess(stated, "stated", f"The text says that it is in {stated} terms.")
    heard = _heard(tokens)
    us, uk = heard & ONLY_US, heard & ONLY_UK
    if us and uk:
        more: Terms = "US" if len(us) >= len(uk) else "UK"
        words = ", ".join(sorted(us | uk))
        return Guess(
            more,
            "open",
            f"It mixes words of both systems ({words}); read as {more}. Choose the right one.",
        )
    if us or uk:
        word = min(us | uk)
        terms: Terms = "US" if us else "UK"
        return Guess(terms, "sure", f"“{word}” is a stitch in {terms} terms only.")
    by_chain = _by_chain(tokens)
    if by_chain is not None:
        return by_chain
    weak = {_WEAK[token.text] for token in tokens if token.text in _WEAK}
    if len(weak) == 1:
        terms = weak.pop()
        word = next(token.text for token in tokens if token.text in _WEAK)
        return Guess(terms, "likely", f"“{word}” is mostly said in {terms} patterns.")
    both = "“tr”" if "tr" in heard else "“dc”"
    return Guess(
        otherwise,
        "open",
        f"{both} is a stitch in both systems, and nothing else tells which is meant; read as "
        f"{otherwise}. Choose the right one.",
    )


def _stated(tokens: Sequence[Token]) -> Terms | None:
    for number, token in enumerate(tokens):
        if token.text not in {"us", "uk", "american", "british", "usa", "english"}:
            continue
        after = [other.text for other in tokens[number + 1 : number + 4]]
        if {"terms", "terminology", "stitches", "abbreviations"} & set(after):
            if {"uk", "us"} <= {token.text, *after}:  # US and UK terms: says nothing
                return None
            return "US" if token.text in {"us", "american", "usa"} else "UK"
    return None


def _heard(tokens: Sequence[Token]) -> set[Said]:
    cursor, heard = Cursor(tokens), set[Said]()
    while not cursor.is_done:
        said = cursor.stitch()
        if said is None:
            cursor.at += 1
        else:
            heard.add(said)
    return heard


def _by_chain(tokens: Sequence[Token]) -> Guess | None:
    """Judge by the chain that stands for a stitch: three for a US dc, which the UK calls tr."""
    cursor = Cursor(tokens)
    while not cursor.is_done:
        said = cursor.stitch()
        if said in ("dc", "tr"):
            guess = _after_stitch(Cursor(tokens[cursor.at : cursor.at + 8]), said)
            if guess is not None:
                return guess
        elif said is None:
            if cursor.take_any(CH):
                cursor.take("-")
                n = cursor.number()
                guess = None
                if n is not None:
                    guess = _after_chain(Cursor(tokens[cursor.at : cursor.at + 8]), n)
                if guess is not None:
                    return guess
            else:
                cursor.at += 1
    return None


_FOR_CHAINS: Final[dict[tuple[Said, int], Terms]] = {
    ("dc", 3): "US", ("dc", 1): "UK", ("tr", 3): "UK", ("tr", 4): "US", ("dc", 2): "US",
}  # fmt: skip


def _after_stitch(cursor: Cursor, said: Said) -> Guess | None:
    """Judge "dc in 4th ch from hook"."""
    if not cursor.take_any({"in", "into"}):
        return None
    cursor.pass_over({"the"})
    ordinal = cursor.ordinal()
    if ordinal is None or not cursor.take_any(CH) or cursor.is_at("of"):
        return None
    terms = _FOR_CHAINS.get((said, ordinal - 1))
    if terms is None:
        return None
    n = ordinal - 1
    return Guess(
        terms,
        "likely",
        f"“{said}” over {n} skipped ch is as tall as a {terms} {said}.",
    )


def _after_chain(cursor: Cursor, n: int) -> Guess | None:
    """Judge "ch 3 (counts as dc)"."""
    cursor.pass_over({"(", "count", "counts", "counting", "as", "the", "first", "1", "a"})
    if not cursor.at:
        return None
    said = cursor.stitch()
    terms = _FOR_CHAINS.get((said or "", n))
    if said is None or terms is None:
        return None
    return Guess(
        terms, "likely", f"A chain of {n} that counts as “{said}” is as tall as a {terms} {said}."
    )
