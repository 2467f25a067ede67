"""Which loops rows are worked into: a short menu, and a small frame to choose them row by row."""

from collections.abc import Callable
from functools import partial
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QWidget,
)

from app.theme import UNIT
from core.design import edits
from core.design.document import Design, WorkIn
from core.stripes.loops import PLANS, Plan, first_row_of, plan_of

_MENU: Final[dict[Plan, str]] = {
    "both": "Both loops",
    "back": "The back loops",
    "front": "The front loops",
    "colour": "Back loops in the first row of each colour, then both",
}
_LOOPS: Final[dict[WorkIn, str]] = {
    "both": "both loops",
    "back": "back loop",
    "front": "front loop",
}
_MOST: Final = 12  # rows that the frame shows; a file may hold more
_TEXT: Final = "Change loops"


def loops_menu(
    design: Design,
    wish: Callable[[str, edits.Edit], object],
    row_by_row: Callable[[], object],
    parent: QWidget,
) -> QMenu:
    """Return the menu of the ways to choose loops; the last one opens the frame."""
    menu = QMenu(parent)
    group = QActionGroup(menu)  # only one of them can hold
    now = plan_of(design.loops)
    for plan, words in _MENU.items():
        action = QAction(words, menu)
        action.setCheckable(True)
        action.setChecked(plan == now)
        edit = partial(edits.set_loops, **PLANS[plan])
        action.triggered.connect(partial(_on_chosen, wish, edit))
        group.addAction(action)
        menu.addAction(action)
        if plan == now:
            menu.setActiveAction(action)
    menu.addSeparator()
    action = QAction("Row by row…", menu)
    action.setCheckable(True)
    action.setChecked(now == "turn")
    action.triggered.connect(lambda: row_by_row())
    group.addAction(action)
    menu.addAction(action)
    return menu


def _on_chosen(
    wish: Callable[[str, edits.Edit], object], edit: edits.Edit, checked: bool = False
) -> None:
    del checked
    wish(_TEXT, edit)


class LoopEditor(QFrame):
    """The loops of rows worked in turn; every change shows at once, all are one undo step."""

    wish = Signal(str, object, object)

    def __init__(self, design: Design, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Popup)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self._gesture = object()
        loops = design.loops
        self._first = first_row_of(loops)
        self._turn: tuple[WorkIn, ...] = loops.in_turn or (loops.work_in,)
        self._form = QFormLayout(self)
        self.each_colour = QCheckBox("Begin anew with each colour", self)
        self.each_colour.setToolTip("The list begins with the first row of every colour")
        self.each_colour.setChecked(loops.each_colour)
        self.each_colour.toggled.connect(self._on_each_colour)
        self.more, self.fewer = QPushButton("One more row", self), QPushButton("One row less", self)
        self.more.setToolTip("Put another row at the end of the list")
        self.fewer.setToolTip("Take the last row off the list")
        self.more.clicked.connect(self._on_more)
        self.fewer.clicked.connect(self._on_fewer)
        self._after = QLabel(self)
        buttons = QHBoxLayout()
        buttons.setSpacing(UNIT)
        buttons.addWidget(self.more)
        buttons.addWidget(self.fewer)
        self._form.addRow(self._after)
        self._form.addRow(buttons)
        self._form.addRow(self.each_colour)
        self.choices: list[QComboBox] = []
        self._show()

    def open_under(self, widget: QWidget) -> None:
        """Open below a widget."""
        self.move(widget.mapToGlobal(widget.rect().bottomLeft()))
        self.show()
        self.choices[0].setFocus()

    def _show(self) -> None:
        """Show one choice a row of the list, and what follows it."""
        shown = min(len(self._turn), _MOST)
        while len(self.choices) > shown:
            self._form.removeRow(self.choices.pop())
        while len(self.choices) < shown:
            self._add_choice(len(self.choices))
        anew = self.each_colour.isChecked()
        for number, box in enumerate(self.choices):
            box.setCurrentIndex(box.findData(self._turn[number]))
            name = f"Row {number + 1} of a colour" if anew else f"Row {self._first + number}"
            label = self._form.labelForField(box)
            if isinstance(label, QLabel):
                label.setText(name)
            box.setAccessibleName(f"Loop of {name.lower()}")
        last = _LOOPS[self._turn[-1]]
        self._after.setText(
            f"Its other rows: {last}." if anew else "Then again from the top of the list."
        )
        self.more.setEnabled(len(self._turn) < _MOST)
        self.fewer.setEnabled(1 < len(self._turn) <= _MOST)
        self.adjustSize()

    def _add_choice(self, number: int) -> None:
        box = QComboBox(self)
        for loop, words in _LOOPS.items():
            box.addItem(words, loop)
        box.setToolTip("The loop this row is worked into")
        box.activated.connect(partial(self._on_chosen, number))
        self._form.insertRow(number, f"Row {number + 1}", box)
        self.choices.append(box)

    def _on_chosen(self, number: int, index: int) -> None:
        loop = self.choices[number].itemData(index)
        self._ask((*self._turn[:number], loop, *self._turn[number + 1 :]))

    def _on_more(self) -> None:
        self._ask((*self._turn, self._turn[-1]))

    def _on_fewer(self) -> None:
        self._ask(self._turn[:-1])

    def _on_each_colour(self) -> None:
        self._ask(self._turn)

    def _ask(self, turn: tuple[WorkIn, ...]) -> None:
        self._turn = turn
        self._show()
        anew = self.each_colour.isChecked()
        edit = partial(edits.set_loops, in_turn=turn, each_colour=anew)
        self.wish.emit(_TEXT, edit, self._gesture)
