"""Three variants of the wave side by side: steeper or gentler, deeper or shallower."""

from functools import partial
from typing import Any, Final, cast

import numpy as np
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.sketch_dialog import period_line
from app.tab_order import follow_layout
from app.theme import UNIT, Theme
from app.views.pages.fields import ChoiceField, NumberField
from app.views.scrolled import beyond
from app.views.wave_card import WaveCard, bounds_of
from core.craft.units import MM_PER_IN
from core.design.document import Design
from core.design.validation import checked
from core.errors import DesignError
from core.records import Struct, replace
from core.rows.waves import MAX_GAIN, MAX_RUN, WaveShape
from core.sketch.offers import Offer, take
from core.sketch.outline import OutlineBook
from core.sketch.variants import (
    Variant,
    Wanted,
    compared,
    drawn_of,
    first_variants,
    run_for_depth,
)

_BY: Final = (
    ("slope", "Slope: stitches gained at a peak"),
    ("depth", "Depth: longer and shorter runs"),
)
_DEPTHS_MM: Final = (1.0, 500.0)


class _Request(Struct, frozen=True, eq=False):
    """What to work out: the variants, and for one of them perhaps a depth instead of its run."""

    design: Design
    shape: WaveShape
    variants: tuple[Variant, ...]
    book: OutlineBook
    depth: tuple[int, float] | None = None


_Answer = tuple[tuple[Variant, ...], tuple[Offer | None, ...]]


def _work_out(request: Any, should_stop: ShouldStop) -> _Answer:
    design, shape, book = request.design, request.shape, request.book
    variants = list(request.variants)
    if request.depth is not None:
        number, depth_mm = request.depth
        run = run_for_depth(
            design, shape, variants[number], depth_mm, book=book, should_stop=should_stop
        )
        variants[number] = replace(variants[number], run=run)
    offers = compared(design, shape, tuple(variants), book=book, should_stop=should_stop)
    return tuple(variants), offers


class _Dials(QWidget):
    """Run, gain and depth of one variant."""

    run_set = Signal(int)
    gain_set = Signal(int)
    depth_set = Signal(float)

    def __init__(self, number: int, inches: bool, parent: QWidget) -> None:
        super().__init__(parent)
        self.run_field = NumberField(f"Run of wave {number}", (1, MAX_RUN))
        self.gain_field = NumberField(f"Gain at a peak of wave {number}", (1, MAX_GAIN))
        self.height_field = NumberField(f"Height of wave {number}", _DEPTHS_MM)
        per, unit, step = (MM_PER_IN, "in", 0.1) if inches else (10.0, "cm", 0.1)
        self.height_field.set_unit(per, unit, step=step, digits=2 if inches else 1)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT // 2)
        for text, field, tip in (
            ("Run", self.run_field, "Stitches of the first run; the others follow"),
            ("Gain", self.gain_field, "Stitches gained at a peak, lost at a dip"),
            ("Height", self.height_field, "Dip to peak; the run that comes nearest is taken"),
        ):
            field.setToolTip(tip)
            label = QLabel(text, self)
            label.setProperty("quiet", True)
            label.setBuddy(field)
            row.addWidget(label)
            row.addWidget(field, 1)
        self.run_field.changed.connect(lambda value, _: self.run_set.emit(int(value)))
        self.gain_field.changed.connect(lambda value, _: self.gain_set.emit(int(value)))
        self.height_field.changed.connect(lambda value, _: self.depth_set.emit(float(value)))

    def show_variant(self, variant: Variant, height_mm: float | None) -> None:
        """Show what a variant is."""
        self.run_field.show_value(variant.run)
        self.gain_field.show_value(variant.gain)
        self.height_field.show_value(height_mm)


