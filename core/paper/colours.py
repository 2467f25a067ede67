"""The colours as every sheet shows them: letter, name, words, and a pattern for grey print."""

import unicodedata
from collections.abc import Iterable, Sequence
from typing import Final, Literal

from core.booklet.stripes import letters_of, stripes_of
from core.palette.neighbours import Meeting, meetings
from core.palette.words import colour_words
from core.pipeline import Results
from core.records import Struct
from core.stripes.sequence import worked_stripes
from core.words.names import yarn_name
from core.words.vocabulary import vocabulary

Pattern = Literal["plain", "rising", "bars", "dots", "falling", "posts", "crosses", "grid", "waves"]

PATTERNS: Final[tuple[Pattern, ...]] = (
    "plain",
    "rising",
    "bars",
    "dots",
    "falling",
    "posts",
    "crosses",
    "grid",
    "waves",
)
_JOINERS: Final = "\u200c\u200d"  # scripts need them inside words
NO_NAME: Final = "(no name)"


class PaperColour(Struct, frozen=True):
    """A yarn as it stands on paper.

    Attributes:
        yarn: Number of the yarn.
        letter: Its letter, the same as in the chart's key.
        name: Its name, fit to be printed.
        words: Its colour in words.
        colour: Its colour.
        pattern: What is drawn over the colour: one that no yarn which it meets has, as long as
            the nine there are suffice. The letter always tells it.
        stripes: Numbers of its stripes, from 1, as the booklet has them; empty for a yarn that is
            only in the edging.
    """

    yarn: int
    letter: str
    name: str
    words: str
    colour: str
    pattern: Pattern
    stripes: tuple[int, ...]


def printable(text: str) -> str:
    """Return a name without signs that can't be seen: they may turn the words around it about."""
    kept = "".join(
        sign if sign in _JOINERS or unicodedata.category(sign) not in ("Cf", "Cc") else ""
        for sign in text
    )
    return " ".join(kept.split()) or NO_NAME


def paper_colours(results: Results) -> tuple[PaperColour, ...]:
    """Return the colours that are worked with in the order of the stripes, edging after them."""
    design = results.design
    english = vocabulary(design.terms)
    numbers: dict[int, list[int]] = {}
    for number, stripe in enumerate(stripes_of(results), 1):
        numbers.setdefault(stripe.yarn, []).append(number)
    letters = letters_of(results)
    order = [*numbers, *(yarn for yarn in letters if yarn not in numbers)]
    met = meetings(worked_stripes(design.stripes, results.rows.drawn_rows), design.edging)
    drawn = _patterns(order, met)
    return tuple(
        PaperColour(
            yarn=yarn,
            letter=letters[yarn],
            name=printable(yarn_name(design, yarn, english)),
            words=colour_words(design.yarns[yarn].colour, design.terms),
            colour=design.yarns[yarn].colour,
            pattern=drawn[yarn],
            stripes=tuple(numbers.get(yarn, ())),
        )
        for yarn in order
    )


def _patterns(order: Sequence[int], met: Iterable[Meeting]) -> dict[int, Pattern]:
    """Return a pattern for every yarn: the one used least that none of its neighbours has.

    A yarn that meets yarns of all nine patterns has the one used least.
    """
    beside: dict[int, set[int]] = {yarn: set() for yarn in order}
    for meeting in met:
        beside.setdefault(meeting.one, set()).add(meeting.other)
        beside.setdefault(meeting.other, set()).add(meeting.one)
    found: dict[int, Pattern] = {}
    used = dict.fromkeys(PATTERNS, 0)
    for yarn in order:
        taken = {found[other] for other in beside[yarn] if other in found}
        pattern = min(PATTERNS, key=lambda name: (name in taken, used[name]))
        found[yarn] = pattern
        used[pattern] += 1
    return found
