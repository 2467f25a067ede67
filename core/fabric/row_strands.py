"""The posts and the chains of the rows in a picture, each with the tile that shows its strands."""

import math
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CHAIN, KEYS, NUMBER
from core.fabric.fold import Fold
from core.fabric.light import Light
from core.fabric.row_lines import Links, RowPixels
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.fabric.strands import (
    Top,
    post_profile,
    post_tile,
    top_profile,
    top_tile,
)
from core.fabric.view import View
from core.fabric.yarn_heap import Texels, Tile
from core.rows.build import Rows, is_right_side

Pairs = NDArray[np.complex64]

_CHAIN: Final = NUMBER[CHAIN]
_EDGE: Final = 0.44  # how far the yarn of a row's outermost post reaches, in stitch widths


class Kit:
    """What tiles are made by: heights in stitch widths, the stitch's pixels, how fine."""

    def __init__(self, fabric: Fabric, level: float, is_fine: bool) -> None:
        self.heights = np.asarray(fabric.size.heights_mm) / fabric.size.width_mm
        self.level, self.is_fine = level, is_fine


class Posts:
    """The posts of the rows that show, row after row; beside each row's ends stands nobody.

    Attributes:
        way: Where each stands at its foot, and how far right its top is of that, in pixels.
        tile: Number of its tile's first texel.
        of_row: One post of each line's row.
        atlas: All tiles, one after another.
    """

    def __init__(
        self, fabric: Fabric, links: Links, view: View, first: int, last: int, kit: Kit
    ) -> None:
        """Place the posts; where they are too small to be told apart, one for each row."""
        self._shapes = _Shapes(kit)
        self._stitch_px = fabric.size.width_mm * view.px_per_mm
        if kit.is_fine:
            self._place_each(fabric, links, view, first, last)
        else:
            self._place_one_a_row(fabric, links, view, first, last)
        packed = self._shapes.packed()
        self.n_up, self.n_across = packed[0].shape
        self.atlas: Texels = np.concatenate([tile.ravel() for tile in packed])
        self.tile = (self._kind * (self.n_up * self.n_across)).astype(np.int32)

    def _place_one_a_row(
        self, fabric: Fabric, links: Links, view: View, first: int, last: int
    ) -> None:
        """Let the middle post of every row stand for all of them."""
        middles, known = [], {}
        for row in range(first, last + 1):
            posts, front = links.of(row), is_right_side(row)
            key = id(posts), front
            if key not in known:
                parent, child, kind = (one[len(one) // 2] for one in posts)
                number = self._shapes.numbers(np.array([kind]), front=front)[0]
                known[key] = int(parent), int(child), int(number)
            middles.append(known[key])
        parents, children, kinds = np.array(middles, dtype=np.intp).T
        feet = fabric.starts[first - 1 : last] + parents
        tops = fabric.starts[first : last + 1] + children
        lean, up = ((fabric.tops_mm[tops] - fabric.tops_mm[feet]) * view.px_per_mm).T
        foot = (fabric.tops_mm[feet, 0] - view.left_mm) * view.px_per_mm
        self.way = (foot + 1j * lean).astype(np.complex64)
        self._rise, self._kind = up, kinds
        rows = np.arange(len(feet), dtype=np.int32)
        self.of_row = np.concatenate([rows[:1], rows, rows[-1:]])

    def _place_each(self, fabric: Fabric, links: Links, view: View, first: int, last: int) -> None:
        """Place every post, and nobody beside each row's ends."""
        ways, tiles, sides = [], [], []
        of_row, count, known = [0], 0, {}
        stitch_px, nobody = self._stitch_px, (np.zeros(1), np.zeros(1))
        pixels = RowPixels(fabric, view, first - 1, last)
        for row in range(first, last + 1):
            posts, front = links.of(row), is_right_side(row)
            parent, child, kind = posts
            if (id(posts), front) not in known:
                numbers = self._shapes.numbers(kind, front=front)
                known[id(posts), front] = _between(nobody, numbers)
            foot_x, foot_y = (c[parent] for c in pixels.of(row - 1))
            top_x, top_y = (c[child] for c in pixels.of(row))
            lean, rise = top_x - foot_x, foot_y - top_y
            ends = foot_x[:1] - 2 * _EDGE * stitch_px, foot_x[-1:] + 2 * _EDGE * stitch_px
            ways.append(_between(ends, foot_x) + 1j * _between((lean[:1], lean[-1:]), lean))
            tiles.append(known[id(posts), front])
            sides.append(_between((rise[:1], rise[-1:]), rise))
            of_row.append(count + 1)
            count += len(parent) + 2
        self.way = np.concatenate(ways).astype(np.complex64)
        self._rise = np.concatenate(sides)
        self.of_row = np.array([*of_row, of_row[-1]], dtype=np.int32)
        self._kind = np.concatenate(tiles).astype(np.intp)

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


def _between(ends: tuple[Any, Any], values: Any) -> NDArray[Any]:
    return np.concatenate([ends[0], values, ends[1]])


class _Shapes:
    """The tiles that are needed: one for each kind of stitch and side of it."""

    def __init__(self, kit: Kit) -> None:
        self._kit = kit
        self._known: dict[tuple[int, bool, float], int] = {}

    @property
    def heights(self) -> Floats:
        """Height of every tile in stitch widths; tile 0 is nobody's."""
        return np.array([1.0, *(height for _, _, height in self._known)])

    def _height(self, kind: int) -> float:
        return round(min(max(float(self._kit.heights[kind]), 0.3), 6.0), 2)

    def numbers(self, kinds: NDArray[np.intp], *, front: bool) -> NDArray[np.intp]:
        """Return the numbers of these stitches' tiles; a turning chain is as high as its row."""
        table = np.zeros(len(KEYS), dtype=np.intp)
        met = np.unique(kinds)
        tallest = max(self._height(int(kind)) for kind in met)
        for kind in met:
            height = tallest if kind == _CHAIN else self._height(int(kind))
            key = int(kind), front, height
            table[kind] = self._known.setdefault(key, len(self._known) + 1)
        return table[kinds]

    def packed(self) -> list[Texels]:
        """Return all tiles in one shape, the first one empty."""
        make = post_tile if self._kit.is_fine else post_profile
        tiles: list[Tile] = [
            make(KEYS[kind], height, self._kit.level, front=front)
            for kind, front, height in self._known
        ]
        if self._kit.is_fine:
            tiles = [_bounded(tile) for tile in tiles]
        n_up = max(tile.cover.shape[0] for tile in tiles)
        found = [np.zeros((n_up, tiles[0].cover.shape[1]), dtype=np.uint32)]
        for tile in tiles:
            rows = (np.arange(n_up) * tile.cover.shape[0]) // n_up
            found.append(tile.packed()[rows])
        return found


def _bounded(tile: Tile) -> Tile:
    """Return the tile with nothing in its outermost columns: they stand for all beyond."""
    cover = tile.cover.copy()
    cover[:, [0, -1]] = 0.0
    return Tile(tile.across, tile.along, tile.facing, cover)


class Chains:
    """The chains along the tops of the rows that show.

    Attributes:
        tile: Number of the first texel of each line's tile.
        way: 1 where the row runs to the right, -1 where to the left.
        atlas: All tiles, one after another; the number of texels across is a power of two.
    """

    def __init__(
        self, fabric: Fabric, rows: Rows, fold: Fold, first: int, last: int, kit: Kit
    ) -> None:
        make = top_tile if kit.is_fine else top_profile
        looks = [_top_of(row, fabric, fold) for row in range(first - 1, last + 1)]
        kinds = sorted(set(looks))
        tiles = [make(top, kit.level) for top in kinds]
        n_up, n_across = tiles[0].cover.shape
        self.n_up, self.n_across = n_up, 1 << max(math.ceil(math.log2(n_across)), 0)
        columns = (np.arange(self.n_across) * n_across) // self.n_across
        packed = []
        for tile in tiles:
            wide = tile.packed()[:, columns]
            packed += [wide, wide[:, ::-1]]
        self.atlas: Texels = np.concatenate([tile.ravel() for tile in packed])
        left = [row > 0 and rows.runs_left(row) for row in range(first - 1, last + 1)]
        turned = np.array([*left, False])
        which = np.array([*map(kinds.index, looks), 0])
        self.way = np.where(turned, -1.0, 1.0)
        self.tile = ((2 * which + turned) * self.n_up * self.n_across).astype(np.int32)


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
