"""The colours that a picture is made of, each with its share and a spot to see it at.

Pixels are gathered into small cells of colour and those into a few groups in Oklab, where equal
distances look alike: k-means with weights, begun as k-means++ says (Arthur and Vassilvitskii 2007,
"k-means++: the advantages of careful seeding"), from a fixed seed so that one picture always gives
the same colours.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.errors import DesignError
from core.palette.spaces import hex_of, rgb_of
from core.records import Struct
from core.stripes.screen import oklab, rgb_of_oklab

Floats = NDArray[np.float64]
Pixels = NDArray[np.uint8]

FEWEST: Final = 3
MOST: Final = 12

_SEED: Final = 20
_STARTS: Final = 4
_ROUNDS: Final = 60
_CELLS: Final = 16  # to a channel
_SAME: Final = 0.035  # closer than this in Oklab two groups are one colour
_NEARLY: Final = 0.012  # in Oklab, a difference nobody sees
_OPAQUE: Final = 128
_SPOT: Final = 2  # pixels on each side of a spot that are averaged with it


class Found(Struct, frozen=True):
    """A colour of a picture.

    Attributes:
        colour: The colour at its spot.
        share: The part of the picture that belongs to it, 0 to 1.
        x: The spot's pixel, from the left.
        y: From the top.
    """

    colour: str
    share: float
    x: int
    y: int


def colours_of(pixels: Pixels, number: int) -> tuple[Found, ...]:
    """Return the colours of a picture from light to dark, fewer than `number` if it has fewer.

    Args:
        pixels: Red, green, blue and cover, shape (height, width, 4).
        number: How many are wished for.

    Raises:
        DesignError: The picture is clear all over.
    """
    opaque = pixels[..., 3] >= _OPAQUE
    if not opaque.any():
        raise DesignError("This picture is clear all over, so it has no colours to take")
    cells, weights = _gathered(pixels[opaque][:, :3])
    centres = _without_doubles(*grouped(cells, weights, number))
    lab = _around_spots(pixels, opaque)
    away = ((lab[:, :, np.newaxis, :] - centres) ** 2).sum(axis=-1)
    away[~opaque] = np.inf
    belongs = np.where(opaque, away.argmin(axis=-1), -1)
    sums = np.bincount(_squares(cells, centres).argmin(axis=1), weights, minlength=len(centres))
    shares = (sums / weights.sum()).tolist()
    found = []
    for number_, share in enumerate(shares):
        x, y = _spot(away[..., number_], belongs == number_)
        found.append((float(lab[y, x, 0]), Found(hex_of(rgb_of_oklab(lab[y, x])), share, x, y)))
    return tuple(one for _, one in sorted(found, key=lambda pair: -pair[0]))


def colour_at(pixels: Pixels, x: int, y: int) -> str | None:
    """Return the colour round a pixel; None where the picture is clear."""
    height, width = pixels.shape[:2]
    top, left = max(y - _SPOT, 0), max(x - _SPOT, 0)
    piece = pixels[top : min(y + _SPOT + 1, height), left : min(x + _SPOT + 1, width)]
    piece = piece[piece[..., 3] >= _OPAQUE][:, :3]
    if not len(piece):
        return None
    return hex_of(rgb_of_oklab(oklab(piece / 255.0).mean(axis=0)))


def shares_of(pixels: Pixels, colours: Sequence[str]) -> tuple[float, ...]:
    """Return the part of a picture that is nearest to each colour, 0 to 1."""
    points, weights = _gathered(pixels[pixels[..., 3] >= _OPAQUE][:, :3])
    centres = oklab(np.array([rgb_of(colour) for colour in colours]) / 255.0)
    sums = np.bincount(_squares(points, centres).argmin(axis=1), weights, minlength=len(colours))
    return tuple((sums / weights.sum()).tolist())


def grouped(points: Floats, weights: Floats, number: int) -> tuple[Floats, Floats]:
    """Return the centres of the best of a few groupings, and the weight of each group.

    Args:
        points: Shape (n, axes).
        weights: Shape (n,), above 0.
        number: Groups; as many as there are points at most.
    """
    number = min(number, len(points))
    random = np.random.default_rng(_SEED)
    best: tuple[float, Floats, Floats] | None = None
    for _ in range(_STARTS):
        centres = settled(points, weights, _seeds(points, weights, number, random))
        away = _squares(points, centres)
        spread = float((away.min(axis=1) * weights).sum())
        if best is None or spread < best[0]:
            sums = np.bincount(away.argmin(axis=1), weights, minlength=number)
            best = spread, centres, sums.astype(np.float64)
    assert best is not None
    return best[1], best[2]


def settled(points: Floats, weights: Floats, centres: Floats) -> Floats:
    """Return centres after each has moved to the mean of its points until none moves (Lloyd)."""
    for _ in range(_ROUNDS):
        belongs = _squares(points, centres).argmin(axis=1)
        sums = np.bincount(belongs, weights, minlength=len(centres))
        means = np.stack(
            [np.bincount(belongs, weights * axis, minlength=len(centres)) for axis in points.T],
            axis=1,
        )
        # A group that lost all its points stays where it was.
        kept = sums > 0
        moved = np.where(
            kept[:, np.newaxis], means / np.where(kept, sums, 1.0)[:, np.newaxis], centres
        )
        if np.allclose(moved, centres, atol=1e-9):
            return moved
        centres = moved
    return centres


def _seeds(points: Floats, weights: Floats, number: int, random: np.random.Generator) -> Floats:
    """Return first centres: each next one likely where the ones before are far."""
    chosen = [int(random.choice(len(points), p=weights / weights.sum()))]
    away = _squares(points, points[chosen])[:, 0]
    while len(chosen) < number:
        chance = away * weights
        if chance.sum() <= 0:
            break
        chosen.append(int(random.choice(len(points), p=chance / chance.sum())))
        away = np.minimum(away, _squares(points, points[chosen[-1:]])[:, 0])
    return points[chosen]


def _squares(points: Floats, centres: Floats) -> Floats:
    found: Floats = ((points[:, np.newaxis, :] - centres) ** 2).sum(axis=-1)
    return found


def _gathered(rgb: Pixels) -> tuple[Floats, Floats]:
    """Return the mean of every cell of colour in Oklab, and how many pixels lie in it."""
    cell = rgb // (256 // _CELLS)
    key = (cell[:, 0].astype(np.intp) * _CELLS + cell[:, 1]) * _CELLS + cell[:, 2]
    count = np.bincount(key, minlength=_CELLS**3)
    used = np.flatnonzero(count)
    means = np.stack(
        [np.bincount(key, channel, minlength=_CELLS**3)[used] / count[used] for channel in rgb.T],
        axis=1,
    )
    return oklab(means / 255.0), count[used].astype(np.float64)


def _spot(away: Floats, belongs: NDArray[np.bool_]) -> tuple[int, int]:
    """Return a pixel of nearly a group's own colour, of those the one most amid the group."""
    least = float(away.min())
    near = away <= (np.sqrt(least) + _NEARLY) ** 2
    near &= belongs | (away == least)
    y, x = np.nonzero(near)
    rows, columns = np.nonzero(belongs) if belongs.any() else (y, x)
    best = int(((y - rows.mean()) ** 2 + (x - columns.mean()) ** 2).argmin())
    return int(x[best]), int(y[best])


