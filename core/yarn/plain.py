"""The yarn in plain fabric, which everything else is reckoned from, and how sure that is.

Posts that a wave stretches or squeezes hold the same yarn: a stitch is made before the wave
pulls at it, so its length follows from the hook and the gauge, not from the fabric's strain.
"""

from typing import Final

from core.craft.tables import OWN_HAND, YARN_BAND, YARN_M_PER_M2, YARN_STITCH_MM
from core.craft.units import M_PER_YARD
from core.design.document import Design, Units
from core.records import Struct

LEAST_M_PER_M2: Final = 50.0
MOST_M_PER_M2: Final = 50_000.0


class Band(Struct, frozen=True):
    """Shares of a length between which it may come out; 1 is as reckoned."""

    low: float
    high: float


def published_m_per_m2(stitch_width_mm: float) -> float:
    """Return the yarn in a square metre of stitches so wide, by the published figure."""
    found = YARN_M_PER_M2 * YARN_STITCH_MM / stitch_width_mm
    return min(max(found, LEAST_M_PER_M2), MOST_M_PER_M2)


def yarn_m_per_m2(design: Design) -> float:
    """Return the yarn in a square metre of plain fabric: the swatch's, or the published one."""
    weighed = design.swatch.yarn_m_per_m2 if design.swatch else None
    return published_m_per_m2(design.gauge.stitch_width_mm) if weighed is None else weighed


def yarn_band(design: Design) -> Band:
    """Return how far worked yarn may be off: the published spread, or the swatch's own."""
    swatch = design.swatch
    if swatch is None or swatch.yarn_m_per_m2 is None:
        return Band(*YARN_BAND)
    off = OWN_HAND if swatch.yarn_off is None else swatch.yarn_off
    return Band(1.0 - off, 1.0 + off)


def yarn_text(length_m: float, units: Units) -> str:
    """Return a length of yarn in whole metres or yards, for sentences."""
    if units == "cm":
        return f"{length_m:,.0f} m"
    return f"{length_m / M_PER_YARD:,.0f} yd"
