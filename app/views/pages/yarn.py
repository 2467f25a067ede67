"""The page of the yarns: what each has to do, what to buy, and where the figures come from."""

from collections.abc import Iterable
from functools import partial
from typing import Final

from PySide6.QtCore import QSize, Signal, Slot
from PySide6.QtGui import QColor, QHideEvent, QShowEvent
from PySide6.QtWidgets import QPushButton, QWidget

from app.theme import UNIT, Theme
from app.views.colour_question import ColourQuestion
from app.views.fabric_yarn import YarnMarks
from app.views.figures import number, yarn_length
from app.views.flow import Flow
from app.views.pages.fields import ChoiceField, longest_of
from app.views.pages.page import FormPage
from app.views.pages.yarn_ball import BallGroup
from app.views.pages.yarn_chosen import ChosenGroup
from app.views.pages.yarn_ends import EndsGroup
from app.views.pages.yarn_hours import HoursGroup
from app.views.pages.yarn_instead import InsteadGroup
from app.views.pages.yarn_lines import AllowancesGroup, LinesGroup, shortages
from app.views.pages.yarn_stops import StopsGroup
from app.views.pages.yarn_swatch import SwatchGroup
from app.views.pages.yarn_table import YarnTable, swatch_icon
from core.design import edits
from core.design.document import Design, Units, Yarn
from core.pipeline import Results
from core.stripes.colour import difference
from core.yarn.shopping import yarn_totals

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
_DYE_LOTS: Final = (
    "Buy every ball of a colour at once, of one dye lot. Balls are rounded up colour by colour, so "
    "none need be bought later."
)


