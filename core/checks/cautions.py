"""Cautions where work can hurt someone.

The program gives no advice of its own here: it says where care is usual and defers to local
safe-sleep guidance and product rules. Sources: AAP safe-sleep list as quoted by
neonataldisorders.com (no loose blankets in an infant's sleep space), safesleepscotland.org
(the national line differs: thin, tucked in, feet to foot), wishingiwasknitting 2007 (open
lace catches fingers); the 7-12 mm range for finger-size holes is from memory.
"""

from core.checks.findings import Finding
from core.craft.tables import PRAM_MM
from core.design.document import Design
from core.fabric.measure import SizeMeasures
from core.words.facts import CautionKey
from core.words.vocabulary import vocabulary

_WORDS = vocabulary("US")
INFANT = _WORDS.say("caution infant")
HOLES = _WORDS.say("caution holes")


def check_cautions(design: Design, size: SizeMeasures) -> list[Finding]:
    """Return the cautions that the design calls for."""
    findings = {
        "infant": Finding("note", "size", INFANT),
        "holes": Finding("warning", "wave", HOLES),
    }
    return [findings[key] for key in caution_keys(design, size)]


def caution_keys(design: Design, size: SizeMeasures) -> tuple[CautionKey, ...]:
    """Return which cautions the design calls for, for a pattern in any language."""
    if not is_infant_size(size):
        return ()
    return ("infant", "holes") if _has_holes(design) else ("infant",)


def is_infant_size(size: SizeMeasures) -> bool:
    """Return whether published size tables would call the blanket pram or baby size."""
    short, long = sorted((size.width_mm, size.length_mm))
    return short <= 1.05 * PRAM_MM[0] and long <= 1.15 * PRAM_MM[1]


def _has_holes(design: Design) -> bool:
    rows = (design.wave.first, *design.wave.rows_in_turn)
    items = [item for row in rows for item in (*row.start, *row.repeat, *row.end)]
    return any(item.skip or item.chain for item in items)
