"""Finds actions by their words, by other words of the trade, and through a slip of the finger."""

import re
from collections.abc import Iterable, Sequence
from typing import Final

from core.craft.synonyms import FILLERS, MEANINGS
from core.records import Struct

_WORD: Final = re.compile(r"[^\W_]+")
_NAME, _MEANT, _PLACE = 6.0, 3.0, 2.0
_TYPO_FROM: Final = 4  # letters from which one may be wrong
_TWO_TYPOS_FROM: Final = 8


class Sought(Struct, frozen=True):
    """Something that can be found.

    Attributes:
        name: What it is called.
        place: Where it is in the menus.
    """

    name: str
    place: str


def words_in(text: str) -> list[str]:
    """Return the words of a text in small letters."""
    return _WORD.findall(text.casefold())


def found(query: str, among: Sequence[Sought]) -> list[int]:
    """Return the numbers of what is meant, the likeliest first; all of them without a query.

    Every word that was typed has to be met, by the beginning of a word of the name or of its place,
    by another word for it, or nearly.
    """
    said = words_in(query)
    typed = [word for word in said if word not in FILLERS] or said
    scored = [(score(typed, thing), number) for number, thing in enumerate(among)]
    return [number for value, number in sorted(scored, key=lambda s: (-s[0], s[1])) if value > 0]


def score(typed: Sequence[str], thing: Sought) -> float:
    """Return how well something fits what was typed; 0 if it doesn't."""
    if not typed:
        return 1.0
    name, place = words_in(thing.name), words_in(thing.place)
    total = 0.0
    for word in typed:
        best = max(
            _NAME * _met(word, name),
            _PLACE * _met(word, place),
            _MEANT * _met_by_meaning(word, name, place),
        )
        if not best:
            return 0.0
        total += best
    return total / len(typed) + 0.5 / (1 + len(name))


def _met(word: str, words: Iterable[str]) -> float:
    """Return how well a word is met, from 0 to 1."""
    best = 0.0
    for other in words:
        if other == word:
            return 1.0
        if other.startswith(word):
            best = max(best, 0.9)
        elif len(word) > 2 and word in other:
            best = max(best, 0.6)
        elif is_slip(word, other):
            best = max(best, 0.5)
    return best


def _met_by_meaning(word: str, name: Sequence[str], place: Sequence[str]) -> float:
    best = 0.0
    if len(word) < _TYPO_FROM and word not in MEANINGS:
        return best
    for known, meaning in MEANINGS.items():
        near = _met(word, (known,))
        if near:
            meant = words_in(meaning)
            hits = [_met(m, name) + 0.2 * _met(m, place) for m in meant]
            order = [hit / (1 + 0.25 * number) for number, hit in enumerate(hits)]
            best = max(best, near * min(max(order), 1.0))
    return best


def is_slip(typed: str, word: str) -> bool:
    """Return whether a word, or the beginning of it, was typed with a slip or two."""
    allowed = 2 if len(typed) >= _TWO_TYPOS_FROM else 1 if len(typed) >= _TYPO_FROM else 0
    if not allowed or typed[0] != word[:1] or len(word) < len(typed) - allowed:
        return False
    return any(
        apart(typed, word[:length]) <= allowed
        for length in range(max(len(typed) - 1, 1), len(typed) + 2)
    )


def apart(one: str, two: str) -> int:
    """Return how many letters have to be changed, put in, left out or exchanged with the next.

    Edit distance with exchanged neighbours counted once ("optimal string alignment").
    """
    before: list[int] = []
    row = list(range(len(two) + 1))
    for i, a in enumerate(one, start=1):
        last, row = row, [i] + [0] * len(two)
        for j, b in enumerate(two, start=1):
            row[j] = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (a != b))
            if i > 1 and j > 1 and a == two[j - 2] and one[i - 2] == b:
                row[j] = min(row[j], before[j - 2] + 1)
        before = last
    return row[-1]
