"""Lengths, weights and sizes as people read them: rounded here, and nowhere else.

A pattern says them in its language and with its decimal sign, the window with the system's:
both speak through `Speech`. Patterns are metric first, with inches where the design uses them
and the language has them.
"""

from typing import Protocol

from core.craft.units import M_PER_YARD, MM_PER_IN
from core.design.document import Units
from core.words.vocabulary import Vocabulary

_SHORT_MM = 254.0  # up to 10 in, inches need a second decimal to be as fine as millimetres
_FINE_CM = 20.0  # centimetres from which no decimal is wanted


class Speech(Protocol):
    """Who says figures."""

    def say(self, key: str, **values: str | int) -> str:
        """Return a phrase of the catalogue, filled in."""
        ...

    def number(self, value: float, places: int | None = None) -> str:
        """Return a number with so many places."""
        ...


# one length in one unit


def in_unit(mm: float, units: Units, speech: Speech, *, cm: int, inches: int) -> str:
    """Return a length in one unit, with so many decimals of a centimetre or an inch."""
    if units == "cm":
        return speech.say("centimetres", n=speech.number(mm / 10, cm))
    return speech.say("inches", n=speech.number(mm / MM_PER_IN, inches))


def small_length(mm: float, units: Units, speech: Speech) -> str:
    """Return the length of a stitch or row: 7.7 mm or 0.30 in."""
    if units == "cm":
        return speech.say("millimetres", n=speech.number(mm, 1))
    return in_unit(mm, units, speech, cm=1, inches=2)


def ruler_length(mm: float, units: Units, speech: Speech) -> str:
    """Return a length that is held against a ruler: 8.3 cm or 3.27 in."""
    return in_unit(mm, units, speech, cm=1, inches=2 if mm < _SHORT_MM else 1)


def round_length(mm: float, units: Units, speech: Speech) -> str:
    """Return a length as one says it: 112 cm, 8.3 cm, or quarters of an inch: 44¼ in."""
    if units == "cm":
        return in_unit(mm, units, speech, cm=0 if mm / 10 >= _FINE_CM else 1, inches=0)
    whole, quarters = divmod(round(mm / MM_PER_IN * 4), 4)
    part = ("", "¼", "½", "¾")[quarters]
    return speech.say("inches", n=f"{whole if whole or not part else ''}{part}")


def short_length(mm: float, units: Units, words: Vocabulary, *, fine: bool = False) -> str:
    """Return a length of the finished blanket, `fine` of one wave, in the design's own unit."""
    own: Units = units if words.has_inches else "cm"
    return in_unit(mm, own, words, cm=1 if fine else 0, inches=2 if fine else 1)


def both_lengths(mm: float, units: Units, words: Vocabulary, *, fine: bool = False) -> str:
    """Return the same in both units, the design's own first: 112 cm (44.1 in)."""
    cm = in_unit(mm, "cm", words, cm=1 if fine else 0, inches=0)
    inches = in_unit(mm, "in", words, cm=0, inches=2 if fine else 1)
    return _each_way(cm, inches, units, words)


def size_in_unit(width_mm: float, length_mm: float, units: Units, speech: Speech) -> str:
    """Return width by length in one unit: 100 × 138 cm or 39.4 × 54.3 in."""
    per, places, key = (10.0, 0, "centimetres") if units == "cm" else (MM_PER_IN, 1, "inches")
    wide, long = (speech.number(mm / per, places) for mm in (width_mm, length_mm))
    return speech.say(key, n=speech.say("times by", width=wide, length=long))


def both_sizes(width_mm: float, length_mm: float, units: Units, words: Vocabulary) -> str:
    """Return width by length in both units, the design's own first."""
    cm, inches = (size_in_unit(width_mm, length_mm, u, words) for u in ("cm", "in"))
    return _each_way(cm, inches, units, words)