class CompareDialog(QDialog):
    """Three cards with dials; one can be chosen."""

    wish = Signal(str, object, object)
    aside_wished = Signal(str, object)  # the variant's name, and the Design it makes

    def __init__(
        self, design: Design, shape: WaveShape, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Compare variants of the wave")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._design, self._shape = design, shape
        self._book = OutlineBook(design)
        self._worker = LatestWins(_work_out, self)
        self._worker.finished.connect(self._show_answer)
        self._worker.failed.connect(self._show_failure)
        self.by = ChoiceField("Compare by", _BY)
        self.by.setMinimumContentsLength(28)
        self.by.setToolTip("Set all three anew by what they differ in")
        self.by.changed.connect(lambda key, _: self.set_by(cast("Wanted", key)))
        top = QHBoxLayout()
        top.setSpacing(UNIT)
        label = QLabel("Compare &by", self)
        label.setBuddy(self.by)
        top.addWidget(label)
        top.addWidget(self.by)
        self.said = QLabel(self)
        self.said.setProperty("quiet", True)
        top.addWidget(self.said, 1)
        close = QPushButton("&Close", self)
        close.setAutoDefault(False)
        close.setToolTip("Leave the wave as it is (Esc)")
        close.clicked.connect(self.reject)
        top.addWidget(close)
        self.cards = tuple(WaveCard(n + 1, theme, self) for n in range(3))
        self.dials: list[_Dials] = []
        row = QHBoxLayout()
        row.setSpacing(UNIT + 4)
        for number, card in enumerate(self.cards):
            dials = _Dials(number + 1, design.units == "in", card)
            dials.run_set.connect(partial(self._set, number, "run"))
            dials.gain_set.connect(partial(self._set, number, "gain"))
            dials.depth_set.connect(partial(self._set_depth, number))
            card.add_controls(dials)
            card.button.setAutoDefault(False)
            card.chosen.connect(self._choose)
            aside = QPushButton(f"Keep wave {number + 1} aside", card)
            aside.setAutoDefault(False)
            aside.setToolTip("Keep the blanket in this wave aside, to flip to and to put back (F5)")
            aside.clicked.connect(partial(self._keep_aside, card))
            card.add_button(aside)
            self.dials.append(dials)
            row.addWidget(card, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT + 4)
        column.addLayout(top)
        cards = QWidget(self)
        row.setContentsMargins(0, 0, 0, 0)
        cards.setLayout(row)
        column.addWidget(beyond(cards, self), 1)
        self.resize(1120, 450)
        self.set_by("slope")
        self.by.setFocus()
        follow_layout(self)

    @property
    def variants(self) -> tuple[Variant, ...]:
        """What is compared."""
        return self._variants

    def set_by(self, by: Wanted) -> None:
        """Set all three anew."""
        self.by.show_value(by)
        self._ask(first_variants(self._shape, by))

    def _set(self, number: int, what: str, value: int) -> None:
        variants = list(self._variants)
        run = value if what == "run" else variants[number].run
        gain = value if what == "gain" else variants[number].gain
        variants[number] = Variant(run, gain)
        self._ask(tuple(variants))

    def _set_depth(self, number: int, depth_mm: float) -> None:
        self._ask(self._variants, depth=(number, depth_mm))

    def _ask(
        self, variants: tuple[Variant, ...], *, depth: tuple[int, float] | None = None
    ) -> None:
        self._variants = variants
        self.said.setText("settling…")
        self._worker.submit(_Request(self._design, self._shape, variants, self._book, depth))

    def _show_answer(self, answer: _Answer) -> None:
        self._variants, offers = answer
        self.said.setText("Solid: each variant. Dashed: the wave as it is.")
        outline = self._book.outline(self._design.wave)
        first = next((offer for offer in offers if offer is not None), None)
        if outline is None or first is None:
            self._show_failure("the rows don't come to rest")
            return
        drawn = drawn_of(outline)
        line = period_line(drawn, drawn.heights_mm)
        bounds = bounds_of(offers, line)
        around = np.concatenate([line + (turn * drawn.period_mm, 0.0) for turn in (-1, 0, 1)])
        units, terms = self._design.units, self._design.terms
        for number, (card, offer) in enumerate(zip(self.cards, offers, strict=True)):
            if offer is None:
                card.show_nothing("This variant doesn't come to rest: choose a smaller gain")
                self.dials[number].show_variant(self._variants[number], None)
            else:
                card.show_offer(offer, around, bounds, units=units, terms=terms)
                height = offer.measures.wave_height_mm
                self.dials[number].show_variant(self._variants[number], height)

    def _show_failure(self, error: object) -> None:
        self.said.setText(f"There is nothing to compare: {error}.")

    def _choose(self, offer: Offer) -> None:
        self.wish.emit("Choose variant", partial(take, offer=offer), None)
        self.accept()

    def _keep_aside(self, card: WaveCard) -> None:
        """Keep the blanket in a card's wave aside; the dialog stays for the others."""
        offer = card.offer
        if offer is None:
            return
        try:
            design = checked(take(self._design, offer))
        except (DesignError, ValueError) as error:
            self.said.setText(f"This can't be kept: {error}.")
            return
        self.aside_wished.emit(offer.name, design)
        self.said.setText(f"Kept aside: {offer.name}. F5 in the window flips to it.")

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._worker.close()
        super().done(result)
