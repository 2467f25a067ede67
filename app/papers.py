"""Sheets for shop and chair: what they are made from, and their files; on any thread."""

from app.assets import chart_font
from app.painting.choices import Choices
from app.paper.making import page_for, sheets_of
from app.paper.sheets import SheetName, Sheets
from core.design.document import Design, Hand
from core.design.edits import set_values
from core.errors import DesignError
from core.fabric.relax import ShouldStop, never
from core.paper.shopping import shopping_list, shopping_table, shopping_text
from core.paper.stripe_list import stripe_table
from core.pipeline import Pipeline, Results


def paper_sheets(
    results: Results,
    names: tuple[SheetName, ...],
    choices: Choices,
    *,
    should_stop: ShouldStop = never,
) -> Sheets:
    """Return the pages of some sheets, one after the other.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    results = _wanted(results, choices, should_stop)
    return sheets_of(results, names, page_for(choices.paper, results.design), chart_font())


def paper_pdf(
    results: Results,
    names: tuple[SheetName, ...],
    choices: Choices,
    *,
    should_stop: ShouldStop = never,
) -> bytes:
    """Return some sheets as one PDF file.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    sheets = paper_sheets(results, names, choices, should_stop=should_stop)
    return sheets.pdf(should_stop=should_stop)


def paper_table(
    results: Results, name: SheetName, choices: Choices, *, should_stop: ShouldStop = never
) -> bytes:
    """Return shopping list or stripes as a table.

    Raises:
        DesignError: There is no table of that kind.
        Stopped: `should_stop` answered yes.
    """
    results = _wanted(results, choices, should_stop)
    if name == "shopping":
        return shopping_table(shopping_list(results))
    if name == "stripes":
        return stripe_table(results)
    raise DesignError("only the shopping list and the stripe list are tables")


def shopping_words(results: Results, choices: Choices, *, should_stop: ShouldStop = never) -> str:
    """Return the shopping list as plain text.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    return shopping_text(shopping_list(_wanted(results, choices, should_stop)))


def _wanted(results: Results, choices: Choices, should_stop: ShouldStop) -> Results:
    """Return the results in the hand and terms asked for."""
    design = results.design
    changed = set_values(design, hand=_hand(choices, design), terms=choices.terms or design.terms)
    if changed == design:
        return results
    if not (results.fabric.settled and results.ends.settled):
        return Pipeline().results(changed)
    return Pipeline().settled_results(changed, should_stop=should_stop)


def _hand(choices: Choices, design: Design) -> Hand:
    return choices.hand or choices.booklet.hand or design.hand
