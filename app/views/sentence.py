"""The blanket in one sentence, and the sentence as the form that changes it.

Every figure is live and opens its own small editor in place. A figure that is wrong is marked
and says why.
"""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Final

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAction, QActionGroup, QEnterEvent, QFocusEvent, QKeyEvent
from PySide6.QtWidgets import (
    QFormLayout,
    QFrame,
    QLabel,
    QMenu,
    QPushButton,
    QSizePolicy,
    QSpinBox,
    QWidget,
)

from app.asking import plain_tip
from app.theme import Theme, figure
from app.views.figures import chain_sum, counted, length_text
from app.views.flow import Flow
from app.views.knowing import explained_by
from app.views.loop_editor import LoopEditor, loops_menu
from app.views.pages.fields import bare_line
from core.craft.stitches import CATALOGUE, WORKED
from core.design import edits
from core.design.document import Design
from core.fabric.sizes import length_choices, width_choices
from core.pipeline import Results
from core.words.loops import loops_name

_EXPLAINED: Final = {
    "Foundation chain": "chain",
    "Stitches in a row": "stitches",
    "Rows": "rows",
    "Stitch": "stitch",
    "Loops": "loops",
    "Finished width": "width",
    "Finished length": "length",
    "Wave height": "wave height",
    "Lean of the stitches": "lean",
    "Colours": "colours",
}  # what each figure is called in `core.explain`
_NEW_STITCH: Final = "Change stitch, rows of the gauge estimated until you swatch"
_LONG: Final = "long, with waves"
_LONG_WASHED: Final = "long after washing, with waves"


