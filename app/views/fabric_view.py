"""The whole blanket to scale, in its colours and its own light.

The right edge can be dragged to add repeats and the top edge to add rows (Shift and the
arrows do the same); dimension lines say what comes of it.
"""

from typing import Final

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from app.painting.chart import Placing, fitted
from app.painting.edging import EdgingOverlay
from app.painting.fabric import Manner
from app.spoken import Role, Told, tell
from app.theme import UNIT, Theme, small
from app.views.fabric_colour_view import FabricColourView
from app.views.fabric_drift import drift_words, paint_drifts, tendency_words
from app.views.fabric_edges import CURSORS, KEYS, Edge, Pull, edge_at, pulled, stepped
from app.views.fabric_far import FarPicture
from app.views.fabric_figures import ON_FABRIC, paint_figure
from app.views.fabric_lean import LEAN_PX, columns_at, lean_words, paint_lean, repeat_words
from app.views.fabric_legend import LEGEND_PX, NO_SHAPE, paint_legend, paint_unknown, span_words
from app.views.fabric_picture import FabricPicture
from app.views.fabric_relief import FabricRelief, loop_margins, paint_row
from app.views.fabric_rulers import paint_dimensions
from app.views.fabric_strain import StrainOverlay, has_shape
from app.views.fabric_switches import FabricSwitches
from app.views.fabric_yarn import YarnMarks, paint_yarn_marks
from app.views.figures import counted, length_text
from app.views.moving_hand import MovingHand
from app.views.reason_plate import paint_reason, paint_veil
from app.views.stitch_canvas import StitchCanvas
from core.fabric.columns import Columns
from core.fabric.find import finder_of
from core.fabric.flatness import Drift, drifts
from core.fabric.sheet import Fabric
from core.palette.sight import Sight
from core.pipeline import Results
from core.records import replace

_GREY: Final = Sight("grey")
_MARGIN_PX: Final = 46.0


