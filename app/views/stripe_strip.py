"""The stripe sequence as a strip beside the chart, row for row.

Every row of the strip stands level with the end of its row on the chart. The first round of
the sequence is edited; where the sequence goes on by itself, its echo is hatched and shows
which stripe it comes from. All of it works by mouse and by keyboard:

drag a stripe            put it elsewhere          Alt+Up, Alt+Down
drag a border            move rows across it       + and -
double-click, Enter      choose its yarn           1 to 9 for the first yarns
right-click, menu key    everything else           Ins, Ctrl+D, Del
"""

from collections.abc import Callable
from functools import partial
from typing import Final

import numpy as np
from PySide6.QtCore import QPoint, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QColor,
    QContextMenuEvent,
    QIcon,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QWheelEvent,
)
from PySide6.QtWidgets import QMenu, QToolTip, QWidget

from app.painting.chart import Placing
from app.theme import Theme
from core.design import edits
from core.design.document import Design, Stripe
from core.fabric.sheet import Fabric
from core.pipeline import Results
from core.stripes.colour import ink_on
from core.stripes.sequence import Worked, worked_stripes

_GRIP_PX: Final = 5
_WIDTH: Final = 76


class StripeStrip(QWidget):
    """Shows and edits the stripes of a design beside its chart."""

    wish = Signal(str, object, object)  # text of the step, the edit, its gesture
    yarn_wished = Signal(int)  # a new yarn for this stripe
    wheeled = Signal(int)  # pixels upwards that the chart beside it should move

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._results: Results | None = None
        self._worked: tuple[Worked, ...] = ()
        self._borders_mm = np.zeros(1)
        self._placing = Placing(1.0, 0.0, 0.0)
        self._chosen = 0
        self._grip: _Grip | None = None
        self._carried: _Carried | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setFixedWidth(_WIDTH)
        self.setAccessibleName("Stripes")
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return a slim strip."""
        return QSize(_WIDTH, 300)

    # what is shown

    def show_results(self, results: Results, fabric: Fabric) -> None:
        """Show the stripes of these results, their rows as high as on `fabric`."""
        if self._results is not None and len(results.design.stripes.sequence) != len(
            self._results.design.stripes.sequence
        ):
            self._grip = self._carried = None  # what was in hand may be gone
        self._results = results
        self._worked = worked_stripes(results.design.stripes, results.rows.drawn_rows)
        ends = [-1] * (fabric.n_rows + 1)
        tops = fabric.tops_mm[fabric.starts[1:] + np.array(ends), 1]
        self._borders_mm = np.maximum.accumulate(tops)
        self._chosen = min(self._chosen, len(results.design.stripes.sequence) - 1)
        self._describe()
        self.update()

    def set_placing(self, placing: Placing) -> None:
        """Follow the chart's scale and place."""
        self._placing = placing
        self.update()

    @property
    def chosen(self) -> int:
        """Number of the stripe that keys act on."""
        return self._chosen

    def choose(self, stripe: int) -> None:
        """Let keys act on a stripe."""
        if self._results is None:
            return
        last = len(self._results.design.stripes.sequence) - 1
        self._chosen = min(max(stripe, 0), last)
        self._describe()
        self.update()

    def _describe(self) -> None:
        """Say the chosen stripe to whoever can't see it."""
        if self._results is None:
            return
        design = self._results.design
        stripe = design.stripes.sequence[self._chosen]
        count = len(design.stripes.sequence)
        rows = "1 row" if stripe.rows == 1 else f"{stripe.rows} rows"
        name = design.yarns[stripe.yarn].name
        self.setAccessibleDescription(f"Stripe {self._chosen + 1} of {count}: {rows} of {name}")

    # places

    def _y(self, row: int) -> float:
        """Return where the top of a row lies on the strip; row 0 is the foundation."""
        row = min(max(row, 0), len(self._borders_mm) - 1)
        return self._placing.y - self._placing.scale * float(self._borders_mm[row])

    def _rect(self, worked: Worked) -> QRectF:
        top, bottom = self._y(worked.last), self._y(worked.first - 1)
        return QRectF(4, top, self.width() - 8, bottom - top)

    def _row_at(self, y: float) -> int:
        """Return the row under a height of the strip, 1 or more."""
        y_mm = (self._placing.y - y) / self._placing.scale
        row = int(np.searchsorted(self._borders_mm, y_mm, side="left"))
        return min(max(row, 1), max(len(self._borders_mm) - 1, 1))

    def _stripe_at(self, y: float) -> Worked | None:
        row = self._row_at(y)
        return next((s for s in self._worked if s.first <= row <= s.last), None)

    def _first_round(self) -> int:
        """Return how many of the worked stripes are the sequence itself, not its echo."""
        assert self._results is not None
        return min(len(self._results.design.stripes.sequence), len(self._worked))

    def _border_at(self, y: float) -> int | None:
        """Return the number of the stripe whose upper border is near, if one is."""
        for number in range(self._first_round()):
            if abs(self._y(self._worked[number].last) - y) <= _GRIP_PX:
                return number
        return None

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the stripes in view."""
        tones = self._theme.tones
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(tones.sheet))
            if self._results is None:
                return
            design, own = self._results.design, self._first_round()
            for number, worked in enumerate(self._worked):
                rect = self._rect(worked)
                if rect.bottom() < 0 or rect.top() > self.height():
                    continue
                self._paint_stripe(painter, design, worked, rect, is_echo=number >= own)
            self._paint_chosen(painter)
            if self._carried is not None:
                y = self._carried.line_y
                painter.setPen(QPen(QColor(tones.accent), 3))
                painter.drawLine(QPointF(0, y), QPointF(self.width(), y))

    def _paint_stripe(
        self, painter: QPainter, design: Design, worked: Worked, rect: QRectF, *, is_echo: bool
    ) -> None:
        colour = design.yarns[worked.yarn].colour
        painter.fillRect(rect, QColor(colour))
        if is_echo:
            hatch = QColor(self._theme.tones.sheet)
            hatch.setAlpha(120)
            painter.setPen(QPen(hatch, 1))
            painter.fillRect(QRectF(rect.left(), rect.top(), 10, rect.height()), hatch)
        painter.setPen(QPen(QColor(self._theme.tones.hairline), 1))
        painter.drawRect(rect)
        if rect.height() >= self.fontMetrics().height() * 0.8:
            painter.setPen(QColor(ink_on(colour)))
            text = str(worked.rows) if not is_echo else f"{worked.entry + 1}: {worked.rows}"
            painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, text)

    def _paint_chosen(self, painter: QPainter) -> None:
        if self._chosen < len(self._worked):
            tones = self._theme.tones
            width = 3 if self.hasFocus() else 2
            painter.setPen(QPen(QColor(tones.field), width + 2))
            rect = self._rect(self._worked[self._chosen]).adjusted(1, 1, -1, -1)
            painter.drawRect(rect)
            painter.setPen(QPen(QColor(tones.accent if self.hasFocus() else tones.ink), width))
            painter.drawRect(rect)

    # mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose a stripe, or take hold of it or of its border."""
        if event.button() != Qt.MouseButton.LeftButton or self._results is None:
            return
        y = event.position().y()
        border = self._border_at(y)
        if border is not None:
            sequence = self._results.design.stripes.sequence
            self._grip = _Grip(border, self._worked[border].last, sequence)
            self.choose(border)
            return
        worked = self._stripe_at(y)
        if worked is not None:
            self.choose(worked.entry)
            if worked.entry < len(self._worked) and self._worked[worked.entry] == worked:
                self._carried = _Carried(worked.entry, y, -10.0, worked.entry)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag a border or a stripe, or say what lies under the cursor."""
        y = event.position().y()
        if self._grip is not None:
            self._drag_border(y, event.globalPosition().toPoint())
        elif self._carried is not None:
            self._drag_stripe(y)
        elif self._results is not None:
            near = self._border_at(y) is not None
            shape = Qt.CursorShape.SizeVerCursor if near else Qt.CursorShape.PointingHandCursor
            self.setCursor(shape)

    def _drag_border(self, y: float, at: QPoint) -> None:
        assert self._grip is not None and self._results is not None
        grip = self._grip
        nearest = int(np.argmin([abs(self._y(row) - y) for row in range(len(self._borders_mm))]))
        moved = nearest - grip.last_row
        if moved != grip.moved:
            grip.moved = moved
            self.wish.emit("Move stripe border", partial(_border_moved, grip=grip), grip)
        rows = self._results.design.stripes.sequence[grip.stripe].rows
        QToolTip.showText(at, f"{rows} {'row' if rows == 1 else 'rows'}", self)

    def _drag_stripe(self, y: float) -> None:
        assert self._carried is not None
        carried = self._carried
        if abs(y - carried.from_y) < 2 * _GRIP_PX and carried.line_y < 0:
            return
        middles = [self._rect(worked).center().y() for worked in self._worked]
        middles = middles[: self._first_round()]
        to = sum(middle > y for middle in middles)  # the strip grows upwards
        carried.to = to if to <= carried.stripe else to - 1
        edge = self._worked[to].first - 1 if to < len(self._worked) else self._worked[-1].last
        carried.line_y = self._y(edge)
        self.setCursor(Qt.CursorShape.ClosedHandCursor)
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        del event
        carried, self._carried, self._grip = self._carried, None, None
        if carried is not None and carried.line_y >= 0 and carried.to != carried.stripe:
            self._move(carried.stripe, carried.to)
        self.unsetCursor()
        self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Move chart and strip up or down together."""
        self.wheeled.emit(event.pixelDelta().y() or event.angleDelta().y() // 2)
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Choose a yarn."""
        if self._stripe_at(event.position().y()) is not None:
            self.show_yarns(event.globalPosition().toPoint())

    def leaveEvent(self, event: object) -> None:
        """Give the cursor back."""
        del event
        self.unsetCursor()

    # keys and menu

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do by keyboard whatever the mouse can."""
        alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        ctrl = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        match event.key():
            case Qt.Key.Key_Up if alt:
                self._move(self._chosen, self._chosen + 1)
            case Qt.Key.Key_Down if alt:
                self._move(self._chosen, self._chosen - 1)
            case Qt.Key.Key_Up:
                self.choose(self._chosen + 1)
            case Qt.Key.Key_Down:
                self.choose(self._chosen - 1)
            case Qt.Key.Key_Plus | Qt.Key.Key_Equal:
                self.change_rows(1)
            case Qt.Key.Key_Minus:
                self.change_rows(-1)
            case Qt.Key.Key_Return | Qt.Key.Key_Enter | Qt.Key.Key_Space:
                self.show_yarns(self._below_chosen())
            case Qt.Key.Key_Insert:
                self.add()
            case Qt.Key.Key_Delete | Qt.Key.Key_Backspace:
                self.remove()
            case Qt.Key.Key_D if ctrl:
                self.duplicate()
            case key if Qt.Key.Key_1 <= key <= Qt.Key.Key_9:
                self._set_yarn(key - Qt.Key.Key_1)
            case _:
                super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer everything that can be done to a stripe."""
        if event.reason() == QContextMenuEvent.Reason.Mouse:
            worked = self._stripe_at(event.pos().y())
            if worked is not None:
                self.choose(worked.entry)
        menu = QMenu(self)
        menu.addMenu(self._yarn_menu(menu))
        for text, shortcut, action in (
            ("One row more", "+", partial(self.change_rows, 1)),
            ("One row less", "-", partial(self.change_rows, -1)),
            ("Add a stripe above", "Ins", self.add),
            ("Duplicate", "Ctrl+D", self.duplicate),
            ("Split in two", "", self.split),
            ("Move up", "Alt+Up", partial(self._move, self._chosen, self._chosen + 1)),
            ("Move down", "Alt+Down", partial(self._move, self._chosen, self._chosen - 1)),
            ("Delete", "Del", self.remove),
        ):
            self._add_action(menu, text, shortcut, action)
        menu.exec(event.globalPos())

    @staticmethod
    def _add_action(menu: QMenu, text: str, shortcut: str, action: Callable[[], None]) -> None:
        entry = QAction(f"{text}\t{shortcut}" if shortcut else text, menu)
        entry.triggered.connect(lambda: action())
        menu.addAction(entry)

    def show_yarns(self, at: QPoint) -> None:
        """Offer the design's yarns for the chosen stripe."""
        menu = QMenu(self)
        self._yarn_menu(menu).exec(at)

    def _yarn_menu(self, parent: QMenu) -> QMenu:
        menu = QMenu("Yarn", parent)
        if self._results is None:
            return menu
        for number, yarn in enumerate(self._results.design.yarns):
            swatch = QPixmap(20, 14)
            swatch.fill(QColor(yarn.colour))
            key = f"&{number + 1}  " if number < 9 else ""
            entry = QAction(QIcon(swatch), key + yarn.name.replace("&", "&&"), menu)
            stripe = self._stripe()
            if stripe is not None and stripe.yarn == number:
                menu.setDefaultAction(entry)
            entry.triggered.connect(partial(self._set_yarn, number))
            menu.addAction(entry)
        menu.addSeparator()
        new = QAction("New yarn…", menu)
        new.triggered.connect(lambda: self.yarn_wished.emit(self._chosen))
        menu.addAction(new)
        return menu

    def _below_chosen(self) -> QPoint:
        number = min(self._chosen, len(self._worked) - 1)
        return self.mapToGlobal(self._rect(self._worked[number]).center().toPoint())

    # edits

    def change_rows(self, by: int) -> None:
        """Make the chosen stripe longer or shorter."""
        stripe = self._stripe()
        if stripe is not None and stripe.rows + by >= 1:
            edit = partial(edits.set_stripe, number=self._chosen, rows=stripe.rows + by)
            self.wish.emit("Change stripe rows", edit, None)

    def add(self) -> None:
        """Put a stripe in above the chosen one, in the next yarn of the list."""
        stripe = self._stripe()
        if stripe is None or self._results is None:
            return
        new = Stripe((stripe.yarn + 1) % len(self._results.design.yarns), stripe.rows)
        self.wish.emit(
            "Add stripe", partial(edits.add_stripe, at=self._chosen + 1, stripe=new), None
        )
        self.choose(self._chosen + 1)

    def duplicate(self) -> None:
        """Work the chosen stripe twice."""
        if self._stripe() is not None:
            edit = partial(edits.duplicate_stripe, number=self._chosen)
            self.wish.emit("Duplicate stripe", edit, None)
            self.choose(self._chosen + 1)

    def split(self) -> None:
        """Cut the chosen stripe into halves."""
        stripe = self._stripe()
        if stripe is not None and stripe.rows > 1:
            edit = partial(edits.split_stripe, number=self._chosen, rows=stripe.rows // 2)
            self.wish.emit("Split stripe", edit, None)

    def remove(self) -> None:
        """Take the chosen stripe out."""
        if self._results is not None and len(self._results.design.stripes.sequence) > 1:
            self.wish.emit("Delete stripe", partial(edits.remove_stripe, number=self._chosen), None)

    def _move(self, stripe: int, to: int) -> None:
        if self._results is None:
            return
        to = min(max(to, 0), len(self._results.design.stripes.sequence) - 1)
        if to != stripe:
            self.wish.emit("Move stripe", partial(edits.move_stripe, number=stripe, to=to), None)
            self.choose(to)

    def _set_yarn(self, yarn: int) -> None:
        if self._results is not None and yarn < len(self._results.design.yarns):
            edit = partial(edits.set_stripe, number=self._chosen, yarn=yarn)
            self.wish.emit("Change stripe yarn", edit, None)

    def _stripe(self) -> Stripe | None:
        if self._results is None:
            return None
        return self._results.design.stripes.sequence[self._chosen]


class _Grip:
    """A border in hand: the sequence it was taken in, and how far it has come."""

    def __init__(self, stripe: int, last_row: int, sequence: tuple[Stripe, ...]) -> None:
        self.stripe = stripe
        self.last_row = last_row
        self.sequence = sequence
        self.moved = 0


def _border_moved(design: Design, grip: _Grip) -> Design:
    """Return the design with the border as far from its start as the hand is."""
    start = edits.set_sequence(design, grip.sequence)
    return edits.move_border(start, grip.stripe, grip.moved)


class _Carried:
    """A stripe in hand: where it was taken up, and where it would go."""

    def __init__(self, stripe: int, from_y: float, line_y: float, to: int) -> None:
        self.stripe = stripe
        self.from_y = from_y
        self.line_y = line_y
        self.to = to
