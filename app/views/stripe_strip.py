"""The stripe sequence as a strip beside the chart, row for row.

Every row of the strip stands level with the end of its row on the chart. The first round of
the sequence is edited; where the sequence goes on by itself, its echo is hatched and shows
which stripe it comes from. All of it works by mouse and by keyboard:

click, Ctrl or Shift     choose one, one more, up to here     Up, Down, with Ctrl or Shift
drag in the margin       choose all under a band              Ctrl+A, Y for all of its yarn
drag a stripe            put it elsewhere                     Alt+Up, Alt+Down
  then Ctrl or Shift     put a copy there, exchange two       Ctrl+C and Ctrl+V, X
drag a border            move rows across it                  + and -
double-click             choose its yarn                      Enter, 1 to 9 for the first yarns
right-click              everything else                      menu key
"""

from typing import Final

from PySide6.QtCore import QEvent, QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QApplication, QToolTip, QWidget

from app.asking import plain_tip
from app.painting.chart import Placing
from app.spoken import Part, Role, Told, tell, tell_current
from app.theme import Theme, paint_focus
from app.views.figures import counted
from app.views.stripes.deeds import StripeDeeds
from app.views.stripes.hands import BorderHand, RubberHand, StripesHand
from app.views.stripes.keys import YARN_KEYS, choose_by_key, do_by_key
from app.views.stripes.menu import stripe_menu, yarn_menu
from app.views.stripes.picture import StripPicture
from app.views.stripes.places import GUTTER_PX, Places
from core.fabric.sheet import Fabric
from core.pipeline import Results
from core.stripes.sequence import Worked

_WIDTH: Final = 84
_HOW: Final = "Drag to move; press Ctrl as you drag to copy, Shift to exchange. Right-click: more"
_Mods = Qt.KeyboardModifier
_Key = Qt.Key


