"""CIEDE2000 for many pairs at once.

Sharma, Wu and Dalal 2005, "The CIEDE2000 color-difference formula: implementation notes,
supplementary test data, and mathematical observations", Color Research and Application 30 (1).
One pair alone is the library's business (`core.stripes.colour.difference`).
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_FAR: Final = 25.0**7


def ciede2000(one: ArrayLike, other: ArrayLike) -> Floats:
    """Return the CIEDE2000 difference of colours in CIELAB.

    Args:
        one: L*, a*, b* along the last axis, shape (..., 3).
        other: The same; both are broadcast against each other.

    Returns:
        Shape (...,).
    """
    l1, a1, b1 = np.moveaxis(np.asarray(one, dtype=np.float64), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(other, dtype=np.float64), -1, 0)
    mean_ab = 0.5 * (np.hypot(a1, b1) + np.hypot(a2, b2))
    stretch = 1.0 + 0.5 * (1.0 - np.sqrt(mean_ab**7 / (mean_ab**7 + _FAR)))
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = (np.degrees(np.arctan2(b, a)) % 360.0 for a, b in ((a1, b1), (a2, b2)))
    hueless = c1 * c2 == 0.0
    turn = np.where(hueless, 0.0, (h2 - h1 + 180.0) % 360.0 - 180.0)
    # Half a turn apart counts as plus half a turn when the second hue is the greater one.
    turn = np.where((turn == -180.0) & (h2 > h1), 180.0, turn)
    mean_h = np.where(hueless, h1 + h2, h1 + 0.5 * turn) % 360.0
    d_hue = 2.0 * np.sqrt(c1 * c2) * np.sin(np.radians(0.5 * turn))
    mean_l, mean_c = 0.5 * (l1 + l2), 0.5 * (c1 + c2)
    weight = (
        1.0
        - 0.17 * np.cos(np.radians(mean_h - 30.0))
        + 0.24 * np.cos(np.radians(2.0 * mean_h))
        + 0.32 * np.cos(np.radians(3.0 * mean_h + 6.0))
        - 0.20 * np.cos(np.radians(4.0 * mean_h - 63.0))
    )
    off = (mean_l - 50.0) ** 2
    d_l = (l2 - l1) / (1.0 + 0.015 * off / np.sqrt(20.0 + off))
    d_c = (c2 - c1) / (1.0 + 0.045 * mean_c)
    d_h = d_hue / (1.0 + 0.015 * mean_c * weight)
    blue = 60.0 * np.exp(-(((mean_h - 275.0) / 25.0) ** 2))
    tilt = -2.0 * np.sqrt(mean_c**7 / (mean_c**7 + _FAR)) * np.sin(np.radians(blue))
    total = d_l**2 + d_c**2 + d_h**2 + tilt * d_c * d_h
    found: Floats = np.sqrt(np.maximum(total, 0.0))
    return found
