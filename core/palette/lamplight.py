"""Colours by the light of a warm lamp, as an eye sees them that has adapted only in part.

The light that comes from a yarn is scaled to the lamp's white in the cones of CAT16 (Li, Li, Wang,
Zu, Luo, Cui, Melgosa, Brill and Pointer 2017, "Comprehensive color solutions: CAM16, CAT16, and
CAM16-UCS", Color Research and Application 42). How far the eye makes up for the lamp's cast is
the degree of adaptation of CIECAM02 (CIE 159:2004; formula from memory). What is left
of the cast is what is shown.
"""

import math
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.records import Struct

Floats = NDArray[np.float64]
White = tuple[float, float]  # x, y of the CIE 1931 observer

DAYLIGHT: Final[White] = (0.3127, 0.3290)
"""D65, the white of an sRGB screen."""


class Lamp(Struct, frozen=True):
    """A lamp in a room at dusk; strength and dimming are our own choice.

    Attributes:
        kelvin: Its correlated colour temperature; 2700 K is sold as warm white.
        lux: Light that falls on the blanket.
        shown: Light of the picture against the plain view; a room at dusk is dim.
    """

    kelvin: float = 2700.0
    lux: float = 30.0
    shown: float = 0.6


WARM: Final = Lamp()

CAT16: Final = (
    (0.401288, 0.650173, -0.051461),
    (-0.250268, 1.204414, 0.045854),
    (-0.002079, 0.048952, 0.953127),
)
"""From XYZ to the cones of CAT16."""


def white_of(kelvin: float) -> White:
    """Return the chromaticity of a glowing body of this temperature (Planck's law)."""
    from coloraide import Color  # loaded when a lamp is first lit

    x, y = Color.blackbody("xyz-d65", kelvin, scale=False).xy()
    return float(x), float(y)


def cone_gains(source: White, target: White, matrix: ArrayLike = CAT16) -> Floats:
    """Return by how much the lights of the three cones grow from one white to another."""
    cones = np.asarray(matrix, dtype=np.float64)
    one, other = (cones @ _xyz(white) for white in (source, target))
    gains: Floats = other / one
    return gains


def adaptation(source: White, target: White, matrix: ArrayLike = CAT16) -> Floats:
    """Return the matrix that takes XYZ from one white to another, shape (3, 3)."""
    cones = np.asarray(matrix, dtype=np.float64)
    whole: Floats = np.linalg.inv(cones) @ np.diag(cone_gains(source, target, matrix)) @ cones
    return whole


def degree_of_adaptation(luminance: float, surround: float = 0.9) -> float:
    """Return how far an eye adapts, 0 to 1, by the formula of CIECAM02.

    Args:
        luminance: Of the adapting field, in candela per square metre.
        surround: The factor F: 1 average, 0.9 dim, 0.8 dark.
    """
    return surround * (1.0 - math.exp(-(luminance + 42.0) / 92.0) / 3.6)


def by_lamp(xyz: ArrayLike, lamp: Lamp = WARM) -> Floats:
    """Return what is to be shown on a daylight screen for yarns in the light of a lamp.

    Args:
        xyz: The yarns by daylight, D65, white at Y = 1; shape (..., 3).
        lamp: The lamp.
    """
    cones = np.asarray(CAT16)
    degree = degree_of_adaptation(lamp.lux * 0.2 / math.pi)  # the field is a grey of a fifth
    cast = cone_gains(DAYLIGHT, white_of(lamp.kelvin))
    left = degree + (1.0 - degree) * cast  # the cast, and what the eye takes back of it
    found: Floats = lamp.shown * (
        np.asarray(xyz, dtype=np.float64) @ (np.linalg.inv(cones) @ np.diag(left) @ cones).T
    )
    return found


def _xyz(white: White) -> Floats:
    x, y = white
    return np.array([x / y, 1.0, (1.0 - x - y) / y])