def _each_way(cm: str, inches: str, units: Units, words: Vocabulary) -> str:
    if units == "cm" or not words.has_inches:
        return words.say("length each way", own=cm, other=inches)
    return words.say("length each way", own=inches, other=cm)


# lengths of written rows: metric, with inches where those are used


def length(mm: float, units: Units, words: Vocabulary) -> str:
    """Return a length: 8.3 cm; in inches too where the design uses them."""
    metric = words.say("centimetres", n=words.number(mm / 10, 1).removesuffix(f"{words.decimal}0"))
    if units == "cm":
        return metric
    return words.say("inches and", inches=words.number(mm / MM_PER_IN, 2), cm=metric)


def fine_length(mm: float, units: Units, words: Vocabulary) -> str:
    """Return a length to be multiplied: 8.30 cm; in inches too where the design uses them."""
    metric = words.say("centimetres", n=words.number(mm / 10, 2))
    if units == "cm":
        return metric
    return words.say("inches and", inches=words.number(mm / MM_PER_IN, 2), cm=metric)


def swatch_length(mm: float, units: Units, words: Vocabulary) -> str:
    """Return a length as swatches are measured: 10 cm is 4 in, since it is within 2 %."""
    metric = words.say("centimetres", n=words.number(mm / 10))
    if units == "cm":
        return metric
    inches = mm / MM_PER_IN
    quarters = round(inches * 4) / 4
    near = abs(quarters - inches) <= 0.02 * inches
    said = words.number(quarters) if near else words.number(inches, 2)
    return words.say("inches and", inches=said, cm=metric)


def swatch_count(number: float, words: Vocabulary) -> str:
    """Return stitches or rows of a swatch as they are counted, to a hundredth at most."""
    return words.number(round(number, 2))


def two_lengths(width_mm: float, length_mm: float, words: Vocabulary) -> str:
    """Return width by length in cm and in inches: 100 x 138 cm (39.2 x 54.3 in)."""
    metric = words.say(
        "two lengths",
        width=words.number(width_mm / 10, 0),
        length=words.number(length_mm / 10, 0),
        unit=words.say("unit"),
    )
    return words.say(
        "two lengths, inches",
        cm=metric,
        width=words.number(width_mm / MM_PER_IN, 1),
        length=words.number(length_mm / MM_PER_IN, 1),
    )


# yarn


def yarn_in_unit(m: float, units: Units, speech: Speech, places: int = 0) -> str:
    """Return a length of yarn in one unit: 366 m or 400 yd."""
    if units == "cm":
        return speech.say("metres", n=speech.number(m, places))
    return speech.say("yards", n=speech.number(m / M_PER_YARD, places))


def yarn_length(m: float, units: Units, speech: Speech) -> str:
    """Return a length of yarn in one unit, a small one with a decimal: 366 m or 4.6 yd."""
    return yarn_in_unit(m, units, speech, _places(m if units == "cm" else m / M_PER_YARD))


def _places(value: float) -> int:
    """Return the decimals of a length of yarn: one below 10."""
    return 0 if round(value, 1) >= 10 else 1


def metres(m: float, units: Units, words: Vocabulary) -> str:
    """Return a length of yarn, in yards too where the design uses inches."""
    said = words.number(m, _places(m))
    if units == "cm":
        return words.say("metres", n=said)
    return words.say("metres and yards", n=said, yards=words.number(m / M_PER_YARD, 0))


def grams(g: float, speech: Speech) -> str:
    """Return a weight."""
    return speech.say("grams", n=speech.number(g, 0))


def ball(m: float, g: float, units: Units, words: Vocabulary) -> str:
    """Return what a ball band says: 105 m in a ball of 50 g."""
    if units == "cm":
        long = words.say("metres", n=words.number(m))
    else:
        yards = words.number(m / M_PER_YARD, 0)
        long = words.say("metres and yards", n=words.number(m), yards=yards)
    return words.say("ball", metres=long, grams=words.say("grams", n=words.number(g)))
