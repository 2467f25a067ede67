"""Colours that are proposed, each with the yarn that would stand for it."""

from collections.abc import Sequence
from functools import partial
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT, Theme, small
from app.views.colour_editor import ColourWell
from app.views.figures import counted, number
from app.views.pages.fields import ChoiceField, longest_of
from core.design.document import Design, Yarn
from core.palette.stash import NEAR, matches, nearest
from core.palette.take import Choice
from core.palette.words import colour_words
from core.records import Struct

_NEW: Final = "new"
_NONE: Final = "none"
_EACH: Final = 4  # yarns offered of those owned and of the others


class Proposed(Struct, frozen=True):
    """A colour to be proposed, with the part of a picture that has it, if it is from one."""

    colour: str
    share: float | None = None


class ProposalList(QWidget):
    """Rows of colour, words and choice; what a person chose stays while colours change."""

    changed = Signal()
    pointed = Signal(int)  # a row that was chosen

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._yarns: tuple[Yarn, ...] = ()
        self._shown: tuple[Proposed, ...] = ()
        self._chosen: list[str] = []  # keys, one a row
        self._own: list[bool] = []  # whether a person chose it
        self._body = QWidget()
        self._grid = QGridLayout(self._body)
        self._grid.setContentsMargins(0, 0, UNIT, 0)
        self._grid.setHorizontalSpacing(UNIT)
        self._grid.setVerticalSpacing(UNIT // 2)
        self._grid.setColumnStretch(3, 1)
        self._grid.setAlignment(Qt.AlignmentFlag.AlignTop)
        scroll = QScrollArea(self)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidgetResizable(True)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(self._body)
        self._body.setAutoFillBackground(False)
        scroll.viewport().setAutoFillBackground(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(scroll)
        self.rows: list[_Row] = []

    def show_proposals(
        self, proposed: Sequence[Proposed], yarns: Sequence[Yarn], *, anew: bool
    ) -> None:
        """Show colours; `anew` forgets what was chosen for the ones before."""
        self._yarns, self._shown = tuple(yarns), tuple(proposed)
        count = len(proposed)
        if anew or count != len(self._chosen):
            self._own = [False] * count
            self._chosen = [_NEW] * count
        found = matches([one.colour for one in proposed], self._yarns)
        for place, match in enumerate(found):
            if not self._own[place]:
                self._chosen[place] = _NEW if match is None else str(match.yarn)
        while len(self.rows) < count:
            self._add_row()
        for place, row in enumerate(self.rows):
            row.set_visible(place < count)
            if place < count:
                row.show_proposal(proposed[place], self._yarns, self._chosen[place])
        self.changed.emit()

    def choices(self) -> tuple[Choice, ...]:
        """Return the palette: numbers of yarns and new colours; a yarn twice counts once."""
        found: list[Choice] = []
        for one, key in zip(self._shown, self._chosen, strict=True):
            choice: Choice = one.colour if key == _NEW else int(key) if key.isdigit() else ""
            if choice != "" and choice not in found:
                found.append(choice)
        return tuple(found)

    def mark(self, place: int) -> None:
        """Show which row is in hand."""
        for number_, row in enumerate(self.rows):
            row.number.setChecked(number_ == place)

    def _add_row(self) -> None:
        place = len(self.rows)
        row = _Row(place, self._grid, self._theme)
        row.choice.changed.connect(partial(self._on_choice, place))
        row.number.clicked.connect(partial(self._on_number, place))
        self.rows.append(row)

    def _on_choice(self, place: int, key: str, _: object = None) -> None:
        self._chosen[place], self._own[place] = key, True
        self.rows[place].show_proposal(self._shown[place], self._yarns, key)
        self.changed.emit()

    def _on_number(self, place: int, _: bool = False) -> None:
        self.mark(place)
        self.pointed.emit(place)


class _Row:
    """The widgets of one proposal, set into the list's grid."""

    def __init__(self, place: int, grid: QGridLayout, theme: Theme) -> None:
        self.number = QToolButton()
        self.number.setText(str(place + 1))
        self.number.setCheckable(True)
        self.number.setToolTip(f"Take point {place + 1} in hand")
        self.well = ColourWell(theme)
        self.words = QLabel()
        self.words.setFont(small(self.words.font()))
        self.words.setWordWrap(True)
        self.words.setMinimumWidth(16 * UNIT)
        self.choice = ChoiceField(f"What stands for colour {place + 1}", ())
        self.choice.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._widgets: tuple[QWidget, ...] = (self.number, self.well, self.words, self.choice)
        for column, widget in enumerate(self._widgets):
            grid.addWidget(widget, place, column)

    def set_visible(self, visible: bool) -> None:
        """Show the row or put it away."""
        for widget in self._widgets:
            widget.setVisible(visible)

    def show_proposal(self, proposed: Proposed, yarns: Sequence[Yarn], key: str) -> None:
        """Show a colour and what was chosen for it."""
        colour, words = proposed.colour, colour_words(proposed.colour)
        share = "" if proposed.share is None else f", {_percent(proposed.share)}"
        self.words.setText(f"{words[0].upper()}{words[1:]}{share}")
        self.words.setToolTip(colour)
        offers = list(nearest(colour, yarns))
        offered = [match for match in offers if match.owned][:_EACH]
        offered += [match for match in offers if not match.owned][:_EACH]
        if key.isdigit() and int(key) not in [match.yarn for match in offered]:
            offered += [match for match in offers if match.yarn == int(key)]
        self.choice.clear()
        for match in offered:
            owned = "own: " if match.owned else "in the list: "
            far = "" if match.apart <= NEAR else ", far"
            self.choice.addItem(
                f"{owned}{yarns[match.yarn].name}, {number(match.apart, 1)} apart{far}",
                str(match.yarn),
            )
        self.choice.addItem("a new yarn", _NEW)
        self.choice.addItem("leave it out", _NONE)
        self.choice.show_value(key)
        there = yarns[int(key)].colour if key.isdigit() else colour
        self.well.show_colour(*((colour,) if key == _NONE else (colour, there)))
        self.choice.setToolTip("The yarn for this colour; how far apart by CIEDE2000")
        self.number.setAccessibleName(f"Point {self.number.text()}: {words}{share}")


def take_words(choices: Sequence[Choice], *, recolour: bool) -> str:
    """Return what taking these choices does; nothing if it does nothing."""
    new = sum(isinstance(choice, str) for choice in choices)
    if recolour and choices:
        return f"Recolour, add {counted(new, 'yarn')}" if new else "Recolour the stripes"
    return f"Add {counted(new, 'new yarn')}" if new else ""


def too_many(choices: Sequence[Choice], yarns: Sequence[Yarn]) -> str:
    """Return a sentence if a design can't hold so many yarns more."""
    most = longest_of(Design, "yarns")
    over = len(yarns) + sum(isinstance(choice, str) for choice in choices) - most
    if over <= 0:
        return ""
    return f"⚠ A design holds {most} yarns: leave {over} of the new ones out."


def _percent(share: float) -> str:
    return f"{number(100 * share)}\u00a0%" if share >= 0.01 else "under 1\u00a0%"
