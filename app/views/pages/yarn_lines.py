"""The part of the yarn's page that says what the chosen yarn has to do, line by line."""

from functools import partial
from typing import Final

from PySide6.QtCore import QObject

from app.views.figures import counted, length, number, yarn_length
from app.views.pages.fields import NumberField, bounds_of
from app.views.pages.page import FormPage
from core.craft.units import MM_PER_IN
from core.design import edits
from core.design.document import Reckoning, Units
from core.pipeline import Results
from core.yarn.more import More, more_of
from core.yarn.running_out import Shortage, shortage
from core.yarn.shopping import balls_to_buy
from core.yarn.use import YarnUse

_NONE: Final = "–"
_PERCENT: Final = 0.01


class LinesGroup(QObject):
    """What the chosen yarn has to do, what a little more blanket takes, and where it fails."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self._heading = page.heading("What it has to do")
        self.in_rows = page.figure("In the rows")
        self.foundation = page.figure("Foundation chain")
        self.fill_rows = page.figure("Fill rows")
        self.border = page.figure("Border")
        self.tails = page.figure("Tails")
        self.carried = page.figure("Carried up the side")
        self.spare = page.figure("Spare")
        self.together = page.figure("Together")
        self.range = page.figure("Without spare, between")
        self.weight = page.figure("Weight")
        self.balls = page.figure("Balls to have")
        self.to_buy = page.figure("Short by")
        self.fails = page.trouble()
        self.repeat = page.figure("One more repeat takes")
        self.stripe = page.figure("One more stripe takes")

    def show_results(self, results: Results, chosen: int) -> None:
        """Show the lines of a yarn."""
        design, use = results.design, results.yarn[chosen]
        yarn, units = design.yarns[chosen], design.units
        spare = (design.reckoning or Reckoning()).spare
        self._heading.setText(f"{yarn.name} in {counted(use.rows, 'row')}")
        self.in_rows.show_text(yarn_length(use.body_m, units, 1))
        for line, length_m in (
            (self.foundation, use.foundation_m),
            (self.fill_rows, use.fill_m),
            (self.border, use.border_m),
            (self.carried, use.carried_m),
        ):
            line.show_text(yarn_length(length_m, units, 1) if length_m else _NONE)
        self._page.set_figure_shown(self.carried, shown=bool(use.carried_m))
        self.tails.show_text(yarn_length(use.tails_m, units, 1))
        self.spare.label.setText(f"Spare, {number(spare / _PERCENT)} %")
        self.spare.show_text(yarn_length(use.spare_m, units, 1))
        self.together.show_text(yarn_length(use.length_m, units, 1))
        self.range.show_text(f"{_bare(use.low_m, units)}–{yarn_length(use.high_m, units)}")
        self.weight.show_text(f"{number(use.mass_g)} g")
        self.balls.show_text(str(use.balls))
        self.to_buy.show_text(str(balls_to_buy(use, yarn)))
        self._show_more(results, chosen, units)
        self.fails.say(_fails_words(results, use) if yarn.owned_balls else "")

    def _show_more(self, results: Results, chosen: int, units: Units) -> None:
        more = more_of(results.design, results.row_yarn, results.yarn_ends, results.edging)
        extra: More = more[chosen]
        self.repeat.show_text(yarn_length(extra.repeat_m, units, 1) if extra.repeat_m else _NONE)
        rows = f" of {counted(extra.stripe_rows, 'row')}" if extra.stripe_rows else ""
        self.stripe.label.setText(f"One more stripe{rows} takes")
        self.stripe.show_text(yarn_length(extra.stripe_m, units, 1) if extra.stripe_m else _NONE)


class AllowancesGroup(QObject):
    """What is allowed for beyond the stitches: spare, and the length of tails."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self.fold = page.fold("Spare and tails")
        page.note(
            "10 % spare is commonly advised, and 15 cm (6 in) the shortest tail to leave. Both are "
            "your choice."
        )
        self.spare = NumberField("Spare", bounds_of(Reckoning, "spare"))
        self.spare.set_unit(_PERCENT, "%", step=5, digits=0)
        self.spare.setToolTip("Yarn to buy beyond what is reckoned")
        page.field("Spare", self.spare)
        self.tail = NumberField("Length of a tail", bounds_of(Reckoning, "tail_mm"))
        self.tail.setToolTip("What is left hanging wherever a yarn is joined or cut")
        page.field("A tail is", self.tail)
        for field, name, text in (
            (self.spare, "spare", "Change spare"),
            (self.tail, "tail_mm", "Change length of tails"),
        ):
            field.changed.connect(
                lambda value, gesture, name=name, text=text: page.ask(
                    text, partial(edits.set_reckoning, **{name: value}), gesture
                )
            )

    def follow_units(self, units: Units) -> None:
        """Show the tail in the design's units."""
        per_unit = 10.0 if units == "cm" else MM_PER_IN
        self.tail.set_unit(per_unit, units, step=1, digits=1)

    def show_results(self, results: Results) -> None:
        """Show what is allowed for."""
        reckoning = results.design.reckoning or Reckoning()
        self.spare.show_value(reckoning.spare)
        self.tail.show_value(reckoning.tail_mm)
        tail = length(reckoning.tail_mm, results.design.units)
        spare = number(reckoning.spare / _PERCENT)
        self.fold.sum_up(f"{spare} % spare, tails of {tail}", matters=False)


def shortages(results: Results) -> tuple[Shortage, ...]:
    """Return where each yarn that something is owned of fails."""
    return tuple(
        shortage(results.design, results.row_yarn, results.yarn_ends, results.yarn_of_row, use)
        for use in results.yarn
        if results.design.yarns[use.yarn].owned_balls
    )


def _fails_words(results: Results, use: YarnUse) -> str:
    found = shortage(results.design, results.row_yarn, results.yarn_ends, results.yarn_of_row, use)
    if found.row is not None:
        early = found.early_row
        sooner = f", row {early} if you use yarn fast" if early and early < found.row else ""
        return f"What you own fails at row {found.row}, in stripe {found.stripe}{sooner}."
    if found.short_m > 0:
        return "What you own does for the rows, but not for what is worked round them."
    if found.early_row is not None:
        return f"What you own is just enough: used fast it fails at row {found.early_row}."
    return ""


def _bare(length_m: float, units: Units) -> str:
    """Return a length without its unit."""
    return yarn_length(length_m, units).rpartition(" ")[0]
