"""What washing changes: the share of width and of length that is left after it.

The model and everything entered as gauge or worked wave are of the piece before it is washed,
and so is the yarn in it; finished sizes are what the model gives times these shares.
"""

from typing import Final

from core.design.document import Swatch
from core.records import Struct

LEAST_SHARE: Final = 0.5
MOST_SHARE: Final = 1.5
"""Beyond these a before and an after can't be of one piece (our own bounds; cotton is said to
lose 8 % of its width in the first wash: bumpydoink)."""


class Wash(Struct, frozen=True):
    """What washing does to a piece.

    Attributes:
        width: Width after washing over width before.
        length: Length after over length before.
        width_known: Whether the width was measured before and after.
        length_known: Whether the length was.
    """

    width: float = 1.0
    length: float = 1.0
    width_known: bool = False
    length_known: bool = False

    @property
    def is_known(self) -> bool:
        """Whether a change by washing is known at all."""
        return self.width_known or self.length_known


UNWASHED: Final = Wash()


def wash_of(swatch: Swatch | None) -> Wash:
    """Return what washing changes; pairs that can't be of one piece are left out."""
    width, length = (share if _is_possible(share) else None for share in _shares(swatch))
    return Wash(
        width=1.0 if width is None else width,
        length=1.0 if length is None else length,
        width_known=width is not None,
        length_known=length is not None,
    )


def impossible_washes(swatch: Swatch | None) -> tuple[tuple[str, float], ...]:
    """Return which of "width" and "length" can't be right, with the share it would leave."""
    named = zip(("width", "length"), _shares(swatch), strict=True)
    return tuple((n, s) for n, s in named if s is not None and not _is_possible(s))


def before_washing(swatch: Swatch | None) -> tuple[float | None, float | None]:
    """Return the width and length before washing: the pair's own, or the worked wave's."""
    if swatch is None:
        return None, None
    width = swatch.repeats_mm if swatch.wash_width_mm is None else swatch.wash_width_mm
    length = swatch.rows_mm if swatch.wash_length_mm is None else swatch.wash_length_mm
    return width, length


def _shares(swatch: Swatch | None) -> tuple[float | None, float | None]:
    if swatch is None:
        return None, None
    width, length = before_washing(swatch)
    return _share(width, swatch.washed_width_mm), _share(length, swatch.washed_length_mm)


def _share(before_mm: float | None, after_mm: float | None) -> float | None:
    return None if before_mm is None or after_mm is None else after_mm / before_mm


def _is_possible(share: float | None) -> bool:
    return share is not None and LEAST_SHARE <= share <= MOST_SHARE
