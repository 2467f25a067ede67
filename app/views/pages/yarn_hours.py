"""The part of the yarn's page that says how long it takes, from one timed row."""

from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import QDate, QLocale, QObject

from app.views.figures import number
from app.views.pages.fields import NumberField, bounds_of
from app.views.pages.page import FormPage
from app.views.pages.yarn_ends import evenings_words, time_words
from core.design import edits
from core.design.document import Reckoning
from core.pipeline import Results
from core.yarn.hours import Hours, hours_of


class HoursGroup(QObject):
    """Hours of everything, and the day it is done."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self.fold = page.fold("Hours")
        page.note(
            "Time one whole row. Rows of other stitches take their share by the hand's movements: "
            "2 in sc, 3 in hdc, 4 in dc, 6 in tr."
        )
        self.minutes = NumberField(
            "Minutes of the row timed",
            bounds_of(Reckoning, "row_minutes"),
            digits=1,
            unit="min",
            absent="not timed",
            first=10.0,
        )
        page.field("A row took", self.minutes)
        self.timed = NumberField("Row timed", bounds_of(Reckoning, "timed_row"))
        page.field("It was row", self.timed)
        self.week = NumberField(
            "Hours a week",
            bounds_of(Reckoning, "week_hours"),
            digits=1,
            unit="h",
            absent="not given",
            first=5.0,
        )
        page.field("Hours a week", self.week)
        self.rows = page.figure("Chain and rows")
        self.edging = page.figure("Fill rows and border")
        self.ends = page.figure("Ends")
        self.told = page.note()
        for field, name, text in (
            (self.minutes, "row_minutes", "Time a row"),
            (self.timed, "timed_row", "Change the row timed"),
            (self.week, "week_hours", "Change hours a week"),
        ):
            field.changed.connect(partial(self._set, text, name))

    def show_results(self, results: Results) -> None:
        """Show the hours of these results."""
        design = results.design
        reckoning = design.reckoning or Reckoning()
        self.minutes.show_value(reckoning.row_minutes)
        self.timed.show_value(reckoning.timed_row)
        self.week.show_value(reckoning.week_hours)
        n_ends = results.tails + 2 * len(results.edging)
        found = hours_of(design, results.rows, results.row_yarn, results.edging, n_ends)
        self.rows.show_text(time_words(60 * found.rows_h) if found else "–")
        self.edging.show_text(time_words(60 * found.edging_h) if found and found.edging_h else "–")
        self.ends.show_text(time_words(60 * found.ends_h) if found else "–")
        words = hours_words(found, date.today()) if found else ""
        self.told.say(words)
        self.fold.sum_up(words, matters=False)

    def _set(self, text: str, name: str, value: float | None, gesture: object) -> None:
        values: dict[str, Any] = {name: value}
        if name == "timed_row" and value is not None:
            values[name] = int(value)
        self._page.ask(text, partial(edits.set_reckoning, **values), gesture)


def hours_words(found: Hours, today: date) -> str:
    """Return how long it takes and when it is done, in one breath."""
    hooked = found.rows_h + found.edging_h
    ends = evenings_words(found.evenings_of_ends)
    words = f"About {time_words(60 * hooked)} of crochet and {ends} of ends"
    done = found.by(today)
    if done is not None:
        when = QLocale().toString(
            QDate(done.year, done.month, done.day), QLocale.FormatType.LongFormat
        )
        return f"{words}: begun today, it is done by {when}."
    if found.weeks is not None:
        return f"{words}: at that pace it takes {number(found.weeks / 52)} years."
    return f"{words}."
