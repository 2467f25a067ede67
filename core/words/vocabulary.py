"""Every word of the written pattern, in one catalogue for each language and system of terms.

The writers name phrases by key and fill in numbers and other phrases; no wording stands
anywhere else. Another language is another `Vocabulary`: its own phrases under the same keys,
names for the stitches, a plural rule and ordinals.

In a phrase, `{n}` is filled in, `|` parts the singular from the plural, and `<skip>` stands
for a word that the US and the UK say differently.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from core.craft.stitches import CATALOGUE, Name, Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class Vocabulary:
    """What a pattern is written with.

    Attributes:
        terms: The system of terms.
        phrases: Phrases by key; one with `|` has a form for each grammatical number.
        names: Names of the stitches by their key.
        number_of: Which form belongs to a count: 0 is the singular.
        ordinal: Writes "4th" for 4.
    """

    terms: Terms
    phrases: Mapping[str, str]
    names: Mapping[str, Name]
    number_of: Callable[[int], int]
    ordinal: Callable[[int], str]

    def say(self, key: str, **values: str | int) -> str:
        """Return a phrase filled in; `n` chooses between its forms, if it has any."""
        forms = self.phrases[key].split("|")
        number = values.get("n", 1)
        form = self.number_of(number) if len(forms) > 1 and isinstance(number, int) else 0
        return forms[form].format(**values)

    def times(self, n: int) -> str:
        """Return how often: once, twice, 3 times."""
        return self.say({1: "once", 2: "twice"}.get(n, "times"), n=n)

    def short(self, stitch: str) -> str:
        """Return a stitch's abbreviation."""
        return self.names[stitch].short

    def together(self, stitch: str, over: int) -> str:
        """Return the name of a decrease: `over` stitches worked together."""
        return self.say("together", stitch=self.short(stitch), over=over)


def vocabulary(terms: Terms) -> Vocabulary:
    """Return the words of a system of terms."""
    return _ENGLISH[terms]


def sentence(text: str) -> str:
    """Return the text with a capital at its start."""
    return text[:1].upper() + text[1:]


