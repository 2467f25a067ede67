"""What lies at every pixel of the fabric's picture, before any light falls on it.

A row of a wave is a line that runs from left to right without turning back, so each column of
pixels meets the rows one above the other. Marking where they are crossed and summing upwards
numbers every pixel's row at once, whatever the blanket's size. Within a row every post is a
curve from its parent's top to its own; the nearest one is found from where the pixel lies
between the row's feet and its tops, then looked up in the post's tile (`core.fabric.strands`).
The chain along the nearest row of tops lies over it.

Everything that depends on the rows alone is kept in a `Scene`; `Scene.surface` gives a band of
its pixels, and `Surface.lit` the light on them.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import KEYS
from core.design.document import WorkIn
from core.fabric.fold import Fold, fold_of
from core.fabric.light import DIRECT, GAIN, Light
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.fabric.strands import (
    POST_HALF,
    TOP_HALF,
    TOPS,
    Texels,
    Tile,
    Top,
    level_of,
    post_profile,
    post_tile,
    top_profile,
    top_tile,
)
from core.rows.build import Rows, is_right_side
from core.rows.plan import CHILD, PARENT

Integers = NDArray[np.int32]
Narrow = NDArray[np.float32]
Pairs = NDArray[np.complex64]

SHADES: Final = 256
FINE_PX: Final = 3.0  # below this stitch width single posts aren't looked for
_FAR: Final = 1e7
_ROUND: Final = 0.7  # over how much of a stitch width rows' lines are rounded where they bend
_CURVE: Final = 0.06  # how much posts bend to meet both rows upright
_ROOMY: Final = 1.35  # from this distance of rows on, in stitch widths, chains have their height
_LEAST_ROOM: Final = 0.5
_GAIN: Final = GAIN * 255.0
_FOLD_LIGHT: Final = 0.55  # the fold's share of light; its whole slope would drown the strands
_FOLD_SHADE: Final = 0.10  # how much darker a row gets that falls back one `DEPTH`


@dataclass(frozen=True, slots=True, eq=False)
class View:
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


@dataclass(frozen=True, slots=True, eq=False)
class Relief:
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


def shows_rows(fabric: Fabric, view: View) -> bool:
    """Return whether any row shows in the view; without one there is no `Scene`."""
    first, last = _rows_in_view(fabric, view)
    return first <= last


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
    ) -> None:
        self.view = view
        self._fabric, self._rows = fabric, rows
        self._stitch_px = fabric.size.width_mm * view.px_per_mm
        self.is_fine = self._stitch_px >= FINE_PX
        self.first, self.last = _rows_in_view(fabric, view)
        shown: list[WorkIn] = list(loops[: fabric.n_rows]) if ridges else ["both"] * fabric.n_rows
        self._fold = fold_of(shown)
        self.lines = _Lines(fabric, rows, view, self.first, self.last)
        self.posts = _Posts(fabric, rows, view, self.first, self.last, self._stitch_px)
        self._tops = _Tops(fabric, rows, self._fold, self.first, self.last, self._stitch_px)
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
    def tops(self) -> "_Tops":
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


def _away(posts: "_Posts", post: Integers, bent: Narrow, at: Narrow) -> Narrow:
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


def _rows_in_view(fabric: Fabric, view: View) -> tuple[int, int]:
    """Return the first and the last row of which something may show."""
    margin = TOP_HALF * fabric.size.width_mm
    low = view.top_mm - view.height_px / view.px_per_mm - margin
    y = fabric.tops_mm[:, 1]
    starts = fabric.starts[:-1]
    lowest, highest = np.minimum.reduceat(y, starts), np.maximum.reduceat(y, starts)
    seen = np.flatnonzero((highest[1:] >= low) & (lowest[:-1] <= view.top_mm + margin))
    return (int(seen[0]) + 1, int(seen[-1]) + 1) if len(seen) else (1, 0)


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


class _Lines:
    """The rows' tops as lines, sampled at every column of pixels, and one beyond at each end.

    Line 0 is the tops of the row below the first that shows, or the foundation; every array
    has shape (lines, width), the last line lying above everything.
    """

    def __init__(self, fabric: Fabric, rows: Rows, view: View, first: int, last: int) -> None:
        width, self._height = view.width_px, view.height_px
        columns = np.arange(width) + 0.5
        shape = (last - first + 3, width)  # one line more at the top, far away
        self.y = np.full(shape, -_FAR, dtype=np.float32)
        self.level, self.rising = np.ones(shape, np.float32), np.zeros(shape, np.float32)
        self.chain_place = np.zeros(shape, dtype=np.float32)
        self.chain_there = np.zeros(shape, dtype=bool)
        self.foot_place = np.zeros(shape, dtype=np.float32)
        self.top_place = np.zeros(shape, dtype=np.float32)
        half = 0.5 * fabric.size.width_mm * view.px_per_mm
        ends = np.full((shape[0], 2), -_FAR)
        post = 0
        for line, row in enumerate(range(first - 1, last + 1)):
            x, y = _pixels(fabric, view, row)
            self.y[line] = np.interp(columns, x, y)
            places = np.arange(len(x)) + 1.0
            self.chain_place[line] = _beyond_ends(columns, x, places, 2.0 * half)
            self.chain_there[line] = (columns >= x[0] - half) & (columns <= x[-1] + half)
            ends[line] = x[0] - half, x[-1] + half
            if row > first - 1:
                links = rows.fabric_links(row)
                numbers = post + 1.0 + np.arange(len(links))
                self.top_place[line] = np.interp(columns, x[links[:, CHILD]], numbers)
                feet = _pixels(fabric, view, row - 1)[0][links[:, PARENT]]
                self.foot_place[line - 1] = np.interp(columns, feet, numbers)
                post += len(links) + 2  # none stands at either end
        self._smooth(round(_ROUND * 2.0 * half))
        self._left, self._right = ends[:, 0].astype(np.float32), ends[:, 1].astype(np.float32)
        slope = np.gradient(self.y[:-1], axis=1) if width > 1 else np.zeros_like(self.y[:-1])
        self.level[:-1] = 1.0 / np.sqrt(1.0 + slope**2)
        self.rising[:-1] = -slope * self.level[:-1]
        stitch_px = np.float32(fabric.size.width_mm * view.px_per_mm)
        self.per_height = self.level / (stitch_px * self._room(stitch_px))
        self.per_stitch = 1.0 / (np.maximum(self.level, 0.3) * stitch_px)

    def _room(self, stitch_px: float) -> Narrow:
        """Return how high chains may be against their usual height, less between short rows."""
        apart = (self.y[:-2] - self.y[1:-1]) * self.level[:-2] / stitch_px
        room = np.ones_like(self.y)
        room[1:-1] = np.clip(apart / _ROOMY, _LEAST_ROOM, 1.0)
        room[0] = room[1]
        return room

    def _smooth(self, width: int) -> None:
        """Round the lines where they bend, over so many pixels."""
        if width < 3:
            return
        ahead = width // 2
        lines = self.y[:-1].astype(np.float64)
        wide = np.pad(lines, ((0, 0), (ahead + 1, width - 1 - ahead)), mode="edge")
        total = np.cumsum(wide - lines[:, :1], axis=1)
        self.y[:-1] = (total[:, width:] - total[:, :-width]) / width + lines[:, :1]

    def numbered(self, top_px: int, bottom_px: int) -> Integers:
        """Return for each pixel the number of the line above it, counted from the lowest, 0."""
        n_lines, width = self.y.shape
        height = bottom_px - top_px
        crossing = np.clip(np.ceil(self.y - (top_px + 0.5)), 0, height).astype(np.int32)
        flat = (crossing * width + np.arange(width, dtype=np.int32)).ravel()
        marks = np.bincount(flat, minlength=(height + 1) * width)[: height * width]
        passed = np.cumsum(marks.reshape(height, width), axis=0, dtype=np.int32)
        number: Integers = np.int32(n_lines) - passed
        return number

    def between_edges(self, number: Integers, up: Narrow, at: Narrow) -> NDArray[np.bool_]:
        """Return which pixels lie between their row's side edges."""
        below = number - 1
        left_low, right_low = self._left.take(below), self._right.take(below)
        left = left_low + up * (self._left.take(number) - left_low)
        right = right_low + up * (self._right.take(number) - right_low)
        return np.asarray((at >= left) & (at <= right), dtype=bool)


