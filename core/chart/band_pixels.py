"""The bands' ground as pixels: for charts and blankets whose stitches are too small to be drawn.

A blanket has hundreds of bands, and filling their outlines one by one takes longer than all
else that has to be painted. Here every column of pixels meets the bands' edges one above the
other, and marking where they are crossed tells every pixel's band at once.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.chart.bands import sides_mm
from core.fabric.sampling import lines_px, passed, rows_in_view
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.fabric.view import View
from core.stripes.sequence import Indices

Pixels = NDArray[np.uint32]

_PARTS: Final = 32  # of a pixel, that an edge may cut off


def band_pixels(
    fabric: Fabric,
    yarn_of_row: Indices,
    colours: Sequence[int],
    view: View,
    *,
    outside: int = 0,
    smooth: bool = False,
) -> Pixels:
    """Return a picture of a blanket's bands.

    Args:
        fabric: Where the tops lie.
        yarn_of_row: Number of each row's yarn, shape (rows,).
        colours: Each yarn's colour as 0xAARRGGBB, opaque.
        view: What to picture.
        outside: Colour beside the blanket; clear unless told otherwise.
        smooth: Mix the colours where an edge runs through a pixel.

    Returns:
        Premultiplied pixels, shape (view.height_px, view.width_px).
    """
    ground = np.uint32(outside)
    first, last = rows_in_view(fabric, view)
    if first > last:
        return np.full((view.height_px, view.width_px), ground)
    yarns = yarn_of_row[first - 1 : last]
    changes = np.flatnonzero(np.diff(yarns)) + first  # last rows of bands
    lines = lines_px(fabric, np.array([first - 1, *changes, last]), view)
    by_count = np.full(len(lines) + 1, ground)  # of lines passed on the way down
    by_count[1:-1] = np.array(colours, dtype=np.uint32)[yarns[[*(changes - first), -1]]][::-1]
    number = passed(lines, 0, view.height_px)
    pixels: Pixels = by_count.take(number)
    if smooth:
        inner = slice(1, -1)  # the rim is drawn over by a line
        _smooth_edges(pixels, lines[inner], by_count[inner][::-1])
    _clear_beside(pixels, fabric, view, (first, last), ground)
    return pixels


def _smooth_edges(pixels: Pixels, lines: NDArray[np.float32], bands: Pixels) -> None:
    """Mix the colours of neighbouring bands in the pixels that the line between them runs through.

    Everything counts from the lowest up.
    """
    if not len(lines):
        return
    height, width = pixels.shape
    pixel = np.clip(np.floor(lines), -1, height).astype(np.int32)
    part = ((lines - pixel) * np.float32(_PARTS)).astype(np.int32)  # of the pixel, above the edge
    mixed = _mixtures(bands[1:], bands[:-1])
    part += (np.arange(len(lines), dtype=np.int32) * (_PARTS + 1))[:, np.newaxis]
    inside = (pixel >= 0) & (pixel < height)
    at = (pixel.astype(np.intp) * width + np.arange(width))[inside]
    pixels.ravel()[at] = mixed.ravel().take(part[inside])


def _mixtures(above: Pixels, below: Pixels) -> Pixels:
    """Return pairs of colours mixed in every share of the upper one, shape (n, _PARTS + 1)."""
    share = np.arange(_PARTS + 1) / _PARTS
    mixed = np.zeros((len(above), _PARTS + 1), dtype=np.uint32)
    for shift in (0, 8, 16, 24):
        high = ((above >> np.uint32(shift)) & np.uint32(255)).astype(float)[:, np.newaxis]
        low = ((below >> np.uint32(shift)) & np.uint32(255)).astype(float)[:, np.newaxis]
        channel = np.rint(low + share * (high - low)).astype(np.uint32)
        mixed |= channel << np.uint32(shift)
    return mixed


def _clear_beside(
    pixels: Pixels, fabric: Fabric, view: View, rows: tuple[int, int], ground: np.uint32
) -> None:
    """Clear what lies left and right of the ends of the rows, first and last, that show."""
    height, width = pixels.shape
    left, right = (
        (side - (view.left_mm, view.top_mm)) * (view.px_per_mm, -view.px_per_mm)
        for side in sides_mm(fabric, np.arange(rows[0] - 1, rows[1] + 1))
    )
    middles = np.linspace(0.5, height - 0.5, height)
    begin, end = (
        np.clip(np.ceil(_across(side, middles) - 0.5), 0, width).astype(np.intp)
        for side in (left, right)
    )
    # Most of it is clear in every row of pixels; only where the sides waver each is looked at.
    surely, perhaps = int(begin.min()), int(begin.max())
    pixels[:, :surely] = ground
    pixels[:, surely:perhaps][np.arange(surely, perhaps) < begin[:, np.newaxis]] = ground
    perhaps, surely = int(end.min()), int(end.max())
    pixels[:, surely:] = ground
    pixels[:, perhaps:surely][np.arange(perhaps, surely) >= end[:, np.newaxis]] = ground


def _across(side: Floats, down: Floats) -> Floats:
    """Return where the rows' ends lie across, at some places down a picture."""
    x, y = side[::-1].T  # from the top
    found: Floats = np.interp(down, np.maximum.accumulate(y), x)
    return found
