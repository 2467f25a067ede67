"""The fabric's relief in the yarns' colours."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QColor, QImage

from app.painting.strokes import image_of
from core.fabric.light import OWN, USUAL, Light
from core.fabric.relief import SHADES, Relief, Scene, View, shows_rows
from core.fabric.surface import Surface
from core.pipeline import Results
from core.stripes.colour import grey_of
from core.stripes.loops import design_loops

_SMOOTH_BY_ITSELF_PX = 3.0  # tiles are averaged over pixels from this stitch width on
_BAND_PIXELS = 50_000


@dataclass(frozen=True, slots=True)
class Manner:
    """How the fabric is shown.

    Attributes:
        ridges: Whether loops and fold are drawn.
        grey: Whether colours are shown as greys.
        light: Where the light comes from.
    """

    ridges: bool = True
    grey: bool = False
    light: Light = USUAL


def fabric_image(
    results: Results,
    view: View,
    manner: Manner = Manner(),
    *,
    smooth: int = 1,
    outside: str | None = None,
) -> QImage:
    """Return the picture of the fabric in `view`.

    Args:
        results: The blanket.
        view: The piece to show, in pixels of the picture.
        manner: How it is shown.
        smooth: Pixels computed for each pixel shown, each way, where stitches are too small
            for the picture to be smooth by itself.
        outside: Colour around the fabric; None leaves it clear.
    """
    return FabricPainting(results, view, manner, smooth=smooth).image(manner, outside=outside)


class FabricPainting:
    """A piece of fabric that can be painted again in another light at little cost."""

    def __init__(
        self, results: Results, view: View, manner: Manner, *, smooth: int = 1, keep: bool = False
    ) -> None:
        stitch_px = results.fabric.size.width_mm * view.px_per_mm
        self._times = smooth if stitch_px < _SMOOTH_BY_ITSELF_PX else 1
        self._results = results
        self._view = view
        fine = View(
            view.left_mm,
            view.top_mm,
            view.px_per_mm * self._times,
            view.width_px * self._times,
            view.height_px * self._times,
        )
        self._fine = fine
        self._scene: Scene | None = None
        if shows_rows(results.fabric, fine):
            loops = design_loops(results.design)
            self._scene = Scene(results.fabric, results.rows, loops, fine, ridges=manner.ridges)
        self._bands: list[Surface] | None = [] if keep else None

    def image(self, manner: Manner, *, outside: str | None = None) -> QImage:
        """Return the picture in this light and these colours; its ridges are set before."""
        if self._scene is None:
            pixels = np.full((self._view.height_px, self._view.width_px), _around(outside))
            return image_of(pixels.astype(np.uint32))
        table = _table(self._results, grey=manner.grey)
        yarn = self._results.yarn_of_row
        first = yarn[:1] if len(yarn) else np.zeros(1, dtype=np.intp)
        of_row = (np.concatenate([first, yarn]) * SHADES).astype(np.int32)
        found = [
            _coloured(surface.lit(manner.light), table, of_row, _around(outside))
            for surface in self._surfaces(self._scene)
        ]
        pixels = np.concatenate(found)
        return image_of(_averaged(pixels, self._times) if self._times > 1 else pixels)

    def _surfaces(self, scene: Scene) -> Iterator[Surface]:
        """Return the picture band by band: bands are small enough for the processor's cache."""
        if self._bands:
            yield from self._bands
            return
        height = self._fine.height_px
        step = max(_BAND_PIXELS // max(self._fine.width_px, 1), 8)
        for top in range(0, height, step):
            surface = scene.surface(top, min(top + step, height))
            if self._bands is not None:
                self._bands.append(surface)
            yield surface


def _table(results: Results, *, grey: bool) -> NDArray[np.uint32]:
    colours = [yarn.colour for yarn in results.design.yarns]
    if grey:
        colours = [grey_of(colour) for colour in colours]
    return np.concatenate([shades(colour) for colour in colours])


def _coloured(
    relief: Relief, table: NDArray[np.uint32], of_row: NDArray[np.int32], around: int
) -> NDArray[np.uint32]:
    """Return premultiplied pixels: posts over the ground, chains over posts."""
    posts = table.take(of_row.take(relief.row) + relief.shade)
    tops = table.take(of_row.take(relief.top_row) + relief.top_shade)
    ground = np.full((1, 1), around, dtype=np.uint32)
    return _mixed(_mixed(ground, posts, relief.cover), tops, relief.top_cover)


def _mixed(
    under: NDArray[np.uint32], over: NDArray[np.uint32], cover: NDArray[np.uint8]
) -> NDArray[np.uint32]:
    """Return two layers of pixels mixed, two of their bytes at a time."""
    share = cover.astype(np.uint32)
    share += share >> np.uint32(7)  # 0 to 256
    rest = np.uint32(256) - share
    low, high = np.uint32(0x00FF00FF), np.uint32(0xFF00FF00)
    odd = ((over & low) * share + (under & low) * rest) >> np.uint32(8)
    even = ((over >> np.uint32(8)) & low) * share + ((under >> np.uint32(8)) & low) * rest
    mixed: NDArray[np.uint32] = (odd & low) | (even & high)
    return mixed


def _around(colour: str | None) -> int:
    return QColor(colour).rgba() if colour else 0


@lru_cache(maxsize=512)
def shades(colour: str) -> NDArray[np.uint32]:
    """Return a yarn's colour from shadow to light as opaque pixels, shape (SHADES,)."""
    rgb = np.array([_channels(colour)])
    share = (np.arange(SHADES) + 0.5) / SHADES / OWN
    dark = np.minimum(share, 1.0)[:, np.newaxis] ** 0.95
    light = 0.34 * (1.0 - np.exp(-1.8 * np.maximum(share - 1.0, 0.0)))[:, np.newaxis]
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
