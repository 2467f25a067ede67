"""The page of the colours: neighbours that merge, a yarn's colour by hand, palettes."""

from functools import partial
from typing import Final

from PySide6.QtCore import QEvent, QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QWidget

from app.asking import plain_tip
from app.theme import UNIT, Theme
from app.views.colour_editor import ColourEditor, ColourWell
from app.views.figures import counted, number
from app.views.flow import Flow
from app.views.pages.colour_merges import MergeList
from app.views.pages.fields import ChoiceField
from app.views.pages.page import FormPage, Note
from core.design import edits
from core.design.document import Design
from core.palette.neighbours import (
    MERGE_DIFFERENCE,
    MERGE_LIGHTNESS,
    Merge,
    Shift,
    between,
    meetings,
    merging,
    separated,
)
from core.palette.sight import GREY, Sight, eyes
from core.palette.words import colour_words
from core.pipeline import Results
from core.stripes.sequence import worked_stripes

ALL_APART: Final = "All neighbours stand apart: to every eye, in grey, and to colour-blind eyes."
_RULE: Final = (
    f"Neighbours should be {MERGE_DIFFERENCE:.0f} apart (CIEDE2000), in grey {MERGE_LIGHTNESS:.0f} "
    "of 100 in lightness; colour-blind eyes are taken at their weakest. These bounds are this "
    "program's own."
)
_LIST_PX: Final = 240
_PATIENCE_MS: Final = 150


class ColourPage(FormPage):
    """Shows which colours merge and what would help, and makes colours."""

    title = "Colour"

    row_wished = Signal(int)  # a row to be shown; -1 for none
    sight_wished = Signal(object)  # the Sight to show everything in
    picture_wished = Signal()
    harmony_wished = Signal(str)  # the colour to begin with

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._seen_part: object = None
        self._merges: tuple[Merge, ...] = ()
        self._place = -1  # which of a pair's rows was shown last
        self._chosen = 0
        self._ways = QTimer(self)  # what would help isn't sought at every step of a drag
        self._ways.setSingleShot(True)
        self._ways.setInterval(_PATIENCE_MS)
        self._ways.timeout.connect(self._show_ways)
        # The list comes last: its height changes while a slider above it is moved.
        self._add_yarn()
        self._add_palettes()
        self._add_merges()

    # building

    def _add_merges(self) -> None:
        self.heading("Neighbours that merge")
        self.head = self.note()
        self.list = MergeList(self._theme)
        self.whole(self.list)
        self.list.chosen.connect(self._on_chosen)
        self.list.went.connect(self._go)
        self.list.resized.connect(self._fit_list)
        self.list.left.connect(lambda: self.row_wished.emit(-1))
        self.show_button = QPushButton("Show where")
        self.show_button.setToolTip("Show where they meet; again for the next place")
        self.show_button.clicked.connect(lambda: self._go(self.list.current_merge()))
        self.see_button = QPushButton("See it with these eyes")
        self.see_button.setToolTip("Show fabric and chart as the eyes see them to which they merge")
        self.see_button.clicked.connect(self._see)
        box = Flow(gap_px=UNIT)
        box.add(self.show_button, self.see_button)
        self.whole(box, self.show_button, self.see_button)
        self.between = self.note()
        self.shifts = tuple(_ShiftRow(self._theme) for _ in range(2))
        for shift in self.shifts:
            self.whole(shift, shift.button)
            shift.button.clicked.connect(partial(self._use_shift, shift))
        self.rule = self.note(_RULE)
        rest = QWidget()  # takes the room that is left, so that nothing above it is spread out
        rest.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.MinimumExpanding)
        self.plain(rest)

    def _add_yarn(self) -> None:
        self.heading("Colour of a yarn")
        self.yarn = ChoiceField("Yarn whose colour is shown", ())
        self.yarn.setToolTip("The yarn whose colour is shown and changed here")
        self.field("Yarn", self.yarn)
        self.editor = ColourEditor(self._theme)
        self.whole(self.editor, self.editor.code, *self.editor.sliders)
        self.yarn.changed.connect(lambda key, _: self.choose(int(key)))
        self.editor.changed.connect(self._set_colour)

    def _add_palettes(self) -> None:
        self.picture = QPushButton("From a picture…")
        self.picture.setToolTip("Take colours from a picture, from yarn you own first")
        self.harmony = QPushButton("From this colour…")
        self.harmony.setToolTip("Grow a palette from the colour above")
        box = Flow(gap_px=UNIT)
        box.add(self.picture, self.harmony)
        self.whole(box, self.picture, self.harmony)
        self.picture.clicked.connect(lambda: self.picture_wished.emit())
        self.harmony.clicked.connect(lambda: self.harmony_wished.emit(self.editor.colour))

    # what is shown

    def show_results(self, results: Results) -> None:
        """Show these results; while the page is hidden only later, when it is seen."""
        super().show_results(results)
        if self.isVisible():
            self._show()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the design."""
        super().showEvent(event)
        self._show()

    def _show(self) -> None:
        if self._results is None:
            return
        design, n_rows = self._results.design, self._results.rows.drawn_rows
        part = design.yarns, design.stripes, n_rows, design.edging
        if part == self._seen_part:
            return
        self._seen_part = part
        worked = worked_stripes(design.stripes, n_rows)
        self._merges = merging([yarn.colour for yarn in design.yarns], worked, design.edging)
        self._show_yarn(design)
        self.list.show_merges(self._merges, design)
        there = bool(self._merges)
        pairs = counted(len(self._merges), "pair")
        self.head.setText(f"{pairs} of neighbours may run together." if there else ALL_APART)
        for widget in (self.list, self.show_button, self.see_button, self.rule):
            widget.setVisible(there)
        self._fit_list()

    def _fit_list(self) -> None:
        self.list.setFixedHeight(max(self.list.wanted_height(_LIST_PX), 5 * UNIT))

    def changeEvent(self, event: QEvent) -> None:
        """Follow another text size."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "list"):
            self._fit_list()

    def _show_yarn(self, design: Design) -> None:
        self._chosen = min(self._chosen, len(design.yarns) - 1)
        names = [yarn.name for yarn in design.yarns]
        if names != [self.yarn.itemText(n) for n in range(self.yarn.count())]:
            self.yarn.clear()
            for number_, name in enumerate(names):
                self.yarn.addItem(name, str(number_))
        self.yarn.show_value(str(self._chosen))
        self.editor.show_colour(design.yarns[self._chosen].colour)

    def _on_chosen(self, merge: Merge | None) -> None:
        self._place = -1
        if merge is None:
            self._show_ways()
        else:
            self._ways.start()

    def _show_ways(self) -> None:
        """Say what would keep the chosen pair apart."""
        results, merge = self._results, self.list.current_merge()
        for row in self.shifts:
            row.hide()
        self.between.setVisible(merge is not None)
        if merge is None or results is None:
            return
        design, pair = results.design, (merge.meeting.one, merge.meeting.other)
        several = len(merge.meeting.rows) > 1
        self.show_button.setText("Show next place" if several else "Show where")
        self.see_button.setVisible(not merge.is_plain)
        self.see_button.setText(
            "See it in grey" if merge.sights[0] == GREY else "See it with these eyes"
        )
        colours = [yarn.colour for yarn in design.yarns]
        self.between.setText(_between_words(design, colours, pair))
        met = meetings(worked_stripes(design.stripes, results.rows.drawn_rows), design.edging)
        for row, (yarn, other) in zip(self.shifts, (pair, pair[::-1]), strict=True):
            ends = {n for m in met if yarn in (m.one, m.other) for n in (m.one, m.other)}
            beside = [colours[n] for n in sorted(ends - {yarn, other})]
            shift = separated(colours[yarn], colours[other], beside=beside)
            if shift is not None:
                row.show_shift(yarn, design.yarns[yarn].name, colours[yarn], shift)

    # what is done

    def choose(self, yarn: int) -> None:
        """Show the colour of a yarn."""
        self._chosen = yarn
        if self._results is not None:
            self._show_yarn(self._results.design)

    def _go(self, merge: Merge | None) -> None:
        if merge is None:
            return
        rows = merge.meeting.rows
        self._place = (self._place + 1) % len(rows)
        self.row_wished.emit(rows[self._place])

    def _see(self) -> None:
        merge = self.list.current_merge()
        if merge is not None:
            self.sight_wished.emit(merge.sights[0])

    def _set_colour(self, colour: str, gesture: object) -> None:
        edit = partial(edits.set_yarn, number=self._chosen, colour=colour)
        self.ask("Change yarn colour", edit, gesture)

    def _use_shift(self, row: "_ShiftRow") -> None:
        self._chosen = row.yarn
        edit = partial(edits.set_yarn, number=row.yarn, colour=row.colour)
        self.ask(f"Make {row.name} {row.way}", edit)


