"""The wave's figures beside its profile: family, runs, turns, edges, and how rows follow."""

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any, Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QWidget

from app.theme import UNIT, Theme
from app.views.pages.fields import ChoiceField, NumberField
from core.craft.stitches import CATALOGUE, WORKED
from core.design.document import Design, Turning
from core.design.edits import Edit, set_turning, set_wave
from core.pipeline import Results
from core.rows.waves import (
    FAMILIES,
    MAX_GAIN,
    MAX_LENGTH,
    MAX_RUN,
    MAX_SWAP,
    HeightShape,
    Shape,
    TurnKind,
    WaveShape,
    could_keep_sides,
    edge_kinds,
    family_of,
    family_turning,
    in_family,
    most_rows_to_swap,
    pulled,
    slants_of,
    wave_of,
    with_edges,
    with_ends,
    with_every,
    with_heights,
    with_length,
    with_run,
    with_sides_kept,
    with_skipped_dips,
    with_slant,
    with_straight_edge,
    with_swap,
)

_OWN: Final = ("own", "own")
_STRAIGHT: Final = 2  # plain stitches at a straight edge
_EVERY: Final = {1: "every row", 2: "every 2nd row", 3: "every 3rd row"}
_EDGES: Final = (("peak", "half peak"), ("dip", "half dip"), ("straight", "straight"), _OWN)
_ENDS: Final = (("dip", "short"), ("peak", "tall"))
_DIPS: Final = (("joined", "joined"), ("skipped", "skipped: holes"))
_SIDES: Final = (("turn", "change sides"), ("keep", "keep their side"))
_CALM_PX: Final = 132
"""Width of a field: the band beside it needs the rest."""


