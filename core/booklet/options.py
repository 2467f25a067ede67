"""The editions of a booklet and what can be chosen about them."""

from dataclasses import dataclass
from typing import Final, Literal

from core.craft.stitches import Terms
from core.design.document import Design, Hand

EditionName = Literal["full", "plain", "large", "html"]
PageName = Literal["a4", "letter"]

PAGES_MM: Final[dict[PageName, tuple[float, float]]] = {
    "a4": (210.0, 297.0),  # ISO 216
    "letter": (215.9, 279.4),  # 8.5 x 11 in
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """One way to publish the same pattern.

    Attributes:
        key: Its name inside the program.
        name: Its name for people.
        about: What it contains and leaves out.
        access: Its access statement.
        has_pages: Whether it is laid out in pages.
        coloured: Whether yarns are shown as fills of colour.
        has_chart: Whether the chart is in it.
    """

    key: EditionName
    name: str
    about: str
    access: str
    has_pages: bool = True
    coloured: bool = True
    has_chart: bool = True


EDITIONS: Final[tuple[Edition, ...]] = (
    Edition(
        key="full",
        name="Full colour",
        about="Everything: the blanket in colour, measurements, words, chart with key, "
        "and stripes to tick off.",
        access="Access: colours are always lettered and named as well. Pictures are described in "
        "the HTML edition. There are a plain edition for printing, a large-type edition and an "
        "HTML edition for screen readers.",
    ),
    Edition(
        key="plain",
        name="Plain print",
        about="The same words and chart in black on white, small and close: few pages, little "
        "ink. An outline drawing takes the place of the picture.",
        access="Access: black on white without colour; yarns are told apart by letters. There are "
        "a full-colour edition, a large-type edition and an HTML edition for screen readers.",
        coloured=False,
    ),
    Edition(
        key="large",
        name="Large type",
        about="24-point sans-serif in one column, without italics. It can be made from the words "
        "alone, so there is no chart.",
        access="Access: all type is 24 points or larger, sans-serif and upright, in one column. "
        "The blanket can be made from the words alone; what the chart shows is told in words. "
        "There is also an HTML edition for screen readers.",
        has_chart=False,
    ),
    Edition(
        key="html",
        name="Structured HTML",
        about="One file for screen readers and browsers: headings, lists and tables that say what "
        "they are, and pictures described in words.",
        access="Access: headings, lists and tables are marked as such, every picture is described "
        "in words, abbreviations carry their meaning, and nothing depends on colour. The page "
        "needs no script, loads nothing from elsewhere and can be enlarged at will.",
        has_pages=False,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """What is chosen about a booklet.

    Attributes:
        edition: Which edition.
        page: The paper.
        terms: Terms of the words; None for the design's own.
        hand: The working hand that chart, picture and row sides are for; None for the design's.
        repeats: Repeats of another size; None for the design's own.
        rows: Its rows likewise.
    """

    edition: EditionName = "full"
    page: PageName = "a4"
    terms: Terms | None = None
    hand: Hand | None = None
    repeats: int | None = None
    rows: int | None = None

    def hand_of(self, design: Design) -> Hand:
        """Return the working hand the booklet is for."""
        return self.hand or design.hand

    def terms_of(self, design: Design) -> Terms:
        """Return the terms its words are in."""
        return self.terms or design.terms


def edition_of(key: EditionName) -> Edition:
    """Return an edition by its name."""
    return next(edition for edition in EDITIONS if edition.key == key)
