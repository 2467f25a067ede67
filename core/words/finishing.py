"""How large it is, what comes after the last row, and what to do when something goes wrong."""

from core.design.document import Design
from core.rows.build import Rows
from core.words.facts import Facts
from core.words.measures import two_lengths
from core.words.pattern import Paragraph
from core.words.vocabulary import Vocabulary


def size_lines(facts: Facts, words: Vocabulary) -> list[str]:
    """Return the finished size, as it is and with what is worked round it."""
    if facts.width_mm is None or facts.length_mm is None:
        return []
    if words.sized:  # the table of sizes has them
        return [words.say("way of the stripes")]
    size = two_lengths(facts.width_mm, facts.length_mm, words)
    lines = [words.say("size" if facts.is_washed else "size, unwashed", size=size)]
    if facts.wider_mm or facts.longer_mm:
        around = two_lengths(facts.full_width_mm, facts.full_length_mm, words)
        with_both = "both" if facts.has_fill and facts.has_border else "border"
        key = with_both if facts.has_border else "fill"
        lines.append(words.say(f"size with {key}", size=around))
    return [*lines, words.say("way of the stripes")]


def finishing_lines(facts: Facts, words: Vocabulary) -> list[str]:
    """Return how ends are dealt with and the blanket is laid out.

    Ends are woven in along their own colour, tails of 15 cm at least (about.com); yarn is
    carried up the side only where every stripe has an even number of rows (stellandlulu).
    """
    lines = []
    if facts.tails:
        lines.append(words.say("finish ends", n=facts.tails))
        if facts.carried:
            lines.append(words.say("finish carry"))
    if facts.width_mm is not None and words.sized:
        lines.append(words.say("finish block, sizes"))
    elif facts.width_mm is not None:
        size = two_lengths(facts.full_width_mm, facts.full_length_mm, words)
        lines.append(words.say("finish block", size=size))
    return lines


def care_lines(facts: Facts, words: Vocabulary) -> list[str | Paragraph]:
    """Return how the blanket is washed, and the cautions it calls for, marked as such."""
    if facts.width_mm is None and not facts.cautions:
        return []
    lines: list[str | Paragraph] = [words.say("care")]
    if facts.is_washed:
        lines.append(words.say("care washed"))
    said = zip(caution_lines(facts, words), facts.cautions, strict=True)
    return [*lines, *(Paragraph(text, caution=caution.key) for text, caution in said)]


def caution_lines(facts: Facts, words: Vocabulary) -> list[str]:
    """Return the cautions that the blanket calls for."""
    return [words.say(f"caution {c.key}", yarns=c.yarns) for c in facts.cautions]


def trouble_lines(design: Design, rows: Rows, words: Vocabulary) -> list[str]:
    """Return what to look for when something goes wrong.

    Chains left over are undone from their beginning (hookingcrazy); a first row lies nearly
    straight and the wave shows after several (notes of yarn-company patterns); a foundation is
    tighter than stitches, so take a hook a size up (crochetaustralia). Edges: common practice.
    """
    if rows.misfit is not None:
        return []
    rule = "" if design.turning.counts else ", not counting"
    keys = ["chain", "count", f"narrower{rule}"]
    if design.turning.counts or design.turning.chains:
        keys.append(f"wider{rule}")
    if any(not item.is_plain for row in design.wave.rows_in_turn for item in row.repeat):
        keys.append("flat")
    return [words.say(f"trouble {key}") for key in (*keys, "tight")]
