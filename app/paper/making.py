"""The sheets of a design: from results to pages and files; on any thread."""

from typing import Final

from app.paper import card, ruler, shopping, stripes
from app.paper.ruler import RulerSheet, room_mm, ruler_pages
from app.paper.sheets import SheetName, Sheets, together
from core.booklet.options import PageName
from core.design.document import Design
from core.fabric.wash import wash_of
from core.paper.colours import printable
from core.paper.ruler import ruler_of
from core.paper.shopping import shopping_list, trouble_of
from core.paper.stripe_list import stripe_lines
from core.pipeline import Results
from core.techedit.edit import stamp_for

SHEETS: Final[tuple[SheetName, ...]] = ("shopping", "card", "ruler", "stripes")
KINDS: Final[dict[SheetName, str]] = {
    "shopping": shopping.KIND,
    "card": card.KIND,
    "ruler": ruler.KIND,
    "stripes": stripes.KIND,
}


def page_for(page: PageName | None, design: Design) -> PageName:
    """Return the paper that is printed on: the one asked for, or the usual one with the units."""
    return page or ("letter" if design.units == "in" else "a4")


def sheets_of(
    results: Results, names: tuple[SheetName, ...], page: PageName, family: str
) -> Sheets:
    """Return the pages of some sheets, one after the other.

    Args:
        results: Results in the hand that is wanted.
        names: Which sheets.
        page: Their paper.
        family: Their type.
    """
    return together([_sheet(results, name, page, family) for name in names])


def _sheet(results: Results, name: SheetName, page: PageName, family: str) -> Sheets:
    design = results.design
    title = printable(design.title)
    if name == "shopping":
        pages = shopping.shopping_pages(shopping_list(results), page, family)
    elif name == "card":
        lines = stripe_lines(results)
        order = tuple((line.colour, line.rows) for line in lines)
        pages = card.card_pages(shopping_list(results), order, page, family)
    elif name == "ruler":
        wash = wash_of(design.swatch)
        sheet = RulerSheet(
            title=title,
            ruler=ruler_of(results, room_mm(page)),
            lines=stripe_lines(results),
            hand=design.hand,
            units=design.units,
            washed=wash.length if wash.is_known else None,
            trouble=trouble_of(results),
        )
        pages = ruler_pages(sheet, page)
    else:
        pages = stripes.stripe_pages(
            stripe_lines(results),
            title=title,
            trouble=trouble_of(results),
            units=design.units,
            paper=page,
            family=family,
        )
    return Sheets(title=title, paper=page, family=family, pages=pages, stamp=stamp_for(results))
