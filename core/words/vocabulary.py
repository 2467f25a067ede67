"""Every word of the written pattern, from one catalogue for each language.

The writers name phrases by key and fill in numbers and other phrases; no wording stands
anywhere else. Another language is another module of `core.words.languages`: its own phrases
under the same keys, names for the stitches, a plural rule and ordinals.
"""

import re
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Final

from core.craft.stitches import Terms
from core.design.document import THICKEST
from core.records import Struct
from core.words.languages import WORDINGS, Language, StitchName, Wording

# What may differ from size to size: where one text holds several, it takes the plural.
_COUNTED_BY_SIZE: Final = frozenset({"count", "count with ch", "more", "repeats", "markers text"})


class Vocabulary(Struct, frozen=True, kw_only=True):
    """What a pattern is written with.

    Attributes:
        terms: The system of terms.
        language: The language; terms are those of English.
        spelled: Whether nothing is abbreviated and no sign is used that a voice drops.
        sized: Whether one text holds several sizes.
        phrases: Phrases by key; one with `|` has a form for each grammatical number.
        names: Names of the stitches by their key.
        number_of: Which form belongs to a count: 0 is the singular.
        ordinal: Writes "4th" for 4.
        decimal: The sign before decimals.
    """

    terms: Terms
    language: Language = "en"
    spelled: bool = False
    sized: bool = False
    phrases: Mapping[str, str]
    names: Mapping[str, StitchName]
    number_of: Callable[[int], int]
    ordinal: Callable[[int], str]
    decimal: str = "."

    def say(self, key: str, **values: str | int) -> str:
        """Return a phrase filled in; `n` chooses between its forms, if it has any."""
        forms = self.phrases[key].split("|")
        number = values.get("n", 1)
        form = self.number_of(number) if len(forms) > 1 and isinstance(number, int) else 0
        return forms[form].format(**values)

    def times(self, n: int) -> str:
        """Return how often: once, twice, 3 times."""
        return self.say({1: "once", 2: "twice"}.get(n, "times"), n=n)

    def short(self, stitch: str, n: int = 1) -> str:
        """Return a stitch's abbreviation, or `n` of its long name where words are spelled out."""
        name = self.names[stitch]
        if not self.spelled:
            return name.short
        return name.plural if self.number_of(n) else name.long

    def together(self, stitch: str, over: int) -> str:
        """Return the name of a decrease: `over` stitches worked together."""
        return self.say("together", stitch=self.short(stitch, over), over=over)

    def joined(self, phrases: list[str]) -> str:
        """Return phrases one after another."""
        return self.phrases["part"].join(phrase for phrase in phrases if phrase)

    @property
    def has_inches(self) -> bool:
        """Whether the language says inches beside centimetres."""
        return "{inches}" in self.phrases["inches and"]

    def number(self, value: float, places: int | None = None) -> str:
        """Return a number with so many places, or with those it has."""
        text = f"{value:g}" if places is None else f"{value:.{places}f}"
        return text.replace(".", self.decimal)


@lru_cache(maxsize=32)
def vocabulary(
    terms: Terms, language: Language = "en", *, spelled: bool = False, sized: bool = False
) -> Vocabulary:
    """Return the words of a language, in a system of terms.

    Args:
        terms: The system of terms.
        language: The language.
        spelled: Whether everything is spelled out.
        sized: Whether one text is to hold several sizes.
    """
    wording = WORDINGS[language]
    return Vocabulary(
        terms=terms,
        language=language,
        spelled=spelled,
        sized=sized,
        phrases=_phrases(wording, terms, spelled=spelled, sized=sized),
        names=wording.stitches[terms],
        number_of=wording.number_of,
        ordinal=wording.ordinal,
        decimal=wording.decimal,
    )


def _phrases(wording: Wording, terms: Terms, *, spelled: bool, sized: bool) -> dict[str, str]:
    phrases = dict(wording.phrases)
    if sized:
        phrases |= wording.sized
    if spelled:
        phrases |= wording.spelled
    if spelled and sized:
        phrases |= wording.spelled_sized
    if sized:
        phrases |= {key: phrases[key].split("|")[-1] for key in _COUNTED_BY_SIZE}
    words = wording.by_terms[terms]
    return {
        key: re.sub(r"<([^>]+)>", lambda match: words[match[1]], phrase)
        for key, phrase in phrases.items()
    }


def plain_words(words: Vocabulary) -> Vocabulary:
    """Return the same words with their abbreviations, for one size."""
    return vocabulary(words.terms, words.language)


def weight_classes(words: Vocabulary) -> tuple[str, ...]:
    """Return the names of the weight classes of yarn, from 0, the thinnest."""
    return tuple(words.say(f"weight {n}") for n in range(THICKEST + 1))


def sentence(text: str) -> str:
    """Return the text with a capital at its start."""
    return text[:1].upper() + text[1:]


__all__ = [
    "Language",
    "StitchName",
    "Vocabulary",
    "plain_words",
    "sentence",
    "vocabulary",
    "weight_classes",
]