class Figure(QPushButton):
    """One figure of the sentence: reads as a word, opens an editor."""

    pointed = Signal(bool)  # whether pointer or keys are on it

    def __init__(self, name: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._name = name
        self.setFlat(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFont(figure(self.font(), large=1.12))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def enterEvent(self, event: QEnterEvent) -> None:
        """Say that it is pointed at."""
        super().enterEvent(event)
        self.pointed.emit(True)

    def leaveEvent(self, event: QEvent) -> None:
        """Say that it isn't any longer."""
        super().leaveEvent(event)
        self.pointed.emit(False)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Say that keys have come to it."""
        super().focusInEvent(event)
        by_keys = (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason)
        if event.reason() in by_keys:
            self.pointed.emit(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Say that keys have left it."""
        super().focusOutEvent(event)
        self.pointed.emit(False)

    def show_text(self, text: str, *, trouble: str = "") -> None:
        """Show a figure; `trouble` says why it is wrong."""
        shown = f"⚠ {text}" if trouble else text
        if shown != self.text():
            self.setText(shown)
            self.updateGeometry()
        self.setToolTip(plain_tip(trouble) or f"{self._name} (Shift+F1: how we know)")
        self.setAccessibleName(f"{self._name}: {text}" + (f". {trouble}" if trouble else ""))
        self.setAccessibleDescription("Shift+F1: how we know")  # not its name once more
        if self.property("wrong") != bool(trouble):
            self.setProperty("wrong", bool(trouble))
            self.style().unpolish(self)
            self.style().polish(self)


class Words(QLabel):
    """Words of the sentence that say when they are pointed at."""

    pointed = Signal(bool)

    def enterEvent(self, event: QEnterEvent) -> None:
        """Say that they are pointed at."""
        super().enterEvent(event)
        self.pointed.emit(True)

    def leaveEvent(self, event: QEvent) -> None:
        """Say that they aren't any longer."""
        super().leaveEvent(event)
        self.pointed.emit(False)


class Sentence(Flow):
    """Says the open design in one sentence; every figure can be changed there."""

    wish = Signal(str, object, object)
    page_wished = Signal(str)  # a page or view that explains or edits a figure
    figure_pointed = Signal(str)  # what figure is pointed at, as `core.explain` calls it

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent, gap_px=5)  # room for the ring of the focus
        self._theme = theme
        self._results: Results | None = None
        self._popup: QFrame | None = None
        self.setAccessibleName("The blanket in one sentence")
        policy = self.sizePolicy()
        policy.setHorizontalPolicy(QSizePolicy.Policy.Expanding)
        policy.setVerticalPolicy(QSizePolicy.Policy.Minimum)
        self.setSizePolicy(policy)
        self._words: list[QLabel] = []
        self._say("Chain")
        self.chain = self._figure("Foundation chain", self._edit_repeats)
        self._multiple = Words("", self)
        self._multiple.pointed.connect(partial(self._point, "repeat"))
        self._add_words(self._multiple)
        self.stitches = self._figure("Stitches in a row", self._edit_repeats)
        self._every = self._say("in every row,")
        self.rows = self._figure("Rows", self._edit_rows)
        self._say("of")
        self.stitch = self._figure("Stitch", self._edit_stitch)
        self._say("in")
        self.loops = self._figure("Loops", self._edit_loops)
        self._say("–")
        self.width_figure = self._figure("Finished width", self._edit_width)
        self._say("wide,")
        self.length_figure = self._figure("Finished length", self._edit_length)
        self._long = self._say(_LONG)
        self.height_figure = self._figure("Wave height", partial(self.page_wished.emit, "wave"))
        self._say("high that lean")
        self.lean = self._figure("Lean of the stitches", partial(self.page_wished.emit, "wave"))
        self._say("and")
        self.colours = self._figure("Colours", partial(self.page_wished.emit, "yarn"))
        theme.changed.connect(self._restyle)
        self._restyle()

    def _say(self, text: str) -> QLabel:
        return self._add_words(QLabel(text, self))

    def _add_words(self, label: QLabel) -> QLabel:
        label.setFont(figure(self.font(), large=1.12))
        self._words.append(label)
        self.add(label)
        return label

    def _figure(self, name: str, edit: Callable[[], object]) -> Figure:
        button = Figure(name, self)
        explained_by(button, _EXPLAINED[name])
        button.pointed.connect(partial(self._point, _EXPLAINED[name]))
        button.clicked.connect(lambda: edit())
        self.add(button)
        return button

    def _point(self, key: str, on: bool) -> None:
        self.figure_pointed.emit(key if on else "")

    def _restyle(self) -> None:
        tones = self._theme.tones
        self.setStyleSheet(
            f"Figure, QPushButton {{ border: none; border-bottom: 1px solid {tones.accent};"
            f" border-radius: 0; padding: 0 1px; color: {tones.accent}; font-weight: 600; }}"
            f"QPushButton:hover {{ background: {tones.field}; }}"
            f"QPushButton:focus {{ border: 2px solid {tones.accent}; padding: 0; }}"
            f'QPushButton[wrong="true"] {{ color: {tones.trouble};'
            f" border-bottom: 2px solid {tones.trouble}; }}"
        )

    # what is said

    def show_results(self, results: Results) -> None:
        """Say these results."""
        self._results = results
        design, rows, size = results.design, results.rows, results.size
        foundation = rows.foundation
        misfit = next(
            (
                found.message
                for found in results.findings
                if found.level == "error" and not found.where.startswith("words")
            ),
            "",
        )
        self.chain.show_text(str(foundation.chains))
        extra = f", plus {foundation.extra}" if foundation.extra else ""
        self._multiple.setText(f"(a multiple of {foundation.multiple}{extra}),")
        counts = {rows.makes(row) for row in range(1, rows.drawn_rows + 1)}
        low, high = min(counts), max(counts)
        self.stitches.show_text(
            f"{low} stitches" if low == high else f"{low} to {high} stitches", trouble=misfit
        )
        self._every.setText("in every row," if low == high else "in the rows,")
        self.rows.show_text(counted(design.size.rows, "row"), trouble=misfit)
        name = CATALOGUE[design.gauge.stitch].name(design.terms)
        self.stitch.show_text(f"{name.long} ({design.terms})")
        self.loops.show_text(loops_name(design.loops, design.terms))
        fits = rows.misfit is None  # part of a blanket has no size worth saying
        width, length = (length_text(mm, design.units) for mm in (size.width_mm, size.length_mm))
        self.width_figure.show_text(width if fits else "–")
        self.length_figure.show_text(length if fits else "–")
        self._long.setText(_LONG_WASHED if size.is_washed and fits else _LONG)
        wave = results.finished_wave
        digits = 1 if design.units == "cm" else 2
        self.height_figure.show_text(
            length_text(wave.wave_height_mm, design.units, digits=digits) if wave else "unsettled"
        )
        self.lean.show_text(f"{wave.lean_deg:.0f}°" if wave else "–")
        used = len({int(yarn) for yarn in results.yarn_of_row})
        self.colours.show_text(counted(used, "colour"))

    def text(self) -> str:
        """Return the whole sentence as plain text."""
        parts = [
            widget.text() for widget in self.held() if isinstance(widget, QLabel | QPushButton)
        ]
        return " ".join(parts).replace(" ,", ",").replace(" –", ":") + "."

    # editors

    def _edit_repeats(self) -> None:
        design = self._design()
        foundation = self._results.rows.foundation if self._results else None
        if design is None or foundation is None:
            return
        about = (
            f"Row 1 is worked into {foundation.base_stitches} chains and turns with "
            f"{foundation.turn}; the first stitch goes into chain {foundation.first_in} from the "
            f"hook. One repeat more takes {foundation.multiple} chains more."
        )
        self._open_number(
            self.chain,
            "Repeats between the edges",
            design.size.repeats,
            1000,
            about,
            lambda n: ("Change width", partial(edits.set_size, repeats=n)),
        )

    def _edit_rows(self) -> None:
        design = self._design()
        if design is not None:
            self._open_number(
                self.rows,
                "Rows",
                design.size.rows,
                5000,
                "",
                lambda n: ("Change length", partial(edits.set_size, rows=n)),
            )

    def _edit_stitch(self) -> None:
        design = self._design()
        if design is None:
            return
        choices: list[tuple[str, edits.Edit, bool]] = []
        for key in WORKED:
            name = CATALOGUE[key].name(design.terms)
            edit = partial(edits.set_stitch, stitch=key)
            choices.append((f"{name.long} ({name.short})", edit, key == design.gauge.stitch))
        self._open_choices(self.stitch, _NEW_STITCH, choices)

    def _edit_loops(self) -> None:
        design = self._design()
        if design is not None:
            menu = loops_menu(design, self._wish, self._edit_loops_in_turn, self)
            menu.popup(self.loops.mapToGlobal(self.loops.rect().bottomLeft()))

    def _edit_loops_in_turn(self) -> None:
        design = self._design()
        if design is not None:
            editor = LoopEditor(design, self)
            editor.wish.connect(self.wish)
            editor.open_under(self.loops)
            self._popup = editor
            editor.destroyed.connect(self._forget_popup)

    def _edit_width(self) -> None:
        results = self._results
        if results is None or results.finished_wave is None:
            return
        design, size, wave = results.design, results.size, results.finished_wave
        wanted_mm = design.wanted.width_mm if design.wanted else None
        choices = [
            (
                f"{length_text(c.width_mm, design.units, digits=1)}{_off(c.off_mm, design)}\t"
                f"{chain_sum(c)}, {c.stitches} sts",
                partial(edits.set_size, repeats=c.repeats),
                c.repeats == design.size.repeats,
            )
            for c in width_choices(design, size, wave, wanted_mm=wanted_mm)
        ]
        self._open_choices(self.width_figure, "Change width", choices, wishes=True)

    def _edit_length(self) -> None:
        results = self._results
        if results is None or results.finished_wave is None:
            return
        design, size, wave = results.design, results.size, results.finished_wave
        wanted_mm = design.wanted.length_mm if design.wanted else None
        step = 2 if wanted_mm is None else 1
        choices = [
            (
                f"{length_text(c.length_mm, design.units, digits=1)}{_off(c.off_mm, design)}\t"
                f"{counted(c.rows, 'row')}",
                partial(edits.set_size, rows=c.rows),
                c.rows == design.size.rows,
            )
            for c in length_choices(design, size, wave, wanted_mm=wanted_mm, step=step)
        ]
        self._open_choices(self.length_figure, "Change length", choices, wishes=True)

    def _design(self) -> Design | None:
        return self._results.design if self._results is not None else None

    def _open_choices(
        self,
        under: Figure,
        text: str,
        choices: Sequence[tuple[str, edits.Edit, bool]],
        *,
        wishes: bool = False,
    ) -> None:
        menu = QMenu(self)
        group = QActionGroup(menu)  # only one of them can hold
        for words, edit, current in choices:
            action = QAction(words, menu)
            action.setCheckable(True)
            action.setChecked(current)
            action.triggered.connect(partial(self._wish, text, edit))
            group.addAction(action)
            menu.addAction(action)
            if current:
                menu.setActiveAction(action)
        if wishes:
            menu.addSeparator()
            self._add_usual_sizes(menu)
            other = menu.addAction("Another size wanted…")
            place = "swatch length" if under is self.length_figure else "swatch"
            other.triggered.connect(lambda: self.page_wished.emit(place))
        menu.popup(under.mapToGlobal(under.rect().bottomLeft()))

    def _add_usual_sizes(self, menu: QMenu) -> None:
        """Add the usual sizes, each as the nearest repeats and rows come to it."""
        from core.editions import measures_in_size, proposed_sizes  # a window opens without them

        results = self._results
        if results is None:
            return
        usual = menu.addMenu("A &usual size")
        for size in proposed_sizes(results):
            measures = measures_in_size(results, size)
            if measures is None:
                continue
            wide, long = (length_text(mm, results.design.units) for mm in measures)
            action = usual.addAction(f"{size.name.capitalize()}\t{wide} by {long}")
            action.triggered.connect(
                partial(
                    self._wish,
                    f"Change size to {size.name}",
                    partial(edits.set_size, repeats=size.repeats, rows=size.rows),
                )
            )
        usual.menuAction().setEnabled(bool(usual.actions()))

    def _wish(self, text: str, edit: edits.Edit, checked: bool = False) -> None:
        del checked
        self.wish.emit(text, edit, None)

    def _open_number(
        self,
        under: Figure,
        label: str,
        value: int,
        most: int,
        about: str,
        step: Callable[[int], tuple[str, edits.Edit]],
    ) -> None:
        """Open a small frame with a number to change; every change shows at once."""
        popup = QFrame(self, Qt.WindowType.Popup)
        popup.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        popup.setProperty("slip", True)
        form = QFormLayout(popup)
        spin = QSpinBox(popup)
        bare_line(spin)
        spin.setRange(1, most)
        spin.setValue(value)
        spin.setAccessibleName(label)
        gesture = object()

        def change(number: int) -> None:
            text, edit = step(number)
            self.wish.emit(text, edit, gesture)

        spin.valueChanged.connect(change)
        form.addRow(label, spin)
        if about:
            note = QLabel(about, popup)
            note.setWordWrap(True)
            note.setMaximumWidth(320)
            form.addRow(note)
        self._popup = popup
        popup.destroyed.connect(self._forget_popup)
        popup.move(under.mapToGlobal(under.rect().bottomLeft()))
        popup.show()
        spin.setFocus()
        spin.selectAll()

    def _forget_popup(self) -> None:
        self._popup = None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Close an open editor with Escape."""
        if event.key() == Qt.Key.Key_Escape and self._popup is not None:
            self._popup.close()
        else:
            super().keyPressEvent(event)


def _off(off_mm: float | None, design: Design) -> str:
    """Return the difference from the wish, in brackets, if there is a wish."""
    if off_mm is None:
        return ""
    apart = length_text(abs(off_mm), design.units, digits=1)
    return f" ({apart} {'more' if off_mm > 0 else 'less'} than wanted)"
