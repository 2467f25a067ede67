"""The sizes near a wish: one repeat or a few rows more or less, and what each costs."""

from dataclasses import dataclass

from core.design.document import Design
from core.fabric.measure import SizeMeasures, WaveMeasures
from core.rows.foundation import foundation_of


@dataclass(frozen=True, slots=True)
class WidthChoice:
    """A width that whole repeats give.

    Attributes:
        repeats: Repeats between the edges.
        width_mm: Finished width.
        chains: Foundation chain.
        stitches: Stitches that row 1 makes.
    """

    repeats: int
    width_mm: float
    chains: int
    stitches: int


@dataclass(frozen=True, slots=True)
class LengthChoice:
    """A length that whole rows give.

    Attributes:
        rows: Rows.
        length_mm: Finished length.
    """

    rows: int
    length_mm: float


def width_choices(
    design: Design, size: SizeMeasures, wave: WaveMeasures, *, spread: int = 3
) -> tuple[WidthChoice, ...]:
    """Return the widths of `spread` repeats fewer to `spread` more."""
    now = design.size.repeats
    first = design.wave.first
    return tuple(
        WidthChoice(
            repeats,
            size.width_mm + (repeats - now) * wave.repeat_width_mm,
            foundation_of(first, design.turning, repeats).chains,
            first.makes(repeats),
        )
        for repeats in range(max(now - spread, 1), now + spread + 1)
    )


def length_choices(
    design: Design, size: SizeMeasures, wave: WaveMeasures, *, step: int, spread: int = 3
) -> tuple[LengthChoice, ...]:
    """Return the lengths of `spread` steps of `step` rows fewer to `spread` more."""
    now = design.size.rows
    return tuple(
        LengthChoice(rows, size.length_mm + (rows - now) * wave.rise_mm)
        for rows in range(now - spread * step, now + spread * step + 1, step)
        if rows >= 1
    )
