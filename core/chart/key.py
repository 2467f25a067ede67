"""The chart's key: the symbols it uses and nothing else, named in the chosen terms and language."""

from typing import Final

import numpy as np

from core.chart.layout import Chart
from core.chart.symbols import NAMES, PLAIN, STACKED
from core.craft.stitches import CATALOGUE
from core.records import Struct
from core.words.vocabulary import Vocabulary


class KeyEntry(Struct, frozen=True):
    """One line of the key.

    Attributes:
        symbols: Names of the symbols to draw, side by side at the foot or joined at the top.
        short: Abbreviation; empty for marks.
        text: What it means.
    """

    symbols: tuple[str, ...]
    short: str
    text: str


_MARKS: Final = ("back loop", "front loop")


def key_of(chart: Chart, words: Vocabulary) -> tuple[KeyEntry, ...]:
    """Return the key's lines in the catalogue's order."""
    used = {NAMES[number] for number in np.unique(PLAIN[chart.symbol])}
    if STACKED in used:
        used.add("ch")
    lines: list[KeyEntry] = []
    for key in CATALOGUE:
        name = words.names[key]
        if key in used:
            lines.append(KeyEntry((key,), name.short, name.long))
        for legs in _decreases(chart, key):
            short = words.together(key, legs)
            text = words.say("key together", n=legs, stitch=name.plural)
            lines.append(KeyEntry((f"{key}-leg",) * legs, short, text))
    lines += [KeyEntry((mark,), "", words.say(f"key {mark}")) for mark in _MARKS if mark in used]
    return tuple(lines)


def _decreases(chart: Chart, key: str) -> tuple[int, ...]:
    """Return how many legs the chart's decreases in one stitch have, each number once."""
    legs = PLAIN[chart.symbol] == NAMES.index(f"{key}-leg") if f"{key}-leg" in NAMES else None
    if legs is None or not legs.any():
        return ()
    place = chart.row * (int(chart.stitch.max()) + 2) + chart.stitch + 1
    with_chain = place[chart.symbol == NAMES.index(STACKED)]  # there the turning chain is one leg
    whole = place[legs][~np.isin(place[legs], with_chain)]
    counts = np.unique(whole, return_counts=True)[1]
    return tuple(int(count) for count in np.unique(counts[counts > 1]))


def letter_of(yarn: int) -> str:
    """Return the letter that stands for a yarn on a chart: A to Z, then AA, AB ..."""
    letters = ""
    number = yarn + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
