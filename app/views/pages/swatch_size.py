"""The parts of the swatch's page about sizes: washing, the size wanted, the piece on the hook."""

from collections.abc import Sequence
from functools import partial
from typing import Any, Final

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QPushButton

from app.views.figures import chain_sum, counted, length, number
from app.views.pages.choice_list import Choice, ChoiceList, in_columns
from app.views.pages.fields import NumberField, bounds_of
from app.views.pages.page import FormPage
from app.views.pages.swatch_wave import measure_field, set_swatch, signed
from core.craft.units import MM_PER_IN
from core.design import edits
from core.design.document import Progress, Swatch, Units, Wanted
from core.fabric.forecast import Forecast, forecast_of, restore_length
from core.fabric.sizes import LengthChoice, WidthChoice, length_choices, width_choices
from core.fabric.wash import impossible_washes, wash_of
from core.pipeline import Results

_WASHING: Final = (
    "Measure any piece before and after washing. Where nothing is said before, the worked wave "
    "stands for it."
)
_WANTED: Final = (
    "Whole repeats and rows give only certain sizes. 5 × 12 + 3 = 63 ch is a chain of 5 repeats of "
    "12 and 3 more."
)
_ON_HOOK: Final = "Measure the blanket itself after some rows: it tells where it is going."


class WashGroup(QObject):
    """Fields for a piece before and after washing."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self.fold = page.fold("Washing")
        page.note(_WASHING)
        self.width = measure_field("Width before washing", "wash_width_mm", "as the wave")
        page.field("Width before", self.width)
        self.washed_width = measure_field("Width after washing", "washed_width_mm")
        page.field("Width after", self.washed_width)
        self.length = measure_field("Length before washing", "wash_length_mm", "as the wave")
        page.field("Length before", self.length)
        self.washed_length = measure_field("Length after washing", "washed_length_mm")
        page.field("Length after", self.washed_length)
        self.change = page.note()
        self.slip = page.trouble()
        for field, name in (
            (self.width, "wash_width_mm"),
            (self.washed_width, "washed_width_mm"),
            (self.length, "wash_length_mm"),
            (self.washed_length, "washed_length_mm"),
        ):
            field.changed.connect(partial(set_swatch, page, "Change washing", name))

    @property
    def fields(self) -> tuple[NumberField, ...]:
        """The fields that take lengths."""
        return self.width, self.washed_width, self.length, self.washed_length

    def show_results(self, results: Results) -> None:
        """Show the piece and what washing does to it."""
        swatch = results.design.swatch or Swatch()
        self.width.show_value(swatch.wash_width_mm)
        self.washed_width.show_value(swatch.washed_width_mm)
        self.length.show_value(swatch.wash_length_mm)
        self.washed_length.show_value(swatch.washed_length_mm)
        wash = wash_of(swatch)
        parts = [
            f"{signed(100 * (share - 1), 1)} % in {name}"
            for name, share, known in (
                ("width", wash.width, wash.width_known),
                ("length", wash.length, wash.length_known),
            )
            if known
        ]
        change = f"{', '.join(parts)}." if parts else ""
        said = f"{change} Every size is after washing; yarn is before it."
        self.change.say(said if parts else "")
        slips = [
            f"Washing would leave {number(100 * share)} % of the {name}: check the two figures. "
            "They are left out until then."
            for name, share in impossible_washes(swatch)
        ]
        self.slip.say("\n".join(slips))
        self.fold.sum_up(change, matters=bool(parts or slips))


class WantedGroup(QObject):
    """The size wished for, and the sizes that whole repeats and rows give near it."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self.fold = page.fold("Size wanted")
        page.note(_WANTED)
        self.width = _wish_field("Width wanted", "width_mm")
        page.field("Width", self.width)
        self.widths = ChoiceList("Widths near it", page)
        page.whole(self.widths)
        self.draw_in = page.note()
        self.length = _wish_field("Length wanted", "length_mm")
        page.field("Length", self.length)
        self.lengths = ChoiceList("Lengths near it", page)
        page.whole(self.lengths)
        for field, name in ((self.width, "width_mm"), (self.length, "length_mm")):
            field.changed.connect(partial(self._wish, name))

    @property
    def fields(self) -> tuple[NumberField, ...]:
        """The fields that take lengths."""
        return self.width, self.length

    def show_results(self, results: Results) -> None:
        """Show the wish and the choices near it."""
        design, size, wave = results.design, results.size, results.finished_wave
        wanted = design.wanted or Wanted()
        self.width.show_value(wanted.width_mm)
        self.length.show_value(wanted.length_mm)
        for shown in (self.widths, self.lengths):
            shown.setVisible(wave is not None)
        units = design.units
        if wave is not None:
            widths = width_choices(design, size, wave, wanted_mm=wanted.width_mm)
            self.widths.show_choices(self._widths(widths, design.size.repeats, units))
            lengths = length_choices(design, size, wave, wanted_mm=wanted.length_mm)
            self.lengths.show_choices(self._lengths(lengths, design.size.rows, units))
        washed = " after washing" if size.is_washed else ""
        draws = "draws in" if size.draw_in >= 0 else "spreads"
        self.draw_in.say(
            f"The chain alone is {length(size.chain_mm, units)} long; the blanket {draws} by "
            f"{number(100 * abs(size.draw_in))} % to {length(size.width_mm, units)}{washed}."
        )
        summary = f"{length(size.width_mm, units)} by {length(size.length_mm, units)}{washed}."
        self.fold.sum_up(summary, matters=design.wanted is not None)

    def _wish(self, name: str, value: float | None, gesture: object) -> None:
        values: dict[str, Any] = {name: value}
        self._page.ask("Change size wanted", partial(edits.set_wanted, **values), gesture)

    def _widths(self, widths: Sequence[WidthChoice], now: int, units: Units) -> list[Choice]:
        near = min(widths, key=lambda choice: abs(choice.off_mm or 0.0))
        lines = []
        for choice in widths:
            mark = "  ✓" if choice.repeats == now else ""
            told = f"{chain_sum(choice)}{mark}"
            lines.append((length(choice.width_mm, units), _off(choice.off_mm, units), told))
        return [
            Choice(
                words=words,
                spoken=f"{length(choice.width_mm, units)} wide{_apart(choice.off_mm, units)}: "
                f"{chain_sum(choice)}, {length(choice.chain_mm, units)} long"
                f"{_as_it_is(choice.repeats == now)}",
                pick=partial(
                    self._page.ask, "Change width", partial(edits.set_size, repeats=choice.repeats)
                ),
                is_now=choice.repeats == now,
                is_nearest=choice.off_mm is not None and choice is near,
            )
            for choice, words in zip(widths, in_columns(lines), strict=True)
        ]

    def _lengths(self, lengths: Sequence[LengthChoice], now: int, units: Units) -> list[Choice]:
        near = min(lengths, key=lambda choice: abs(choice.off_mm or 0.0))
        lines = []
        for choice in lengths:
            told = counted(choice.rows, "row") + ("  ✓" if choice.rows == now else "")
            lines.append((length(choice.length_mm, units), _off(choice.off_mm, units), told))
        return [
            Choice(
                words=words,
                spoken=f"{length(choice.length_mm, units)} long{_apart(choice.off_mm, units)}: "
                f"{counted(choice.rows, 'row')}{_as_it_is(choice.rows == now)}",
                pick=partial(
                    self._page.ask, "Change length", partial(edits.set_size, rows=choice.rows)
                ),
                is_now=choice.rows == now,
                is_nearest=choice.off_mm is not None and choice is near,
            )
            for choice, words in zip(lengths, in_columns(lines), strict=True)
        ]


