"""Cautions where work can hurt someone: short, calm, each with what it rests on.

The program gives no advice of its own here: it says where care is usual and defers to local
safe-sleep guidance and product rules. It promises nothing. What is printed names nobody; sources,
as far as anyone looked them up: the AAP's safe-sleep list (no loose blanket in an infant's sleep
space; updated 2022), safesleepscotland.org (a national line that differs: thin, tucked in, feet to
foot), wishingiwasknitting 2007 (open lace catches fingers), sparrowinthesnow (a ribbon through an
edge can form a loop), CPSC's small-parts rule as summed up by beautysecret, bumpydoink 2007 (cotton
that lost about 8 % of its width). Fibre, flame and weight are common practice; the 7-12 mm range
for finger-size holes is from memory and isn't written.
"""

import re
from typing import Final

from core.checks.findings import Finding, FindingLevel
from core.craft.tables import PRAM_MM
from core.design.document import Design, Use
from core.fabric.measure import SizeMeasures
from core.fabric.steady import Steady
from core.fabric.strain import HOLES_FROM, wave_strain
from core.words.facts import Caution, CautionKey
from core.words.vocabulary import Vocabulary, vocabulary

USES: Final[dict[Use, str]] = {
    "baby": "for a baby",
    "pram": "for a pram",
    "lap": "for a lap",
    "throw": "a throw",
    "bed": "for a bed",
}
_LAP_MM: Final = (960.0, 1290.0)  # 36 x 48 in, with 5 %; crochetcabana.com, sarahmaker.com
_THROW_MM: Final = (1400.0, 1750.0)  # to 52 x 65 in; edinyarnfest.com, sarahmaker.com

_US: Final = vocabulary("US")
INFANT: Final = _US.say("caution infant")
HOLES: Final = _US.say("caution holes")
STRETCHED: Final = _US.say("caution stretched")
ENDS: Final = _US.say("caution ends")
WEIGHT: Final = _US.say("caution weight")
BORDER: Final = _US.say("caution border")


_FIBRES: Final[tuple[tuple[CautionKey, str], ...]] = (
    ("animal", r"wool|merino|alpaca|mohair|cashmere|lambswool"),
    ("synthetic", r"acrylic|polyester|polyamide|nylon|chenille|microfibre|microfiber"),
    ("plant", r"cotton|linen|bamboo|viscose|rayon|hemp"),
    ("hairs", r"mohair|angora|chenille|eyelash|faux fur|brushed"),
)
"""Words that a yarn's name may have, by the care they call for."""
_MOST_NAMED: Final = 3
_WARNINGS: Final[tuple[CautionKey, ...]] = ("holes", "stretched")


def check_cautions(
    design: Design, size: SizeMeasures | None, steady: Steady | None = None
) -> list[Finding]:
    """Return the cautions that the design calls for.

    Args:
        design: The design.
        size: Its finished measures; None if they aren't known, as while rows don't fit: any size
            may come of it then, an infant's too.
        steady: Its settled wave, for holes that open by themselves; None leaves those out.
    """
    findings = []
    for caution in cautions_of(design, size, steady):
        level: FindingLevel = "warning" if caution.key in _WARNINGS else "note"
        message = _US.say(f"caution {caution.key}", yarns=caution.yarns)
        findings.append(Finding(level, caution.where, message))
    return findings


def cautions_of(
    design: Design, size: SizeMeasures | None, steady: Steady | None = None
) -> tuple[Caution, ...]:
    """Return the cautions for a text in any language; arguments as of `check_cautions`."""
    found = []
    if is_for_infant(design, size):
        found.append(Caution("infant", "size"))
        if has_holes(design):
            found.append(Caution("holes", "wave"))
        if steady is not None and _opens(steady):
            found.append(Caution("stretched", "wave"))
        found.append(Caution("ends", "size"))
        if _known_use(design, size) in (None, "pram"):
            found.append(Caution("weight", "size"))
        if design.edging is not None and design.edging.border is not None:
            found.append(Caution("border", "edging"))
    elif size is None or is_infant_size(size):  # someone may use it so, whatever it is meant for
        found.append(Caution("infant", "size"))
    return (*found, *_fibre_notes(design, size))


def use_of(design: Design, size: SizeMeasures) -> Use:
    """Return what the blanket is for: as the designer says, else as published sizes have it."""
    return design.use or use_by_size(size)


def _known_use(design: Design, size: SizeMeasures | None) -> Use | None:
    """Return what the blanket is for; None if nobody says and its size isn't known."""
    return use_of(design, size) if size is not None else design.use or None


def use_by_size(size: SizeMeasures) -> Use:
    """Return what published tables call a blanket of this size (`core.craft.tables.PRAM_MM`)."""
    short, long = sorted((size.width_mm, size.length_mm))
    if is_infant_size(size):
        return "pram"
    if short <= _LAP_MM[0] and long <= _LAP_MM[1]:
        return "lap"
    return "throw" if short <= _THROW_MM[0] and long <= _THROW_MM[1] else "bed"


def is_for_infant(design: Design, size: SizeMeasures | None) -> bool:
    """Return whether all cautions for infants are called for; they are where nothing is known."""
    return _known_use(design, size) in (None, "baby", "pram")


def is_infant_size(size: SizeMeasures) -> bool:
    """Return whether published size tables would call the blanket pram or baby size."""
    short, long = sorted((size.width_mm, size.length_mm))
    return short <= 1.05 * PRAM_MM[0] and long <= 1.15 * PRAM_MM[1]


def has_holes(design: Design) -> bool:
    """Return whether rows skip stitches or have chain spaces."""
    rows = (design.wave.first, *design.wave.rows_in_turn)
    items = [item for row in rows for item in (*row.start, *row.repeat, *row.end)]
    return any(item.skip or item.chain for item in items)


def short_caution(design: Design, size: SizeMeasures | None, words: Vocabulary = _US) -> str:
    """Return one line for a drawing that leaves the program by itself, empty where none is due."""
    if not is_for_infant(design, size):
        return ""
    return words.say("short caution, holes" if has_holes(design) else "short caution")


def fibres_in(name: str) -> tuple[str, ...]:
    """Return the fibres that a yarn's name speaks of, as it writes them."""
    found = (re.findall(rf"\b(?:{words})\b", name, re.IGNORECASE) for _, words in _FIBRES)
    return tuple(dict.fromkeys(word for words in found for word in words))


def _opens(steady: Steady) -> bool:
    return steady.converged and wave_strain(steady).post_most >= HOLES_FROM


def _fibre_notes(design: Design, size: SizeMeasures | None) -> list[Caution]:
    """Return a note for each kind of fibre that yarns are named after, with its first yarn."""
    notes = []
    for key, words in _FIBRES:
        if key == "hairs" and not is_for_infant(design, size):
            continue
        pattern = re.compile(rf"\b(?:{words})\b", re.IGNORECASE)
        mine = [n for n, yarn in enumerate(design.yarns) if pattern.search(yarn.name)]
        if mine:
            names = list(dict.fromkeys(design.yarns[number].name for number in mine))
            more = len(names) - _MOST_NAMED
            told = ", ".join(names[:_MOST_NAMED]) + (f" + {more}" if more > 0 else "")
            notes.append(Caution(key, f"yarn {mine[0]}", told))
    return notes
