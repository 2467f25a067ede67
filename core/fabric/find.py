"""Which stitch lies nearest to a place of the fabric, quickly however large the blanket is."""

from functools import lru_cache
from statistics import median

import numpy as np

from core.fabric.sheet import Fabric

Found = tuple[int, int]


class Finder:
    """Finds stitches of one fabric; only the rows that reach a place's height are looked at."""

    def __init__(self, fabric: Fabric) -> None:
        self._fabric = fabric
        self._lift = 0.5 * median(fabric.size.heights_mm)
        self._reach = 3.0 * max(self._lift, 0.5 * fabric.size.width_mm)
        y, starts = fabric.tops_mm[:, 1], fabric.starts[:-1]
        self._low = np.minimum.reduceat(y, starts)
        self._high = np.maximum.reduceat(y, starts)

    def at(self, place_mm: tuple[float, float]) -> Found:
        """Return row and stitch (from the left) of the post whose middle is nearest.

        -1, -1 if none is near.
        """
        x, y = place_mm[0], place_mm[1] + self._lift
        near = np.flatnonzero((self._low <= y + self._reach) & (self._high >= y - self._reach))
        if not len(near):
            return (-1, -1)
        fabric = self._fabric
        first = int(fabric.starts[near[0]])
        tops = fabric.tops_mm[first : fabric.starts[near[-1] + 1]]
        across, up = tops[:, 0] - x, tops[:, 1] - y
        away = across * across + up * up
        best = int(np.argmin(away))
        if away[best] > self._reach**2:
            return (-1, -1)
        number = first + best
        row = int(np.searchsorted(fabric.starts, number, side="right")) - 1
        return row, number - int(fabric.starts[row])


@lru_cache(maxsize=3)
def finder_of(fabric: Fabric) -> Finder:
    """Return the finder of a fabric, made once."""
    return Finder(fabric)