class _ShiftRow(QWidget):
    """A lighter or darker colour for one yarn of a pair, with a button that takes it."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.yarn, self.name, self.colour, self.way = 0, "", "", ""
        self._well = ColourWell(theme, self)
        self._words = Note("", self)
        self.button = QPushButton("Use")
        self.button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        row.addWidget(self._well)
        row.addWidget(self._words, 1)
        row.addWidget(self.button)
        self.hide()

    def show_shift(self, yarn: int, name: str, before: str, shift: Shift) -> None:
        """Offer a colour for a yarn."""
        self.yarn, self.name, self.colour = yarn, name, shift.colour
        self.way = "lighter" if shift.lighter > 0 else "darker"
        text = (
            f"{name} {self.way} by {number(abs(shift.lighter))} of 100: "
            f"{colour_words(shift.colour)}, {shift.colour}."
        )
        if not shift.keeps:
            text += " It then merges with another neighbour."
        self._words.setText(text)
        self._well.show_colour(before, shift.colour)
        self.button.setAccessibleName(f"Make {text}")
        self.button.setToolTip(plain_tip(f"Give {name} the colour {shift.colour}"))
        self.show()


def _between_words(design: Design, colours: list[str], pair: tuple[int, int]) -> str:
    found = between(colours, *pair)
    if found is None:
        return "A third yarn between them would keep them apart; there is none in the list yet."
    name = design.yarns[found.yarn].name
    if not found.fails:
        return f"{name} could stand between them: it keeps apart from both to every eye."
    return (
        f"{name} between them comes nearest to keeping them apart, but not {_fails(found.fails)}."
    )


def _fails(sights: tuple[Sight, ...]) -> str:
    kinds = {sight.kind for sight in sights}
    parts = ["to every eye"] if "plain" in kinds else []
    parts += ["in grey"] if "grey" in kinds else []
    weak = [sight for sight in sights if sight.kind not in ("plain", "grey")]
    if weak and "plain" not in kinds:
        parts.append(f"to {eyes(weak)}")
    return " or ".join(parts)
