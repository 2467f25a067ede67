"""The part of the swatch's page that tries another stitch or yarn beside the present one."""

from functools import partial
from typing import Any, Final, cast

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QApplication, QGridLayout, QLabel, QPushButton, QWidget

from app.computing import LatestWins, ShouldStop
from app.theme import UNIT, figure
from app.views.figures import length, number, plain, yarn_length
from app.views.pages.fields import ChoiceField, NumberField, bounds_of
from app.views.pages.page import FormPage
from core.craft.stitches import CATALOGUE, WORKED, Terms, WorkedStitch
from core.design.document import Design, Gauge, Units
from core.pipeline import Results
from core.yarn.regauge import Gauged, SideBySide, side_by_side, taken_over

_ABOUT: Final = (
    "Type the gauge of another stitch or yarn, counted over the same length, and see the blanket "
    "in the same size beside this one."
)
_KEPT: Final = (
    "Washing and yarn by area are taken as before. Taking it over leaves out the worked wave and "
    "the piece on the hook: they are of the old cloth."
)
_LINES: Final = (
    "Gauge",
    "Repeats of the chain",
    "Chain",
    "Width",
    "Rows",
    "Length",
    "Wave height",
    "Lean",
    "Yarn",
)

_NOTHING_YET: Final = object()


class AnotherGroup(QObject):
    """Fields for another gauge, and old and new side by side."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self._worker: LatestWins | None = None
        self._results: Results | None = None
        self._asked: object = _NOTHING_YET
        self._compared: SideBySide | None = None
        self._typed: dict[str, float] = {}
        self._stitch: WorkedStitch | None = None
        self.fold = page.fold("Another gauge")
        page.note(_ABOUT)
        self.stitch = ChoiceField("Stitch to try", stitch_words("US"))
        page.field("Stitch", self.stitch)
        self.stitches = NumberField(
            "Stitches to try", bounds_of(Gauge, "stitches"), step=0.5, digits=2
        )
        page.field("Stitches", self.stitches)
        self.rows = NumberField("Rows to try", bounds_of(Gauge, "rows"), step=0.5, digits=2)
        page.field("Rows", self.rows)
        self.table = _Table(page)
        page.plain(self.table)
        self.kept = page.note(_KEPT)
        self.trouble = page.trouble()
        self.take = QPushButton("Take it over", page)
        self.take.setToolTip("Work the blanket in the other gauge, in the size shown")
        self.take.clicked.connect(self._take)
        page.whole(self.take)
        self.stitch.changed.connect(self._set_stitch)
        self.stitches.changed.connect(lambda value, _: self._type("stitches", value))
        self.rows.changed.connect(lambda value, _: self._type("rows", value))

    def set_words(self, terms: Terms) -> None:
        """Call the stitches by the design's terms."""
        self.stitch.set_words(dict(stitch_words(terms)))

    def close_worker(self) -> None:
        """Stop the thread behind it; call before the application ends."""
        if self._worker is not None:
            self._worker.close()
            self._worker = None

    def show_results(self, results: Results) -> None:
        """Show the gauge tried beside the design's own."""
        self._results = results
        gauge = results.design.gauge
        self.stitch.show_value(self._stitch or gauge.stitch)
        self.stitches.show_value(self._typed.get("stitches", gauge.stitches))
        self.rows.show_value(self._typed.get("rows", gauge.rows))
        self._compare()
        self.fold.sum_up("", matters=False)

    def _set_stitch(self, key: str, gesture: object) -> None:
        del gesture
        self._stitch = cast("WorkedStitch", key)
        if self._results is not None:
            gauge = self._results.design.gauge
            taller = CATALOGUE[key].height_to_width / CATALOGUE[gauge.stitch].height_to_width
            self._typed.setdefault("stitches", gauge.stitches)
            self._typed["rows"] = round(gauge.rows / taller, 2)
            self.show_results(self._results)

    def _type(self, name: str, value: float) -> None:
        self._typed[name] = value
        if self._results is not None:
            self.show_results(self._results)

    def _compare(self) -> None:
        assert self._results is not None
        design, gauge = self._results.design, self._results.design.gauge
        stitch = self._stitch or gauge.stitch
        stitches = self._typed.get("stitches", gauge.stitches)
        rows = self._typed.get("rows", gauge.rows)
        same = (stitch, stitches, rows) == (gauge.stitch, gauge.stitches, gauge.rows)
        asked = None if same else (design, stitch, stitches, rows)
        if asked == self._asked:
            return
        self._asked, self._compared = asked, None
        self.trouble.say("")
        self.take.setEnabled(False)
        if asked is None:
            self._show_table(None)
            if self._worker is not None:
                self._worker.cancel()
            return
        if self._worker is None:
            self._worker = LatestWins(_compare, self)
            self._worker.finished.connect(self._on_compared)
            self._worker.failed.connect(self._on_failure)
            self.destroyed.connect(self._worker.close)
        self._worker.submit(asked)

    def _on_compared(self, compared: SideBySide) -> None:
        self._compared = compared
        self.take.setEnabled(True)
        self._show_table(compared)

    def _on_failure(self, error: object) -> None:
        self._show_table(None)
        text = str(error)
        self.trouble.say(f"{text[:1].upper()}{text[1:]}.")

    def _show_table(self, compared: SideBySide | None) -> None:
        assert self._results is not None
        units, terms = self._results.design.units, self._results.design.terms
        self.table.setVisible(compared is not None)
        self.kept.setVisible(compared is not None)
        self.take.setVisible(compared is not None)
        if compared is not None:
            self.table.show_columns(
                _column(compared.old, units, terms), _column(compared.new, units, terms)
            )

    def _take(self) -> None:
        compared = self._compared
        if compared is None:
            return
        self._typed, self._stitch = {}, None
        self._page.ask("Change to another gauge", partial(_taken, compared=compared))


