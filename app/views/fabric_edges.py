"""The fabric's two edges that can be pulled: the right one for repeats, the top one for rows."""

from functools import partial
from typing import Any, Final, Literal

from PySide6.QtCore import QPointF, QRectF, Qt

from core.design import edits
from core.design.document import Size
from core.fabric.measure import WaveMeasures
from core.records import Struct

_EDGE_PX: Final = 9

Edge = Literal["repeats", "rows"]
Wish = tuple[str, Any]  # what the step is called, and the edit

KEYS: Final[dict[int, tuple[Edge, int]]] = {
    Qt.Key.Key_Right: ("repeats", 1),
    Qt.Key.Key_Left: ("repeats", -1),
    Qt.Key.Key_Up: ("rows", 1),
    Qt.Key.Key_Down: ("rows", -1),
}
CURSORS: Final[dict[Edge, Qt.CursorShape]] = {
    "repeats": Qt.CursorShape.SizeHorCursor,
    "rows": Qt.CursorShape.SizeVerCursor,
}


class Pull(Struct):
    """An edge in hand.

    Attributes:
        edge: Which one.
        from_mm: Where it was taken hold of.
        size: Repeats or rows there were then.
        step_mm: How far one more of them lies.
    """

    edge: Edge
    from_mm: tuple[float, float]
    size: int
    step_mm: float

    def wish_at(self, place_mm: tuple[float, float]) -> Wish:
        """Return what is wished for when the hand has come to `place_mm`."""
        axis = 0 if self.edge == "repeats" else 1
        steps = round((place_mm[axis] - self.from_mm[axis]) / self.step_mm)
        return sized(self.edge, self.size + steps)


def edge_at(fabric_px: QRectF, point: QPointF) -> Edge | None:
    """Return the edge of the fabric that lies under a point of the widget."""
    beside = fabric_px.adjusted(-_EDGE_PX, -_EDGE_PX, _EDGE_PX, _EDGE_PX)
    if not beside.contains(point):
        return None
    if abs(point.x() - fabric_px.right()) <= _EDGE_PX:
        return "repeats"
    if abs(point.y() - fabric_px.top()) <= _EDGE_PX:
        return "rows"
    return None


def pulled(edge: Edge, place_mm: tuple[float, float], size: Size, wave: WaveMeasures) -> Pull:
    """Return the edge as it is taken hold of."""
    if edge == "repeats":
        return Pull(edge, place_mm, size.repeats, wave.repeat_width_mm)
    return Pull(edge, place_mm, size.rows, wave.rise_mm)


def stepped(size: Size, edge: Edge, by: int) -> Wish:
    """Return the wish for so many repeats or rows more."""
    return sized(edge, (size.repeats if edge == "repeats" else size.rows) + by)


def sized(edge: Edge, count: int) -> Wish:
    """Return the wish for `count` repeats or rows, one at least."""
    count = max(count, 1)
    if edge == "repeats":
        return "Change width", partial(edits.set_size, repeats=count)
    return "Change length", partial(edits.set_size, rows=count)
