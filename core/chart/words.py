"""A piece of text on a chart."""

from typing import Literal

from core.records import Struct

Anchor = Literal["start", "middle", "end"]
Layer = Literal["numbers", "marks", "key", "words"]


class Text(Struct, frozen=True):
    """A piece of text; `y_mm` is its middle height.

    Attributes:
        x_mm: Where it is anchored.
        y_mm: Its middle.
        size_mm: Type size.
        text: What it says.
        anchor: Which end stands at `x_mm`.
        bold: Whether it is set bold.
        row: Row it numbers, 0 otherwise.
        layer: Part of the sheet it belongs to.
        quiet: Whether it is set in the quiet ink.
    """

    x_mm: float
    y_mm: float
    size_mm: float
    text: str
    anchor: Anchor
    bold: bool = False
    row: int = 0
    layer: Layer = "words"
    quiet: bool = False
