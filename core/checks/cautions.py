"""Cautions where work can hurt someone: short, calm, each with where it comes from.

The program gives no advice of its own here: it says where care is usual and defers to local
safe-sleep guidance and product rules. It promises nothing. Sources, as far as anyone looked
them up: the AAP's safe-sleep list (no loose blanket in an infant's sleep space; updated 2022),
safesleepscotland.org (a national line that differs: thin, tucked in, feet to foot),
wishingiwasknitting 2007 (open lace catches fingers), sparrowinthesnow (a ribbon through an edge
can form a loop), CPSC's small-parts rule as summed up by beautysecret. Fibre, flame and weight
are common practice; the 7-12 mm range for finger-size holes is from memory and isn't written.
"""

import re
from dataclasses import dataclass
from typing import Final

from core.checks.findings import Finding, FindingLevel
from core.craft.tables import PRAM_MM
from core.design.document import Design, Use
from core.fabric.measure import SizeMeasures
from core.fabric.steady import Steady
from core.fabric.strain import HOLES_FROM, wave_strain

USES: Final[dict[Use, str]] = {
    "baby": "for a baby",
    "pram": "for a pram",
    "lap": "for a lap",
    "throw": "a throw",
    "bed": "for a bed",
}
_LAP_MM: Final = (960.0, 1290.0)  # 36 x 48 in, with 5 %; crochetcabana.com, sarahmaker.com
_THROW_MM: Final = (1400.0, 1750.0)  # to 52 x 65 in; edinyarnfest.com, sarahmaker.com

INFANT: Final = (
    "It may be used for an infant. Most guidance wants no loose blanket where a baby sleeps, but "
    "it differs from country to country: follow your local safe-sleep guidance and product rules. "
    "Source: AAP safe-sleep list, 2022; safesleepscotland.org."
)
HOLES: Final = (
    "Skipped stitches and chain spaces leave holes that can catch small fingers and toes: for "
    "an infant join the dips with stitches worked together instead. Source: "
    "wishingiwasknitting, 2007."
)
STRETCHED: Final = (
    "Stitches at the turns are stretched and may open into holes that catch small fingers and "
    "toes: for an infant choose a gentler peak or a smaller hook. Source for holes: "
    "wishingiwasknitting, 2007; from which stretch on they open is this program's estimate."
)
ENDS: Final = (
    "Weave in every end firmly and leave no loops or cords long enough to go round a finger or a "
    "neck; leave off ribbons, fringe, tassels, pompoms and buttons. Source: sparrowinthesnow; "
    "small parts: CPSC rule for under 3 years."
)
WEIGHT: Final = (
    "On a pram a heavy blanket warms and weighs: use it tucked in and below the chest, and take it "
    "off indoors (common practice)."
)
BORDER: Final = (
    "A border that hangs in loops or picots catches fingers: keep it close (common practice)."
)


@dataclass(frozen=True, slots=True)
class _Fibre:
    """Words that a yarn's name may have, and what care they call for."""

    words: str
    message: str


_FIBRES: Final = (
    _Fibre(
        r"wool|merino|alpaca|mohair|cashmere|lambswool",
        "{yarns}: animal fibre may felt, shrink or itch. Wash as the ball band says, and try a "
        "swatch first (common practice).",
    ),
    _Fibre(
        r"acrylic|polyester|polyamide|nylon|chenille|microfibre|microfiber",
        "{yarns}: fibres of this kind melt when they burn. Keep it away from flames, heaters and "
        "hot irons (common practice).",
    ),
    _Fibre(
        r"cotton|linen|bamboo|viscose|rayon|hemp",
        "{yarns}: plant fibre burns quickly and can shrink when washed. Keep it away from flames, "
        "and wash a swatch first (common practice; cotton shrank about 8 % in width: bumpydoink).",
    ),
    _Fibre(
        r"mohair|angora|chenille|eyelash|faux fur|brushed",
        "{yarns}: long loose hairs come off and can be breathed in or swallowed. Another yarn is "
        "better for an infant (common practice).",
    ),
)
_INFANT_ONLY: Final = _FIBRES[3]


