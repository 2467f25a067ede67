"""The energy of a net, its slope and its curvature, as plain arrays.

Curvature is taken spring by spring and can be made positive: a spring that is pushed together
then keeps only its stiffness along itself, and Newton's steps always go downhill.

A cell must not turn inside out, so a triangle of it that gets flatter than `LEAST_CELL`
pushes back. In cloth that isn't extreme no triangle ever does.
"""

from typing import Final

import numpy as np

from core.fabric.net import Net
from core.fabric.springs import LEAST_CELL, PUSH, Floats
from core.records import Struct
from core.rows.plan import Indices


class Frame(Struct, frozen=True):
    """How far one repeat across and one period up move a node."""

    repeat_mm: float = 0.0
    period_mm: tuple[float, float] = (0.0, 0.0)


def spring_vectors_mm(net: Net, tops_mm: Floats, frame: Frame) -> Floats:
    """Return the vector from each spring's first end to its second, shape (n_springs, 2)."""
    vectors: Floats = tops_mm[net.ends[:, 1]] - tops_mm[net.ends[:, 0]]
    vectors[:, 0] += net.across * frame.repeat_mm
    vectors += net.up[:, np.newaxis] * np.asarray(frame.period_mm)
    return vectors


def energy(net: Net, tops_mm: Floats, frame: Frame) -> float:
    """Return the energy that springs and flattened cells hold (stiffness times mm squared)."""
    length = np.linalg.norm(spring_vectors_mm(net, tops_mm, frame), axis=1)
    springs = 0.5 * (net.stiffness * (length - net.rest_mm) ** 2).sum()
    short = np.minimum(cell_areas_mm2(net, tops_mm, frame) - _least_mm2(net), 0.0)
    return float(springs + 0.5 * _push(net) * (short @ short))


def slope(net: Net, tops_mm: Floats, frame: Frame) -> Floats:
    """Return how the energy rises as each top is moved, shape (n_nodes, 2)."""
    pull, _ = pull_and_stiffness(net, spring_vectors_mm(net, tops_mm, frame), exact=True)
    flat = walls(net, tops_mm, frame)
    corners = net.corners[flat.which].ravel()
    total = np.empty((net.n_nodes, 2))
    for axis in (0, 1):
        total[:, axis] = np.bincount(net.ends[:, 1], pull[:, axis], net.n_nodes)
        total[:, axis] -= np.bincount(net.ends[:, 0], pull[:, axis], net.n_nodes)
        total[:, axis] += np.bincount(corners, flat.pull[..., axis].ravel(), net.n_nodes)
    return total


def _least_mm2(net: Net) -> float:
    return LEAST_CELL * net.width_mm**2


def _push(net: Net) -> float:
    return PUSH / net.width_mm**2


class Walls(Struct, frozen=True, eq=False):
    """The triangles that are too flat and push back.

    Attributes:
        which: Their numbers, shape (n,).
        pull: Slope of the energy at each corner, shape (n, 3, 2).
        stiffness: Curvature over the six coordinates of the corners, shape (n, 6, 6).
    """

    which: Indices
    pull: Floats
    stiffness: Floats


# A triangle's area is half the sum of the corners' cross products; this is how its slope at
# one corner follows the two others.
_TURN: Final = np.kron(
    np.array([[0, 1, -1], [-1, 0, 1], [1, -1, 0]]), 0.5 * np.array([[0.0, 1.0], [-1.0, 0.0]])
)


def walls(net: Net, tops_mm: Floats, frame: Frame, *, exact: bool = False) -> Walls:
    """Return the triangles that push back.

    Args:
        net: The net.
        tops_mm: Shape (n_nodes, 2).
        frame: Where images lie.
        exact: Keep the part of the curvature that may be negative.
    """
    corner = _corners_mm(net, tops_mm, frame)
    short = _areas(corner) - _least_mm2(net)
    which = np.flatnonzero(short < 0)
    corner, short = corner[which], short[which]
    opposite = corner[:, [1, 2, 0]] - corner[:, [2, 0, 1]]
    slope = 0.5 * opposite[..., ::-1] * (1.0, -1.0)
    push = _push(net)
    pull = push * short[:, np.newaxis, np.newaxis] * slope
    flat = slope.reshape(-1, 6)
    stiffness = push * flat[:, :, np.newaxis] * flat[:, np.newaxis, :]
    if exact:
        stiffness += push * short[:, np.newaxis, np.newaxis] * _TURN
    return Walls(which, pull, stiffness)


def pull_and_stiffness(net: Net, vectors: Floats, *, exact: bool) -> tuple[Floats, Floats]:
    """Return each spring's slope and curvature with respect to its vector.

    Args:
        net: The springs.
        vectors: From `spring_vectors_mm`.
        exact: Keep the negative curvature of springs pushed together.

    Returns:
        Slopes, shape (n_springs, 2), and curvatures, shape (n_springs, 2, 2).
    """
    length = np.maximum(np.linalg.norm(vectors, axis=1), 1e-12)
    unit = vectors / length[:, np.newaxis]
    stretch = 1.0 - net.rest_mm / length
    slope = (net.stiffness * stretch)[:, np.newaxis] * vectors
    sideways = stretch if exact else np.maximum(stretch, 0.0)
    along = unit[:, :, np.newaxis] * unit[:, np.newaxis, :]
    curvature = along * (1.0 - sideways)[:, np.newaxis, np.newaxis]
    curvature += np.eye(2) * sideways[:, np.newaxis, np.newaxis]
    return slope, curvature * net.stiffness[:, np.newaxis, np.newaxis]


def cell_areas_mm2(net: Net, tops_mm: Floats, frame: Frame) -> Floats:
    """Return the signed area of every triangle; a negative one is turned inside out."""
    return _areas(_corners_mm(net, tops_mm, frame))


def _corners_mm(net: Net, tops_mm: Floats, frame: Frame) -> Floats:
    corner: Floats = tops_mm[net.corners]  # (n_triangles, 3, 2)
    corner[..., 0] += net.corner_across * frame.repeat_mm
    corner += net.corner_up[..., np.newaxis] * np.asarray(frame.period_mm)
    return corner


def _areas(corner: Floats) -> Floats:
    first, second = corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]
    area: Floats = 0.5 * (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0])
    return area
