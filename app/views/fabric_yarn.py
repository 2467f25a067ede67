"""What the yarn's page marks on the fabric: a stopping place, ends, rows where a yarn runs out."""

from typing import Final

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen

from app.painting.chart import Placing
from app.theme import Tones
from app.views.fabric_relief import paint_row
from core.pipeline import Results
from core.records import Struct

_END_PX: Final = 14.0
_MOST_FLAGS: Final = 6


class YarnMarks(Struct, frozen=True):
    """What to mark.

    Attributes:
        row: A row to frame; 0 for none.
        ends: Whether to draw the ends at the edges.
        fails: Rows where a yarn runs out, with what to say of each.
        stops: Rows to tick at the right edge: good stopping places.
    """

    row: int = 0
    ends: bool = False
    fails: tuple[tuple[int, str], ...] = ()
    stops: tuple[int, ...] = ()

    def words(self) -> str:
        """Return the marks for those who can't see them."""
        return ". ".join(f"{words} at row {row}" for row, words in self.fails[:_MOST_FLAGS])


def paint_yarn_marks(
    painter: QPainter,
    marks: YarnMarks,
    results: Results,
    placing: Placing,
    canvas: QRectF,
    tones: Tones,
) -> None:
    """Paint the marks over the fabric."""
    fabric = results.fabric
    paint_row(painter, fabric, marks.row, placing, tones)
    _paint_stops(painter, marks.stops, results, placing, tones)
    if marks.ends:
        _paint_ends(painter, results, placing, tones)
    below = canvas.bottom()
    for row, words in sorted(marks.fails)[:_MOST_FLAGS]:
        if row <= fabric.n_rows:
            at = QPointF(*placing.points(fabric.row_tops_mm(row - 1)[0]).tolist())
            below = min(at.y(), below - painter.fontMetrics().height() - 4)
            _paint_flag(painter, at, below, f"{words}: row {row}", canvas, tones)


def _paint_stops(
    painter: QPainter, stops: tuple[int, ...], results: Results, placing: Placing, tones: Tones
) -> None:
    """Tick rows at the fabric's right edge."""
    lines = []
    for row in stops:
        if row <= results.fabric.n_rows:
            x, y = placing.points(results.fabric.row_tops_mm(row)[-1]).tolist()
            lines.append(QLineF(x + 2, y, x + 2 + 0.5 * _END_PX, y))
    painter.setPen(QPen(QColor(tones.accent), 2))
    painter.drawLines(lines)


def _paint_ends(painter: QPainter, results: Results, placing: Placing, tones: Tones) -> None:
    """Paint a stroke at every end, away from the fabric; one where it is cut hangs lower."""
    fabric, lines = results.fabric, []
    for end in results.yarn_ends.ends():
        if end.row > fabric.n_rows:
            continue
        tops = fabric.row_tops_mm(end.row)
        at = QPointF(*placing.points(tops[0 if end.at_left else -1]).tolist())
        way = -1 if end.at_left else 1
        drop = 2.0 if end.is_start else 6.0
        lines.append(QLineF(at.x(), at.y(), at.x() + way * _END_PX, at.y() + drop))
    for colour, width in ((tones.ground, 3.0), (tones.ink, 1.2)):
        painter.setPen(QPen(QColor(colour), width))
        painter.drawLines(lines)


def _paint_flag(
    painter: QPainter, at: QPointF, level: float, words: str, canvas: QRectF, tones: Tones
) -> None:
    """Paint a flag over the fabric at its left edge, clear of the flags below it."""
    metrics = QFontMetricsF(painter.font())
    width = metrics.horizontalAdvance(f"⚠ {words}") + 10
    x = min(max(at.x(), canvas.left() + 4), canvas.right() - width - 4)
    box = QRectF(
        x, max(level - 0.5 * metrics.height() - 2, canvas.top()), width, metrics.height() + 4
    )
    painter.setPen(QPen(QColor(tones.trouble), 2))
    painter.drawLine(QPointF(at.x() - _END_PX, at.y()), at)
    painter.setPen(QPen(QColor(tones.trouble), 1))
    painter.setBrush(QColor(tones.sheet))
    painter.drawRoundedRect(box, 4, 4)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, f"⚠ {words}")