def check_cautions(
    design: Design, size: SizeMeasures, steady: Steady | None = None
) -> list[Finding]:
    """Return the cautions that the design calls for.

    Args:
        design: The design.
        size: Its finished measures.
        steady: Its settled wave, for holes that open by themselves; None leaves those out.
    """
    found: list[tuple[FindingLevel, str, str]] = []
    if is_for_infant(design, size):
        found.append(("note", "size", INFANT))
        if has_holes(design):
            found.append(("warning", "wave", HOLES))
        if steady is not None and _opens(steady):
            found.append(("warning", "wave", STRETCHED))
        found.append(("note", "size", ENDS))
        if use_of(design, size) == "pram":
            found.append(("note", "size", WEIGHT))
        if design.edging is not None and design.edging.border is not None:
            found.append(("note", "edging", BORDER))
    elif is_infant_size(size):  # someone may use it so, whatever it is meant for
        found.append(("note", "size", INFANT))
    found += [("note", f"yarn {number}", text) for number, text in _fibre_notes(design, size)]
    return [Finding(level, where, message) for level, where, message in found]


def use_of(design: Design, size: SizeMeasures) -> Use:
    """Return what the blanket is for: as the designer says, else as published sizes have it."""
    if design.use:
        return design.use
    return use_by_size(size)


def use_by_size(size: SizeMeasures) -> Use:
    """Return what published tables call a blanket of this size (`core.craft.tables.PRAM_MM`)."""
    short, long = sorted((size.width_mm, size.length_mm))
    if is_infant_size(size):
        return "pram"
    if short <= _LAP_MM[0] and long <= _LAP_MM[1]:
        return "lap"
    return "throw" if short <= _THROW_MM[0] and long <= _THROW_MM[1] else "bed"


def is_for_infant(design: Design, size: SizeMeasures) -> bool:
    """Return whether all cautions for infants are called for."""
    return use_of(design, size) in ("baby", "pram")


def is_infant_size(size: SizeMeasures) -> bool:
    """Return whether published size tables would call the blanket pram or baby size."""
    short, long = sorted((size.width_mm, size.length_mm))
    return short <= 1.05 * PRAM_MM[0] and long <= 1.15 * PRAM_MM[1]


def has_holes(design: Design) -> bool:
    """Return whether rows skip stitches or have chain spaces."""
    rows = (design.wave.first, *design.wave.rows_in_turn)
    items = [item for row in rows for item in (*row.start, *row.repeat, *row.end)]
    return any(item.skip or item.chain for item in items)


def short_caution(design: Design, size: SizeMeasures) -> str:
    """Return one line for a drawing that leaves the program by itself, empty where none is due."""
    if not is_for_infant(design, size):
        return ""
    holes = " Holes can catch fingers and toes." if has_holes(design) else ""
    return f"For an infant: follow your local safe-sleep guidance.{holes}"


def _opens(steady: Steady) -> bool:
    return steady.converged and wave_strain(steady).post_most >= HOLES_FROM


def _fibre_notes(design: Design, size: SizeMeasures) -> list[tuple[int, str]]:
    """Return a note for each kind of fibre that yarns are named after, with its first yarn."""
    notes = []
    for fibre in _FIBRES:
        if fibre is _INFANT_ONLY and not is_for_infant(design, size):
            continue
        pattern = re.compile(rf"\b(?:{fibre.words})\b", re.IGNORECASE)
        mine = [n for n, yarn in enumerate(design.yarns) if pattern.search(yarn.name)]
        if mine:
            names = list(dict.fromkeys(design.yarns[number].name for number in mine))
            more = len(names) - 3
            told = ", ".join(names[:3]) + (f" and {more} more" if more > 0 else "")
            notes.append((mine[0], fibre.message.format(yarns=told)))
    return notes
