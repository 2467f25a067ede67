"""The measures that a pattern states, each with the way it is taken."""

from typing import Literal

from core.design.document import Units
from core.edging.plan import grown_mm
from core.fabric.wash import wash_of
from core.pipeline import Results
from core.records import Struct
from core.words.measures import both_lengths, both_sizes, short_length
from core.words.vocabulary import Vocabulary

Edging = Literal["", "fill", "border", "both"]


class Measures(Struct, frozen=True, kw_only=True):
    """A blanket's measures, ready to be said; lengths in mm.

    Attributes:
        units: The units they are said in first.
        words: The words.
        width: Between the side edges, with the border if there is one.
        length: From end to end, with fills and border.
        edging: What is included beyond the waves.
        is_washed: Whether these are after washing.
        worked_width: The same as it comes off the hook.
        worked_length: Likewise.
        repeat_width: Peak to peak, in the state of `width`; None without a wave.
        wave_height: Dip to peak likewise.
        across: Waves across, as a round number; None without a wave.
    """

    units: Units
    words: Vocabulary
    width: float
    length: float
    edging: Edging
    is_washed: bool
    worked_width: float
    worked_length: float
    repeat_width: float | None
    wave_height: float | None
    across: int | None

    @property
    def state(self) -> str:
        """In which state the measures are."""
        return self.words.say("state washed" if self.is_washed else "state unwashed")

    @property
    def size_text(self) -> str:
        """Width by length in both units."""
        return both_sizes(self.width, self.length, self.units, self.words)

    def short(self, mm: float, *, fine: bool = False) -> str:
        """Return a length in the design's own unit; `fine` for those of one wave."""
        return short_length(mm, self.units, self.words, fine=fine)

    def both(self, mm: float, *, fine: bool = False) -> str:
        """Return a length in both units, the design's own first."""
        return both_lengths(mm, self.units, self.words, fine=fine)


def measures_of(results: Results, words: Vocabulary) -> Measures | None:
    """Return the measures of a blanket, None where its rows don't fit."""
    if results.rows.misfit is not None:
        return None
    design, size, wave = results.design, results.size, results.finished_wave
    wash = wash_of(design.swatch)
    wider, longer = grown_mm(results.ends, results.border, wash)
    plain_wider, plain_longer = grown_mm(results.ends, results.border)
    return Measures(
        units=design.units,
        words=words,
        width=size.width_mm + wider,
        length=size.length_mm + longer,
        edging=_edging(has_fill=results.ends.has_fill, has_border=results.border is not None),
        is_washed=size.is_washed,
        worked_width=size.worked_width_mm + plain_wider,
        worked_length=size.worked_length_mm + plain_longer,
        repeat_width=wave.repeat_width_mm if wave else None,
        wave_height=wave.wave_height_mm if wave else None,
        across=max(round(size.width_mm / wave.repeat_width_mm), 1) if wave else None,
    )


def _edging(*, has_fill: bool, has_border: bool) -> Edging:
    if has_border:
        return "both" if has_fill else "border"
    return "fill" if has_fill else ""
