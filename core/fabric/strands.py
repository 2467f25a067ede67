"""Yarn strands of one stitch as small relief tiles: posts of every kind, and chains along tops.

A strand is a tube along a curve with its plies twisted round it. Tubes are laid into a tile
from above and the upper one wins. Each texel keeps which way its surface faces, how open it
lies to the light, and how much of it is yarn. Whatever the light, a tile stays the same.

The strands are drawn by eye after how stitches are made: two strands up the post, one wrap
across it for each yarn over (none in sc, one in dc, two in tr), and a chain of loops on top.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CATALOGUE, CHAIN
from core.fabric.light import DIRECT, GAIN, OWN, USUAL
from core.fabric.springs import Floats

POST_HALF: Final = 0.66  # half the width of a post's tile, in stitch widths
TOP_HALF: Final = 0.42  # half the height of a chain's tile, likewise
_TWIST: Final = 2.6  # plies passed along one stitch width of strand
_LEAST_TEXELS: Final = 36.0  # of a stitch width while strands are laid
_OVERLAP: Final = 0.3  # how far pieces of a strand reach beyond their ends, in radii
_GROUND: Final = -0.6  # depth where there is no strand
# For stitch widths up to so many pixels: texels for each pixel, each way, and over how many
# of them one pixel reaches. Positions are only rounded to texels, so there are more than pixels.
_TEXELS: Final = ((32.0, 3.0, 3), (64.0, 2.0, 2), (math.inf, 1.5, 2))
_FADE_PX: Final = (3.0, 7.0)  # stitch widths between which single strands come in

Top = Literal["both front", "both back", "ridge", "hidden", "free", "foundation"]
TOPS: Final[tuple[Top, ...]] = (
    "both front",
    "both back",
    "ridge",
    "hidden",
    "free",
    "foundation",
)
Texels = NDArray[np.uint32]


@dataclass(frozen=True, slots=True, eq=False)
class Tile:
    """A piece of relief, its rows from the foot up.

    Attributes:
        across: The surface's tilt to the right times openness, shape (up, across), -1 to 1.
        along: Its tilt upwards, likewise.
        facing: How much it faces the eye, times openness, 0 to 1.
        cover: How much of the texel is yarn, 0 to 1.
    """

    across: Floats
    along: Floats
    facing: Floats
    cover: Floats

    def packed(self) -> Texels:
        """Return the four values as bytes of one number, cover lowest."""
        tilts = [np.clip(np.round(127 * n) + 128, 0, 255) for n in (self.across, self.along)]
        rest = [np.clip(np.round(255 * n), 0, 255) for n in (self.facing, self.cover)]
        a, b, c, d = (part.astype(np.uint32) for part in (*tilts, *rest))
        packed: Texels = (a << 24) | (b << 16) | (c << 8) | d
        return packed


class _Heap:
    """A tile in the making: the highest strand at every texel."""

    def __init__(self, left: float, bottom: float, width: float, height: float, per: float) -> None:
        self._finer = max(math.ceil(_LEAST_TEXELS / per), 1)  # thin strands need some texels
        self.n_up = max(round(height * per), 2) * self._finer
        self.n_across = max(round(width * per), 2) * self._finer
        u, v = (np.arange(n, dtype=np.float32) + 0.5 for n in (self.n_across, self.n_up))
        self.u = (left + width * u / self.n_across).astype(np.float32)
        self.v = (bottom + height * v / self.n_up).astype(np.float32)
        shape = (self.n_up, self.n_across)
        self.depth = np.full(shape, _GROUND, dtype=np.float32)
        self.tilt_u, self.tilt_v, self.open, self.cover = np.zeros((4, *shape), dtype=np.float32)

    def points(self, least: int) -> int:
        """Return through how many points to lay a strand, more where it is seen large."""
        return least + min(self.n_across // 14, 12)

    def fill(self, depth: float, openness: Floats | float, cover: Floats | float) -> None:
        """Lay a flat ground below all strands."""
        self.depth[:] = depth
        self.open[:] = openness
        self.cover[:] = cover

    def lay(self, points: Floats, radius: float | Floats, *, left_handed: bool = False) -> None:
        """Lay a strand through points (n, 3: across, up, depth), in stitch widths."""
        radii = np.broadcast_to(np.asarray(radius, dtype=float), (len(points),))
        lengths = np.linalg.norm(np.diff(points[:, :2], axis=0), axis=1)
        along = np.concatenate([[0.0], np.cumsum(lengths)])
        turn = -1.0 if left_handed else 1.0
        fall = -np.gradient(points[:, 2], along)
        for n in range(len(points) - 1):
            ends = np.column_stack([points, radii, fall])[n : n + 2]
            self._lay_piece(ends, along[n], lengths[n], turn)

    def _lay_piece(self, ends: Floats, start: float, length: float, turn: float) -> None:
        """Lay a straight piece between two ends: across, up, depth, radius, fall of depth."""
        reach = float(ends[:, 3].max())
        low, high = ends[:, :2].min(axis=0) - reach, ends[:, :2].max(axis=0) + reach
        i0, i1 = np.searchsorted(self.u, [low[0], high[0]])
        j0, j1 = np.searchsorted(self.v, [low[1], high[1]])
        if i0 >= i1 or j0 >= j1:
            return
        here = np.s_[j0:j1, i0:i1]
        du = self.u[np.newaxis, i0:i1] - ends[0, 0]
        dv = self.v[j0:j1, np.newaxis] - ends[0, 1]
        way = (ends[1, :2] - ends[0, :2]) / length
        at = (du * way[0] + dv * way[1]) / length
        over = _OVERLAP * reach / length  # neighbouring pieces meet without a gap
        off_u, off_v = du - at * length * way[0], dv - at * length * way[1]
        radius = ends[0, 3] + at * (ends[1, 3] - ends[0, 3])
        off2 = (off_u**2 + off_v**2) / radius**2
        rise = np.sqrt(np.maximum(1.0 - off2, 0.0))
        depth = ends[0, 2] + at * (ends[1, 2] - ends[0, 2]) + radius * rise
        won = (off2 < 1.0) & (at > -over) & (at < 1.0 + over) & (depth > self.depth[here])
        if not won.any():
            return
        side = np.clip((off_v * way[0] - off_u * way[1]) / radius, -1.0, 1.0)
        phase = 2.0 * math.pi * _TWIST * (start + at * length) + turn * 2.2 * np.arcsin(side)
        ply = np.cos(phase)
        bump = -0.46 * np.sin(phase) * (0.25 + 0.75 * rise)
        lie = ends[0, 4] + at * (ends[1, 4] - ends[0, 4])
        lie = lie / np.sqrt(1.0 + lie**2)  # the strand's own slope
        tilt_u = 0.85 * off_u / radius + (bump + 0.7 * lie * rise) * way[0]
        tilt_v = 0.85 * off_v / radius + (bump + 0.7 * lie * rise) * way[1]
        openness = (0.72 + 0.28 * rise) * (0.93 + 0.07 * ply)
        for target, value in (
            (self.depth, depth),
            (self.tilt_u, tilt_u),
            (self.tilt_v, tilt_v),
            (self.open, openness),
            (self.cover, 1.0),
        ):
            target[here] = np.where(won, value, target[here])

    def tile(self, low: float, high: float) -> Tile:
        """Return the strands as they are, darkened where they lie low."""
        deep = np.clip((self.depth - low) / (high - low), 0.0, 1.0)
        openness = self.open * (0.50 + 0.50 * deep)
        steep2 = self.tilt_u**2 + self.tilt_v**2
        scale = openness / np.sqrt(np.maximum(steep2, 1.0))
        facing = openness * np.sqrt(np.maximum(1.0 - np.minimum(steep2, 1.0), 0.04))
        return Tile(self.tilt_u * scale, self.tilt_v * scale, facing, self.cover)

    def soft(self, tile: Tile, reach: int, *, around: bool = False) -> Tile:
        """Return the texels, each averaged over its pixel."""
        pick = slice(self._finer // 2, None, self._finer)
        size = reach * self._finer
        cover = _softened(tile.cover, size, around=around)[pick, pick]
        full = np.maximum(cover, 1e-6)
        values = [part * tile.cover for part in _parts(tile)[:3]]
        means = [_softened(value, size, around=around)[pick, pick] / full for value in values]
        return Tile(*means, cover)


def _softened(values: Floats, size: int, *, around: bool) -> Floats:
    """Return the mean over `size` texels each way; across, a chain's tile goes round."""
    ahead = size // 2
    behind = size - 1 - ahead
    wide = np.pad(values, ((ahead, behind), (0, 0)), mode="edge")
    wide = np.pad(wide, ((0, 0), (ahead, behind)), mode="wrap" if around else "edge")
    total = np.cumsum(np.pad(wide, ((1, 0), (0, 0))), axis=0)
    rows = total[size:] - total[:-size]
    total = np.cumsum(np.pad(rows, ((0, 0), (1, 0))), axis=1)
    mean: Floats = (total[:, size:] - total[:, :-size]) / size**2
    return mean


