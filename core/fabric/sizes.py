"""Finished sizes: after washing, from a measured chain, and the choices near a wish.

Whole repeats and whole rows give only certain sizes. Each choice says what it costs in chains
and how far it is from the wish.
"""

from collections.abc import Iterable

from core.design.document import Design
from core.design.edits import set_size
from core.fabric.measure import SizeMeasures, WaveMeasures, measure_size
from core.fabric.sheet import Fabric
from core.fabric.wash import wash_of
from core.records import Struct, replace
from core.rows.foundation import Foundation, foundation_of

SPREAD = 3
"""Choices shown each way from the nearest one."""


class WidthChoice(Struct, frozen=True, kw_only=True):
    """A width that whole repeats give.

    Attributes:
        repeats: Repeats between the edges, as the design counts them.
        across: Repeats across as the chain counts them: so many multiples, and the extra.
        width_mm: Finished width.
        multiple: Chains of one of them; 0 where they work into none.
        extra: Chains beyond whole multiples.
        chains: Foundation chain.
        chain_mm: The chain that row 1 is worked into, laid out.
        stitches: Stitches that row 1 makes.
        off_mm: Width less the width wished for; None without a wish.
    """

    repeats: int
    across: int
    multiple: int
    extra: int
    width_mm: float
    chains: int
    chain_mm: float
    stitches: int
    off_mm: float | None


class LengthChoice(Struct, frozen=True, kw_only=True):
    """A length that whole rows give.

    Attributes:
        rows: Rows.
        length_mm: Finished length.
        off_mm: Length less the length wished for; None without a wish.
    """

    rows: int
    length_mm: float
    off_mm: float | None


def finished_size(design: Design, fabric: Fabric) -> SizeMeasures:
    """Return the blanket's measures with its chain as measured, after washing if that is known."""
    size = measure_size(fabric)
    chain_mm = len(fabric.row_tops_mm(0)) * chain_stitch_mm(design)
    return replace(size, chain_mm=chain_mm).after(wash_of(design.swatch))


def chain_stitch_mm(design: Design) -> float:
    """Return the length of one chain laid out: measured, or as wide as a plain stitch."""
    measured = measured_chain_mm(design)
    return design.gauge.stitch_width_mm if measured is None else measured


def measured_chain_mm(design: Design) -> float | None:
    """Return the length of one chain by the chain that was measured, if there is one."""
    swatch, multiple = design.swatch, _foundation(design, design.size.repeats).multiple
    if swatch is None or swatch.chain_mm is None or not multiple:
        return None
    return swatch.chain_mm / swatch.chain_repeats / multiple


def width_choices(
    design: Design,
    size: SizeMeasures,
    wave: WaveMeasures,
    *,
    wanted_mm: float | None = None,
    spread: int = SPREAD,
) -> tuple[WidthChoice, ...]:
    """Return the widths of `spread` repeats either way from the nearest, narrowest first.

    Args:
        design: The design; its own width is the middle one where nothing is wished for.
        size: Its finished measures.
        wave: Its wave after washing, if `size` is.
        wanted_mm: The finished width wished for.
        spread: Choices each way.
    """
    now, first = design.size.repeats, design.wave.first
    off = 0.0 if wanted_mm is None else (wanted_mm - size.width_mm) / wave.repeat_width_mm
    choices = []
    for repeats in _allowed(design, "repeats", _around(now, off, spread)):
        width_mm = size.width_mm + (repeats - now) * wave.repeat_width_mm
        foundation = _foundation(design, repeats)
        choice = WidthChoice(
            repeats=repeats,
            across=across(foundation, repeats),
            multiple=foundation.multiple,
            extra=foundation.extra,
            width_mm=width_mm,
            chains=foundation.chains,
            chain_mm=foundation.base_stitches * chain_stitch_mm(design),
            stitches=first.makes(repeats),
            off_mm=None if wanted_mm is None else width_mm - wanted_mm,
        )
        choices.append(choice)
    return tuple(choices)


def length_choices(
    design: Design,
    size: SizeMeasures,
    wave: WaveMeasures,
    *,
    wanted_mm: float | None = None,
    step: int = 1,
    spread: int = SPREAD,
) -> tuple[LengthChoice, ...]:
    """Return the lengths of `spread` steps of `step` rows either way from the nearest."""
    now = design.size.rows
    off = 0.0 if wanted_mm is None else (wanted_mm - size.length_mm) / (wave.rise_mm * step)
    steps = _around(0, off, spread, least=-((now - 1) // step))
    every = (now + step * number for number in steps)
    return tuple(
        LengthChoice(
            rows=rows,
            length_mm=size.length_mm + (rows - now) * wave.rise_mm,
            off_mm=(
                None
                if wanted_mm is None
                else size.length_mm + (rows - now) * wave.rise_mm - wanted_mm
            ),
        )
        for rows in _allowed(design, "rows", every)
    )


def length_at(design: Design, size: SizeMeasures, wave: WaveMeasures | None, rows: int) -> float:
    """Return the finished length (mm) with so many rows; without a steady wave, in proportion."""
    now = design.size.rows
    if wave is None:
        return size.length_mm * rows / now
    return size.length_mm + (rows - now) * wave.rise_mm


def rows_near(
    design: Design, size: SizeMeasures, wave: WaveMeasures | None, length_mm: float
) -> int:
    """Return the rows whose finished length is nearest to a wish, within the design's bounds."""
    now = design.size.rows
    rise = wave.rise_mm if wave is not None else size.length_mm / now
    rows = now + (length_mm - size.length_mm) / rise if rise > 0 else now
    return round(min(max(rows, 1), 5000))


def across(foundation: Foundation, repeats: int) -> int:
    """Return how many multiples the chain holds, or the repeats where they work into no chain."""
    return foundation.chains // foundation.multiple if foundation.multiple else repeats


def _around(now: int, off: float, spread: int, *, least: int = 1) -> range:
    middle = max(now + round(max(min(off, 1e6), -1e6)), least)
    return range(middle - spread, middle + spread + 1)


def _allowed(design: Design, part: str, numbers: Iterable[int]) -> list[int]:
    """Return the numbers that a design may have; where none is, the last one that is."""
    most = 1000 if part == "repeats" else 5000
    inside = {min(max(number, 1), most) for number in numbers}
    if _is_drawn(design, part, max(inside)):  # then all smaller ones are
        return sorted(inside)
    found = [number for number in sorted(inside) if _is_drawn(design, part, number)]
    return found or [_last_drawn(design, part, min(inside))]


def _is_drawn(design: Design, part: str, number: int) -> bool:
    try:
        set_size(design, **{part: number})
    except ValueError:
        return False
    return True


def _last_drawn(design: Design, part: str, most: int) -> int:
    """Return the largest number below `most` whose design isn't too big to be drawn."""
    low, high = 1, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _is_drawn(design, part, middle) else (low, middle)
    return low


def _foundation(design: Design, repeats: int) -> Foundation:
    return foundation_of(design.wave.first, design.turning, repeats)
