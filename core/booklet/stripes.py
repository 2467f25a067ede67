"""Stripes for makers: a letter for every yarn, and the list to tick off."""

from itertools import groupby

from core.booklet.nodes import Colour, Tick
from core.chart.key import letter_of
from core.palette.words import colour_words
from core.pipeline import Results


def yarns_used(results: Results) -> tuple[int, ...]:
    """Return the numbers of the yarns that are worked with, in the design's order."""
    edging = results.design.edging
    around = {yarn for _, yarn in edging.yarns} if edging else set()
    return tuple(sorted(around | set(results.yarn_of_row.tolist())))


def letters_of(results: Results) -> dict[int, str]:
    """Return the letter of every yarn that is worked with, the same as on the chart."""
    return {yarn: letter_of(yarn) for yarn in yarns_used(results)}


def names_of(results: Results) -> tuple[str, ...]:
    """Return every yarn's name, with its number where another has the same one."""
    names = [yarn.name for yarn in results.design.yarns]
    return tuple(
        name if names.count(name) == 1 else f"{name} ({number + 1})"
        for number, name in enumerate(names)
    )


def colours_of(results: Results) -> tuple[Colour, ...]:
    """Return what the letters stand for."""
    yarns, names = results.design.yarns, names_of(results)
    return tuple(
        Colour(yarn, letter, names[yarn], colour_words(yarns[yarn].colour), yarns[yarn].colour)
        for yarn, letter in letters_of(results).items()
    )


def ticks_of(results: Results) -> tuple[Tick, ...]:
    """Return the stripes from the foundation up; neighbours in one yarn are one stripe."""
    letters, names = letters_of(results), names_of(results)
    found: list[Tick] = []
    row = 1
    for yarn, group in groupby(results.yarn_of_row.tolist()):
        rows = len(list(group))
        number = len(found) + 1
        found.append(Tick(number, yarn, letters[yarn], names[yarn], row, row + rows - 1))
        row += rows
    return tuple(found)


def stripes_sentence(stripes: tuple[Tick, ...]) -> str:
    """Return the order of the stripes in words, a sequence that repeats said once."""
    if not stripes:
        return ""
    colours = len({stripe.yarn for stripe in stripes})
    kinds = [(stripe.name, stripe.rows) for stripe in stripes]
    period = _period(kinds)
    said = ", ".join(f"{name} {_rows(rows)}" for name, rows in kinds[:period])
    counts = f"{_counted(len(stripes), 'stripe')} in {_counted(colours, 'colour')}"
    if period == len(kinds):
        return f"{counts}, from the first row to the last: {said}."
    whole, rest = divmod(len(kinds), period)
    often = "twice" if whole == 2 else f"{whole} times"
    times = f"These {period} are worked {often}"
    if rest:
        times += f", then the first {rest} once more" if rest > 1 else ", then the first once more"
    return f"{counts}. From the first row: {said}. {times}."


def _period(kinds: list[tuple[str, int]]) -> int:
    """Return after how many stripes the list repeats itself, at least twice; else its length."""
    for period in range(1, len(kinds) // 2 + 1):
        if all(kinds[n] == kinds[n - period] for n in range(period, len(kinds))):
            return period
    return len(kinds)


def _rows(rows: int) -> str:
    return _counted(rows, "row")


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
