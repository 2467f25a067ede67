"""The whole blanket to scale, in its colours and its own light.

The right edge can be dragged to add repeats and the top edge to add rows (Shift and the
arrows do the same); dimension lines say what comes of it.
"""

from dataclasses import dataclass
from functools import partial
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QWidget

from app.computing import LatestWins, ShouldStop
from app.painting.chart import Placing
from app.painting.edging import EdgingOverlay
from app.painting.fabric import fabric_image
from app.painting.strokes import draw_lines
from app.theme import UNIT, Theme, small
from app.views.canvas import Canvas
from app.views.chart_view import nearest_stitch
from app.views.figures import counted, length_text
from core.design import edits
from core.fabric.relief import View
from core.fabric.sheet import Fabric
from core.fabric.strain import PostStrain, post_strain
from core.pipeline import Results

_EDGE_PX: Final = 9
_STRAINS: Final = (0.01, 0.03, 0.06, 0.12)  # from each of these a post is drawn thicker
_DRAFT_PIXELS: Final = 350_000  # more than that is first shown at half the fineness
_MARGIN_PX: Final = 46.0

Edge = Literal["repeats", "rows"]


@dataclass(frozen=True, slots=True, eq=False)
class _Job:
    """A picture to be made: what of, and how."""

    results: Results
    view: View
    ridges: bool
    grey: bool
    smooth: int


@dataclass(slots=True)
class _Pull:
    """An edge in hand."""

    edge: Edge
    from_mm: tuple[float, float]
    size: int
    step_mm: float


