"""The inverse of a symmetric positive matrix in single precision, fast."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

Singles = NDArray[np.float32]

_LEAF: Final = 64  # blocks up to this size are inverted at once


def positive_inverse(block: Singles) -> Singles | None:
    """Return the inverse of a symmetric block, None if it isn't positive.

    In halves: products of matrices are many times faster than what a library does to invert
    a block of this size at once.
    """
    size = len(block)
    if size <= _LEAF:
        try:
            np.linalg.cholesky(block)
        except np.linalg.LinAlgError:
            return None
        found: Singles = np.linalg.inv(block)
        return 0.5 * (found + found.T)
    half = size // 2
    first = positive_inverse(block[:half, :half])
    if first is None:
        return None
    across = first @ block[:half, half:]
    second = positive_inverse(block[half:, half:] - block[half:, :half] @ across)
    if second is None:
        return None
    whole = np.empty_like(block)
    corner = -across @ second
    whole[:half, half:] = corner
    whole[half:, :half] = corner.T
    whole[half:, half:] = second
    whole[:half, :half] = first - corner @ across.T
    return whole
