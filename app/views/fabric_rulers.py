"""The dimension lines beside the fabric, and the edge that is about to be pulled."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from app.theme import Tones
from app.views.fabric_edges import Edge
from app.views.figures import counted, length_text
from core.pipeline import Results


def paint_dimensions(
    painter: QPainter,
    results: Results,
    fabric_px: QRectF,
    outer_px: QRectF,
    canvas: QSize,
    tones: Tones,
    near: Edge | None,
) -> None:
    """Paint the lines that say how wide and how long the fabric is; `near` is stressed.

    They lie outside `outer_px`, which holds fill rows and border too.
    """
    size, units, rect = results.size, results.design.units, fabric_px
    width_y = min(outer_px.bottom() + 18, canvas.height() - 14.0)
    across = (QPointF(rect.left(), width_y), QPointF(rect.right(), width_y))
    text = length_text(size.width_mm, units) + (" after washing" if size.is_washed else "")
    if near == "repeats":
        text += f", {counted(results.design.size.repeats, 'repeat')} between the edges"
    paint_dimension(painter, *across, text, canvas, tones, strong=near == "repeats")
    length_x = max(outer_px.left() - 18, 14.0)
    along = (QPointF(length_x, rect.bottom()), QPointF(length_x, rect.top()))
    text = length_text(size.length_mm, units)
    if near == "rows":
        text += f", {counted(results.design.size.rows, 'row')}"
    paint_dimension(painter, *along, text, canvas, tones, strong=near == "rows")
    if near is not None:
        _paint_edge(painter, rect, near, tones)


def _paint_edge(painter: QPainter, rect: QRectF, near: Edge, tones: Tones) -> None:
    painter.setPen(QPen(QColor(tones.accent), 3))
    if near == "repeats":
        painter.drawLine(rect.topRight() + QPointF(4, 0), rect.bottomRight() + QPointF(4, 0))
    else:
        painter.drawLine(rect.topLeft() - QPointF(0, 4), rect.topRight() - QPointF(0, 4))


def paint_dimension(
    painter: QPainter,
    start: QPointF,
    end: QPointF,
    text: str,
    canvas: QSize,
    tones: Tones,
    *,
    strong: bool,
) -> None:
    """Paint one dimension line with its text in the middle, level or upright."""
    painter.save()
    painter.setPen(QPen(QColor(tones.accent if strong else tones.muted), 1))
    upright = start.x() == end.x()
    painter.drawLine(start, end)
    tick = QPointF(4, 0) if upright else QPointF(0, 4)
    for point in (start, end):
        painter.drawLine(point - tick, point + tick)
    middle = (start + end) * 0.5
    middle.setX(min(max(middle.x(), 12.0), canvas.width() - 12.0))
    middle.setY(min(max(middle.y(), 40.0), canvas.height() - 12.0))
    painter.translate(middle)
    if upright:
        painter.rotate(-90)
    box = painter.fontMetrics().boundingRect(text).adjusted(-6, -1, 6, 1)
    box.moveCenter(QRectF(0, 0, 0, 0).center().toPoint())
    painter.fillRect(box, QColor(tones.ground))
    painter.setPen(QColor(tones.accent if strong else tones.ink))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    painter.restore()
