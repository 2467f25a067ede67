"""The wave in profile, shaped by hand: a few repeats of the settled row, to scale.

drag a peak or dip sideways    longer run on one side, shorter on the other    Alt+Left, Alt+Right
drag it up or down             more or fewer stitches gained, dips following   Up, Down
                               (in a wave of stitch heights: a taller or shorter stitch)
drag a run up or down          longer or shorter run                           Up, Down
Left, Right                    choose the next mark; Escape drops a drag

A mark that is dragged shows what it snaps to, and the items are written beneath in working
order.
"""

from collections.abc import Sequence
from typing import Any, Final

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from app.painting.chart import Placing, fitted
from app.painting.strokes import Floats, draw_lines, polygon_of
from app.spoken import Part, Role, Told, tell, tell_current
from app.theme import Theme, figure, paint_focus, small
from app.views.kept_picture import KeptPicture
from app.views.reason_plate import paint_reason
from app.views.turns import Turns
from core.design.document import Design, Items
from core.design.edits import Edit, set_wave
from core.fabric.profile import SHOWN, Mark, Profile
from core.pipeline import Results
from core.records import Struct
from core.rows.waves import HeightShape, Shape, pulled, wave_of
from core.words.short import height_label, short_label

_GRIP_PX: Final = 15.0
_GAIN_PX: Final = 26.0  # pull that far for one stitch more or less
_RUN_PX: Final = 14.0
_TOP_PX: Final = 26.0  # for the line that says which row it is
_MARK_PX: Final = 14.0  # round a mark's middle, with the ring of the chosen one
_LABELS_PX: Final = 44.0
_WORDS_APART_PX: Final = 6.0


class _Drag(Struct, eq=False):
    """A mark in hand: the shape it started from, and where."""

    mark: Mark
    shape: Shape
    start: QPointF
    placing: Placing
    moved: int = 0
    changed: int = 0


