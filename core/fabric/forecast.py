"""What the piece on the hook will come to, and the rows that bring it to the length wanted.

The piece is held against the plan at the same row; the rest is taken to go on as it has gone so
far. Its repeats are fixed by the chain, so only the rows can still be changed.
"""

from typing import Final

from core.design.document import Design
from core.design.edits import set_size, set_wanted
from core.fabric.measure import SizeMeasures, WaveMeasures
from core.fabric.sizes import LengthChoice, length_choices
from core.records import Struct

LEAST_SHARE: Final = 0.5
MOST_SHARE: Final = 2.0
"""Beyond these the piece and the plan can't be of one design (our own bounds)."""


class Forecast(Struct, frozen=True, kw_only=True):
    """The finished size that the piece on the hook will come to.

    Attributes:
        row: Row after which it was measured.
        planned_width_mm: Width the plan has, before washing; None if width wasn't measured.
        planned_length_mm: Length the plan has after that row, before washing; None likewise.
        width_share: The piece's width over the plan's; None likewise.
        length_share: The piece's length over the plan's; None likewise.
        width_mm: Finished width to come.
        length_mm: Finished length to come if the rows stay.
        wanted_mm: Finished length wished for, or planned where nothing is.
        choices: Rows near the length wanted, as they would come out.
        impossible: Whether a measure can't be of this design; then nothing is foretold from it.
    """

    row: int
    planned_width_mm: float | None
    planned_length_mm: float | None
    width_share: float | None
    length_share: float | None
    width_mm: float
    length_mm: float
    wanted_mm: float
    choices: tuple[LengthChoice, ...]
    impossible: tuple[str, ...] = ()

    @property
    def best(self) -> LengthChoice | None:
        """The rows that come nearest to the length wanted."""
        told = [choice for choice in self.choices if choice.off_mm is not None]
        return min(told, key=lambda choice: abs(choice.off_mm or 0.0), default=None)


def forecast_of(design: Design, size: SizeMeasures, wave: WaveMeasures) -> Forecast | None:
    """Return the forecast, or None where nothing was measured on the hook.

    Args:
        design: The design.
        size: Its finished measures.
        wave: Its wave after washing, if `size` is.
    """
    piece = design.progress
    if piece is None or (piece.width_mm is None and piece.length_mm is None):
        return None
    rise_mm = wave.rise_mm / size.wash.length
    planned_mm = size.worked_length_mm + (piece.row - design.size.rows) * rise_mm
    planned_mm = max(planned_mm, rise_mm)  # the first rows of a sketch may lie at naught
    width_share = None if piece.width_mm is None else piece.width_mm / size.worked_width_mm
    length_share = None if piece.length_mm is None else piece.length_mm / planned_mm
    named = (("width", width_share), ("length", length_share))
    impossible = tuple(n for n, s in named if s is not None and not LEAST_SHARE <= s <= MOST_SHARE)
    across = 1.0 if width_share is None or "width" in impossible else width_share
    up = 1.0 if length_share is None or "length" in impossible else length_share
    wish = design.wanted.length_mm if design.wanted else None
    wanted_mm = size.length_mm if wish is None else wish
    to_come = SizeMeasures(
        width_mm=size.width_mm * across, length_mm=size.length_mm * up, chain_mm=size.chain_mm
    )
    rising = WaveMeasures(
        repeat_width_mm=wave.repeat_width_mm * across,
        rise_mm=wave.rise_mm * up,
        wave_height_mm=wave.wave_height_mm,
        lean_deg=wave.lean_deg,
    )
    choices = length_choices(design, to_come, rising, wanted_mm=wanted_mm)
    return Forecast(
        row=piece.row,
        planned_width_mm=None if piece.width_mm is None else size.worked_width_mm,
        planned_length_mm=None if piece.length_mm is None else planned_mm,
        width_share=width_share,
        length_share=length_share,
        width_mm=to_come.width_mm,
        length_mm=to_come.length_mm,
        wanted_mm=wanted_mm,
        choices=tuple(choice for choice in choices if choice.rows >= piece.row),
        impossible=impossible,
    )


def restore_length(design: Design, rows: int, wanted_mm: float) -> Design:
    """Return the design with other rows and the length they restore kept as the wish.

    Without the wish the plan's own length, which the rows change, would be aimed at next.
    """
    return set_wanted(set_size(design, rows=rows), length_mm=round(wanted_mm, 1))
