"""A plan within the stash: what blanket the yarn owned is enough for, to be taken in one step."""

from collections.abc import Sequence
from functools import partial
from typing import Any, Final, cast

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtCore import Signal as QtSignal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QSizePolicy,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.spoken import Role, Told, tell
from app.tab_order import follow_layout
from app.theme import UNIT, Theme
from app.views.figures import counted, length, number, plain, yarn_length, yarn_unit
from app.views.pages.fields import ChoiceField, NumberField, Tick
from app.views.pages.yarn_table import swatch_icon
from core.design import edits
from core.design.document import Design
from core.design.validation import checked
from core.edging.plan import grown_mm
from core.errors import DesignError
from core.pipeline import Results
from core.records import Struct, replace
from core.shelf.against import owned_balls, with_owned
from core.shelf.entry import Entry
from core.stripes.sequence import yarn_of_rows
from core.yarn.edging import EdgingUse
from core.yarn.stash import Manner, Plan, Wish, plan_stash, take

_MANNERS: Final = (
    ("longest", "the longest blanket"),
    ("fair", "every colour as often as the others"),
    ("order", "the order as it is, as far as it goes"),
)
NAME, OWNED, AFFORDS, USED, LEFT = range(5)
_HEADINGS: Final = ("Yarn", "Own, g", "Enough for", "Stripes", "Left")
_MEANINGS: Final = (
    "The yarn and its colour",
    "What you own of it by weight; type to change it",
    "Stripes it would be enough for, tails and spare included",
    "Stripes of it in the plan",
    "What is over, spare kept back",
)


class _Request(Struct, frozen=True):
    design: Design
    wish: Wish
    edging: tuple[EdgingUse, ...]


def _work_out(request: Any, should_stop: ShouldStop) -> Plan:
    return plan_stash(request.design, request.wish, request.edging, should_stop=should_stop)


