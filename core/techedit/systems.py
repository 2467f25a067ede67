"""Mixed terms: words of the other system, in the designer's words and in the program's.

A stitch that only one system has is told by its name (`core.reading.names`). dc, tr and dtr are
in both and are a stitch apart: where prose names one that the design doesn't have in its own
terms, but does have in the other's, the other is likely meant. In rows the reading itself tells.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from core.checks.findings import Finding
from core.craft.stitches import CATALOGUE, WORKED, Terms
from core.design.document import Design
from core.reading.cursor import Cursor
from core.reading.names import is_foreign, meaning
from core.reading.tokens import Token, tokens_of
from core.techedit.draft import Draft, place_of

_MARKS: Final[dict[Terms, frozenset[str]]] = {
    "US": frozenset({"us", "usa", "american"}),
    "UK": frozenset({"uk", "british", "english"}),
}
_BEFORE: Final = 3  # words within which a system's name covers a stitch's
_PROSE: Final[dict[Terms, dict[str, str]]] = {
    "US": {"tension": "gauge", "yrh": "yo", "yoh": "yo"},
    "UK": {"gauge": "tension"},
}
_ROWS: Final[dict[Terms, dict[str, str]]] = {
    "US": {**_PROSE["US"], "miss": "skip", "missed": "skipped"},
    "UK": {**_PROSE["UK"], "yo": "yrh", "sk": "miss", "skip": "miss", "skipped": "missed"},
}
"""Words that aren't stitches, in a text of one system, and what it says instead."""


def check_systems(draft: Draft) -> list[Finding]:
    """Return a finding for every word of the other system."""
    if draft.edition.language != "en":
        return []
    design, terms = draft.results.design, draft.pattern.terms
    found = []
    for prose in draft.prose:
        tokens = tokens_of(prose.text)
        for word, instead in _foreign(tokens, terms, _ROWS if prose.is_row else _PROSE):
            found.append(
                Finding(
                    "error" if prose.is_row else "warning",
                    prose.where,
                    f"{prose.name} says “{word}”, which isn't a word of {terms} terms.",
                    f"Write “{instead}”, as the rest of the pattern does.",
                )
            )
        if not prose.is_row:
            for word, other, there in _likely_other(tokens, terms, design):
                found.append(
                    Finding(
                        "warning",
                        prose.where,
                        f"{prose.name} says “{word}”, a stitch that this design doesn't have in "
                        f"{terms} terms; in {other} terms it does.",
                        f"Write “{there}” if that is the stitch you mean.",
                    )
                )
    for section, block in draft.blocks("materials", "stripes"):
        for word, instead in _foreign(tokens_of(draft.said(block)), terms, _ROWS):
            found.append(
                Finding(
                    "error",
                    place_of(section, block),
                    f"The {section.name} say “{word}”, which isn't a word of {terms} terms.",
                    f"Write “{instead}”.",
                )
            )
    return list(dict.fromkeys(found))


def _foreign(
    tokens: Sequence[Token], terms: Terms, others: dict[Terms, dict[str, str]]
) -> Iterator[tuple[str, str]]:
    """Yield words that aren't of these terms, as written, and what they say instead."""
    other: Terms = "UK" if terms == "US" else "US"
    for at, token in enumerate(tokens):
        instead = others[terms].get(token.text)
        if token.text == "tension" and not _states_gauge(tokens, at):
            continue  # "keep an even tension" is said everywhere
        if instead and not _is_covered(tokens, at, other):
            yield token.text, instead
    for said, word, at in _stitches(tokens):
        if is_foreign(said, terms) and not _is_covered(tokens, at, other):
            stitch = meaning(said, terms)
            name = CATALOGUE[stitch].name(terms) if stitch else None
            is_short = " " not in word and name is not None
            yield word, (name.short if is_short else name.long) if name else "the other name"


def _likely_other(
    tokens: Sequence[Token], terms: Terms, design: Design
) -> Iterator[tuple[str, Terms, str]]:
    """Yield stitches of both systems that only the other's meaning has in the design."""
    mine = _stitches_of(design)
    other: Terms = "UK" if terms == "US" else "US"
    for said, word, at in _stitches(tokens):
        here, there = meaning(said, terms), meaning(said, other)
        if is_foreign(said, terms) or is_foreign(said, other) or here == there:
            continue
        if here not in mine and there in mine and not _is_covered(tokens, at, other):
            name = CATALOGUE[there].name(terms)
            yield word, other, name.long if " " in word or len(word) > 4 else name.short


def _stitches(tokens: Sequence[Token]) -> Iterator[tuple[str, str, int]]:
    """Yield every stitch named: as heard, as written, and the number of its first token."""
    cursor = Cursor(tokens)
    while not cursor.is_done:
        at = cursor.at
        said = cursor.stitch()
        if said is None:
            cursor.at += 1
        else:
            yield said, " ".join(token.text for token in tokens[at : cursor.at]), at


def _states_gauge(tokens: Sequence[Token], at: int) -> bool:
    """Return whether a gauge follows: "tension: 13 sts", "tension swatch"."""
    after = tokens[at + 1].text if at + 1 < len(tokens) else ""
    return after in {":", "=", "-", "is", "swatch", "square"}


def _is_covered(tokens: Sequence[Token], at: int, other: Terms) -> bool:
    """Return whether the other system is named just before a word."""
    return any(token.text in _MARKS[other] for token in tokens[max(at - _BEFORE, 0) : at])


def _stitches_of(design: Design) -> set[str]:
    rows = (design.wave.first, *design.wave.rows_in_turn)
    items = [item for row in rows for item in (*row.start, *row.repeat, *row.end)]
    found = {item.stitch for item in items if item.stitch} | {design.gauge.stitch}
    edging = design.edging
    if edging and edging.border:
        found.add(edging.border.stitch)
    if edging and (edging.top or edging.bottom):  # fill rows take stitches of every height
        found |= set(WORKED)
    return {str(stitch) for stitch in found}
