"""The wave's figures beside its profile: family, runs, turns, edges."""

from functools import partial
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QWidget,
)

from app.theme import UNIT, Theme
from app.views.pages.fields import NumberField
from core.design.document import Design
from core.design.edits import set_wave
from core.pipeline import Results
from core.rows.waves import (
    FAMILIES,
    MAX_GAIN,
    MAX_RUN,
    Family,
    WaveShape,
    family_wave,
    shape_of,
    wave_of,
    with_edge_at,
    with_gain,
    with_run,
    with_skipped_dips,
    with_straight_edge,
)

_EDGES: Final = (
    ("half peak", "Half a peak at each edge"),
    ("half dip", "Half a dip at each edge"),
    ("straight", "Straight edges"),
)
_STRAIGHT: Final = 2  # plain stitches at a straight edge


class WaveControls(QWidget):
    """Shows and edits the figures of a wave's shape; silent where it has none."""

    wish = Signal(str, object, object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._shape: WaveShape | None = None
        self._results: Results | None = None
        grid = QGridLayout(self)
        grid.setContentsMargins(UNIT, UNIT // 2, UNIT, UNIT // 2)
        grid.setHorizontalSpacing(UNIT)
        grid.setVerticalSpacing(UNIT // 2)
        self._family = QComboBox(self)
        for family in FAMILIES:
            self._family.addItem(family.name, family.key)
            self._family.setItemData(self._family.count() - 1, family.about, 3)
        self._family.addItem("Own", "")
        self._family.activated.connect(self._choose_family)
        self._runs = (
            NumberField("Run before the dip", (0, MAX_RUN)),
            NumberField("Run before the peak", (0, MAX_RUN)),
        )
        self._gain = NumberField("Stitches gained at a peak, lost at a dip", (1, MAX_GAIN))
        self._dips = QComboBox(self)
        self._dips.addItems(["joined", "skipped"])
        self._dips.activated.connect(self._choose_dips)
        self._edge = QComboBox(self)
        for text, tip in _EDGES:
            self._edge.addItem(text)
            self._edge.setItemData(self._edge.count() - 1, tip, 3)
        self._edge.addItem("own")
        self._edge.activated.connect(self._choose_edge)
        pair = QHBoxLayout()
        pair.setSpacing(UNIT // 2)
        for spin in self._runs:
            pair.addWidget(spin)
        runs = QWidget(self)
        runs.setLayout(pair)
        pair.setContentsMargins(0, 0, 0, 0)
        for row, (text, widget, name) in enumerate(
            (
                ("&Family", self._family, "Family of wave"),
                ("&Runs", runs, ""),
                ("&Gain at a peak", self._gain, "Stitches gained at a peak, lost at a dip"),
                ("&Dips", self._dips, "Dips joined or skipped"),
                ("&Edges", self._edge, "What the edges cut"),
            )
        ):
            label = QLabel(text, self)
            label.setBuddy(widget if widget is not runs else self._runs[0])
            if name:
                widget.setAccessibleName(name)
                widget.setToolTip(name)
            grid.addWidget(label, row, 0)
            grid.addWidget(widget, row, 1)
        for number, spin in enumerate(self._runs):
            spin.setToolTip(spin.accessibleName())
            spin.changed.connect(partial(self._change_run, number))
        self._gain.changed.connect(self._change_gain)
        grid.setRowStretch(5, 1)

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show the wave of these results."""
        self._results, self._shape = results, results.shape
        self._fill()

    def _fill(self) -> None:
        shape = self._shape
        turns = len(shape.turns) if shape else 0
        for number, spin in enumerate(self._runs):
            spin.setEnabled(number < turns)
            spin.show_value(shape.runs[number] if shape and number < turns else 0)
        for widget in (self._gain, self._dips, self._edge):
            widget.setEnabled(shape is not None)
        self._family.setCurrentIndex(self._family_index())
        if shape is None:
            return
        peak = next((turn for turn in shape.turns if turn.kind == "peak"), shape.turns[0])
        self._gain.show_value(abs(peak.gain))
        skipped = any(turn.items[0].skip is not None for turn in shape.turns)
        self._dips.setCurrentIndex(int(skipped))
        kinds = {"peak": 0, "dip": 1}
        edge = kinds[shape.turns[-1].kind] if shape.edge == "half" else 2 + (shape.edge == "own")
        self._edge.setCurrentIndex(edge)

    def _family_index(self) -> int:
        """Return the family that makes exactly these turns, or "Own"."""
        shape = self._shape
        if shape is not None:
            made = {turn.items for turn in shape.turns}
            for number, family in enumerate(FAMILIES):
                known = shape_of(family_wave(family, shape.stitch, 3))
                if known and {turn.items for turn in known.turns} == made:
                    return number
        return len(FAMILIES)

    # edits

    def _choose_family(self, index: int) -> None:
        if index >= len(FAMILIES) or self._results is None:
            self._fill()
            return
        family: Family = FAMILIES[index]
        design = self._results.design
        run = self._shape.runs[0] if self._shape and self._shape.runs[0] else 3
        self._wish("Choose family", family_wave(family, design.gauge.stitch, max(run, 1)))

    def _change_run(self, number: int, stitches: float, gesture: object) -> None:
        if self._shape is not None:
            shape = with_run(self._shape, number, int(stitches))
            self._wish("Change run", wave_of(shape), gesture)
            self._fill()  # a run that can't be had is put back

    def _change_gain(self, gain: float, gesture: object) -> None:
        if self._shape is not None:
            peaks = [n for n, turn in enumerate(self._shape.turns) if turn.kind == "peak"]
            if peaks:
                shape = with_gain(self._shape, peaks[0], int(gain))
                self._wish("Shape peak", wave_of(shape), gesture)
                self._fill()

    def _choose_dips(self, index: int) -> None:
        if self._shape is not None:
            shape = with_skipped_dips(self._shape, bool(index))
            self._wish("Change dips", wave_of(shape))

    def _choose_edge(self, index: int) -> None:
        if self._shape is None or index > 2:
            self._fill()
            return
        if index == 2:
            shape = with_straight_edge(self._shape, _STRAIGHT)
        else:
            shape = with_edge_at(self._shape, "dip" if index else "peak")
        self._wish("Change edges", wave_of(shape))

    def _wish(self, text: str, wave: object, gesture: object | None = None) -> None:
        def edit(design: Design) -> Design:
            return set_wave(design, wave)  # type: ignore[arg-type]

        self.wish.emit(text, edit, gesture)
