"""What every pattern states: size, hook, gauge, yarn, the turning rule, care, who made it.

The list is that of good patterns' contents: terms and skill level in plain sight, size, yarn by
weight class with length and weight of a ball and the amount of each colour, hook, the gauge of
the wave, the turning-chain rule, care, a corrections address, a licence (common practice).
"""

import re
from collections.abc import Sequence
from typing import Final

from core.checks.findings import Finding
from core.craft.units import MM_PER_IN
from core.editions import measures_in_size
from core.stripes.sequence import yarns_worked
from core.techedit.draft import Draft, numbers_in
from core.words.facts import Facts
from core.words.measures import length, ruler_length, size_in_unit, swatch_count, swatch_length
from core.words.names import yarn_name
from core.words.pattern import Paragraph
from core.words.vocabulary import vocabulary

_RULES: Final = ("rule counts", "rule counts or joins", "rule does not count", "rule no turning ch")
_PLAIN_NAME: Final = re.compile(r"(?:yarn|colou?r|garn|farbe)?\s*\d*\s*", re.I)
_TWO: Final = re.compile(
    r"(\d{1,5}(?:[.,]\d{1,5})?) ?(cm|in(?:ch(?:es)?)?|\")? ?(?:x|×|by) ?(\d{1,5}(?:[.,]\d{1,5})?) ?"
    r"(cm|in(?:ch(?:es)?)?\b|\")",
    re.I,
)
_NEAR_MM: Final = 10.0  # a size typed by hand may be rounded so far
_NEAR: Final = 0.015
_WORDS: Final = vocabulary("US")  # findings are in English


def check_parts(draft: Draft, facts: Facts) -> list[Finding]:
    """Return what the pattern leaves out, or states otherwise than its figures come to.

    Args:
        draft: The pattern.
        facts: What was measured and counted for it.
    """
    return [
        *_front(draft),
        *_turning_rule(draft),
        *_gauge(draft, facts),
        *_size(draft, facts),
        *_yarn(draft),
        *_care(draft, facts),
    ]


def _front(draft: Draft) -> list[Finding]:
    design, head, words = draft.results.design, draft.text_of("head"), draft.words
    found = []
    if words.say("terms", terms=words.terms) not in head:
        found.append(
            Finding(
                "error",
                "details",
                "The pattern doesn't say which terms it is written in.",
                "State US or UK terms under the title.",
            )
        )
    if not design.title.strip():
        found.append(_missing("warning", "title", "The pattern has no title.", "Give it one."))
    if not design.designer.strip():
        found.append(
            _missing("note", "designer", "Nobody is named as its designer.", "Name yourself.")
        )
    if not design.skill:
        found.append(
            _missing("warning", "skill", "No skill level is stated.", "Choose one in the details.")
        )
    if not design.contact.strip():
        found.append(
            _missing(
                "warning",
                "contact",
                "No address for questions and mistakes is stated.",
                "Give one in the details: makers need somewhere to tell you.",
            )
        )
    if not design.licence.strip():
        found.append(
            _missing(
                "note",
                "licence",
                "Nothing says what makers may do with the pattern.",
                "Say in the details whether it may be copied, and finished pieces sold.",
            )
        )
    return found


def _missing(level: str, field: str, what: str, way: str) -> Finding:
    return Finding(level, f"details {field}", what, way)  # type: ignore[arg-type]


def _turning_rule(draft: Draft) -> list[Finding]:
    rules = draft.text_of("rules")
    if any(draft.words.say(key) in rules for key in _RULES):
        return []
    return [
        Finding(
            "error",
            "turning",
            "Nothing says whether the turning chain counts as a stitch.",
            "State the rule before row 1, and keep it in every row.",
        )
    ]