def _without_doubles(centres: Floats, weights: Floats) -> Floats:
    """Return the centres of groups that have anything, those that look the same only once."""
    kept: list[Floats] = []
    for number in np.argsort(-weights):
        far = all(np.linalg.norm(centres[number] - other) >= _SAME for other in kept)
        if weights[number] > 0 and far:
            kept.append(centres[number])
    return np.array(kept)


def _around_spots(pixels: Pixels, opaque: NDArray[np.bool_]) -> Floats:
    """Return the mean colour round every pixel in Oklab, shape (height, width, 3)."""
    cover = opaque.astype(np.float64)
    summed = _boxed(oklab(pixels[..., :3] / 255.0) * cover[..., np.newaxis])
    found: Floats = summed / np.maximum(_boxed(cover[..., np.newaxis]), 1.0)
    return found


def _boxed(values: Floats) -> Floats:
    """Return sums over squares round every entry, cut off at the edge."""
    for axis in (0, 1):
        size = values.shape[axis]
        sums = np.cumsum(values, axis=axis)
        sums = np.concatenate([np.zeros_like(np.take(sums, [0], axis)), sums], axis=axis)
        last = np.minimum(np.arange(size) + _SPOT + 1, size)
        first = np.maximum(np.arange(size) - _SPOT, 0)
        values = np.take(sums, last, axis) - np.take(sums, first, axis)
    return values
