"""The fabric's relief in the yarns' colours."""

from collections.abc import Iterator
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QColor, QImage

from app.painting.strokes import image_of
from core.errors import Stopped
from core.fabric.light import GAIN, OWN, USUAL, Light
from core.fabric.relax import ShouldStop, never
from core.fabric.relief import SHADES, Relief, Scene, Surface, View, shows_rows
from core.palette.sight import PLAIN, Sight, seen
from core.pipeline import Results
from core.records import Struct
from core.stripes.loops import design_loops

_SMOOTH_BY_ITSELF_PX = 1.6  # from this stitch width on, tiles are averaged over pixels
_BAND_PIXELS = 50_000


class Manner(Struct, frozen=True):
    """How the fabric is shown.

    Attributes:
        ridges: Whether loops and fold are drawn.
        sight: How its colours are seen.
        light: Where the light comes from.
    """

    ridges: bool = True
    sight: Sight = PLAIN
    light: Light = USUAL


_USUAL_MANNER: Final = Manner()


def fabric_image(
    results: Results,
    view: View,
    manner: Manner = _USUAL_MANNER,
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
    painting = FabricPainting(results, view, ridges=manner.ridges, smooth=smooth)
    return painting.image(results, manner, outside=outside)


class FabricPainting:
    """A piece of fabric that is painted again in other colours or light at little cost."""

    def __init__(
        self,
        results: Results,
        view: View,
        *,
        ridges: bool = True,
        smooth: int = 1,
        keep: bool = False,
        rough: bool = False,
    ) -> None:
        """Prepare a piece; with `keep`, all that colours and light don't change is kept."""
        stitch_px = results.fabric.size.width_mm * view.px_per_mm
        self._times = smooth if stitch_px < _SMOOTH_BY_ITSELF_PX else 1
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
            self._scene = Scene(
                results.fabric,
                results.rows,
                loops,
                fine,
                ridges=ridges,
                turning_counts=results.design.turning.counts,
                rough=rough,
            )
        self._bands: list[Surface] | None = [] if keep else None
        self._lit: list[Relief] = []
        self._lit_by: Light | None = None

    def image(
        self,
        results: Results,
        manner: Manner,
        *,
        outside: str | None = None,
        should_stop: ShouldStop = never,
    ) -> QImage:
        """Return the picture in the results' colours; ridges and fabric are set before.

        Raises:
            Stopped: `should_stop`, asked for every band, answered yes.
        """
        if self._scene is None:
            pixels = np.full((self._view.height_px, self._view.width_px), _around(outside))
            return image_of(pixels.astype(np.uint32))
        table = _table(results, manner.sight)
        yarn = results.yarn_of_row
        first = yarn[:1] if len(yarn) else np.zeros(1, dtype=np.intp)
        of_row = (np.concatenate([first, yarn]) * SHADES).astype(np.int32)
        around = _around(outside)
        found = []
        for relief in self._reliefs(self._scene, manner.light):
            if should_stop():
                raise Stopped
            pixels = _coloured(relief, table, of_row, around)
            found.append(_averaged(pixels, self._times) if self._times > 1 else pixels)
        return image_of(np.concatenate(found))

    def _reliefs(self, scene: Scene, light: Light) -> Iterator[Relief]:
        """Return the lit picture band by band; other colours in the same light find it kept."""
        if self._bands is None:
            yield from (surface.lit(light) for surface in self._surfaces(scene))
            return
        if self._lit_by != light:
            self._lit, self._lit_by = [], light
        for number, surface in enumerate(self._surfaces(scene)):
            if number == len(self._lit):
                self._lit.append(surface.lit(light))
            yield self._lit[number]

    def _surfaces(self, scene: Scene) -> Iterator[Surface]:
        """Return the picture band by band: bands are small enough for the processor's cache."""
        height = self._fine.height_px
        step = max(_BAND_PIXELS // max(self._fine.width_px, 1), 8) * self._times
        for number, top in enumerate(range(0, height, step)):
            if self._bands is not None and number < len(self._bands):
                yield self._bands[number]
                continue
            surface = scene.surface(top, min(top + step, height))
            if self._bands is not None:
                self._bands.append(surface)
            yield surface


def _table(results: Results, sight: Sight) -> NDArray[np.uint32]:
    return np.concatenate([shades(seen(yarn.colour, sight)) for yarn in results.design.yarns])


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


def plain_shade(colour: str, light: Light) -> int:
    """Return what a yarn's fabric looks like from afar in a light, as 0xAARRGGBB.

    Its strands are evened so that they show the yarn's own colour in the mean.
    """
    return int(shades(colour)[round(OWN * GAIN * light.evenness * (SHADES - 1))])


def _channels(colour: str) -> tuple[float, float, float]:
    known = QColor(colour)
    return known.redF(), known.greenF(), known.blueF()


def _averaged(pixels: NDArray[np.uint32], times: int) -> NDArray[np.uint32]:
    """Return the picture made smaller by averaging squares of pixels, two bytes at a time."""
    low = np.uint32(0x00FF00FF)
    odd: NDArray[np.uint32] = np.zeros((1, 1), dtype=np.uint32)
    even = odd
    parts = [pixels[row::times, column::times] for row in range(times) for column in range(times)]
    for part in parts:
        odd = odd + (part & low)
        even = even + ((part >> np.uint32(8)) & low)
    count = len(parts)
    means = [
        ((both >> np.uint32(16)) // np.uint32(count) << np.uint32(16))
        | ((both & np.uint32(0xFFFF)) // np.uint32(count))
        for both in (odd, even)
    ]
    mean: NDArray[np.uint32] = means[0] | (means[1] << np.uint32(8))
    return mean
