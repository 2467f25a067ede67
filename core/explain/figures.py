"""What an explanation is: a figure, a formula in words, its inputs, and its standing."""

from typing import Final, Literal

from core.records import Struct

Kind = Literal["count", "number", "mm", "fine mm", "m", "g", "deg", "share", "money", "text"]
Standing = Literal["counted", "computed", "model", "published", "practice", "memory", "yours"]

STANDINGS: Final[dict[Standing, str]] = {
    "counted": "Counted from the design's own rows.",
    "computed": "A sum of figures that are explained by themselves.",
    "model": "The program's fabric model, a prediction until a swatch is measured. Widths of six "
    "published pieces were off by 10 % in the middle and 22 % at worst.",
    "published": "A published figure.",
    "practice": "Common practice.",
    "memory": "From memory; nobody looked it up.",
    "yours": "What you typed or measured.",
}


class Given(Struct, frozen=True):
    """A figure that goes in or comes out.

    Attributes:
        name: What it is.
        amount: How much; for a text, the text.
        kind: What it is measured in.
    """

    name: str
    amount: float | str
    kind: Kind = "count"


class Explanation(Struct, frozen=True):
    """How a figure is known.

    Attributes:
        key: Which figure.
        result: The figure itself.
        how: The formula, in words.
        given: What goes into it.
        standing: How far to trust it.
        source: Where it comes from, beyond its standing; empty if that says all.
    """

    key: str
    result: Given
    how: str
    given: tuple[Given, ...]
    standing: Standing
    source: str = ""
