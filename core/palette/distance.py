"""How far away the blanket is looked at, and what the eye blurs at that distance.

A good eye just tells a grating of 30 periods to a degree, each bar one minute of arc wide (the
Snellen letter of normal sight has such strokes). Its colours alone are told only up to about 11
periods to a degree (Mullen 1985, "The contrast sensitivity of human colour vision to red-green
and blue-yellow chromatic gratings", Journal of Physiology 359; figures from memory). So light is
blurred less than colour. Both blurs are bell curves that leave a twentieth of the contrast at
those limits (our choice).

Squinting stands for looking out of focus: an eye that is `d` dioptres out of focus spreads a point
over a disc as wide, in radians, as its pupil in metres times `d` (geometric optics). Two dioptres
and a pupil of 4 mm are our choice.
"""

import math
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from core.records import Struct
from core.stripes.screen import SHARES, encoded, linear

DistanceKind = Literal["near", "room", "squint", "garden", "phone"]
Narrow = NDArray[np.float32]
Pixels = NDArray[np.uint8]

LIGHT_PER_DEG: Final = 30.0
COLOUR_PER_DEG: Final = 11.0
CONTRAST_LEFT: Final = 0.05
SQUINT_RAD: Final = 0.004 * 2.0
ROOM_M: Final = 4.0
GARDEN_M: Final = 15.0
PHONE_M: Final = 0.3
"""How far from the eye a phone is held (common practice)."""
THUMBNAIL_MM: Final = 25.0
"""How wide a small picture is on a phone: a third of its width (our choice)."""

_METRES: Final = {"room": ROOM_M, "squint": ROOM_M, "garden": GARDEN_M}
_LUMINANCE: Final = np.array(SHARES, dtype=np.float32)


class Blur(Struct, frozen=True):
    """Two bell curves on the fabric, by their standard deviations.

    Attributes:
        light_mm: That of light and dark.
        colour_mm: That of colour alone.
    """

    light_mm: float
    colour_mm: float


def metres_away(kind: DistanceKind, width_mm: float) -> float:
    """Return how far away a blanket so wide is looked at; 0 is close up.

    A thumbnail looks like the blanket itself from where it seems as small.
    """
    if kind == "phone":
        return PHONE_M * max(width_mm, THUMBNAIL_MM) / THUMBNAIL_MM
    return _METRES.get(kind, 0.0)


def blur_at(kind: DistanceKind, width_mm: float) -> Blur | None:
    """Return what the eye blurs on a blanket so wide; None is nothing."""
    metres = metres_away(kind, width_mm)
    if not metres:
        return None
    disc = SQUINT_RAD / 4.0 if kind == "squint" else 0.0  # deviation along one axis
    light, colour = (
        math.hypot(_bell_rad(limit), disc) for limit in (LIGHT_PER_DEG, COLOUR_PER_DEG)
    )
    return Blur(1000.0 * metres * light, 1000.0 * metres * colour)


def _bell_rad(limit_per_deg: float) -> float:
    """Return the deviation of the bell that leaves `CONTRAST_LEFT` of a grating at a limit."""
    per_rad = limit_per_deg * 180.0 / math.pi
    return math.sqrt(-math.log(CONTRAST_LEFT) / 2.0) / (math.pi * per_rad)


def reduced(pixels: Pixels, times: int) -> Narrow:
    """Return squares of `times` pixels averaged in linear light.

    Args:
        pixels: sRGB, shape (height, width, 3).
        times: Pixels in one, each way; the last ones may be fewer.

    Returns:
        Linear light from 0 to 1, shape (ceil(height / times), ceil(width / times), 3).
    """
    light = _TO_LIGHT.take(pixels)
    if times == 1:
        return light
    height, width = pixels.shape[:2]
    rows, columns = np.arange(0, height, times), np.arange(0, width, times)
    light = np.add.reduceat(np.add.reduceat(light, rows, axis=0), columns, axis=1)
    counts = np.minimum(height - rows, times)[:, np.newaxis] * np.minimum(width - columns, times)
    found: Narrow = (light / counts[..., np.newaxis]).astype(np.float32)
    return found


def blurred(light: Narrow, light_px: float, colour_px: float) -> Pixels:
    """Return a picture as a distant eye sees it.

    Args:
        light: Linear light, shape (height, width, 3); its edge goes on outside.
        light_px: Deviation of the blur of light and dark, in pixels.
        colour_px: That of colour.

    Returns:
        sRGB, shape (height, width, 3).
    """
    luminance = (light @ _LUMINANCE)[..., np.newaxis]
    colour = light - luminance
    far = _smoothed(colour, colour_px) + _smoothed(luminance, light_px)
    level = np.clip(far * np.float32(4095.0) + np.float32(0.5), 0, 4095).astype(np.uint16)
    found: Pixels = _FROM_LIGHT.take(level)
    return found


def _smoothed(values: Narrow, deviation: float) -> Narrow:
    if deviation < 0.2:
        return values
    reach = math.ceil(3.0 * deviation)
    bell = np.exp(-0.5 * (np.arange(-reach, reach + 1) / deviation) ** 2)
    bell = (bell / bell.sum()).astype(np.float32)
    for axis in (0, 1):
        size = values.shape[axis]
        around = [(0, 0)] * 3
        around[axis] = (reach, reach)
        padded = np.pad(values, around, mode="edge")
        total = bell[reach] * values
        for step in range(1, reach + 1):
            both = _piece(padded, axis, reach - step, size) + _piece(
                padded, axis, reach + step, size
            )
            both *= bell[reach + step]
            total += both
        values = total
    return values


def _piece(values: Narrow, axis: int, start: int, size: int) -> Narrow:
    return values[start : start + size] if axis == 0 else values[:, start : start + size]


_TO_LIGHT: Final = linear(np.arange(256) / 255.0).astype(np.float32)
_FROM_LIGHT: Final = np.round(255.0 * encoded(np.arange(4096) / 4095.0)).astype(np.uint8)
