"""Stripes for makers: a letter for every yarn, and the list to tick off."""

from core.booklet.nodes import Colour, Tick
from core.chart.key import letter_of
from core.palette.words import colour_words
from core.pipeline import Results
from core.stripes.sequence import comes_again, yarns_worked
from core.words.names import yarn_name
from core.words.stripes import Told, called, stripe_keys, told_stripes
from core.words.vocabulary import Vocabulary


def letters_of(results: Results) -> dict[int, str]:
    """Return the letter of every yarn that is worked with, the same as on the chart."""
    used = yarns_worked(results.design.edging, results.yarn_of_row.tolist())
    return {yarn: letter_of(yarn) for yarn in used}


def colours_of(results: Results, words: Vocabulary) -> tuple[Colour, ...]:
    """Return what the letters stand for."""
    design = results.design
    return tuple(
        Colour(
            yarn=yarn,
            letter=letter,
            name=yarn_name(design, yarn, words),
            words=colour_words(design.yarns[yarn].colour, words.terms, words.language),
            colour=design.yarns[yarn].colour,
        )
        for yarn, letter in letters_of(results).items()
    )


def stripes_of(results: Results) -> list[Told]:
    """Return the stripes from the foundation up; neighbours in one yarn are one stripe.

    Neighbours that their designer calls differently stay two.
    """
    return told_stripes(stripe_keys(results.design, results.yarn_of_row.tolist()))


def ticks_of(results: Results, words: Vocabulary) -> tuple[Tick, ...]:
    """Return the stripes to be ticked off, as `stripes_of` numbers them."""
    letters = letters_of(results)
    return tuple(
        Tick(
            number=number,
            yarn=stripe.yarn,
            letter=letters[stripe.yarn],
            name=called(yarn_name(results.design, stripe.yarn, words), stripe.label, words),
            first=stripe.first,
            last=stripe.last,
        )
        for number, stripe in enumerate(stripes_of(results), 1)
    )


def stripes_sentence(stripes: tuple[Tick, ...], words: Vocabulary) -> str:
    """Return the order of the stripes in words, a sequence that repeats said once."""
    if not stripes:
        return ""
    kinds = [(stripe.name, stripe.rows) for stripe in stripes]
    period = comes_again(kinds)
    counts = words.say(
        "stripes counted",
        stripes=words.say("counted stripes", n=len(stripes)),
        colours=words.say("counted colours", n=len({stripe.yarn for stripe in stripes})),
    )
    order = words.joined(
        [
            words.say("stripe in order", name=name, rows=words.say("counted rows", n=rows))
            for name, rows in kinds[:period]
        ]
    )
    if period == len(kinds):
        return words.say("stripes in order", counts=counts, order=order)
    whole, rest = divmod(len(kinds), period)
    key = {0: "", 1: " and one"}.get(rest, " and some")
    told = words.say("stripes in turn", counts=counts, order=order)
    again = words.say(f"stripes worked{key}", period=period, times=words.times(whole), n=rest)
    return f"{told} {again}"