def stitch_words(terms: Terms) -> list[tuple[str, str]]:
    """Return the stitches that rows are worked in, with their names."""
    names = [(key, CATALOGUE[key].name(terms)) for key in WORKED]
    return [(key, f"{name.short}: {name.long}") for key, name in names]


class _Table(QWidget):
    """A line for each figure: its name, now, then."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(UNIT)
        grid.setVerticalSpacing(UNIT // 2)
        for column, stretch in ((0, 3), (1, 4), (2, 4)):
            grid.setColumnStretch(column, stretch)
        self._cells: list[tuple[QLabel, QLabel, QLabel]] = []
        for row, name in enumerate(("", *_LINES)):
            cells = (QLabel(name, self), QLabel("", self), QLabel("", self))
            for column, cell in enumerate(cells):
                cell.setWordWrap(True)
                cell.setTextFormat(Qt.TextFormat.PlainText)
                cell.setProperty("quiet", column == 0 or row == 0)
                if column:
                    cell.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
                    cell.setFont(figure(QApplication.font(), large=1.0))
                grid.addWidget(cell, row, column)
            self._cells.append(cells)
        self._cells[0][1].setText("now")
        self._cells[0][2].setText("then")
        self.setAccessibleName("Now and then")

    def show_columns(self, now: tuple[str, ...], then: tuple[str, ...]) -> None:
        """Show the figures."""
        spoken = []
        for (name, old, new), was, will in zip(self._cells[1:], now, then, strict=True):
            old.setText(was)
            new.setText(will)
            spoken.append(f"{name.text()}: {was}, then {will}")
        self.setAccessibleDescription(". ".join(spoken))


def _column(side: Gauged, units: Units, terms: Terms) -> tuple[str, ...]:
    gauge, size = side.design.gauge, side.design.size
    short = CATALOGUE[gauge.stitch].name(terms).short
    return (
        f"{short} {plain(gauge.stitches, 1)} × {plain(gauge.rows, 1)}",
        number(side.across),
        f"{number(side.chains)} ch",
        length(side.width_mm, units),
        number(size.rows),
        length(side.length_mm, units),
        length(side.wave_height_mm, units),
        f"{number(side.lean_deg)}°",
        yarn_length(side.yarn_m, units),
    )


def _compare(request: Any, should_stop: ShouldStop) -> SideBySide:
    design, stitch, stitches, rows = request
    return side_by_side(design, stitch, stitches, rows, should_stop=should_stop)


def _taken(design: Design, compared: SideBySide) -> Design:
    """Return the design taken over; what isn't of gauge and size stays as it is by now."""
    del design
    return taken_over(compared)