class WaveBand(QWidget):
    """Shows the profile of a wave and turns drags into edits."""

    wish = Signal(str, object, object)
    held = Signal(bool)  # whether a mark is in hand

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._design: Design | None = None
        self._profile: Profile | None = None
        self._good: Profile | None = None  # the last one there was of this design
        self._reason = ""
        self._shape: Shape | None = None
        self._corner = QRect()  # where something else stands, at the top
        self._chosen = 0
        self._drag: _Drag | None = None
        self._hover: int | None = None
        self._lit: tuple[str, int] | None = None  # kind and number of the marks that are lit
        self._words_at: list[tuple[Mark, QPointF, float]] = []  # where marks' words are underlined
        self._kept = KeptPicture(self)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumHeight(128)
        self.setAccessibleName("Wave")
        tell(
            self,
            Told(
                role=Role.List,
                count=lambda: len(self._marks()),
                part=self._part,
                current=lambda: self._chosen,
            ),
        )
        self.turns = Turns(self)
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return a broad, low band."""
        return QSize(640, 168)

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show the wave of these results."""
        self._design, self._shape, self._profile = results.design, results.shape, results.profile
        self._good = self._profile or self._good
        self._reason = _reason(results)
        self._chosen = min(self._chosen, max(len(self._marks()) - 1, 0))
        self._describe()
        if self._drag is not None:
            self.turns.ask(self, first=True)  # what the hand holds is painted first
        else:
            self.update()

    def look_anew(self) -> None:
        """Forget the wave shown before: another design is open."""
        self._good = self._profile
        self.update()

    def light(self, repeat: Items, item: int) -> None:
        """Show where an item of a row's repeat belongs; -1 shows nothing."""
        lit = (
            part_of(self._marks(), repeat, item, runs_left=self._runs_left()) if item >= 0 else None
        )
        if lit != self._lit:
            self._lit = lit
            super().update()

    def _runs_left(self) -> bool:
        return self._profile is not None and self._profile.runs_left

    def _marks(self) -> tuple[Mark, ...]:
        return self._profile.marks if self._profile is not None else ()

    def _describe(self) -> None:
        marks = self._marks()
        if not marks or self._design is None:
            self.setAccessibleDescription(self._reason or "There is no wave yet")
            return
        self.setAccessibleDescription(self._mark_words(self._chosen))
        tell_current(self)

    def _mark_words(self, number: int) -> str:
        mark = self._marks()[number]
        label = self._label(mark) if self._design is not None else ""
        return f"{mark.kind.capitalize()}: {label}"

    def _part(self, number: int) -> Part:
        at = self._at(self._marks()[number], self._placing()).toPoint()
        place = QRect(at.x() - 13, at.y() - 13, 26, 26)
        words = f"{self._mark_words(number)}, mark {number + 1} of {len(self._marks())}"
        return Part(words, place, number == self._chosen)

    def _label(self, mark: Mark) -> str:
        assert self._design is not None
        label = height_label if isinstance(self._shape, HeightShape) else short_label
        return label(mark.items, self._design.terms)

    def _placing(self) -> Placing:
        if self._drag is not None:
            return self._drag.placing
        profile = self._profile or self._good
        assert profile is not None
        line = profile.line_mm
        low, high = line.min(axis=0), line.max(axis=0)
        stems = profile.stems_mm.reshape(-1, 2).min(axis=0)
        pad = 0.8 * profile.stitch_mm
        bounds = (low[0] - pad, min(low[1], stems[1]), high[0] + pad, high[1])
        into = QRectF(self.rect()).adjusted(24, _TOP_PX, -24, -self._labels_px())
        placing = fitted(bounds, into)
        if self._corner.isEmpty() or not self._meets_corner(placing.points(line)):
            return placing
        below = max(self._corner.bottom() + _MARK_PX - _TOP_PX, 0.0)
        return fitted(bounds, into.adjusted(0, min(below, 0.5 * into.height()), 0, 0))

    def _meets_corner(self, line_px: Floats) -> bool:
        near = QRectF(self._corner).adjusted(-_MARK_PX, -_MARK_PX, _MARK_PX, _MARK_PX)
        x, y = line_px.T
        inside = (x > near.left()) & (x < near.right()) & (y > near.top()) & (y < near.bottom())
        return bool(inside.any())

    def keep_free(self, corner: QRect) -> None:
        """Keep the wave and its marks out of a corner at the top, as far as there is room."""
        if corner != self._corner:
            self._corner = corner
            self._kept.forget()
            self.update()

    def _labels_px(self) -> float:
        """Return the height of two lines of words, larger in large type."""
        return max(_LABELS_PX, 2.2 * self.fontMetrics().height())

    def _at(self, mark: Mark, placing: Placing) -> QPointF:
        return QPointF(placing.x + placing.scale * mark.x_mm, placing.y - placing.scale * mark.y_mm)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the row, its posts, its marks and its words."""
        del event
        with QPainter(self) as painter:
            self._kept.paint(painter, self._paint_kept)
            if self._lit is not None and self._profile is not None:
                painter.setRenderHint(QPainter.RenderHint.Antialiasing)
                self._paint_lit(painter)
            if self.hasFocus():
                paint_focus(painter, self.rect(), self._theme.tones)

    def update(self, *where: Any) -> None:
        """Paint everything anew."""
        self._kept.forget()
        super().update(*where)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the wave into the new size."""
        self._kept.forget()
        super().resizeEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show what keys act on."""
        self._kept.forget()
        super().focusInEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that keys act elsewhere."""
        self._kept.forget()
        super().focusOutEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Follow fonts and looks."""
        self._kept.forget()
        super().changeEvent(event)

    def _paint_kept(self, painter: QPainter) -> None:
        tones = self._theme.tones
        painter.fillRect(self.rect(), QColor(tones.sheet))
        if self._profile is None:
            self._paint_last(painter)
            return
        self._paint_wave(painter, self._profile)
        if not self._profile.marks and self._reason:
            painter.setFont(self.font())
            paint_reason(painter, self._reason, QRectF(self.rect()), tones)

    def _paint_last(self, painter: QPainter) -> None:
        """Paint the last wave there was as a faint line, and why there is none now."""
        tones = self._theme.tones
        if self._good is not None:
            pen = QPen(QColor(tones.hairline), 2.5)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(pen)
            painter.drawPolyline(polygon_of(self._placing().points(self._good.line_mm)))
        painter.setFont(self.font())
        paint_reason(painter, self._reason, QRectF(self.rect()), tones)

    def _paint_lit(self, painter: QPainter) -> None:
        """Frame the lit marks and underline their words."""
        placing = self._placing()
        painter.setPen(QPen(QColor(self._theme.tones.accent), 2, Qt.PenStyle.DotLine))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for mark in self._marks():
            if self._is_lit(mark):
                at = self._at(mark, placing)
                painter.drawRoundedRect(QRectF(at.x() - 12, at.y() - 12, 24, 24), 4, 4)
        for mark, start, wide in self._words_at:
            if self._is_lit(mark):
                painter.drawLine(start, start + QPointF(wide, 0))

    def _paint_wave(self, painter: QPainter, profile: Profile) -> None:
        tones = self._theme.tones
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        placing = self._placing()
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tones.ground))
        painter.drawPolygon(polygon_of(placing.points(profile.body_mm)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(tones.hairline), 1.5))
        draw_lines(painter, placing.points(profile.stems_mm))
        pen = QPen(QColor(tones.ink), 2.5)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        painter.drawPolyline(polygon_of(placing.points(profile.line_mm)))
        for number, mark in enumerate(profile.marks):
            self._paint_mark(painter, number, mark, placing)
        self._paint_words(painter, placing)

    def _paint_mark(self, painter: QPainter, number: int, mark: Mark, placing: Placing) -> None:
        tones = self._theme.tones
        at = self._at(mark, placing)
        chosen = number == self._chosen and self.hasFocus()
        strong = chosen or number == self._hover or self._is_dragged(mark)
        painter.setPen(QPen(QColor(tones.accent), 2.5 if strong else 1.5))
        painter.setBrush(QColor(tones.accent if strong else tones.field))
        if mark.kind == "run":
            painter.drawRoundedRect(QRectF(at.x() - 4, at.y() - 4, 8, 8), 2, 2)
        else:
            painter.drawPath(_arrowhead(at, up=mark.kind == "peak"))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if chosen:
            painter.drawEllipse(at, 13, 13)

    def _is_lit(self, mark: Mark) -> bool:
        return (mark.kind, mark.number) == self._lit

    def _is_dragged(self, mark: Mark) -> bool:
        drag = self._drag
        return drag is not None and (drag.mark.kind, drag.mark.number, drag.mark.repeat) == (
            mark.kind,
            mark.number,
            mark.repeat,
        )

    def _paint_words(self, painter: QPainter, placing: Placing) -> None:
        """Write the items under their places, and which way they are worked."""
        assert self._profile is not None and self._design is not None
        tones = self._theme.tones
        painter.setFont(figure(self.font(), large=1.0))
        metrics = painter.fontMetrics()
        line_y = self.height() - self._labels_px() + metrics.height()
        self._words_at = []
        for mark, text, x, line in self._labels(metrics, placing):
            strong = self._is_dragged(mark)
            painter.setPen(QColor(tones.accent if strong else tones.ink))
            at = QPointF(x, line_y + 0.9 * line * metrics.height())
            painter.drawText(at, text)
            wide = float(metrics.horizontalAdvance(text))
            self._words_at.append((mark, at + QPointF(0, 3), wide))
        painter.setFont(small(self.font()))
        painter.setPen(QColor(tones.muted))
        way = "read from right to left" if self._profile.runs_left else "read from left to right"
        box = self.rect().adjusted(8, 4, -8, -4)
        where = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
        words = painter.fontMetrics().elidedText(
            f"A right-side row, {way}", Qt.TextElideMode.ElideRight, box.width()
        )
        painter.drawText(box, where, words)

    def _labels(
        self, metrics: QFontMetrics, placing: Placing
    ) -> list[tuple[Mark, str, float, int]]:
        """Return the marks' words, where they begin, and which of two lines they are on.

        Where there is no room for those of every repeat, the middle one has them alone; where
        that is too narrow as well, words go to the mark in hand first, then to peaks and dips.
        """
        assert self._profile is not None
        marks = self._profile.marks
        middle = [mark for mark in marks if mark.repeat == SHOWN // 2]
        for shown in (marks, middle):
            placed = self._set_words(shown, metrics, placing)
            if len(placed) == len(shown):
                return placed
        first = marks[self._chosen]
        ordered = [first, *(mark for mark in middle if mark is not first)]
        ordered.sort(key=lambda mark: (mark is not first, mark.kind == "run"))
        return self._set_words(ordered, metrics, placing)

    def _set_words(
        self, marks: Sequence[Mark], metrics: QFontMetrics, placing: Placing
    ) -> list[tuple[Mark, str, float, int]]:
        """Return the words of these marks that find room, the first of them before others."""
        taken: tuple[list[tuple[float, float]], ...] = ([], [])
        placed = []
        for mark in marks:
            text = self._label(mark)
            width = metrics.horizontalAdvance(text)
            x = self._at(mark, placing).x() - 0.5 * width
            x = max(min(x, self.width() - width - _WORDS_APART_PX), _WORDS_APART_PX)
            for line, spans in enumerate(taken):
                if all(x > end or x + width < start for start, end in spans):
                    spans.append((x - _WORDS_APART_PX, x + width + _WORDS_APART_PX))
                    placed.append((mark, text, x, line))
                    break
        return placed

    # mouse

    def _near(self, point: QPointF) -> int | None:
        if self._profile is None:
            return None
        placing = self._placing()
        best, found = _GRIP_PX, None
        for number, mark in enumerate(self._profile.marks):
            at = self._at(mark, placing) - point
            away = (at.x() ** 2 + at.y() ** 2) ** 0.5 + (3 if mark.kind == "run" else 0)
            if away < best:
                best, found = away, number
        return found

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a mark."""
        number = self._near(event.position())
        left = event.button() == Qt.MouseButton.LeftButton
        if number is None or self._shape is None or not left:
            return
        self._chosen = number
        mark = self._marks()[number]
        self._drag = _Drag(mark, self._shape, event.position(), self._placing())
        self._describe()
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Shape the wave with the mark in hand."""
        if self._drag is None:
            hover = self._near(event.position())
            if hover != self._hover:
                self._hover = hover
                self._show_cursor()
                self.update()
            return
        drag, way = self._drag, event.position() - self._drag.start
        assert self._profile is not None
        stitch_px = max(self._profile.stitch_mm * drag.placing.scale, 6.0)
        along = -1 if self._profile.runs_left else 1
        moved = along * round(way.x() / stitch_px)
        up = -way.y()
        if drag.mark.kind == "run":
            changed = round(up / _RUN_PX)
            moved = 0
        else:
            out = up if drag.mark.kind == "peak" else -up
            changed = round(out / _GAIN_PX)
        if (moved, changed) != (drag.moved, drag.changed):
            drag.moved, drag.changed = moved, changed
            self.held.emit(True)
            self._wish(self._shaped(drag), drag, _step_text(drag.mark))

    def _shaped(self, drag: _Drag) -> Shape:
        """Return the shape that a drag asks for."""
        mark = drag.mark
        return pulled(drag.shape, mark.kind, mark.number, moved=drag.moved, changed=drag.changed)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        del event
        self._drag = None
        self.held.emit(False)
        self.update()

    def leaveEvent(self, event: object) -> None:
        """Point at nothing."""
        del event
        self._hover = None
        self.update()

    def _show_cursor(self) -> None:
        if self._hover is None:
            self.unsetCursor()
            return
        run = self._marks()[self._hover].kind == "run"
        self.setCursor(Qt.CursorShape.SizeVerCursor if run else Qt.CursorShape.SizeAllCursor)

    # keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose a mark and shape it by the same steps as the mouse."""
        marks, key = self._marks(), event.key()
        if key == Qt.Key.Key_Escape and self._drag is not None:
            self._drop()
            return
        if not marks or self._shape is None:
            super().keyPressEvent(event)
            return
        alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        sideways = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        upwards = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}
        if key in sideways and not alt:
            self._choose((self._chosen + sideways[Qt.Key(key)]) % len(marks))
        elif key in sideways or key in upwards:
            self._step(
                marks[self._chosen], sideways.get(Qt.Key(key), 0), upwards.get(Qt.Key(key), 0)
            )
        else:
            super().keyPressEvent(event)

    def _choose(self, number: int) -> None:
        self._chosen = number
        self._describe()
        self.update()

    def _step(self, mark: Mark, right: int, up: int) -> None:
        assert self._shape is not None and self._profile is not None
        drag = _Drag(mark, self._shape, QPointF(), self._placing())
        drag.moved = 0 if mark.kind == "run" else (-right if self._profile.runs_left else right)
        drag.changed = -up if mark.kind == "dip" else up
        self._wish(self._shaped(drag), None, _step_text(mark))

    def _drop(self) -> None:
        """Put back what the drag changed."""
        assert self._drag is not None
        drag, self._drag = self._drag, None
        self.held.emit(False)
        self._wish(drag.shape, drag, _step_text(drag.mark))
        self.update()

    def _wish(self, shape: Shape, gesture: object | None, text: str) -> None:
        wave = wave_of(shape)

        def edit(design: Design) -> Design:
            return set_wave(design, wave)

        checked_edit: Edit = edit
        self.wish.emit(text, checked_edit, gesture)


