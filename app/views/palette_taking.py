"""The end of every way to a palette: its colours as yarns, and taking them."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.theme import UNIT, Theme
from app.views.pages.fields import Tick
from app.views.proposals import ProposalList, Proposed, take_words, too_many
from core.design.document import Yarn
from core.palette.take import take_palette


class PaletteTaking(QWidget):
    """Proposed yarns, whether the stripes take them, and the buttons below."""

    taken = Signal(str, object)  # what is done, as an edit
    left = Signal()

    def __init__(self, theme: Theme, recolour: str, parent: QWidget) -> None:
        super().__init__(parent)
        self._yarns: Sequence[Yarn] = ()
        self.list = ProposalList(theme, self)
        self.list.changed.connect(self._follow)
        self.over = QLabel(self)
        self.over.setWordWrap(True)
        self.recolour = Tick(recolour, self)
        self.recolour.box.setToolTip("Each yarn of the sequence gives way to one of these, in turn")
        self.recolour.changed.connect(lambda _: self._follow())
        self.take_button = QPushButton("Take", self)
        self.take_button.setProperty("primary", True)
        self.take_button.setToolTip("New yarns go to the end of the list; one step to undo")
        self.take_button.clicked.connect(self.take)
        close = QPushButton("Close", self)
        close.setAutoDefault(False)
        close.setToolTip("Leave the yarns as they are (Esc)")
        close.clicked.connect(self.left)
        buttons = QHBoxLayout()
        buttons.setSpacing(UNIT)
        buttons.addStretch(1)
        buttons.addWidget(close)
        buttons.addWidget(self.take_button)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(UNIT)
        self._column.addWidget(self.list, 1)
        self._column.addWidget(self.over)
        self._column.addWidget(self.recolour)
        self._column.addLayout(buttons)
        self._follow()

    def put_under_list(self, widget: QWidget) -> None:
        """Let a widget stand under the list of yarns."""
        self._column.insertWidget(1, widget)

    def show_proposals(
        self, proposed: Sequence[Proposed], yarns: Sequence[Yarn], *, anew: bool
    ) -> None:
        """Offer yarns for these colours, beside the design's own; `anew` forgets choices."""
        self._yarns = yarns
        self.list.show_proposals(list(proposed), tuple(yarns), anew=anew)

    def take(self) -> None:
        """Say what is taken."""
        choices, recolour = self.list.choices(), self.recolour.box.isChecked()
        text = take_words(choices, recolour=recolour)
        self.taken.emit(text, partial(take_palette, choices=choices, recolour=recolour))

    def _follow(self) -> None:
        choices = self.list.choices()
        over = too_many(choices, tuple(self._yarns))
        words = take_words(choices, recolour=self.recolour.box.isChecked())
        self.take_button.setEnabled(bool(words) and not over)
        self.take_button.setText(words or "Nothing to add")
        self.over.setText(over)
        self.over.setVisible(bool(over))
