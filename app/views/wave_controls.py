"""The wave's figures beside its profile: family, runs, turns, edges, and how rows follow."""

from functools import partial
from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.theme import Theme
from app.views.wave_fields import EDGES, ENDS, OWN, WaveFields, offer
from core.craft.stitches import CATALOGUE, RUNGS
from core.design.document import Design, Turning
from core.design.edits import Edit, set_turning, set_wave
from core.pipeline import Results
from core.rows.waves import (
    FAMILIES,
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

_STRAIGHT: Final = 2  # plain stitches at a straight edge


class WaveControls(WaveFields):
    """Shows and edits the figures of a wave's shape; only what a shape has is there."""

    wish = Signal(str, object, object)

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._shape: Shape | None = None
        self._results: Results | None = None
        self._wire()

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
        choices: tuple[tuple[str, str], ...] = EDGES
        if isinstance(shape, HeightShape):
            choices = ENDS
        if near != "own":
            choices = tuple(choice for choice in choices if choice != OWN)
        for field, kind in ((self._left, left), (self._right, right)):
            offer(field, choices)
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
        offer(self._slant, [(str(slant), self._slant_words(slant)) for slant in slants])
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
        for field, stitches in ((self._low, RUNGS[:-1]), (self._high, RUNGS[1:])):
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


def _peak_of(shape: WaveShape) -> int:
    """Return the number of the first peak, or of the first turn if there is none."""
    return next((n for n, turn in enumerate(shape.turns) if turn.kind == "peak"), 0)


def _turn_name(shape: WaveShape, number: int) -> str:
    return shape.turns[number].kind if number < len(shape.turns) else "turn"


def _turn(kind: str, or_else: str = "peak") -> TurnKind:
    """Return the kind of turn an edge cuts; another one's for an edge that cuts none."""
    kind = kind if kind in ("peak", "dip") else or_else
    return "dip" if kind == "dip" else "peak"
