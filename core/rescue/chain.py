"""A chain that isn't as long as it should be: what fits it, and what to do about the difference.

Unpicking chains from the beginning, and adding some there with another piece of yarn, are
common practice (that spare chains may be unpicked from the start: hookingcrazy).
"""

import math
from typing import Final

from core.craft.tables import TAIL_MM, YARN_MM_PER_CHAIN_MM
from core.design.document import Design
from core.fabric.measure import SizeMeasures, WaveMeasures
from core.fabric.sizes import chain_stitch_mm
from core.records import Struct
from core.rows.foundation import foundation_of

MAX_CHAINS: Final = 20_000
MAX_REPEATS: Final = 1000
_SPREAD: Final = 2


class Fit(Struct, frozen=True, kw_only=True):
    """A number of repeats that a chain can be made to fit.

    Attributes:
        repeats: Repeats between the edges, as the design counts them.
        chains: Chains it takes.
        change: Chains to add to what there is; negative for chains to unpick.
        stitches: Stitches that row 1 makes.
        width_mm: Finished width; None where the rows have no settled wave.
        is_design: Whether it is the design's own size.
    """

    repeats: int
    chains: int
    change: int
    stitches: int
    width_mm: float | None
    is_design: bool


class ChainHelp(Struct, frozen=True, kw_only=True):
    """A chain counted, held against the design.

    Attributes:
        counted: Chains there are.
        wanted: Chains there should be.
        fits: Repeats that fit it nearly, narrowest first; the design's own among them.
        nearest: The one with the least to change.
        yarn_mm: Yarn that the missing chains take, with two ends to weave in; 0 if none are.
    """

    counted: int
    wanted: int
    fits: tuple[Fit, ...]
    nearest: Fit
    yarn_mm: float

    @property
    def too_many(self) -> int:
        """Chains too many; negative if some are missing."""
        return self.counted - self.wanted


def help_with_chain(
    design: Design, counted: int, size: SizeMeasures | None = None, wave: WaveMeasures | None = None
) -> ChainHelp:
    """Return what fits a chain of `counted` chains.

    Args:
        design: The design.
        counted: Chains that were counted, the loop on the hook left out.
        size: Its finished measures, for the widths.
        wave: Its finished wave, likewise.
    """
    foundation = foundation_of(design.wave.first, design.turning, design.size.repeats)
    multiple, now = foundation.multiple, design.size.repeats
    off = (counted - foundation.chains) / multiple if multiple else 0.0
    middle = now + math.floor(off)
    near = range(middle - _SPREAD + 1, middle + _SPREAD + 1)
    numbers = sorted({min(max(n, 1), MAX_REPEATS) for n in (*near, now)})
    fits = tuple(_fit(design, n, counted, size, wave) for n in numbers)
    missing = max(foundation.chains - counted, 0)
    return ChainHelp(
        counted=counted,
        wanted=foundation.chains,
        fits=fits,
        nearest=min(fits, key=lambda fit: (abs(fit.change), fit.change)),
        yarn_mm=yarn_for_chains_mm(design, missing),
    )


def yarn_for_chains_mm(design: Design, chains: int) -> float:
    """Return the yarn that so many chains take, with a tail at both ends; 0 for none."""
    if not chains:
        return 0.0
    return chains * chain_stitch_mm(design) * YARN_MM_PER_CHAIN_MM + 2 * TAIL_MM


def _fit(
    design: Design,
    repeats: int,
    counted: int,
    size: SizeMeasures | None,
    wave: WaveMeasures | None,
) -> Fit:
    first = design.wave.first
    chains = foundation_of(first, design.turning, repeats).chains
    width = None
    if size is not None and wave is not None:
        width = size.width_mm + (repeats - design.size.repeats) * wave.repeat_width_mm
    return Fit(
        repeats=repeats,
        chains=chains,
        change=chains - counted,
        stitches=first.makes(repeats),
        width_mm=width,
        is_design=repeats == design.size.repeats,
    )