class WaveControls(QWidget):
    """Shows and edits the figures of a wave's shape; only what a shape has is there."""

    wish = Signal(str, object, object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._shape: Shape | None = None
        self._results: Results | None = None
        self._labels: dict[QWidget, QLabel] = {}
        self._make_fields()
        self._lay_out()
        self._wire()

    # building

    def _make_fields(self) -> None:
        families = [(family.key, family.name) for family in FAMILIES]
        self._family = ChoiceField("Family of wave", (*families, _OWN), self)
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
        self._left = ChoiceField("What the left edge cuts", _EDGES)
        self._right = ChoiceField("What the right edge cuts", _EDGES)
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
        heights = [(stitch, stitch) for stitch in WORKED]
        self._low = ChoiceField("Shortest stitch", heights[:-1])
        self._high = ChoiceField("Tallest stitch", heights[1:])

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setContentsMargins(UNIT, UNIT // 2, UNIT, UNIT // 2)
        grid.setHorizontalSpacing(UNIT)
        grid.setVerticalSpacing(UNIT // 2)
        # Fields of the two kinds of wave share places; one of them is there at a time.
        places: tuple[tuple[str, QWidget, int, int], ...] = (
            ("F&amily", self._family, 0, 0),
            ("&Runs", self._runs_box, 1, 0),
            ("&Gain", self._gain, 2, 0),
            ("&Dips", self._dips, 3, 0),
            ("&Left edge", self._left, 4, 0),
            ("Le&ngth", self._length, 1, 0),
            ("Sh&ortest", self._low, 2, 0),
            ("&Tallest", self._high, 3, 0),
            ("S&haped", self._every, 0, 2),
            ("S&wap after", self._swap, 1, 2),
            ("Rows ali&ke", self._alike, 1, 2),
            ("&Crests", self._slant, 2, 2),
            ("Long r&uns", self._sides, 3, 2),
            ("R&ight edge", self._right, 4, 2),
        )
        height = max(3 * UNIT, self.fontMetrics().height() + UNIT)
        cells: dict[tuple[int, int], QHBoxLayout] = {}
        for text, widget, row, column in places:
            label = QLabel(text, self)
            label.setBuddy(self._runs[0] if widget is self._runs_box else widget)
            self._labels[widget] = label
            widget.setFixedSize(_CALM_PX, height)
            label.setFixedHeight(height)
            if widget is not self._runs_box:
                widget.setToolTip(widget.accessibleName())
            for place, inside in ((column, label), (column + 1, widget)):
                if (row, place) not in cells:
                    cells[row, place] = _cell(grid, row, place)
                cells[row, place].addWidget(inside)
        for number in range(5):
            grid.setRowMinimumHeight(number, height)
        grid.setRowStretch(5, 1)

    def _wire(self) -> None:
        self._family.changed.connect(self._choose_family)
        for number, spin in enumerate(self._runs):
            spin.changed.connect(partial(self._change_run, number))
        self._gain.changed.connect(self._change_gain)
        self._dips.changed.connect(self._choose_dips)
        self._left.changed.connect(partial(self._choose_edge, "left"))
        self._right.changed.connect(partial(self._choose_edge, "right"))
        self._every.changed.connect(self._choose_every)
        self._swap.changed.connect(self._change_swap)
        self._alike.changed.connect(self._change_swap)
        self._slant.changed.connect(self._choose_slant)
        self._sides.changed.connect(self._choose_sides)
        self._length.changed.connect(self._change_length)
        self._low.changed.connect(self._choose_heights)
        self._high.changed.connect(self._choose_heights)

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show the wave of these results."""
        self._results, self._shape = results, results.shape
        self._fill()

    def _fill(self) -> None:
        shape = self._shape
        family = family_of(shape) if shape is not None else None
        self._family.show_value(family.key if family else "own")
        ripple = shape if isinstance(shape, WaveShape) else None
        heights = shape if isinstance(shape, HeightShape) else None
        self._show({self._every: shape, self._left: shape, self._right: shape})
        if shape is not None:
            self._fill_rhythm(shape)
            self._fill_edges(shape)
        self._fill_ripple(ripple)
        self._fill_heights(heights)

    def _show(self, fields: Mapping[QWidget, Any]) -> None:
        """Show each field only if there is something to it."""
        for field, something in fields.items():
            is_there = bool(something)
            field.setVisible(is_there)
            self._labels[field].setVisible(is_there)

    def _fill_rhythm(self, shape: Shape) -> None:
        every = shape.rhythm.every
        if self._every.findData(str(every)) < 0:
            self._every.addItem(f"every {every}th row", str(every))
        self._every.show_value(str(every))
        for field in (self._swap, self._alike):
            field.show_value(shape.rhythm.swap_after or None)
            field.setSingleStep(every)

    def _fill_edges(self, shape: Shape) -> None:
        near, far = edge_kinds(shape)
        left, right = (far, near) if self._starts_right else (near, far)
        choices: tuple[tuple[str, str], ...] = _EDGES
        if isinstance(shape, HeightShape):
            choices = _ENDS
        if near != "own":
            choices = tuple(choice for choice in choices if choice != _OWN)
        for field, kind in ((self._left, left), (self._right, right)):
            _offer(field, choices)
            field.show_value(kind)

    @property
    def _starts_right(self) -> bool:
        """Whether row 1 starts at the right edge, seen from the right side."""
        return self._results is None or self._results.design.hand == "right"

    def _fill_ripple(self, shape: WaveShape | None) -> None:
        slants = slants_of(shape) if shape is not None else ()
        self._show(
            {
                self._runs_box: shape,
                self._gain: shape,
                self._dips: shape,
                self._swap: shape is not None
                and (shape.rhythm.swap_after or most_rows_to_swap(shape)),
                self._slant: len(slants) > 1,
                self._sides: shape is not None and could_keep_sides(shape),
            }
        )
        if shape is None:
            return
        turns = len(shape.turns)
        for number, spin in enumerate(self._runs):
            spin.setVisible(number < turns)
            spin.show_value(shape.runs[number] if number < turns else 0)
            spin.setAccessibleName(f"Stitches in the run before the {_turn_name(shape, number)}")
            spin.setToolTip(spin.accessibleName())
        self._gain.show_value(abs(shape.turns[_peak_of(shape)].gain))
        skipped = any(turn.is_skipped for turn in shape.turns)
        self._dips.show_value("skipped" if skipped else "joined")
        _offer(self._slant, [(str(slant), self._slant_words(slant)) for slant in slants])
        self._slant.show_value(str(shape.rhythm.slant))
        self._sides.show_value("keep" if shape.rhythm.keeps_sides else "turn")

    def _slant_words(self, slant: int) -> str:
        if not slant:
            return "upright"
        # Waves move away from where row 1 starts: to the left from the right edge.
        way = "left" if (slant > 0) == self._starts_right else "right"
        return f"{abs(slant)} to the {way}"

    def _fill_heights(self, shape: HeightShape | None) -> None:
        self._show(dict.fromkeys((self._length, self._alike, self._low, self._high), shape))
        if shape is None or self._results is None:
            return
        self._length.show_value(shape.length)
        terms = self._results.design.terms
        for field, stitches in ((self._low, WORKED[:-1]), (self._high, WORKED[1:])):
            field.set_words({stitch: CATALOGUE[stitch].name(terms).short for stitch in stitches})
        self._low.show_value(shape.low)
        self._high.show_value(shape.high)

    # edits

    def _choose_family(self, key: str, gesture: object) -> None:
        family = next((family for family in FAMILIES if family.key == key), None)
        if family is None or self._results is None:
            self._fill()
            return
        old = self._shape
        stitch = self._results.design.gauge.stitch
        shape = in_family(old, family, stitch)
        turning = self._results.design.turning
        if isinstance(old, HeightShape) or family.is_of_heights:
            facts = CATALOGUE[stitch]
            turning = family_turning(shape, Turning(facts.turning_chains, facts.chain_counts))
        self._emit("Choose family", shape, turning, gesture)

    def _change_run(self, number: int, stitches: float, gesture: object) -> None:
        if isinstance(self._shape, WaveShape):
            self._wish("Change run", with_run(self._shape, number, int(stitches)), gesture)

    def _change_gain(self, gain: float, gesture: object) -> None:
        if isinstance(self._shape, WaveShape):
            peak = _peak_of(self._shape)
            more = int(gain) - abs(self._shape.turns[peak].gain)
            kind = self._shape.turns[peak].kind
            shape = pulled(self._shape, kind, peak, moved=0, changed=more)
            self._wish("Shape peak", shape, gesture)

    def _choose_dips(self, key: str, gesture: object) -> None:
        if isinstance(self._shape, WaveShape):
            shape = with_skipped_dips(self._shape, key == "skipped")
            self._wish("Change dips", shape, gesture)

    def _choose_edge(self, side: str, key: str, gesture: object) -> None:
        """Change one edge; a straight one goes only with another straight one."""
        shape = self._shape
        if shape is None or key == "own":
            self._fill()
            return
        is_near = (side == "right") == self._starts_right
        near, far = edge_kinds(shape)
        near, far = (key, far) if is_near else (near, key)
        if isinstance(shape, HeightShape):
            self._wish("Change edges", with_ends(shape, _turn(near), _turn(far)), gesture)
        elif key == "straight":
            self._wish("Change edges", with_straight_edge(shape, _STRAIGHT), gesture)
        else:
            halves = _turn(near, or_else=key), _turn(far, or_else=key)
            self._wish("Change edges", with_edges(shape, *halves), gesture)

    def _choose_every(self, key: str, gesture: object) -> None:
        if self._shape is not None:
            self._wish("Change shaped rows", with_every(self._shape, int(key)), gesture)

    def _change_swap(self, rows: float | None, gesture: object) -> None:
        if self._shape is not None:
            self._wish("Swap peaks and dips", with_swap(self._shape, int(rows or 0)), gesture)

    def _choose_slant(self, key: str, gesture: object) -> None:
        if isinstance(self._shape, WaveShape):
            self._wish("Slant crests", with_slant(self._shape, int(key)), gesture)

    def _choose_sides(self, key: str, gesture: object) -> None:
        if isinstance(self._shape, WaveShape):
            self._wish("Change long runs", with_sides_kept(self._shape, key == "keep"), gesture)

    def _change_length(self, stitches: float, gesture: object) -> None:
        if isinstance(self._shape, HeightShape):
            self._wish("Change length", with_length(self._shape, int(stitches)), gesture)

    def _choose_heights(self, key: str, gesture: object) -> None:
        del key
        if isinstance(self._shape, HeightShape):
            low, high = self._low.currentData(), self._high.currentData()
            self._wish("Change heights", with_heights(self._shape, low, high), gesture)

    def _wish(self, text: str, shape: Shape, gesture: object | None = None) -> None:
        assert self._results is not None
        self._emit(text, shape, family_turning(shape, self._results.design.turning), gesture)

    def _emit(self, text: str, shape: Shape, turning: Turning, gesture: object | None) -> None:
        wave = wave_of(shape)

        def edit(design: Design) -> Design:
            design = set_turning(design, chains=turning.chains, counts=turning.counts)
            return set_wave(design, wave)

        checked_edit: Edit = edit
        self.wish.emit(text, checked_edit, gesture)
        self._fill()  # what can't be had is put back


def _cell(grid: QGridLayout, row: int, column: int) -> QHBoxLayout:
    """Return a new row of widgets in a cell, of which one is seen at a time."""
    cell = QHBoxLayout()
    cell.setSpacing(0)
    grid.addLayout(cell, row, column)
    return cell


def _peak_of(shape: WaveShape) -> int:
    """Return the number of the first peak, or of the first turn if there is none."""
    return next((n for n, turn in enumerate(shape.turns) if turn.kind == "peak"), 0)


def _turn_name(shape: WaveShape, number: int) -> str:
    return shape.turns[number].kind if number < len(shape.turns) else "turn"


def _turn(kind: str, or_else: str = "peak") -> TurnKind:
    """Return the kind of turn an edge cuts; another one's for an edge that cuts none."""
    kind = kind if kind in ("peak", "dip") else or_else
    return "dip" if kind == "dip" else "peak"


def _offer(field: ChoiceField, choices: Sequence[tuple[str, str]]) -> None:
    """Offer these choices, in these words."""
    if [(field.itemData(n), field.itemText(n)) for n in range(field.count())] == list(choices):
        return
    field.clear()
    for key, words in choices:
        field.addItem(words, key)
