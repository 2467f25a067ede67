"""Colours of a screen by plain arithmetic: light, lightness, mixtures, greys; sRGB, CIELAB, Oklab.

The colour library knows far more, but takes longer to load than the rest of the program, and a
window needs no more than this to open. Everything here gives what the library gives; the tests
compare the two. One colour alone is reckoned in plain numbers, which is many times quicker than
arrays of three; many at once in arrays of shape (..., 3), from the same tables.

Matrices: sRGB of IEC 61966-2-1 with the white D65 (0.3127, 0.3290), and Oklab as W3C's "CSS Color
Module Level 4" states it for XYZ.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Triple = tuple[float, float, float]
Matrix = tuple[Triple, Triple, Triple]

_TO_XYZ: Final[Matrix] = (
    (0.4123907992659593, 0.357584339383878, 0.1804807884018343),
    (0.21263900587151024, 0.715168678767756, 0.07219231536073371),
    (0.01933081871559182, 0.11919477979462598, 0.9505321522496607),
)
_FROM_XYZ: Final[Matrix] = (
    (3.240969941904523, -1.5373831775700941, -0.4986107602930035),
    (-0.9692436362808797, 1.8759675015077204, 0.04155505740717562),
    (0.05563007969699365, -0.20397695888897652, 1.0569715142428784),
)
_TO_CONES: Final[Matrix] = (
    (0.819022437996703, 0.3619062600528904, -0.1288737815209879),
    (0.03298365393238847, 0.9292868615863434, 0.03614466635064236),
    (0.04817718935962421, 0.2642395317527308, 0.6335478284694309),
)
_FROM_CONES: Final[Matrix] = (
    (1.226879875845924, -0.5578149944602171, 0.2813910456659647),
    (-0.04057574521480083, 1.112286803280317, -0.07171105806551635),
    (-0.07637293667466008, -0.42149333240224324, 1.5869240198367818),
)
_TO_OKLAB: Final[Matrix] = (
    (0.21045426830931396, 0.7936177747023053, -0.0040720430116192585),
    (1.9779985324311686, -2.42859224204858, 0.450593709617411),
    (0.025904042465547734, 0.7827717124575297, -0.8086757549230774),
)
_FROM_OKLAB: Final[Matrix] = (
    (1.0, 0.3963377773761749, 0.21580375730991364),
    (1.0, -0.10556134581565857, -0.0638541728258133),
    (1.0, -0.08948417752981186, -1.2914855480194092),
)
_WHITE: Final[Triple] = (0.3127 / 0.329, 1.0, (1 - 0.3127 - 0.329) / 0.329)
_DARK: Final = 216 / 24389  # CIE's: below it lightness is a straight line
_SLOPE: Final = 24389 / 27
NEAR: Final = 7.5e-5
"""Of a channel from 0 to 1: it may stand so far out of the screen's range by rounding."""

SHARES: Final[Triple] = _TO_XYZ[1]
"""Of red, green and blue light in luminance."""

# The transfer curve of IEC 61966-2-1: a line up to the bend, above it a power.
_BEND: Final = 0.04045
_BEND_LIGHT: Final = 0.0031308
_LINE: Final = 12.92
_LIFT: Final = 0.055
_POWER: Final = 2.4

_LIGHT_TO_XYZ: Final = np.array(_TO_XYZ)
_LIGHT_TO_CONES: Final = np.array(_TO_CONES) @ _LIGHT_TO_XYZ
_CONES_TO_LIGHT: Final = np.array(_FROM_XYZ) @ np.array(_FROM_CONES)
_CONES_TO_OKLAB: Final = np.array(_TO_OKLAB)
_OKLAB_TO_CONES: Final = np.array(_FROM_OKLAB)


def times(matrix: Matrix, values: Triple) -> Triple:
    """Return a matrix times a column."""
    x, y, z = values
    first, second, third = (row[0] * x + row[1] * y + row[2] * z for row in matrix)
    return first, second, third


@lru_cache(maxsize=4096)
def light_of(colour: str) -> Triple:
    """Return the channels of #rrggbb as linear light, 0 to 1."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255) for i in (1, 3, 5))
    return red, green, blue


def hex_of_light(light: Triple) -> str:
    """Return #rrggbb for channels of linear light; what no screen shows is cut off."""
    channels = (int(255 * min(max(_encoded(part), 0.0), 1.0) + 0.5) for part in light)
    return "#" + "".join(f"{channel:02x}" for channel in channels)


