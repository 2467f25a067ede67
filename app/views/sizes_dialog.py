"""The sizes that the pattern is written for: named, in whole repeats and rows."""

from functools import partial
from itertools import pairwise
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QGridLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT
from app.views.figures import length
from app.views.flow import Flow
from app.views.pages.fields import NumberField, TextField, bounds_of, longest_of
from app.views.pages.page import Note, Trouble
from core.design.document import MAX_SIZES, NamedSize
from core.design.edits import Edit, set_values
from core.design.signs import plain_line
from core.design.validation import checked
from core.editions import measures_in_size, proposed_sizes
from core.errors import DesignError
from core.pipeline import Results

_ABOUT: Final = (
    "The pattern names figures for every size in one text: 39 (51, 63). The size on screen is "
    "always one of them."
)
_SOURCE: Final = (
    "Usual sizes are the nearest whole repeats and rows to published ones; sources differ by a "
    "few centimetres."
)


class _Line(QWidget):
    """One size: its name, repeats and rows, and what it measures."""

    def __init__(self, number: int, size: NamedSize, parent: QWidget) -> None:
        super().__init__(parent)
        self.hide()  # its parts stand in the dialog's grid
        self.name = TextField(f"Name of size {number}", longest=longest_of(NamedSize, "name"))
        self.repeats = NumberField(f"Repeats of size {number}", bounds_of(NamedSize, "repeats"))
        self.rows = NumberField(f"Rows of size {number}", bounds_of(NamedSize, "rows"))
        self.measures = QLabel(parent)
        self.measures.setProperty("quiet", True)
        self.remove = QToolButton(parent)
        self.remove.setText("×")
        self.remove.setAccessibleName(f"Remove size {number}")
        self.remove.setToolTip("Remove this size")
        self.name.setToolTip("What the pattern calls it")
        self.repeats.setToolTip("Repeats between the edges")
        self.rows.setToolTip("Rows, without fill rows and border")
        self.name.setMinimumWidth(16 * UNIT)
        self.name.show_value(size.name)
        self.repeats.show_value(size.repeats)
        self.rows.show_value(size.rows)

    @property
    def parts(self) -> tuple[QWidget, ...]:
        """What stands side by side."""
        return self.name, self.repeats, self.rows, self.measures, self.remove

    @property
    def size_named(self) -> NamedSize:
        """The size as it is typed."""
        return NamedSize(
            name=plain_line(self.name.text()).strip() or "–",
            repeats=round(self.repeats.value()),
            rows=round(self.rows.value()),
        )


class SizesDialog(QDialog):
    """Asks for the sizes beside the one on screen."""

    def __init__(self, results: Results, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Sizes")
        self._results = results
        self.lines: list[_Line] = []
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(UNIT)
        self._grid.setVerticalSpacing(UNIT)
        for column, text in enumerate(("Name", "Repeats", "Rows", "Measures")):
            label = QLabel(text, self)
            label.setProperty("quiet", True)
            self._grid.addWidget(label, 0, column)
        self._grid.setColumnStretch(0, 1)
        self._trouble = Trouble(self)
        self.usual = QPushButton("Usual sizes", self)
        self.usual.setToolTip("Put in pram, lap, throw and bed sizes in this wave")
        self.add = QPushButton("Add a size", self)
        self.add.setToolTip("Add a size, as large as the one on screen at first")
        tools = Flow(self, gap_px=UNIT)
        tools.add(self.usual, self.add)
        button = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(button.Ok | button.Cancel, self)
        take = buttons.button(button.Ok)
        take.setProperty("primary", True)
        take.style().unpolish(take)  # it was dressed when it was made
        take.style().polish(take)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        outer.setSpacing(UNIT)
        outer.addWidget(Note(_ABOUT, self))
        outer.addLayout(self._grid)
        outer.addWidget(tools)
        outer.addWidget(Note(_SOURCE, self))
        outer.addWidget(self._trouble)
        outer.addStretch(1)
        outer.addWidget(buttons)
        self.usual.clicked.connect(lambda: self.take_usual())
        self.add.clicked.connect(lambda: self.add_size())
        self._fill(results.design.sizes)
        self.resize(520, 380)

    @property
    def sizes(self) -> tuple[NamedSize, ...]:
        """The sizes as they are typed."""
        return tuple(line.size_named for line in self.lines)

    def edit(self) -> Edit:
        """Return what was typed as an edit."""
        return partial(set_values, sizes=self.sizes)

    def take_usual(self) -> None:
        """Put in the usual sizes that aren't there by name yet, as far as there is room."""
        names = {size.name.casefold() for size in self.sizes}
        more = [size for size in proposed_sizes(self._results) if size.name not in names]
        self._fill((*self.sizes, *more)[:MAX_SIZES])
        if not more:
            self._trouble.say("There is no usual size to add.")

    def add_size(self) -> None:
        """Add a size like the one on screen."""
        now = self._results.design.size
        size = NamedSize(name=f"size {len(self.lines) + 1}", repeats=now.repeats, rows=now.rows)
        self._fill((*self.sizes, size))
        self.lines[-1].name.setFocus(Qt.FocusReason.OtherFocusReason)
        self.lines[-1].name.selectAll()

    def accept(self) -> None:
        """Close, unless a size is more than a design holds."""
        try:
            checked(self.edit()(self._results.design))
        except (DesignError, ValueError) as error:
            self._trouble.say(str(error))
            return
        super().accept()

    def _remove(self, number: int) -> None:
        sizes = self.sizes
        self._fill(sizes[:number] + sizes[number + 1 :])

    def _fill(self, sizes: tuple[NamedSize, ...]) -> None:
        for line in self.lines:
            for part in (*line.parts, line):
                self._grid.removeWidget(part)
                part.hide()
                part.setParent(None)
                part.deleteLater()
        self.lines = []
        for number, size in enumerate(sizes):
            line = _Line(number + 1, size, self)
            for column, part in enumerate(line.parts):
                self._grid.addWidget(part, number + 1, column)
            line.remove.clicked.connect(partial(self._remove, number))
            line.repeats.valueChanged.connect(self._measure)
            line.rows.valueChanged.connect(self._measure)
            self.lines.append(line)
        order = [part for line in self.lines for part in line.parts if part is not line.measures]
        for before, after in pairwise([*order, self.usual, self.add]):
            QWidget.setTabOrder(before, after)
        self.add.setEnabled(len(sizes) < MAX_SIZES)
        self._trouble.say("")
        self._measure()

    def _measure(self) -> None:
        """Say beside every size what it comes to."""
        units = self._results.design.units
        for line in self.lines:
            measures = measures_in_size(self._results, line.size_named)
            text = "–"
            if measures is not None:
                text = f"{length(measures[0], units)} × {length(measures[1], units)}"
            line.measures.setText(text)
            line.measures.setAccessibleName(f"{line.name.text()}: {text}")
