"""Published swatches and the flat-disc rule, to check the catalogue's proportions against."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Swatch:
    """A plain gauge printed in a published pattern.

    Attributes:
        stitch: US abbreviation.
        stitches: Stitches over 4 inches.
        rows: Rows over 4 inches.
        source: Where it was printed.
    """

    stitch: str
    stitches: float
    rows: float
    source: str

    @property
    def height_to_width(self) -> float:
        """Row height over stitch width."""
        return self.stitches / self.rows


SWATCHES: Final = (
    Swatch("sc", 16, 16, "Ripple Ridge Afghan"),
    Swatch("sc", 13, 14, "CAC0502-031917M"),
    Swatch("sc", 12, 14, "CAC0126-035092M"),
    Swatch("sc", 10, 12, "corner-dip afghan, slideblast 142-m"),
    Swatch("sc", 10, 11, "BRC0125-027114M"),
    Swatch("sc", 10, 10, "BRC0502-029618M"),
    Swatch("sc", 9, 10, "BRC0202-027890M"),
    Swatch("sc", 8, 9, "CAC0502-029057M"),
    Swatch("sc", 7, 8, "chevron bands sheet (joann)"),
    Swatch("sc", 14, 16, "crochetkitten.com, measuring gauge"),
    Swatch("sc", 14, 16, "scribd 218270080 flag afghan"),
    Swatch("hdc", 13, 9, "niftynnifer.com 2013-07, measured, 4.5 mm"),
    Swatch("dc", 13, 8, "CAC0135-001742M, 5 mm"),
    Swatch("dc", 11, 6, "worsted afghan sheet (fdocuments)"),
    Swatch("dc", 8, 5, "BRC0125-003704M"),
    Swatch("dc", 18, 12, "patternsforcrochet.co.uk page 26, 4 mm"),
    Swatch("dc", 7, 4.44, "five rows in 4.5 in (joann)"),
    Swatch("tr", 10, 4, "PAC0125-002711M, 6.5 mm"),
)

FLAT_DISC: Final = {"sc": (6,), "hdc": (8,), "dc": (12,), "tr": (15, 16)}
"""Increases a round that keep a disc flat (craftymaria 2009-06; crochets.top)."""
