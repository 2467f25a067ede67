"""Yarn strands of one stitch as small relief tiles: posts of every kind, and chains along tops.

The strands are drawn by eye after how stitches are made: two strands up the post, one wrap
across it for each yarn over (none in sc, one in dc, two in tr), and a chain of loops on top.
"""

import math
from functools import lru_cache
from typing import Final, Literal

import numpy as np

from core.craft.stitches import CATALOGUE, CHAIN
from core.fabric.light import DIRECT, GAIN, OWN, USUAL
from core.fabric.yarn_heap import Heap, Tile, parts_of, softened

POST_HALF: Final = 0.66  # half the width of a post's tile, in stitch widths
TOP_HALF: Final = 0.42  # half the height of a chain's tile, likewise
# For stitch widths up to so many pixels: texels for each pixel, each way, and over how many
# of them one pixel reaches. Positions are only rounded to texels, so there are more than pixels.
_TEXELS: Final = ((32.0, 3.0, 3), (64.0, 2.0, 2), (math.inf, 1.5, 2))
_LAID: Final = 96.0  # texels of a stitch width that strands are laid with at least
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


def level_of(stitch_px: float, *, rough: bool = False) -> float:
    """Return the stitch width that tiles are made for: the next of steps of about a fifth.

    Rough ones are made for the last power of two, no more than 32.
    """
    doubled = math.log2(max(stitch_px, 1.0))
    if rough:
        return float(2 ** min(math.floor(doubled), 5))
    return float(2.0 ** (math.ceil(4.0 * doubled - 1e-6) / 4.0))


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
    per, reach = _texels(level_px)
    tile = _laid_post(stitch, height, max(per, _LAID), front=front)
    sizes = max(round(height * per), 2), max(round(2.0 * POST_HALF * per), 3)
    return _as_bright(_faded(softened(tile, *sizes, reach), level_px), tile)


@lru_cache(maxsize=64)
def _laid_post(stitch: str, height: float, per: float, *, front: bool) -> Tile:
    """Return a post's strands with `per` texels to a stitch width."""
    heap = Heap(-POST_HALF, 0.0, 2.0 * POST_HALF, height, per)
    wraps = CATALOGUE[stitch].yarn_overs if stitch != CHAIN else 0
    _lay_ground(heap, height, wraps)
    if stitch == CHAIN:
        _lay_turning_chain(heap, height)
    elif wraps == 0:
        _lay_short(heap, height, front=front)
    else:
        _lay_tall(heap, height, wraps, is_half=CATALOGUE[stitch].at_once, front=front)
    return heap.tile(-0.25, 0.33)


def _inner(n_across: int) -> slice:
    """Return the texels of a post's tile that lie within one stitch width."""
    margin = min(math.ceil(n_across * (POST_HALF - 0.5) / (2.0 * POST_HALF)), (n_across - 1) // 2)
    return slice(margin, n_across - margin)


def _lay_ground(heap: Heap, height: float, wraps: int) -> None:
    """Lay what is seen between two posts: shade, and in tall stitches a slit."""
    beside = np.abs(heap.u)[np.newaxis, :]
    up = (heap.v / height)[:, np.newaxis]
    edge = np.clip((0.60 - beside) / 0.05, 0.0, 1.0)
    slit = np.clip((beside - 0.36) / 0.08, 0.0, 1.0)
    slit = slit * np.clip(1.0 - ((up - 0.5) / 0.33) ** 4, 0.0, 1.0) * min(0.14 * wraps, 0.5)
    heap.fill(-0.25, np.full_like(edge * up, 0.72), edge * (1.0 - slit))


def _lay_turning_chain(heap: Heap, height: float) -> None:
    """Lay chains one above another, as many as fit."""
    count = max(round(height / 0.6), 1)
    t = np.linspace(0.0, 1.0, heap.points(9))
    for number in range(-1, count):
        up = (number + 0.15 + 1.2 * t) * height / count
        depth = 0.10 + 0.16 * np.sin(math.pi * (0.05 + 0.9 * t)) - 0.06 * t
        for side in (-1.0, 1.0):
            bow = side * (0.04 + 0.16 * np.sin(math.pi * np.clip(0.08 + 0.92 * t, 0, 1)) ** 0.7)
            heap.lay(np.stack([bow, up, depth], axis=1), 0.15, left_handed=side > 0)


def _lay_short(heap: Heap, height: float, *, front: bool) -> None:
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


def _lay_tall(heap: Heap, height: float, wraps: int, *, is_half: bool, front: bool) -> None:
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
        u = np.linspace(-0.36, 0.36, heap.points(9))
        depth = 0.31 - 0.30 * (u / 0.36) ** 4
        points = np.stack([u, level * height + slant * u / 0.36, depth], axis=1)
        heap.lay(points, 0.13)
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
    per, reach = _texels(level_px)
    tile = _laid_top(top, max(per, _LAID))
    sizes = max(round(2.0 * TOP_HALF * per), 2), max(round(per), 2)
    small = _faded(softened(tile, *sizes, reach, around=True), level_px, is_post=False)
    return _as_bright(small, tile)


@lru_cache(maxsize=64)
def _laid_top(top: Top, per: float) -> Tile:
    """Return a chain's strands with `per` texels to a stitch width."""
    heap = Heap(0.0, -TOP_HALF, 1.0, 2.0 * TOP_HALF, per)
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
    return heap.tile(-0.25, 0.38)


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
        for one, mean in zip(parts_of(tile)[:3], parts_of(flat)[:3], strict=True)
    ]
    shown = np.broadcast_to(flat.cover, tile.cover.shape) * (tile.cover > 0.02)
    return Tile(parts[0], parts[1], parts[2], share * tile.cover + (1.0 - share) * shown)


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
        for part in parts_of(tile)[:3]
    ]
    return Tile(means[0], means[1], means[2], cover)


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