class FabricView(Canvas):
    """Shows the fabric of a design, and lets its size be pulled."""

    wish = Signal(str, object, object)
    stitch_hovered = Signal(int, int)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._results: Results | None = None
        self._bounds_mm = (0.0, 0.0, 1.0, 1.0)
        self._image: QImage | None = None
        self._image_job: _Job | None = None
        self._asked: _Job | None = None
        self._edging = EdgingOverlay()
        self._strain_of: tuple[Fabric, PostStrain] | None = None
        self._pull: _Pull | None = None
        self._near: Edge | None = None
        self._lit = (-1, -1)
        self._painter = LatestWins(_paint_job, self)
        self._painter.finished.connect(self._on_painted)
        self.setAccessibleName("Fabric")
        self._ridges = self._switch("Ridges", "Show loops and ridges", on=True)
        self._grey = self._switch("Grey", "Show colours as greys: how light they are", on=False)
        self._strain = self._switch("Strain", "Show posts stretched or pushed together", on=False)
        self._switches = QWidget(self)
        row = QHBoxLayout(self._switches)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT // 2)
        for button in (self._ridges, self._grey, self._strain):
            row.addWidget(button)
        theme.changed.connect(self._renew)

    def sizeHint(self) -> QSize:
        """Return room for a blanket."""
        return QSize(520, 460)

    def close_worker(self) -> None:
        """Stop the thread that paints."""
        self._painter.close()

    def _switch(self, text: str, tip: str, *, on: bool) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setCheckable(True)
        button.setChecked(on)
        button.setFont(small(self.font()))
        button.toggled.connect(self._renew)
        return button

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show the fabric of these results."""
        if self._results is None or self._results.fabric is not results.fabric:
            self._bounds_mm = results.fabric.bounds_mm()
        self._results = results
        size, units = results.size, results.design.units
        self.setAccessibleDescription(
            f"Blanket {length_text(size.width_mm, units)} wide and "
            f"{length_text(size.length_mm, units)} long, "
            f"{counted(len(results.design.yarns), 'colour')}"
        )
        self.update()

    def light(self, row: int, stitch: int) -> None:
        """Mark a stitch."""
        if (row, stitch) != self._lit:
            self._lit = (row, stitch)
            self.update()

    def content_mm(self) -> tuple[float, float, float, float]:
        """Return the fabric's bounds."""
        if self._results is None:
            return (0.0, 0.0, 1.0, 1.0)
        return self._edging.shapes(self._results).extent_mm

    def fitting(self, margin_px: float = _MARGIN_PX) -> Placing:
        """Return the placing that shows everything, dimension lines included."""
        return super().fitting(margin_px)

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
            self._paint_fabric(painter)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._edging.paint(
                painter,
                self._results,
                self.placing,
                QRectF(self.rect()),
                grey=self._grey.isChecked(),
            )
            if self._strain.isChecked():
                self._paint_strain(painter)
            if self._results.rows.misfit is None:
                self._paint_dimensions(painter)
            else:
                self._say_misfit(painter, self._results)
            self._paint_lit(painter)
            self.paint_focus(painter, self._theme.tones.accent)

    def _paint_fabric(self, painter: QPainter) -> None:
        assert self._results is not None
        seen = self._fabric_px().intersected(QRectF(self.rect()))
        if seen.isEmpty():
            return
        area = seen.toAlignedRect()
        now = self.placing
        left, top = (area.left() - now.x) / now.scale, (now.y - area.top()) / now.scale
        fine = self.devicePixelRatioF()
        width, height = round(area.width() * fine), round(area.height() * fine)
        view = View(left, top, now.scale * fine, width, height)
        job = _Job(self._results, view, self._ridges.isChecked(), self._grey.isChecked(), 2)
        if self._image is None or self._image_job is None or not _same(self._image_job, job):
            self._image = _draft(job)
            self._image_job = job
            self._asked = job
            self._painter.submit(job)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(QRectF(area), self._image)

    def _paint_strain(self, painter: QPainter) -> None:
        """Paint the strained posts over a faded fabric: the thicker, the more they are strained."""
        results, tones = self._results, self._theme.tones
        assert results is not None
        veil = QColor(tones.sheet)
        veil.setAlpha(190)
        painter.fillRect(self._fabric_px(), veil)
        found = self._known_strain(results)
        lines = self.placing.points(found.posts_mm)
        seen = (lines[..., 0] > 0) & (lines[..., 0] < self.width())
        seen &= (lines[..., 1] > 0) & (lines[..., 1] < self.height())
        stitch_px = results.fabric.size.width_mm * self.placing.scale
        for colour, sign in ((tones.trouble, 1.0), (tones.accent, -1.0)):
            for step, least in enumerate(_STRAINS):
                most = _STRAINS[step + 1] if step + 1 < len(_STRAINS) else np.inf
                amount = sign * found.strain
                here = seen.any(axis=1) & (amount >= least) & (amount < most)
                width = max(stitch_px * 0.12 * (step + 1), 0.6 + 0.4 * step)
                painter.setPen(QPen(QColor(colour), width))
                draw_lines(painter, lines[here])
        self._say_strain(painter, found.strain)

    def _known_strain(self, results: Results) -> PostStrain:
        if self._strain_of is None or self._strain_of[0] is not results.fabric:
            self._strain_of = results.fabric, post_strain(results.fabric, results.rows)
        return self._strain_of[1]

    def _say_strain(self, painter: QPainter, strain: NDArray[np.float64]) -> None:
        stretched, pushed = max(strain.max(initial=0.0), 0.0), max(-strain.min(initial=0.0), 0.0)
        text = (
            f"stretched by up to {100 * stretched:.0f} % (warm lines), "
            f"pushed together by up to {100 * pushed:.0f} % (cool lines)"
        )
        painter.setFont(small(self.font()))
        painter.setPen(QColor(self._theme.tones.ink))
        box = self.rect().adjusted(UNIT, 0, -UNIT, -UNIT // 2)
        where = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom
        painter.drawText(box, where, text)

    def _on_painted(self, answer: tuple[_Job, QImage]) -> None:
        job, image = answer
        if self._image_job is not None and _same(self._image_job, job):
            self._image = image
            self.update()

    def _renew(self) -> None:
        self._image = None
        self.update()

    def _paint_dimensions(self, painter: QPainter) -> None:
        """Paint the lines that say how wide and how long it is."""
        assert self._results is not None
        tones, size = self._theme.tones, self._results.size
        units = self._results.design.units
        rect, outer = self._fabric_px(), self._placed(self.content_mm())
        painter.setFont(small(self.font()))
        width_y = min(outer.bottom() + 18, self.height() - 14.0)
        across = (QPointF(rect.left(), width_y), QPointF(rect.right(), width_y))
        near = self._pull.edge if self._pull else self._near
        text = length_text(size.width_mm, units)
        if near == "repeats":
            text += f", {counted(self._results.design.size.repeats, 'repeat')}"
        self._dimension(painter, *across, text, strong=near == "repeats")
        length_x = max(outer.left() - 18, 14.0)
        along = (QPointF(length_x, rect.bottom()), QPointF(length_x, rect.top()))
        text = length_text(size.length_mm, units)
        if near == "rows":
            text += f", {counted(self._results.design.size.rows, 'row')}"
        self._dimension(painter, *along, text, strong=near == "rows")
        if near is not None:
            painter.setPen(QPen(QColor(tones.accent), 3))
            if near == "repeats":
                painter.drawLine(
                    rect.topRight() + QPointF(4, 0), rect.bottomRight() + QPointF(4, 0)
                )
            else:
                painter.drawLine(rect.topLeft() - QPointF(0, 4), rect.topRight() - QPointF(0, 4))

    def _say_misfit(self, painter: QPainter, results: Results) -> None:
        painter.setPen(QColor(self._theme.tones.trouble))
        rows = counted(results.rows.drawn_rows, "row")
        text = f"Only {rows} can be worked as it stands. Checks says where it stops fitting."
        box = self.rect().adjusted(2 * UNIT, 0, -2 * UNIT, -2 * UNIT)
        where = Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom
        painter.drawText(box, where | Qt.TextFlag.TextWordWrap, text)

    def _dimension(
        self, painter: QPainter, start: QPointF, end: QPointF, text: str, *, strong: bool
    ) -> None:
        tones = self._theme.tones
        painter.save()
        painter.setPen(QPen(QColor(tones.accent if strong else tones.muted), 1))
        upright = start.x() == end.x()
        painter.drawLine(start, end)
        tick = QPointF(4, 0) if upright else QPointF(0, 4)
        for point in (start, end):
            painter.drawLine(point - tick, point + tick)
        middle = (start + end) * 0.5
        middle.setX(min(max(middle.x(), 12.0), self.width() - 12.0))
        middle.setY(min(max(middle.y(), 40.0), self.height() - 12.0))
        painter.translate(middle)
        if upright:
            painter.rotate(-90)
        box = painter.fontMetrics().boundingRect(text).adjusted(-6, -1, 6, 1)
        box.moveCenter(QRectF(0, 0, 0, 0).center().toPoint())
        painter.fillRect(box, QColor(tones.ground))
        painter.setPen(QColor(tones.accent if strong else tones.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
        painter.restore()

    def _paint_lit(self, painter: QPainter) -> None:
        row, stitch = self._lit
        results = self._results
        if results is None or not 0 <= row <= results.fabric.n_rows:
            return
        tops = results.fabric.row_tops_mm(row)
        if 0 <= stitch < len(tops):
            radius = max(0.7 * results.fabric.size.width_mm * self.placing.scale, 6.0)
            at = QPointF(*self.placing.points(tops[stitch]).tolist())
            for colour, width in ((self._theme.tones.sheet, 4.0), (self._theme.tones.accent, 2.0)):
                painter.setPen(QPen(QColor(colour), width))
                painter.drawEllipse(at, radius, radius)

    # hands

    def _edge_at(self, point: QPointF) -> Edge | None:
        rect = self._fabric_px()
        beside = rect.adjusted(-_EDGE_PX, -_EDGE_PX, _EDGE_PX, _EDGE_PX)
        if not beside.contains(point):
            return None
        if abs(point.x() - rect.right()) <= _EDGE_PX:
            return "repeats"
        if abs(point.y() - rect.top()) <= _EDGE_PX:
            return "rows"
        return None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of an edge, or pan."""
        results = self._results
        edge = self._edge_at(event.position()) if results is not None else None
        left = event.button() == Qt.MouseButton.LeftButton
        if results is None or edge is None or not left or results.wave is None:
            super().mousePressEvent(event)
            return
        size, wave = results.design.size, results.wave
        count = size.repeats if edge == "repeats" else size.rows
        step = wave.repeat_width_mm if edge == "repeats" else wave.rise_mm
        self._placing, self._own_view = self.placing, True  # the scale stays put meanwhile
        self._pull = _Pull(edge, self.to_mm(event.position()), count, step)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pull the edge in hand, or say what lies under the cursor."""
        if self._pull is not None:
            self._drag(event.position())
            return
        super().mouseMoveEvent(event)
        if self._panning_from is None and self._results is not None:
            near = self._edge_at(event.position())
            if near != self._near:
                self._near = near
                self.update()
            shapes = {
                "repeats": Qt.CursorShape.SizeHorCursor,
                "rows": Qt.CursorShape.SizeVerCursor,
            }
            self.setCursor(shapes[near] if near else Qt.CursorShape.OpenHandCursor)
            place = self.to_mm(event.position())
            self.stitch_hovered.emit(*nearest_stitch(self._results.fabric, place))

    def _drag(self, point: QPointF) -> None:
        assert self._pull is not None
        pull, place = self._pull, self.to_mm(point)
        axis = 0 if pull.edge == "repeats" else 1
        steps = round((place[axis] - pull.from_mm[axis]) / pull.step_mm)
        count = max(pull.size + steps, 1)
        text = "Change width" if pull.edge == "repeats" else "Change length"
        if pull.edge == "repeats":
            self.wish.emit(text, partial(edits.set_size, repeats=count), pull)
        else:
            self.wish.emit(text, partial(edits.set_size, rows=count), pull)

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
        steps = {
            Qt.Key.Key_Right: ("repeats", 1),
            Qt.Key.Key_Left: ("repeats", -1),
            Qt.Key.Key_Up: ("rows", 1),
            Qt.Key.Key_Down: ("rows", -1),
        }
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        key = Qt.Key(event.key())
        if self._results is None or not shift or key not in steps:
            super().keyPressEvent(event)
            return
        what, by = steps[key]
        size = self._results.design.size
        if what == "repeats":
            edit = partial(edits.set_size, repeats=max(size.repeats + by, 1))
        else:
            edit = partial(edits.set_size, rows=max(size.rows + by, 1))
        self.wish.emit("Change width" if what == "repeats" else "Change length", edit, None)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the switches in their corner."""
        super().resizeEvent(event)
        hint = self._switches.sizeHint()
        self._switches.setGeometry(
            self.width() - hint.width() - UNIT, UNIT, hint.width(), hint.height()
        )


def _same(one: _Job, other: _Job) -> bool:
    view, wanted = one.view, other.view
    if one.results is not other.results and not _looks_alike(one.results, other.results):
        return False
    same_view = (view.left_mm, view.top_mm, view.px_per_mm, view.width_px, view.height_px) == (
        wanted.left_mm,
        wanted.top_mm,
        wanted.px_per_mm,
        wanted.width_px,
        wanted.height_px,
    )
    return same_view and one.ridges == other.ridges and one.grey == other.grey


def _looks_alike(one: Results, other: Results) -> bool:
    return (
        one.fabric is other.fabric
        and one.design.loops == other.design.loops
        and [yarn.colour for yarn in one.design.yarns]
        == [yarn.colour for yarn in other.design.yarns]
        and np.array_equal(one.yarn_of_row, other.yarn_of_row)
    )


def _draft(job: _Job) -> QImage:
    """Return a first picture, coarser if there is much to paint."""
    view = job.view
    if view.width_px * view.height_px > _DRAFT_PIXELS:
        view = View(
            view.left_mm,
            view.top_mm,
            view.px_per_mm / 2,
            max(view.width_px // 2, 1),
            max(view.height_px // 2, 1),
        )
    return fabric_image(job.results, view, ridges=job.ridges, grey=job.grey)


def _paint_job(job: _Job, should_stop: ShouldStop) -> tuple[_Job, QImage]:
    del should_stop  # one picture takes a fraction of a second
    image = fabric_image(job.results, job.view, ridges=job.ridges, grey=job.grey, smooth=job.smooth)
    return job, image
