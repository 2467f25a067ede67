"""The part of the yarn's page for the ball in work: weigh it, and see how far it goes."""

from functools import partial
from typing import Any, Final

from PySide6.QtCore import QObject

from app.views.figures import counted, number, yarn_length
from app.views.pages.fields import NumberField, bounds_of
from app.views.pages.page import FormPage
from core.design import edits
from core.design.document import Units, Yarn
from core.errors import DesignError
from core.pipeline import Results
from core.yarn.running_out import Meter, meter

_ABOUT: Final = (
    "Running short? Weigh the ball in work, and say after which row. The band of your figures says "
    "how sure the answer is."
)


class BallGroup(QObject):
    """How many rows the ball on the scales will finish, and whether to risk the next."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self._chosen = 0
        self.fold = page.fold("Ball in work")
        page.note(_ABOUT)
        self.grams = NumberField(
            "The ball weighs now",
            bounds_of(Yarn, "left_g"),
            digits=1,
            unit="g",
            absent="not weighed",
            first=10.0,
        )
        self.grams.setToolTip("The ball without its core or bowl")
        page.field("It weighs now", self.grams)
        self.after = NumberField("After row", bounds_of(Yarn, "left_after"))
        self.after.setToolTip("The last row that is done")
        page.field("After row", self.after)
        self.rows = page.figure("Rows it finishes")
        self.sure = page.figure("Between")
        self.verdict = page.note()
        self.trouble = page.trouble()
        for field, name, text in (
            (self.grams, "left_g", "Weigh the ball in work"),
            (self.after, "left_after", "Change row of the weighing"),
        ):
            field.changed.connect(partial(self._set, text, name))

    def show_results(self, results: Results, chosen: int) -> None:
        """Show how far the ball of a yarn goes."""
        self._chosen = chosen
        design = results.design
        yarn = design.yarns[chosen]
        after = yarn.left_after or 0
        self.grams.show_value(yarn.left_g)
        self.after.show_value(after)
        told, trouble, summary = "", "", ""
        found: Meter | None = None
        if yarn.left_g is not None:
            try:
                found = meter(
                    design,
                    results.row_yarn,
                    results.yarn_ends,
                    results.yarn_of_row,
                    yarn=chosen,
                    grams=yarn.left_g,
                    after=after,
                )
            except DesignError as error:
                trouble = summary = str(error)
        if found is not None:
            told = verdict_words(found, design.units)
            summary = f"{number(yarn.left_g or 0.0, 1)} g after row {after}: {told}"
        risky = found is not None and found.verdict in ("risky", "no")
        self.rows.show_text(str(found.rows) if found else "–")
        self.sure.show_text(f"{found.rows_sure} and {found.rows_best}" if found else "–")
        self.verdict.say("" if risky else told)
        self.trouble.say(trouble or (told if risky else ""))
        self.fold.sum_up(summary, matters=bool(trouble))

    def _set(self, text: str, name: str, value: float | None, gesture: object) -> None:
        values: dict[str, Any] = {name: value}
        if name == "left_after":
            values[name] = int(value or 0)
        elif value is None:
            values["left_after"] = None
        self._page.ask(text, partial(edits.set_yarn, number=self._chosen, **values), gesture)


def verdict_words(found: Meter, units: Units) -> str:
    """Return whether the ball finishes the stripe it is wanted for, and whether to risk it."""
    if found.verdict == "done":
        return f"No row is left in this colour: {yarn_length(found.left_m, units)} are over."
    stripe = f"the stripe, to row {found.stripe_last}"
    over = yarn_length(abs(found.over_m), units, 1)
    if found.verdict == "enough":
        return f"Work on: it finishes {stripe}, with {over} over."
    if found.verdict == "likely":
        return (
            f"It should finish {stripe}, with {over} over, but not if you use yarn fast. Weigh it "
            "again after the next row."
        )
    reach = f"enough for {found.rows} of {counted(found.stripe_rows, 'row')}"
    if found.verdict == "risky":
        return (
            f"Don't risk it: {over} short of finishing {stripe} ({reach}). It does only if you use "
            "yarn slowly, or work tighter."
        )
    return f"It won't finish {stripe}: {reach}, {over} short. Join another ball, or stop before."
