"""The measures that a pattern states, each with the way it is taken, in the design's units."""

from dataclasses import dataclass

from core.craft.units import MM_PER_IN
from core.design.document import Units
from core.edging.plan import grown_mm
from core.fabric.wash import wash_of
from core.pipeline import Results


def length_text(mm: float, units: Units, *, fine: bool = False) -> str:
    """Return a length in both units, the design's own first; `fine` for small ones."""
    cm = f"{mm / 10:.1f} cm" if fine else f"{mm / 10:.0f} cm"
    inches = f"{mm / MM_PER_IN:.2f} in" if fine else f"{mm / MM_PER_IN:.1f} in"
    return f"{cm} ({inches})" if units == "cm" else f"{inches} ({cm})"


def short_length(mm: float, units: Units, *, fine: bool = False) -> str:
    """Return a length in the design's units alone."""
    return length_text(mm, units, fine=fine).split(" (")[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """A blanket's measures, ready to be said; lengths in mm.

    Attributes:
        units: The units they are said in first.
        width: Between the side edges, with the border if there is one.
        length: From end to end, with fills and border.
        edging: What is included beyond the waves: "", "the border", "fill rows and border".
        is_washed: Whether these are after washing.
        worked_width: The same as it comes off the hook.
        worked_length: Likewise.
        repeat_width: Peak to peak, in the state of `width`; None without a wave.
        wave_height: Dip to peak likewise.
        across: Waves across, as a round number; None without a wave.
    """

    units: Units
    width: float
    length: float
    edging: str
    is_washed: bool
    worked_width: float
    worked_length: float
    repeat_width: float | None
    wave_height: float | None
    across: int | None

    @property
    def state(self) -> str:
        """In which state the measures are."""
        return "after washing" if self.is_washed else "as it comes off the hook, before washing"

    @property
    def size_text(self) -> str:
        """Width by length in both units."""
        cm = f"{self.width / 10:.0f} × {self.length / 10:.0f} cm"
        inches = f"{self.width / MM_PER_IN:.1f} × {self.length / MM_PER_IN:.1f} in"
        return f"{cm} ({inches})" if self.units == "cm" else f"{inches} ({cm})"

    @property
    def worked_text(self) -> str:
        """Width by length off the hook, in the design's units."""
        by = self.units
        wide, long = short_length(self.worked_width, by), short_length(self.worked_length, by)
        return f"{wide} by {long}"


def measures_of(results: Results) -> Measures | None:
    """Return the measures of a blanket, None where its rows don't fit."""
    if results.rows.misfit is not None:
        return None
    design, size, wave = results.design, results.size, results.finished_wave
    wash = wash_of(design.swatch)
    wider, longer = grown_mm(results.ends, results.border, wash)
    plain_wider, plain_longer = grown_mm(results.ends, results.border)
    parts = (("fill rows", results.ends.has_fill), ("border", results.border is not None))
    return Measures(
        units=design.units,
        width=size.width_mm + wider,
        length=size.length_mm + longer,
        edging=" and ".join(name for name, there in parts if there),
        is_washed=size.is_washed,
        worked_width=size.worked_width_mm + plain_wider,
        worked_length=size.worked_length_mm + plain_longer,
        repeat_width=wave.repeat_width_mm if wave else None,
        wave_height=wave.wave_height_mm if wave else None,
        across=max(round(size.width_mm / wave.repeat_width_mm), 1) if wave else None,
    )
