"""Written rows, typed or pasted, read while they are typed and made a design."""

from typing import Any, Final

import numpy as np
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.painting.strokes import Floats
from app.theme import UNIT, Theme
from app.views.pages.page import Note, Trouble
from app.views.read_rows import ReadRows
from app.views.wave_card import WavePlot
from app.views.written_text import WrittenText
from core.craft.stitches import Terms
from core.design.document import Design
from core.design.edits import set_values
from core.errors import Stopped
from core.reading.reading import Reading, read_text
from core.reading.taking import Taken, take_reading
from core.records import Struct
from core.sketch.outline import Outline, OutlineBook

_NONE: Final = np.zeros((0, 2))
_EXAMPLE: Final = (
    "Paste or type rows, for example:\n\n"
    "Harbour Steps door curtain. US terms.\n"
    "Ch 39 (multiple of 12 + 3).\n"
    "Row 1: dc in 4th ch from hook (3 skipped ch count as dc), *dc in next 3 ch, [dc2tog] twice, "
    "dc in next 3 ch, 2 dc in each of next 2 ch; rep from * to last 11 ch, dc in next 3 ch, "
    "[dc2tog] twice, dc in next 3 ch, 2 dc in last ch. (36 sts)\n"
    "Row 2: Ch 3 (counts as dc), turn. Dc in same st, *dc in next 3 sts, [dc2tog] twice, dc in "
    "next 3 sts, 2 dc in each of next 2 sts; rep from * to last 11 sts, dc in next 3 sts, [dc2tog] "
    "twice, dc in next 3 sts, 2 dc in top of turning ch. (36 sts)\n"
    "Rows 3-40: Rep row 2."
)
_WAITING: Final = "Nothing is read yet."


class _Request(Struct, frozen=True, eq=False):
    text: str
    terms: Terms | None
    design: Design


class _Answer(Struct, frozen=True, eq=False):
    reading: Reading
    taken: Taken
    outline: Outline | None


def _read(request: Any, should_stop: ShouldStop) -> _Answer:
    design = request.design
    reading = read_text(
        request.text, terms=request.terms, otherwise=design.terms, repeats=design.size.repeats
    )
    if should_stop():
        raise Stopped
    taken = take_reading(reading, design, keep_stripes=False)
    if should_stop():
        raise Stopped
    outline = None
    if taken.design is not None:
        outline = OutlineBook(taken.design).outline(taken.design.wave, should_stop)
    return _Answer(reading, taken, outline)


