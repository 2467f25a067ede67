"""What a language has to bring: phrases by key, names of the stitches, a few rules of grammar.

In a phrase, `{n}` is filled in, `|` parts the forms for different numbers, and `<skip>` stands
for a word that the two systems of terms say differently.
"""

from collections.abc import Callable, Mapping
from typing import Literal

from core.craft.stitches import Terms
from core.records import Struct, field

Language = Literal["en", "de"]


class StitchName(Struct, frozen=True):
    """What a stitch is called; `plural` is the long name of several."""

    short: str
    long: str
    plural: str


class Wording(Struct, frozen=True, kw_only=True):
    """A language as a table.

    Attributes:
        name: What it calls itself.
        phrases: Phrases by key, with abbreviations.
        spelled: What stands in place of some of them where nothing is abbreviated.
        sized: What stands in place of some of them where one text holds several sizes.
        spelled_sized: Likewise for both at once.
        by_terms: Words that the systems of terms say differently.
        stitches: Names of the stitches by their key.
        number_of: Which form of a phrase belongs to a count: 0 is the singular.
        ordinal: Writes "4th" for 4.
        decimal: The sign before decimals.
    """

    name: str
    phrases: Mapping[str, str]
    spelled: Mapping[str, str]
    sized: Mapping[str, str]
    spelled_sized: Mapping[str, str] = field(default_factory=dict)
    by_terms: Mapping[Terms, Mapping[str, str]]
    stitches: Mapping[Terms, Mapping[str, StitchName]]
    number_of: Callable[[int], int]
    ordinal: Callable[[int], str]
    decimal: str
