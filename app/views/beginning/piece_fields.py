"""Fields for a worked piece that a new design takes its gauge from."""

from collections.abc import Sequence
from functools import partial
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from app.theme import UNIT
from app.views.pages.fields import ChoiceField, NumberField, bounds_of
from core.craft.units import MM_PER_IN
from core.design.document import Swatch, Units
from core.fabric.beginnings import Piece
from core.rows.waves import FAMILIES, MAX_LENGTH, MAX_RUN, Family

_FIRST: Final = Piece(repeats=2, width_mm=165.0, rows=10, length_mm=140.0)
"""What stands there at first: about two repeats of the 12-stitch wave in dc (from memory)."""


class PieceFields(QWidget):
    """Which wave was worked, and what it measured."""

    changed = Signal()

    def __init__(self, units: Units, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        per, unit, step = (10.0, "cm", 0.5) if units == "cm" else (MM_PER_IN, "in", 0.25)
        self.wave = ChoiceField("Wave that was worked", [(f.key, f.name) for f in FAMILIES])
        self.wave.setToolTip("The family of the wave that was worked")
        self.run = NumberField("Stitches in a run", (1, max(MAX_RUN, MAX_LENGTH)))
        self.run.setToolTip("Plain stitches from a peak to a dip")
        self.repeats = NumberField("Repeats measured", bounds_of(Swatch, "repeats"))
        self.width_field = NumberField("Width of those repeats", bounds_of(Swatch, "repeats_mm"))
        self.rows = NumberField("Rows measured", bounds_of(Swatch, "rows"))
        self.length = NumberField("Height of those rows", bounds_of(Swatch, "rows_mm"))
        for field in (self.width_field, self.length):
            field.set_unit(per, unit, step=step, digits=2)
        self.width_field.setToolTip("Peak to peak across those repeats, laid flat, not washed")
        self.length.setToolTip("Straight up over those rows")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        named: Sequence[tuple[str, QWidget]] = (
            ("&Wave", self.wave),
            ("R&uns of", self.run),
            ("R&epeats", self.repeats),
            ("measure", self.width_field),
            ("R&ows", self.rows),
            ("measure", self.length),
        )
        for words, named_field in named:
            label = QLabel(words, self)
            label.setBuddy(named_field)
            row.addWidget(label)
            row.addWidget(named_field, 1)
        self.wave.changed.connect(lambda key, _: self._on_wave(key))
        for number_field in (self.run, self.repeats, self.width_field, self.rows, self.length):
            number_field.changed.connect(partial(self._on_number, number_field))
        self.repeats.show_value(_FIRST.repeats)
        self.width_field.show_value(_FIRST.width_mm)
        self.rows.show_value(_FIRST.rows)
        self.length.show_value(_FIRST.length_mm)
        self._on_wave(FAMILIES[0].key)

    @property
    def family(self) -> Family:
        """The wave that was worked."""
        return next(family for family in FAMILIES if family.key == self.wave.currentData())

    @property
    def run_length(self) -> int:
        """Plain stitches in its runs."""
        return int(self.run.stored_value)

    @property
    def piece(self) -> Piece:
        """What was measured."""
        return Piece(
            repeats=int(self.repeats.stored_value),
            width_mm=self.width_field.stored_value,
            rows=int(self.rows.stored_value),
            length_mm=self.length.stored_value,
        )

    def finish_typing(self) -> None:
        """Take what is being typed."""
        for field in (self.run, self.repeats, self.width_field, self.rows, self.length):
            field.interpretText()

    def _on_number(self, field: NumberField, value: float, gesture: object) -> None:
        del gesture
        field.show_value(value)  # what Escape goes back to
        self.changed.emit()

    def _on_wave(self, key: str) -> None:
        self.wave.show_value(key)
        self.run.show_value(max(self.family.run, 1), even_if_typed=True)
        self.run.setEnabled(self.family.run > 0)
        self.changed.emit()