def is_shown(light: Triple) -> bool:
    """Return whether a screen has the colour of this light."""
    return all(-NEAR <= _encoded(part) <= 1 + NEAR for part in light)


def luminance(colour: str) -> float:
    """Return the luminance of #rrggbb, 0 to 1."""
    red, green, blue = light_of(colour)
    return SHARES[0] * red + SHARES[1] * green + SHARES[2] * blue


def lab(colour: str) -> Triple:
    """Return L*, a* and b* of #rrggbb under D65."""
    x, y, z = (
        _bent(part / white)
        for part, white in zip(times(_TO_XYZ, light_of(colour)), _WHITE, strict=True)
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def grey_light(lightness: float) -> Triple:
    """Return the linear light of the grey with this L*."""
    bent = (lightness + 16) / 116
    level = bent**3 if lightness > 8 else lightness / _SLOPE
    return times(_FROM_XYZ, (level * _WHITE[0], level, level * _WHITE[2]))


def mixed_light(colour: str, other: str, share: float) -> Triple:
    """Return the linear light of `colour` with `share` of `other`, mixed in Oklab."""
    one, two = _oklab(colour), _oklab(other)
    part, rest = share, 1.0 - share
    blend = (
        rest * one[0] + part * two[0],
        rest * one[1] + part * two[1],
        rest * one[2] + part * two[2],
    )
    long, middle, short = times(_FROM_OKLAB, blend)
    return times(_FROM_XYZ, times(_FROM_CONES, (long**3, middle**3, short**3)))


@lru_cache(maxsize=4096)
def _oklab(colour: str) -> Triple:
    long, middle, short = times(_TO_CONES, times(_TO_XYZ, light_of(colour)))
    return times(_TO_OKLAB, (_root(long), _root(middle), _root(short)))


def _root(value: float) -> float:
    return float(abs(value) ** (1 / 3)) * (1 if value >= 0 else -1)


def _bent(part: float) -> float:
    return float(part ** (1 / 3)) if part > _DARK else (_SLOPE * part + 16) / 116


def _linear(channel: float) -> float:
    if channel <= _BEND:
        return channel / _LINE
    return float(((channel + _LIFT) / (1 + _LIFT)) ** _POWER)


def _encoded(light: float) -> float:
    size = abs(light)
    if size <= _BEND_LIGHT:
        return _LINE * light
    return float((1 + _LIFT) * size ** (1 / _POWER) - _LIFT) * (1 if light > 0 else -1)


# many colours at once


def linear(rgb: ArrayLike) -> Floats:
    """Return sRGB channels (0 to 1) as linear light, any shape."""
    values = np.asarray(rgb, dtype=np.float64)
    size = np.abs(values)
    found = np.where(size <= _BEND, size / _LINE, ((size + _LIFT) / (1 + _LIFT)) ** _POWER)
    return np.copysign(found, values)


def encoded(light: ArrayLike) -> Floats:
    """Return linear light as sRGB channels, any shape; what lies outside 0 to 1 stays outside."""
    values = np.asarray(light, dtype=np.float64)
    size = np.abs(values)
    root = np.maximum(size, 1e-12) ** (1 / _POWER)
    found = np.where(size <= _BEND_LIGHT, _LINE * size, (1 + _LIFT) * root - _LIFT)
    return np.copysign(found, values)


def oklab(rgb: ArrayLike) -> Floats:
    """Return sRGB channels (0 to 1) in Oklab, shape (..., 3)."""
    found: Floats = np.cbrt(linear(rgb) @ _LIGHT_TO_CONES.T) @ _CONES_TO_OKLAB.T
    return found


def rgb_of_oklab(lab: ArrayLike) -> Floats:
    """Return Oklab as sRGB channels, shape (..., 3); outside 0 to 1 where no screen shows it."""
    cones = np.asarray(lab, dtype=np.float64) @ _OKLAB_TO_CONES.T
    return encoded(cones**3 @ _CONES_TO_LIGHT.T)


def cielab(rgb: ArrayLike) -> Floats:
    """Return sRGB channels (0 to 1) in CIELAB under D65, shape (..., 3); CIE 15:2004."""
    light = linear(rgb) @ _LIGHT_TO_XYZ.T / _WHITE
    bent = np.where(light > _DARK, np.cbrt(light), (_SLOPE * light + 16) / 116)
    x, y, z = np.moveaxis(bent, -1, 0)
    found: Floats = np.stack((116 * y - 16, 500 * (x - y), 200 * (y - z)), axis=-1)
    return found
