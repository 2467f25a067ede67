"""Edge doctor: pick the drawing that looks like the piece, and see what was likely done."""

from typing import Any, Final

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.theme import UNIT, Theme, figure, small
from app.views.piece_view import MistakeList, PieceView
from core.design.document import Design
from core.doctor.counts import read_counts, suspects
from core.doctor.marks import likely_stitches
from core.doctor.mistakes import BY_KEY, LOOKS, MOST_ROWS, Mistake, mistakes_of
from core.doctor.piece import Comparison, compared
from core.doctor.telling import cause, count_line, suspect_line, way_out
from core.errors import DesignError
from core.pipeline import Results
from core.records import Struct
from core.stripes.sequence import yarn_of_rows

_REST_MS: Final = 250
_MOST_SUSPECTS: Final = 5
_ABOUT: Final = (
    "Pick the drawing that looks like your piece. Each is this design, worked with one mistake and "
    "settled flat."
)
_NONE_FIT: Final = (
    "There is nothing to compare until the rows fit one another: the page Checks says where."
)
_LOOKS: Final = {look.key: look for look in LOOKS}


class _Request(Struct, frozen=True):
    """A drawing to make, or without a mistake, the list of those that can happen."""

    design: Design
    mistake: Mistake | None


def _settle(request: Any, should_stop: ShouldStop) -> tuple[str, Any]:
    design, mistake = request.design, request.mistake
    if mistake is None:
        return "", mistakes_of(design)
    return mistake.key, compared(design, mistake, should_stop=should_stop)


