"""The part of the swatch's page that fits the gauge to a worked wave."""

import math
from functools import partial
from typing import Any, Final

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QPushButton

from app.computing import LatestWins, ShouldStop
from app.theme import Theme
from app.views.figures import length, number, plain, small_length
from app.views.pages.fields import NumberField, bounds_of
from app.views.pages.page import FormPage
from app.views.pages.ruler_picture import Measured, RulerPicture
from core.design import edits
from core.design.document import Design, Swatch, Units
from core.errors import DesignError
from core.fabric.judge import Expected, Judgement, judge_wave
from core.fabric.sizes import measured_chain_mm
from core.fabric.swatch import (
    READING_MM,
    SwatchFit,
    WorkedWave,
    compare,
    with_fit,
    worked_wave,
)
from core.pipeline import Results

_ABOUT: Final = (
    "Lay a piece flat, not yet washed, and measure across several repeats, peak to peak, and up "
    "several rows. The height of the wave tells how firm the cloth is."
)
_UNMEASURED: Final = "Not measured yet. A worked piece tells how much the wave draws in."
_WORKING: Final = "Fitting…"
_LOOSE: Final = 1.0  # a firmness known to no better than e times either way isn't worth a range
_CHAIN_RANGE: Final = (0.6, 1.5)  # of a plain stitch; common practice: chains run a little tighter


class WorkedWaveGroup(QObject):
    """Fields for the measures of a worked wave, and what they come to."""

    def __init__(self, page: FormPage, theme: Theme) -> None:
        super().__init__(page)
        self._page = page
        self._worker: LatestWins | None = None
        self._asked: object = None
        self._answer: Judgement | None = None
        self._results: Results | None = None
        self.fold = page.fold("Worked wave")
        page.note(_ABOUT)
        self.picture = RulerPicture(theme, page)
        page.plain(self.picture)
        self.repeats = NumberField("Repeats measured", bounds_of(Swatch, "repeats"))
        page.field("Repeats measured", self.repeats)
        self.width = measure_field("Width of those repeats", "repeats_mm")
        page.field("Their width", self.width)
        self.rows = NumberField("Rows measured", bounds_of(Swatch, "rows"))
        page.field("Rows measured", self.rows)
        self.length = measure_field("Length of those rows", "rows_mm")
        page.field("Their length", self.length)
        self.height = measure_field("Height of the worked wave", "wave_height_mm")
        page.field("Dip to peak", self.height)
        self.chain_repeats = NumberField("Repeats of chain", bounds_of(Swatch, "chain_repeats"))
        page.field("Repeats of chain", self.chain_repeats)
        self.chain = measure_field("Length of the chain of those repeats", "chain_mm")
        page.field("Chain alone", self.chain)
        self.agreement = page.note()
        self.verdict = page.trouble()
        self.fitted = page.note()
        self.fit = QPushButton("Fit the gauge to it", page)
        self.fit.setToolTip("Take stitches, rows and firmness from the worked wave")
        self.fit.clicked.connect(self._take_fit)
        page.whole(self.fit)
        for field, name in (
            (self.repeats, "repeats"),
            (self.width, "repeats_mm"),
            (self.rows, "rows"),
            (self.length, "rows_mm"),
            (self.height, "wave_height_mm"),
            (self.chain_repeats, "chain_repeats"),
            (self.chain, "chain_mm"),
        ):
            field.changed.connect(partial(set_swatch, page, "Change worked wave", name))
        self._lights: dict[QObject, Measured] = {
            self.repeats: "width",
            self.width: "width",
            self.rows: "length",
            self.length: "length",
            self.height: "height",
        }
        for lit in self._lights:
            lit.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Light what the field with the focus measures."""
        if event.type() == QEvent.Type.FocusIn:
            self.picture.light(self._lights[watched])
        elif event.type() == QEvent.Type.FocusOut:
            self.picture.light(None)
        return False

    @property
    def fields(self) -> tuple[NumberField, ...]:
        """The fields that take lengths."""
        return self.width, self.length, self.height, self.chain

    def close_worker(self) -> None:
        """Stop the thread behind it; call before the application ends."""
        if self._worker is not None:
            self._worker.close()
            self._worker = None

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show what was measured, and have the fit worked out."""
        self._results = results
        design = results.design
        swatch = design.swatch or Swatch()
        self.repeats.show_value(swatch.repeats)
        self.width.show_value(swatch.repeats_mm)
        self.rows.show_value(swatch.rows)
        self.length.show_value(swatch.rows_mm)
        self.height.show_value(swatch.wave_height_mm)
        self.chain_repeats.show_value(swatch.chain_repeats)
        self.chain.show_value(swatch.chain_mm)
        self.picture.show_results(results)
        measured = worked_wave(swatch)
        told = compare(swatch, results.wave) if results.wave else ()
        units = design.units
        lines = [
            f"{c.name}: {small_length(c.piece_mm, units)} on the piece, "
            f"{small_length(c.model_mm, units)} by the gauge ({signed(100 * c.off)} %)"
            for c in told
        ]
        self.agreement.say("\n".join(lines + _chain_lines(design)))
        if told:
            self._work_out(design, measured)
        else:
            self._asked, self._answer = None, None
            if self._worker is not None:
                self._worker.cancel()
        self._show_answer()
        worst = max((abs(c.off) for c in told), default=None)
        summary = _UNMEASURED
        if worst is not None:
            summary = f"The gauge is within {number(100 * worst)} % of it."
        self.fold.sum_up(summary, matters=bool(told) or swatch.chain_mm is not None)

    def _work_out(self, design: Design, measured: WorkedWave) -> None:
        asked = (design.gauge, design.wave, design.turning, design.hand, measured)
        if asked == self._asked:
            return
        self._asked, self._answer = asked, None
        if self._worker is None:
            self._worker = LatestWins(_fit, self)
            self._worker.finished.connect(self._on_fit)
            self._worker.failed.connect(self._on_failure)
            self.destroyed.connect(self._worker.close)
        self._worker.submit((design, measured))

    def _on_fit(self, answer: Judgement) -> None:
        self._answer = answer
        self._show_answer()

    def _on_failure(self, error: object) -> None:
        self.fitted.say("")
        self.verdict.say(f"{str(error)[:1].upper()}{str(error)[1:]}.")

    def _show_answer(self) -> None:
        assert self._results is not None
        design, answer = self._results.design, self._answer
        self.fit.setEnabled(answer is not None)
        self.verdict.say("")
        if answer is None:
            self.fitted.say(_WORKING if self._asked is not None else "")
            return
        fit = answer.fit
        self.fitted.say("\n".join(_fit_lines(design, fit)))
        self.verdict.say("\n".join(_verdict_lines(design.units, answer)))
        self.fit.setEnabled(_within_bounds(design, fit) != design)

    def _take_fit(self) -> None:
        if self._answer is not None:
            fit = self._answer.fit
            self._page.ask("Fit gauge to the worked wave", partial(with_fit, fit=fit))