_PHRASES: Final[dict[str, str]] = {
    # Nouns, numbers
    "st": "st|sts",
    "ch": "ch|ch",
    "once": "once",
    "twice": "twice",
    "times": "{n} times",
    "and": "{first} and {second}",
    # Items
    "so many": "{n} {stitch}",
    "together": "{stitch}{over}tog",
    "chains": "ch {n}",
    "chains counted": "{n} ch",
    "in one": "({parts})",
    "group": "[{phrase}] {times}",
    "skip": "<skip> {places}",
    # Places
    "first": "first",
    "next": "next",
    "last": "last",
    "places": "{order} {noun}|{order} {n} {noun}",
    "same": "same st",
    "from hook": "{ordinal} ch from hook",
    "top": "top of turning ch",
    "nth": "{ordinal} ch of turning ch",
    "in": "{work} in {place}",
    "in each": "{work} in each of {places}",
    "in all": "{work} in each of the {n} {noun}",
    "over": "{work} over {places}",
    "over two from hook": "{work} over {first} and {last} ch from hook",
    "over some from hook": "{work} over {first} to {last} ch from hook",
    # The start of a row
    "turn, counting": "ch {n} (counts as {what}), turn",
    "turn, part of a stitch": "ch {n}, turn",
    "turn, not counting": "ch {n} (does not count as a st), turn",
    "turn": "turn",
    "turn joins": "the turning ch and this {work} count as {what}",
    "ch more": "ch {n} more",
    "remark": "{phrase} ({remark})",
    "skipped, counting": "the <skipped> ch counts as {what}|the {n} <skipped> ch count as {what}",
    "skipped, counting in part": "the first of the {all} <skipped> ch counts as {what}"
    "|the first {n} of the {all} <skipped> ch count as {what}",
    "skipped, joining": "the <skipped> ch and this {work} count as {what}"
    "|the {n} <skipped> ch and this {work} count as {what}",
    "skipped, not counting": "the <skipped> ch does not count as a st"
    "|the {n} <skipped> ch do not count as sts",
    "skipped, stitches": "the <skipped> ch counts as a st|the {n} <skipped> ch count as sts",
    "skipped, stitches in part": "{n} of the {all} <skipped> ch counts as a st"
    "|{n} of the {all} <skipped> ch count as sts",
    "nothing to skip": "the ch counts as {what}|the {n} ch count as {what}",
    "back loops": "working in back loops only: {body}",
    "front loops": "working in front loops only: {body}",
    "back loops, last both": "working in back loops only, last st through both loops: {body}",
    "front loops, last both": "working in front loops only, last st through both loops: {body}",
    # The end of a row
    "leave": "leave {places} unworked",
    "leave turning": "leave turning ch unworked",
    "leave with turning": "leave {places} and turning ch unworked",
    "leaving turning": "{phrase}, leaving turning ch unworked",
    "repeat": "*{body}; repeat from * {more} ({all} in all)",
    "more": "once more|{n} more times",
    "changing": "{body}, changing to {yarn} on last <yo> of last st, ready for row {row}",
    "count": "({n} st)|({n} sts)",
    "count with ch": "({n} st, {chains} of them ch)|({n} sts, {chains} of them ch)",
    "row text": "{body}. {count}",
    # Which rows
    "foundation": "Foundation",
    "row": "Row {row} ({side})",
    "rows": "Rows {first} to {last}",
    "foundation ch": "ch {chains}",
    "foundation ch, multiple": "ch {chains} (a multiple of {multiple})",
    "foundation ch, multiple plus": "ch {chains} (a multiple of {multiple}, plus {extra})",
    "with yarn": "with {yarn}, {text}",
    "stop": "{text}.",
    "as row": "work as row {row}",
    "repeat row": "repeat row {first} until {rows} rows are worked",
    "repeat rows": "repeat rows {first} to {last} until {rows} rows are worked",
    "last as row": "{text}; the last is worked as row {row}",
    "changing along": "{text}, changing <colour> where the stripes do",
    "not written": "not written: it takes {uses} sts, but row {below} has {available}. "
    "The rows from here on can be written once the two agree.",
    # Headings
    "heading size": "Size",
    "heading materials": "Materials",
    "heading gauge": "<Gauge>",
    "heading abbreviations": "Abbreviations",
    "heading special": "Special stitches",
    "heading multiple": "Multiple",
    "heading rules": "Before you begin",
    "heading rows": "Rows",
    "heading stripes": "Stripes",
    "heading notes": "Notes",
    # Top of the pattern
    "designer": "Designed by {designer}",
    "terms": "Written in {terms} terms",
    "amount": "{yarn_line}: 1 ball, about {metres} m with tails and spare|"
    "{yarn_line}: {n} balls, about {metres} m with tails and spare",
    "yarn": "{yarn}: {metres} m in a ball of {grams} g",
    "yarn, yards": "{yarn}: {metres} m ({yards} yd) in a ball of {grams} g",
    "numbered yarn": "{name} (yarn {number})",
    "hook": "Hook: {mm} mm",
    "gauge": "{stitches} {stitch} and {rows} rows = {length}, in plain rows of {stitch} "
    "without the wave.",
    "centimetres": "{cm} cm",
    "inches": "{inches} in ({cm} cm)",
    # Multiple
    "multiple": "Multiple of {multiple} ch ({least} ch or more).",
    "multiple plus": "Multiple of {multiple} plus {extra} ch ({least} ch or more).",
    "multiple of one": "Any number of ch from {least} on.",
    "repeats": "This blanket has 1 repeat between its edges: {chains} ch in all.|"
    "This blanket has {n} repeats between its edges: {chains} ch in all.",
    "wider": "For every repeat more, make {multiple} ch more.",
    "wider, rows": "For every repeat more, make {multiple} ch more; every row then has {makes} "
    "sts more.",
    "this width only": "The rows fit one another at this width only.",
    "any width": "At any width, {rows}.",
    "row to last": "in row {row} repeat from * to {places}",
    "rows to last": "in every later row repeat from * to {places}",
    "turning among": "{text} (the turning ch is one of them)",
    # Rules
    "rule counts": "Turning ch: it counts as the first st of every row.",
    "rule counts or joins": "Turning ch: it counts as the first st of a row, or as part of that "
    "st where the row says so.",
    "rule same st": '"Same st" is the st at its foot, the first of the row below.',
    "rule top": "The last st of a row is worked into the top of the turning ch of the row "
    "below; in row 2 that is the top of the ch <skipped> in row 1.",
    "rule nth": "The last st of a row is worked into the {ordinal} ch of the turning ch of the "
    "row below; in row 2 that is the {ordinal} of the ch <skipped> in row 1, counted from below.",
    "rule does not count": "Turning ch: it does not count as a st and is never worked into.",
    "rule no turning ch": "Turning ch: there is none. Turn and begin the row.",
    "rule both loops": "Loops: work through both loops throughout.",
    "rule back loops": "Loops: from row {row} on, work in the back loops only (the loops away "
    "from you).",
    "rule front loops": "Loops: from row {row} on, work in the front loops only (the loops "
    "towards you).",
    "loop both": "both",
    "loop back": "back",
    "loop front": "front",
    "short both": "both loops",
    "short back": "the back loops",
    "short front": "the front loops",
    "short in turn": "{loops} loops in turn",
    "short each colour": "{first}, then {last} loops in each <colour>",
    "short each colour, one": "{last} loops in each <colour>",
    "worked in": "Worked in {loops} from row {row} on.",
    "in both loops": "both loops",
    "in back loops": "back loops only",
    "in front loops": "front loops only",
    "rule loops in turn": "Loops: from row {row} on, row by row in turn: {loops}; then again from "
    "the first. Back loops lie away from you, front loops towards you.",
    "rule loops each colour": "Loops, from row {row} on, in every <colour>: {loops}. Back loops "
    "lie away from you, front loops towards you.",
    "loops of a row": "its {ordinal} row in {loops}",
    "loops of the rest": "then {loops}",
    "loops throughout": "{loops}",
    "rule last both": "The last st of each row goes through both loops.",
    "rule ch": "Ch within a row: each counts as a st. Work into the ch itself or into the space "
    "under it, but keep to one way.",
    "rule changing": "Changing <colour>: work the last st of the row before up to its last <yo>, "
    "then make that <yo> with the new <colour>.",
    # Special stitches
    "special": "{name}: {how}.",
    "wrap": "<yo>",
    "wraps": "<yo> {times}",
    "insert": "insert hook in next st",
    "draw up": "<yo> and pull up a loop",
    "pull": "<yo> and pull through 2 loops",
    "pulls": "(<yo> and pull through 2 loops) {times}",
    "close": "<yo> and pull through all {n} loops on hook",
    "close slip": "<yo> and pull through the st and all loops on hook",
    "several in one": "{n} {stitch} in one st",
    "several how": "work all of them into the same place; {gain} st more than before"
    "|work all of them into the same place; {gain} sts more than before",
    "group in one": "{group} in one st",
    "group how": "work all of it into the same place; {gain} sts more than before, each ch "
    "counted as one",
    # The stripes and the end
    "stripe of a row": "Row {first}: {yarn} (1 row, {total} in all)",
    "stripe": "Rows {first} to {last}: {yarn} ({n} rows, {total} in all)",
    "fasten off": "Fasten off and weave in the ends.",
    # Fill rows and border
    "heading fill": "Straight top and bottom",
    "heading border": "Border",
    "fill top": "Top, with {yarn}: one st into every st of the last row, through both loops; a "
    "turning ch that counts is one of them.",
    "fill bottom": "Bottom, with {yarn}: turn the blanket upside down, RS facing, join in the "
    "first ch at the right (left-handed: at the left) and work one st into the other side of "
    "every ch.",
    "bottom row": "Bottom row {row} ({side})",
    "fill opens, turn, not counting": "ch {n} (does not count as a st), turn",
    "fill opens, turn, counting": "ch {n} (counts as {what}), turn",
    "fill opens, join, not counting": "ch {n} (does not count as a st)",
    "fill opens, join, counting": "ch {n} (counts as {what})",
    "fill bump": "The wave here is about {before} mm high; with these rows a bump of about {after} "
    "mm stays. How much depends on how tightly you work: try a few repeats before you decide.",
    "fill straight": "How straight it comes out depends on how tightly you work: try a few repeats "
    "before you decide.",
    "border yarn": "With {yarn} and RS facing, join in a corner. Begin each round with ch to the "
    "height of the st and close it with {slip} in the first st.",
    "border sides": "Sides: {stitches} {stitch} over every row end, {total} along each side."
    "|Sides: {stitches} {stitch} over every {n} row ends, {total} along each side.",
    "border top": "top",
    "border bottom": "bottom",
    "border end": "{where}: {stitches} {stitch} over every wave ({below} sts), {total} in all."
    "|{where}: {stitches} {stitch} over every {n} waves ({below} sts), {total} in all.",
    "border end plain": "{where}: {stitch} in each st, {total} in all.",
    "border end wave": "{where}: {stitch} in each st, but {hill} in one on every hill and <skip> "
    "{n} in every valley; {total} in all.",
    "border corners": "Corners: {n} {stitch} in one.",
    "border multiple": "Between the corners every side has a multiple of {multiple} sts.",
    "border multiple plus": "Between the corners every side has a multiple of {multiple} plus "
    "{extra} sts.",
    "border round": "Round 1: {stitches} {stitch}.",
    "border round 2": "Round 2: {stitch} in each st, {corner} in one in the middle st of each "
    "corner; {more} sts more: {stitches}.",
    "border rounds": "Rounds 2 to {last}: {stitch} in each st, {corner} in one in the middle st of "
    "each corner; {more} sts more in each round, {stitches} in the last.",
    # Abbreviations
    "meaning together": "{long} {over} stitches together",
    "stitch short": "st",
    "stitches short": "sts",
    "stitch entry": "st(s)",
    "stitch long": "stitch(es)",
    "RS": "RS",
    "RS long": "right side",
    "WS": "WS",
    "WS long": "wrong side",
    "yarn over short": "<yo>",
    "yarn over long": "<yarn over>",
    "abbreviation": "{short}: {long}",
}

_WORDS: Final[dict[Terms, dict[str, str]]] = {
    "US": {
        "skip": "skip",
        "skipped": "skipped",
        "Gauge": "Gauge",
        "yo": "yo",
        "yarn over": "yarn over",
        "colour": "color",
    },
    "UK": {
        "skip": "miss",
        "skipped": "missed",
        "Gauge": "Tension",
        "yo": "yrh",
        "yarn over": "yarn round hook",
        "colour": "colour",
    },
}


def _in_terms(terms: Terms) -> dict[str, str]:
    words = _WORDS[terms]
    return {
        key: re.sub(r"<([^>]+)>", lambda match: words[match[1]], phrase)
        for key, phrase in _PHRASES.items()
    }


def _english_ordinal(number: int) -> str:
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


def _english_number(count: int) -> int:
    return 0 if count == 1 else 1


def _english(terms: Terms) -> Vocabulary:
    return Vocabulary(
        terms=terms,
        phrases=_in_terms(terms),
        names={key: stitch.name(terms) for key, stitch in CATALOGUE.items()},
        number_of=_english_number,
        ordinal=_english_ordinal,
    )


_ENGLISH: Final[dict[Terms, Vocabulary]] = {"US": _english("US"), "UK": _english("UK")}
