"""Colours as numbers: sRGB, linear light, Oklab and its polar form OKLCh, for many at once.

Matrices and steps are those of Oklab's author, "A perceptual color space for image processing"
(https://bottosson.github.io/posts/oklab/); the transfer curve is that of IEC 61966-2-1.
Lightness and chroma run from 0 to 1 and from 0 to about 0.32, hues from 0 to 360 degrees.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Oklch = tuple[float, float, float]

MOST_CHROMA: Final = 0.33
"""A little more than any colour of a screen has."""

_NEAR: Final = 1e-4  # of a channel that may stand out of the gamut by rounding
_TO_CONES: Final = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_TO_LAB: Final = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)
_PRIMARIES: Final = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])  # x, y of IEC 61966-2-1
_WHITE: Final = np.array([0.3127, 0.3290])  # D65 of that standard
_FROM_CONES: Final = np.linalg.inv(_TO_CONES)
_FROM_LAB: Final = np.linalg.inv(_TO_LAB)


def rgb_of(colour: str) -> tuple[int, int, int]:
    """Return the three channels of #rrggbb, 0 to 255."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def hex_of(rgb: ArrayLike) -> str:
    """Return #rrggbb for three channels from 0 to 1, those outside cut off."""
    red, green, blue = np.round(255.0 * np.clip(np.asarray(rgb, dtype=np.float64), 0, 1)).astype(
        int
    )
    return f"#{red:02x}{green:02x}{blue:02x}"


def linear(rgb: ArrayLike) -> Floats:
    """Return sRGB channels (0 to 1) as linear light, any shape."""
    values = np.asarray(rgb, dtype=np.float64)
    size = np.abs(values)
    found = np.where(size <= 0.04045, size / 12.92, ((size + 0.055) / 1.055) ** 2.4)
    return np.copysign(found, values)


def encoded(light: ArrayLike) -> Floats:
    """Return linear light as sRGB channels, any shape; what lies outside 0 to 1 stays outside."""
    values = np.asarray(light, dtype=np.float64)
    size = np.abs(values)
    found = np.where(
        size <= 0.0031308, 12.92 * size, 1.055 * np.maximum(size, 1e-12) ** (1 / 2.4) - 0.055
    )
    return np.copysign(found, values)


def oklab(rgb: ArrayLike) -> Floats:
    """Return sRGB channels (0 to 1) in Oklab, shape (..., 3)."""
    found: Floats = np.cbrt(linear(rgb) @ _TO_CONES.T) @ _TO_LAB.T
    return found


def cielab(rgb: ArrayLike) -> Floats:
    """Return sRGB channels (0 to 1) in CIELAB under D65, shape (..., 3).

    CIE 15:2004; one colour alone is `core.palette.sight.lab_of`.
    """
    light = linear(rgb) @ _to_xyz().T / (_xyz(_WHITE) / _xyz(_WHITE)[1])
    cubes = np.where(light > 216 / 24389, np.cbrt(light), (24389 / 27 * light + 16) / 116)
    x, y, z = np.moveaxis(cubes, -1, 0)
    found: Floats = np.stack((116 * y - 16, 500 * (x - y), 200 * (y - z)), axis=-1)
    return found


@lru_cache(maxsize=1)
def _to_xyz() -> Floats:
    """Return the matrix from linear sRGB to XYZ: its primaries, scaled so that they make white."""
    primaries = np.array([_xyz(one) for one in _PRIMARIES]).T
    white = _xyz(_WHITE) / _xyz(_WHITE)[1]
    found: Floats = primaries * np.linalg.solve(primaries, white)
    return found


def _xyz(xy: Floats) -> Floats:
    return np.array([xy[0], xy[1], 1.0 - xy[0] - xy[1]])


def rgb_of_oklab(lab: ArrayLike) -> Floats:
    """Return Oklab as sRGB channels, shape (..., 3); outside 0 to 1 where no screen shows it."""
    cones = np.asarray(lab, dtype=np.float64) @ _FROM_LAB.T
    return encoded(cones**3 @ _FROM_CONES.T)


def rgb_of_oklch(lightness: ArrayLike, chroma: ArrayLike, hue_deg: ArrayLike) -> Floats:
    """Return sRGB channels of OKLCh, the three broadcast, shape (..., 3)."""
    hue = np.radians(np.asarray(hue_deg, dtype=np.float64))
    a, b = np.asarray(chroma) * np.cos(hue), np.asarray(chroma) * np.sin(hue)
    return rgb_of_oklab(np.stack(np.broadcast_arrays(lightness, a, b), axis=-1))


def shows(rgb: ArrayLike) -> NDArray[np.bool_]:
    """Return whether a screen shows colours with these channels, shape (...,)."""
    values = np.asarray(rgb)
    inside = (values >= -_NEAR) & (values <= 1 + _NEAR)
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
