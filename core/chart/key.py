"""The chart's key: the symbols it uses and nothing else, named in the chosen terms."""

from dataclasses import dataclass

import numpy as np

from core.chart.layout import Chart
from core.chart.symbols import NAMES, PLAIN, STACKED
from core.craft.stitches import CATALOGUE, Terms


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """One line of the key.

    Attributes:
        symbols: Names of the symbols to draw, side by side at the foot or joined at the top.
        short: Abbreviation; empty for marks.
        text: What it means.
    """

    symbols: tuple[str, ...]
    short: str
    text: str


_MARKS = {
    "back loop": "into the back loop, seen from the right side",
    "front loop": "into the front loop, seen from the right side",
}


def key_of(chart: Chart, terms: Terms) -> tuple[KeyEntry, ...]:
    """Return the key's lines in the catalogue's order."""
    used = {NAMES[number] for number in np.unique(PLAIN[chart.symbol])}
    if STACKED in used:
        used.add("ch")
    lines: list[KeyEntry] = []
    for key, stitch in CATALOGUE.items():
        name = stitch.name(terms)
        if key in used:
            lines.append(KeyEntry((key,), name.short, name.long))
        for legs in _decreases(chart, key):
            short = f"{name.short}{legs}tog"
            text = f"{legs} {name.long} stitches worked together"
            lines.append(KeyEntry((f"{key}-leg",) * legs, short, text))
    lines += [KeyEntry((mark,), "", text) for mark, text in _MARKS.items() if mark in used]
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
