"""The page of the swatch: stitch, gauge and how rows are worked, and what follows from them."""

from functools import partial
from typing import Any, Final, cast

from PySide6.QtWidgets import QWidget

from app.theme import Theme
from app.views.figures import length, number, small_length
from app.views.pages.fields import ChoiceField, NumberField, Tick, bounds_of
from app.views.pages.page import FormPage
from app.views.pages.swatch_another import AnotherGroup, stitch_words
from app.views.pages.swatch_size import HookGroup, WantedGroup, WashGroup
from app.views.pages.swatch_wave import WorkedWaveGroup
from core.craft.stitches import Terms, WorkedStitch
from core.craft.units import MM_PER_IN
from core.design import edits
from core.design.document import Design, Gauge, Loops, Turning, Units
from core.fabric.springs import DEFAULT_FIRMNESS
from core.pipeline import Results
from core.stripes.loops import PLANS, is_plain, plan_of

_LOOPS: Final = (
    ("both", "both loops"),
    ("back", "the back loop"),
    ("front", "the front loop"),
    ("colour", "loops anew with each colour"),
    ("turn", "loops in turn, row by row"),
)
_HANDS: Final = (("right", "the right hand"), ("left", "the left hand"))
_UNITS: Final = (("cm", "centimetres"), ("in", "inches"))
_FIRMNESS: Final = (
    "Firm cloth keeps the wave's slope, slack cloth lets it sag. Leave the default until a wave "
    "you have worked says otherwise."
)
_WASHED: Final = (
    "Repeat, rise, wave, lean and finished width are after washing; stitch, row and chain before."
)
_UNSETTLED: Final = "The row doesn't go on evenly, so its wave can't be measured yet: see Checks."
_NONE: Final = "–"


