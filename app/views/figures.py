"""Measures as people read them, in the design's units."""

from core.design.document import Units

_MM_PER_IN = 25.4


def length_text(length_mm: float, units: Units, *, digits: int | None = None) -> str:
    """Return a length like "112 cm" or "44¼ in"; small ones get a decimal."""
    if units == "cm":
        cm = length_mm / 10
        digits = (0 if cm >= 20 else 1) if digits is None else digits
        return f"{cm:.{digits}f} cm"
    inches = length_mm / _MM_PER_IN
    if digits is not None:
        return f"{inches:.{digits}f} in"
    whole, quarters = divmod(round(inches * 4), 4)
    part = ("", "¼", "½", "¾")[quarters]
    return f"{whole if whole or not part else ''}{part} in"


def counted(number: int, one: str, many: str | None = None) -> str:
    """Return a number with its noun: "1 row", "84 rows"."""
    return f"{number} {one if number == 1 else many or one + 's'}"
