"""Pictures in grey that are as light as they were in colour."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]

_SHARES: Final = np.array([0.2126, 0.7152, 0.0722], dtype=np.float32)
"""Of red, green and blue in luminance: IEC 61966-2-1 (sRGB), ITU-R BT.709 primaries."""
_FINE: Final = 4096  # steps of the way back


def _linear(values: NDArray[np.float64]) -> NDArray[np.float64]:
    low = values <= 0.04045
    linear: NDArray[np.float64] = np.where(low, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)
    return linear


def _encoded(linear: NDArray[np.float64]) -> NDArray[np.float64]:
    low = linear <= 0.0031308
    root = np.maximum(linear, 0.0) ** (1 / 2.4)
    encoded: NDArray[np.float64] = np.where(low, 12.92 * linear, 1.055 * root - 0.055)
    return encoded


_TO_LINEAR: Final = _linear(np.arange(256) / 255.0).astype(np.float32)
_BACK: Final = np.round(255.0 * _encoded((np.arange(_FINE) + 0.0) / (_FINE - 1))).astype(np.uint8)


def grey_pixels(rgb: Pixels) -> Pixels:
    """Return the greys of the same luminance, and so the same CIE L*.

    Args:
        rgb: sRGB, shape (..., 3).

    Returns:
        Shape (...).
    """
    light = _TO_LINEAR[rgb] @ _SHARES
    grey: Pixels = _BACK[np.round(light * (_FINE - 1)).astype(np.intp)]
    return grey
