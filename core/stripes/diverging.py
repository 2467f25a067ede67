"""A scale of colours that runs both ways from a middle, in steps that look equal.

Each arm is a straight line in Oklab from the middle to its end. Along it the colours are set
so that neighbours differ by the same CIEDE2000, since Oklab's own steps come out uneven by
that measure near the middle. Both arms are as light or dark at the same distance, so in grey
the scale says how much, and something other than colour has to say which way.
"""

from functools import lru_cache
from itertools import pairwise
from typing import Final

import numpy as np

_FINE: Final = 64  # pieces an arm is measured in


@lru_cache(maxsize=16)
def diverging(low: str, middle: str, high: str, steps: int) -> tuple[str, ...]:
    """Return `2 * steps + 1` colours from `low` over `middle` to `high`, as #rrggbb.

    Args:
        low: The end below.
        middle: Neither.
        high: The end above; its lightness should be that of `low`.
        steps: Steps of each arm.
    """
    below, above = _arm(middle, low, steps), _arm(middle, high, steps)
    return (*below[::-1], middle, *above)


def _arm(middle: str, end: str, steps: int) -> list[str]:
    """Return the colours after `middle` up to `end`, evenly apart by CIEDE2000."""
    from coloraide import Color  # loaded when strain is first shown

    start, last = Color(middle), Color(end)
    shares = np.linspace(0.0, 1.0, _FINE + 1)
    line = [start.mix(last, float(share), space="oklab") for share in shares]
    pieces = [one.delta_e(other, method="2000") for one, other in pairwise(line)]
    way = np.concatenate([[0.0], np.cumsum(pieces)])
    wanted = np.interp(np.linspace(0.0, way[-1], steps + 1)[1:], way, shares)
    return [
        start.mix(last, float(share), space="oklab", out_space="srgb").fit().to_string(hex=True)
        for share in wanted
    ]
