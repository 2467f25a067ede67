"""Colours by lightness, chroma and hue: OKLCh, the polar form of Oklab (`core.stripes.screen`).

Lightness and chroma run from 0 to 1 and from 0 to about 0.32, hues from 0 to 360 degrees.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.stripes.screen import NEAR, oklab, rgb_of_oklab

Floats = NDArray[np.float64]
Oklch = tuple[float, float, float]

MOST_CHROMA: Final = 0.33
"""A little more than any colour of a screen has."""


def rgb_of(colour: str) -> tuple[int, int, int]:
    """Return the three channels of #rrggbb, 0 to 255."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def hex_of(rgb: ArrayLike) -> str:
    """Return #rrggbb for three channels from 0 to 1, those outside cut off."""
    red, green, blue = np.round(255.0 * np.clip(np.asarray(rgb, dtype=np.float64), 0, 1)).astype(
        int
    )
    return f"#{red:02x}{green:02x}{blue:02x}"


def rgb_of_oklch(lightness: ArrayLike, chroma: ArrayLike, hue_deg: ArrayLike) -> Floats:
    """Return sRGB channels of OKLCh, the three broadcast, shape (..., 3)."""
    hue = np.radians(np.asarray(hue_deg, dtype=np.float64))
    a, b = np.asarray(chroma) * np.cos(hue), np.asarray(chroma) * np.sin(hue)
    return rgb_of_oklab(np.stack(np.broadcast_arrays(lightness, a, b), axis=-1))


def shows(rgb: ArrayLike) -> NDArray[np.bool_]:
    """Return whether a screen shows colours with these channels, shape (...,)."""
    values = np.asarray(rgb)
    inside = (values >= -NEAR) & (values <= 1 + NEAR)
    return np.asarray(inside.all(axis=-1), dtype=np.bool_)


@lru_cache(maxsize=4096)
def oklch_of(colour: str) -> Oklch:
    """Return lightness, chroma and hue of #rrggbb; a grey has chroma and hue 0."""
    lightness, a, b = oklab(np.array(rgb_of(colour)) / 255.0).tolist()
    chroma = float(np.hypot(a, b))
    if chroma < 5e-4:
        return min(lightness, 1.0), 0.0, 0.0
    return min(lightness, 1.0), chroma, float(np.degrees(np.arctan2(b, a)) % 360.0)


def most_chroma(lightness: float, hue_deg: float) -> float:
    """Return the greatest chroma that a screen shows at this lightness and hue."""
    low, high = 0.0, MOST_CHROMA
    if not shows(rgb_of_oklch(lightness, 1e-3, hue_deg)):
        return 0.0
    for _ in range(18):
        middle = 0.5 * (low + high)
        if shows(rgb_of_oklch(lightness, middle, hue_deg)):
            low = middle
        else:
            high = middle
    return low


def hex_of_oklch(lightness: float, chroma: float, hue_deg: float) -> str:
    """Return #rrggbb; chroma gives way where no screen shows it, hue and lightness stay."""
    lightness = min(max(lightness, 0.0), 1.0)
    rgb = rgb_of_oklch(lightness, chroma, hue_deg)
    if not shows(rgb):
        rgb = rgb_of_oklch(lightness, min(chroma, most_chroma(lightness, hue_deg)), hue_deg)
    return hex_of(rgb)
