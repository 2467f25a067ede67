"""The key set in columns: symbols upright with their names, yarns as pieces of colour."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from core.chart.key import KeyEntry
from core.chart.lettering import broken
from core.chart.symbols import SYMBOLS, Floats
from core.chart.words import Text
from core.records import Struct, field
from core.words.vocabulary import Vocabulary

_TYPE: Final = 2.9  # mm in print
_SYMBOL: Final = (2.6, 3.6)  # mm in print that a stitch is wide in the key
_LINE: Final = 4.6  # least height of a line
_BETWEEN: Final = 6.0  # columns
_PATCH: Final = (6.0, 3.4)
_COLUMN: Final = 62.0  # least width of one
_COLUMNS: Final = 3
_LEG_STEP: Final = (0.9, 2.7)  # between the feet of legs; of all of them together at most

Stem = tuple[tuple[float, float], tuple[float, float]]


class Patch(Struct, frozen=True, eq=False):
    """A piece of a yarn's colour."""

    outline_mm: Floats
    colour: str


class Set(Struct):
    """A key that has been set."""

    texts: list[Text]
    symbols: list[str]
    stems: list[Stem]
    patches: list[Patch] = field(default_factory=list)
    bottom: float = 0.0
    stitch_mm: float = 0.0


class _Entry(Struct, frozen=True):
    """A line of the key: a drawing or a colour, and its words."""

    words: tuple[str, ...]
    high: float
    entry: KeyEntry | None = None
    colour: str = ""


def set_key(
    entries: Sequence[KeyEntry],
    yarns: Sequence[tuple[str, str]],
    *,
    left: float,
    right: float,
    top: float,
    mm: float,
    stitch_mm: float,
    words: Vocabulary,
) -> Set:
    """Return the key between `left` and `right`, from `top` down.

    Args:
        entries: The symbols.
        yarns: Words and colour of the yarns.
        left: In the chart's mm.
        right: In the chart's mm.
        top: In the chart's mm.
        mm: The chart's mm that one mm in print is.
        stitch_mm: How wide a stitch is on the chart.
        words: The words.
    """
    scale = min(max(stitch_mm, _SYMBOL[0] * mm), _SYMBOL[1] * mm)  # a stitch's width in the key
    indent = max(_indent(entries, scale), _PATCH[0] * mm if yarns else 0.0) + 2.0 * mm
    size = _TYPE * mm
    room = right - left
    columns = int(min(max(room // (_COLUMN * mm), 1), _COLUMNS))
    wide = (room - (columns - 1) * _BETWEEN * mm) / columns
    lines = [
        _Entry(
            tuple(broken(_line(entry, words), size, wide - indent)),
            max(
                max(SYMBOLS[name].nominal for name in entry.symbols) * scale + 1.6 * mm, _LINE * mm
            ),
            entry,
        )
        for entry in entries
    ]
    lines += [
        _Entry(tuple(broken(name, size, wide - indent)), _LINE * mm, None, colour)
        for name, colour in yarns
    ]
    key = Set([], [], [])
    key.bottom, key.stitch_mm = top, scale
    for number, column in enumerate(_in_columns(lines, columns, size)):
        x, y = left + number * (wide + _BETWEEN * mm), top
        for line in column:
            high = max(line.high, 1.3 * size * len(line.words))
            middle = y - 0.5 * high
            if line.entry is not None:
                _draw(key, line.entry, x + 0.5 * (indent - 2.0 * mm), middle, scale)
            else:
                key.patches.append(_patch(x, middle, line.colour, mm))
            for index, piece in enumerate(line.words):
                at = middle - (index - 0.5 * (len(line.words) - 1)) * 1.3 * size
                key.texts.append(Text(x + indent, at, size, piece, "start", layer="key"))
            y -= high
        key.bottom = min(key.bottom, y)
    return key


def _line(entry: KeyEntry, words: Vocabulary) -> str:
    if not entry.short:
        return entry.text
    return words.say("key entry", short=entry.short, text=entry.text)


def _indent(entries: Sequence[KeyEntry], scale: float) -> float:
    return max((_breadth(len(entry.symbols)) for entry in entries), default=1.0) * scale


def _breadth(legs: int) -> float:
    return max(1.0, min(_LEG_STEP[0] * (legs - 1), _LEG_STEP[1]) + 0.6)


def _in_columns(lines: Sequence[_Entry], columns: int, size: float) -> list[list[_Entry]]:
    """Return the lines in columns of about one height, filled from the first."""
    heights = [max(line.high, 1.3 * size * len(line.words)) for line in lines]
    found: list[list[_Entry]] = [[]]
    share, used = sum(heights) / max(columns, 1), 0.0
    for line, high in zip(lines, heights, strict=True):
        if used + 0.5 * high > share * len(found) and len(found) < columns and found[-1]:
            found.append([])
        found[-1].append(line)
        used += high
    return found


def _patch(x: float, middle: float, colour: str, mm: float) -> Patch:
    wide, high = _PATCH[0] * mm, 0.5 * _PATCH[1] * mm
    corners = [(x, middle - high), (x + wide, middle - high), (x + wide, middle + high)]
    return Patch(np.array([*corners, (x, middle + high)]), colour)


def _draw(key: Set, entry: KeyEntry, x: float, middle: float, width: float) -> None:
    """Add an entry's drawing: one symbol upright, or legs that join at the top."""
    legs = len(entry.symbols)
    apart = min(_LEG_STEP[0], _LEG_STEP[1] / max(legs - 1, 1)) * width
    for number, name in enumerate(entry.symbols):
        half = 0.5 * SYMBOLS[name].nominal * width
        if name == "ch":  # a chain lies down
            key.stems.append(((x - 0.43 * width, middle), (x + 0.43 * width, middle)))
        else:
            foot = x + (number - 0.5 * (legs - 1)) * apart
            key.stems.append(((foot, middle - half), (x, middle + half)))
        key.symbols.append(name)
    if legs > 1 and entry.symbols[0] not in ("sc-leg", "sl st-leg"):
        top = key.stems[-1][1][1]
        half = 0.28 * width
        key.symbols.append("bar")
        key.stems.append(((x - half, top), (x + half, top)))