class StripeStrip(QWidget):
    """Shows and edits the stripes of a design beside its chart."""

    wish = Signal(str, object, object)  # text of the step, the edit, its gesture
    yarn_wished = Signal(int)  # a new yarn for this stripe
    rows_hovered = Signal(int, int)  # first and last row of the stripe pointed at; -1, -1 for none
    wheeled = Signal(int)  # pixels upwards that the chart beside it should move

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._results: Results | None = None
        self._places = Places()
        self._places.width = _WIDTH
        self._picture = StripPicture(self._places, self.font())
        self._hand: BorderHand | StripesHand | RubberHand | None = None
        self._lit: tuple[tuple[int, int, bool], ...] = ()
        self._under: Worked | None = None  # the stripe under the pointer
        self.deeds = StripeDeeds(self)
        self.deeds.wish.connect(self.wish)
        self.deeds.yarn_wished.connect(self.yarn_wished)
        self.deeds.chosen_changed.connect(self._on_chosen)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setFixedWidth(_WIDTH)
        self.setAccessibleName("Stripes")
        tell(
            self,
            Told(
                role=Role.List,
                count=lambda: self._places.own,
                part=self._part,
                current=lambda: self.deeds.choice.current,
            ),
        )
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return a slim strip."""
        return QSize(_WIDTH, 300)

    # what is shown

    def show_results(self, results: Results, fabric: Fabric) -> None:
        """Show the stripes of these results, their rows as high as on `fabric`."""
        before = self._results
        if before is not None and len(results.design.stripes.sequence) != len(
            before.design.stripes.sequence
        ):
            self._hand = None  # what was in hand may be gone
        self._results = results
        self._places.show(results.design.stripes, results.rows.drawn_rows, fabric)
        self.deeds.show_results(results)
        self._on_chosen()

    def set_placing(self, placing: Placing) -> None:
        """Follow the chart's scale and place."""
        self._places.placing = placing
        self.update()

    @property
    def chosen(self) -> int:
        """Number of the stripe that keys act on."""
        return self.deeds.choice.current

    def choose(self, stripe: int) -> None:
        """Let keys act on one stripe."""
        if self._results is not None:
            self.deeds.only(stripe)

    def _on_chosen(self) -> None:
        """Say what is chosen to whoever can't see it."""
        self.setAccessibleDescription(self.deeds.describe())
        tell_current(self)
        self.update()

    def _part(self, number: int) -> Part:
        chosen = number in self.deeds.choice.numbers
        place = self._rect(self._worked[number]).toAlignedRect()
        return Part(self.deeds.words_of(number), place, chosen)

    def light(self, rows: tuple[tuple[int, int, bool], ...]) -> None:
        """Mark rows, by first, last and whether they are selected rather than pointed at."""
        if rows != self._lit:
            for first, last, _ in (*self._lit, *rows):
                top, bottom = self._places.y(last), self._places.y(first - 1)
                self.update(0, round(top) - 8, self.width(), round(bottom - top) + 16)
            self._lit = rows

    def _point(self, y: float | None) -> None:
        worked = None if y is None or self._places.is_beyond(y) else self._places.stripe_at(y)
        if worked != self._under:
            self._under = worked
            self.rows_hovered.emit(*((worked.first, worked.last) if worked else (-1, -1)))

    # places

    @property
    def _worked(self) -> tuple[Worked, ...]:
        return self._places.worked

    def _rect(self, worked: Worked) -> QRectF:
        return self._places.rect(worked)

    def _y(self, row: int) -> float:
        return self._places.y(row)

    # painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the stripes in view."""
        tones, picture, hand = self._theme.tones, self._picture, self._hand
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(tones.sheet))
            if self._results is None:
                return
            seen = event.rect()
            picture.paint(painter, self._results.design, tones, seen.bottom(), seen.top())
            picture.paint_chosen(painter, self.deeds.choice, tones, has_focus=self.hasFocus())
            for first, last, selected in self._lit:
                picture.paint_lit(painter, first, last, tones, selected=selected)
            if isinstance(hand, StripesHand) and hand.is_carried:
                if self._exchanges(hand):
                    picture.paint_target(painter, hand.onto, tones)
                else:
                    picture.paint_landing(painter, hand.gap, tones)
            elif isinstance(hand, RubberHand):
                picture.paint_rubber(painter, hand.from_y, hand.to_y, tones)
            if self.hasFocus():
                paint_focus(painter, self.rect(), tones)

    # mouse

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose stripes, or take hold of them, of a border or of a band."""
        if event.button() != Qt.MouseButton.LeftButton or self._results is None:
            return
        y, mods = event.position().y(), event.modifiers()
        is_plain = not mods & (_Mods.ShiftModifier | _Mods.ControlModifier)
        in_margin = event.position().x() < GUTTER_PX
        border = self._places.border_at(y) if is_plain and not in_margin else None
        if border is not None:
            sequence = self._results.design.stripes.sequence
            self._hand = BorderHand(border, self._worked[border].last, sequence)
            self.deeds.only(border)
            return
        worked = self._places.stripe_at(y)
        if worked is None or in_margin or self._places.is_beyond(y):
            kept = self.deeds.choice.numbers if not is_plain else frozenset[int]()
            self._hand = RubberHand(y, y, kept)
        else:
            self._take(worked, y, mods)

    def _take(self, worked: Worked, y: float, mods: Qt.KeyboardModifier) -> None:
        """Choose a stripe and have it in hand, with others that are chosen."""
        deeds, number = self.deeds, worked.entry
        hand = StripesHand(number, y)
        if mods & _Mods.ShiftModifier:
            deeds.reach(number)
            hand = StripesHand(number, y)
        elif mods & _Mods.ControlModifier:
            deeds.toggle(number)
        elif number in deeds.choice.numbers and len(deeds.choice.numbers) > 1:
            deeds.point(number)
            hand.only_on_release = True
        else:
            deeds.only(number)
        is_own = number < len(self._worked) and self._worked[number] == worked
        self._hand = hand if is_own else None

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is in hand, or show what could be taken."""
        y, hand = event.position().y(), self._hand
        if isinstance(hand, BorderHand):
            self._drag_border(hand, y, event.globalPosition().toPoint())
        elif isinstance(hand, StripesHand):
            if not hand.is_carried and hand.stripe not in self.deeds.choice.numbers:
                self.deeds.only(hand.stripe)  # Ctrl took it from the choice, but it is dragged
            hand.carry(y, self._places)
            if hand.is_carried:
                copies = event.modifiers() & _Mods.ControlModifier
                shape = Qt.CursorShape.DragCopyCursor if copies else Qt.CursorShape.ClosedHandCursor
                self.setCursor(shape)
            self.update()
        elif isinstance(hand, RubberHand):
            hand.to_y = y
            self.deeds.these(hand.chosen(self._places))
        elif self._results is not None:
            self._point(y)
            in_margin = event.position().x() < GUTTER_PX
            near = not in_margin and self._places.border_at(y) is not None
            shape = Qt.CursorShape.SizeVerCursor if near else Qt.CursorShape.PointingHandCursor
            self.setCursor(Qt.CursorShape.CrossCursor if in_margin else shape)

    def _drag_border(self, hand: BorderHand, y: float, at: QPoint) -> None:
        assert self._results is not None
        edit = hand.edit_for(self._places.nearest_border(y))
        if edit is not None:
            self.wish.emit("Move stripe border", edit, hand)
        rows = self._results.design.stripes.sequence[hand.stripe].rows
        QToolTip.showText(at, counted(rows, "row"), self)

    def _exchanges(self, hand: StripesHand) -> bool:
        held = QApplication.keyboardModifiers() & _Mods.ShiftModifier
        return bool(held) and len(self.deeds.chosen) == 1

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        hand, self._hand = self._hand, None
        if isinstance(hand, StripesHand):
            mods = event.modifiers()
            if not hand.is_carried:
                if hand.only_on_release:
                    self.deeds.only(hand.stripe)
            elif mods & _Mods.ControlModifier:
                self.deeds.copy_to(hand.gap)
            elif mods & _Mods.ShiftModifier and len(self.deeds.chosen) == 1:
                self.deeds.exchange(hand.stripe, hand.onto)
            else:
                self.deeds.move_to(hand.gap)
        elif isinstance(hand, RubberHand):
            self.deeds.these(hand.chosen(self._places))
        self.unsetCursor()
        self.update()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Move chart and strip up or down together."""
        self.wheeled.emit(event.pixelDelta().y() or event.angleDelta().y() // 2)
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Choose a yarn."""
        if event.position().x() >= GUTTER_PX and self._places.stripe_at(event.position().y()):
            self._hand = None
            self.show_yarns(event.globalPosition().toPoint())

    def leaveEvent(self, event: object) -> None:
        """Give the cursor back, and point at nothing."""
        del event
        self._point(None)
        self.unsetCursor()

    def event(self, event: QEvent) -> bool:
        """Say what lies under the cursor."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            QToolTip.showText(event.globalPos(), plain_tip(self._said_at(event.pos().y())), self)
            return True
        return super().event(event)

    def _said_at(self, y: float) -> str:
        worked = self._places.stripe_at(y)
        if worked is None or self._results is None:
            return ""
        design = self._results.design
        stripe = design.stripes.sequence[worked.entry]
        name, rows = design.yarns[worked.yarn].name, counted(worked.rows, "row")
        number = self._worked.index(worked)
        if self._places.is_echo(number):
            return f"{rows} of {name}: the echo of stripe {worked.entry + 1}. Change it there."
        label = f" ({stripe.label})" if stripe.label else ""
        locked = ", locked" if stripe.locked else ""
        return f"Stripe {worked.entry + 1}{label}: {rows} of {name}{locked}.\n{_HOW}"

    # keys and menu

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do by keyboard whatever the mouse can."""
        if self._results is None or not self._does(event):
            super().keyPressEvent(event)
        else:
            self._bring_into_view()

    def _does(self, event: QKeyEvent) -> bool:
        """Do what a key is for; return whether it is for anything here."""
        if event.key() == Qt.Key.Key_Escape:
            self._let_go()
        elif event.key() in YARN_KEYS and not event.modifiers() & ~_Mods.KeypadModifier:
            self._show_yarns_here()
        else:
            return choose_by_key(self.deeds, event) or do_by_key(self.deeds, event)
        return True

    def _bring_into_view(self) -> None:
        """Have the chart moved so far that the stripe that keys point at can be seen."""
        if self.chosen >= len(self._worked):
            return
        rect = self._rect(self._worked[self.chosen])
        if rect.top() < 0:
            self.wheeled.emit(round(min(GUTTER_PX - rect.top(), self.height() - rect.bottom())))
        elif rect.bottom() > self.height():
            self.wheeled.emit(round(max(self.height() - rect.bottom() - GUTTER_PX, -rect.top())))

    def changeEvent(self, event: QEvent) -> None:
        """Follow the system's text size."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.ApplicationFontChange):
            self._picture = StripPicture(self._places, self.font())

    def _let_go(self) -> None:
        """Put back what is in hand, or choose only what is pointed at."""
        hand, self._hand = self._hand, None
        if isinstance(hand, BorderHand):
            self.wish.emit("Move stripe border", hand.back(), hand)
        elif hand is None:
            self.deeds.only(self.deeds.choice.current)
        self.unsetCursor()
        self.update()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer everything that can be done to the chosen stripes."""
        at = event.globalPos()
        if event.reason() == QContextMenuEvent.Reason.Mouse:
            worked = self._places.stripe_at(event.pos().y())
            if worked is not None and worked.entry not in self.deeds.choice.numbers:
                self.choose(worked.entry)
        else:
            at = self._below_chosen()
        stripe_menu(self.deeds, self).exec(at)

    def show_yarns(self, at: QPoint) -> None:
        """Offer the design's yarns for the chosen stripes."""
        yarn_menu(self.deeds, self).exec(at)

    def _show_yarns_here(self) -> None:
        self.show_yarns(self._below_chosen())

    def _below_chosen(self) -> QPoint:
        number = min(self.chosen, len(self._worked) - 1)
        return self.mapToGlobal(self._rect(self._worked[number]).center().toPoint())
