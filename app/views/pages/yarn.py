"""The page of the yarns: what each has to do, what to buy, and where the figures come from."""

from collections.abc import Iterable
from functools import partial
from typing import Any, Final

from PySide6.QtCore import QSize, Slot
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QColorDialog, QPushButton, QSizePolicy, QWidget

from app.theme import UNIT, Theme
from app.views.figures import (
    M_PER_YARD,
    number,
    yarn_length,
    yarn_per_area,
    yarn_unit,
    yarn_unit_m,
)
from app.views.flow import FlowLayout
from app.views.pages.fields import ChoiceField, NumberField, TextField, bounds_of, longest_of
from app.views.pages.page import FormPage
from app.views.pages.yarn_table import YarnTable, swatch_icon
from core.craft.tables import SPARE_PART, YARN_M_PER_M2
from core.design import edits
from core.design.document import Design, Swatch, Units, Yarn
from core.pipeline import Results
from core.stripes.colour import difference
from core.yarn.shopping import balls_to_buy, yarn_totals
from core.yarn.use import YarnUse, yarn_m_per_m2

_FILLS: Final = (
    ("repeat", "begin again"),
    ("mirror", "turn back (mirror)"),
    ("stop", "stop: go on in the last yarn"),
)
_NEW_COLOURS: Final = (
    "#2a6f97",
    "#c1543c",
    "#e3b23c",
    "#4f7f52",
    "#7b4b94",
    "#e9dcc3",
    "#3b3a3c",
    "#d98ba2",
    "#6bb2b0",
    "#8c5a35",
    "#a9bf5a",
    "#9aa7b5",
    "#7d1f3a",
    "#1f3f6d",
    "#ef8f4d",
    "#b9a2d8",
    "#ffffff",
    "#0f5c4c",
)
_NONE: Final = "–"


