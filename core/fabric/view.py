"""What is to be pictured of the fabric, and the picture without its colours."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.records import Struct

SHADES: Final = 256


class View(Struct, frozen=True, eq=False):
    """The piece of fabric to be pictured.

    Attributes:
        left_mm: Its left edge.
        top_mm: Its upper edge.
        px_per_mm: Scale.
        width_px: Pixels across.
        height_px: Pixels down.
    """

    left_mm: float
    top_mm: float
    px_per_mm: float
    width_px: int
    height_px: int


class Relief(Struct, frozen=True, eq=False):
    """A picture without its colours, in two layers; shape (height, width) each.

    Attributes:
        row: Row between whose feet and tops a pixel lies, 0 outside the fabric.
        shade: Light on its posts, 0 to `SHADES` - 1.
        cover: How much of the pixel they cover, 0 to 255.
        top_row: Row whose tops' chain lies over them; 0 is the foundation.
        top_shade: Light on that chain.
        top_cover: How much of the pixel it covers.
    """

    row: NDArray[np.int16]
    shade: NDArray[np.uint8]
    cover: NDArray[np.uint8]
    top_row: NDArray[np.int16]
    top_shade: NDArray[np.uint8]
    top_cover: NDArray[np.uint8]


def nothing(height: int, width: int) -> Relief:
    """Return the picture of no fabric."""
    rows, light = np.zeros((height, width), np.int16), np.zeros((height, width), np.uint8)
    return Relief(rows, light, light, rows, light, light)