def _pixels(fabric: Fabric, view: View, row: int) -> tuple[Floats, Floats]:
    """Return a row's tops in pixels, x never falling."""
    tops = fabric.row_tops_mm(row)
    x = np.maximum.accumulate((tops[:, 0] - view.left_mm) * view.px_per_mm)
    return x, (view.top_mm - tops[:, 1]) * view.px_per_mm


def _beyond_ends(columns: Floats, x: Floats, places: Floats, step: float) -> Floats:
    """Return the places along a row, carried on beyond its ends."""
    found = np.interp(columns, x, places)
    found += np.minimum(columns - x[0], 0.0) / step + np.maximum(columns - x[-1], 0.0) / step
    return np.maximum(found, 0.0)


class _Posts:
    """The posts of the rows that show, row after row, a far one at both ends of each.

    Attributes:
        way: Where each stands at its foot, and how far right its top is of that, in pixels.
        tile: Number of its tile's first texel.
        of_row: One post of each line's row.
        atlas: All tiles, one after another.
    """

    def __init__(
        self, fabric: Fabric, rows: Rows, view: View, first: int, last: int, stitch_px: float
    ) -> None:
        self.way: Pairs = np.zeros(0, np.complex64)
        ways, tiles, sides, self._shapes = [], [], [], _Shapes(fabric, stitch_px)
        of_row, count = [0], 0
        for row in range(first, last + 1):
            links = rows.fabric_links(row)
            foot_x, foot_y = (c[links[:, PARENT]] for c in _pixels(fabric, view, row - 1))
            top_x, top_y = (c[links[:, CHILD]] for c in _pixels(fabric, view, row))
            kinds = np.asarray(rows.in_fabric_order(row, rows.plan(row).kind)).astype(np.intp)
            ends = np.array([-_FAR]), np.array([_FAR])
            ways.append(_between(ends, foot_x) + 1j * _between((_ZERO, _ZERO), top_x - foot_x))
            numbers = self._shapes.numbers(kinds[links[:, CHILD]], front=is_right_side(row))
            tiles.append(_between((numbers[:1], numbers[-1:]), numbers))
            sides.append(_between((_ZERO, _ZERO), foot_y - top_y))
            of_row.append(count + 1 + len(links) // 2)
            count += len(links) + 2
        self.way = np.concatenate(ways).astype(np.complex64)
        self._rise = np.concatenate(sides)
        self.of_row = np.array([*of_row, of_row[-1]], dtype=np.int32)
        packed = self._shapes.packed()
        self.n_up, self.n_across = packed[0].shape
        self.atlas: Texels = np.concatenate([tile.ravel() for tile in packed])
        size = self.n_up * self.n_across
        self._kind = np.concatenate(tiles)
        self.tile = (self._kind * size).astype(np.int32)
        self._stitch_px = stitch_px

    def light_on(self, light: Light) -> Pairs:
        """Return the lamp's way as each post sees it: across it, and up along it.

        A post's frame is spanned by the row's course and the post itself; the course is taken
        as level, since neighbouring rows rise alike.
        """
        right, up, _ = light.direction
        height = self._shapes.heights[self._kind] * self._stitch_px
        lean = np.clip(self.way.imag / np.maximum(self._rise, 0.3 * height), -1.5, 1.5)
        cosine = 1.0 / np.sqrt(1.0 + lean**2)
        across = (right - lean * up) * cosine
        along = (up + lean * right) * cosine
        return np.asarray(across + 1j * along, dtype=np.complex64)


_ZERO: Final = np.zeros(1)


def _between(ends: tuple[Floats, Floats], values: Floats) -> Floats:
    return np.concatenate([ends[0], values, ends[1]])


class _Shapes:
    """The tiles that are needed: one for each kind of stitch and side of it."""

    def __init__(self, fabric: Fabric, stitch_px: float) -> None:
        self._heights = np.asarray(fabric.size.heights_mm) / fabric.size.width_mm
        self._level = level_of(stitch_px)
        self._fine = stitch_px >= FINE_PX
        self._known: dict[tuple[int, bool], int] = {}

    @property
    def heights(self) -> Floats:
        """Height of every tile in stitch widths."""
        return np.array([self._height(kind) for kind, _ in self._known])

    def _height(self, kind: int) -> float:
        return round(min(max(float(self._heights[kind]), 0.3), 6.0), 2)

    def numbers(self, kinds: NDArray[np.intp], *, front: bool) -> NDArray[np.intp]:
        """Return the numbers of these stitches' tiles."""
        table = np.zeros(len(KEYS), dtype=np.intp)
        for kind in np.unique(kinds):
            table[kind] = self._known.setdefault((int(kind), front), len(self._known))
        return table[kinds]

    def packed(self) -> list[Texels]:
        """Return all tiles in one shape."""
        make = post_tile if self._fine else post_profile
        tiles: list[Tile] = [
            make(KEYS[kind], self._height(kind), self._level, front=front)
            for kind, front in self._known
        ]
        if self._fine:
            tiles = [_bounded(tile) for tile in tiles]
        n_up = max(tile.cover.shape[0] for tile in tiles)
        found = []
        for tile in tiles:
            rows = (np.arange(n_up) * tile.cover.shape[0]) // n_up
            found.append(tile.packed()[rows])
        return found


def _bounded(tile: Tile) -> Tile:
    """Return the tile with nothing in its outermost columns: they stand for all beyond."""
    cover = tile.cover.copy()
    cover[:, [0, -1]] = 0.0
    return Tile(tile.across, tile.along, tile.facing, cover)


class _Tops:
    """The chains along the tops of the rows that show.

    Attributes:
        tile: Number of the first texel of each line's tile.
        way: 1 where the row runs to the right, -1 where to the left.
        atlas: All tiles, one after another; the number of texels across is a power of two.
    """

    def __init__(
        self, fabric: Fabric, rows: Rows, fold: Fold, first: int, last: int, stitch_px: float
    ) -> None:
        level, is_fine = level_of(stitch_px), stitch_px >= FINE_PX
        make = top_tile if is_fine else top_profile
        tiles = [make(top, level) for top in TOPS]
        n_up, n_across = tiles[0].cover.shape
        self.n_up, self.n_across = n_up, 1 << max(math.ceil(math.log2(n_across)), 0)
        columns = (np.arange(self.n_across) * n_across) // self.n_across
        packed = []
        for tile in tiles:
            wide = tile.packed()[:, columns]
            packed += [wide, wide[:, ::-1]]
        self.atlas: Texels = np.concatenate([tile.ravel() for tile in packed])
        lines = range(first - 1, last + 1)
        left = np.array([row > 0 and rows.runs_left(row) for row in lines] + [False])
        which = np.array([TOPS.index(_top_of(row, fabric, fold)) for row in lines] + [0])
        self.way = np.where(left, -1.0, 1.0)
        size = self.n_up * self.n_across
        self.tile = ((2 * which + left) * size).astype(np.int32)


def _top_of(row: int, fabric: Fabric, fold: Fold) -> Top:
    """Return how the tops of a row look; what is worked into them decides."""
    if row == 0:
        return "foundation"
    if row >= fabric.n_rows:
        return "free"
    out = fold.faces_out[row + 1]
    if out:
        return "ridge" if out > 0 else "hidden"
    return "both front" if is_right_side(row) else "both back"
