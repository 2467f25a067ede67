"""What stitches are called in both systems of terms, short and in full, and numbers in words.

A name is first heard as it is said (`dc`), since what it means depends on the terms. The
meanings are those of the catalogue; source of both: `core.craft.stitches`.
"""

from typing import Final

from core.craft.stitches import Terms, WorkedStitch

Said = str
"""A stitch's name in small letters as heard, long forms as their short ones."""

# Words in a row, the longest first, and the short form that stands for them.
NAMES: Final[tuple[tuple[tuple[str, ...], Said], ...]] = (
    (("half", "double", "crochet"), "hdc"),
    (("half", "treble", "crochet"), "htr"),
    (("double", "treble", "crochet"), "dtr"),
    (("triple", "treble", "crochet"), "trtr"),
    (("single", "crochet"), "sc"),
    (("double", "crochet"), "dc"),
    (("treble", "crochet"), "tr"),
    (("triple", "crochet"), "tr"),
    (("half", "double"), "hdc"),
    (("half", "treble"), "htr"),
    (("double", "treble"), "dtr"),
    (("triple", "treble"), "trtr"),
    (("slip", "stitch"), "sl st"),
    (("slip", "st"), "sl st"),
    (("sl", "stitch"), "sl st"),
    (("sl", "st"), "sl st"),
    (("slst",), "sl st"),
    (("sl",), "sl st"),
    (("ss",), "ss"),
    (("half", "trebles"), "htr"),
    (("double", "trebles"), "dtr"),
    (("treble",), "tr"),
    (("trebles",), "tr"),
    (("sc",), "sc"),
    (("scs",), "sc"),
    (("hdc",), "hdc"),
    (("hdcs",), "hdc"),
    (("htr",), "htr"),
    (("htrs",), "htr"),
    (("htc",), "htr"),
    (("dc",), "dc"),
    (("dcs",), "dc"),
    (("tr",), "tr"),
    (("trs",), "tr"),
    (("trc",), "tr"),
    (("dtr",), "dtr"),
    (("dtrs",), "dtr"),
    (("trtr",), "trtr"),
    (("ttr",), "trtr"),
)

NOT_DRAWN: Final = frozenset({
    "popcorn", "popcorns", "pc", "bobble", "bobbles", "puff", "puffs", "cluster", "clusters", "cl",
    "picot", "picots", "spike", "crossed", "cable", "fp", "bp", "fpdc", "bpdc",
    "fptr", "bptr", "fphdc", "bphdc", "fpsc", "bpsc", "post", "fur", "solomon", "marguerite",
})  # fmt: skip
"""Words of stitches that the trade knows and the program doesn't draw (common practice)."""

FIRST_WORDS: Final = frozenset(words[0] for words, _ in NAMES)

_MEANING: Final[dict[Terms, dict[Said, WorkedStitch]]] = {
    "US": {"sl st": "sl st", "sc": "sc", "hdc": "hdc", "dc": "dc", "tr": "tr", "dtr": "dtr"},
    "UK": {"sl st": "sl st", "ss": "sl st", "dc": "sc", "htr": "hdc", "tr": "dc", "dtr": "tr",
           "trtr": "dtr"},
}  # fmt: skip
ONLY_US: Final = frozenset({"sc", "hdc"})
ONLY_UK: Final = frozenset({"htr", "trtr", "ss"})

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
