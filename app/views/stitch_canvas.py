"""What chart and fabric have in common: stitches that answer to hands, in the same way in both.

click, Shift               select a stitch, all up to here     Enter; Shift with the arrows
double-click               the repeat of a row                 Ctrl+Shift+L
arrows                     walk: along the row, up and down to kin (pan with nothing selected)
Home, End                  the row's left and right end        Page Up, Page Down: ten rows
Escape                     select nothing                      Z: zoom to what is selected
M                          measure: two clicks or a drag       Space and drag: pan

What is under the hand is drawn over a kept picture, so pointing never paints the view anew.
"""

from typing import Any, Final

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QGestureEvent, QPinchGesture, QWidget

from app.painting.chart import Placing, fitted
from app.selecting import Selecting
from app.spoken import speaks_descriptions
from app.theme import Theme, small
from app.views.canvas import Canvas
from app.views.kept_picture import KeptPicture
from app.views.lit_marks import LitMarks, marks_of, outlines_mm
from app.views.measuring import HOW, Ruler
from app.views.measuring_hand import MeasuringHand, is_near
from app.views.pointing import selection_text
from app.views.turns import Turns
from core.fabric.find import finder_of
from core.fabric.sheet import Fabric
from core.pipeline import Results
from core.rows.selection import Place, Selection

_MARGIN_PX: Final = 40.0
_READABLE_PX: Final = 22.0  # a stitch zoomed to is at most three times as wide
_PAGE_ROWS: Final = 10
_Key = Qt.Key
_ARROWS: Final[dict[int, tuple[int, int]]] = {
    _Key.Key_Left: (-1, 0),
    _Key.Key_Right: (1, 0),
    _Key.Key_Up: (0, 1),
    _Key.Key_Down: (0, -1),
}