def level_of(stitch_px: float) -> float:
    """Return the stitch width that tiles are made for: the next of steps of about a fifth."""
    return float(2.0 ** (math.ceil(4.0 * math.log2(max(stitch_px, 0.25)) - 1e-6) / 4.0))


def _texels(level_px: float) -> tuple[float, int]:
    """Return the texels for a stitch width, and over how many one pixel reaches."""
    per_px, reach = next((per_px, reach) for most, per_px, reach in _TEXELS if level_px <= most)
    return level_px * per_px, reach


@lru_cache(maxsize=256)
def post_tile(stitch: str, height: float, level_px: float, *, front: bool) -> Tile:
    """Return a post, `POST_HALF` to each side of it, from foot to top.

    Args:
        stitch: Catalogue key.
        height: The row height in stitch widths.
        level_px: Stitch width in pixels it is made for (`level_of`).
        front: Whether its front is seen, as in right-side rows.
    """
    per, soft = _texels(level_px)
    heap = _Heap(-POST_HALF, 0.0, 2.0 * POST_HALF, height, per)
    wraps = CATALOGUE[stitch].yarn_overs if stitch != CHAIN else 0
    _lay_ground(heap, height, wraps)
    if wraps == 0:
        _lay_short(heap, height, front=front)
    else:
        _lay_tall(heap, height, wraps, is_half=stitch == "hdc", front=front)
    tile = heap.tile(-0.25, 0.33)
    return _as_bright(_faded(heap.soft(tile, soft), level_px), tile)


