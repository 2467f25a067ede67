"""The sheet to draw a wave on, in real proportion: freehand, or by control points.

drag over the sheet       draw anew
drag a point              move it                     arrows; with Shift five times as far
click beside the curve    add a point                 Insert
                          remove the chosen point     Delete
Tab, Shift+Tab            choose the next point
Enter                     begin with the wave as it is, while nothing is drawn
"""

from typing import Final

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from app.painting.chart import Placing
from app.painting.strokes import Floats
from app.spoken import Part, Role, Told, tell, tell_current
from app.theme import Theme, small
from app.views.figures import length
from app.views.sketch_paper import RULER_PX, Paper, paint_line
from core.design.document import Units
from core.sketch.points import curve_through, points_on

_GRIP_PX: Final = 12.0
_MOVED_PX: Final = 5.0  # less is a click
_CLOSE_PX: Final = 3.0  # a freehand line stays that near to its points' straight lines
_STEP_MM: Final = 1.0
_FAST: Final = 5.0
_SCALES: Final = (0.3, 20.0)  # px per mm
_ZOOM: Final = 1.25
_NONE: Final = np.zeros((0, 2))


class SketchSurface(QWidget):
    """Holds a drawn curve in millimetres and shows it over the wave as it is."""

    changed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._points: Floats = _NONE
        self._stroke: list[QPointF] = []
        self._before: list[Floats] = []  # what undo goes back to
        self._chosen = -1
        self._dragged = False
        self._press: QPointF | None = None
        self._now_mm: Floats = _NONE
        self._within_mm: Floats = _NONE
        self._stitch_mm = (8.0, 12.0)
        self._units: Units = "cm"
        self._scale = 4.0
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setMinimumSize(360, 160)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setAccessibleName("Drawing of a wave")
        tell(
            self,
            Told(
                role=Role.Canvas,
                count=lambda: len(self._points),
                part=self._part,
                current=lambda: self._chosen,
            ),
        )
        theme.changed.connect(self.update)
        self._describe()

    def sizeHint(self) -> QSize:
        """Return a broad, low sheet."""
        return QSize(1080, 240)

    # what is shown

    def set_up(self, stitch_mm: tuple[float, float], units: Units) -> None:
        """Show the grid of stitches and the rulers.

        Args:
            stitch_mm: Width and height of a plain stitch.
            units: What the rulers count.
        """
        self._stitch_mm, self._units = stitch_mm, units
        self._show_width(32 * stitch_mm[0])

    def show_wave(self, now_mm: Floats) -> None:
        """Show the wave as it is: one repeat from dip to dip, heights from its mean, (n, 2)."""
        self._now_mm = now_mm
        if not len(self._points) and not self._stroke:
            self._show_width(3.2 * float(np.ptp(now_mm[:, 0])))
        self.update()

    def _show_width(self, width_mm: float) -> None:
        wide = max(float(self.width()), 600.0) - RULER_PX
        self._scale = float(np.clip(wide / width_mm, *_SCALES))
        self.update()

    def show_within(self, line_mm: Floats) -> None:
        """Show how steep the curve may be, or nothing."""
        self._within_mm = line_mm
        self.update()

    def curve_mm(self) -> Floats:
        """Return the curve as it is now, shape (n, 2)."""
        if self._stroke:
            return self._to_mm(self._stroke)
        return curve_through(self._points)

    @property
    def points_mm(self) -> Floats:
        """The control points, shape (n, 2)."""
        return self._points

    @property
    def chosen(self) -> int:
        """Number of the chosen point, or -1."""
        return self._chosen

    def placing(self) -> Placing:
        """Return how millimetres map to pixels; x = 0 is where the ruler begins."""
        return Placing(self._scale, RULER_PX + 16.0, 0.5 * (self.height() - RULER_PX))

    def _to_mm(self, pixels: list[QPointF]) -> Floats:
        now = self.placing()
        flat = np.array([(point.x(), point.y()) for point in pixels]).reshape(-1, 2)
        return (flat - (now.x, now.y)) / (now.scale, -now.scale)

    def _describe(self) -> None:
        if not len(self._points):
            text = "Nothing drawn. Enter begins with the wave as it is"
        elif self._chosen < 0:
            text = f"A curve of {len(self._points)} points. Tab chooses one"
        else:
            text = self._point_words(self._chosen)
        self.setAccessibleDescription(text)
        tell_current(self)
        self.setToolTip("Drag to draw; drag points; arrow keys move the chosen point")

    def _point_words(self, number: int) -> str:
        x, y = self._points[number]
        where = f"{length(float(x), self._units)} along, {length(float(y), self._units)} up"
        return f"Point {number + 1} of {len(self._points)}: {where}"

    def _part(self, number: int) -> Part:
        x, y = self.placing().points(self._points[number : number + 1])[0].tolist()
        place = QRect(round(x) - 10, round(y) - 10, 20, 20)
        return Part(self._point_words(number), place, number == self._chosen)

    # edits

    def set_points(self, points_mm: Floats, *, chosen: int = -1) -> None:
        """Put other control points in place of these; can be undone."""
        self._let_go()
        self._before.append(self._points)
        self._place(points_mm, chosen)

    def _let_go(self) -> None:
        """Have nothing in hand: the point there may be gone, or another one."""
        self._press, self._dragged = None, False

    def _place(self, points_mm: Floats, chosen: int) -> None:
        self._points = np.asarray(points_mm, dtype=np.float64).reshape(-1, 2)
        self._chosen = min(chosen, len(self._points) - 1)
        self._describe()
        self.update()
        self.changed.emit()

    def undo(self) -> None:
        """Go back to what was drawn before."""
        self._let_go()
        if self._before:
            self._place(self._before.pop(), -1)

    @property
    def has_wave(self) -> bool:
        """Whether there is a wave to begin with."""
        return bool(len(self._now_mm))

    @property
    def can_undo(self) -> bool:
        """Whether something was drawn before."""
        return bool(self._before)

    def clear(self) -> None:
        """Wipe the sheet."""
        if len(self._points):
            self.set_points(_NONE)

    def start_from_wave(self) -> None:
        """Draw the wave as it is, with points to drag."""
        if len(self._now_mm):
            tall = float(np.ptp(self._now_mm[:, 1]))
            self.set_points(points_on(self._now_mm, within_mm=0.08 * tall), chosen=0)

    def add_point(self) -> None:
        """Add a point halfway to the next one, and choose it."""
        points = self._points
        if len(points) < 2:
            self.start_from_wave()
            return
        at = min(max(self._chosen, 0), len(points) - 2)
        curve = curve_through(points[max(at - 1, 0) : at + 3])
        middle = 0.5 * (points[at] + points[at + 1])
        near = curve[np.argmin(np.hypot(*(curve - middle).T))]
        self.set_points(np.insert(points, at + 1, near, axis=0), chosen=at + 1)

    def remove_point(self) -> None:
        """Remove the chosen point."""
        if 0 <= self._chosen < len(self._points):
            left = np.delete(self._points, self._chosen, axis=0)
            self.set_points(left, chosen=min(self._chosen, len(left) - 1))

    def zoom(self, factor: float) -> None:
        """Show more or less of the sheet."""
        self._scale = float(np.clip(self._scale * factor, *_SCALES))
        self.update()

    # mouse

    def _near(self, at: QPointF) -> int:
        if not len(self._points):
            return -1
        away = np.hypot(*(self.placing().points(self._points) - (at.x(), at.y())).T)
        nearest = int(np.argmin(away))
        return nearest if away[nearest] <= _GRIP_PX else -1

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of a point, or set the pen down."""
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._press = event.position()
        self._chosen = self._near(event.position())
        if self._chosen >= 0:
            self._before.append(self._points)
            self._dragged = True
        self._describe()
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the point, or draw on."""
        at = event.position()
        if self._press is None:
            over = self._near(at) >= 0
            self.setCursor(Qt.CursorShape.SizeAllCursor if over else Qt.CursorShape.CrossCursor)
            return
        if self._dragged:
            points = self._points.copy()
            points[self._chosen] = self._to_mm([self._inside(at)])[0]
            self._place(points, self._chosen)
            return
        way = at - self._press
        if not self._stroke and (way.x() ** 2 + way.y() ** 2) ** 0.5 < _MOVED_PX:
            return
        if not self._stroke:
            self._stroke = [self._press]
        self._stroke.append(self._inside(at))
        self.update()
        self.changed.emit()

    def _inside(self, at: QPointF) -> QPointF:
        return QPointF(
            min(max(at.x(), 0.0), float(self.width())),
            min(max(at.y(), 0.0), float(self.height())),
        )

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go: a line drawn gets its points, a click adds one."""
        press, self._press = self._press, None
        if self._dragged:
            self._dragged = False
            if self._before and self._before[-1] is self._points:  # it was only taken hold of
                self._before.pop()
        elif self._stroke:
            line, self._stroke = self._to_mm(self._stroke), []
            self.set_points(points_on(line, within_mm=_CLOSE_PX / self._scale))
        elif press is not None and event.button() == Qt.MouseButton.LeftButton:
            self._add_at(self._to_mm([press])[0])

    def _add_at(self, place: Floats) -> None:
        """Add a point where the curve passes nearest, or at the end that is nearer."""
        points = self._points
        if len(points) < 2:
            at = len(points)
        else:
            middles = 0.5 * (points[:-1] + points[1:])
            candidates = np.concatenate([points[:1], middles, points[-1:]])
            at = int(np.argmin(np.hypot(*(candidates - place).T)))
        self.set_points(np.insert(points, at, place, axis=0), chosen=at)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Show more or less."""
        self.zoom(_ZOOM ** (event.angleDelta().y() / 120.0))
        event.accept()

    # keys

    def event(self, event: QEvent) -> bool:
        """Take Ctrl+Z for the drawing."""
        if (
            event.type() == QEvent.Type.ShortcutOverride
            and isinstance(event, QKeyEvent)
            and event.matches(QKeySequence.StandardKey.Undo)
        ):
            event.accept()
            return True
        return super().event(event)

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Go from point to point first, then on."""
        wanted = self._chosen + (1 if forward else -1)
        if not forward and self._chosen < 0:
            wanted = -1
        if self.hasFocus() and 0 <= wanted < len(self._points):
            self._choose(wanted)
            return True
        self._choose(-1)
        return super().focusNextPrevChild(forward)

    def _choose(self, number: int) -> None:
        self._chosen = number
        self._describe()
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move, add and remove points."""
        ways = {
            Qt.Key.Key_Left: (-1, 0),
            Qt.Key.Key_Right: (1, 0),
            Qt.Key.Key_Up: (0, 1),
            Qt.Key.Key_Down: (0, -1),
        }
        key = Qt.Key(event.key())
        if key in ways and len(self._points):
            fast = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._move(ways[key], _STEP_MM * (_FAST if fast else 1.0))
        elif key == Qt.Key.Key_Insert:
            self.add_point()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.remove_point()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not len(self._points):
            self.start_from_wave()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom(_ZOOM)
        elif key == Qt.Key.Key_Minus:
            self.zoom(1 / _ZOOM)
        elif event.matches(QKeySequence.StandardKey.Undo):
            self.undo()
        elif key == Qt.Key.Key_Escape and self._press is not None:
            self._drop()
        else:
            super().keyPressEvent(event)

    def _move(self, way: tuple[int, int], step: float) -> None:
        if self._chosen < 0:
            self._choose(0)
            return
        points = self._points.copy()
        points[self._chosen] += np.array(way) * step
        self.set_points(points, chosen=self._chosen)

    def _drop(self) -> None:
        """Forget the line in hand, or put a point back."""
        self._press, self._stroke = None, []
        if self._dragged:
            self.undo()
        else:
            self.update()
            self.changed.emit()

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint sheet, grid, rulers, the wave as it is, and the drawing."""
        tones, placing, curve = self._theme.tones, self.placing(), self.curve_mm()
        paper = Paper(placing, self.size(), tones)
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(tones.sheet))
            paper.paint_grid(painter, self._stitch_mm)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paper.paint_wave(painter, self._now_mm)
            if len(self._within_mm):
                pen = QPen(QColor(tones.trouble), 1.5, Qt.PenStyle.DashLine)
                paint_line(painter, placing.points(self._within_mm), pen)
            if len(curve) > 1:
                paint_line(painter, placing.points(curve), QPen(QColor(tones.accent), 2.5))
            paper.paint_points(painter, self._points, self._chosen)
            painter.setFont(small(self.font()))
            paper.paint_rulers(painter, self._units)
            if not len(curve):
                painter.setFont(self.font())
                paper.paint_hint(painter)
            if self.hasFocus():
                painter.setPen(QPen(QColor(tones.accent), 2))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(self.rect().adjusted(1, 1, -1, -1))