class StashDialog(QDialog):
    """What is owned, how the plan should be, and the plan itself."""

    wish = QtSignal(str, object, object)
    shelf_wished = QtSignal()  # to be answered by `own`

    def __init__(self, results: Results, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Plan from the stash")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._results, self._theme = results, theme
        self._design = results.design
        self._wish = Wish(stripe_rows=_usual_rows(results.design))
        self.plan: Plan | None = None
        self._worker = LatestWins(_work_out, self)
        self._worker.finished.connect(self._show_plan)
        self._worker.failed.connect(self._show_failure)
        left = QVBoxLayout()
        left.setSpacing(UNIT)
        left.addLayout(self._choices())
        left.addWidget(self._table(), 1)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        left.addWidget(self.said)
        left.addLayout(self._buttons())
        self.picture = PlanPicture(theme, self)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addLayout(left, 1)
        row.addWidget(self.picture)
        self.resize(760, 480)
        self._fill_table()
        self._ask()
        self.manner.setFocus()
        follow_layout(self)

    def _choices(self) -> QFormLayout:
        form = QFormLayout()
        form.setHorizontalSpacing(2 * UNIT)
        form.setVerticalSpacing(UNIT)
        self.manner = ChoiceField("Plan for", _MANNERS)
        self.manner.setToolTip("What the yarn you own should become")
        self.manner.show_value(self._wish.manner)
        form.addRow("&Plan for", self.manner)
        self.rows = NumberField("Rows of a stripe", (1, 50), unit="rows")
        self.rows.show_value(self._wish.stripe_rows)
        self.rows.setToolTip("All stripes of the plan are equally high")
        form.addRow("A &stripe has", self.rows)
        self.mirrored = Tick("The same from both ends")
        form.addRow("", self.mirrored)
        self.manner.changed.connect(
            lambda key, _: self._set(replace(self._wish, manner=cast("Manner", key)))
        )
        self.rows.changed.connect(
            lambda rows, _: self._set(replace(self._wish, stripe_rows=int(rows)))
        )
        self.mirrored.changed.connect(lambda on: self._set(replace(self._wish, mirrored=on)))
        return form

    def _table(self) -> QTableWidget:
        table = self.table = QTableWidget(len(self._design.yarns), len(_HEADINGS), self)
        table.setAccessibleName("What is owned, and what becomes of it")
        table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        table.setTabKeyNavigation(False)
        table.setShowGrid(False)
        table.setCornerButtonEnabled(False)
        table.verticalHeader().hide()
        header = table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(NAME, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        for column, (words, meaning) in enumerate(zip(_HEADINGS, _MEANINGS, strict=True)):
            unit = f", {yarn_unit(self._design.units)}" if column == LEFT else ""
            item = QTableWidgetItem(words + unit)
            item.setToolTip(meaning)
            side = Qt.AlignmentFlag.AlignLeft if column == NAME else Qt.AlignmentFlag.AlignRight
            item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
            table.setHorizontalHeaderItem(column, item)
        table.itemChanged.connect(self._on_item)
        return table

    def _buttons(self) -> QHBoxLayout:
        self.take = QPushButton("&Take it", self)
        self.take.setProperty("primary", True)
        self.take.setAutoDefault(False)  # Enter in a field only ends typing there
        self.take.setToolTip("Give the blanket these stripes and rows; one undo takes it back")
        self.take.clicked.connect(self._take)
        close = QPushButton("&Close", self)
        close.setAutoDefault(False)
        close.setToolTip("Leave the blanket as it is (Esc)")
        close.clicked.connect(self.reject)
        self.shelf = QPushButton("Own what is on the s&helf", self)
        self.shelf.setAutoDefault(False)
        self.shelf.setToolTip("Fill in what the shelf has of these yarns; the shelf stays as it is")
        self.shelf.clicked.connect(lambda: self.shelf_wished.emit())
        row = QHBoxLayout()
        row.addWidget(self.shelf)
        row.addStretch(1)
        row.addWidget(close)
        row.addWidget(self.take)
        return row

    # what is wished for

    def _set(self, wish: Wish) -> None:
        self._wish = wish
        self.manner.show_value(wish.manner)
        self.rows.show_value(wish.stripe_rows)
        self._ask()

    def _on_item(self, item: QTableWidgetItem) -> None:
        """Take over what was typed as owned, or say what is wrong and put it back."""
        if item.column() != OWNED:
            return
        yarn = self._design.yarns[item.row()]
        grams, ok = self.locale().toDouble(item.text().removesuffix("g").strip())
        try:
            if not ok:
                raise DesignError(f"Type the grams of {yarn.name} as a number.")
            if grams < 0:
                raise DesignError(f"You can't own less than nothing of {yarn.name}.")
            after = edits.set_yarn(self._design, item.row(), owned_balls=grams / yarn.ball_g)
            self._design = checked(after)
        except DesignError as error:
            self._fill_table()
            self.said.setText(f"⚠ {error}")
            return
        self._ask()

    def own(self, entries: Sequence[Entry]) -> None:
        """Take what is on the shelf for owned, of those yarns that it has."""
        owned = owned_balls(self._design, entries)
        if not owned:
            self.said.setText("No yarn of this design is on the shelf: they go by their names.")
            return
        self._design = with_owned(self._design, owned)
        self._fill_table()
        self._ask()

    def _ask(self) -> None:
        in_order = self._wish.manner == "order"
        self.rows.setEnabled(not in_order)
        self.mirrored.setEnabled(not in_order)
        self.said.setText("reckoning…")
        self.take.setEnabled(False)
        self._worker.submit(_Request(self._design, self._wish, self._results.edging))

    # what comes of it

    def _fill_table(self) -> None:
        """Show what is owned, and the plan if there is one."""
        design, plan = self._design, self.plan
        was_blocked = self.table.blockSignals(True)
        for row, yarn in enumerate(design.yarns):
            cells = [yarn.name, plain(yarn.owned_balls * yarn.ball_g, 1), "–", "–", "–"]
            if plan is not None:
                cells[AFFORDS] = str(plan.affords[row]) if plan.wish.manner != "order" else "–"
                cells[USED] = str(plan.counts[row])
                cells[LEFT] = yarn_length(plan.left_m[row], design.units).rpartition(" ")[0]
            for column, text in enumerate(cells):
                item = self.table.item(row, column)
                if item is None:
                    item = QTableWidgetItem()
                    self.table.setItem(row, column, item)
                    if column != OWNED:
                        item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
                    if column != NAME:
                        side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                        item.setTextAlignment(side)
                item.setText(text)
                binds = plan is not None and row in plan.binding
                if column == NAME:
                    size = QSize(self.fontMetrics().ascent(), self.fontMetrics().ascent())
                    ratio = self.devicePixelRatioF()
                    item.setIcon(swatch_icon(yarn.colour, size, self._theme, ratio))
                    item.setText(f"{text} – binds" if binds else text)
        self.table.blockSignals(was_blocked)

    def _show_plan(self, plan: Plan) -> None:
        self.plan = plan
        self._fill_table()
        self.picture.show_plan(self._design, plan)
        self.said.setText(plan_words(self._results, self._design, plan))
        self.take.setEnabled(take(self._design, plan) != self._results.design)

    def _show_failure(self, error: object) -> None:
        self.plan = None
        self._fill_table()
        self.picture.show_plan(self._design, None)
        self.said.setText(f"⚠ {error}")
        self.take.setEnabled(False)

    def _take(self) -> None:
        if self.plan is not None:
            owned = tuple(yarn.owned_balls for yarn in self._design.yarns)
            text = f"Plan from the stash: {counted(self.plan.rows, 'row')}"
            self.wish.emit(text, partial(_taken, plan=self.plan, owned=owned), None)
            self.accept()

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._worker.close()
        super().done(result)


class PlanPicture(QWidget):
    """The stripes of a plan, from the foundation up."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self._theme = theme
        self._colours: list[str] = []
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Stripes of the plan")
        tell(self, Told(role=Role.Graphic))

    def sizeHint(self) -> QSize:
        """Return a strip."""
        return QSize(18 * UNIT, 50 * UNIT)

    def show_plan(self, design: Design, plan: Plan | None) -> None:
        """Show a plan, or nothing."""
        rows = [] if plan is None else yarn_of_rows(plan.stripes, plan.rows).tolist()
        self._colours = [design.yarns[number].colour for number in rows]
        self.setVisible(bool(rows))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint a line of its yarn's colour for every row."""
        del event
        with QPainter(self) as painter:
            box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
            step = box.height() / max(len(self._colours), 1)
            for number_, colour in enumerate(self._colours):
                top = box.bottom() - (number_ + 1) * step
                painter.fillRect(QRectF(box.left(), top, box.width(), step + 0.6), QColor(colour))
            painter.setPen(QPen(QColor(self._theme.tones.hairline), 1))
            painter.drawRect(box)


def _taken(design: Design, *, plan: Plan, owned: tuple[float, ...]) -> Design:
    for row, balls in enumerate(owned):
        design = edits.set_yarn(design, row, owned_balls=balls)
    return take(design, plan)


def plan_words(results: Results, design: Design, plan: Plan) -> str:
    """Return how long a plan is and what keeps it from being longer."""
    rise = results.size.length_mm / max(results.rows.drawn_rows, 1)
    filled = grown_mm(results.ends, results.border)[1]
    around = (
        f", {length(plan.rows * rise + filled, design.units)} with its edging" if filled else ""
    )
    words = (
        f"{counted(plan.rows, 'row')} in {counted(sum(plan.counts), 'stripe')}: about "
        f"{length(plan.rows * rise, design.units)} long{around}."
    )
    names = [design.yarns[number].name for number in plan.binding]
    if plan.wish.manner == "order":
        if names:
            after = f"row {plan.possible_rows + 1}"
            words += f" {' and '.join(names)} would fail at {after}"
            more = plan.possible_rows - plan.rows
            words += f", {counted(more, 'row')} into the next stripe." if more else "."
        else:
            words += " More rows than that aren't drawn."
    elif len(names) > 2:
        words += f" {len(names)} colours bind: one more stripe of any would make it longer."
    elif names:
        shown = " or ".join(names)
        words += f" {shown} binds: one more stripe of it would make the blanket longer."
    else:
        words += " Stripes side by side must differ, so what is left can't be used up."
    spare = design.reckoning.spare if design.reckoning else 0.10
    return f"{words} {number(100 * spare)} % spare is kept back."


def _usual_rows(design: Design) -> int:
    heights = [stripe.rows for stripe in design.stripes.sequence]
    return min(max(set(heights), key=heights.count), 50)
