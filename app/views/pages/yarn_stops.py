"""The part of the yarn's page that goes up the blanket from one good stopping place to the next."""

from functools import partial
from typing import Final

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QPushButton, QSlider

from app.views.figures import length, yarn_length
from app.views.pages.page import FormPage
from core.design import edits
from core.fabric.measure import length_after
from core.fabric.wash import wash_of
from core.pipeline import Results
from core.yarn.shopping import balls_to_buy
from core.yarn.stops import Stop, Why, left_at, stopping_places

_WHY: Final[dict[Why, str]] = {
    "stripe": "a whole stripe",
    "sequence": "a whole sequence",
    "mirror": "the same from both ends",
    "match": "ends in the stripe it began with",
    "wave": "a whole wave",
}
_MOST_SAID: Final = 6  # yarns whose rest is told by name


class StopsGroup(QObject):
    """A slider over the rows where the blanket could end, with length and yarn left at each."""

    lit = Signal()

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self._results: Results | None = None
        self._stops: tuple[Stop, ...] = ()
        self._found_in: Results | None = None
        self._row = 0  # that was chosen; 0 before one is
        self.fold = page.fold("Where to stop")
        page.note(
            "Good stopping places: rows where the blanket could end handsomely. They are ticked on "
            "the fabric, the one chosen is framed."
        )
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setAccessibleName("Stopping place")
        self.slider.setToolTip("Go up and down the blanket with the arrow keys")
        self.slider.setPageStep(4)
        page.whole(self.slider)
        self.place = page.figure("End after row")
        self.long = page.figure("It is then long")
        self.why = page.note()
        self.left = page.note()
        self.take = QPushButton("End here")
        self.take.setToolTip("Make the blanket as many rows as this")
        page.whole(self.take)
        self.slider.valueChanged.connect(self._on_slider)
        self.take.clicked.connect(self._take)
        self.fold.button.clicked.connect(lambda: self._on_fold())

    @property
    def row(self) -> int:
        """The row to be framed; 0 while nothing is shown."""
        return self._row if self.fold.is_open and self._stops else 0

    @property
    def rows(self) -> tuple[int, ...]:
        """The rows to be ticked."""
        return tuple(stop.row for stop in self._stops) if self.fold.is_open else ()

    def show_results(self, results: Results) -> None:
        """Show the stopping places of these results; the row chosen stays if it is one."""
        self._results = results
        if not _stop_alike(self._found_in, results):
            self._found_in = results
            self._stops = stopping_places(results.design, results.yarn_of_row, results.yarn_ends)
        many = len(self._stops)
        self.slider.blockSignals(True)
        self.slider.setRange(0, max(many - 1, 0))
        rows = [stop.row for stop in self._stops]
        at = next((n for n, row in enumerate(rows) if row >= self._row), many - 1)
        self.slider.setValue(max(at if self._row else many - 1, 0))
        self.slider.blockSignals(False)
        for widget in (self.slider, self.take):
            widget.setEnabled(bool(many))
        best = max(self._stops, key=lambda stop: (stop.worth, stop.row), default=None)
        summary = "No stripe ends within these rows."
        if best is not None:
            summary = f"{many} of them; the best, row {best.row}: {why_words(best)}"
        self.fold.sum_up(summary, matters=False)
        if self.fold.is_open:
            self._show_stop()

    def _on_fold(self) -> None:
        self._show_stop()
        self.lit.emit()

    def _on_slider(self, at: int) -> None:
        if at < len(self._stops):
            self._row = self._stops[at].row
            self._show_stop()
            self.lit.emit()

    def _show_stop(self) -> None:
        results = self._results
        if results is None or not self._stops:
            for figure in (self.place, self.long):
                figure.show_text("–")
            self.why.say("")
            self.left.say("")
            return
        stop = self._stops[self.slider.value()]
        self._row = stop.row
        design = results.design
        size = wash_of(design.swatch).length * length_after(results.fabric, stop.row)
        self.place.show_text(f"{stop.row} of {results.rows.drawn_rows}")
        self.long.show_text(length(size, design.units))
        self.why.say(f"{why_words(stop).capitalize()}.")
        self.left.say(_left_words(results, stop))
        self.take.setEnabled(stop.row != design.size.rows)
        self.slider.setAccessibleDescription(
            f"Row {stop.row}: {why_words(stop)}, {length(size, design.units)} long. "
            f"{self.left.text()}"
        )

    def _take(self) -> None:
        if self._stops:
            row = self._stops[self.slider.value()].row
            self._page.ask(f"End after row {row}", partial(edits.set_size, rows=row))


def _stop_alike(before: Results | None, after: Results) -> bool:
    """Return whether two results have the same stopping places: a stage anew gives new arrays."""
    return (
        before is not None
        and before.yarn_of_row is after.yarn_of_row
        and before.yarn_ends is after.yarn_ends
        and before.design.stripes == after.design.stripes
        and before.design.wave == after.design.wave
    )


def why_words(stop: Stop) -> str:
    """Return what makes a row a good place to stop."""
    return ", ".join(_WHY[why] for why in stop.why)


def _left_words(results: Results, stop: Stop) -> str:
    """Return what is left of each yarn that is owned or to be bought; most first."""
    design = results.design
    have = [
        (yarn.owned_balls + balls_to_buy(use, yarn)) * yarn.ball_m
        for use, yarn in zip(results.yarn, design.yarns, strict=True)
    ]
    (left,) = left_at(design, results.row_yarn, results.yarn_ends, have, [stop.row])
    used = [use.yarn for use in results.yarn if use.rows]
    order = sorted(used, key=lambda number: -left[number])
    told = [
        f"{design.yarns[n].name} {yarn_length(max(left[n], 0.0), design.units)}"
        for n in order[:_MOST_SAID]
    ]
    more = f" and {len(order) - _MOST_SAID} more" if len(order) > _MOST_SAID else ""
    return f"Left of what you own and buy, edging not counted: {', '.join(told)}{more}."
