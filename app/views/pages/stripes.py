"""The page of stripes: what is chosen, totals that close, and the way to orders found."""

from functools import partial
from typing import Any, Final, cast

from PySide6.QtCore import Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QPushButton, QWidget

from app.theme import UNIT, Theme
from app.views.figures import counted, length
from app.views.flow import Flow
from app.views.pages.choice_list import Choice, ChoiceList, in_columns
from app.views.pages.fields import ChoiceField, NumberField, TextField, Tick, bounds_of, longest_of
from app.views.pages.page import FormPage
from app.views.pages.swatch_wave import signed
from app.views.stripes.deeds import StripeDeeds
from core.design import edits
from core.design.document import Fill, Size, Stripe
from core.fabric.sizes import length_at, rows_near
from core.pipeline import Results
from core.stripes.closing import Total, closing_totals, round_rows
from core.stripes.key import key_text, said_plan
from core.stripes.proposals import was_changed_by_hand

_FILLS: Final = (
    ("repeat", "begins again"),
    ("mirror", "goes back and forth"),
    ("stop", "stops: the last yarn goes on"),
)
_CLOSING: Final = (
    "The blanket ends as it began at these: rows, length, and what that is more or less."
)


class StripesPage(FormPage):
    """Shows the sequence and what is chosen of it; edits go through the strip's deeds."""

    title = "Stripes"

    plan_wished = Signal()
    twin_wished = Signal()

    def __init__(self, theme: Theme, deeds: StripeDeeds, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._deeds = deeds
        self._wish: int | None = None
        self._yarns: tuple[str, ...] = ()
        self._planned: tuple[Any, str] | None = None
        self._add_chosen()
        self._add_found()
        self._add_sequence()
        self._add_closing()
        deeds.chosen_changed.connect(self._show_chosen)

    # building

    def _add_chosen(self) -> None:
        deeds = self._deeds
        self._heading = self.heading("Chosen")
        self._said = self.note()
        self.yarn = ChoiceField("Yarn of the chosen stripes", ())
        self.field("Yarn", self.yarn)
        self.rows = NumberField("Rows of each chosen stripe", bounds_of(Stripe, "rows"))
        self.field("Rows each", self.rows)
        self.label = TextField(
            "Name of the chosen stripes",
            longest=longest_of(Stripe, "label"),
            may_be_empty=True,
            parent=self,
        )
        self.label.setPlaceholderText("none")
        self.label.setToolTip("A name for these stripes (F2 on the strip)")
        self.field("Name", self.label)
        self.lock = Tick("Locked: place and rows stay in every new order")
        self.whole(self.lock)
        self.yarn.changed.connect(self._set_yarn)
        self.rows.changed.connect(self._set_rows)
        self.label.changed.connect(self._set_label)
        self.lock.changed.connect(self._toggle_lock)
        self.buttons = {
            "One row": self._deed(partial(deeds.set_rows, 1), "One row each (Shift+1)"),
            "Two rows": self._deed(partial(deeds.set_rows, 2), "Two rows each (Shift+2)"),
            "Repeat": self._deed(deeds.repeat, "Work them again above (Ctrl+D)"),
            "Mirror": self._deed(deeds.mirror, "Add the way back: A B C B A (M)"),
            "Reverse": self._deed(deeds.reverse, "Turn their order round (R)"),
            "Split": self._deed(deeds.split, "Cut each into halves (S)"),
            "Join": self._deed(deeds.join, "Make one of them (J)"),
            "Exchange": self._deed(deeds.exchange_chosen, "Let two change places (X)"),
            "All of this yarn": self._deed(deeds.all_of_its_yarn, "Choose them too (Y)"),
            "All": self._deed(deeds.all_of_them, "Choose every stripe (Ctrl+A)"),
        }
        self._row_of(self.buttons)

    def _deed(self, do: Any, tip: str) -> QPushButton:
        button = QPushButton(self)
        button.setToolTip(tip)
        button.clicked.connect(lambda: do())
        return button

    def _row_of(self, buttons: dict[str, QPushButton]) -> None:
        box = Flow(self, gap_px=UNIT // 2)
        for words, button in buttons.items():
            button.setText(words)
            button.setAccessibleName(button.toolTip())
            box.add(button)
        self.whole(box, *buttons.values())

    def _add_sequence(self) -> None:
        self.heading("The sequence")
        self.count = self.figure("Stripes")
        self.round = self.figure("Rows of a round")
        self.fill = ChoiceField("How the sequence goes on", _FILLS)
        self.field("It then", self.fill)
        self._echo = self.note()
        self.fill.changed.connect(
            lambda key, gesture: self.ask(
                "Change how stripes go on",
                partial(edits.set_fill, fill=cast("Fill", key)),
                gesture,
            )
        )

    def _add_closing(self) -> None:
        self.heading("Totals that close")
        self.note(_CLOSING)
        self.wish_rows = NumberField(
            "Rows wished for", bounds_of(Size, "rows"), absent="as it is", first=1
        )
        self.wish_rows.setToolTip("The totals nearest to it are shown; nothing changes yet")
        self.field("Rows wished for", self.wish_rows)
        self.totals = ChoiceList("Totals that close", self)
        self.totals.setToolTip("Click a line, or press Enter on it, to work so many rows")
        self.whole(self.totals)
        self._closes = self.note()
        self.wish_rows.changed.connect(self._set_wish)

    def _add_found(self) -> None:
        self.heading("Orders found for you")
        self.plan_button = QPushButton("Plan stripes…", self)
        self.plan_button.setToolTip(
            "Random with rules, fades, widths from numbers or dates (Ctrl+R)"
        )
        self.plan_button.clicked.connect(self.plan_wished)
        self.whole(self.plan_button)
        self.twin_button = QPushButton("Make a second colourway…", self)
        self.twin_button.setToolTip("The same stripes with the yarns changed about (Ctrl+Shift+R)")
        self.twin_button.clicked.connect(self.twin_wished)
        self.whole(self.twin_button)
        self.key_button = QPushButton("Copy the key", self)
        self.key_button.setToolTip(
            "Every stripe, name and rule as text, to paste; Export writes it as a file"
        )
        self.key_button.clicked.connect(self.copy_key)
        self.whole(self.key_button)
        self._plan = self.note()

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show these results."""
        super().show_results(results)
        design = results.design
        names = tuple(f"{n + 1}: {yarn.name}" for n, yarn in enumerate(design.yarns))
        if names != self._yarns:
            self._yarns = names
            self.yarn.clear()
            for number, name in enumerate(names):
                self.yarn.addItem(name, str(number))
        self._show_chosen()
        stripes = design.stripes
        self.count.show_text(str(len(stripes.sequence)))
        self.round.show_text(str(round_rows(stripes)))
        self.fill.show_value(stripes.fill)
        self._echo.say(_echo_words(results))
        if self.isVisible():
            self._show_closing(results)
            self._show_plan(results)

    def showEvent(self, event: Any) -> None:
        """Catch up with what was not shown while the page was closed."""
        super().showEvent(event)
        if self._results is not None:
            self._show_closing(self._results)
            self._show_plan(self._results)

    def _show_chosen(self) -> None:
        stripe, results = self._deeds.stripe, self._results
        if stripe is None or results is None or results.design is not self._deeds.design:
            return
        chosen = self._deeds.chosen
        several = len(chosen) > 1
        self._heading.setText(
            f"{len(chosen)} stripes chosen" if several else f"Stripe {chosen[0] + 1}"
        )
        rows = sum(self._deeds.sequence[number].rows for number in chosen)
        here = f"{counted(rows, 'row')} in all. Fields show stripe {self._deeds.choice.current + 1}"
        self._said.say(f"{here}, and change all that aren't locked." if several else "")
        self.yarn.show_value(str(stripe.yarn))
        self.rows.show_value(stripe.rows)
        self.label.show_value(stripe.label)
        self.lock.show_value(self._deeds.all_locked)
        self.buttons["Exchange"].setEnabled(len(chosen) == 2)
        free = any(not self._deeds.sequence[number].locked for number in chosen)
        for part in (self.yarn, self.rows):
            part.setEnabled(free)

    def _show_closing(self, results: Results) -> None:
        design, wave = results.design, results.finished_wave
        wanted = design.wanted.length_mm if design.wanted is not None else None
        wish = self._wish
        if wish is None and wanted is not None:
            wish = rows_near(design, results.size, wave, wanted)
        self.wish_rows.show_value(self._wish)
        totals = closing_totals(design.stripes, wish or design.size.rows)
        self.totals.show_choices(self._lines(totals, results))
        self.totals.setVisible(bool(totals))
        closes = any(total.rows == design.size.rows for total in totals)
        self._closes.say(
            f"{counted(design.size.rows, 'row')}: the blanket ends as it began."
            if closes and design.stripes.fill != "stop"
            else ""
        )

    def _lines(self, totals: tuple[Total, ...], results: Results) -> list[Choice]:
        design, size, wave = results.design, results.size, results.finished_wave
        units, now = design.units, design.size.rows
        wish = totals[0].rows - totals[0].more if totals else now
        wish_mm = length_at(design, size, wave, wish)
        near = min(totals, key=lambda total: abs(total.more), default=None)
        columns, spoken = [], []
        for total in totals:
            long_mm = length_at(design, size, wave, total.rows)
            off = signed((long_mm - wish_mm) / (10 if units == "cm" else 25.4), 1)
            mark = "  ✓" if total.rows == now else ""
            columns.append(
                (
                    counted(total.rows, "row"),
                    length(long_mm, units),
                    signed(total.more),
                    f"{off} {units}{mark}",
                )
            )
            spoken.append(
                f"{counted(total.rows, 'row')}, {length(long_mm, units)}: "
                f"{signed(total.more)} rows and {off} {units} from {wish} rows"
            )
        return [
            Choice(
                words=words,
                spoken=said,
                pick=partial(
                    self.ask, "Close the stripes", partial(edits.set_size, rows=total.rows)
                ),
                is_now=total.rows == now,
                is_nearest=total is near,
            )
            for total, words, said in zip(totals, in_columns(columns), spoken, strict=True)
        ]

    def _show_plan(self, results: Results) -> None:
        design, plan = results.design, results.design.stripes.plan
        if plan is None:
            self._plan.say("")
            return
        part = design.stripes, design.yarns, design.size
        if self._planned is None or self._planned[0] != part:
            said = "Changed by hand since it was planned. " if was_changed_by_hand(design) else ""
            self._planned = part, f"{said}{said_plan(design, plan)}"
        self._plan.say(self._planned[1])

    # what is wished for

    def _set_yarn(self, key: str, gesture: object) -> None:
        self._deeds.set_yarn(int(key), gesture)
        self._show_chosen()

    def _set_rows(self, rows: float, gesture: object) -> None:
        self._deeds.set_rows(int(rows), gesture)
        self._show_chosen()

    def _set_label(self, label: str) -> None:
        self._deeds.set_label(label)
        self._show_chosen()

    def _toggle_lock(self) -> None:
        self._deeds.toggle_lock()
        self._show_chosen()

    def _set_wish(self, rows: float | None, _: object) -> None:
        self._wish = None if rows is None else int(rows)
        if self._results is not None:
            self._show_closing(self._results)

    def copy_key(self) -> None:
        """Put the key to the stripes on the clipboard."""
        if self._results is not None:
            QGuiApplication.clipboard().setText(key_text(self._results.design))
            self._deeds.said.emit("The key is on the clipboard: paste it into a text to print it.")


def _echo_words(results: Results) -> str:
    """Return how the sequence fills the blanket."""
    stripes, rows = results.design.stripes, results.design.size.rows
    once, round_ = stripes.rows, round_rows(stripes)
    if once > rows:
        return f"{once - rows} of its {once} rows don't fit into the blanket's {rows}."
    if once == rows:
        return f"It fills the blanket's {counted(rows, 'row')} once."
    if stripes.fill == "stop":
        return f"It stops after {counted(once, 'row')}; {counted(rows - once, 'row')} follow."
    whole, more = divmod(rows, round_)
    rest = f" and {counted(more, 'row')}" if more else ""
    return (
        f"{counted(rows, 'row')} take {counted(whole, 'round')}{rest}. Hatched stripes on the "
        "strip are its echo: they follow the stripe they name."
    )