class ReadingDialog(QDialog):
    """A sheet of written rows at the left, what was read of them at the right."""

    made = Signal(object)  # the new Design; whoever takes it closes the sheet

    def __init__(self, design: Design, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("New from written rows")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._design = design
        self._answer: _Answer | None = None
        self._reader = LatestWins(_read, self)
        self._reader.finished.connect(self._show_answer)
        self._reader.failed.connect(self._show_failure)
        self.text = WrittenText(theme, "Written rows", self)
        self.text.setPlaceholderText(_EXAMPLE)
        self.text.edited.connect(lambda _: self._submit())
        self.said = Trouble(self)
        self.terms = QComboBox(self)
        self.terms.setAccessibleName("Terms of the text")
        self.terms.setToolTip("Whether dc means the US or the UK stitch")
        for words in ("As the words tell", "US terms", "UK terms"):
            self.terms.addItem(words)
        self.terms.activated.connect(lambda _: self._submit())
        self.reason = Note("", self)
        self.chain = QLabel(_WAITING, self)
        self.chain.setWordWrap(True)
        self.rows = ReadRows(self)
        self.rows.row_chosen.connect(self._go_to_row)
        self.plot = WavePlot(theme, self)
        self.plot.setAccessibleName("The wave that the rows make")
        self.notes = Note("", self)
        self.make_button = QPushButton("&Make the design", self)
        self.make_button.setProperty("primary", True)
        self.make_button.clicked.connect(self._make)
        self.next_button = QPushButton("&Next trouble", self)
        self.next_button.setToolTip("Go to the next underlined words")
        self.next_button.clicked.connect(self._next_trouble)
        self.text.said.connect(self._say)
        self._build()
        self._show_nothing()
        self.resize(1080, 680)

    def _build(self) -> None:
        left = QWidget(self)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, UNIT, 0)
        column.setSpacing(UNIT)
        label = QLabel("&Written rows", left)
        label.setBuddy(self.text)
        column.addWidget(label)
        column.addWidget(self.text, 1)
        column.addWidget(self.said)
        right = QWidget(self)
        side = QVBoxLayout(right)
        side.setContentsMargins(UNIT, 0, 0, 0)
        side.setSpacing(UNIT)
        row = QHBoxLayout()
        terms = QLabel("&Terms", right)
        terms.setBuddy(self.terms)
        row.addWidget(terms)
        row.addWidget(self.terms, 1)
        side.addLayout(row)
        side.addWidget(self.reason)
        side.addWidget(self.chain)
        side.addWidget(self.rows, 2)
        side.addWidget(self.plot, 1)
        side.addWidget(self.notes)
        split = QSplitter(Qt.Orientation.Horizontal, self)
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(right)
        split.setSizes([620, 420])
        cancel = QPushButton("Cancel", self)
        cancel.clicked.connect(self.reject)
        buttons = QHBoxLayout()
        buttons.addWidget(self.next_button)
        buttons.addStretch(1)
        buttons.addWidget(cancel)
        buttons.addWidget(self.make_button)
        for button in (self.next_button, cancel, self.make_button):
            button.setAutoDefault(False)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        outer.setSpacing(UNIT)
        outer.addWidget(split, 1)
        outer.addLayout(buttons)
        self.text.setFocus()

    # reading

    @property
    def is_reading(self) -> bool:
        """Whether what stands in the box is still being read."""
        return self.text.is_waiting or self._reader.is_busy

    @property
    def reading(self) -> Reading | None:
        """What was read last."""
        return self._answer.reading if self._answer else None

    def _submit(self) -> None:
        chosen: Terms | None = (None, "US", "UK")[self.terms.currentIndex()]
        self.make_button.setEnabled(False)
        self._reader.submit(_Request(self.text.toPlainText(), chosen, self._design))

    def _show_nothing(self) -> None:
        self._answer = None
        self.reason.say("")
        self.chain.setText(_WAITING)
        self.rows.show_reading(None)
        self._plot(None)
        self.notes.say("")
        self.said.say("")
        self.make_button.setEnabled(False)
        self.make_button.setToolTip("Write rows first")
        self.next_button.setEnabled(False)

    def _show_answer(self, answer: _Answer) -> None:
        if not answer.reading.text.strip():
            self._show_nothing()
            return
        self._answer = answer
        reading, taken = answer.reading, answer.taken
        self.text.show_troubles(reading.troubles)
        chosen = self.terms.currentIndex()
        self.reason.say(
            f"Read as {reading.terms} terms. {reading.guess.reason}" if not chosen
            else f"Read as {reading.terms} terms, as you chose."
        )  # fmt: skip
        self.chain.setText(_chain_text(reading))
        self.rows.show_reading(reading)
        self._plot(answer.outline)
        self.notes.say(" ".join([*reading.assumed, *taken.notes]))
        self.make_button.setEnabled(taken.design is not None)
        self.make_button.setToolTip(
            taken.why_not or "A new design of these rows; gauge and yarns stay as they are"
        )
        self.next_button.setEnabled(any(t.end > t.start for t in reading.troubles))
        self._say("")

    def _show_failure(self, error: object) -> None:
        self.said.say(f"The text could not be read ({error}). It stays as it is.")

    def _say(self, message: str) -> None:
        if not message and self._answer is not None:
            message = self._answer.taken.why_not
        self.said.say(message)

    def _plot(self, outline: Outline | None) -> None:
        self.plot.setVisible(outline is not None)
        if outline is None:
            self.plot.show_lines(_NONE, _NONE, (0.0, 0.0, 1.0, 1.0))
            return
        line = _two_repeats(outline)
        low, high = float(line[:, 1].min()), float(line[:, 1].max())
        pad = 0.1 * (high - low) + 0.5 * outline.repeat_mm / max(len(line), 1)
        bounds = (float(line[0, 0]), low - pad, float(line[-1, 0]), high + pad)
        self.plot.show_lines(line, _NONE, bounds)

    def _go_to_row(self, index: int) -> None:
        if self._answer is None or index >= len(self._answer.reading.rows):
            return
        row = self._answer.reading.rows[index]
        cursor = self.text.textCursor()
        cursor.setPosition(min(row.start, self.text.document().characterCount() - 1))
        self.text.setTextCursor(cursor)
        self.text.ensureCursorVisible()

    def _next_trouble(self) -> None:
        if self._answer is None:
            return
        at = self.text.textCursor().position()
        places = [t for t in self._answer.reading.troubles if t.end > t.start]
        later = [t for t in places if t.start > at]
        if places:
            self.text.go_to((later or places)[0])

    # the design

    def _make(self) -> None:
        if self._answer is None or self._answer.taken.design is None or self.is_reading:
            return
        new = set_values(
            self._answer.taken.design, title="From written rows", notes="", own_words=()
        )
        self.made.emit(new)

    def done(self, result: int) -> None:
        """Stop reading before the dialog goes."""
        self._reader.close()
        super().done(result)


def _chain_text(reading: Reading) -> str:
    rows = len(reading.order)
    parts = [f"Chain {reading.chains}" if reading.chains else "The chain isn't told"]
    if reading.base:
        parts.append(f"row 1 works into {reading.base}")
    going_on = " and on" if reading.is_open else ""
    parts.append(f"{rows} row{'' if rows == 1 else 's'}{going_on}")
    return ", ".join(parts) + "."


def _two_repeats(outline: Outline) -> Floats:
    one = outline.lines_mm[outline.shown]
    shifted = [one + (n * outline.repeat_mm, 0.0) for n in range(3)]
    line: Floats = np.concatenate(shifted)
    return line[np.argsort(line[:, 0], kind="stable")]
