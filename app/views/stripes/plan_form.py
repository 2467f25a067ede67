"""The rules of a plan as a form: what kind it is, its yarns, its numbers."""

from typing import Final, cast

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QStandardItemModel
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QPushButton, QSizePolicy, QWidget

from app.theme import Theme
from app.type_following import lines_px, measure_in_type
from app.views.pages.fields import ChoiceField, NumberField, Tick, bounds_of
from app.views.pages.page import FormPage
from app.views.stripes.plan_yarns import BarredPairs, YarnShares
from core.design.document import Design
from core.design.plan import DatesAs, Plan, PlanShape, Series, SeriesOrder
from core.design.stripe_edits import with_values
from core.errors import DesignError
from core.stripes.dates import read_dates, said_date
from core.stripes.first_plan import fitted_depth
from core.stripes.series import read_widths

_KINDS: Final = (
    ("random", "random with rules"),
    ("fade", "a fade from yarn to yarn"),
    ("series", "widths from numbers"),
    ("dates", "widths from dates"),
)
_SHAPES: Final = (
    ("free", "no symmetry"),
    ("mirror", "mirrored about the middle"),
    ("turned", "blocks turned by one yarn"),
)
_SERIES: Final = (
    ("fibonacci", "Fibonacci: 1 1 2 3 5 8"),
    ("lucas", "Lucas: 2 1 3 4 7 11"),
    ("primes", "primes: 2 3 5 7 11 13"),
    ("own", "my own list"),
)
_ORDERS: Final = (
    ("given", "in their order"),
    ("shuffled", "shuffled, yarns even"),
    ("opposed", "one up, one down"),
)
_DATES_AS: Final = (
    ("digits", "every digit a stripe"),
    ("parts", "day, month and year"),
    ("between", "days between them"),
)
_BETWEEN: Final = (("1", "single rows"), ("2", "pairs of rows"))
_TYPING_MS: Final = 400


