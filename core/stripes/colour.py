"""Colour as the eye has it: tints of a yarn, ink that reads on it, contrast.

Mixing happens in Oklab, where equal steps look equal; contrast is the ratio of WCAG 2.2. What a
window needs to open is arithmetic (`screen`); for everything else the colour library is asked,
which is loaded when it is first wanted.
"""

from functools import lru_cache
from typing import Final

from core.stripes import screen

INK: Final = "#22201d"
PAPER: Final = "#fbf8f2"
_LEAST_PAPER: Final = 45  # per cent in a tint
_READABLE: Final = 4.5


@lru_cache(maxsize=4096)
def mixed(colour: str, other: str, share: float) -> str:
    """Return `colour` with `share` (0 to 1) of `other` mixed in."""
    light = screen.mixed_light(colour, other, share)
    if screen.is_shown(light):
        return screen.hex_of_light(light)
    from coloraide import Color

    blend = Color(colour).mix(other, share, space="oklab", out_space="srgb")
    return blend.fit().to_string(hex=True)


@lru_cache(maxsize=4096)
def contrast(colour: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.2)."""
    darker, lighter = sorted((screen.luminance(colour), screen.luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@lru_cache(maxsize=4096)
def lightness(colour: str) -> float:
    """Return CIE L* under D65, 0 to 100."""
    return screen.lab(colour)[0]


@lru_cache(maxsize=4096)
def grey_of(colour: str) -> str:
    """Return the grey that is as light as `colour`."""
    return screen.hex_of_light(screen.grey_light(lightness(colour)))


@lru_cache(maxsize=4096)
def difference(colour: str, other: str) -> float:
    """Return the CIEDE2000 difference of two colours."""
    from coloraide import Color

    return float(Color(colour).delta_e(other, method="2000"))


@lru_cache(maxsize=4096)
def ground_of(colour: str, paper: str) -> str:
    """Return the tint of a yarn that dark ink reads on: as little paper as that takes.

    The contrast asked for is that of WCAG 2.2 for text, 4.5 : 1.
    """
    for percent in range(_LEAST_PAPER, 100, 5):
        tint = mixed(colour, paper, percent / 100)
        if contrast(tint, INK) >= _READABLE:
            return tint
    return paper


def ink_on(colour: str) -> str:
    """Return black or white, whichever reads better on `colour`: 4.5 : 1 at least."""
    return max(("#000000", "#ffffff"), key=lambda ink: contrast(colour, ink))
