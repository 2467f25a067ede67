"""How sheets say figures: rounded as everywhere (`core.words.measures`), thousands set apart."""

from typing import Final

from core.design.document import Units
from core.words import measures
from core.words.vocabulary import vocabulary


class _Sheets:
    """The catalogue's units; numbers with a point, however the system writes them."""

    def say(self, key: str, **values: str | int) -> str:
        return vocabulary("US").say(key, **values)

    def number(self, value: float, places: int | None = None) -> str:
        if places is not None:
            return f"{value:,.{places}f}"
        return f"{value:,.2f}".rstrip("0").rstrip(".")


_SHEETS: Final = _Sheets()


def said_yarn(m: float, units: Units) -> str:
    """Return a length of yarn: whole metres or yards, small ones with a decimal."""
    return measures.yarn_length(m, units, _SHEETS)


def said_grams(g: float) -> str:
    """Return a weight."""
    return measures.grams(g, _SHEETS)


def said_number(value: float, places: int | None = None) -> str:
    """Return a number, of balls for example, without idle zeros or with so many places."""
    return _SHEETS.number(value, places)


def said_price(price: float) -> str:
    """Return a sum of money in the designer's own currency."""
    return _SHEETS.number(price, 2)


def said_height(mm: float, units: Units) -> str:
    """Return a height that is measured on the work."""
    return measures.in_unit(mm, units, _SHEETS, cm=1, inches=1)


def said_row(mm: float, units: Units) -> str:
    """Return the height of a row."""
    return measures.small_length(mm, units, _SHEETS)
