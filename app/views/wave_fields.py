"""The fields beside the wave and where they stand; what they hold is `wave_controls`'."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QWidget

from app.theme import UNIT
from app.type_following import measure_in_type
from app.views.pages.fields import ChoiceField, NumberField
from app.views.scrolled import wide_for
from core.craft.stitches import RUNGS
from core.rows.waves import FAMILIES, MAX_GAIN, MAX_LENGTH, MAX_RUN, MAX_SWAP

OWN: Final = ("own", "your own")
OWN_FAMILY: Final = ("own", "Your own")  # families are names
EDGES: Final = (("peak", "half peak"), ("dip", "half dip"), ("straight", "straight"), OWN)
ENDS: Final = (("dip", "short"), ("peak", "tall"))
_EVERY: Final = {1: "every row", 2: "every 2nd row", 3: "every 3rd row"}
_DIPS: Final = (("joined", "joined"), ("skipped", "skipped: holes"))
_SIDES: Final = (("turn", "change sides"), ("keep", "keep their side"))
_ROWS: Final = 5  # in two columns
_CALM_PX: Final = 132
"""Width of a field: the band beside it needs the rest."""


class WaveFields(QWidget):
    """The fields of both kinds of wave; those that don't apply are hidden."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._labels: dict[QWidget, QLabel] = {}
        self._put_away: set[QWidget] = set()  # fields that the wave has nothing for
        self._places: dict[QWidget, tuple[int, int]] = {}  # row and column, as set in two columns
        self._make_fields()
        self._lay_out()

    def _make_fields(self) -> None:
        families = [(family.key, family.name) for family in FAMILIES]
        self._family = ChoiceField("Family of wave", (*families, OWN_FAMILY), self)
        for number, family in enumerate(FAMILIES):
            self._family.setItemData(number, family.about, 3)
        self._runs = (
            NumberField("Stitches in the run before the dip", (0, MAX_RUN)),
            NumberField("Stitches in the run before the peak", (0, MAX_RUN)),
        )
        self._runs_box = QWidget(self)
        pair = QHBoxLayout(self._runs_box)
        pair.setSpacing(UNIT // 2)
        pair.setContentsMargins(0, 0, 0, 0)
        for spin in self._runs:
            pair.addWidget(spin)
        self._gain = NumberField("Stitches gained at a peak, lost at a dip", (1, MAX_GAIN))
        self._dips = ChoiceField("Dips worked together, or skipped, which leaves holes", _DIPS)
        self._left = ChoiceField("What the left edge cuts", EDGES)
        self._right = ChoiceField("What the right edge cuts", EDGES)
        every = [(str(rows), words) for rows, words in _EVERY.items()]
        self._every = ChoiceField("Which rows are shaped; the others are plain", every)
        self._swap = NumberField(
            "Rows after which peaks and dips change places",
            (1, MAX_SWAP),
            unit="rows",
            absent="never",
            first=8,
        )
        self._slant = ChoiceField(
            "Which way crests slant, in stitches a shaped row; the sides lean the other way", ()
        )
        self._sides = ChoiceField("Whether longer runs keep their side of the peak", _SIDES)
        self._length = NumberField("Stitches in one wave", (2, MAX_LENGTH), step=2)
        self._alike = NumberField("Rows worked alike before the opposite one", (1, MAX_SWAP))
        heights = [(stitch, stitch) for stitch in RUNGS]
        self._low = ChoiceField("Shortest stitch", heights[:-1])
        self._high = ChoiceField("Tallest stitch", heights[1:])

    def _lay_out(self) -> None:
        grid = self._grid = QGridLayout(self)
        grid.setContentsMargins(UNIT, UNIT // 2, UNIT, UNIT // 2)
        grid.setHorizontalSpacing(UNIT)
        grid.setVerticalSpacing(UNIT // 2)
        # Fields of the two kinds of wave share places; one of them is there at a time.
        places: tuple[tuple[str, QWidget, int, int], ...] = (
            ("Famil&y", self._family, 0, 0),
            ("&Runs", self._runs_box, 1, 0),
            ("&Gain", self._gain, 2, 0),
            ("&Dips", self._dips, 3, 0),
            ("&Left edge", self._left, 4, 0),
            ("Le&ngth", self._length, 1, 0),
            ("Sh&ortest", self._low, 2, 0),
            ("&Tallest", self._high, 3, 0),
            ("Sh&aped", self._every, 0, 1),
            ("Swa&p after", self._swap, 1, 1),
            ("Rows ali&ke", self._alike, 1, 1),
            ("&Crests", self._slant, 2, 1),
            ("Long r&uns", self._sides, 3, 1),
            ("R&ight edge", self._right, 4, 1),
        )
        for text, widget, row, column in places:
            label = QLabel(text, self)
            label.setBuddy(self._runs[0] if widget is self._runs_box else widget)
            self._labels[widget] = label
            self._places[widget] = (row, column)
            if widget is not self._runs_box:
                widget.setToolTip(widget.accessibleName())
        self.set_columns(2)
        measure_in_type(self, WaveFields._fit)

    @property
    def columns(self) -> int:
        """In how many columns the fields stand."""
        return self._columns

    def wide_px(self, columns: int) -> int:
        """Return how wide the fields are in as many columns."""
        words = [0] * columns
        for widget, (_, column) in self._places.items():
            column = min(column, columns - 1)
            words[column] = max(words[column], self._labels[widget].sizeHint().width())
        gaps = (2 * columns + 1) * UNIT
        return sum(words) + columns * wide_for(self, _CALM_PX) + gaps

    def set_columns(self, columns: int) -> None:
        """Set the fields in one column or in two."""
        self._columns = columns
        self._place()
        self._fit()

    def _place(self) -> None:
        """Put what is there into the grid, and nothing else: two in one place upset its gaps."""
        one = self._columns == 1
        for widget, (row, column) in self._places.items():
            down, across = (row + _ROWS * column, 0) if one else (row, 2 * column)
            for part, at in ((self._labels[widget], across), (widget, across + 1)):
                self._grid.removeWidget(part)
                if widget not in self._put_away:
                    self._grid.addWidget(part, down, at)

    def _fit(self) -> None:
        """Make the fields as large as the type asks for."""
        height = max(3 * UNIT, self.fontMetrics().height() + UNIT)
        for widget, label in self._labels.items():
            widget.setFixedSize(wide_for(self, _CALM_PX), height)
            label.setFixedHeight(height)
        two = self._columns > 1
        for row in range(2 * _ROWS):  # in one column, places that hold nothing are closed up
            self._grid.setRowMinimumHeight(row, height if two and row < _ROWS else 0)
        self._grid.setRowStretch(2 * _ROWS, 1)

    def _show(self, fields: Mapping[QWidget, Any]) -> None:
        """Show each field only if there is something to it."""
        put_away = {field for field in self._put_away if field not in fields}
        put_away |= {field for field, something in fields.items() if not something}
        if put_away == self._put_away:
            return
        for field in put_away ^ self._put_away:
            field.setVisible(field not in put_away)
            self._labels[field].setVisible(field not in put_away)
        self._put_away = put_away
        self._place()


def offer(field: ChoiceField, choices: Sequence[tuple[str, str]]) -> None:
    """Offer these choices, in these words."""
    if [(field.itemData(n), field.itemText(n)) for n in range(field.count())] == list(choices):
        return
    field.clear()
    for key, words in choices:
        field.addItem(words, key)