class FabricView(StitchCanvas):
    """Shows the fabric of a design, and lets its size be pulled."""

    wish = Signal(str, object, object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._results: Results | None = None
        self._good: Results | None = None  # the last ones whose rows all fitted
        self._bounds_mm = (0.0, 0.0, 1.0, 1.0)
        self._drifts: tuple[Drift, ...] = ()
        self._pull: Pull | None = None
        self._edging = EdgingOverlay()
        self._near: Edge | None = None
        self._lit = (-1, -1)  # of which overlays speak
        self._yarn_marks = YarnMarks()
        self._figure = ""  # of the sentence, which is pointed at
        self.setAccessibleName("Fabric")
        tell(self, Told(role=Role.Canvas, value=self.selection_words))
        self._hand = MovingHand(self)
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
        before, was_shown = self._results, self._shown
        self._results = results
        if results.rows.misfit is None:
            self._good = results
        shown = self._shown or results
        if was_shown is None or was_shown.fabric is not shown.fabric:
            self._bounds_mm = shown.fabric.bounds_mm()
        if before is None or before.fabric is not results.fabric:
            self._drifts = drifts(results.rows, results.fabric.size)
        self.selecting.show_results(results)
        self.relief.show_results(results)
        self.colours.set_units(results.design.units)
        self._describe(results)
        if self._hand.holds:  # the event loop comes round between the views
            self.update_soon()
        else:
            self.update()

    @property
    def _shown(self) -> Results | None:
        """What is painted: these results, or while rows don't fit the last ones that did."""
        results = self._results
        if results is not None and results.rows.misfit is not None and self._good is not None:
            return self._good
        return results

    @property
    def is_stale(self) -> bool:
        """Whether the blanket shown is the one from before its rows stopped fitting."""
        return self._shown is not self._results

    def look_anew(self) -> None:
        """Forget what was shown: another design is open."""
        self.forget_last()
        super().look_anew()

    def forget_last(self) -> None:
        """Forget the blanket shown before: it is not an earlier state of this one."""
        results = self._results
        self._good = results if results is not None and results.rows.misfit is None else None
        if results is not None:
            self._bounds_mm = results.fabric.bounds_mm()
            self._describe(results)
        self.update()

    def _describe(self, results: Results) -> None:
        if results.rows.misfit is not None:
            self.setAccessibleDescription(self.reason(results))
            return
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
        self.describe(text)

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

    def shown(self) -> tuple[Results, Fabric] | None:
        """Return the results and their fabric; nothing while the fabric shown isn't theirs."""
        if self._results is None or self.is_stale:
            return None
        return self._results, self._results.fabric

    def lit_changed(self) -> None:
        """Let side view and lean follow the stitch."""
        lit = self.selecting.pointed or self.selecting.chosen
        place = lit.head if lit is not None else (-1, -1)
        if place != self._lit:
            self._lit = place
            self.relief.side.light(place[0])
            if self.switches.lean.isChecked():
                self.update()

    def show_figure(self, key: str) -> None:
        """Draw where a figure of the sentence is measured; an empty one draws none."""
        key = key if key in ON_FABRIC else ""
        if key != self._figure:
            self._figure = key
            self.touch()

    def paint_over(self, painter: QPainter) -> None:
        """Draw the figure that is pointed at."""
        results = self._results
        if not self._figure or results is None or results.rows.misfit is not None:
            return
        painter.setFont(small(self.font()))
        rect, tones = self._fabric_px(), self._theme.tones
        placing = self.drawn_placing
        paint_figure(painter, self._figure, results, placing, rect, self.size(), tones)

    def mark_yarn(self, marks: YarnMarks) -> None:
        """Mark a stopping place, ends, and where yarns run out."""
        if marks != self._yarn_marks:
            self._yarn_marks = marks
            if self._results is not None:
                self._describe(self._results)
            self.update()

    @property
    def manner(self) -> Manner:
        """How the fabric is looked at."""
        return Manner(self.switches.ridges.isChecked(), self.colours.sight, self.relief.light)

    def content_mm(self) -> tuple[float, float, float, float]:
        """Return the fabric's bounds."""
        if self._shown is None:
            return (0.0, 0.0, 1.0, 1.0)
        return self._edging.shapes(self._shown).extent_mm

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
        assert self._shown is not None
        left, bottom, right, top = self._bounds_mm
        half = 0.5 * self._shown.fabric.size.width_mm
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

    def paint_scene(self, painter: QPainter) -> None:
        """Paint the fabric, finer as soon as there is time for it."""
        painter.fillRect(self.rect(), QColor(self._theme.tones.ground))
        if self._results is not None:
            self._paint_all(painter, self._results)

    def _paint_all(self, painter: QPainter, results: Results) -> None:
        tones, placing, fabric_px = self._theme.tones, self.drawn_placing, self._fabric_px()
        canvas = QRectF(self.rect())
        if results.rows.misfit is not None:
            self._paint_broken(painter, results, fabric_px)
            return
        self._paint_picture(painter, results, fabric_px)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(small(self.font()))
        if self.switches.strain.isChecked():
            self._strain.paint(painter, results, placing, fabric_px, canvas, tones)
        near = self._pull.edge if self._pull else self._near
        outer_px = self._placed(self.content_mm())
        paint_dimensions(painter, results, fabric_px, outer_px, self.size(), tones, near)
        paint_drifts(painter, self._drifts, results.fabric, placing, fabric_px, canvas, tones)
        paint_row(painter, results.fabric, self.relief.row, placing, tones)
        painter.setFont(small(self.font()))
        beside = canvas.adjusted(0, 0, -self.relief.taken_px(), 0)
        paint_yarn_marks(painter, self._yarn_marks, results, placing, beside, tones)
        self._paint_foot(painter, results, beside)

    def _paint_picture(
        self, painter: QPainter, results: Results, fabric_px: QRectF, *, sight: Sight | None = None
    ) -> None:
        """Paint the fabric with what is worked round it, from as far as it is looked at."""
        canvas, placing, sight = QRectF(self.rect()), self.placing, sight or self.colours.sight
        manner = replace(self.manner, sight=sight)
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
        return columns_at(results, *finder_of(results.fabric).at(middle))

    def _paint_broken(self, painter: QPainter, results: Results, fabric_px: QRectF) -> None:
        """Paint the last blanket that could be worked, in grey, and why there is no newer one."""
        tones, canvas = self._theme.tones, QRectF(self.rect())
        shown = self._shown or results
        if shown is results:
            self._paint_picture(painter, results, fabric_px)
        else:
            self._paint_picture(painter, shown, fabric_px, sight=_GREY)
            paint_veil(painter, canvas, tones)
        painter.setFont(self.font())
        room = canvas.adjusted(0, 0, -self.relief.taken_px(), -self._foot_px())
        paint_reason(painter, self.reason(results), room, tones)

    def reason(self, results: Results) -> str:
        """Return why the blanket can't be shown as it is now, and the way out."""
        rows = f"{results.rows.drawn_rows} of {counted(results.design.size.rows, 'row')}"
        text = f"Only {rows} can be worked as it stands. {tendency_words(results.design.wave)}"
        if self.is_stale:
            text += "In grey: the blanket as it last fitted. "
        return text + "Checks says where it stops fitting."

    # hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of an edge, or pan."""
        results = self._results
        edge = edge_at(self._fabric_px(), event.position()) if results is not None else None
        left = event.button() == Qt.MouseButton.LeftButton
        free = left and not self.is_measuring
        if results is None or edge is None or not free or results.wave is None:
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
            if near and not self.is_measuring:
                self.setCursor(CURSORS[near])
            else:
                self._show_hand()

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
        super().leaveEvent(event)
        if self._near is not None:
            self._near = None
            self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Change the size with Shift and the arrows while nothing is selected."""
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        sizes = shift and event.key() in KEYS and self.selecting.chosen is None
        if self._results is None or not sizes:
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
