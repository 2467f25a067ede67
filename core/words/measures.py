"""Lengths, weights and sizes as a pattern states them: metric, with inches where those are used."""

from core.craft.units import M_PER_YARD, MM_PER_IN
from core.design.document import Units
from core.words.vocabulary import Vocabulary


def length(mm: float, units: Units, words: Vocabulary) -> str:
    """Return a length: 8.3 cm; in inches too where the design uses them."""
    metric = words.say("centimetres", n=words.number(mm / 10, 1).removesuffix(f"{words.decimal}0"))
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


def metres(m: float, units: Units, words: Vocabulary) -> str:
    """Return a length of yarn, in yards too where the design uses inches."""
    said = words.number(m, 0) if m >= 10 else words.number(m, 1)
    if units == "cm":
        return words.say("metres", n=said)
    return words.say("metres and yards", n=said, yards=words.number(m / M_PER_YARD, 0))


def grams(g: float, words: Vocabulary) -> str:
    """Return a weight."""
    return words.say("grams", n=words.number(g, 0))


def ball(m: float, g: float, units: Units, words: Vocabulary) -> str:
    """Return what a ball band says: 105 m in a ball of 50 g."""
    if units == "cm":
        long = words.say("metres", n=words.number(m))
    else:
        yards = words.number(m / M_PER_YARD, 0)
        long = words.say("metres and yards", n=words.number(m), yards=yards)
    return words.say("ball", metres=long, grams=words.say("grams", n=words.number(g)))