class DoctorDialog(QDialog):
    """Drawings of mistakes, what each tells, and what the maker's own counts speak for."""

    marks_wished = Signal(object, int)  # stitches to ring on the chart; the row whose start to show

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Edge doctor")
        self._results: Results | None = None
        self._part: object = None
        self._since = 1
        self._drawn: dict[str, Comparison] = {}
        self._waiting: list[Mistake] = []
        self._rest = QTimer(self, singleShot=True, interval=_REST_MS)
        self._rest.timeout.connect(self._redo)
        self._worker = LatestWins(_settle, self)
        self._worker.finished.connect(self._on_drawn)
        self._worker.failed.connect(self._on_failed)
        self.about = QLabel(_ABOUT, self)
        self.about.setWordWrap(True)
        self.list = MistakeList(theme, self)
        self.list.currentItemChanged.connect(
            lambda now, _: self._show_mistake(self.list.key_of(now))
        )
        left = QVBoxLayout()
        left.setSpacing(UNIT)
        left.addWidget(self.about)
        left.addWidget(self.list, 1)
        self._add_counts(left)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        row.setSpacing(2 * UNIT)
        row.addLayout(left, 3)
        row.addLayout(self._details(theme), 2)
        self.resize(1040, 656)
        self.list.setFocus()

    def _add_counts(self, column: QVBoxLayout) -> None:
        self.counts = QLineEdit(self)
        self.counts.setMaxLength(600)
        self.counts.setPlaceholderText("row 4: 142, row 6: 140")
        self.counts.setAccessibleName("Stitches counted in some rows")
        self.counts.setToolTip("Rows and what you counted in them: the mistakes are ranked by it")
        self.counts.textEdited.connect(lambda: self._rank())
        label = QLabel("&Counted", self)
        label.setBuddy(self.counts)
        line = QHBoxLayout()
        line.setSpacing(UNIT)
        line.addWidget(label)
        line.addWidget(self.counts, 1)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.said.setFont(small(QApplication.font()))
        self.ranked = QListWidget(self)
        self.ranked.setAccessibleName("What the counts speak for, best first")
        self.ranked.setMaximumHeight(5 * self.fontMetrics().height() + 2 * UNIT)
        self.ranked.itemClicked.connect(self._take_suspect)
        self.ranked.itemActivated.connect(self._take_suspect)
        self.ranked.hide()
        column.addLayout(line)
        column.addWidget(self.said)
        column.addWidget(self.ranked)
        self.said.hide()

    def _details(self, theme: Theme) -> QVBoxLayout:
        self.title = QLabel(self)
        self.title.setFont(figure(self.font(), large=1.2))
        self.title.setWordWrap(True)
        self.right = PieceView("As the design has it", theme, self)
        self.wrong = PieceView("With the mistake", theme, self)
        self.cause, self.way_out, self.count = (QLabel(self) for _ in range(3))
        self.marks_button = QPushButton("S&how on the chart", self)
        self.marks_button.setToolTip("Ring the likely stitches on the chart, in the first rows")
        self.marks_button.setAutoDefault(False)
        self.marks_button.clicked.connect(self.show_on_chart)
        close = QPushButton("Cl&ose", self)
        close.setAutoDefault(False)
        close.setToolTip("Close, and take the rings off the chart (Esc)")
        close.clicked.connect(self.reject)
        column = QVBoxLayout()
        column.setSpacing(UNIT // 2)
        column.addWidget(self.title)
        for words, view in (("As the design has it", self.right), ("With the mistake", self.wrong)):
            name = QLabel(words, self)
            name.setProperty("quiet", True)
            name.setFont(small(QApplication.font()))
            column.addWidget(name)
            column.addWidget(view, 1)
        column.addSpacing(UNIT)
        for label in (self.cause, self.way_out, self.count):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setTextInteractionFlags(
                Qt.TextInteractionFlag.TextSelectableByMouse
                | Qt.TextInteractionFlag.TextSelectableByKeyboard
            )
            column.addWidget(label)
            column.addSpacing(UNIT // 2)
        buttons = QHBoxLayout()
        buttons.addWidget(self.marks_button)
        buttons.addStretch(1)
        buttons.addWidget(close)
        column.addLayout(buttons)
        return column

    # what is shown

    def show_results(self, results: Results) -> None:
        """Follow the design: at once the first time, later when the hand rests."""
        first = self._results is None
        self._results = results
        if first:
            self._redo()
        else:
            self._rest.start()

    def _redo(self) -> None:
        results = self._results
        if results is None:
            return
        design = results.design
        yarns = design.yarns
        numbers = yarn_of_rows(design.stripes, MOST_ROWS)
        colours = [yarns[int(number)].colour for number in numbers]
        part = (design.gauge, design.wave, design.turning, design.hand)
        if part != self._part:
            if self._part is not None:
                self.marks_wished.emit((), 0)  # they were of other rows
            self._part = part
            self._drawn, self._waiting = {}, []
            self.list.colours = colours
            self._worker.submit(_Request(design, None))
        else:
            self.list.colours = colours
            self.list.viewport().update()
        self._show_mistake(self.list.key_of(self.list.currentItem()))
        self._rank()

    def _show_list(self, mistakes: tuple[Mistake, ...]) -> None:
        chosen = self.list.key_of(self.list.currentItem())
        self._waiting = list(mistakes)
        self.list.show_mistakes(mistakes, self.list.colours)
        self.about.setText(_ABOUT if mistakes else _NONE_FIT)
        self.choose(chosen)
        self._show_mistake(self.list.key_of(self.list.currentItem()))
        self._draw_next()

    def choose(self, key: str) -> None:
        """Choose a mistake by its key, or the first one."""
        item = self.list.item_of(key) or self.list.item(0)
        if item is not None:
            self.list.setCurrentItem(item)

    def _draw_next(self) -> None:
        if self._waiting and self._results is not None:
            self._worker.submit(_Request(self._results.design, self._waiting[0]))

    def _on_drawn(self, answer: tuple[str, Any]) -> None:
        key, found = answer
        if not key:
            self._show_list(found)
            return
        if self._waiting and self._waiting[0].key == key:
            del self._waiting[0]
        self._drawn[key] = found
        self.list.show_drawing(key, found)
        if self.list.key_of(self.list.currentItem()) == key:
            self._show_pieces(key)
        self._draw_next()

    def _on_failed(self, error: object) -> None:
        self.said.setText(f"One drawing couldn't be made: {error}.")
        self.said.show()
        del self._waiting[:1]
        self._draw_next()

    def _show_mistake(self, key: str) -> None:
        mistake, results = BY_KEY.get(key), self._results
        self.marks_button.setEnabled(mistake is not None)
        if mistake is None or results is None:
            for label in (self.title, self.cause, self.way_out, self.count):
                label.clear()
            return
        self._since = 1
        design = results.design
        self.title.setText(f"{_LOOKS[mistake.look].name}: {_LOOKS[mistake.look].about}")
        self.cause.setText(f"Likely: {cause(design, mistake)}")
        self.way_out.setText(way_out(design, mistake))
        self.count.setText(count_line(design, mistake))
        self._show_pieces(key)

    def _show_pieces(self, key: str) -> None:
        found, colours = self._drawn.get(key), self.list.colours
        if found is None:
            for view in (self.right, self.wrong):
                view.show_piece(None, (0.0, 0.0, 1.0, 1.0), colours)
            return
        both = (found.right.bounds_mm(), found.wrong.bounds_mm())
        low = [min(side) for side in zip(*(bounds[:2] for bounds in both), strict=True)]
        high = [max(side) for side in zip(*(bounds[2:] for bounds in both), strict=True)]
        bounds = (low[0], low[1], high[0], high[1])
        self.right.show_piece(found.right, bounds, colours)
        self.wrong.show_piece(found.wrong, bounds, colours)
        self.wrong.setAccessibleDescription(self.title.text())

    # counts

    def _rank(self) -> None:
        results = self._results
        self.ranked.clear()
        if results is None or not self.counts.text().strip():
            self._say("")
            return
        try:
            counts = read_counts(self.counts.text())
        except DesignError as error:
            self._say(f"⚠ {error}.")
            return
        found = suspects(results.design, counts)[:_MOST_SUSPECTS]
        if not found:
            self._say(
                "These counts are right. Lean, ladder, off on a peak and rounded points leave "
                "every count as it is."
            )
            return
        self._say("What the counts speak for, best first:")
        for suspect in found:
            item = QListWidgetItem(suspect_line(results.design, suspect), self.ranked)
            item.setData(Qt.ItemDataRole.UserRole, suspect)
        self.ranked.show()

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.said.setVisible(bool(text))
        self.ranked.setVisible(False)

    def _take_suspect(self, item: QListWidgetItem) -> None:
        suspect = item.data(Qt.ItemDataRole.UserRole)
        if suspect.mistake is not None:
            self.choose(suspect.mistake.key)
            self._since = suspect.since

    # on the chart

    def show_on_chart(self) -> None:
        """Ring the stitches where the chosen mistake is likely, from the row it began in."""
        mistake = BY_KEY.get(self.list.key_of(self.list.currentItem()))
        results = self._results
        if mistake is None or results is None:
            return
        marks = likely_stitches(results.design, results.rows, mistake, since=self._since)
        if not marks:
            self._say("There are no such rows in this blanket.")
            return
        # a row ends where the next one starts, and that is the end to be brought into view
        after = mistake.place == "end" and marks[0][0] < results.rows.drawn_rows
        self.marks_wished.emit(marks, marks[0][0] + after)

    def done(self, result: int) -> None:
        """Stop the work, take the rings off and close."""
        self._worker.close()
        self.marks_wished.emit((), 0)
        super().done(result)
