"""Cautions of a booklet: those that the blanket calls for, and those that every blanket does.

Which ones is decided in `core.checks.cautions` alone; the written pattern marks its lines with
them, of all sizes if it is in several. Common practice unless a caution names its source.
"""

from core.editions import facts_of
from core.pipeline import Results
from core.words.pattern import Block, Paragraph, Pattern
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
    if "ends" not in known:
        lines.append(words.say("caution loose"))
    return (*lines, words.say("caution fibres"))
