"""Measures, yarn and sums as people read them, in the design's units.

Numbers are written as the system writes them, so that a figure and the field beside it agree.
"""

from PySide6.QtCore import QLocale

from core.craft.units import M_PER_YARD, MM_PER_IN
from core.design.document import Units


def number(value: float, digits: int = 0) -> str:
    """Return a number with so many digits after the point, thousands set apart."""
    return QLocale().toString(round(value, digits) + 0.0, "f", digits)


def plain(value: float, digits: int = 2) -> str:
    """Return a number without idle zeros after the point."""
    text, point = number(value, digits), QLocale().decimalPoint()
    return text.rstrip("0").removesuffix(point) if point in text else text


def small_length(length_mm: float, units: Units) -> str:
    """Return the length of a stitch or row."""
    if units == "cm":
        return f"{number(length_mm, 1)} mm"
    return f"{number(length_mm / MM_PER_IN, 2)} in"


def length(length_mm: float, units: Units) -> str:
    """Return a length that is held against a ruler."""
    if units == "cm":
        return f"{number(length_mm / 10, 1)} cm"
    return f"{number(length_mm / MM_PER_IN, 2 if length_mm < 254 else 1)} in"


def yarn_unit_m(units: Units) -> float:
    """Return the metres in what yarn is measured by."""
    return 1.0 if units == "cm" else M_PER_YARD


def yarn_unit(units: Units) -> str:
    """Return what yarn is measured by: metres or yards."""
    return "m" if units == "cm" else "yd"


def yarn_length(length_m: float, units: Units, digits: int = 0) -> str:
    """Return a length of yarn."""
    return f"{number(length_m / yarn_unit_m(units), digits)} {yarn_unit(units)}"


def yarn_per_area(m_per_m2: float, units: Units) -> str:
    """Return the yarn in a square metre or square yard."""
    if units == "cm":
        return f"{number(m_per_m2)} m in a square metre"
    return f"{number(m_per_m2 * M_PER_YARD)} yd in a square yard"


def length_text(length_mm: float, units: Units, *, digits: int | None = None) -> str:
    """Return a length like "112 cm" or "44¼ in"; small ones get a decimal."""
    if units == "cm":
        cm = length_mm / 10
        digits = (0 if cm >= 20 else 1) if digits is None else digits
        return f"{number(cm, digits)} cm"
    inches = length_mm / MM_PER_IN
    if digits is not None:
        return f"{number(inches, digits)} in"
    whole, quarters = divmod(round(inches * 4), 4)
    part = ("", "¼", "½", "¾")[quarters]
    return f"{whole if whole or not part else ''}{part} in"


def counted(amount: int, one: str, many: str | None = None) -> str:
    """Return a number with its noun: "1 row", "84 rows"."""
    return f"{amount} {one if amount == 1 else many or one + 's'}"