def _inner(n_across: int) -> slice:
    """Return the texels of a post's tile that lie within one stitch width."""
    margin = math.ceil(n_across * (POST_HALF - 0.5) / (2.0 * POST_HALF))
    return slice(margin, n_across - margin)


def _lay_ground(heap: _Heap, height: float, wraps: int) -> None:
    """Lay what is seen between two posts: shade, and in tall stitches a slit."""
    beside = np.abs(heap.u)[np.newaxis, :]
    up = (heap.v / height)[:, np.newaxis]
    edge = np.clip((0.60 - beside) / 0.05, 0.0, 1.0)
    slit = np.clip((beside - 0.36) / 0.08, 0.0, 1.0)
    slit = slit * np.clip(1.0 - ((up - 0.5) / 0.33) ** 4, 0.0, 1.0) * min(0.14 * wraps, 0.5)
    heap.fill(-0.25, np.full_like(edge * up, 0.72), edge * (1.0 - slit))


def _lay_short(heap: _Heap, height: float, *, front: bool) -> None:
    """Lay an sc: two legs from one foot, or its back with the bar across."""
    t = np.linspace(-0.06, 1.02, heap.points(9))
    for side in (-1.0, 1.0):
        spread = 0.06 + 0.21 * np.clip(t, 0, 1) ** 0.8 if front else 0.22 - 0.08 * t
        depth = 0.05 + 0.10 * np.sin(math.pi * np.clip(t, 0, 1)) + 0.02 * side
        points = np.stack([side * spread, t * height, depth], axis=1)
        heap.lay(points, 0.205, left_handed=side > 0)
    if not front:
        u = np.linspace(-0.44, 0.44, heap.points(9))
        level = 0.55 * height + 0.05 * np.cos(2.2 * u)
        heap.lay(np.stack([u, level, 0.24 - 1.3 * u**2], axis=1), 0.15)


