"""How a figure is known, shown under it: formula, inputs with their values, and the source.

A widget that shows a figure says by a property which one it is; Shift+F1 or its context menu then
shows the explanation. `core.explain` has all of them.
"""

from collections.abc import Callable, Mapping
from functools import partial
from operator import attrgetter
from typing import Any, Final

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QAction, QCursor, QGuiApplication, QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QGridLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT, figure, small
from app.views.figures import length, number, plain, small_length, yarn_length
from core.design.document import Units
from core.explain.figures import STANDINGS, Explanation, Given

KEYS: Final = "Shift+F1"
_KEY: Final = "explains"
_WIDTH: Final = 360
_MOST_PX: Final = 520

PAGE_FIGURES: Final[Mapping[str, Mapping[str, str]]] = {
    "swatch": {
        "stitch_width": "stitch width",
        "row_height": "row height",
        "repeat_width": "repeat width",
        "rise": "rise",
        "wave_height": "wave height",
        "lean": "lean",
        "chain": "chain length",
        "width_figure": "width",
        "draw_in": "draw in",
    },
    "yarn": {
        "in_rows": "yarn in rows",
        "foundation": "yarn in foundation",
        "lines.fill_rows": "yarn in fill",
        "border": "yarn in border",
        "tails": "yarn in tails",
        "spare": "yarn to spare",
        "together": "yarn together",
        "lines.weight": "yarn weight",
        "lines.balls": "yarn balls",
        "lines.to_buy": "yarn short",
        "all_length": "all length",
        "all_weight": "all weight",
        "all_balls": "all balls",
        "all_to_buy": "all to buy",
        "cost": "cost",
        "ends": "tails",
    },
    "edging": {
        "side_total": "border side",
        "first_round": "border round",
        "last_round": "border last round",
        "all_metres": "border yarn",
        "finished": "border finished",
    },
}
"""The pages' main figures: the page's name in the window, then its figures' names in the page."""


def explained_by(widget: QWidget, key: str) -> None:
    """Say that a widget shows a figure."""
    widget.setProperty(_KEY, key)


def name_figures(page_name: str, page: Any) -> None:
    """Say of a page's main figures which they are."""
    for name, key in PAGE_FIGURES.get(page_name, {}).items():
        explained_by(attrgetter(name)(page), key)
    if page_name == "edging":
        for end, part in page.ends.items():
            explained_by(part.bump, f"fill {end}")
            explained_by(page.end_figures[end][1], f"border {end}")


def explain_figures(inside: QWidget, answer: Callable[[QWidget], object]) -> None:
    """Let the context menu of every figure inside a widget explain it; to be called once."""
    for widget in inside.findChildren(QWidget):
        if widget.property(_KEY):
            action = QAction("How do we know?", widget)
            action.triggered.connect(partial(_ask, answer, widget))
            widget.addAction(action)
            widget.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)


def key_of(widget: QWidget | None) -> str:
    """Return which figure a widget, or one that it lies in, shows; empty if none."""
    while widget is not None:
        key = widget.property(_KEY)
        if key:
            return str(key)
        widget = widget.parentWidget()
    return ""


def asked_widget() -> QWidget | None:
    """Return the widget that is asked about: with the focus, else under the pointer."""
    for widget in (QApplication.focusWidget(), QApplication.widgetAt(QCursor.pos())):
        if key_of(widget):
            return widget
    return None


def _ask(answer: Callable[[QWidget], object], widget: QWidget, checked: bool = False) -> None:
    del checked
    answer(widget)


def given_text(given: Given, units: Units) -> str:
    """Return a figure as the window writes it."""
    amount = given.amount
    if isinstance(amount, str):
        return amount
    match given.kind:
        case "mm":
            return length(amount, units)
        case "fine mm":
            return small_length(amount, units)
        case "m":
            return yarn_length(amount, units, 1)
        case "g":
            return f"{number(amount)} g"
        case "deg":
            return f"{number(amount)}°"
        case "share":
            return f"{number(100 * amount, 1)} %"
        case "money":
            return number(amount, 2)
        case "number":
            return plain(amount, 2)
        case _:
            return number(amount)


