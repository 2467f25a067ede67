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
from app.painting.edging import EdgingOverlay
from app.painting.fabric import Manner
from app.theme import UNIT, Theme, small
from app.views.canvas import Canvas
from app.views.chart_view import nearest_stitch
from app.views.fabric_colour_view import FabricColourView
from app.views.fabric_drift import drift_words, paint_drifts, tendency_words
from app.views.fabric_edges import CURSORS, KEYS, Edge, Pull, edge_at, pulled, stepped
from app.views.fabric_far import FarPicture
from app.views.fabric_lean import LEAN_PX, columns_at, lean_words, paint_lean, repeat_words
from app.views.fabric_legend import LEGEND_PX, NO_SHAPE, paint_legend, paint_unknown, span_words
from app.views.fabric_picture import FabricPicture
from app.views.fabric_relief import FabricRelief, loop_margins, paint_row
from app.views.fabric_rulers import paint_dimensions
from app.views.fabric_strain import StrainOverlay, has_shape
from app.views.fabric_switches import FabricSwitches
from app.views.fabric_yarn import YarnMarks, paint_yarn_marks
from app.views.figures import counted, length_text
from core.fabric.columns import Columns
from core.fabric.flatness import Drift, drifts
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
        self._drifts: tuple[Drift, ...] = ()
        self._pull: Pull | None = None
        self._edging = EdgingOverlay()
        self._near: Edge | None = None
        self._lit = (-1, -1)
        self._yarn_marks = YarnMarks()
        self.setAccessibleName("Fabric")
        self._picture = FabricPicture(self)
        self._picture.changed.connect(self.update)
        self._strain = StrainOverlay(self)
        self._strain.changed.connect(self._on_strain)
        self.switches = FabricSwitches(self)
        self.relief = FabricRelief(self, theme)
        self.relief.changed.connect(self.update)
        self.colours = FabricColourView(self, theme, self.switches)
        self.colours.changed.connect(self.renew)
        self._far = FarPicture(self)
        self._far.changed.connect(self.update)
        self.switches.side.toggled.connect(self.relief.show_side)
        self.switches.changed.connect(self.renew)
        theme.changed.connect(self.renew)

    def sizeHint(self) -> QSize:
        """Return room for a blanket."""
        return QSize(520, 460)

    def begin_plainly(self) -> None:
        """Paint only outlines at first: a window that opens has to be there at once."""
        self._picture.begin_plainly()

    def close_worker(self) -> None:
        """Stop the threads that paint."""
        self._picture.close()
        self._strain.close()
        self._far.close()

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show the fabric of these results."""
        if self._results is None or self._results.fabric is not results.fabric:
            self._bounds_mm = results.fabric.bounds_mm()
            self._drifts = drifts(results.rows, results.fabric.size)
        self._results = results
        self.relief.show_results(results)
        self.colours.set_units(results.design.units)
        self._describe(results)
        self.update()

    def _describe(self, results: Results) -> None:
        size, units = results.size, results.design.units
        text = (
            f"Blanket {length_text(size.width_mm, units)} wide and "
            f"{length_text(size.length_mm, units)} long, "
            f"{counted(len(results.design.yarns), 'colour')}"
        )
        if self.colours.name:
            text += f". Seen: {self.colours.name}"
        for drift in self._drifts:
            text += f". Rows {drift.first} to {drift.last}: {drift_words(drift)}"
        if self._foot_px() and not has_shape(results):
            text += f". {NO_SHAPE}"
        elif self.switches.strain.isChecked():
            text += f". {span_words(self._strain.span_of(results))}"
        if self.switches.lean.isChecked() and (columns := columns_at(results, -1, -1)):
            text += f". {repeat_words(columns, units)}"
        if marked := self._yarn_marks.words():
            text += f". {marked}"
        self.setAccessibleDescription(text)

    def stitch_words(self, row: int, stitch: int) -> str:
        """Return what the overlays switched on say of a stitch; nothing if none does."""
        results, words = self._results, []
        if results is None or row < 0:
            return ""
        if self.switches.lean.isChecked() and (columns := columns_at(results, row, stitch)):
            words.append(lean_words(columns, stitch))
        if self.switches.strain.isChecked():
            words.append(self._strain.words(results, row, stitch))
        return ", ".join(word for word in words if word)

    def renew(self) -> None:
        """Paint everything anew."""
        self._picture.forget()
        if self._results is not None:
            self._describe(self._results)
        self.update()

    def _on_strain(self) -> None:
        if self._results is not None:
            self._describe(self._results)
        self.update()

    def light(self, row: int, stitch: int) -> None:
        """Mark a stitch."""
        if (row, stitch) != self._lit:
            self._lit = (row, stitch)
            self.relief.side.light(row)
            self.update()

    def mark_yarn(self, marks: YarnMarks) -> None:
        """Mark a stopping place, ends, and where yarns run out."""
        if marks != self._yarn_marks:
            self._yarn_marks = marks
            if self._results is not None:
                self._describe(self._results)
            self.update()

    def content_mm(self) -> tuple[float, float, float, float]:
        """Return the fabric's bounds."""
        if self._results is None:
            return (0.0, 0.0, 1.0, 1.0)
        return self._edging.shapes(self._results).extent_mm

    def fitting(self, margin_px: float = _MARGIN_PX) -> Placing:
        """Return the placing that shows everything, with what stands beside and below it."""
        inner = QRectF(self.rect()).adjusted(margin_px, margin_px, -margin_px, -margin_px)
        inner.setBottom(inner.bottom() - self._foot_px())
        inner.setRight(inner.right() - self.relief.taken_px())
        inner.setTop(max(inner.top(), self.colours.taken_px()))
        if inner.width() < 1 or inner.height() < 1:
            inner = QRectF(0, 0, 1, 1)
        return fitted(self.content_mm(), inner)

    def _foot_px(self) -> int:
        """Return the height that legend and lean take at the foot of the canvas."""
        legend = LEGEND_PX if self.switches.strain.isChecked() else 0
        return legend + (LEAN_PX if self.switches.lean.isChecked() else 0)

    def _fabric_mm(self) -> tuple[float, float, float, float]:
        assert self._results is not None
        left, bottom, right, top = self._bounds_mm
        half = 0.5 * self._results.fabric.size.width_mm
        return left - half, bottom, right + half, top

    def _fabric_px(self) -> QRectF:
        return self._placed(self._fabric_mm())

    def _placed(self, bounds_mm: tuple[float, float, float, float]) -> QRectF:
        left, bottom, right, top = bounds_mm
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
        canvas = QRectF(self.rect())
        self._paint_picture(painter, results, fabric_px)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(small(self.font()))
        if self.switches.strain.isChecked():
            self._strain.paint(painter, results, placing, fabric_px, canvas, tones)
        if results.rows.misfit is None:
            near = self._pull.edge if self._pull else self._near
            outer_px = self._placed(self.content_mm())
            paint_dimensions(painter, results, fabric_px, outer_px, self.size(), tones, near)
            paint_drifts(painter, self._drifts, results.fabric, placing, fabric_px, canvas, tones)
        else:
            self._say_misfit(painter, results)
        self._paint_lit(painter, results)
        paint_row(painter, results.fabric, self.relief.row, placing, tones)
        painter.setFont(small(self.font()))
        beside = canvas.adjusted(0, 0, -self.relief.taken_px(), 0)
        paint_yarn_marks(painter, self._yarn_marks, results, placing, beside, tones)
        self._paint_foot(painter, results, beside)

    def _paint_picture(self, painter: QPainter, results: Results, fabric_px: QRectF) -> None:
        """Paint the fabric with what is worked round it, from as far as it is looked at."""
        canvas, placing, sight = QRectF(self.rect()), self.placing, self.colours.sight
        manner = Manner(self.switches.ridges.isChecked(), sight, self.relief.light)
        seen = fabric_px.marginsAdded(loop_margins(results, placing)).intersected(canvas)
        area = seen.toAlignedRect()

        def scene(inner: QPainter) -> None:
            if not seen.isEmpty():
                self._picture.paint(inner, results, placing, area, manner)
            inner.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._edging.paint(inner, results, placing, canvas, sight=sight)

        blur = self.colours.blur_px(results.size.width_mm, placing.scale)
        if blur is None:
            scene(painter)
            return
        fine = painter.device().devicePixelRatioF()
        picture = seen.isEmpty() or self._picture.picture(results, placing, area, manner, fine)
        key = picture, self._edging.shapes(results), placing, sight
        ground = self._theme.tones.ground
        self._far.paint(
            painter, self.size(), ground, key, scene, light_px=blur[0], colour_px=blur[1]
        )

    def _paint_foot(self, painter: QPainter, results: Results, canvas: QRectF) -> None:
        """Paint the repeat's lean and the legend at the foot of the canvas."""
        tones, room, height = self._theme.tones, QRectF(canvas), self._foot_px()
        painter.setFont(small(self.font()))
        if not has_shape(results):
            if height:
                paint_unknown(painter, room, height, tones)
            return
        if self.switches.strain.isChecked():
            span = self._strain.span_of(results)
            paint_legend(painter, canvas, self._strain.signs, span, tones)
            room.setBottom(room.bottom() - LEGEND_PX)
        if self.switches.lean.isChecked() and (columns := self._columns(results)):
            paint_lean(painter, columns, self.placing, room, results.design.units, tones)

    def _columns(self, results: Results) -> Columns | None:
        """Return the repeat pointed at, or else the one in the middle of what is seen."""
        if self._lit[0] > 0:
            return columns_at(results, *self._lit)
        middle = self.to_mm(QRectF(self.rect()).center())
        return columns_at(results, *nearest_stitch(results.fabric, middle))

    def _say_misfit(self, painter: QPainter, results: Results) -> None:
        painter.setFont(self.font())
        painter.setPen(QColor(self._theme.tones.trouble))
        rows = counted(results.rows.drawn_rows, "row")
        text = (
            f"Only {rows} can be worked as it stands. {tendency_words(results.design.wave)}"
            "Checks says where it stops fitting."
        )
        box = self.rect().adjusted(2 * UNIT, 0, -2 * UNIT, -2 * UNIT - self._foot_px())
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
        self.relief.place(self.size(), max(self.switches.geometry().bottom(), 5 * UNIT))
        self.colours.place(self.size())
