"""Cautions of a booklet: those that the blanket calls for, and those that every blanket does.

Which ones is decided in `core.checks.cautions` alone; the written pattern marks its lines with
them, of all sizes if it is in several. What every blanket calls for is left out only where a
stricter caution stands for every size. Common practice unless a caution names its source.
"""

from collections.abc import Sequence

from core.editions import facts_of, sizes_in_order
from core.pipeline import Results
from core.words.facts import CautionKey
from core.words.pattern import Block, Paragraph, Pattern
from core.words.sizes import size_name
from core.words.vocabulary import Vocabulary


def is_caution(block: Block) -> bool:
    """Return whether a line of the pattern is a caution, for all sizes or for some."""
    return isinstance(block, Paragraph) and bool(block.caution)


def cautions(pattern: Pattern, results: Results, words: Vocabulary) -> tuple[str, ...]:
    """Return the cautions: those of the pattern and the blanket, then those of every blanket."""
    own = [
        block
        for part in pattern.sections
        for block in part.blocks
        if isinstance(block, Paragraph) and block.caution
    ]
    lines, known = [block.plain for block in own], {block.caution for block in own}
    for caution in facts_of(results).cautions:
        if caution.key not in known:  # the pattern leaves it out
            lines.append(words.say(f"caution {caution.key}", yarns=caution.yarns))
            known.add(caution.key)
    if "infant" not in known:
        lines.append(words.say("caution not for infants"))
    elif others := _without(
        "infant", own, results, words
    ):  # said of them alone: it isn't so of the rest
        text = words.say("caution not for infants")
        lines.append(words.say("size only", text=text, size=words.joined(others)))
    if "ends" not in known or _without("ends", own, results, words):
        lines.append(words.say("caution loose"))
    return (*lines, words.say("caution fibres"))


def _without(
    caution: CautionKey, own: Sequence[Paragraph], results: Results, words: Vocabulary
) -> list[str]:
    """Return the names of the sizes that a caution isn't said of, if it is said of some only."""
    said = [block.only for block in own if block.caution == caution]
    if not said or () in said:
        return []
    told = {number for only in said for number in only}
    return [
        size_name("" if size.name == "-" else size.name, words)
        for number, size in enumerate(sizes_in_order(results.design))
        if number not in told
    ]