class StitchCanvas(Canvas):
    """A canvas that shows stitches; chart and fabric are made from it."""

    stitch_hovered = Signal(int, int)  # row, stitch from the left edge; -1, -1 for none
    said = Signal(str)  # what a hand did, for the status line
    measuring_changed = Signal(bool)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)  # the picture covers all
        self._kept = KeptPicture(self)
        self._drawn: Placing | None = None  # the placing that the kept picture shows
        self._marks_lit = LitMarks()
        self.turns = Turns(self)
        self._about = ""
        self._pressed: QPointF | None = None
        self._space = False
        self._measuring = MeasuringHand(self)
        self._measuring.said.connect(self._said_while_measuring)
        self.selecting = Selecting(self)
        self.selecting.changed.connect(self._on_lit)
        self.grabGesture(Qt.GestureType.PinchGesture)

    # what a view made from it says

    def shown(self) -> tuple[Results, Fabric] | None:
        """Return the results, and the tops that the stitches are drawn at."""
        return None

    def paint_scene(self, painter: QPainter) -> None:
        """Paint all but what is under the hand."""
        raise NotImplementedError

    def paint_over(self, painter: QPainter) -> None:
        """Paint what comes and goes with pointing, over everything."""

    # one selection for several views

    def share(self, selecting: Selecting) -> None:
        """Point and select together with other views."""
        self.selecting.changed.disconnect(self._on_lit)
        self.selecting = selecting
        selecting.changed.connect(self._on_lit)

    def light(self, row: int, stitch: int) -> None:
        """Point at a stitch, with its parents and children; -1 at nothing."""
        self.selecting.point(row, stitch)

    def describe(self, about: str) -> None:
        """Say what the view shows; while stitches are selected, say those instead.

        A reader says the whole of it at every step from stitch to stitch.
        """
        self._about = about
        said = self.selection_words()
        text = f"Selected: {said}" if said else about
        if text != self.accessibleDescription():
            self.setAccessibleDescription(text)

    def selection_words(self) -> str:
        """Return what is selected; nothing if nothing is."""
        chosen, results = self.selecting.chosen, self.selecting.results
        return selection_text(results, chosen) if results is not None and chosen else ""

    def _on_lit(self) -> None:
        shown, before, spoken_of = self.shown(), self._marks_lit.rect, self.selecting.results
        if shown is None or (spoken_of is not None and shown[0].rows is not spoken_of.rows):
            return  # other rows are about to be shown here
        self._marks_lit = self._lit_marks(*shown)
        both = before.united(self._marks_lit.rect)
        if not both.isNull():
            self.touch(both.toAlignedRect().adjusted(-1, -1, 1, 1))
        was = self.accessibleDescription()
        self.describe(self._about)
        changed = was != self.accessibleDescription()
        if self.hasFocus() and changed and not speaks_descriptions():
            said = self.selection_words() or "Nothing selected"
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, said))
        self.lit_changed()

    def lit_changed(self) -> None:
        """Follow what is pointed at or selected, beyond the marks."""

    def _lit_marks(self, results: Results, fabric: Fabric) -> LitMarks:
        pointed, chosen = self.selecting.pointed, self.selecting.chosen
        return marks_of(results.rows, fabric, self.drawn_placing, pointed, chosen)

    # painting

    def update(self, *where: Any) -> None:
        """Paint everything anew."""
        self._kept.forget()
        self._drawn = None
        super().update(*where)

    def update_soon(self) -> None:
        """Paint everything anew when its turn comes among the views that share turns with this."""
        self.turns.ask(self)

    def touch(self, where: QRect | None = None) -> None:
        """Paint only what lies over the kept picture anew."""
        if where is None:
            super().update()
        else:
            super().update(where)

    @property
    def drawn_placing(self) -> Placing:
        """The placing that the kept picture shows, or will show."""
        if self._drawn is None:
            self._drawn = self.placing
        return self._drawn

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the scene and what is over it."""
        del event
        with QPainter(self) as painter:
            self._kept.paint(painter, self._paint_kept)
            self._marks_lit.paint(painter, self._theme.tones)
            self.paint_over(painter)
            self._paint_ruler(painter)
            self.paint_focus(painter, self._theme.tones.accent)

    def _paint_kept(self, painter: QPainter) -> None:
        self._drawn = self.placing
        self.paint_scene(painter)
        shown = self.shown()
        self._marks_lit = self._lit_marks(*shown) if shown is not None else LitMarks()

    def changeEvent(self, event: QEvent) -> None:
        """Follow fonts and looks."""
        super().changeEvent(event)
        if event.type() in (
            QEvent.Type.FontChange,
            QEvent.Type.PaletteChange,
            QEvent.Type.StyleChange,
            QEvent.Type.EnabledChange,
        ):
            self._kept.forget()

    def _paint_ruler(self, painter: QPainter) -> None:
        shown = self.shown()
        if shown is not None:
            painter.setFont(small(self.font()))
            canvas, tones = QRectF(self.rect()), self._theme.tones
            self._measuring.paint(painter, shown[0], self.drawn_placing, canvas, tones)

    # places

    def stitch_at(self, point: QPointF) -> Place:
        """Return row and stitch (from the left) of the nearest post, or -1, -1."""
        shown = self.shown()
        return finder_of(shown[1]).at(self._mm(point)) if shown is not None else (-1, -1)

    def _mm(self, point: QPointF) -> tuple[float, float]:
        now = self.drawn_placing
        return (point.x() - now.x) / now.scale, (now.y - point.y()) / now.scale

    def zoom_to_selection(self) -> bool:
        """Show what is selected as large as there is room; return whether anything is."""
        shown, chosen = self.shown(), self.selecting.chosen
        if shown is None or chosen is None:
            return False
        results, fabric = shown
        left, bottom, right, top = self._bounds_mm_of(results, fabric, chosen)
        room = QRectF(self.rect()).adjusted(_MARGIN_PX, _MARGIN_PX, -_MARGIN_PX, -_MARGIN_PX)
        if room.width() < 1 or room.height() < 1:
            return False
        most = 3 * _READABLE_PX / fabric.size.width_mm
        wanted = fitted((left, bottom, right, top), room)
        scale = min(wanted.scale, most)
        x, y = 0.5 * (left + right), 0.5 * (bottom + top)
        middle = room.center()
        self.set_placing(Placing(scale, middle.x() - scale * x, middle.y() + scale * y))
        return True

    def _bounds_mm_of(
        self, results: Results, fabric: Fabric, chosen: Selection
    ) -> tuple[float, float, float, float]:
        lines = outlines_mm(results.rows, fabric, chosen.spans)
        low = [line.min(axis=0).tolist() for line in lines]
        high = [line.max(axis=0).tolist() for line in lines]
        return (
            min(x for x, _ in low),
            min(y for _, y in low),
            max(x for x, _ in high),
            max(y for _, y in high),
        )

    def bring_in(self, place: Place) -> None:
        """Move what is shown so far that a stitch can be seen."""
        shown = self.shown()
        if shown is None:
            return
        row, stitch = place
        x, y = self.drawn_placing.points(shown[1].row_tops_mm(row)[stitch]).tolist()
        inner = QRectF(self.rect()).adjusted(_MARGIN_PX, _MARGIN_PX, -_MARGIN_PX, -_MARGIN_PX)
        right = max(inner.left() - x, 0.0) + min(inner.right() - x, 0.0)
        down = max(inner.top() - y, 0.0) + min(inner.bottom() - y, 0.0)
        if right or down:
            self.pan(right, down)

    def bring_in_any(self, what: Selection) -> None:
        """Move what is shown so far that some of a selection can be seen, if none of it is."""
        shown = self.shown()
        if shown is None:
            return
        inner = QRectF(self.rect()).adjusted(_MARGIN_PX, _MARGIN_PX, -_MARGIN_PX, -_MARGIN_PX)
        middles = [(s.row, (s.first + s.last) // 2) for s in what.spans]
        starts, tops = shown[1].starts, shown[1].tops_mm
        at = np.array([starts[row] + stitch for row, stitch in middles])
        points = self.drawn_placing.points(tops[at])
        away = np.abs(points - (inner.center().x(), inner.center().y()))
        if not (away <= (0.5 * inner.width(), 0.5 * inner.height())).all(axis=1).any():
            self.bring_in(middles[int(np.argmin(away.sum(axis=1)))])

    # hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to measure or to pan; a click that goes nowhere selects."""
        is_left = event.button() == Qt.MouseButton.LeftButton
        if is_left and self._measuring.is_on and not self._space:
            self._measuring.press(self._mm(event.position()), self.shown())
            self._pressed = None
            self.touch()
            return
        self._pressed = event.position() if is_left and not self._space else None
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Pan, measure on, or point at the stitch under the cursor."""
        super().mouseMoveEvent(event)
        if self._panning_from is not None:
            return
        if self._measuring.stretch(self._mm(event.position()), self.shown()):
            self.touch()
        self.stitch_hovered.emit(*self.stitch_at(event.position()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Select what was clicked, if the hand stayed where it was."""
        pressed, self._pressed = self._pressed, None
        super().mouseReleaseEvent(event)
        self._measuring.release(event.position(), self.drawn_placing, self.shown())
        if pressed is not None and is_near(pressed, event.position()):
            extend = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self.click_at(event.position(), extend=extend)
        self._show_hand()

    def click_at(self, point: QPointF, *, extend: bool) -> None:
        """Select the stitch at a point."""
        self.selecting.click(self.stitch_at(point), extend=extend)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Select the repeat under the cursor; off the blanket, show everything."""
        self._pressed = None
        if self._measuring.is_on:
            return
        place = self.stitch_at(event.position())
        if place[0] < 0:
            super().mouseDoubleClickEvent(event)
        else:
            self.selecting.choose_repeat(place)

    def leaveEvent(self, event: object) -> None:
        """Point at nothing."""
        del event
        self.stitch_hovered.emit(-1, -1)

    def event(self, event: QEvent) -> bool:
        """Zoom by pinching on a touch screen."""
        if isinstance(event, QGestureEvent):
            pinch = event.gesture(Qt.GestureType.PinchGesture)
            if isinstance(pinch, QPinchGesture):
                at = self.mapFromGlobal(pinch.centerPoint())
                self.zoom(max(pinch.scaleFactor(), 0.01), QPointF(at))
                event.accept()
                return True
        return super().event(event)

    # keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk, select, measure, zoom; what isn't meant for stitches pans or zooms."""
        mods = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        extend = mods == Qt.KeyboardModifier.ShiftModifier
        if event.key() == _Key.Key_Space and not mods:
            if not event.isAutoRepeat():
                self._space = True
                self._show_hand()
            return
        meant = not mods or extend
        key = event.key()
        if not meant or not (self._walk(key, extend=extend) or self._deed(key, mods)):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """Let go of the space bar."""
        if event.key() == _Key.Key_Space and not event.isAutoRepeat():
            self._space = False
            self._show_hand()
        else:
            super().keyReleaseEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Let go of the space bar, wherever its release is heard."""
        super().focusOutEvent(event)
        if self._space:
            self._space = False
            self._show_hand()

    def _walk(self, key: int, *, extend: bool) -> bool:
        """Go to another stitch if a key says so and one is selected."""
        selecting = self.selecting
        if key in (_Key.Key_Home, _Key.Key_End, _Key.Key_PageUp, _Key.Key_PageDown):
            if selecting.chosen is None:
                self._begin()
            if selecting.chosen is None:
                return False
            row = selecting.chosen.head[0]
            if key in (_Key.Key_Home, _Key.Key_End):
                selecting.to_edge(1 if key == _Key.Key_End else -1, extend=extend)
            else:
                by = _PAGE_ROWS if key == _Key.Key_PageUp else -_PAGE_ROWS
                selecting.to_row(row + by, extend=extend)
        elif key in _ARROWS and selecting.chosen is not None:
            selecting.step(*_ARROWS[key], extend=extend)
        else:
            return False
        if selecting.chosen is not None:
            self.bring_in(selecting.chosen.head)
        return True

    def _deed(self, key: int, mods: Qt.KeyboardModifier) -> bool:
        """Do what a single key is for; return whether it is for anything."""
        if mods:
            return False
        if key in (_Key.Key_Return, _Key.Key_Enter):
            self._begin()
        elif key == _Key.Key_Z:
            self.zoom_to_selection()
        elif key == _Key.Key_M:
            self.measure(not self._measuring.is_on)
        elif key == _Key.Key_Escape and self._measuring.is_on:
            if self._measuring.take_away():
                self.touch()
            else:
                self.measure(False)
        elif key == _Key.Key_Escape:
            return self.selecting.clear()
        else:
            return False
        return True

    def _begin(self) -> None:
        """Select what is pointed at, or the stitch in the middle of what is seen."""
        pointed = self.selecting.pointed
        if pointed is not None:
            self.selecting.choose(pointed)
            return
        place = self.stitch_at(QPointF(self.rect().center()))
        shown = self.shown()
        if place[0] < 0 and shown is not None:
            place = (min(1, shown[1].n_rows), 0)
        self.selecting.click(place)

    # measuring

    @property
    def is_measuring(self) -> bool:
        """Whether clicks measure."""
        return self._measuring.is_on

    @property
    def ruler(self) -> Ruler | None:
        """The ruler that is laid, if there is one."""
        return self._measuring.ruler

    def measure(self, on: bool) -> None:
        """Let clicks measure, or select again."""
        if on == self._measuring.is_on:
            return
        self._measuring.turn(on=on)
        self._show_hand()
        self.touch()
        self.measuring_changed.emit(on)
        self.said.emit(HOW if on else "")

    def _said_while_measuring(self, text: str, is_final: bool) -> None:
        self.said.emit(text)
        if is_final:
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, text))

    def _show_hand(self) -> None:
        """Show by the cursor what a press would do."""
        if self._space:
            self.setCursor(Qt.CursorShape.OpenHandCursor)
        elif self._measuring.is_on:
            self.setCursor(Qt.CursorShape.CrossCursor)
        else:
            self.unsetCursor()
