"""A ruler laid on chart or fabric: from one place to another, by two clicks or one drag."""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.painting.chart import Placing
from app.theme import Tones
from app.views.figures import counted, length
from core.design.document import Units
from core.fabric.distance import Distance
from core.records import Struct

Place = tuple[float, float]
HOW: Final = "Measure: click two places, or drag from one to the other. Escape ends it"
_TICK_PX: Final = 6.0


class Ruler(Struct):
    """The two places; what is between them is drawn as long as it is laid.

    Attributes:
        start: The first place, in mm of the view.
        end: The second one, which follows the hand until it is set.
        is_set: Whether both are.
        distance: What lies between them.
    """

    start: Place
    end: Place
    is_set: bool = False
    distance: Distance | None = None


def distance_text(found: Distance, units: Units, *, washed: bool = False) -> str:
    """Return a distance in words: 12.4 cm (12.0 across, 3.1 up), 18 stitches by 3 rows."""
    stitches = counted(found.stitches, "stitch", "stitches")
    text = f"{length(found.length_mm, units)}, {stitches} by {counted(found.rows, 'row')}"
    return f"{text}, after washing" if washed else text


def paint_ruler(
    painter: QPainter, ruler: Ruler, placing: Placing, text: str, canvas: QRectF, tones: Tones
) -> None:
    """Paint the ruler with what it says in the middle."""
    start, end = (
        QPointF(placing.x + placing.scale * x, placing.y - placing.scale * y)
        for x, y in (ruler.start, ruler.end)
    )
    way = end - start
    long = max((way.x() ** 2 + way.y() ** 2) ** 0.5, 1e-6)
    side = QPointF(-way.y(), way.x()) * (_TICK_PX / long)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for colour, width in ((tones.sheet, 5.0), (tones.ink, 2.0)):
        painter.setPen(QPen(QColor(colour), width))
        painter.drawLine(start, end)
        for point in (start, end):
            painter.drawLine(point - side, point + side)
    if not text:
        return
    box = QRectF(painter.fontMetrics().boundingRect(text)).adjusted(-8, -3, 8, 3)
    box.moveCenter((start + end) * 0.5 - QPointF(0, box.height()))
    room = canvas.adjusted(4, 4, -4, -4)
    box.moveLeft(min(max(box.left(), room.left()), max(room.right() - box.width(), room.left())))
    box.moveTop(min(max(box.top(), room.top()), max(room.bottom() - box.height(), room.top())))
    painter.setPen(QPen(QColor(tones.hairline), 1))
    painter.setBrush(QColor(tones.field))
    painter.drawRoundedRect(box, 4, 4)
    painter.setPen(QColor(tones.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    painter.setBrush(Qt.BrushStyle.NoBrush)
