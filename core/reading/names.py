"""What stitches are called in both systems of terms, short and in full, and numbers in words.

A name is first heard as it is said (`dc`), since what it means depends on the terms. The
meanings are those of the catalogue; source of both: `core.craft.stitches`.
"""

from typing import Final

from core.craft.stitches import CATALOGUE, WORKED, Terms, WorkedStitch

Said = str
"""A stitch's name in small letters as heard, long forms as their short ones."""

_Words = tuple[str, ...]
_TERMS: Final[tuple[Terms, ...]] = ("US", "UK")  # where both have a name, the first is heard
_NO_PLURAL: Final = ("crochet", "stitch", "st", "ss")

# What makers say beside the catalogue's names (common practice).
_ALSO: Final[dict[str, Said]] = {
    "double treble crochet": "dtr",
    "triple treble crochet": "trtr",
    "treble crochet": "tr",
    "triple crochet": "tr",
    "half double": "hdc",
    "slip st": "sl st",
    "sl stitch": "sl st",
    "half treble crochet": "htr",
    "slst": "sl st",
    "sl": "sl st",
    "htc": "htr",
    "trc": "tr",
    "ttr": "trtr",
}


def _heard() -> tuple[tuple[_Words, Said], ...]:
    """Return words in a row and the short form they stand for, the longest first."""
    found: dict[_Words, Said] = {}
    for terms in _TERMS:
        for key in WORKED:
            name = CATALOGUE[key].name(terms)
            for form in (name.long, name.short):
                words = tuple(form.split())
                found.setdefault(words, name.short)
                if words[-1] not in _NO_PLURAL:
                    found.setdefault((*words[:-1], f"{words[-1]}s"), name.short)
    found |= {tuple(said.split()): short for said, short in _ALSO.items()}
    return tuple(sorted(found.items(), key=lambda entry: -len(entry[0])))


NAMES: Final[tuple[tuple[_Words, Said], ...]] = _heard()
"""Words in a row and the short form that stands for them, the longest first."""

NOT_DRAWN: Final = frozenset({
    "popcorn", "popcorns", "pc", "bobble", "bobbles", "puff", "puffs", "cluster", "clusters", "cl",
    "picot", "picots", "spike", "crossed", "cable", "fp", "bp", "fpdc", "bpdc",
    "fptr", "bptr", "fphdc", "bphdc", "fpsc", "bpsc", "post", "fur", "solomon", "marguerite",
})  # fmt: skip
"""Words of stitches that the trade knows and the program doesn't draw (common practice)."""

FIRST_WORDS: Final = frozenset(words[0] for words, _ in NAMES)


def _meanings(terms: Terms) -> dict[Said, WorkedStitch]:
    """Return what every short form means; slip stitches are called so in both systems."""
    stitches = [(key, CATALOGUE[key]) for key in WORKED]
    found: dict[Said, WorkedStitch] = {
        stitch.us.short: key for key, stitch in stitches if stitch.us.long == stitch.uk.long
    }
    return found | {stitch.name(terms).short: key for key, stitch in stitches}


_MEANING: Final[dict[Terms, dict[Said, WorkedStitch]]] = {
    terms: _meanings(terms) for terms in _TERMS
}
ONLY_US: Final = frozenset(_MEANING["US"].keys() - _MEANING["UK"].keys())
ONLY_UK: Final = frozenset(_MEANING["UK"].keys() - _MEANING["US"].keys())

_UNITS: Final = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
    "twenty",
)  # fmt: skip
NUMBERS: Final[dict[str, int]] = {word: n for n, word in enumerate(_UNITS, start=1)}
_ORDINALS: Final = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth",
)  # fmt: skip
ORDINALS: Final[dict[str, int]] = {word: n for n, word in enumerate(_ORDINALS, start=1)}
TIMES: Final[dict[str, int]] = {"once": 1, "twice": 2, "thrice": 3}


def meaning(said: Said, terms: Terms) -> WorkedStitch | None:
    """Return the stitch that a name means in `terms`; a name of the other system as there."""
    other: Terms = "UK" if terms == "US" else "US"
    return _MEANING[terms].get(said) or _MEANING[other].get(said)


def is_foreign(said: Said, terms: Terms) -> bool:
    """Return whether a name belongs to the other system of terms alone."""
    return said in (ONLY_UK if terms == "US" else ONLY_US)