def _lay_tall(heap: _Heap, height: float, wraps: int, *, is_half: bool, front: bool) -> None:
    """Lay a post of two strands with a wrap across it for every yarn over."""
    t = np.linspace(-0.04, 1.03, heap.points(11))
    inner = np.clip(t, 0.0, 1.0)
    for side in (-1.0, 1.0):
        spread = 0.10 + 0.10 * np.clip(inner / 0.2, 0, 1) + 0.06 * inner**5
        sway = 0.035 * np.sin(2.0 * math.pi * inner * wraps)
        depth = (
            0.03 + 0.08 * np.sin(math.pi * inner) + 0.05 * side * np.cos(math.pi * inner * wraps)
        )
        points = np.stack([side * spread + sway, t * height, depth], axis=1)
        heap.lay(points, 0.215, left_handed=side > 0)
    slant = (0.02 if is_half else 0.15) * (1.0 if front else -1.0)
    for number in range(wraps):
        level = 0.74 if is_half else 0.5 + 0.26 * (number - 0.5 * (wraps - 1))
        u = np.linspace(-0.375, 0.375, heap.points(9))
        depth = 0.32 - 0.40 * (u / 0.38) ** 4
        points = np.stack([u, level * height + slant * u / 0.38, depth], axis=1)
        heap.lay(points, 0.115)
    if not front:
        u = np.linspace(-0.36, 0.36, heap.points(9))
        points = np.stack([u, np.full_like(u, 0.9 * height), 0.24 - 2.6 * u**2], axis=1)
        heap.lay(points, 0.12)


@lru_cache(maxsize=128)
def top_tile(top: Top, level_px: float) -> Tile:
    """Return the chain along one stitch's top, `TOP_HALF` below and above the row's line.

    It goes round: what leaves at the right comes in at the left. The loops point to the left,
    as in a row worked from left to right.
    """
    per, soft = _texels(level_px)
    heap = _Heap(0.0, -TOP_HALF, 1.0, 2.0 * TOP_HALF, per)
    lean, legs, ground = _TOP_SHAPES[top]
    height = np.abs(heap.v - ground[0])[:, np.newaxis] / ground[1]
    cover = np.clip((1.0 - height) / 0.35, 0.0, 1.0) * ground[2]
    heap.fill(-0.25, 0.55, np.broadcast_to(cover, heap.cover.shape))
    t = np.linspace(0.0, 1.0, heap.points(9))
    for side, reach, radius, raised in legs:
        bow = reach * np.sin(math.pi * np.clip(0.08 + 0.92 * t, 0, 1)) ** 0.7
        depth = raised + 0.16 * np.sin(math.pi * (0.05 + 0.9 * t)) - 0.06 * t
        up = lean + side * (0.03 + bow)
        for shift in (-1.0, 0.0, 1.0):
            u = shift + 0.5 - 0.62 + 1.2 * t
            heap.lay(np.stack([u, up, depth], axis=1), radius, left_handed=side > 0)
    tile = heap.tile(-0.25, 0.38)
    small = _faded(heap.soft(tile, soft, around=True), level_px, is_post=False)
    return _as_bright(small, tile)


