"""How exports are made: what was chosen in the dialog or on the command line."""

from typing import Final, Literal

from core.booklet.options import Options, PageName
from core.chart.piece import STANDARD, Part
from core.chart.sheet import Apart
from core.craft.stitches import Terms
from core.craft.units import MM_PER_IN
from core.design.document import Hand
from core.editions import OWN, Edition
from core.records import Struct, field, replace

Pages = Literal["own", "A4", "Letter"]


class Choices(Struct, frozen=True, kw_only=True):
    """How exports are made.

    Attributes:
        part: Rows and repeats on the chart.
        straight: Straight grid instead of the fabric's own lie.
        coloured: Rows in the tints of their yarns.
        grey: Colours as greys that are as light, in charts and pictures.
        apart: How rows are told apart without colour.
        with_key: Key and caption under the chart.
        terms: Terms of key and rows; None for the design's own.
        hand: Hand the chart is for; None for the design's own.
        both_hands: Charts for the other hand as well.
        width_mm: Printed width of the chart.
        dpi: Fineness of pictures.
        width_px: Width of pictures in pixels instead, if given.
        edition: Language, form and size of the written pattern.
        booklet: Paper, hand and size of booklets.
        pages: Paper of the PDF; its own size holds the whole chart on one page.
        paper: Paper of lists, cards and rulers; None for the usual one with the design's units.
    """

    part: Part = STANDARD
    straight: bool = False
    coloured: bool = True
    grey: bool = False
    apart: Apart = "weight"
    with_key: bool = True
    terms: Terms | None = None
    hand: Hand | None = None
    both_hands: bool = False
    width_mm: float = 180.0
    dpi: int = 300
    width_px: int | None = None
    edition: Edition = OWN
    booklet: Options = field(default_factory=Options)
    pages: Pages = "own"
    paper: PageName | None = None

    @property
    def written(self) -> Edition:
        """How the words are written, in the terms that were chosen."""
        return replace(self.edition, terms=self.terms or self.edition.terms)

    def picture_width_px(self) -> int:
        """Return the width of pictures."""
        if self.width_px is not None:
            return self.width_px
        return max(round(self.width_mm / MM_PER_IN * self.dpi), 16)


DEFAULT: Final = Choices()