class SwatchPage(FormPage):
    """Shows and edits the swatch and how rows are worked."""

    title = "Swatch"

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._units: Units | None = None
        self._terms: Terms = "US"
        self._add_gauge()
        self.wave = WorkedWaveGroup(self, theme)
        self.wash = WashGroup(self)
        self.wanted = WantedGroup(self)
        self.hook_piece = HookGroup(self)
        self.another = AnotherGroup(self)
        self._add_working()
        self._add_figures()

    def _add_gauge(self) -> None:
        self.heading("Gauge")
        self.stitch = ChoiceField("Stitch", stitch_words("US"))
        self.field("Stitch", self.stitch)
        self.stitches = _gauge_field("Stitches", "stitches", step=0.5)
        self.field("Stitches", self.stitches)
        self.rows = _gauge_field("Rows", "rows", step=0.5)
        self.field("Rows", self.rows)
        self.over = _gauge_field("Counted over", "over_mm", step=1)
        self.field("Counted over", self.over)
        self.hook = _gauge_field("Hook", "hook_mm", step=0.25, unit="mm")
        self.field("Hook", self.hook)
        self.firmness = _gauge_field(
            "Firmness",
            "firmness",
            step=0.1,
            absent=f"default ({DEFAULT_FIRMNESS:g})",
            first=DEFAULT_FIRMNESS,
        )
        self.field("Firmness", self.firmness)
        self.note(_FIRMNESS)
        self.stitch.changed.connect(
            lambda key, gesture: self.ask(
                "Change stitch",
                partial(edits.set_stitch, stitch=cast("WorkedStitch", key)),
                gesture,
            )
        )
        for field, name, text in (
            (self.stitches, "stitches", "Change stitches of the swatch"),
            (self.rows, "rows", "Change rows of the swatch"),
            (self.over, "over_mm", "Change length of the swatch"),
            (self.hook, "hook_mm", "Change hook"),
            (self.firmness, "firmness", "Change firmness"),
        ):
            field.changed.connect(partial(self._set_gauge, text, name))

    def _add_working(self) -> None:
        self.heading("How rows are worked")
        self.loops = ChoiceField("Worked into", _LOOPS)
        self.field("Worked into", self.loops)
        self.from_row = NumberField("From row", bounds_of(Loops, "from_row"))
        self.field("From row", self.from_row)
        self.last_both = Tick("Last stitch of a row through both loops")
        self.whole(self.last_both)
        self.chains = NumberField("Turning chain", bounds_of(Turning, "chains"), unit="ch")
        self.field("Turning chain", self.chains)
        self.counts = Tick("The turning chain counts as the first stitch")
        self.whole(self.counts)
        self.hand = ChoiceField("Hook held in", _HANDS)
        self.field("Hook held in", self.hand)
        self.units = ChoiceField("Measured in", _UNITS)
        self.field("Measured in", self.units)
        self.loops.changed.connect(
            lambda key, gesture: self.ask(
                "Change loops", partial(edits.set_loops, **PLANS[key]), gesture
            )
        )
        self.from_row.changed.connect(
            lambda row, gesture: self.ask(
                "Change first row of the loops",
                partial(edits.set_loops, from_row=int(row)),
                gesture,
            )
        )
        self.last_both.changed.connect(
            lambda both: self.ask(
                "Change last stitch", partial(edits.set_loops, last_stitch_both=both)
            )
        )
        self.chains.changed.connect(
            lambda chains, gesture: self.ask(
                "Change turning chain", partial(edits.set_turning, chains=int(chains)), gesture
            )
        )
        self.counts.changed.connect(
            lambda counts: self.ask(
                "Change turning chain", partial(edits.set_turning, counts=counts)
            )
        )
        self.hand.changed.connect(partial(self._set_value, "Change working hand", "hand"))
        self.units.changed.connect(partial(self._set_value, "Change units", "units"))

    def _add_figures(self) -> None:
        self.heading("What follows")
        self.stitch_width = self.figure("Stitch width")
        self.row_height = self.figure("Row height")
        self.repeat_width = self.figure("Repeat width")
        self.rise = self.figure("Rise per row")
        self.wave_height = self.figure("Wave height")
        self.lean = self.figure("Lean")
        self.chain = self.figure("Chain laid out")
        self.width_figure = self.figure("Finished width")
        self.draw_in = self.figure("Drawn in by")
        self._washed = self.note(_WASHED)
        self._unsettled = self.note(_UNSETTLED)

    def _set_gauge(self, text: str, name: str, value: float | None, gesture: object) -> None:
        values: dict[str, Any] = {name: value}
        self.ask(text, partial(edits.set_gauge, **values), gesture)

    def _set_value(self, text: str, name: str, value: str, gesture: object) -> None:
        values: dict[str, Any] = {name: value}
        self.ask(text, partial(edits.set_values, **values), gesture)

    def close_worker(self) -> None:
        """Stop the threads behind it; call before the application ends."""
        self.wave.close_worker()
        self.another.close_worker()

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show these results."""
        super().show_results(results)
        design = results.design
        self._follow_words(design)
        gauge, loops, turning = design.gauge, design.loops, design.turning
        self.stitch.show_value(gauge.stitch)
        self.stitches.show_value(gauge.stitches)
        self.rows.show_value(gauge.rows)
        self.over.show_value(gauge.over_mm)
        self.hook.show_value(gauge.hook_mm)
        self.firmness.show_value(gauge.firmness)
        self.loops.show_value(plan_of(loops))
        self.from_row.show_value(loops.from_row)
        self.last_both.show_value(loops.last_stitch_both)
        self.from_row.setEnabled(not is_plain(loops))
        self.last_both.setEnabled(not is_plain(loops))
        self.chains.show_value(turning.chains)
        self.counts.show_value(turning.counts)
        self.counts.setEnabled(turning.chains > 0)
        self.hand.show_value(design.hand)
        self.units.show_value(design.units)
        for group in (self.wave, self.wash, self.wanted, self.hook_piece, self.another):
            group.show_results(results)
        self._show_figures(results)

    def _follow_words(self, design: Design) -> None:
        """Take on the design's terms and units."""
        if design.terms != self._terms:
            self._terms = design.terms
            self.stitch.set_words(dict(stitch_words(design.terms)))
            self.another.set_words(design.terms)
        if design.units != self._units:
            self._units = design.units
            per_unit = 10.0 if design.units == "cm" else MM_PER_IN
            self.over.set_unit(per_unit, design.units, step=1, digits=2)
            for group in (self.wave, self.wash, self.hook_piece):
                for field in group.fields:
                    field.set_unit(per_unit, design.units, step=0.5, digits=2)
            for field in self.wanted.fields:
                field.set_unit(per_unit, design.units, step=1, digits=2)

    def _show_figures(self, results: Results) -> None:
        gauge, units, wave = results.design.gauge, results.design.units, results.finished_wave
        self.stitch_width.show_text(small_length(gauge.stitch_width_mm, units))
        self.row_height.show_text(small_length(gauge.row_height_mm, units))
        self.repeat_width.show_text(length(wave.repeat_width_mm, units) if wave else _NONE)
        self.rise.show_text(small_length(wave.rise_mm, units) if wave else _NONE)
        self.wave_height.show_text(length(wave.wave_height_mm, units) if wave else _NONE)
        self.lean.show_text(f"{number(wave.lean_deg)}°" if wave else _NONE)
        self.chain.show_text(length(results.size.chain_mm, units))
        self.width_figure.show_text(length(results.size.width_mm, units))
        self.draw_in.show_text(f"{number(100 * results.size.draw_in)} %")
        self._washed.setVisible(results.size.is_washed)
        self._unsettled.setVisible(wave is None)


def _gauge_field(
    name: str,
    part: str,
    *,
    step: float,
    unit: str = "",
    absent: str = "",
    first: float | None = None,
) -> NumberField:
    return NumberField(
        name,
        bounds_of(Gauge, part),
        step=step,
        digits=2,
        unit=unit,
        absent=absent,
        first=first,
    )
