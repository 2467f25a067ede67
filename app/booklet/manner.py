"""How each edition looks: type, spaces, colours, columns. Lengths on the page are units.

A unit is a tenth of a point, so that type sizes are whole numbers on every device and lines
break alike on screen and paper.
"""

from typing import Final

from core.booklet.options import PAGES_MM, EditionName, PageName
from core.craft.units import MM_PER_IN
from core.records import Struct

POINT: Final = 10.0
"""Units in a point."""

MM: Final = 72.0 / MM_PER_IN * POINT
"""Units in a millimetre."""

SHORT: Final = 0.4
"""Share of a column up to which a list or table isn't cut."""

BLACK: Final = "#000000"
INK: Final = "#22201d"
QUIET: Final = "#5b544b"
ACCENT: Final = "#1d5c66"
HAIRLINE: Final = "#cfc5b4"


class Manner(Struct, frozen=True, kw_only=True):
    """The look of an edition.

    Attributes:
        body: Type size of the text, points.
        small: Of captions, tables and the foot.
        title: Of the title.
        heading: Of headings.
        leading: Line pitch over type size.
        margin_mm: Around everything, the foot included.
        side_mm: Width of the column that headings stand in; 0 if they stand over the text.
        columns: Columns of text on a page.
        gap: Between paragraphs, points.
        part_gap: Before a heading, points.
        tick_columns: Columns of the list to tick off.
        fills: Whether yarns are shown as fills of colour.
        tick_pitch: Height of a line of that list over its type size.
        is_large: Whether type is too large for columns: tables are written line by line, figures
            stand one under the other.
        own_title_page: Whether the text begins on a page of its own.
        ink: Colour of text.
        quiet: Of captions.
        accent: Of headings.
        hairline: Of rules.
    """

    body: float
    small: float
    title: float
    heading: float
    leading: float
    margin_mm: float
    side_mm: float = 0.0
    columns: int = 1
    gap: float
    part_gap: float
    tick_columns: int = 1
    fills: bool = True
    tick_pitch: float = 1.75
    is_large: bool = False
    own_title_page: bool = True
    ink: str = INK
    quiet: str = QUIET
    accent: str = ACCENT
    hairline: str = HAIRLINE


FULL: Final = Manner(
    body=10.5,
    small=8.5,
    title=30,
    heading=13,
    leading=1.45,
    margin_mm=18,
    side_mm=42,
    gap=5,
    part_gap=24,
    tick_columns=2,
)
PLAIN: Final = Manner(
    body=8.5,
    small=7.5,
    title=18,
    heading=10,
    leading=1.25,
    margin_mm=13,
    columns=2,
    tick_pitch=1.42,
    gap=2.5,
    part_gap=9,
    fills=False,
    own_title_page=False,
    ink=BLACK,
    quiet=BLACK,
    accent=BLACK,
    hairline="#767676",
)
LARGE: Final = Manner(
    body=24,
    small=24,
    title=36,
    heading=30,
    leading=1.4,
    margin_mm=16,
    gap=14,
    part_gap=36,
    tick_pitch=2.9,
    is_large=True,
    own_title_page=False,
    ink=BLACK,
    quiet=BLACK,
    accent=BLACK,
    hairline="#595959",
)

MANNERS: Final[dict[EditionName, Manner]] = {
    "full": FULL,
    "plain": PLAIN,
    "large": LARGE,
    "html": FULL,
}

COLUMN_GAP_MM: Final = 7.0


class Paper(Struct, frozen=True):
    """A page's measures in units.

    Attributes:
        width: Its width.
        height: Its height.
        margin: Around everything printed.
    """

    width: float
    height: float
    margin: float

    @property
    def room(self) -> float:
        """Width between the margins."""
        return self.width - 2 * self.margin


def paper_of(page: PageName, manner: Manner) -> Paper:
    """Return the page that an edition is laid out on."""
    width, height = PAGES_MM[page]
    return Paper(width * MM, height * MM, manner.margin_mm * MM)
