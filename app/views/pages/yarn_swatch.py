"""The part of the yarn's page that says where its figures come from, and weighs a swatch."""

from functools import partial
from typing import Any, Final, cast

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QPushButton

from app.views.figures import number, yarn_per_area, yarn_unit
from app.views.pages.fields import ChoiceField, NumberField, bounds_of
from app.views.pages.page import FormPage
from core.craft.stitches import CATALOGUE, WorkedStitch
from core.craft.units import M_PER_YARD, MM_PER_IN
from core.design import edits
from core.design.document import Design, Swatch, Units
from core.errors import DesignError
from core.pipeline import Results
from core.yarn.plain import published_m_per_m2, yarn_band, yarn_m_per_m2
from core.yarn.weighing import Weighed, by_cloth, by_rows, by_stitches, stitch_choices

_WAYS: Final = (
    ("plain", "a weighed piece, plain"),
    ("wave", "a weighed piece in the wave"),
    ("rows", "the ball, before and after rows"),
    ("stitches", "some stitches taken out"),
)
_SCALES: Final = (("1", "whole grams"), ("0.1", "tenths of a gram"))
_ABOUT: Final = {
    "plain": "Weigh a plain swatch without its tails, and measure it.",
    "wave": "Weigh a piece worked in this wave, without its tails. Measure it over whole repeats.",
    "rows": "Weigh the ball, work some rows of this blanket, weigh it again.",
    "stitches": "Take some stitches out and measure their yarn, pulled straight.",
}
_FIELDS: Final = {
    "plain": ("grams", "width", "length", "scale"),
    "wave": ("grams", "width", "length", "scale"),
    "rows": ("first", "last", "grams", "scale"),
    "stitches": ("stitch", "count", "yarn"),
}
_PERCENT: Final = 0.01