class PlanForm(FormPage):
    """Shows a plan and says when it is changed."""

    title = "Rules"

    changed = Signal()

    def __init__(self, design: Design, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._design = design
        self._plan = Plan()
        self._slip = ""
        self._typing = QTimer(self)
        self._typing.setSingleShot(True)
        self._typing.setInterval(_TYPING_MS)
        self._typing.timeout.connect(self._on_changed)
        self._shown_for: dict[QWidget, tuple[str, ...]] = {}
        self.kind = ChoiceField("Kind of plan", _KINDS)
        self.field("Plan", self.kind)
        self._add_numbers()
        self._add_yarns()
        self._add_rest()
        self.kind.changed.connect(self._on_kind)
        for field in (
            self.shape, self.series, self.order, self.dates_as, self.between,
        ):  # fmt: skip
            field.changed.connect(lambda *_: self._on_changed())
        for number in (self.count, self.apart, self.block, self.steps, self.seed):
            number.changed.connect(lambda *_: self._on_changed())
        for tick in (self.around, self.nearest, self.fit_rows):
            tick.changed.connect(lambda _: self._on_changed())
        self.widths.textEdited.connect(lambda _: self._typing.start())
        self.dates.textChanged.connect(self._typing.start)
        self.shares.changed.connect(self._on_changed)
        self.barred.changed.connect(self._on_changed)

    # building

    def _add_numbers(self) -> None:
        self.series = ChoiceField("Series of numbers", _SERIES)
        self._line("Numbers", self.series, "series")
        self.dates = QPlainTextEdit(self)
        self.dates.setAccessibleName("Dates, one a line")
        self.dates.setPlaceholderText("3 May 2019\n2021-07-14")
        self.dates.setTabChangesFocus(True)
        measure_in_type(self.dates, lambda dates: dates.setFixedHeight(lines_px(dates, 6)))
        self._line("Dates", self.dates, "dates")
        self.dates_as = ChoiceField("How dates become widths", _DATES_AS)
        self._line("As", self.dates_as, "dates")
        self.count = NumberField("How many stripes", bounds_of(Plan, "count"))
        self._line("Stripes", self.count, "random", "numbered")
        self.widths = QLineEdit(self)
        self.widths.setAccessibleName("Rows of a stripe, one of these numbers")
        self.widths.setToolTip("Numbers like 1, 2, 4: each stripe gets one of them")
        self._line("Rows each", self.widths, "random", "own")
        self.order = ChoiceField("Order of the widths", _ORDERS)
        self._line("Order", self.order, "series", "dates")
        self.steps = NumberField("Steps between two yarns", bounds_of(Plan, "depth"))
        self._line("Steps", self.steps, "fade")
        self.between = ChoiceField("Steps are worked in", _BETWEEN)
        self._line("in", self.between, "fade")
        self.fit = QPushButton("Fill the blanket's rows", self)
        self.fit.setToolTip("Take the steps at which the fade comes nearest to its rows")
        self.fit.clicked.connect(self._fit)
        self.whole(self.fit)
        self._shown_for[self.fit] = ("fade",)
        self.nearest = Tick("Nearest colours beside each other, far ones in more steps")
        self.whole(self.nearest)
        self._shown_for[self.nearest] = ("fade",)

    def _add_yarns(self) -> None:
        self.heading("Yarns")
        self.shares = YarnShares(self._design.yarns, self)
        self.whole(self.shares, *self.shares.focusable)
        self.even = QPushButton("Share evenly", self)
        self.even.setToolTip("Every yarn about equally often")
        self.even.clicked.connect(self._share_evenly)
        self.whole(self.even)
        self._shown_for[self.even] = ("random",)

    def _add_rest(self) -> None:
        head = self.heading("Rules")
        self._shown_for[head] = ("random",)
        self.apart = NumberField("Stripes between two of one yarn", bounds_of(Plan, "apart"))
        self.apart.setToolTip("1: no yarn beside itself; 0: a yarn may follow itself")
        self._line("Apart by", self.apart, "random")
        self.around = Tick("Also where the sequence begins again")
        self.whole(self.around)
        self._shown_for[self.around] = ("random",)
        self.shape = ChoiceField("Symmetry", _SHAPES)
        self._line("Symmetry", self.shape, "random", "series", "dates", "fade")
        self.block = NumberField("Stripes in a block", bounds_of(Plan, "block"))
        self._line("Block of", self.block, "turned")
        self.barred = BarredPairs(self._design.yarns, self)
        self.whole(self.barred, *self.barred.focusable)
        self._shown_for[self.barred] = ("random",)
        self._locked = self.note()
        self.seed = NumberField("Number of the first order", bounds_of(Plan, "seed"))
        self.seed.setToolTip("The same number gives the same order again")
        self.field("From number", self.seed)
        self.fit_rows = Tick("Make the blanket as long as the stripes")
        self.whole(self.fit_rows)
        rest = QWidget(self)
        rest.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.plain(rest)

    def _line(self, words: str, field: QWidget, *kinds: str) -> None:
        self.field(words, field)
        self._shown_for[field] = kinds

    # what is shown

    def show_plan(self, plan: Plan) -> None:
        """Show a plan; says nothing."""
        self._plan = plan
        is_dates = plan.kind == "series" and plan.series == "dates"
        self.kind.show_value("dates" if is_dates else plan.kind)
        self.series.show_value("fibonacci" if is_dates else plan.series)
        self.order.show_value(plan.order)
        self.dates_as.show_value(plan.dates_as)
        self.between.show_value(str(plan.between))
        self.shape.show_value(plan.shape)
        for field, value in (
            (self.count, plan.count),
            (self.apart, plan.apart),
            (self.block, plan.block),
            (self.steps, plan.depth),
            (self.seed, plan.seed),
        ):
            field.show_value(value)
        self.around.show_value(plan.around)
        self.nearest.show_value(plan.nearest)
        self.widths.setText(", ".join(map(str, plan.widths)))
        self.dates.blockSignals(True)
        self.dates.setPlainText("\n".join(said_date(iso) for iso in plan.dates))
        self.dates.blockSignals(False)
        self.shares.show_shares(plan.shares, plan.count)
        self.barred.show_pairs(plan.barred)
        locked = sum(stripe.locked for stripe in self._design.stripes.sequence)
        self._locked.say(
            f"{locked} locked {'stripe stays' if locked == 1 else 'stripes stay'} in place."
            if locked
            else "Stripes locked on the strip (L) stay in place."
        )
        self._show_lines()

    def _show_lines(self) -> None:
        """Show the lines that matter to this kind of plan."""
        kind, series = self.kind.currentData(), self.series.currentData()
        states = {kind}
        if kind == "series":
            states.add("own" if series == "own" else "numbered")
        if kind == "random" and self.shape.currentData() == "turned":
            states.add("turned")
        for widget, kinds in self._shown_for.items():
            self._main.setRowVisible(widget, bool(states & set(kinds)))
        self.shares.show_counts(kind == "random")
        self._offer_turned(kind == "random")

    def _offer_turned(self, offered: bool) -> None:
        """Offer turned blocks only where yarns are dealt out; widths can't be turned."""
        model, row = self.shape.model(), self.shape.findData("turned")
        if isinstance(model, QStandardItemModel):
            model.item(row).setEnabled(offered)
        if not offered and self.shape.currentData() == "turned":
            self.shape.show_value("free")

    @property
    def slip(self) -> str:
        """What is wrong with what is typed, in a sentence; empty if nothing is."""
        return self._slip

    @property
    def plan(self) -> Plan:
        """The plan as it stands in the fields."""
        return self._plan

    def _on_changed(self) -> None:
        self._typing.stop()
        self.shares.set_count(int(self.count.value()))
        self._show_lines()
        try:
            self._plan = self._read()
            self._slip = ""
        except DesignError as error:
            text = str(error)
            self._slip = f"{text[:1].upper()}{text[1:]}."
        self.changed.emit()

    def _read(self) -> Plan:
        kind = self.kind.currentData()
        dates, widths = self._plan.dates, self._plan.widths
        if kind == "dates":
            dates = read_dates(self.dates.toPlainText())
        elif kind in ("random", "series"):
            widths = read_widths(self.widths.text())
        shape = self.shape.currentData()
        series = "dates" if kind == "dates" else self.series.currentData()
        return with_values(
            self._plan,
            kind="series" if kind == "dates" else kind,
            seed=int(self.seed.value()),
            count=int(self.count.value()),
            shares=self.shares.shares,
            barred=self.barred.pairs,
            apart=int(self.apart.value()),
            around=self.around.box.isChecked(),
            shape=cast("PlanShape", shape),
            block=int(self.block.value()),
            widths=widths,
            series=cast("Series", series),
            order=cast("SeriesOrder", self.order.currentData()),
            dates=dates,
            dates_as=cast("DatesAs", self.dates_as.currentData()),
            depth=int(self.steps.value()),
            between=int(self.between.currentData()),
            nearest=self.nearest.box.isChecked(),
        )

    def _on_kind(self, kind: str, _: object) -> None:
        if kind == "fade" and self._plan.kind != "fade":
            self._fit()
        else:
            self._on_changed()

    def _share_evenly(self) -> None:
        self.shares.share_evenly()
        self._on_changed()

    def _fit(self) -> None:
        self._on_changed()
        if not self._slip:
            self.steps.show_value(fitted_depth(self._design, self._plan))
            self._on_changed()
