"""Measures, yarn and sums as the window shows them, in the design's units.

How they are rounded is `core.words.measures`'; numbers are written as the system writes them, so
that a figure and the field beside it agree.
"""

from PySide6.QtCore import QLocale

from core.craft.units import M_PER_YARD
from core.design.document import Units
from core.fabric.sizes import WidthChoice
from core.words import measures
from core.words.vocabulary import vocabulary


def number(value: float, digits: int = 0) -> str:
    """Return a number with so many digits after the point, thousands set apart."""
    return QLocale().toString(round(value, digits) + 0.0, "f", digits)


def plain(value: float, digits: int = 2) -> str:
    """Return a number without idle zeros after the point."""
    text, point = number(value, digits), QLocale().decimalPoint()
    return text.rstrip("0").removesuffix(point) if point in text else text


def chain_sum(choice: WidthChoice) -> str:
    """Return a foundation chain as the multiple has it: 12 × 12 + 3 = 147 ch."""
    if not choice.multiple:
        return f"{choice.chains} ch"
    extra = f" + {choice.extra}" if choice.extra else ""
    return f"{choice.across} × {choice.multiple}{extra} = {choice.chains} ch"


class _Window:
    """The window's way to say figures: the catalogue's units, the system's numbers."""

    def say(self, key: str, **values: str | int) -> str:
        return vocabulary("US").say(key, **values)

    def number(self, value: float, places: int | None = None) -> str:
        return plain(value) if places is None else number(value, places)


_WINDOW = _Window()


def small_length(length_mm: float, units: Units) -> str:
    """Return the length of a stitch or row."""
    return measures.small_length(length_mm, units, _WINDOW)


def length(length_mm: float, units: Units) -> str:
    """Return a length that is held against a ruler."""
    return measures.ruler_length(length_mm, units, _WINDOW)


def length_text(length_mm: float, units: Units, *, digits: int | None = None) -> str:
    """Return a length like "112 cm" or "44¼ in"; small ones get a decimal."""
    if digits is None:
        return measures.round_length(length_mm, units, _WINDOW)
    return measures.in_unit(length_mm, units, _WINDOW, cm=digits, inches=digits)


def yarn_unit_m(units: Units) -> float:
    """Return the metres in what yarn is measured by."""
    return 1.0 if units == "cm" else M_PER_YARD


def yarn_unit(units: Units) -> str:
    """Return what yarn is measured by: metres or yards."""
    return "m" if units == "cm" else "yd"


def yarn_length(length_m: float, units: Units, digits: int = 0) -> str:
    """Return a length of yarn."""
    return measures.yarn_in_unit(length_m, units, _WINDOW, digits)


def yarn_per_area(m_per_m2: float, units: Units) -> str:
    """Return the yarn in a square metre or square yard."""
    if units == "cm":
        return f"{number(m_per_m2)} m in a square metre"
    return f"{number(m_per_m2 * M_PER_YARD)} yd in a square yard"


def counted(amount: int, one: str, many: str | None = None) -> str:
    """Return a number with its noun: "1 row", "84 rows"."""
    return f"{amount} {one if amount == 1 else many or one + 's'}"
