"""Fields for a new design: what it is called, its stitch, and how large it is to be."""

from functools import partial
from typing import Final, cast

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.theme import UNIT
from app.views.figures import length_text
from app.views.flow import Flow
from app.views.pages.fields import ChoiceField, NumberField, TextField, bounds_of, longest_of
from core.craft.stitches import CATALOGUE, Terms, WorkedStitch
from core.craft.tables import USUAL_SIZES_MM
from core.craft.units import MM_PER_IN
from core.design.document import Design, Units, Wanted
from core.fabric.beginnings import AS_IT_COMES, OWN_SIZE

_STITCHES: Final[tuple[WorkedStitch, ...]] = ("sc", "hdc", "dc", "tr")
_FIRST_STITCH: Final[WorkedStitch] = "dc"
_FIRST_MM: Final = (1000.0, 1400.0)  # what an own size shows until another is typed
_SIZES_TIP: Final = (
    "Whole repeats and rows nearest to usual sizes; published tables differ a little"
)


class BeginFields(Flow):
    """Title, stitch and size; the sides of one's own size show when it is chosen."""

    changed = Signal()  # title or size
    stitch_chosen = Signal()

    def __init__(self, terms: Terms, units: Units, parent: QWidget | None = None) -> None:
        super().__init__(parent, gap_px=UNIT)
        self.title = TextField(
            "Title of the new design", longest=longest_of(Design, "title"), may_be_empty=True
        )
        self.title.setPlaceholderText("by its wave")
        self.title.setToolTip("What the design is called; it can be changed at any time")
        self.title.setMinimumWidth(self.fontMetrics().averageCharWidth() * 24)
        self.stitch = ChoiceField("Stitch to begin with", _stitch_words(terms))
        self.stitch.setToolTip("What the rows are worked in; it can be changed at any time")
        self.stitch.setMinimumContentsLength(16)
        self.stitch.show_value(_FIRST_STITCH)
        self.size_field = ChoiceField("Size to begin with", _size_words(units))
        self.size_field.setToolTip(_SIZES_TIP)
        self.size_field.setMinimumContentsLength(26)
        self.size_field.show_value(AS_IT_COMES)
        per, unit, step = (10.0, "cm", 1.0) if units == "cm" else (MM_PER_IN, "in", 0.5)
        self.sides = (
            NumberField("Width wanted", bounds_of(Wanted, "width_mm")),
            NumberField("Length wanted", bounds_of(Wanted, "length_mm")),
        )
        for side, first_mm, way in zip(self.sides, _FIRST_MM, ("wide", "long"), strict=True):
            side.set_unit(per, unit, step=step, digits=1)
            side.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            side.setToolTip(f"How {way} it is to be; the nearest whole wave and rows are taken")
            side.show_value(first_mm)
        self._own = tuple(
            _Pair(words, side) for words, side in zip(("Wi&de", "&Long"), self.sides, strict=True)
        )
        self.add(
            _Pair("T&itle", self.title),
            _Pair("S&titch", self.stitch),
            _Pair("Si&ze", self.size_field),
            *self._own,
        )
        for pair in self._own:
            pair.hide()
        self.title.changed.connect(self._on_title)
        self.stitch.changed.connect(self._on_stitch)
        self.size_field.changed.connect(self._on_size)
        for side in self.sides:
            side.changed.connect(partial(self._on_side, side))

    # what is chosen

    @property
    def chosen_title(self) -> str:
        """What it is to be called; empty for its wave's own words."""
        return "".join(sign for sign in self.title.text() if sign.isprintable()).strip()

    @property
    def chosen_stitch(self) -> WorkedStitch:
        """What rows are to be worked in."""
        return cast("WorkedStitch", self.stitch.currentData())

    @property
    def chosen_size(self) -> str:
        """The name of a size, `AS_IT_COMES` or `OWN_SIZE`."""
        return str(self.size_field.currentData())

    @property
    def own_mm(self) -> tuple[float, float] | None:
        """Width and length of one's own size, where that is chosen."""
        if self.chosen_size != OWN_SIZE:
            return None
        wide, long = self.sides
        return wide.stored_value, long.stored_value

    def allow(self, allowed: bool) -> None:
        """Let the fields be used or not: some beginnings bring all of this with them."""
        for held in self.held():
            held.setEnabled(allowed)

    def _on_title(self, text: str) -> None:
        self.title.show_value(text)
        self.changed.emit()

    def _on_stitch(self, key: str) -> None:
        self.stitch.show_value(key)
        self.stitch_chosen.emit()

    def _on_side(self, side: NumberField, value_mm: float, gesture: object) -> None:
        del gesture
        side.show_value(value_mm)  # what Escape goes back to
        self.changed.emit()

    def finish_typing(self) -> None:
        """Take what is being typed: a button's own key leaves the focus where it is."""
        for side in self.sides:
            side.interpretText()

    def _on_size(self, key: str) -> None:
        self.size_field.show_value(key)
        for pair in self._own:
            pair.setVisible(key == OWN_SIZE)
        self.changed.emit()


class _Pair(Flow):
    """A word and its field, kept on one line."""

    def __init__(self, words: str, field: QWidget) -> None:
        super().__init__(gap_px=UNIT // 2)
        label = QLabel(words)
        label.setBuddy(field)
        self.add(label, field)

    def sizeHint(self) -> QSize:
        """Return the size of both side by side."""
        return QSize(self.line_width(), self.heightForWidth(self.line_width()))


def _stitch_words(terms: Terms) -> list[tuple[str, str]]:
    names = [(key, CATALOGUE[key].name(terms)) for key in _STITCHES]
    return [(key, f"{name.long} ({name.short})") for key, name in names]


def _size_words(units: Units) -> list[tuple[str, str]]:
    sizes = [
        (name, f"{name}: {length_text(wide, units)} by {length_text(long, units)}")
        for name, wide, long in USUAL_SIZES_MM
    ]
    return [(AS_IT_COMES, "small, to look at"), *sizes, (OWN_SIZE, "my own size")]
