"""Conjugate gradients for a matrix that is positive, or turns out not to be."""

from collections.abc import Callable
from typing import Final

import numpy as np

from core.fabric.springs import Floats
from core.records import Struct

MOST_ROUNDS: Final = 60

Linear = Callable[[Floats], Floats]


class Found(Struct, frozen=True, eq=False):
    """What conjugate gradients came to.

    Attributes:
        downhill: The answer, or as far as it was followed until the matrix proved not to be
            positive, which still leads downhill; None if the very first direction showed that.
        close: Whether it is the answer.
        rounds: How often the matrix was applied.
    """

    downhill: Floats | None
    close: bool
    rounds: int


def conjugate_gradients(
    times: Linear,
    nearly_inverse: Linear,
    right: Floats,
    *,
    close: float,
    look: Callable[[], None] = lambda: None,
) -> Found:
    """Return what a symmetric matrix takes to `right`.

    Args:
        times: Applies the matrix.
        nearly_inverse: Applies a symmetric positive matrix near its inverse.
        right: Any shape.
        close: How small a part of `right` may be left over.
        look: Called before every round; may raise.
    """
    size = float(np.linalg.norm(right))
    found = np.zeros_like(right)
    if not size:
        return Found(found, True, 0)
    left = right / size  # single precision can't hold the last steps' small numbers
    way = np.zeros_like(right)
    better = 1.0
    for count in range(MOST_ROUNDS):
        look()
        if float(np.linalg.norm(left)) <= close:
            return Found(size * found, True, count)
        inner = nearly_inverse(left)
        gain = float((inner * left).sum())
        if gain <= 0.0:  # nothing but rounding is left to be won
            return Found(size * found if count else None, False, count)
        way = inner + (gain / better if count else 0.0) * way
        better = gain
        answer = times(way)
        bend = float((way * answer).sum())
        if bend <= 0.0:
            return Found(size * found if count else None, False, count + 1)
        found += gain / bend * way
        left -= gain / bend * answer
    return Found(size * found, False, MOST_ROUNDS)