def _reason(results: Results) -> str:
    """Return why the wave can't be taken hold of, and the way out; nothing if it can."""
    misfit = results.rows.misfit
    if results.profile is not None and results.profile.marks:
        return ""
    if misfit is not None and results.profile is None:
        return (
            f"Row {misfit.row} doesn't fit the row below, so there is no wave to shape. Choose a "
            "family or edges at the right, or see Checks."
        )
    if results.profile is None:
        return (
            "These rows don't come to rest as one wave that repeats. Choose a family at the right, "
            "or draw a wave."
        )
    return (
        "These rows are of no wave with marks to take hold of. Choose a family at the right, "
        "draw a wave, or change their words."
    )


def part_of(
    marks: Sequence[Mark], repeat: Items, item: int, *, runs_left: bool
) -> tuple[str, int] | None:
    """Return kind and number of the part that an item of a row's repeat lies in.

    The row has to repeat the same items as the row shown, the way it is worked or the other way
    round; None otherwise.
    """
    mine = [mark for mark in marks if mark.repeat == SHOWN // 2]
    ordered = mine[::-1] if runs_left else mine
    for parts, items in ((ordered, repeat), (ordered, repeat[::-1])):
        held = [number for number, mark in enumerate(parts) for _ in mark.items]
        if tuple(i for mark in parts for i in mark.items) == items and item < len(held):
            number = held[item if items is repeat else len(held) - 1 - item]
            return parts[number].kind, parts[number].number
    return None


def _step_text(mark: Mark) -> str:
    return {"run": "Change run", "peak": "Shape peak", "dip": "Shape dip"}[mark.kind]


def _arrowhead(at: QPointF, *, up: bool) -> QPainterPath:
    """Return a triangle that points the way a turn goes."""
    side, path = (-1 if up else 1), QPainterPath()
    path.moveTo(at + QPointF(0, side * 8))
    path.lineTo(at + QPointF(-8, -side * 5))
    path.lineTo(at + QPointF(8, -side * 5))
    path.closeSubpath()
    return path
