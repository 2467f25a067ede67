"""What lies at every pixel of the fabric's picture, before any light falls on it.

Every pixel lies between two rows' lines (`core.fabric.row_lines`). Every post is a curve from
its parent's top to its own; the nearest one is found from where the pixel lies between the
row's feet and its tops, then looked up in the post's tile (`core.fabric.strands`). The chain
along the nearest row of tops lies over it.

Everything that depends on the rows alone is kept in a `Scene`; `Scene.surface` gives a band of
its pixels, and `Surface.lit` the light on them.
"""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.design.document import WorkIn
from core.fabric.fold import Fold, fold_of
from core.fabric.light import DIRECT, GAIN, Light
from core.fabric.row_lines import Integers, Lines, Links, Narrow
from core.fabric.row_strands import Chains, Kit, Pairs, Posts
from core.fabric.sampling import rows_in_view
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.fabric.strands import POST_HALF, TOP_HALF, level_of
from core.fabric.view import SHADES, Relief, View
from core.fabric.yarn_heap import Texels
from core.rows.build import Rows

FINE_PX: Final = 3.2  # below this stitch width single posts aren't looked for
_CURVE: Final = 0.06  # how much posts bend to meet both rows upright
_GAIN: Final = GAIN * 255.0
_FOLD_LIGHT: Final = 0.55  # the fold's share of light; its whole slope would drown the strands
_FOLD_SHADE: Final = 0.10  # how much darker a row gets that falls back one `DEPTH`


def shows_rows(fabric: Fabric, view: View) -> bool:
    """Return whether any row shows in the view; without one there is no `Scene`."""
    first, last = _rows_shown(fabric, view)
    return first <= last


def _rows_shown(fabric: Fabric, view: View) -> tuple[int, int]:
    """Return the first and last row of which something shows: chains stand out over their line."""
    return rows_in_view(fabric, view, TOP_HALF * fabric.size.width_mm)


class Scene:
    """The rows that show in a view, at least one, ready to be looked up pixel by pixel."""

    def __init__(
        self,
        fabric: Fabric,
        rows: Rows,
        loops: Sequence[WorkIn],
        view: View,
        *,
        ridges: bool = True,
        turning_counts: bool = False,
        rough: bool = False,
    ) -> None:
        """Prepare the rows.

        Args:
            fabric: Where the tops lie.
            rows: Its rows.
            loops: The loop each row is worked into.
            view: What to picture.
            ridges: Draw loops and fold; without them all rows look worked into both loops.
            turning_counts: Whether the turning chain stands for each row's first stitch.
            rough: Make do with tiles of the last power of two: fewer of them have to be drawn.
        """
        self.view = view
        self._fabric, self._rows = fabric, rows
        self._stitch_px = fabric.size.width_mm * view.px_per_mm
        self.is_fine = self._stitch_px >= FINE_PX
        self.first, self.last = _rows_shown(fabric, view)
        shown: list[WorkIn] = list(loops[: fabric.n_rows]) if ridges else ["both"] * fabric.n_rows
        self._fold = fold_of(shown)
        links = Links(rows, turning_counts=turning_counts)
        told_apart = links if self.is_fine else None
        self.lines = Lines(fabric, view, self.first, self.last, told_apart)
        kit = Kit(fabric, level_of(self._stitch_px, rough=rough), self.is_fine)
        self.posts = Posts(fabric, links, view, self.first, self.last, kit)
        self._tops = Chains(fabric, rows, self._fold, self.first, self.last, kit)
        self._row_light = _row_light(fabric, self._fold, self.first, self.last)

    def surface(self, top_px: int = 0, bottom_px: int | None = None) -> "Surface":
        """Return the band of pixels from row of pixels `top_px` up to `bottom_px`."""
        bottom = self.view.height_px if bottom_px is None else bottom_px
        return Surface(self, top_px, bottom)

    # what a surface asks for

    def light_on_tops(self, light: Light) -> Pairs:
        """Return the light in every line's own frame, shape (lines * width,)."""
        right, up, _ = light.direction
        level, rising = self.lines.level, self.lines.rising
        way = self._tops.way[:, np.newaxis]
        pairs = way * (right * level + up * rising) + 1j * (up * level - right * rising)
        return np.asarray(pairs, dtype=np.complex64).ravel()

    def light_on_rows(self, light: Light) -> Narrow:
        """Return the light each row gets from its fold, by the number of its line."""
        _, up, _ = light.direction
        slope, depth = self._row_light
        return np.asarray(up * slope + depth, dtype=np.float32)

    @property
    def tops(self) -> "Chains":
        """The chains along the rows' tops."""
        return self._tops


