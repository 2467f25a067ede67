"""A chart made ready to be drawn: coloured bands, symbols, numbers, repeat mark and key.

Everything that ends up on screen, in an SVG, a PNG or a PDF is settled here, in the chart's
millimetres (y up), so that the painters only paint.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from core.chart.bands import bands_of
from core.chart.key import KeyEntry, key_of
from core.chart.layout import Chart
from core.chart.symbols import NUMBER, SYMBOLS, Floats
from core.craft.stitches import Terms
from core.stripes.colour import PAPER, ground_of
from core.stripes.sequence import Indices

Anchor = Literal["start", "middle", "end"]

_TEXT: Final = 1.15  # height of the row numbers' type, in stitch widths
_MARGIN: Final = 0.8
_LINE: Final = 0.075  # strokes, in stitch widths


@dataclass(frozen=True, slots=True)
class Text:
    """A piece of text; `y_mm` is its middle height.

    Attributes:
        x_mm: Where it is anchored.
        y_mm: Its middle.
        size_mm: Type size.
        text: What it says.
        anchor: Which end stands at `x_mm`.
        bold: Whether it is set bold.
        row: Row it numbers, 0 otherwise.
    """

    x_mm: float
    y_mm: float
    size_mm: float
    text: str
    anchor: Anchor
    bold: bool = False
    row: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """A coloured outline behind the symbols."""

    outline_mm: Floats
    colour: str
    first: int
    last: int


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Sheet:
    """Everything to be drawn.

    Attributes:
        chart: The symbols.
        grounds: Bands of colour, from below.
        lines_mm: Plain lines (arrows, repeat bracket), shape (n, 2 ends, 2 axes).
        texts: Numbers, repeat, title and key.
        key_symbol: Number of each of the key's symbols, shape (k,).
        key_foot_mm: Shape (k, 2).
        key_top_mm: Shape (k, 2).
        stroke_mm: Width of the symbols' strokes.
        bounds_mm: Left, bottom, right, top.
        title: For the file's own title.
    """

    chart: Chart
    grounds: tuple[Ground, ...]
    lines_mm: Floats
    texts: tuple[Text, ...]
    key_symbol: Indices
    key_foot_mm: Floats
    key_top_mm: Floats
    stroke_mm: float
    bounds_mm: tuple[float, float, float, float]
    title: str


def make_sheet(
    chart: Chart,
    *,
    terms: Terms,
    title: str = "",
    caption: str = "",
    colours: Sequence[str] | None = None,
    yarn_of_row: Indices | None = None,
    with_key: bool = True,
    paper: str = PAPER,
) -> Sheet:
    """Return a chart ready to be drawn.

    Args:
        chart: The placed symbols.
        terms: Terms of the key.
        title: Set above the chart; empty for none.
        caption: Set below the key, line by line; empty for none.
        colours: Colour of each yarn; None leaves the grounds white.
        yarn_of_row: Number of each row's yarn; needed with `colours`.
        with_key: Whether the key is drawn.
        paper: The colour mixed into the grounds, so that ink reads on them.
    """
    grounds: tuple[Ground, ...] = ()
    if colours is not None and yarn_of_row is not None:
        tints = [ground_of(colour, paper) for colour in colours]
        grounds = tuple(
            Ground(band.outline_mm, tints[band.yarn], band.first, band.last)
            for band in bands_of(chart.fabric, yarn_of_row)
        )
    width = chart.width_mm
    left, bottom, right, top = chart.bounds_mm()
    texts = _row_numbers(chart)
    lines = [_arrows(chart)]
    if chart.repeat is not None:
        mark = chart.repeat
        lines.append(_bracket(mark.left_mm, mark.right_mm, mark.y_mm, 0.5 * width))
        middle = 0.5 * (mark.left_mm + mark.right_mm)
        words = f"repeat: {mark.stitches} sts"
        texts.append(Text(middle, mark.y_mm - 0.75 * width, _TEXT * width, words, "middle"))
    if title:
        top += 2.6 * width
        texts.append(Text(left, top - 1.2 * width, 1.5 * width, title, "start", bold=True))
        right = max(right, left + 0.6 * 1.5 * width * len(title))
    key = _Key([], [], [])
    if with_key:
        entries = key_of(chart, terms)
        key, bottom, right = _key(entries, left, bottom - 1.2 * width, right, width)
        texts += key.texts
    for line in caption.splitlines():
        bottom -= 1.8 * width
        texts.append(Text(left, bottom + 0.8 * width, _TEXT * width, line, "start"))
        right = max(right, left + 0.58 * _TEXT * width * len(line))
    margin = _MARGIN * width
    return Sheet(
        chart=chart,
        grounds=grounds,
        lines_mm=np.concatenate(lines),
        texts=tuple(texts),
        key_symbol=np.array([NUMBER[name] for name in key.symbols], dtype=np.intp),
        key_foot_mm=np.array([stem[0] for stem in key.stems]).reshape(-1, 2),
        key_top_mm=np.array([stem[1] for stem in key.stems]).reshape(-1, 2),
        stroke_mm=_LINE * width,
        bounds_mm=(left - margin, bottom - margin, right + margin, top + margin),
        title=title,
    )


def _row_numbers(chart: Chart) -> list[Text]:
    size = _TEXT * chart.width_mm
    return [
        Text(
            label.x_mm,
            label.y_mm,
            size,
            str(label.row),
            "start" if label.runs_left else "end",
            row=label.row,
        )
        for label in chart.labels
    ]


def _arrows(chart: Chart) -> Floats:
    """Return an arrow beside every row number, pointing the way the row is worked."""
    width = chart.width_mm
    shape = np.array([[0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.32, 0.22], [0.0, 0.0, 0.32, -0.22]])
    arrows = []
    for label in chart.labels:
        side = 1.0 if label.runs_left else -1.0
        tip = np.array([label.x_mm - side * 1.15 * width, label.y_mm])
        scale = 0.85 * width * np.array([side, 1.0])
        arrows.append(tip + shape.reshape(-1, 2, 2) * scale)
    return np.concatenate(arrows) if arrows else np.empty((0, 2, 2))


def _bracket(left: float, right: float, y: float, height: float) -> Floats:
    up = y + height
    return np.array(
        [[(left, up), (left, y)], [(left, y), (right, y)], [(right, y), (right, up)]], dtype=float
    )


@dataclass(frozen=True, slots=True)
class _Key:
    texts: list[Text]
    symbols: list[str]
    stems: list[tuple[tuple[float, float], tuple[float, float]]]


def _key(
    entries: Sequence[KeyEntry], left: float, top: float, right: float, width: float
) -> tuple[_Key, float, float]:
    """Return the key set in lines from the top left, its bottom, and how far right it goes."""
    key = _Key([], [], [])
    y, widest = top, right
    for entry in entries:
        tallest = max(SYMBOLS[name].nominal for name in entry.symbols)
        height = max(tallest, 1.2) * width
        y -= height + 0.7 * width
        _key_symbol(key, entry, left + 1.6 * width, y + 0.5 * (height - tallest * width), width)
        words = f"{entry.short} = {entry.text}" if entry.short else entry.text
        middle = y + 0.5 * height
        key.texts.append(Text(left + 4.0 * width, middle, _TEXT * width, words, "start"))
        widest = max(widest, left + (4.0 + 0.58 * _TEXT * len(words)) * width)
    return key, y - 0.5 * width, widest


def _key_symbol(key: _Key, entry: KeyEntry, x: float, y: float, width: float) -> None:
    """Add an entry's drawing: one symbol upright, or legs that join at the top."""
    legs = len(entry.symbols)
    for number, name in enumerate(entry.symbols):
        height = SYMBOLS[name].nominal * width
        if name == "ch":  # a chain lies down
            key.stems.append(
                ((x - 0.43 * width, y + 0.5 * width), (x + 0.43 * width, y + 0.5 * width))
            )
        else:
            foot = x + (number - 0.5 * (legs - 1)) * 0.9 * width
            key.stems.append(((foot, y), (x, y + height)))
        key.symbols.append(name)
    if legs > 1 and entry.symbols[0] not in ("sc-leg", "sl st-leg"):
        top = key.stems[-1][1][1]
        half = 0.28 * width
        key.symbols.append("bar")
        key.stems.append(((x - half, top), (x + half, top)))
