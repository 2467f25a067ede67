"""Palettes grown from one colour, in OKLCh: even to the eye in lightness and hue.

Which hues go together is taste: these are three plain rules, not laws.
"""

from collections.abc import Callable
from typing import Final, Literal

import numpy as np

from core.palette.spaces import hex_of_oklch, oklch_of

Rule = Literal["ladder", "neighbours", "accent"]

RULES: Final[tuple[tuple[Rule, str, str], ...]] = (
    ("ladder", "Light to dark", "One hue in even steps of lightness"),
    ("neighbours", "Hues side by side", "Hues to both sides of it, a little lighter and darker"),
    ("accent", "One accent", "One hue in steps, and one stripe's worth of the hue across from it"),
)
FEWEST: Final = 3
MOST: Final = 8

_LIGHT, _DARK = 0.93, 0.32
_SPREAD_DEG: Final = 50.0  # how far neighbours lie on each side
_TILT: Final = 0.16  # lightness between the outermost neighbours
_LEAST_CHROMA: Final = 0.09  # of an accent, so that a grey has one as well


def palette_from(colour: str, rule: Rule, number: int) -> tuple[str, ...]:
    """Return `number` colours grown from one, itself among them.

    Raises:
        ValueError: `number` is outside `FEWEST` to `MOST`.
    """
    if not FEWEST <= number <= MOST:
        raise ValueError(f"a palette has {FEWEST} to {MOST} colours")
    return _MAKERS[rule](colour, number)


def _ladder(colour: str, number: int) -> tuple[str, ...]:
    """Return steps of lightness; the one nearest to the colour's own is the colour itself."""
    lightness, chroma, hue = oklch_of(colour)
    top, bottom = max(_LIGHT, lightness), min(_DARK, lightness)
    steps = np.linspace(top, bottom, number)
    own = int(np.abs(steps - lightness).argmin())
    above = np.linspace(top, lightness, own + 1)[:-1]
    below = np.linspace(lightness, bottom, number - own)[1:]
    return (
        *(_lit(place, lightness, chroma, hue) for place in above),
        colour,
        *(_lit(place, lightness, chroma, hue) for place in below),
    )


def _neighbours(colour: str, number: int) -> tuple[str, ...]:
    lightness, chroma, hue = oklch_of(colour)
    places = np.linspace(-1.0, 1.0, number)
    own = int(np.abs(places).argmin())
    middle = min(max(lightness, _DARK + _TILT), _LIGHT - 0.5 * _TILT)
    found = [
        hex_of_oklch(middle + 0.5 * _TILT * place, chroma, hue + _SPREAD_DEG * place)
        for place in places.tolist()
    ]
    found[own] = colour
    return tuple(found)


def _accent(colour: str, number: int) -> tuple[str, ...]:
    lightness, chroma, hue = oklch_of(colour)
    across = hex_of_oklch(
        min(max(1.05 - lightness, 0.45), 0.8), max(chroma, _LEAST_CHROMA), hue + 180.0
    )
    return (*_ladder(colour, number - 1), across)


def _lit(place: float, lightness: float, chroma: float, hue: float) -> str:
    """Return the hue at another lightness, paler towards white and black as dyed yarn is."""
    room = (1.0 - place) / max(1.0 - lightness, 1e-3) if place > lightness else place / lightness
    return hex_of_oklch(place, chroma * min(max(room, 0.35), 1.0), hue)


_MAKERS: Final[dict[Rule, Callable[[str, int], tuple[str, ...]]]] = {
    "ladder": _ladder,
    "neighbours": _neighbours,
    "accent": _accent,
}
