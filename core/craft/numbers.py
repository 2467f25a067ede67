"""Plain arithmetic on arrays."""

import numpy as np
from numpy.typing import ArrayLike


def median(values: ArrayLike) -> float:
    """Return the middle of some numbers, at least one.

    The library's own loads masked arrays when it is first called, which takes longer than the
    window's rows, fabric and measures together.
    """
    ordered = np.sort(np.asarray(values, dtype=np.float64), axis=None)
    half = len(ordered) // 2
    return float(ordered[half] if len(ordered) % 2 else 0.5 * (ordered[half - 1] + ordered[half]))
