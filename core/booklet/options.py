"""The editions of a booklet and what can be chosen about them."""

from typing import Final, Literal

from core.craft.stitches import Terms
from core.design.document import Design, Hand, NamedSize
from core.editions import Edition as Written
from core.editions import SizeChoice, sizes_in_order
from core.records import Struct
from core.words.languages import Language

EditionName = Literal["full", "plain", "large", "html"]
PageName = Literal["a4", "letter"]

PAGES_MM: Final[dict[PageName, tuple[float, float]]] = {
    "a4": (210.0, 297.0),  # ISO 216
    "letter": (215.9, 279.4),  # 8.5 x 11 in
}


class Edition(Struct, frozen=True, kw_only=True):
    """One way to publish the same pattern.

    Attributes:
        key: Its name inside the program.
        name: Its name for people.
        about: What it contains and leaves out.
        has_pages: Whether it is laid out in pages.
        coloured: Whether yarns are shown as fills of colour.
        has_chart: Whether the chart is in it.
        spelled: Whether nothing in it is abbreviated, for a voice to read.
    """

    key: EditionName
    name: str
    about: str
    has_pages: bool = True
    coloured: bool = True
    has_chart: bool = True
    spelled: bool = False


EDITIONS: Final[tuple[Edition, ...]] = (
    Edition(
        key="full",
        name="Full colour",
        about="Everything: the blanket in colour, measurements, words, chart with key, "
        "and stripes to tick off.",
    ),
    Edition(
        key="plain",
        name="Plain print",
        about="The same words and chart in black on white, small and close: few pages, little "
        "ink. An outline drawing takes the place of the picture.",
        coloured=False,
    ),
    Edition(
        key="large",
        name="Large type",
        about="24-point sans-serif in one column, without italics. It can be made from the words "
        "alone, so there is no chart.",
        has_chart=False,
    ),
    Edition(
        key="html",
        name="Structured HTML",
        about="The edition for screen readers: one file for any browser, with headings, lists and "
        "tables that say what they are, every word spelled out and pictures described.",
        spelled=True,
        has_pages=False,
    ),
)


class Options(Struct, frozen=True, kw_only=True):
    """What is chosen about a booklet.

    Attributes:
        edition: Which edition.
        page: The paper.
        terms: Terms of the words; None for the design's own.
        language: Language of everything that is written; terms are those of English.
        size: The design's own size, one of its others, or all of them in one text.
        hand: The working hand that chart, picture and row sides are for; None for the design's.
        repeats: Repeats of a size that has no name; None for those of `size`.
        rows: Its rows likewise.
    """

    edition: EditionName = "full"
    page: PageName = "a4"
    terms: Terms | None = None
    language: Language = "en"
    size: SizeChoice = "own"
    hand: Hand | None = None
    repeats: int | None = None
    rows: int | None = None

    def hand_of(self, design: Design) -> Hand:
        """Return the working hand the booklet is for."""
        return self.hand or design.hand

    def size_of(self, design: Design) -> tuple[int, int]:
        """Return the repeats and rows of the blanket that is shown."""
        shown = self.named_size(design) or design.size
        return self.repeats or shown.repeats, self.rows or shown.rows

    def named_size(self, design: Design) -> NamedSize | None:
        """Return the size that was chosen by its name, if it was and is still there."""
        is_named = isinstance(self.size, int) and 0 <= self.size < len(design.sizes)
        if not is_named or self.repeats or self.rows:
            return None
        return design.sizes[int(self.size)]

    def has_all_sizes(self, design: Design) -> bool:
        """Return whether all sizes stand in one text."""
        alone = not (self.repeats or self.rows)
        return self.size == "all" and alone and len(sizes_in_order(design)) > 1

    def terms_of(self, design: Design) -> Terms:
        """Return the terms its words are in."""
        return self.terms or design.terms

    def written(self, design: Design) -> Written:
        """Return how its words are written, of a design that is kept in the size shown."""
        return Written(
            terms=self.terms_of(design),
            language=self.language,
            spelled=edition_of(self.edition).spelled,
            size="all" if self.has_all_sizes(design) else "own",
        )


def edition_of(key: EditionName) -> Edition:
    """Return an edition by its name."""
    return next(edition for edition in EDITIONS if edition.key == key)