class Surface:
    """A band of pixels: which texel of which post and of which chain each one shows."""

    def __init__(self, scene: Scene, top_px: int, bottom_px: int) -> None:
        self._scene = scene
        lines, width = scene.lines, scene.view.width_px
        number = lines.numbered(top_px, bottom_px)
        # Above the last line and below the first only their chains are seen.
        self._between = (number > 0) & (number <= scene.last - scene.first + 1)
        self._number = np.maximum(number, 1)
        self._above = np.asarray(
            self._number * width + np.arange(width, dtype=np.int32), dtype=np.int32
        )
        below = self._above - np.int32(width)
        down = (np.arange(top_px, bottom_px, dtype=np.float32) + np.float32(0.5))[:, np.newaxis]
        high, low = lines.y.take(self._above), lines.y.take(below)
        up = (low - down) / np.maximum(low - high, np.float32(1e-3))
        np.clip(up, 0.0, 1.0, out=up)
        self._find_posts(up, below)
        near = up > 0.5
        self._line = np.where(near, self._above, below)
        beyond = np.where(near, high, low) - down  # of the nearest line, upwards
        self._find_tops(beyond, near)

    def _find_posts(self, up: Narrow, below: Integers) -> None:
        posts, lines = self._scene.posts, self._scene.lines
        if self._scene.is_fine:
            foot, top = lines.foot_place.take(below), lines.top_place.take(self._above)
            guess = np.rint(foot + up * (top - foot)).astype(np.int32)
            bent = up - np.float32(_CURVE) * np.sin(np.float32(2.0 * math.pi) * up)
            at = np.arange(up.shape[1], dtype=np.float32) + np.float32(0.5)
            away = _away(posts, guess, bent, at)
            other = guess + np.sign(away).astype(np.int32)
            away_other = _away(posts, other, bent, at)
            nearer = np.abs(away_other) < np.abs(away)
            self._post = np.where(nearer, other, guess)
            away = np.where(nearer, away_other, away)
            away *= lines.per_stitch.take(self._above)
        else:
            self._post = posts.of_row.take(self._number)
            away = np.zeros_like(up)
        across = (away + np.float32(POST_HALF)) * np.float32(posts.n_across / (2.0 * POST_HALF))
        column = np.clip(across, 0, posts.n_across - 1).astype(np.int32)
        row = np.minimum(up * np.float32(posts.n_up), posts.n_up - 1).astype(np.int32)
        texel = posts.atlas.take(posts.tile.take(self._post) + row * posts.n_across + column)
        inside = self._between
        if not self._scene.is_fine:
            at = np.arange(up.shape[1], dtype=np.float32) + np.float32(0.5)
            inside = inside & lines.between_edges(self._number, up, at)
        self._texel = np.where(inside, texel, texel & np.uint32(0xFFFFFF00))

    def _find_tops(self, beyond: Narrow, near: NDArray[np.bool_]) -> None:
        lines, tops = self._scene.lines, self._scene.tops
        self._top_number = self._number - (~near)
        height = beyond * lines.per_height.take(self._line)
        row = (height + np.float32(TOP_HALF)) * np.float32(tops.n_up / (2.0 * TOP_HALF))
        np.clip(row, 0, tops.n_up - 1, out=row)
        place = lines.chain_place.take(self._line) * np.float32(tops.n_across)
        column = place.astype(np.int32) & np.int32(tops.n_across - 1)
        at = tops.tile.take(self._top_number) + row.astype(np.int32) * tops.n_across + column
        texel = tops.atlas.take(at)
        outside = (np.abs(height) >= TOP_HALF) | ~lines.chain_there.take(self._line)
        self._top_texel = np.where(outside, texel & np.uint32(0xFFFFFF00), texel)

    def lit(self, light: Light) -> Relief:
        """Return the pixels in this light."""
        scene = self._scene
        first = np.int32(scene.first - 1)
        row_light = scene.light_on_rows(light)
        frames = scene.posts.light_on(light)
        posts = _shades(self._texel, frames, self._post, light)
        posts += row_light.take(self._number)
        tops = _shades(self._top_texel, scene.light_on_tops(light), self._line, light)
        cover = (self._texel & np.uint32(255)).astype(np.uint8)
        row = np.where(cover > 0, self._number + first, 0)
        return Relief(
            row=row.astype(np.int16),
            shade=np.clip(posts, 0, SHADES - 1).astype(np.uint8),
            cover=cover,
            top_row=np.clip(self._top_number + first, 0, scene.last).astype(np.int16),
            top_shade=np.clip(tops, 0, SHADES - 1).astype(np.uint8),
            top_cover=(self._top_texel & np.uint32(255)).astype(np.uint8),
        )


def _away(posts: "Posts", post: Integers, bent: Narrow, at: Narrow) -> Narrow:
    """Return how far right of a post each pixel lies, in pixels."""
    way = posts.way.take(post)
    away: Narrow = at - (way.real + bent * way.imag)
    return away


def _shades(texel: Texels, frames: Pairs, which: Integers, light: Light) -> Narrow:
    """Return the light on texels; `frames` holds the lamp's way as each of them sees it."""
    lamp = frames.take(which)
    shade = (((texel >> np.uint32(8)) & np.uint32(255)).astype(np.float32)) * np.float32(1 / 255)
    shade *= np.float32(light.evenness)
    tilt = (texel >> np.uint32(24)).astype(np.float32) - np.float32(128)
    shade += tilt * lamp.real * np.float32(DIRECT / 127)
    tilt = ((texel >> np.uint32(16)) & np.uint32(255)).astype(np.float32) - np.float32(128)
    shade += tilt * lamp.imag * np.float32(DIRECT / 127)
    shade *= np.float32(_GAIN)
    return shade


def _row_light(fabric: Fabric, fold: Fold, first: int, last: int) -> tuple[Floats, Floats]:
    """Return for every line's number the light that comes of its row's slope and depth.

    A row that comes towards the eye on its way up faces down, away from a lamp at the top.
    """
    starts, y = fabric.starts[:-1], fabric.tops_mm[:, 1]
    mean = np.add.reduceat(y, starts) / np.diff(fabric.starts)
    heights = np.concatenate([[1.0], np.maximum(np.diff(mean), 0.1) / fabric.size.width_mm])
    slope = -_FOLD_LIGHT * DIRECT * _GAIN * fold.slope(heights)
    depth = _FOLD_SHADE * _GAIN * np.minimum(fold.standing, 0.0)
    numbers = np.clip(np.arange(first - 1, last + 2), 0, fabric.n_rows)
    return slope[numbers], depth[numbers]