def _gauge(draft: Draft, facts: Facts) -> list[Finding]:
    design, text = draft.results.design, draft.text_of("gauge")
    gauge, over = design.gauge, swatch_length(design.gauge.over_mm, design.units, _WORDS)
    if len(numbers_in(text)) < 3:
        return [
            Finding(
                "error",
                "gauge",
                "The gauge is missing.",
                f"State stitches and rows over {over}, and the stitch they are of.",
            )
        ]
    found = []
    counts = (gauge.stitches, gauge.rows)
    if any(swatch_count(n, draft.words) not in text for n in counts):
        found.append(
            Finding(
                "error",
                "gauge",
                "The gauge stated isn't the one that the sizes are reckoned from: "
                f"{gauge.stitches:g} stitches and {gauge.rows:g} rows.",
                "State the gauge of the design.",
            )
        )
    if not draft.fits or facts.repeat_mm is None:
        return found
    swatch = draft.results.design.swatch
    width = length(facts.repeat_mm, draft.results.design.units, draft.words)
    if width not in text:
        found.append(
            Finding(
                "error",
                "gauge wave",
                f"The gauge of the wave is missing: one repeat is {width} wide.",
                "State it from peak to peak, with its rows.",
            )
        )
    if swatch is None or swatch.repeats_mm is None or swatch.rows_mm is None:
        found.append(
            Finding(
                "warning",
                "gauge wave",
                "The gauge of the wave is reckoned, not measured.",
                "Work a few repeats, measure them peak to peak and over ten rows, and type that "
                "on the page Swatch.",
            )
        )
    return found


def _size(draft: Draft, facts: Facts) -> list[Finding]:
    if not draft.fits or facts.width_mm is None or facts.length_mm is None:
        return []
    text = draft.text_of("size") + draft.text_of("sizes")
    if not numbers_in(text):
        return [
            Finding(
                "error",
                "size",
                "The finished size is missing.",
                "State width by length, and whether it is after washing.",
            )
        ]
    found = []
    if not draft.words.sized:
        worked = _worked_mm(draft)
        stated = [pair for line in text.splitlines() for pair in _pairs_mm(line)]
        own = (facts.width_mm, facts.length_mm), (facts.full_width_mm, facts.full_length_mm)
        found += [
            Finding(
                "error",
                "size",
                f"The size stated, {_said(draft, wide, long)}, isn't what the repeats and rows "
                f"come to: {_said(draft, *own[0])}{worked}.",
                "State the size that the design has.",
            )
            for wide, long in stated
            if not any(_is_near((wide, long), size, 6.0) for size in own)
        ]
    found += _sizes_in_prose(draft, facts)
    return found


def _worked_mm(draft: Draft) -> str:
    wave, design = draft.results.finished_wave, draft.results.design
    if wave is None:
        return ""
    repeat = ruler_length(wave.repeat_width_mm, design.units, _WORDS)
    return f" ({design.size.repeats} repeats of {repeat} and the edges)"


def _said(draft: Draft, width_mm: float, length_mm: float) -> str:
    return size_in_unit(width_mm, length_mm, draft.results.design.units, _WORDS)


def _sizes_in_prose(draft: Draft, facts: Facts) -> list[Finding]:
    """Return sizes the designer typed that none of the design's sizes has."""
    design = draft.results.design
    sizes = [(facts.width_mm or 0.0, facts.length_mm or 0.0)]
    sizes.append((facts.full_width_mm, facts.full_length_mm))
    if design.sizes:
        sizes += [s for s in (measures_in_size(draft.results, n) for n in design.sizes) if s]
    return [
        Finding(
            "warning",
            prose.where,
            f"{prose.name} says {_said(draft, wide, long)}; the blanket comes to "
            f"{_said(draft, *sizes[1])}.",
            "State the size that the repeats and rows come to, or change those.",
        )
        for prose in draft.prose
        if prose.where.startswith("details")
        for wide, long in _pairs_mm(prose.text)
        if min(wide, long) > 300.0  # smaller ones are swatches and tails
        and not any(_is_near((wide, long), size) or _is_near((long, wide), size) for size in sizes)
    ]