_Leg = tuple[float, float, float, float]  # side, reach, radius, raised
_TOP_SHAPES: Final[dict[Top, tuple[float, tuple[_Leg, ...], tuple[float, float, float]]]] = {
    # lean of the chain, its legs, the shade under it: middle, half height, cover
    "both front": (-0.04, ((-1, 0.12, 0.125, 0.14), (1, 0.09, 0.10, 0.04)), (-0.03, 0.28, 0.9)),
    "both back": (-0.02, ((-1, 0.08, 0.10, 0.06), (1, 0.10, 0.11, 0.10)), (-0.03, 0.26, 0.9)),
    "ridge": (0.04, ((-1, 0.12, 0.15, 0.22),), (-0.06, 0.30, 0.9)),
    "hidden": (0.0, ((1, 0.02, 0.055, -0.08),), (0.0, 0.15, 0.95)),
    "free": (0.06, ((-1, 0.14, 0.12, 0.14), (1, 0.14, 0.12, 0.08)), (0.02, 0.26, 0.9)),
    "foundation": (-0.07, ((-1, 0.11, 0.12, 0.06), (1, 0.10, 0.10, 0.08)), (-0.05, 0.26, 0.9)),
}


def _faded(tile: Tile, level_px: float, *, is_post: bool = True) -> Tile:
    """Return the tile with strands fading into their mean where they get too small to see."""
    low, high = _FADE_PX
    share = min(max((level_px - low) / (high - low), 0.0), 1.0)
    if share == 1.0:
        return tile
    flat = _averaged(tile, _inner(tile.cover.shape[1]) if is_post else slice(None))
    parts = [
        share * one + (1.0 - share) * mean
        for one, mean in zip(_parts(tile)[:3], _parts(flat)[:3], strict=True)
    ]
    shown = np.broadcast_to(flat.cover, tile.cover.shape) * (tile.cover > 0.02)
    return Tile(*parts, share * tile.cover + (1.0 - share) * shown)


def post_profile(stitch: str, height: float, level_px: float, *, front: bool) -> Tile:
    """Return the mean across one stitch width of its post, shape (up, 1)."""
    tile = post_tile(stitch, height, level_px, front=front)
    return _as_bright(_averaged(tile, _inner(tile.cover.shape[1])), tile)


def top_profile(top: Top, level_px: float) -> Tile:
    """Return the mean along a chain, shape (up, 1)."""
    tile = top_tile(top, level_px)
    return _as_bright(_averaged(tile, slice(None)), tile)


def _averaged(tile: Tile, stitch: slice) -> Tile:
    cover = tile.cover[:, stitch].mean(axis=1, keepdims=True)
    full = np.maximum(cover, 1e-6)
    means = [
        (part * tile.cover)[:, stitch].mean(axis=1, keepdims=True) / full
        for part in _parts(tile)[:3]
    ]
    return Tile(*means, cover)


def _as_bright(tile: Tile, finer: Tile) -> Tile:
    """Return a tile made to look as bright on the whole as the finer one that it stands for.

    A strand in full light gets little lighter than its yarn, so many small lights and shades
    look darker than their mean would.
    """
    share = _seen(finer) / _seen(tile)
    return Tile(tile.across, tile.along, share * tile.facing, tile.cover)


def _seen(tile: Tile) -> float:
    """Return how bright the texels look together in the usual light, against their mean."""
    right, up, _ = USUAL.direction
    tilts = tile.across * right + tile.along * up
    share = np.maximum(GAIN / OWN * (USUAL.evenness * tile.facing + DIRECT * tilts), 0.0)
    # A yarn of middling lightness, as `app.painting` tones it.
    shown = np.minimum(share, 1.0) + 0.18 * (1.0 - np.exp(-1.8 * np.maximum(share - 1.0, 0.0)))
    weight = tile.cover
    return float((shown * weight).sum() / max(float((share * weight).sum()), 1e-6))


def _parts(tile: Tile) -> tuple[Floats, Floats, Floats, Floats]:
    return tile.across, tile.along, tile.facing, tile.cover
