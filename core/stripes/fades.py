"""Fades from yarn to yarn: the next one comes in by single rows or pairs, ever wider.

Between two yarns of depth 3 the stripes are 3 1 2 2 1 3: the first shrinks as the second grows,
and the second's share goes up by equal steps, which the eye mixes from afar into equal steps
of colour. Yarns further apart to the eye can be given a deeper in-between.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Final

from core.design.document import Stripe
from core.stripes.colour import difference

_EXACT: Final = 9  # yarns up to which every order is compared
_STARTS: Final = 4


def fade(yarns: Sequence[int], depths: Sequence[int], unit: int) -> tuple[Stripe, ...]:
    """Return the stripes of a fade.

    Args:
        yarns: Numbers of the yarns in order.
        depths: Steps between every two that follow each other.
        unit: Rows of a step: 1 or 2.
    """
    found: list[Stripe] = []
    for (one, other), depth in zip(pairwise(yarns), depths, strict=True):
        for step in range(depth):
            found.append(Stripe(one, unit * (depth - step)))
            found.append(Stripe(other, unit * (step + 1)))
    return _with_joints_once(found)


def _with_joints_once(stripes: list[Stripe]) -> tuple[Stripe, ...]:
    """Return the stripes with each yarn's whole stripe standing once.

    It ends one pair and begins the next, and is as wide as the wider of the two.
    """
    found: list[Stripe] = []
    for stripe in stripes:
        if found and found[-1].yarn == stripe.yarn:
            found[-1] = Stripe(stripe.yarn, max(found[-1].rows, stripe.rows))
        else:
            found.append(stripe)
    return tuple(found)


def depths_of(colours: Sequence[str], depth: int, *, even: bool) -> tuple[int, ...]:
    """Return the steps between every two colours: `depth`, or more where they differ more.

    The difference is CIEDE2000; on average the steps stay `depth`.
    """
    pairs = list(pairwise(colours))
    if not even or not pairs:
        return (depth,) * len(pairs)
    apart = [difference(one, other) for one, other in pairs]
    mean = sum(apart) / len(apart)
    if not mean:
        return (depth,) * len(pairs)
    return tuple(min(max(round(depth * each / mean), 1), 50) for each in apart)


def nearest_order(colours: Sequence[str], start: int | None = None) -> tuple[int, ...]:
    """Return the order that goes through all colours with the least difference in all.

    Every order is compared for up to nine colours (dynamic programming over sets); beyond
    that the nearest next one is taken and crossings are undone.

    Args:
        colours: The colours.
        start: Where to begin; None for wherever is best.
    """
    return _nearest_order(tuple(colours), start)


@lru_cache(maxsize=64)
def _nearest_order(colours: tuple[str, ...], start: int | None) -> tuple[int, ...]:
    n = len(colours)
    apart = [[difference(one, other) for other in colours] for one in colours]
    if n <= 1:
        return tuple(range(n))
    if n <= _EXACT:
        return _best_path(apart, start)
    starts = range(min(n, _STARTS)) if start is None else [start]
    return min((_near_path(apart, at) for at in starts), key=lambda path: _length(apart, path))


def _length(apart: list[list[float]], path: Sequence[int]) -> float:
    return sum(apart[one][other] for one, other in pairwise(path))


def _best_path(apart: list[list[float]], start: int | None) -> tuple[int, ...]:
    n = len(apart)
    best: dict[tuple[int, int], tuple[float, int]] = {}
    for at in range(n) if start is None else [start]:
        best[1 << at, at] = 0.0, -1
    for seen in range(1, 1 << n):
        for last in range(n):
            known = best.get((seen, last))
            if known is None:
                continue
            for then in range(n):
                if not seen >> then & 1:
                    key, length = (seen | 1 << then, then), known[0] + apart[last][then]
                    if key not in best or length < best[key][0] - 1e-12:
                        best[key] = length, last
    seen = (1 << n) - 1
    last = min((at for at in range(n) if (seen, at) in best), key=lambda at: best[seen, at][0])
    path: list[int] = []
    while last >= 0:
        path.append(last)
        before = best[seen, last][1]
        seen ^= 1 << last
        last = before
    return tuple(path[::-1])


def _near_path(apart: list[list[float]], start: int) -> tuple[int, ...]:
    path, left = [start], set(range(len(apart))) - {start}
    while left:
        then = min(left, key=lambda at: (apart[path[-1]][at], at))
        path.append(then)
        left.discard(then)
    return tuple(_uncrossed(path, apart))


def _uncrossed(path: list[int], apart: list[list[float]]) -> list[int]:
    """Return the path with pieces turned round for as long as that makes it shorter."""
    better = True
    while better:
        better = False
        for i in range(1, len(path) - 1):
            for j in range(i + 1, len(path)):
                gain = apart[path[i - 1]][path[i]] - apart[path[i - 1]][path[j]]
                if j + 1 < len(path):
                    gain += apart[path[j]][path[j + 1]] - apart[path[i]][path[j + 1]]
                if gain > 1e-9:
                    path[i : j + 1] = path[i : j + 1][::-1]
                    better = True
    return path
