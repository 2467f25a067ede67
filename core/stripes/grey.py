"""Pictures in grey that are as light as they were in colour."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.stripes.screen import SHARES, encoded, linear

Pixels = NDArray[np.uint8]

_SHARES: Final = np.array(SHARES, dtype=np.float32)
_FINE: Final = 4096  # steps of the way back


_TO_LINEAR: Final = linear(np.arange(256) / 255.0).astype(np.float32)
_BACK: Final = np.round(255.0 * encoded((np.arange(_FINE) + 0.0) / (_FINE - 1))).astype(np.uint8)


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