class YarnPage(FormPage):
    """Shows and edits the yarns of a design."""

    title = "Yarn"

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._chosen = 0
        self._units: Units | None = None
        self._dialog: QColorDialog | None = None
        self._add_list()
        self._add_chosen()
        self._add_use()
        self._add_totals()
        self._add_fabric()
        theme.changed.connect(self._show_colour)

    # building

    def _add_list(self) -> None:
        self.heading("Yarns")
        self.table = YarnTable(self._theme)
        self.whole(self.table)
        self.add_button = QPushButton("Add yarn")
        self.add_button.setToolTip("Add a yarn (Ins in the list)")
        self.remove_button = QPushButton("Remove")
        self.remove_button.setToolTip("Remove the chosen yarn (Del in the list)")
        box = QWidget()
        row = FlowLayout(box, gap_px=UNIT)
        row.addWidget(self.add_button)
        row.addWidget(self.remove_button)
        self.whole(box, self.add_button, self.remove_button)
        self.table.chosen.connect(self.choose)
        self.table.edit_wished.connect(self._edit_name)
        self.table.add_wished.connect(self.add_yarn)
        self.table.remove_wished.connect(self.remove_yarn)
        self.add_button.clicked.connect(lambda: self.add_yarn())
        self.remove_button.clicked.connect(lambda: self.remove_yarn())

    def _add_chosen(self) -> None:
        self._chosen_heading = self.heading("Chosen yarn")
        self.name = TextField("Name", longest=longest_of(Yarn, "name"))
        self.field("Name", self.name)
        self.colour = QPushButton()
        self.colour.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.field("Colour", self.colour)
        self.ball_m = NumberField("Length of a ball", bounds_of(Yarn, "ball_m"), digits=1)
        self.field("A ball holds", self.ball_m)
        self.ball_g = NumberField(
            "Weight of a ball", bounds_of(Yarn, "ball_g"), digits=1, unit="g", step=5
        )
        self.field("It weighs", self.ball_g)
        self.owned = NumberField(
            "Balls owned", bounds_of(Yarn, "owned_balls"), digits=2, unit="balls"
        )
        self.field("You own", self.owned)
        self.price = NumberField(
            "Price of a ball",
            bounds_of(Yarn, "price"),
            digits=2,
            absent="not given",
            first=1.0,
            keeps_zeros=True,
        )
        self.field("A ball costs", self.price)
        self.name.changed.connect(lambda name: self._set_yarn("Rename yarn", "name", name))
        self.colour.clicked.connect(lambda: self.choose_colour())
        for field, part, text in (
            (self.ball_m, "ball_m", "Change length of a ball"),
            (self.ball_g, "ball_g", "Change weight of a ball"),
            (self.owned, "owned_balls", "Change balls owned"),
            (self.price, "price", "Change price of a ball"),
        ):
            field.changed.connect(partial(self._set_yarn, text, part))

    def _add_use(self) -> None:
        self._use_heading = self.heading("What it has to do")
        self.in_rows = self.figure("In the rows")
        self.foundation = self.figure("Foundation chain")
        self.fill_rows = self.figure("Fill rows")
        self.border = self.figure("Border")
        self.tails = self.figure("Tails")
        self.spare = self.figure(f"Spare, {number(100 * SPARE_PART)} %")
        self.together = self.figure("Together")
        self.weight = self.figure("Weight")
        self.balls = self.figure("Balls to have")
        self.to_buy = self.figure("Short by")

    def _add_totals(self) -> None:
        self.heading("All yarns")
        self.all_length = self.figure("Length")
        self.all_weight = self.figure("Weight")
        self.all_balls = self.figure("Balls to have")
        self.all_to_buy = self.figure("Balls to buy")
        self.cost = self.figure("They cost")
        self.ends = self.figure("Tails to weave in")

    def _add_fabric(self) -> None:
        self.heading("Where the figures come from")
        self.per_area = NumberField(
            "Yarn in a square metre by your own swatch",
            bounds_of(Swatch, "yarn_m_per_m2"),
            absent="published",
            first=YARN_M_PER_M2,
        )
        self.field("By your swatch", self.per_area)
        self.source = self.note()
        self.heading("After the last stripe of the sequence")
        self.fill = ChoiceField("After the last stripe of the sequence", _FILLS)
        self.whole(self.fill)
        self.per_area.changed.connect(
            lambda value, gesture: self.ask(
                "Change yarn in the swatch",
                partial(edits.set_swatch, yarn_m_per_m2=value),
                gesture,
            )
        )
        self.fill.changed.connect(
            lambda key, gesture: self.ask(
                "Change what follows the last stripe", partial(edits.set_fill, fill=key), gesture
            )
        )

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show these results."""
        super().show_results(results)
        self._chosen = min(self._chosen, len(results.design.yarns) - 1)
        self._follow_units(results.design.units)
        self.table.show_results(results, self._chosen)
        self._show_chosen()
        self._show_totals(results)
        per_area = yarn_m_per_m2(results.design)
        swatch = results.design.swatch
        weighed = swatch.yarn_m_per_m2 if swatch else None
        self.per_area.show_value(weighed)
        self.source.setText(_source(per_area, weighed is not None, results.design.units))
        self.fill.show_value(results.design.stripes.fill)

    def _follow_units(self, units: Units) -> None:
        if units == self._units:
            return
        self._units = units
        unit = yarn_unit(units)
        self.ball_m.set_unit(yarn_unit_m(units), unit, step=5, digits=1)
        per_area = 1.0 if units == "cm" else 1 / M_PER_YARD
        self.per_area.set_unit(per_area, f"{unit}/{unit}²", step=50, digits=0)

    def _show_chosen(self, *, even_if_typed: bool = False) -> None:
        results = self._results
        if results is None:
            return
        design = results.design
        yarn, use = design.yarns[self._chosen], results.yarn[self._chosen]
        self.name.show_value(yarn.name, even_if_typed=even_if_typed)
        self._show_colour()
        self.ball_m.show_value(yarn.ball_m, even_if_typed=even_if_typed)
        self.ball_g.show_value(yarn.ball_g, even_if_typed=even_if_typed)
        self.owned.show_value(yarn.owned_balls, even_if_typed=even_if_typed)
        self.price.show_value(yarn.price, even_if_typed=even_if_typed)
        self.remove_button.setEnabled(len(design.yarns) > 1)
        self.add_button.setEnabled(len(design.yarns) < longest_of(Design, "yarns"))
        self._show_use(yarn, use, design.units)

    def _show_colour(self) -> None:
        if self._results is None:
            return
        yarn = self._results.design.yarns[self._chosen]
        side = self.fontMetrics().ascent()
        size = QSize(2 * side, side)
        self.colour.setIconSize(size)
        self.colour.setIcon(swatch_icon(yarn.colour, size, self._theme, self.devicePixelRatioF()))
        self.colour.setText(yarn.colour)
        self.colour.setAccessibleName(f"Colour of {yarn.name}: {yarn.colour}")

    def _show_use(self, yarn: Yarn, use: YarnUse, units: Units) -> None:
        rows = f"{use.rows} {'row' if use.rows == 1 else 'rows'}"
        self._use_heading.setText(f"{yarn.name} in {rows}")
        self.in_rows.show_text(yarn_length(use.body_m, units, 1))
        self.foundation.show_text(
            yarn_length(use.foundation_m, units, 1) if use.foundation_m else _NONE
        )
        self.fill_rows.show_text(yarn_length(use.fill_m, units, 1) if use.fill_m else _NONE)
        self.border.show_text(yarn_length(use.border_m, units, 1) if use.border_m else _NONE)
        self.tails.show_text(yarn_length(use.tails_m, units, 1))
        self.spare.show_text(yarn_length(use.spare_m, units, 1))
        self.together.show_text(yarn_length(use.length_m, units, 1))
        self.weight.show_text(f"{number(use.mass_g)} g")
        self.balls.show_text(str(use.balls))
        self.to_buy.show_text(str(balls_to_buy(use, yarn)))

    def _show_totals(self, results: Results) -> None:
        totals = yarn_totals(results.yarn, results.design.yarns)
        self.all_length.show_text(yarn_length(totals.length_m, results.design.units))
        self.all_weight.show_text(f"{number(totals.mass_g)} g")
        self.all_balls.show_text(str(totals.balls))
        self.all_to_buy.show_text(str(totals.to_buy))
        self.cost.show_text(_NONE if totals.cost is None else _cost(totals.cost, totals.unpriced))
        self.ends.show_text(str(results.tails))

    # edits

    @property
    def chosen(self) -> int:
        """Number of the yarn whose lines are shown."""
        return self._chosen

    def choose(self, yarn: int) -> None:
        """Show the lines of a yarn."""
        self._chosen = yarn
        self._show_chosen(even_if_typed=True)

    def add_yarn(self) -> None:
        """Add a yarn at the end of the list and choose it."""
        if self._results is None or not self.add_button.isEnabled():
            return
        design = self._results.design
        self._chosen = len(design.yarns)
        self.ask("Add yarn", partial(edits.add_yarn, yarn=new_yarn(design)))

    @Slot(int)
    def add_yarn_for_stripe(self, stripe: int) -> None:
        """Add a yarn, give it to a stripe and let its colour be chosen: one step."""
        if self._results is None:
            return
        design, gesture = self._results.design, object()
        yarn, number = new_yarn(design), len(design.yarns)
        may = self.add_button.isEnabled()
        if may:
            self._chosen = number
        edit = partial(_with_yarn_for_stripe, yarn=yarn, stripe=stripe)
        self.ask("Add yarn for stripe", edit, gesture)
        if may:
            self._open_dialog(number, yarn, gesture)

    def remove_yarn(self) -> None:
        """Remove the chosen yarn; its stripes go to its neighbour in the list."""
        if self._results is None or len(self._results.design.yarns) == 1:
            return
        number, design = self._chosen, self._results.design
        text = f"Remove {design.yarns[number].name}"
        if any(stripe.yarn == number for stripe in design.stripes.sequence):
            after = edits.remove_yarn(design, number)
            first = next(
                new.yarn
                for old, new in zip(design.stripes.sequence, after.stripes.sequence, strict=True)
                if old.yarn == number
            )
            text += f": its stripes go to {after.yarns[first].name}"
        self._chosen = max(number - 1, 0)
        self.ask(text, partial(edits.remove_yarn, number=number))

    def choose_colour(self) -> None:
        """Let the chosen yarn's colour be chosen; the blanket follows while it is."""
        if self._results is not None:
            self._open_dialog(self._chosen, self._results.design.yarns[self._chosen], object())

    def colour_dialog(self, colour: QColor) -> QColorDialog:
        """Return a dialog for choosing a colour."""
        dialog = QColorDialog(colour, self)
        dialog.setOption(QColorDialog.ColorDialogOption.DontUseNativeDialog)
        return dialog

    def _open_dialog(self, number: int, yarn: Yarn, gesture: object) -> None:
        if self._dialog is not None:
            return
        dialog = self._dialog = self.colour_dialog(QColor(yarn.colour))
        dialog.setWindowTitle(f"Colour of {yarn.name}")
        dialog.currentColorChanged.connect(partial(self._set_colour, number, gesture))
        dialog.rejected.connect(lambda: self._set_colour(number, gesture, QColor(yarn.colour)))
        dialog.finished.connect(self._forget_dialog)
        dialog.open()

    def _forget_dialog(self) -> None:
        dialog, self._dialog = self._dialog, None
        if dialog is not None:
            dialog.deleteLater()

    def _set_colour(self, number: int, gesture: object, colour: QColor) -> None:
        edit = partial(edits.set_yarn, number=number, colour=colour.name())
        self.ask("Change yarn colour", edit, gesture)

    def _set_yarn(
        self, text: str, part: str, value: str | float | None, gesture: object = None
    ) -> None:
        values: dict[str, Any] = {part: value}
        self.ask(text, partial(edits.set_yarn, number=self._chosen, **values), gesture)

    def _edit_name(self) -> None:
        self.name.setFocus()
        self.name.selectAll()


