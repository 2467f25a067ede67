"""The whole blanket to scale, in its colours and its own light.

The right edge can be dragged to add repeats and the top edge to add rows (Shift and the
arrows do the same); dimension lines say what comes of it.
"""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from app.painting.chart import Placing, fitted
from app.painting.fabric import Manner
from app.theme import UNIT, Theme, small
from app.views.canvas import Canvas
from app.views.chart_view import nearest_stitch
from app.views.fabric_edges import CURSORS, KEYS, Edge, Pull, edge_at, pulled, stepped
from app.views.fabric_picture import FabricPicture
from app.views.fabric_relief import FabricRelief, loop_margins, paint_row
from app.views.fabric_rulers import paint_dimensions
from app.views.fabric_strain import StrainOverlay
from app.views.fabric_switches import FabricSwitches
from app.views.figures import counted, length_text
from core.pipeline import Results

_MARGIN_PX: Final = 46.0


class FabricView(Canvas):
    """Shows the fabric of a design, and lets its size be pulled."""

    wish = Signal(str, object, object)
    stitch_hovered = Signal(int, int)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._results: Results | None = None
        self._bounds_mm = (0.0, 0.0, 1.0, 1.0)
        self._pull: Pull | None = None
        self._near: Edge | None = None
        self._lit = (-1, -1)
        self.setAccessibleName("Fabric")
        self._picture = FabricPicture(self)
        self._picture.changed.connect(self.update)
        self._strain = StrainOverlay()
        self.switches = FabricSwitches(self)
        self.relief = FabricRelief(self, theme)
        self.relief.changed.connect(self.update)
        self.switches.side.toggled.connect(self.relief.show_side)
        self.switches.changed.connect(self.renew)
        theme.changed.connect(self.renew)

    def sizeHint(self) -> QSize:
        """Return room for a blanket."""
        return QSize(520, 460)

    def close_worker(self) -> None:
        """Stop the thread that paints."""
        self._picture.close()

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show the fabric of these results."""
        if self._results is None or self._results.fabric is not results.fabric:
            self._bounds_mm = results.fabric.bounds_mm()
        self._results = results
        self.relief.show_results(results)
        size, units = results.size, results.design.units
        self.setAccessibleDescription(
            f"Blanket {length_text(size.width_mm, units)} wide and "
            f"{length_text(size.length_mm, units)} long, "
            f"{counted(len(results.design.yarns), 'colour')}"
        )
        self.update()

    def renew(self) -> None:
        """Paint everything anew."""
        self._picture.forget()
        self.update()

    def light(self, row: int, stitch: int) -> None:
        """Mark a stitch."""
        if (row, stitch) != self._lit:
            self._lit = (row, stitch)
            self.relief.side.light(row)
            self.update()

    def content_mm(self) -> tuple[float, float, float, float]:
        """Return the fabric's bounds."""
        if self._results is None:
            return (0.0, 0.0, 1.0, 1.0)
        return self._fabric_mm()

    def fitting(self, margin_px: float = _MARGIN_PX) -> Placing:
        """Return the placing that shows everything, dimension lines included."""
        inner = QRectF(self.rect()).adjusted(margin_px, margin_px, -margin_px, -margin_px)
        inner.setRight(inner.right() - self.relief.taken_px())
        if inner.width() < 1 or inner.height() < 1:
            inner = QRectF(0, 0, 1, 1)
        return fitted(self.content_mm(), inner)

    def _fabric_mm(self) -> tuple[float, float, float, float]:
        assert self._results is not None
        left, bottom, right, top = self._bounds_mm
        half = 0.5 * self._results.fabric.size.width_mm
        return left - half, bottom, right + half, top

    def _fabric_px(self) -> QRectF:
        left, bottom, right, top = self._fabric_mm()
        now = self.placing
        return QRectF(
            now.x + now.scale * left,
            now.y - now.scale * top,
            now.scale * (right - left),
            now.scale * (top - bottom),
        )

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the fabric, finer as soon as there is time for it."""
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(self._theme.tones.ground))
            if self._results is None:
                return
            self._paint_all(painter, self._results)
            self.paint_focus(painter, self._theme.tones.accent)

    def _paint_all(self, painter: QPainter, results: Results) -> None:
        tones, placing, fabric_px = self._theme.tones, self.placing, self._fabric_px()
        seen = fabric_px.marginsAdded(loop_margins(results, placing))
        seen = seen.intersected(QRectF(self.rect()))
        if not seen.isEmpty():
            ridges, grey = self.switches.ridges.isChecked(), self.switches.grey.isChecked()
            manner = Manner(ridges, grey, self.relief.light)
            self._picture.paint(painter, results, placing, seen.toAlignedRect(), manner)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(small(self.font()))
        if self.switches.strain.isChecked():
            self._strain.paint(painter, results, placing, fabric_px, self.size(), tones)
        if results.rows.misfit is None:
            near = self._pull.edge if self._pull else self._near
            paint_dimensions(painter, results, fabric_px, self.size(), tones, near)
        else:
            self._say_misfit(painter, results)
        self._paint_lit(painter, results)
        paint_row(painter, results.fabric, self.relief.row, placing, tones)

    def _say_misfit(self, painter: QPainter, results: Results) -> None:
        painter.setFont(self.font())
        painter.setPen(QColor(self._theme.tones.trouble))
        rows = counted(results.rows.drawn_rows, "row")
        text = f"Only {rows} can be worked as it stands. Checks says where it stops fitting."
        box = self.rect().adjusted(2 * UNIT, 0, -2 * UNIT, -2 * UNIT)
        where = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom
        painter.drawText(box, where | Qt.TextFlag.TextWordWrap, text)

    def _paint_lit(self, painter: QPainter, results: Results) -> None:
        row, stitch = self._lit
        if not 0 <= row <= results.fabric.n_rows:
            return
        tops = results.fabric.row_tops_mm(row)
        if 0 <= stitch < len(tops):
            radius = max(0.7 * results.fabric.size.width_mm * self.placing.scale, 6.0)
            at = QPointF(*self.placing.points(tops[stitch]).tolist())
            for colour, width in ((self._theme.tones.sheet, 4.0), (self._theme.tones.accent, 2.0)):
                painter.setPen(QPen(QColor(colour), width))
                painter.drawEllipse(at, radius, radius)

    # hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of an edge, or pan."""
        results = self._results
        edge = edge_at(self._fabric_px(), event.position()) if results is not None else None
        left = event.button() == Qt.MouseButton.LeftButton
        if results is None or edge is None or not left or results.wave is None:
            super().mousePressEvent(event)
            return
        self._placing, self._own_view = self.placing, True  # the scale stays put meanwhile
        place = self.to_mm(event.position())
        self._pull = pulled(edge, place, results.design.size, results.wave)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pull the edge in hand, or say what lies under the cursor."""
        if self._pull is not None:
            self.wish.emit(*self._pull.wish_at(self.to_mm(event.position())), self._pull)
            return
        super().mouseMoveEvent(event)
        if self._panning_from is None and self._results is not None:
            near = edge_at(self._fabric_px(), event.position())
            if near != self._near:
                self._near = near
                self.update()
            self.setCursor(CURSORS[near] if near else Qt.CursorShape.OpenHandCursor)
            place = self.to_mm(event.position())
            self.stitch_hovered.emit(*nearest_stitch(self._results.fabric, place))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go; show the whole blanket again if its edge was pulled."""
        if self._pull is not None:
            self._pull = None
            self._own_view = False
            self.update()
            self.placing_changed.emit()
        super().mouseReleaseEvent(event)

    def leaveEvent(self, event: object) -> None:
        """Point at nothing."""
        del event
        self._near = None
        self.stitch_hovered.emit(-1, -1)
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Change the size with Shift and the arrows; zoom and pan otherwise."""
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if self._results is None or not shift or event.key() not in KEYS:
            super().keyPressEvent(event)
            return
        edge, by = KEYS[event.key()]
        self.wish.emit(*stepped(self._results.design.size, edge, by), None)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the switches in their corner."""
        super().resizeEvent(event)
        self.switches.place(self.width())
        self.relief.place(self.size())