class SwatchGroup(QObject):
    """The yarn in a square metre: published, typed, or found by a swatch."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self._results: Results | None = None
        self._chosen = 0
        self._way = "plain"
        self._found: Weighed | None = None
        page.heading("Where the figures come from")
        self.per_area = NumberField(
            "Yarn in a square metre by your own swatch",
            bounds_of(Swatch, "yarn_m_per_m2"),
            absent="not measured",
            first=1250.0,
        )
        page.field("By your swatch", self.per_area)
        self.off = NumberField("It may be off by", bounds_of(Swatch, "yarn_off"), absent="5 %")
        self.off.set_unit(_PERCENT, "%", step=1, digits=1)
        self.off.setToolTip("How far the figure may be off, either way")
        page.field("Give or take", self.off)
        self.source = page.note()
        self.per_area.changed.connect(self._set_per_area)
        self.off.changed.connect(
            lambda value, gesture: page.ask(
                "Change how sure the swatch is", partial(edits.set_swatch, yarn_off=value), gesture
            )
        )
        self._add_weighing()

    def _add_weighing(self) -> None:
        page = self._page
        self.fold = page.fold("Weigh a swatch")
        self.way = ChoiceField("Find it by", _WAYS)
        self._about = page.note()
        page.field("Find it by", self.way)
        fields: dict[str, NumberField | ChoiceField] = {
            "stitch": ChoiceField("Stitch taken out", [("dc", "dc")]),
            "count": NumberField("Stitches taken out", (1, 10_000)),
            "yarn": NumberField("Yarn in them", (1, 1_000_000)),
            "first": NumberField("First row weighed", (1, 5000)),
            "last": NumberField("Last row weighed", (1, 5000)),
            "grams": NumberField("Grams", (0, 100_000), digits=1, unit="g"),
            "width": NumberField("Width of the piece", (1, 100_000)),
            "length": NumberField("Length of the piece", (1, 100_000)),
            "scale": ChoiceField("The scales read", _SCALES),
        }
        words = {
            "stitch": "Stitch",
            "count": "How many",
            "yarn": "Their yarn",
            "first": "From row",
            "last": "To row",
            "grams": "Yarn weighs",
            "width": "Width",
            "length": "Length",
            "scale": "Scales read",
        }
        self.fields = fields
        for name, field in fields.items():
            page.field(words[name], field)
            field.changed.connect(partial(self._typed, field))
        for name, value in (("count", 20.0), ("first", 1.0), ("last", 4.0)):
            self.number(name).show_value(value)
        for name, value in (("width", 150.0), ("length", 150.0), ("yarn", 1000.0), ("grams", 0.0)):
            self.number(name).show_value(value)
        self.choice("scale").show_value("1")
        self.way.show_value(self._way)
        self.way.changed.connect(lambda key, _: self._set_way(key))
        self.told = page.note()
        self.trouble = page.trouble()
        self.use = QPushButton("Use it")
        self.use.setToolTip("Reckon all yarn with this figure instead of the published one")
        self.use.clicked.connect(self._use)
        page.whole(self.use)

    def number(self, name: str) -> NumberField:
        """Return one of the fields for a number."""
        return cast("NumberField", self.fields[name])

    def choice(self, name: str) -> ChoiceField:
        """Return one of the fields for a choice."""
        return cast("ChoiceField", self.fields[name])

    def follow_units(self, units: Units) -> None:
        """Show lengths in the design's units."""
        unit = yarn_unit(units)
        per_area = 1.0 if units == "cm" else 1 / M_PER_YARD
        self.per_area.set_unit(per_area, f"{unit}/{unit}²", step=50, digits=0)
        per_unit = 10.0 if units == "cm" else MM_PER_IN
        for name in ("width", "length", "yarn"):
            self.number(name).set_unit(per_unit, units, step=0.5, digits=1)

    def show_results(self, results: Results, chosen: int) -> None:
        """Show where the figures come from."""
        self._results, self._chosen = results, chosen
        design = results.design
        weighed = design.swatch.yarn_m_per_m2 if design.swatch else None
        self.per_area.show_value(weighed)
        self.off.show_value(design.swatch.yarn_off if design.swatch else None)
        self._page.set_field_shown(self.off, shown=weighed is not None)
        self.source.setText(_source(design))
        stitch = self.choice("stitch")
        was = stitch.currentData()
        names = [(key, CATALOGUE[key].name(design.terms).short) for key in stitch_choices(design)]
        stitch.clear()
        for key, words in names:
            stitch.addItem(words, key)
        stitch.show_value(was if was in dict(names) else names[0][0])
        self._show_fields()
        self._reckon()

    def _typed(self, field: NumberField | ChoiceField, value: Any, gesture: object) -> None:
        del gesture
        field.show_value(value)
        self._reckon()

    def _set_way(self, key: str) -> None:
        self._way = key
        self.way.show_value(key)
        self._show_fields()
        self._reckon()

    def _show_fields(self) -> None:
        self._about.setText(_ABOUT[self._way])
        for name, field in self.fields.items():
            shown = name in _FIELDS[self._way]
            self._page.set_field_shown(field, shown=shown)

    def _reckon(self) -> None:
        """Say what the swatch comes to, or why it can't be."""
        results = self._results
        if results is None:
            return
        self._found, trouble = None, ""
        try:
            self._found = self._weighed(results)
        except DesignError as error:
            trouble = str(error)
        blank = not self.number("grams").value() and self._way != "stitches"
        self.trouble.say("" if blank else trouble)
        self.told.say(_told(self._found, results.design) if self._found else "")
        self.use.setEnabled(self._found is not None)
        self.fold.sum_up("", matters=False)

    def _weighed(self, results: Results) -> Weighed:
        design, yarn = results.design, results.design.yarns[self._chosen]
        value = {name: self._value(name) for name in ("grams", "width", "length", "yarn")}
        scale_g = float(self.choice("scale").currentData())
        if self._way == "rows":
            first, last = int(self._value("first")), int(self._value("last"))
            return by_rows(
                design,
                results.row_yarn,
                yarn,
                first=first,
                last=last,
                grams=value["grams"],
                scale_g=scale_g,
            )
        if self._way == "stitches":
            stitch = cast("WorkedStitch", self.choice("stitch").currentData())
            count = int(self._value("count"))
            return by_stitches(design, stitch, stitches=count, length_mm=value["yarn"])
        return by_cloth(
            design,
            yarn,
            grams=value["grams"],
            width_mm=value["width"],
            length_mm=value["length"],
            wave=results.wave if self._way == "wave" else None,
            by_row=results.row_yarn,
            scale_g=scale_g,
        )

    def _value(self, name: str) -> float:
        return self.number(name).stored_value

    def _use(self) -> None:
        if self._found is not None:
            found = self._found
            self._page.ask(
                "Reckon yarn by the swatch",
                partial(
                    edits.set_swatch, yarn_m_per_m2=round(found.m_per_m2, 1), yarn_off=found.off
                ),
            )

    def _set_per_area(self, value: float | None, gesture: object) -> None:
        values: dict[str, Any] = {
            "yarn_m_per_m2": value,
            **({"yarn_off": None} if value is None else {}),
        }
        self._page.ask("Change yarn in the swatch", partial(edits.set_swatch, **values), gesture)


def _source(design: Design) -> str:
    units, band = design.units, yarn_band(design)
    amount = yarn_per_area(yarn_m_per_m2(design), units)
    published = published_m_per_m2(design.gauge.stitch_width_mm)
    off = f"{number(100 * (1 - band.low))} % less to {number(100 * (band.high - 1))} % more"
    if design.swatch and design.swatch.yarn_m_per_m2 is not None:
        return (
            f"Reckoned with {amount}, from your weighed swatch, {off}. Empty the field to go "
            f"back to the published figure ({yarn_per_area(published, units)})."
        )
    return (
        f"Reckoned with {amount}, the published figure for stitches so wide, closed cloth: {off}. "
        "A swatch of your own is surer; lace takes far less."
    )


def _told(found: Weighed, design: Design) -> str:
    amount = yarn_per_area(found.m_per_m2, design.units)
    rough = " A bigger piece is surer." if found.off > 0.10 else ""
    return f"That is {amount}, give or take {number(100 * found.off)} %.{rough}"