class HookGroup(QObject):
    """What the piece on the hook measured, and what it will come to."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self._forecast: Forecast | None = None
        self.fold = page.fold("On the hook")
        page.note(_ON_HOOK)
        self.row = NumberField("Rows worked", bounds_of(Progress, "row"))
        page.field("Rows worked", self.row)
        self.width = _piece_field("Width on the hook", "width_mm")
        page.field("Its width", self.width)
        self.length = _piece_field("Length on the hook", "length_mm")
        page.field("Its length", self.length)
        self.forecast = page.note()
        self.slip = page.trouble()
        self.restore = QPushButton("Keep the length", page)
        self.restore.setToolTip("Change the rows so that the piece comes to the length wanted")
        self.restore.clicked.connect(self._restore)
        page.whole(self.restore)
        for field, name in (
            (self.row, "row"),
            (self.width, "width_mm"),
            (self.length, "length_mm"),
        ):
            field.changed.connect(partial(self._set, name))

    @property
    def fields(self) -> tuple[NumberField, ...]:
        """The fields that take lengths."""
        return self.width, self.length

    def show_results(self, results: Results) -> None:
        """Show the piece and its forecast."""
        design, wave = results.design, results.finished_wave
        piece = design.progress or Progress()
        self.row.show_value(piece.row)
        self.width.show_value(piece.width_mm)
        self.length.show_value(piece.length_mm)
        told = self._forecast = forecast_of(design, results.size, wave) if wave else None
        washed = " after washing" if results.size.is_washed else ""
        self.forecast.say("\n".join(_forecast_lines(told, design.units, washed)) if told else "")
        self.slip.say("\n".join(_slip_lines(told, design.units)) if told else "")
        best = told.best if told else None
        useful = best is not None and told is not None and told.length_share is not None
        useful = useful and "length" not in (told.impossible if told else ())
        self.restore.setVisible(useful)
        if useful and best is not None:
            self.restore.setText(f"Work {counted(best.rows, 'row')} in all")
            self.restore.setEnabled(best.rows != design.size.rows)
        summary = (
            f"Comes to {length(told.width_mm, design.units)} by "
            f"{length(told.length_mm, design.units)}{washed}."
            if told
            else ""
        )
        self.fold.sum_up(summary, matters=told is not None)

    def _set(self, name: str, value: float | None, gesture: object) -> None:
        values: dict[str, Any] = {name: int(value) if name == "row" and value else value}
        self._page.ask("Change piece on the hook", partial(edits.set_progress, **values), gesture)

    def _restore(self) -> None:
        told = self._forecast
        if told is not None and told.best is not None:
            self._page.ask(
                "Change rows to keep the length",
                partial(restore_length, rows=told.best.rows, wanted_mm=told.wanted_mm),
            )


def _off(off_mm: float | None, units: Units) -> str:
    """Return the difference from the wish with its sign, without its unit."""
    if off_mm is None:
        return ""
    return signed(off_mm / (10 if units == "cm" else MM_PER_IN), 1)


def _as_it_is(is_now: bool) -> str:
    return ", as it is now" if is_now else ""


def _apart(off_mm: float | None, units: Units) -> str:
    if off_mm is None:
        return ""
    return f", {length(abs(off_mm), units)} {'more' if off_mm > 0 else 'less'} than wanted"


def _wish_field(name: str, part: str) -> NumberField:
    return NumberField(name, bounds_of(Wanted, part), step=1, digits=2, absent="any")


def _piece_field(name: str, part: str) -> NumberField:
    bounds = bounds_of(Progress, part)
    return NumberField(name, bounds, step=0.5, digits=2, absent="not measured")


def _forecast_lines(told: Forecast, units: Units, washed: str) -> list[str]:
    lines = []
    for name, planned, share in (
        ("Width", told.planned_width_mm, told.width_share),
        ("Length", told.planned_length_mm, told.length_share),
    ):
        if planned is not None and share is not None and name.lower() not in told.impossible:
            lines.append(
                f"{name} after row {told.row}: {length(planned * share, units)}, planned "
                f"{length(planned, units)} ({signed(100 * (share - 1), 1)} %)."
            )
    lines.append(
        f"Worked on like that it comes to {length(told.width_mm, units)} by "
        f"{length(told.length_mm, units)}{washed}."
    )
    best = told.best
    if best is not None and told.length_share is not None and "length" not in told.impossible:
        lines.append(
            f"{counted(best.rows, 'row')} in all come to {length(best.length_mm, units)}; wanted: "
            f"{length(told.wanted_mm, units)}."
        )
    if not told.choices:
        lines.append("It is past the length wanted already.")
    return lines


def _slip_lines(told: Forecast, units: Units) -> list[str]:
    planned = {"width": told.planned_width_mm, "length": told.planned_length_mm}
    return [
        f"By the plan its {name} after row {told.row} is {length(planned[name] or 0.0, units)}. "
        "Check the figure: it is left out until then."
        for name in told.impossible
    ]