def measure_field(name: str, part: str, absent: str = "not measured") -> NumberField:
    """Return a field for a length of the swatch that needn't be measured."""
    return NumberField(name, bounds_of(Swatch, part), step=0.5, digits=2, absent=absent)


def set_swatch(page: FormPage, text: str, name: str, value: float | None, gesture: object) -> None:
    """Wish for one value of the swatch to be changed."""
    whole = value is not None and name in ("repeats", "rows", "chain_repeats")
    values: dict[str, Any] = {name: int(value) if whole and value is not None else value}
    page.ask(text, partial(edits.set_swatch, **values), gesture)


def signed(value: float, digits: int = 0) -> str:
    """Return a number with its sign; none where it is naught as written."""
    text = number(abs(value), digits)
    if text == number(0, digits):
        return text
    sign = "+" if value > 0 else "\N{MINUS SIGN}"
    return sign + text


def _fit(request: Any, should_stop: ShouldStop) -> Judgement:
    design, measured = request
    return judge_wave(design, measured, should_stop=should_stop)


def _within_bounds(design: Design, fit: SwatchFit) -> Design:
    try:
        return with_fit(design, fit)
    except (DesignError, ValueError):
        return design


def _fit_lines(design: Design, fit: SwatchFit) -> list[str]:
    gauge, units = design.gauge, design.units
    over = length(gauge.over_mm, units)
    stitches, rows = gauge.over_mm / fit.stitch_width_mm, gauge.over_mm / fit.row_height_mm
    lines = [
        f"It speaks of {plain(stitches, 1)} stitches and {plain(rows, 1)} rows to {over}, "
        f"firmness {plain(fit.firmness)}."
    ]
    width, height, firmness = fit.give
    told = [
        f"{name} ± {number(100 * give, 1)} %"
        for name, give in (("stitch width", width), ("row height", height))
        if give is not None
    ]
    if firmness is not None and firmness <= _LOOSE:
        low, high = fit.firmness * math.exp(-firmness), fit.firmness * math.exp(firmness)
        told.append(f"firmness {plain(low, 1)} to {plain(high, 1)}")
    elif firmness is not None:
        told.append("firmness hardly told by so short a height")
    if told:
        lines.append(
            f"Readings are taken as good to {small_length(READING_MM, units)}: {', '.join(told)}."
        )
    kept = [
        name
        for name, give in (("stitch width", width), ("row height", height), ("firmness", firmness))
        if give is None
    ]
    if kept:
        lines.append(f"Kept as it is, for want of a measure: {', '.join(kept)}.")
    return lines


def _verdict_lines(units: Units, answer: Judgement) -> list[str]:
    lines = []
    odd, fit = answer.odd, answer.fit
    if len(odd) == 1:
        then = "until then the fit leaves it out" if answer.left_out else "or empty it"
        lines.append(
            f"{odd[0].name} disagrees: {small_length(odd[0].taken_mm, units)} was taken, the other "
            f"measures speak of {_range(odd[0], units)}. Measure it again; {then}."
        )
    elif odd:
        names = " and ".join(one.name if one is odd[0] else one.name.lower() for one in odd)
        each = ", or ".join(f"{one.name.lower()} {_range(one, units)}" for one in odd)
        lines.append(f"{names} don't go together. By the others: {each}. Measure them again.")
    if not fit.explained:
        worst = max(fit.off, key=abs)
        lines.append(
            "No fabric has all these measures. The nearest one is off by up to "
            f"{number(100 * abs(worst))} %."
        )
    return lines


def _range(one: Expected, units: Units) -> str:
    usual, low, high = (small_length(mm, units) for mm in (one.usual_mm, one.low_mm, one.high_mm))
    return f"{usual} ({low} to {high})"


def _chain_lines(design: Design) -> list[str]:
    chain_mm = measured_chain_mm(design)
    if chain_mm is None:
        return []
    wide_mm, units = design.gauge.stitch_width_mm, design.units
    line = (
        f"Chain: {small_length(chain_mm, units)} each, a plain stitch is "
        f"{small_length(wide_mm, units)} wide."
    )
    low, high = _CHAIN_RANGE
    if not low <= chain_mm / wide_mm <= high:
        line += " Both can't be of one hook and yarn: count the repeats of the chain again."
    return [line]
