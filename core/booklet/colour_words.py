"""A colour in a word or two, so that a yarn's name alone needn't say how it looks.

Boundaries are ours, in Oklch, where equal steps look equal; `tests/core/test_booklet_tree.py` holds
them against the colour names of CSS.
"""

from functools import lru_cache
from typing import Final

from coloraide import Color

_GREY: Final = 0.025  # chroma below which a colour has no hue
_MUTED: Final = 0.075
_HUES: Final = (
    (12.0, "pink"),
    (38.0, "red"),
    (76.0, "orange"),
    (115.0, "yellow"),
    (165.0, "green"),
    (215.0, "turquoise"),
    (283.0, "blue"),
    (332.0, "purple"),
    (360.0, "pink"),
)
"""Hue in degrees up to which a name holds."""


@lru_cache(maxsize=4096)
def colour_words(colour: str) -> str:
    """Return what a colour (#rrggbb) looks like: "dark blue", "cream"."""
    light, chroma, hue = Color(colour).convert("oklch").coords(nans=False)
    if chroma < _GREY:
        return _grey(light)
    name = next(name for upto, name in _HUES if hue <= upto)
    if name in ("orange", "yellow") and chroma < _MUTED:
        if light > 0.88:
            return "cream"
        return "beige" if light > 0.7 else _shaded("brown", light + 0.1)
    if name == "yellow" and light < 0.75:
        return _shaded("olive", light)
    if name == "orange" and light < 0.6:
        return _shaded("brown", light + 0.1)
    if name == "red" and light > 0.76:
        return "light pink" if light > 0.85 else "pink"
    if name == "pink" and light < 0.5:
        return _shaded("red", light)
    if chroma < _MUTED and name != "pink" and light < 0.8:
        name = f"greyish {name}"
    return _shaded(name, light - (0.15 if name == "yellow" else 0.0))


def _grey(light: float) -> str:
    for upto, name in ((0.2, "black"), (0.45, "dark grey"), (0.75, "grey"), (0.95, "light grey")):
        if light <= upto:
            return name
    return "white"


def _shaded(name: str, light: float) -> str:
    if light < 0.45:
        return f"dark {name}"
    return f"light {name}" if light > 0.8 else name
