"""Three ways to find the yarn in a square metre of one's own cloth.

Weigh a piece of cloth and measure it; take some stitches out and measure the yarn; or weigh the
ball before and after some rows. Each says how sure it is: a kitchen scale that reads whole grams
makes a small swatch a rough one.
"""

import math
from typing import Final

from core.craft.stitches import CATALOGUE, WorkedStitch, height_ratio
from core.design.document import Design, Yarn
from core.errors import DesignError
from core.fabric.measure import WaveMeasures
from core.records import Struct
from core.yarn.plain import LEAST_M_PER_M2, MOST_M_PER_M2, yarn_m_per_m2
from core.yarn.rows import RowYarn
from core.yarn.running_out import metres

CLOTH_OFF: Final = 0.03
"""Share by which measured cloth or yarn may be off (our own choice)."""
_ROUGH: Final = 1.0  # no swatch is said to be worse than this


class Weighed(Struct, frozen=True):
    """Yarn in a square metre of plain fabric, and the share it may be off either way."""

    m_per_m2: float
    off: float


def by_cloth(
    design: Design,
    yarn: Yarn,
    *,
    grams: float,
    width_mm: float,
    length_mm: float,
    wave: WaveMeasures | None = None,
    by_row: RowYarn | None = None,
    scale_g: float = 1.0,
) -> Weighed:
    """Return what a weighed piece of cloth tells.

    Args:
        design: The design.
        yarn: What it was worked in.
        grams: Its weight, without tails that aren't worked.
        width_mm: Its width.
        length_mm: Its length.
        wave: Measures of the wave, if the piece was worked in it; otherwise it is plain.
        by_row: What each row takes as reckoned now; wanted with `wave`.
        scale_g: What the scales read to.

    Raises:
        DesignError: No cloth comes out like that.
    """
    _positive(grams, "The swatch has no weight yet: weigh it without its tails.")
    _positive(width_mm * length_mm, "The swatch has no size yet: measure its width and length.")
    per_area = metres(yarn, grams) / (width_mm * length_mm / 1e6)
    if wave is not None and by_row is not None and len(by_row.repeat_m):
        covered = wave.repeat_width_mm * wave.rise_mm / 1e6
        now = float(by_row.repeat_m.mean()) / covered
        per_area *= yarn_m_per_m2(design) / now
    return _checked(per_area, _off(grams, scale_g))


def by_stitches(
    design: Design, stitch: WorkedStitch, *, stitches: int, length_mm: float
) -> Weighed:
    """Return what taking some stitches out and measuring their yarn tells.

    Raises:
        DesignError: No cloth comes out like that.
    """
    _positive(stitches, "Say how many stitches you took out.")
    _positive(length_mm, "Measure the yarn of the stitches you took out, pulled straight.")
    gauge = design.gauge
    height = gauge.row_height_mm * height_ratio(stitch, gauge.stitch)
    area_m2 = stitches * gauge.stitch_width_mm * height / 1e6
    return _checked(length_mm / 1000 / area_m2, math.hypot(CLOTH_OFF, CLOTH_OFF))


def by_rows(
    design: Design,
    by_row: RowYarn,
    yarn: Yarn,
    *,
    first: int,
    last: int,
    grams: float,
    scale_g: float = 1.0,
) -> Weighed:
    """Return what weighing the ball before and after some rows of the blanket tells.

    Raises:
        DesignError: There are no such rows, or no cloth comes out like that.
    """
    if not 1 <= first <= last <= len(by_row.row_m):
        raise DesignError(
            f"Rows {first} to {last} aren't rows of this blanket: it has {len(by_row.row_m)}."
        )
    _positive(grams, "Those rows have taken no yarn: weigh the ball before and after them.")
    now = float(by_row.row_m[first - 1 : last].sum())
    per_area = yarn_m_per_m2(design) * metres(yarn, grams) / now
    return _checked(per_area, _off(grams, scale_g * math.sqrt(2)))


def stitch_choices(design: Design) -> tuple[WorkedStitch, ...]:
    """Return the gauge's stitch and the others that the rows have."""
    wave = design.wave
    rows = (wave.first, *wave.rows_in_turn)
    met = {item.stitch for row in rows for item in row.start + row.repeat + row.end if item.stitch}
    others = sorted(met - {design.gauge.stitch}, key=list(CATALOGUE).index)
    return (design.gauge.stitch, *others)


def _off(grams: float, scale_g: float) -> float:
    return min(math.hypot(0.5 * scale_g / grams, CLOTH_OFF), _ROUGH)


def _positive(value: float, otherwise: str) -> None:
    if not value > 0:
        raise DesignError(otherwise)


def _checked(per_area: float, off: float) -> Weighed:
    if not LEAST_M_PER_M2 <= per_area <= MOST_M_PER_M2:
        raise DesignError(
            f"That comes to {per_area:,.0f} m in a square metre, which no cloth takes: check "
            "weight and size, and what a ball holds."
        )
    return Weighed(per_area, round(off, 4))