def _pairs_mm(text: str) -> list[tuple[float, float]]:
    """Return every "100 x 138 cm" in a text, in mm."""
    found = []
    for match in _TWO.finditer(" ".join(text.split())):
        unit = 10.0 if match[4].casefold() == "cm" else MM_PER_IN
        wide, long = (float(match[n].replace(",", ".")) for n in (1, 3))
        found.append((wide * unit, long * unit))
    return found


def _is_near(
    one: tuple[float, float], other: tuple[float, float], most_mm: float = _NEAR_MM
) -> bool:
    return all(
        abs(a - b) <= max(most_mm, _NEAR * b if most_mm == _NEAR_MM else 0.0)
        for a, b in zip(one, other, strict=True)
    )


def _yarn(draft: Draft) -> list[Finding]:
    results, words = draft.results, draft.words
    design, section = results.design, draft.pattern.section("materials")
    lines = {
        block.label: block.text
        for block in (section.blocks if section else ())
        if isinstance(block, Paragraph)
    }
    used = yarns_worked(design.edging, results.yarn_of_row.tolist())
    found = []
    for number in used:
        name = design.yarns[number].name
        text = lines.get(yarn_name(design, number, words))
        if text is None:
            found.append(
                Finding(
                    "error",
                    f"yarn {number}",
                    f"{name} is worked, but the materials don't have it.",
                    "List it with its ball and the amount it takes.",
                )
            )
            continue
        ball, _, amount = text.partition(": ")
        if len(numbers_in(ball)) < 2:
            found.append(
                Finding(
                    "error",
                    f"yarn {number}",
                    f"{name} has no length and weight of a ball.",
                    "Type what the ball band says on the page Yarn.",
                )
            )
        if not numbers_in(amount) and not words.sized and draft.fits:
            found.append(
                Finding(
                    "error",
                    f"yarn {number}",
                    f"How much of {name} it takes isn't stated.",
                    "State balls, metres and grams of every colour.",
                )
            )
    found += _classes(draft, used)
    hook = words.say("millimetres", n=words.number(design.gauge.hook_mm))
    if not any(hook in text for text in lines.values()):
        found.append(
            Finding("error", "gauge", "The hook is missing.", f"State it in millimetres: {hook}.")
        )
    return found


def _classes(draft: Draft, used: Sequence[int]) -> list[Finding]:
    yarns = draft.results.design.yarns
    without = [n for n in used if yarns[n].weight is None]
    found = []
    if without:
        names = _listed([yarns[n].name for n in without])
        found.append(
            Finding(
                "warning",
                f"yarn {without[0]}",
                f"No weight class is stated for {names}.",
                "Choose it on the page Yarn: makers look for another yarn by it.",
            )
        )
    nameless = [n for n in used if _PLAIN_NAME.fullmatch(yarns[n].name)]
    if nameless:
        names = _listed([yarns[n].name for n in nameless])
        found.append(
            Finding(
                "note",
                f"yarn {nameless[0]}",
                f"Still named as the program named it: {names}.",
                "Name the colours as makers will know them.",
            )
        )
    return found


def _listed(names: list[str], most: int = 3) -> str:
    rest = len(names) - most
    return ", ".join(names[:most]) + (f" and {rest} more" if rest > 0 else "")


def _care(draft: Draft, facts: Facts) -> list[Finding]:
    text, words = draft.text_of("care"), draft.words
    found = []
    if not text:
        found.append(
            Finding("warning", "details", "How to wash it isn't said.", "Say it under Care.")
        )
    infant = any(caution.key == "infant" for caution in facts.cautions)
    if infant and words.say("caution infant") not in text:
        found.append(
            Finding(
                "error",
                "details use",
                "It may be used for an infant, but the cautions for infants are missing.",
                "State them with the care.",
            )
        )
    return found
