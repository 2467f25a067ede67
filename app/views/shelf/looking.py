"""What is looked for on the shelf: words, weight class, length, a colour."""

from typing import Final

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QWidget

from app.theme import UNIT, Theme
from app.views.colour_question import ColourQuestion
from app.views.figures import yarn_unit, yarn_unit_m
from app.views.pages.fields import ChoiceField, NumberField
from app.views.pages.yarn_table import swatch_icon
from core.design.document import Design, Units
from core.palette.words import colour_words
from core.shelf.entry import MOST_M, WEIGHTS
from core.shelf.finding import Search

_ANY, _OTHER = "", "other"
_CLASSES: Final = (("", "any weight"), *((str(n), f"{n} {name}") for n, name in enumerate(WEIGHTS)))


class Looking(QWidget):
    """A line of fields; says `changed` when another search is wished for."""

    changed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._colour = ""
        self._units: Units | None = None
        self._shown: tuple[tuple[str, str], ...] = ()
        self.question = ColourQuestion(self)
        self.words = QLineEdit(self)
        self.words.setPlaceholderText("Find by name, fibre, lot, place…")
        self.words.setAccessibleName("Find words")
        self.words.setToolTip("All words must stand somewhere in the yarn (Ctrl+F)")
        self.words.setClearButtonEnabled(True)
        self.words.setMaxLength(200)
        self.weight = ChoiceField("Weight class looked for", _CLASSES)
        self.weight.setToolTip("Only yarns of this weight class")
        self.least = NumberField("Least length free", (0, MOST_M), absent="any length", first=50.0)
        self.least.setToolTip("Only yarns of which so much is free")
        self.colour = ChoiceField("Near a colour", ((_ANY, "any colour"),))
        self.colour.setToolTip("Only yarns that come near a colour, the nearest first")
        self.clear = QPushButton("Show a&ll", self)
        self.clear.setAutoDefault(False)
        self.clear.setToolTip("Look for nothing in particular")
        self.words.textChanged.connect(lambda _: self._on_change())
        self.weight.changed.connect(lambda key, _: self._on_weight(key))
        self.least.changed.connect(lambda *_: self._on_change())
        self.colour.changed.connect(lambda key, _: self._on_colour(key))
        self.clear.clicked.connect(lambda: self.reset())
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        row.addWidget(self.words, 3)
        row.addWidget(self.weight, 2)
        row.addWidget(self.colour, 2)
        row.addWidget(self.least, 2)
        row.addWidget(self.clear)
        self.setFocusProxy(self.words)
        self.clear.setEnabled(False)
        theme.changed.connect(self._fill_colours)

    @property
    def search(self) -> Search:
        """What is looked for."""
        weight = self.weight.currentData()
        return Search(
            words=self.words.text(),
            weight=int(weight) if weight else None,
            least_m=self.least.stored_value,
            colour=self._colour or None,
        )

    def show_design(self, design: Design) -> None:
        """Offer the colours of a design, and its units."""
        if design.units != self._units:
            self._units = design.units
            unit = yarn_unit(design.units)
            self.least.set_unit(yarn_unit_m(design.units), unit, step=10, digits=0)
        shown = tuple((yarn.name, yarn.colour.lower()) for yarn in design.yarns)
        if shown != self._shown:
            self._shown = shown
            self._fill_colours()

    def look_for_colour(self, colour: str) -> None:
        """Look for what comes near a colour."""
        self._colour = colour
        self._fill_colours()
        self._on_change()

    def reset(self) -> None:
        """Look for nothing in particular."""
        was_blocked = self.blockSignals(True)
        self.words.clear()
        self.weight.show_value("")
        self.least.show_value(None, even_if_typed=True)
        self._colour = ""
        self._fill_colours()
        self.blockSignals(was_blocked)
        self._on_change()

    def _on_weight(self, key: str) -> None:
        self.weight.show_value(key)
        self._on_change()

    def _on_change(self) -> None:
        self.clear.setEnabled(not self.search.is_open)
        self.changed.emit()

    def _on_colour(self, key: str) -> None:
        if key != _OTHER:
            self.look_for_colour(key)
            return
        self._fill_colours()
        dialog = self.question.open(self._colour or "#2a6f97", "Look for a colour")
        if dialog is not None:
            dialog.colorSelected.connect(lambda colour: self.look_for_colour(colour.name().lower()))

    def _fill_colours(self) -> None:
        """List the design's colours, the one looked for, and the way to any other."""
        box, side = self.colour, self.fontMetrics().ascent()
        box.clear()
        box.addItem("any colour", _ANY)
        colours = dict[str, str]()
        for name, colour in self._shown:
            colours.setdefault(colour, f"near {name}")
        if self._colour and self._colour not in colours:
            colours[self._colour] = f"near {colour_words(self._colour)}"
        for colour, words in colours.items():
            icon = swatch_icon(colour, QSize(side, side), self._theme, self.devicePixelRatioF())
            box.addItem(icon, words, colour)
        box.addItem("another colour…", _OTHER)
        box.show_value(self._colour)