def new_yarn(design: Design) -> Yarn:
    """Return a yarn that isn't in the design yet, in balls like its last one's."""
    names = {yarn.name for yarn in design.yarns}
    number = len(design.yarns) + 1
    while f"Yarn {number}" in names:
        number += 1
    like = design.yarns[-1]
    colour = _farthest_from(yarn.colour for yarn in design.yarns)
    return Yarn(name=f"Yarn {number}", colour=colour, ball_m=like.ball_m, ball_g=like.ball_g)


def _farthest_from(colours: Iterable[str]) -> str:
    there = tuple(colours)
    return max(_NEW_COLOURS, key=lambda new: min(difference(new, old) for old in there))


def _with_yarn_for_stripe(design: Design, *, yarn: Yarn, stripe: int) -> Design:
    return edits.set_stripe(edits.add_yarn(design, yarn), stripe, yarn=len(design.yarns))


def _source(per_area: float, is_weighed: bool, units: Units) -> str:
    amount = yarn_per_area(per_area, units)
    if is_weighed:
        published = yarn_per_area(YARN_M_PER_M2, units)
        return (
            f"Reckoned with {amount}, from your weighed swatch. Empty the field to go back to the "
            f"published figure ({published})."
        )
    return (
        f"Reckoned with {amount}, the published figure for worsted yarn. For other yarn weigh a "
        "swatch: its yarn in length (by the ball band) over its area."
    )


def _cost(cost: float, unpriced: int) -> str:
    without = f", {unpriced} without price" if unpriced else ""
    return f"{number(cost, 2)}{without}"
