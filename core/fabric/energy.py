"""The energy of a net, its slope and its curvature, as plain arrays.

Curvature is taken spring by spring and made positive: a spring that is pushed together keeps
only its stiffness along itself. Newton's steps then always go downhill.
"""

from dataclasses import dataclass

import numpy as np

from core.fabric.net import Net
from core.fabric.springs import Floats


@dataclass(frozen=True, slots=True)
class Frame:
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
    """Return the energy that the springs hold (stiffness times mm squared)."""
    length = np.linalg.norm(spring_vectors_mm(net, tops_mm, frame), axis=1)
    return float(0.5 * (net.stiffness * (length - net.rest_mm) ** 2).sum())


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
    corner = tops_mm[net.corners]  # (n_triangles, 3, 2)
    corner[..., 0] += net.corner_across * frame.repeat_mm
    corner += net.corner_up[..., np.newaxis] * np.asarray(frame.period_mm)
    first, second = corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]
    area: Floats = 0.5 * (first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0])
    return area