class YarnPage(FormPage):
    """Shows and edits the yarns of a design."""

    title = "Yarn"

    marks_changed = Signal(object)  # YarnMarks for the fabric
    stash_wished = Signal()
    shelf_wished = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._chosen = 0
        self._is_stale = True
        self._seen: Results | None = None
        self._units: Units | None = None
        self.question = ColourQuestion(self)
        self._add_list()
        self._add_parts()
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
        self.stash_button = QPushButton("Plan stash…")
        self.stash_button.setToolTip("See what blanket the yarn you own is enough for")
        self.shelf_button = QPushButton("Shelf…")
        self.shelf_button.setToolTip("See the yarns you keep between designs (Ctrl+Shift+Y)")
        box = Flow(gap_px=UNIT)
        box.add(self.add_button, self.remove_button, self.stash_button, self.shelf_button)
        self.whole(box, self.add_button, self.remove_button, self.stash_button, self.shelf_button)
        self.shelf_button.clicked.connect(lambda: self.shelf_wished.emit())
        self.stash_button.clicked.connect(lambda: self.stash_wished.emit())
        self.table.chosen.connect(self.choose)
        self.table.edit_wished.connect(self._edit_name)
        self.table.add_wished.connect(self.add_yarn)
        self.table.remove_wished.connect(self.remove_yarn)
        self.add_button.clicked.connect(lambda: self.add_yarn())
        self.remove_button.clicked.connect(lambda: self.remove_yarn())

    def _add_parts(self) -> None:
        chosen = self.chosen = ChosenGroup(self, self.choose_colour)
        self.name, self.colour, self.owned = chosen.name, chosen.colour, chosen.owned
        self.ball_m, self.ball_g, self.price = chosen.ball_m, chosen.ball_g, chosen.price
        lines = self.lines = LinesGroup(self)
        self.in_rows, self.foundation, self.border = lines.in_rows, lines.foundation, lines.border
        self.tails, self.spare, self.together = lines.tails, lines.spare, lines.together
        self._add_totals()
        self.swatch = SwatchGroup(self)
        self.per_area, self.source = self.swatch.per_area, self.swatch.source
        self.allowances = AllowancesGroup(self)
        self.ball = BallGroup(self)
        self.stops = StopsGroup(self)
        self.edge_ends = EndsGroup(self, self._theme)
        self.hours = HoursGroup(self)
        self.instead = InsteadGroup(self)
        self.heading("After the last stripe of the sequence")
        self.fill = ChoiceField("After the last stripe of the sequence", _FILLS)
        self.whole(self.fill)
        self.fill.changed.connect(
            lambda key, gesture: self.ask(
                "Change what follows the last stripe", partial(edits.set_fill, fill=key), gesture
            )
        )
        self.stops.lit.connect(self._mark)
        self.edge_ends.marks_changed.connect(self._mark)

    def _add_totals(self) -> None:
        self.heading("All yarns")
        self.all_length = self.figure("Length")
        self.all_weight = self.figure("Weight")
        self.all_balls = self.figure("Balls to have")
        self.all_to_buy = self.figure("Balls to buy")
        self.cost = self.figure("They cost")
        self.ends = self.figure("Tails to weave in")
        self.note(_DYE_LOTS)

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show these results, or wait with that until there is somebody to see them."""
        super().show_results(results)
        self._chosen = min(self._chosen, len(results.design.yarns) - 1)
        before = self._seen
        if not self._is_stale and before is not None and _only_settled(before, results):
            self._seen = results
            self.stops.show_results(results)  # all that is told here of the fabric's shape
            self.swatch.show_results(results, self._chosen)
            return
        self._is_stale = True
        if self.isVisible():
            self._show_all(results)

    def showEvent(self, event: QShowEvent) -> None:
        """Show what has changed meanwhile."""
        super().showEvent(event)
        if self._results is not None and self._is_stale:
            self._show_all(self._results)
        self._mark()

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the marks off the fabric."""
        super().hideEvent(event)
        self.marks_changed.emit(YarnMarks())

    def _show_all(self, results: Results) -> None:
        self._is_stale, self._seen = False, results
        self._follow_units(results.design.units)
        self.table.show_results(results, self._chosen)
        self._show_chosen()
        self._show_totals(results)
        for group in (self.allowances, self.stops, self.edge_ends, self.hours):
            group.show_results(results)
        self.fill.show_value(results.design.stripes.fill)
        self._mark()

    def _mark(self) -> None:
        """Say what is to be marked on the fabric."""
        results = self._results
        if results is None or not self.isVisible():
            return
        names = results.design.yarns
        fails = tuple(
            (found.row, f"{names[found.yarn].name} runs out")
            for found in shortages(results)
            if found.row is not None
        )
        self.marks_changed.emit(
            YarnMarks(
                self.stops.row,
                self.edge_ends.on_fabric.box.isChecked(),
                fails,
                self.stops.rows,
            )
        )

    def _follow_units(self, units: Units) -> None:
        if units == self._units:
            return
        self._units = units
        for group in (self.chosen, self.swatch, self.allowances, self.instead):
            group.follow_units(units)

    def _show_chosen(self, *, even_if_typed: bool = False) -> None:
        results = self._results
        if results is None:
            return
        design = results.design
        self.chosen.show_yarn(self._chosen, design.yarns[self._chosen], even_if_typed=even_if_typed)
        self._show_colour()
        self.remove_button.setEnabled(len(design.yarns) > 1)
        self.add_button.setEnabled(len(design.yarns) < longest_of(Design, "yarns"))
        for group in (self.lines, self.swatch, self.ball, self.instead):
            group.show_results(results, self._chosen)

    def _show_colour(self) -> None:
        if self._results is None:
            return
        yarn = self._results.design.yarns[self._chosen]
        side = self.fontMetrics().ascent()
        size = QSize(2 * side, side)
        self.colour.setIconSize(size)
        self.colour.setIcon(swatch_icon(yarn.colour, size, self._theme, self.devicePixelRatioF()))
        self.colour.setText(f"  {yarn.colour}")  # clear of the patch
        self.colour.setAccessibleName(f"Colour of {yarn.name}: {yarn.colour}")

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
    def chosen_yarn(self) -> int:
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

    def _open_dialog(self, number: int, yarn: Yarn, gesture: object) -> None:
        dialog = self.question.open(yarn.colour, f"Colour of {yarn.name}")
        if dialog is None:
            return
        dialog.currentColorChanged.connect(partial(self._set_colour, number, gesture))
        dialog.rejected.connect(lambda: self._set_colour(number, gesture, QColor(yarn.colour)))

    def _set_colour(self, number: int, gesture: object, colour: QColor) -> None:
        edit = partial(edits.set_yarn, number=number, colour=colour.name())
        self.ask("Change yarn colour", edit, gesture)

    def _edit_name(self) -> None:
        self.name.setFocus()
        self.name.selectAll()


def _only_settled(before: Results, after: Results) -> bool:
    """Return whether nothing has changed but the fabric, which has come to rest."""
    return (
        before.design == after.design
        and before.yarn is after.yarn
        and before.row_yarn is after.row_yarn
        and before.yarn_ends is after.yarn_ends
        and before.edging is after.edging
    )


def new_yarn(design: Design) -> Yarn:
    """Return a yarn that isn't in the design yet, in balls like its last one's."""
    names = {yarn.name for yarn in design.yarns}
    number = len(design.yarns) + 1
    while f"Yarn {number}" in names:
        number += 1
    like = design.yarns[-1]
    colour = _farthest_from(yarn.colour for yarn in design.yarns)
    name = f"Yarn {number}"
    return Yarn(name, colour, like.ball_m, like.ball_g, weight=like.weight)


def _farthest_from(colours: Iterable[str]) -> str:
    there = tuple(colours)
    return max(_NEW_COLOURS, key=lambda new: min(difference(new, old) for old in there))


def _with_yarn_for_stripe(design: Design, *, yarn: Yarn, stripe: int) -> Design:
    return edits.set_stripe(edits.add_yarn(design, yarn), stripe, yarn=len(design.yarns))


def _cost(cost: float, unpriced: int) -> str:
    without = f", {unpriced} without price" if unpriced else ""
    return f"{number(cost, 2)}{without}"
