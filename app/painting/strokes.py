"""Arrays of numpy onto a QPainter without a loop over their entries."""

from typing import Any

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF
from PySide6.QtGui import QImage, QPainter, QPolygonF
from shiboken6 import Shiboken

Floats = NDArray[np.float64]

_VOID_PTR: Any = Shiboken.VoidPtr  # takes an object, a size and whether to write; typed as int only


def draw_lines(painter: QPainter, lines: Floats) -> None:
    """Draw straight lines with the painter's pen.

    Args:
        painter: Where to draw; its transform applies.
        lines: Shape (n, 2 ends, 2 axes).
    """
    if len(lines):
        flat = np.ascontiguousarray(lines, dtype=np.float64)
        first = Shiboken.wrapInstance(flat.ctypes.data, QLineF)
        painter.drawLines(first, len(flat))  # type: ignore[call-overload]


def polygon_of(points: Floats) -> QPolygonF:
    """Return a polygon with the points of shape (n, 2)."""
    polygon = QPolygonF()
    polygon.resize(len(points))
    if len(points):
        room = _VOID_PTR(polygon.data(), 16 * len(points), True)
        np.frombuffer(room, dtype=np.float64).reshape(-1, 2)[:] = points
    return polygon


def image_of(argb: NDArray[np.uint32]) -> QImage:
    """Return a picture of its own from premultiplied pixels, shape (height, width)."""
    flat = np.ascontiguousarray(argb)
    height, width = flat.shape
    form = QImage.Format.Format_ARGB32_Premultiplied
    return QImage(flat.data, width, height, 4 * width, form).copy()