class Explained(QFrame):
    """An explanation, laid out to be read."""

    def __init__(
        self, explanation: Explanation, units: Units, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        result = explanation.result
        head = QLabel(f"{result.name}: {given_text(result, units)}", self)
        head.setFont(figure(self.font(), large=1.15))
        column.addWidget(head)
        how = QLabel(explanation.how, self)
        column.addWidget(how)
        grid = QGridLayout()
        grid.setHorizontalSpacing(2 * UNIT)
        grid.setVerticalSpacing(2)
        grid.setColumnStretch(0, 1)
        for row, given in enumerate(explanation.given):
            name, amount = QLabel(given.name, self), QLabel(given_text(given, units), self)
            name.setProperty("quiet", True)
            name.setWordWrap(True)
            amount.setFont(figure(self.font(), large=1.0))
            amount.setAlignment(Qt.AlignmentFlag.AlignRight)
            grid.addWidget(name, row, 0)
            grid.addWidget(amount, row, 1)
        column.addLayout(grid)
        source = QLabel(standing_text(explanation), self)
        source.setFont(small(QApplication.font()))
        source.setProperty("quiet", True)
        column.addWidget(source)
        column.addStretch(1)
        for label in self.findChildren(QLabel):
            label.setTextFormat(Qt.TextFormat.PlainText)
        for line in (head, how, source):
            line.setWordWrap(True)
        self.setAccessibleName(f"{result.name}: {given_text(result, units)}")
        told = "; ".join(f"{given.name} {given_text(given, units)}" for given in explanation.given)
        self.setAccessibleDescription(f"{explanation.how} {told}. {standing_text(explanation)}")


def standing_text(explanation: Explanation) -> str:
    """Return how far to trust a figure, and its source."""
    text = STANDINGS[explanation.standing]
    return f"{text} {explanation.source}" if explanation.source else text


class KnowPopover(QFrame):
    """A small frame under a figure that explains it; Escape or a click beside it closes it."""

    all_wished = Signal(str)  # every figure, with this one to begin with

    def __init__(
        self, explanation: Explanation, units: Units, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent, Qt.WindowType.Popup)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setProperty("slip", True)
        self.setObjectName("know")
        body = Explained(explanation, units)
        self.setAccessibleName(body.accessibleName())
        self.setAccessibleDescription(body.accessibleDescription())
        scroll = QScrollArea(self)
        scroll.setWidgetResizable(True)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(body)
        body.setAutoFillBackground(False)
        scroll.viewport().setAutoFillBackground(False)
        self.more = QPushButton("&All figures…", self)
        self.more.setToolTip("How every other figure is known")
        self.more.clicked.connect(lambda: self._go_on(explanation.key))
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(scroll, 1)
        column.addWidget(self.more, 0, Qt.AlignmentFlag.AlignLeft)
        self.setFixedWidth(_WIDTH)
        high = body.heightForWidth(_WIDTH - 4 * UNIT) + self.more.sizeHint().height() + 6 * UNIT
        self.setFixedHeight(min(high, _MOST_PX))

    def open_under(self, widget: QWidget) -> None:
        """Open under a widget, where there is room on its screen."""
        place = widget.mapToGlobal(widget.rect().bottomLeft()) + QPoint(0, UNIT // 2)
        screen = QGuiApplication.screenAt(place) or widget.screen()
        room = screen.availableGeometry()
        x = min(max(place.x(), room.left()), room.right() - self.width())
        y = place.y()
        if y + self.height() > room.bottom():
            y = widget.mapToGlobal(QPoint(0, 0)).y() - self.height() - UNIT // 2
        self.move(x, max(y, room.top()))
        self.show()
        self.more.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Close with Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self.close()
        else:
            super().keyPressEvent(event)

    def _go_on(self, key: str) -> None:
        self.all_wished.emit(key)
        self.close()
