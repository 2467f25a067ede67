"""Rows in the designer's own words: edited, read again, and set against the chart."""

from functools import partial
from typing import Any, Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QLabel, QPushButton, QVBoxLayout, QWidget

from app.computing import LatestWins, ShouldStop
from app.theme import UNIT, Theme
from app.views.flow import Flow
from app.views.pages.page import Note, Trouble
from app.views.written_text import WrittenText
from core.design.document import Design
from core.errors import DesignError
from core.pipeline import Results
from core.reading.own import OwnLine, read_own, set_own_words, take_own
from core.records import Struct
from core.rows.build import Rows

_LONGEST: Final = 5_000


class _Request(Struct, frozen=True, eq=False):
    design: Design
    rows: Rows


def _read(request: Any, should_stop: ShouldStop) -> tuple[Design, tuple[OwnLine, ...], str]:
    """Read all lines; say why the words can't be taken into the design, if they can't."""
    design = request.design
    lines = read_own(design, request.rows)
    if not any(line.own is not None and line.differs for line in lines):
        return design, lines, ""
    return design, lines, take_own(design).why_not


class OwnWordsEditor(QWidget):
    """One written row at a time, in the designer's own words or the program's."""

    wish = Signal(str, object, object)
    closed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._results: Results | None = None
        self._lines: tuple[OwnLine, ...] = ()
        self._why_not = ""
        self._row = 1
        self._gesture: object = object()
        self._reader: LatestWins | None = None  # started when first needed
        self.row_choice = QComboBox(self)
        self.row_choice.setAccessibleName("Row to edit")
        self.row_choice.setToolTip("The written row shown below")
        self.row_choice.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.row_choice.activated.connect(self._on_row)
        self.text = WrittenText(theme, "Words of the row", self)
        self.text.edited.connect(self._on_edited)
        self.counts = QLabel("", self)
        self.counts.setWordWrap(True)
        self.counts.setAccessibleName("Counts of the row")
        self.state = Trouble(self)
        self.text.said.connect(self._say)
        self.programs = Note("", self)
        self.take_button = QPushButton("Take these rows into the design", self)
        self.take_button.setToolTip("Chart, fabric and yarn follow the words; one step to undo")
        self.take_button.clicked.connect(self._take)
        self.drop_button = QPushButton("Back to the program's words", self)
        self.drop_button.setToolTip("Drop your own words for this row")
        self.drop_button.clicked.connect(self._drop)
        self.close_button = QPushButton("Done", self)
        self.close_button.setToolTip("Go back to the whole pattern")
        self.close_button.clicked.connect(self._close)
        buttons = Flow(self, gap_px=UNIT)
        buttons.add(self.take_button, self.drop_button, self.close_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        column.addWidget(self.row_choice)
        column.addWidget(self.text, 1)
        column.addWidget(self.counts)
        column.addWidget(self.state)
        column.addWidget(self.programs)
        column.addWidget(buttons)
        self.setFocusProxy(self.text)

    @property
    def line(self) -> OwnLine | None:
        """The line that is edited."""
        return next((line for line in self._lines if line.line.row == self._row), None)

    @property
    def is_reading(self) -> bool:
        """Whether the words shown are still being read."""
        return self.text.is_waiting or (self._reader is not None and self._reader.is_busy)

    def close_worker(self) -> None:
        """Stop the thread behind it."""
        if self._reader is not None:
            self._reader.close()
            self._reader = None

    # what is shown

    def show_results(self, results: Results) -> None:
        """Read the rows of these results."""
        self._results = results
        if self._reader is None:
            self._reader = LatestWins(_read, self)
            self._reader.finished.connect(self._show_lines)
            self._reader.failed.connect(lambda error: self.state.say(f"Not read: {error}"))
        self._reader.submit(_Request(results.design, results.rows))

    def edit_row(self, row: int) -> None:
        """Show the line that row number `row` stands in."""
        self.text.flush()
        self._row = row
        self._gesture = object()
        self._show_line()
        self.text.setFocus()

    def _show_lines(self, answer: tuple[Design, tuple[OwnLine, ...], str]) -> None:
        design, self._lines, self._why_not = answer
        if self._results is None or design is not self._results.design:
            return
        if self.line is None and self._lines:
            later = [line.line.row for line in self._lines if line.line.row >= self._row]
            self._row = min(later, default=self._lines[-1].line.row)
        self._show_line()

    def _show_line(self) -> None:
        self.row_choice.blockSignals(True)
        self.row_choice.clear()
        for line in self._lines:
            self.row_choice.addItem(line.line.label + _mark(line), line.line.row)
        self.row_choice.setCurrentIndex(self.row_choice.findData(self._row))
        self.row_choice.blockSignals(False)
        shown = self.line
        if shown is None:
            return
        self._dress(shown)

    def _dress(self, line: OwnLine) -> None:
        if not self.text.is_waiting:
            self.text.show_text(line.text)
            self.text.show_troubles(line.troubles)
        self.counts.setText(_counts(line))
        has_own = line.own is not None
        self.programs.say(f"The program's words: {line.line.text}" if has_own else "")
        self.drop_button.setEnabled(has_own)
        can_take = has_own and line.differs and not self._why_not
        self.take_button.setEnabled(can_take)
        self._say("")

    def _say(self, message: str) -> None:
        line = self.line
        if not message and line is not None and line.own is not None:
            message = _state(line, self._why_not)
        self.state.say(message)

    # edits

    def _on_row(self) -> None:
        row = self.row_choice.currentData()
        if isinstance(row, int):
            self.edit_row(row)

    def _on_edited(self, text: str) -> None:
        line = self.line
        if line is None:
            return
        plain = "".join(sign for sign in text if sign.isprintable() or sign == "\n").strip()
        if len(plain) > _LONGEST:
            self.state.say(
                f"A row's own words hold {_LONGEST:,} characters; these are {len(plain):,}. "
                "They are not kept yet."
            )
            return
        kept = "" if plain == line.line.text else plain
        if kept == (line.own.text if line.own is not None else ""):
            return
        what = f"Own words for {line.line.label}"
        self._ask(what, partial(set_own_words, row=line.line.row, text=kept), self._gesture)

    def _ask(self, what: str, edit: Any, gesture: object | None = None) -> None:
        self.wish.emit(what, edit, gesture)

    def _take(self) -> None:
        self.text.flush()
        self._ask("Take rows from the words", _taken)

    def _drop(self) -> None:
        line = self.line
        if line is not None and line.own is not None:
            self.text.show_text(line.line.text)
            edit = partial(set_own_words, row=line.line.row, text="")
            self._ask(f"The program's words for {line.line.label}", edit)

    def _close(self) -> None:
        self.text.flush()
        self.closed.emit()


def _taken(design: Design) -> Design:
    taken = take_own(design)
    if taken.design is None:
        raise DesignError(taken.why_not)
    return taken.design


def _mark(line: OwnLine) -> str:
    if line.own is None:
        return ""
    if line.is_stale:
        return " · own words, for another wave"
    if line.broken is not None:
        return " · own words, don't come out"
    return " · own words, differ" if line.differs else " · own words"


def _state(line: OwnLine, why_not: str) -> str:
    """Return one sentence on how own words stand to the chart."""
    row = line.line.row
    name = f"row {row}" if row else "the foundation"
    if line.is_stale:
        return (
            "These words were written for another wave. They are kept; the pattern has the "
            "program's words."
        )
    if line.broken is not None:
        return line.broken.message
    if line.differs:
        more = f" They can't be taken: {why_not}" if why_not else ""
        return f"Words and chart differ in {name}.{more}"
    return ""


def _counts(line: OwnLine) -> str:
    if line.line.row == 0:
        return f"{line.makes} chains" if line.makes else ""
    if line.uses is None or line.available is None:
        return "Repeats rows before it."
    makes = "–" if line.makes is None else str(line.makes)
    return f"Uses {line.uses} of {line.available}, makes {makes}."
