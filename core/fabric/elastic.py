"""Cloth seen from far away: an elastic sheet that gives way smoothly to forces.

Pieces laid side by side pull at each other a little where they meet. What pulls at a corner
is felt far off (it fades with the logarithm of the distance, not with the stitches), so no
margin that is settled with the edges is ever wide enough. Seen from there the stitches don't
matter, only how stiff a whole repeat is: stretched, leant or heightened, with its stitches
giving way inside it (homogenised elasticity). The sheet's displacement is a sum of Legendre
polynomials, found in one small set of equations whatever the blanket's size.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.polynomial import legendre

from core.fabric.relax import periodic_curvature
from core.fabric.springs import Floats
from core.fabric.steady import Steady

_DEGREE: Final = 14
_GRID: Final = 64  # fields between which displacements are read off
_GROUND: Final = 1e-7  # keeps the sheet as a whole in place


def stiffness_of(steady: Steady) -> Floats | None:
    """Return the elastic constants of cloth in its steady state, None if it would give way.

    Returns:
        Shape (3, 3): energy per mm2 is half the strain times this times the strain, the strain
        being the stretch along the rows, the shear, the stretch up the rows.
    """
    matrix = periodic_curvature(steady.net, steady.tops_mm, steady.frame)
    n = 2 * steady.net.n_nodes
    inside, across, outside = matrix[:n, :n], matrix[:n, n:], matrix[n:, n:]
    eased = outside - across.T @ np.linalg.solve(inside, across)
    repeat, period = steady.frame.repeat_mm, steady.frame.period_mm[1]
    to_strain = np.diag([repeat, period, period])
    stiffness: Floats = to_strain @ eased @ to_strain / (repeat * period)
    positive = np.linalg.eigvalsh(stiffness)[0] > 1e-3 * np.abs(stiffness).max()
    return stiffness if positive else None


def give_way(
    stiffness: Floats, size_mm: tuple[float, float], where_mm: Floats, pull: Floats
) -> Floats:
    """Return how far places of a free elastic rectangle move under forces there.

    Args:
        stiffness: From `stiffness_of`.
        size_mm: Its width and height.
        where_mm: Places from its lower left corner, shape (n, 2).
        pull: The force on each, shape (n, 2); what would only carry the sheet away or turn it
            is left out.
    """
    matrix, mass = _equations(stiffness, size_mm)
    line = legendre.legvander(np.linspace(-1.0, 1.0, _GRID + 1), _DEGREE)
    felt = pull.any(axis=1)
    pulled = _Places(where_mm[felt] / size_mm)
    right = np.concatenate(
        [(line.T @ pulled.handed_out(pull[felt, axis]) @ line).ravel() for axis in (0, 1)]
    )
    for rigid in _rigid(size_mm):
        weight = mass @ rigid
        right -= weight * float(rigid @ right) / float(rigid @ weight)
    answer = np.linalg.solve(matrix, right).reshape(2, _DEGREE + 1, _DEGREE + 1)
    places = _Places(where_mm / size_mm)
    return np.stack([places.read_off(line @ answer[axis] @ line.T) for axis in (0, 1)], axis=1)


class _Places:
    """Places among the points of a grid over the sheet, given as shares of its sides."""

    def __init__(self, where: Floats) -> None:
        place = np.clip(where, 0.0, 1.0) * _GRID
        corner = np.minimum(place.astype(np.int32), _GRID - 1)
        x, y = (place - corner).T
        first = corner[:, 0] * (_GRID + 1) + corner[:, 1]
        # the four points about each place, and each one's share of it
        self._points = (first, first + 1, first + _GRID + 1, first + _GRID + 2)
        self._shares = ((1 - x) * (1 - y), (1 - x) * y, x * (1 - y), x * y)

    def handed_out(self, values: Floats) -> Floats:
        """Return values handed out to the grid's points, shape (fields + 1, fields + 1)."""
        total = np.zeros((_GRID + 1) ** 2)
        for point, share in zip(self._points, self._shares, strict=True):
            total += np.bincount(point, share * values, len(total))
        return total.reshape(_GRID + 1, _GRID + 1)

    def read_off(self, grid: Floats) -> Floats:
        """Return the grid's values at the places, between its points as they lie."""
        flat = grid.ravel()
        found = np.zeros(len(self._shares[0]))
        for point, share in zip(self._points, self._shares, strict=True):
            found += share * flat[point]
        return found


def _equations(stiffness: Floats, size_mm: tuple[float, float]) -> tuple[Floats, Floats]:
    """Return stiffness and mass over the polynomials' factors, across first, then up."""
    # mass, slope by slope, slope by value: along each axis
    (mx, ax, bx), (my, ay, by) = (_line_matrices(length) for length in size_mm)
    (c11, c13, c12), (_, c33, c23), (_, _, c22) = stiffness
    xx, yy, xy = np.kron(ax, my), np.kron(mx, ay), np.kron(bx, by.T)
    across = c11 * xx + c33 * yy + c13 * (xy + xy.T)
    up = c22 * yy + c33 * xx + c23 * (xy + xy.T)
    both = c12 * xy + c33 * xy.T + c13 * xx + c23 * yy
    matrix = np.block([[across, both], [both.T, up]])
    mass = np.kron(np.eye(2), np.kron(mx, my))
    matrix += _GROUND * np.trace(matrix) / np.trace(mass) * mass
    return matrix, mass


def _line_matrices(length_mm: float) -> tuple[Floats, Floats, Floats]:
    values, slopes, weights = _line()
    half = 0.5 * length_mm
    weighted, slopes = values.T * (weights * half), slopes / half
    return weighted @ values, (slopes.T * (weights * half)) @ slopes, (weighted @ slopes).T


@lru_cache(maxsize=1)
def _line() -> tuple[Floats, Floats, Floats]:
    """Return the polynomials' values and slopes at Gauss' places, and the weights there."""
    places, weights = legendre.leggauss(_DEGREE + 2)
    slopes = np.zeros((len(places), _DEGREE + 1))
    for degree in range(1, _DEGREE + 1):
        one = np.zeros(degree + 1)
        one[degree] = 1.0
        slopes[:, degree] = legendre.legval(places, legendre.legder(one))
    values = np.asarray(legendre.legvander(places, _DEGREE), dtype=np.float64)
    return values, slopes, np.asarray(weights, dtype=np.float64)


def _rigid(size_mm: tuple[float, float]) -> list[Floats]:
    """Return the moves that strain nothing, about the middle: across, up and a turn."""
    n = _DEGREE + 1
    across, up, turn = (np.zeros((2, n, n)) for _ in range(3))
    across[0, 0, 0] = up[1, 0, 0] = 1.0
    turn[0, 0, 1], turn[1, 1, 0] = -0.5 * size_mm[1], 0.5 * size_mm[0]
    return [across.ravel(), up.ravel(), turn.ravel()]
