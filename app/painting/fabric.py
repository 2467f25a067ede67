"""The fabric's relief in the yarns' colours."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QColor, QImage

from app.painting.strokes import image_of
from core.fabric.relief import SHADES, Relief, View, relief_of
from core.pipeline import Results
from core.stripes.colour import grey_of

_OWN_SHADE = 0.80  # shade at which a yarn shows its own colour


def fabric_image(
    results: Results,
    view: View,
    *,
    ridges: bool = True,
    grey: bool = False,
    smooth: int = 1,
    outside: str | None = None,
) -> QImage:
    """Return the picture of the fabric in `view`.

    Args:
        results: The blanket.
        view: The piece to show, in pixels of the picture.
        ridges: Whether loops and fold are drawn.
        grey: Show each colour as the grey of its lightness.
        smooth: Pixels computed for each pixel shown, each way; 2 smooths edges.
        outside: Colour around the fabric; None leaves it clear.
    """
    fine = View(
        view.left_mm,
        view.top_mm,
        view.px_per_mm * smooth,
        view.width_px * smooth,
        view.height_px * smooth,
    )
    relief = relief_of(results.fabric, results.rows, results.design.loops, fine, ridges=ridges)
    pixels = _coloured(relief, results, grey=grey, outside=outside)
    if smooth > 1:
        pixels = _averaged(pixels, smooth)
    return image_of(pixels)


def _coloured(
    relief: Relief, results: Results, *, grey: bool, outside: str | None
) -> NDArray[np.uint32]:
    colours = [yarn.colour for yarn in results.design.yarns]
    if grey:
        colours = [grey_of(colour) for colour in colours]
    table = np.concatenate([[_around(outside)] * SHADES, *(shades(c) for c in colours)])
    yarn = np.concatenate([[0], results.yarn_of_row + 1]).astype(np.int32)
    found: NDArray[np.uint32] = table.astype(np.uint32).take(
        yarn.take(relief.row) * SHADES + relief.shade
    )
    return found


def _around(colour: str | None) -> int:
    return QColor(colour).rgba() if colour else 0


@lru_cache(maxsize=512)
def shades(colour: str) -> NDArray[np.uint32]:
    """Return a yarn's colour from shadow to light as opaque pixels, shape (SHADES,)."""
    rgb = np.array([_channels(colour)])
    share = (np.arange(SHADES) + 0.5) / SHADES / _OWN_SHADE
    dark = np.minimum(share, 1.0)[:, np.newaxis] ** 1.15
    light = np.clip((share - 1.0) * 1.1, 0.0, 1.0)[:, np.newaxis]
    mixed = rgb * dark
    mixed += (1.0 - mixed) * light
    red, green, blue = np.round(255 * mixed).astype(np.uint32).T
    packed: NDArray[np.uint32] = (
        np.uint32(0xFF000000) | (red << np.uint32(16)) | (green << np.uint32(8)) | blue
    )
    return packed


def _channels(colour: str) -> tuple[float, float, float]:
    known = QColor(colour)
    return known.redF(), known.greenF(), known.blueF()


def _averaged(pixels: NDArray[np.uint32], times: int) -> NDArray[np.uint32]:
    """Return the picture made smaller by averaging squares of pixels."""
    height, width = pixels.shape[0] // times, pixels.shape[1] // times
    channels = pixels.view(np.uint8).reshape(height, times, width, times, 4)
    mean = channels.mean(axis=(1, 3), dtype=np.float32).astype(np.uint8)
    packed: NDArray[np.uint32] = np.ascontiguousarray(mean).view(np.uint32).reshape(height, width)
    return packed
