"""Cautions of a booklet: those that the written pattern has, and those every blanket calls for.

Common practice unless a caution names its source (`core.checks.cautions`).
"""

from typing import Final, get_args

from core.words.facts import CautionKey
from core.words.pattern import Block, Pattern
from core.words.vocabulary import Vocabulary

_KEYS: Final[tuple[CautionKey, ...]] = get_args(CautionKey)
_YARNS: Final = "{yarns}"


def is_caution(block: Block, words: Vocabulary) -> bool:
    """Return whether a line of the pattern is a caution, for all sizes or for some."""
    return any(_says(block, key, words) for key in _KEYS)


def _says(block: Block, key: CautionKey, words: Vocabulary) -> bool:
    return words.phrases[f"caution {key}"].replace(_YARNS, "") in block.plain


def cautions(pattern: Pattern, words: Vocabulary) -> tuple[str, ...]:
    """Return the cautions: those of the pattern, then those of every blanket."""
    own = [block for part in pattern.sections for block in part.blocks if is_caution(block, words)]
    told = [block.plain for block in own]
    if not any(_says(block, "infant", words) for block in own):
        told.append(words.say("caution not for infants"))
    if not any(_says(block, "ends", words) for block in own):
        told.append(words.say("caution loose"))
    return (*told, words.say("caution fibres"))
