"""Colours in a row, no two alike side by side: what can be done with so many of each, and how.

A list of counts can be put in such an order just when every colour has no more than the places
that don't touch each other and that it may stand in: every other one, without the first where it
stood just before, without the last where another has to end (checked by trying all small cases).
"""

import numpy as np
from numpy.typing import NDArray

Counts = NDArray[np.intp]


def room(length: int, n: int, *, before: int | None, last: int | None) -> Counts:
    """Return how many of each of `n` colours fit at most among `length` places.

    Args:
        length: Places to fill.
        n: Colours.
        before: The colour that stands before the first place.
        last: The colour that has to stand in the last place.
    """
    free = np.full(n, length, dtype=np.intp)
    if before is not None:
        free[before] -= 1
    if last is not None:
        free -= 1
        free[last] += 1
    fits: Counts = np.maximum((free + 1) // 2, 0)
    return fits


def can_be_ordered(counts: Counts, *, before: int | None, last: int | None) -> bool:
    """Return whether there is an order of all of them."""
    length = int(counts.sum())
    if not length:
        return last in (None, before)
    if last is not None and counts[last] < 1:
        return False
    return bool((counts <= room(length, len(counts), before=before, last=last)).all())


def spread(counts: Counts, *, first: int, last: int | None = None) -> tuple[int, ...]:
    """Return an even order of all of them that starts with `first`.

    The colour that lags most behind its share comes next, if the others can still follow.

    Raises:
        ValueError: There is no such order.
    """
    left, total = counts.copy(), int(counts.sum())
    left[first] -= 1
    if left[first] < 0 or not can_be_ordered(left, before=first, last=last):
        raise ValueError("these counts have no order without like neighbours")
    order = [first]
    for place in range(1, total):
        lag = counts * ((place + 1) / total) - (counts - left)
        lag[left == 0] = -np.inf
        lag[order[-1]] = -np.inf
        for colour in np.argsort(-lag, kind="stable").tolist():
            left[colour] -= 1
            if can_be_ordered(left, before=colour, last=last):
                order.append(colour)
                break
            left[colour] += 1
    return tuple(order)


def filled(caps: Counts, limits: Counts, total: int, *, least: Counts) -> Counts | None:
    """Return counts that make `total`, as even as `caps` allow; None if they can't.

    Args:
        caps: Most of each that is to hand.
        limits: Most of each that the order has room for.
        total: How many in all.
        least: Fewest of each.
    """
    most = np.minimum(caps, limits)
    if (least > most).any() or int(most.sum()) < total or int(least.sum()) > total:
        return None
    found = least.astype(np.intp).copy()
    while (missing := total - int(found.sum())) > 0:
        open_ = found < most
        level = int(found[open_].min())
        low = np.flatnonzero(open_ & (found == level))
        found[low[:missing]] += 1
    return found


__all__ = ["can_be_ordered", "filled", "room", "spread"]
