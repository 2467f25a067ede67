"""The rows from the side, as an inset on the fabric's canvas."""

from typing import Final

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from app.spoken import Part, Role, Told, tell, tell_current
from app.theme import UNIT, Theme, small
from core.fabric.side import SideRow, side_rows
from core.pipeline import Results
from core.stripes.loops import design_loops

_WIDTH: Final = 21 * UNIT
_STITCH_PX: Final = 30.0  # a stitch width: rows are drawn to one scale, and scrolled
_SLAB: Final = 0.46  # thickness of a row, in stitch widths
_LOOP: Final = 0.15
_FOOT_PX: Final = 5 * UNIT
_HEAD_PX: Final = 3.5 * UNIT


class SideView(QWidget):
    """Shows how rows hang on each other; drawn, not measured.

    Pointing at a row lights it on the fabric. Up and down go from row to row, the wheel scrolls.
    """

    row_hovered = Signal(int)  # -1: none

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._results: Results | None = None
        self._rows: tuple[SideRow, ...] = ()
        self._lit = -1
        self._scrolled = 0.0  # px that the foundation lies below its place
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setFixedWidth(_WIDTH)
        self.setFont(small(self.font()))
        self.setAccessibleName("Rows from the side")
        tell(
            self,
            Told(
                role=Role.List,
                count=lambda: len(self._rows),
                part=self._part,
                current=lambda: self._lit,
            ),
        )
        self.setToolTip(
            "Rows from the side, right side to the right. The fold is drawn, not measured: "
            "sizes follow from the gauge alone"
        )
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return room for some rows."""
        return QSize(_WIDTH, 40 * UNIT)

    def show_results(self, results: Results) -> None:
        """Show the rows of these results."""
        before = self._results
        self._results = results
        loops = design_loops(results.design)
        same = before is not None and before.fabric is results.fabric
        if before is None or not same or design_loops(before.design) != loops:
            self._rows = side_rows(results.fabric, loops)
        self._scroll_to(self._scrolled)
        self._describe()
        self.update()

    def light(self, row: int) -> None:
        """Mark a row, and show it."""
        if row != self._lit:
            self._lit = row if row < len(self._rows) else -1
            if self._lit >= 0 and self.isVisible() and not self.underMouse():
                self._bring_in(self._lit)
            self._describe()
            self.update()

    @property
    def lit(self) -> int:
        """The row that is marked, -1 if none is."""
        return self._lit

    def _describe(self) -> None:
        if self._results is None or not 0 <= self._lit < len(self._rows):
            text = f"{max(len(self._rows) - 1, 0)} rows. Up and down go from row to row"
        else:
            text = row_words(self._rows, self._lit)
        self.setAccessibleDescription(text)
        tell_current(self)

    def _part(self, row: int) -> Part:
        top, foot = (self._at(place) for place in (self._rows[row].top, self._rows[row].foot))
        place = QRect(0, round(top.y()), self.width(), max(round(foot.y() - top.y()), 1))
        return Part(row_words(self._rows, row), place, row == self._lit)

    # places

    def _at(self, place: tuple[float, float]) -> QPointF:
        middle = 0.5 * self.width()
        bottom = self.height() - _FOOT_PX + self._scrolled
        return QPointF(middle + _STITCH_PX * place[0], bottom - _STITCH_PX * place[1])

    def _scroll_to(self, px: float) -> None:
        most = _STITCH_PX * self._rows[-1].top[1] if self._rows else 0.0
        room = self.height() - _FOOT_PX - _HEAD_PX
        self._scrolled = min(max(px, 0.0), max(most - room, 0.0))

    def _bring_in(self, row: int) -> None:
        y = self._at(self._rows[row].top).y()
        low, high = self.height() - _FOOT_PX - 2 * UNIT, _HEAD_PX + 4 * UNIT
        if not high <= y <= low:
            self._scroll_to(self._scrolled + 0.5 * (low + high) - y)

    def row_at(self, point: QPointF) -> int:
        """Return the row under a point of the widget, -1 if there is none."""
        for side in self._rows[1:]:
            if self._at(side.top).y() <= point.y() < self._at(side.foot).y():
                return side.row
        return -1

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the rows that show."""
        del event
        tones = self._theme.tones
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            sheet = QColor(tones.sheet)
            painter.setBrush(sheet)
            painter.setPen(QPen(QColor(tones.accent if self.hasFocus() else tones.hairline), 1))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 6, 6)
            if self._results is None:
                return
            painter.save()
            inside = self.rect().adjusted(1, round(_HEAD_PX), -1, -2 * UNIT - 4)
            painter.setClipRect(inside)
            shown = [side for side in self._rows if self._shows(side)]
            for side in shown:
                self._paint_slab(painter, side)
            for side in shown:
                self._paint_tops(painter, side)
            painter.restore()
            self._paint_words(painter)

    def _shows(self, side: SideRow) -> bool:
        return self._at(side.top).y() < self.height() and self._at(side.foot).y() > 0

    def _colour(self, row: int) -> QColor:
        assert self._results is not None
        yarns = self._results.design.yarns
        return QColor(yarns[int(self._results.yarn_of_row[max(row - 1, 0)])].colour)

    def _paint_slab(self, painter: QPainter, side: SideRow) -> None:
        if side.row == 0:
            return
        colour, tones = self._colour(side.row), self._theme.tones
        foot, top = self._at(side.foot), self._at(side.top)
        for ink, width in ((QColor(tones.muted), _SLAB + 0.07), (colour, _SLAB)):
            pen = QPen(ink, width * _STITCH_PX)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            painter.setPen(pen)
            painter.drawLine(foot, top)
        if side.row == self._lit:
            painter.setPen(QPen(QColor(tones.sheet), 5))
            painter.drawLine(foot, top)
            painter.setPen(QPen(QColor(tones.accent), 2.5))
            painter.drawLine(foot, top)

    def _paint_tops(self, painter: QPainter, side: SideRow) -> None:
        """Paint a row's two loops end on; one left unworked juts out and is ringed."""
        tones, colour = self._theme.tones, self._colour(side.row)
        is_last = side.row == len(self._rows) - 1
        for place, worked, way in (
            (side.front, side.worked_front, 1.0),
            (side.back, side.worked_back, -1.0),
        ):
            free = not worked and not is_last
            at = self._at((place[0] + (0.14 * way if free else 0.0), place[1]))
            radius = _LOOP * _STITCH_PX * (1.15 if free else 1.0)
            painter.setBrush(colour)
            painter.setPen(QPen(QColor(tones.ink), 1.0))
            painter.drawEllipse(at, radius, radius)
            if free:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(QColor(tones.accent), 1.5))
                painter.drawEllipse(at, radius + 3.0, radius + 3.0)

    def _paint_words(self, painter: QPainter) -> None:
        tones = self._theme.tones
        measure = QFontMetricsF(self.font())
        left, right = Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignRight
        head = QRectF(UNIT, 0.5 * UNIT, self.width() - 2 * UNIT, measure.height() + 2)
        painter.setPen(QColor(tones.muted))
        painter.drawText(head, left, "wrong side")
        painter.drawText(head, right, "right side")
        foot = QRectF(head)
        foot.moveBottom(self.height() - 0.5 * UNIT)
        painter.drawText(foot, left, "drawn, not measured")
        for side in self._rows:
            if side.row and self._shows(side) and self._is_numbered(side.row):
                middle = (self._at(side.foot).y() + self._at(side.top).y()) / 2
                if _HEAD_PX < middle < self.height() - 3 * UNIT:
                    painter.setPen(QColor(tones.accent if side.row == self._lit else tones.muted))
                    box = QRectF(UNIT, middle - measure.height() / 2, 5 * UNIT, measure.height())
                    painter.drawText(box, left, str(side.row))

    def _is_numbered(self, row: int) -> bool:
        return row == self._lit or row % 2 == 1

    # hands

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Light the row under the cursor."""
        self._ask(self.row_at(event.position()))

    def leaveEvent(self, event: object) -> None:
        """Point at nothing."""
        del event
        self._ask(-1)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll."""
        self._scroll_to(self._scrolled + 0.5 * event.angleDelta().y())
        self.update()
        event.accept()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go from row to row."""
        last = len(self._rows) - 1
        steps = {
            Qt.Key.Key_Up: min(max(self._lit, 0) + 1, last),
            Qt.Key.Key_Down: max(self._lit - 1, min(1, last)),
            Qt.Key.Key_Home: min(1, last),
            Qt.Key.Key_End: last,
        }
        row = steps.get(Qt.Key(event.key()))
        if row is None:
            super().keyPressEvent(event)
            return
        self._ask(row)
        self._bring_in(row)

    def resizeEvent(self, event: object) -> None:
        """Keep to the rows there are."""
        del event
        self._scroll_to(self._scrolled)

    def _ask(self, row: int) -> None:
        if row != self._lit:
            self._lit = row
            self._describe()
            self.update()
            self.row_hovered.emit(row)


def row_words(rows: tuple[SideRow, ...], row: int) -> str:
    """Return what the side view shows of a row."""
    if row == 0:
        return "The foundation chain"
    below, side = rows[row - 1], rows[row]
    loops = "both loops"
    if below.worked_front != below.worked_back:
        face = "right" if below.worked_back else "wrong"
        loops = f"one loop, the other shows on the {face} side"
    middle = 0.5 * (side.foot[0] + side.top[0])
    stands = "level" if abs(middle) < 0.01 else ("stands out" if middle > 0 else "falls back")
    return f"Row {row}: worked into {loops}; {stands} on the right side"
