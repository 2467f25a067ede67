"""Strands of yarn laid over each other into a small tile of relief.

A strand is a tube along a curve with its plies twisted round it. Tubes are laid into a tile
from above and the upper one wins. Each texel keeps which way its surface faces, how open it
lies to the light, and how much of it is yarn. Whatever the light, a tile stays the same.
"""

import math
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from core.records import Struct

Texels = NDArray[np.uint32]
Numbers = NDArray[np.floating[Any]]

_TWIST: Final = 2.6  # plies passed along one stitch width of strand
_OVERLAP: Final = 0.3  # how far pieces of a strand reach beyond their ends, in radii
_GROUND: Final = -0.6  # depth where there is no strand


class Tile(Struct, frozen=True, eq=False):
    """A piece of relief, its rows from the foot up.

    Attributes:
        across: The surface's tilt to the right times openness, shape (up, across), -1 to 1.
        along: Its tilt upwards, likewise.
        facing: How much it faces the eye, times openness, 0 to 1.
        cover: How much of the texel is yarn, 0 to 1.
    """

    across: Numbers
    along: Numbers
    facing: Numbers
    cover: Numbers

    def packed(self) -> Texels:
        """Return the four values as bytes of one number, cover lowest."""
        tilts = [np.clip(np.round(127 * n) + 128, 0, 255) for n in (self.across, self.along)]
        rest = [np.clip(np.round(255 * n), 0, 255) for n in (self.facing, self.cover)]
        packed: Texels = np.zeros(self.cover.shape, dtype=np.uint32)
        for part in (*tilts, *rest):
            packed = (packed << np.uint32(8)) | part.astype(np.uint32)
        return packed


def parts_of(tile: Tile) -> tuple[Numbers, Numbers, Numbers, Numbers]:
    """Return across, along, facing and cover."""
    return tile.across, tile.along, tile.facing, tile.cover


class Heap:
    """A tile in the making: the highest strand at every texel."""

    def __init__(self, left: float, bottom: float, width: float, height: float, per: float) -> None:
        self.n_up, self.n_across = max(round(height * per), 2), max(round(width * per), 2)
        u, v = (np.arange(n, dtype=np.float32) + 0.5 for n in (self.n_across, self.n_up))
        self.u = (left + width * u / self.n_across).astype(np.float32)
        self.v = (bottom + height * v / self.n_up).astype(np.float32)
        shape = (self.n_up, self.n_across)
        self.depth = np.full(shape, _GROUND, dtype=np.float32)
        self.tilt_u, self.tilt_v, self.open, self.cover = np.zeros((4, *shape), dtype=np.float32)

    def points(self, least: int) -> int:
        """Return through how many points to lay a strand, more where it is seen large."""
        return least + min(self.n_across // 14, 12)

    def fill(self, depth: float, openness: Numbers | float, cover: Numbers | float) -> None:
        """Lay a flat ground below all strands."""
        self.depth[:] = depth
        self.open[:] = openness
        self.cover[:] = cover

    def lay(self, points: Numbers, radius: float | Numbers, *, left_handed: bool = False) -> None:
        """Lay a strand through points (n, 3: across, up, depth), in stitch widths."""
        radii = np.broadcast_to(np.asarray(radius, dtype=float), (len(points),))
        lengths = np.linalg.norm(np.diff(points[:, :2], axis=0), axis=1)
        along = np.concatenate([[0.0], np.cumsum(lengths)])
        turn = -1.0 if left_handed else 1.0
        fall = -np.gradient(points[:, 2], along)
        for n in range(len(points) - 1):
            ends = np.column_stack([points, radii, fall])[n : n + 2]
            self._lay_piece(ends, along[n], lengths[n], turn)

    def _lay_piece(self, ends: Numbers, start: float, length: float, turn: float) -> None:
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
        lie = np.clip(lie / np.sqrt(1.0 + lie**2), -0.6, 0.6)  # the strand's own slope
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


def softened(tile: Tile, n_up: int, n_across: int, reach: float, *, around: bool = False) -> Tile:
    """Return the tile with fewer texels, each averaged over a pixel.

    Args:
        tile: The tile as it was laid.
        n_up: Texels up.
        n_across: Texels across.
        reach: Over how many of these texels a pixel reaches, each way.
        around: What leaves at one side comes in at the other.
    """
    size = max(round(reach * tile.cover.shape[1] / n_across), 1)
    rows, columns = (
        ((np.arange(n) + 0.5) * whole / n).astype(np.intp)
        for n, whole in zip((n_up, n_across), tile.cover.shape, strict=True)
    )
    pick = np.ix_(rows, columns)
    cover = _mean_around(tile.cover, size, around=around)[pick]
    full = np.maximum(cover, 1e-6)
    values = [part * tile.cover for part in parts_of(tile)[:3]]
    means = [_mean_around(value, size, around=around)[pick] / full for value in values]
    return Tile(means[0], means[1], means[2], cover)


def _mean_around(values: Numbers, size: int, *, around: bool) -> Numbers:
    """Return the mean over `size` texels each way; across, a chain's tile goes round."""
    ahead = size // 2
    behind = size - 1 - ahead
    wide = np.pad(values, ((ahead, behind), (0, 0)), mode="edge")
    wide = np.pad(wide, ((0, 0), (ahead, behind)), mode="wrap" if around else "edge")
    total = np.cumsum(np.pad(wide, ((1, 0), (0, 0))), axis=0)
    rows = total[size:] - total[:-size]
    total = np.cumsum(np.pad(rows, ((0, 0), (1, 0))), axis=1)
    mean: Numbers = (total[:, size:] - total[:, :-size]) / size**2
    return mean
