"""A line that is there while rows don't fit: what every panel's figures are then worth."""

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QToolButton, QWidget

from app.asking import plain_tip
from app.theme import UNIT, small
from app.views.figures import counted
from core.pipeline import Results


class BrokenLine(QWidget):
    """Names the row that doesn't fit, with the ways out; hidden while all rows fit."""

    checks_wished = Signal()
    undo_wished = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        font = small(self.font())
        self.words = QLabel(self)
        self.words.setProperty("trouble", True)
        self.words.setFont(font)
        self.words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.checks = self._button("See Checks", "Show what to mend, and go to its place")
        self.undo = self._button("Take it back", "Undo the last change (Ctrl+Z)")
        self.undo.setEnabled(False)
        self.checks.clicked.connect(self.checks_wished)
        self.undo.clicked.connect(self.undo_wished)
        row = QHBoxLayout(self)
        row.setContentsMargins(2 * UNIT, 0, 2 * UNIT, 4)
        row.setSpacing(UNIT)
        row.addWidget(self.words, 1)
        row.addWidget(self.checks)
        row.addWidget(self.undo)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Rows that don't fit")
        self.hide()

    def _button(self, text: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setFont(small(self.font()))
        button.setStyleSheet("QToolButton { padding: 1px 6px; }")
        return button

    def minimumSizeHint(self) -> QSize:
        """Return little width: the words give way."""
        return QSize(30 * UNIT, super().minimumSizeHint().height())

    def show_results(self, results: Results) -> None:
        """Say what these results are worth, if their rows don't fit."""
        misfit = results.rows.misfit
        self.setVisible(misfit is not None)
        if misfit is None:
            return
        below = "the foundation" if misfit.row == 1 else f"row {misfit.row - 1}"
        text = (
            f"⚠ Row {misfit.row} uses {misfit.uses} stitches, {below} has {misfit.available}. "
            f"Figures, words and yarn are of {counted(results.rows.drawn_rows, 'row')} "
            f"of {results.design.size.rows} until it is mended."
        )
        self.words.setText(text)
        self.words.setToolTip(plain_tip(text))
        self.setAccessibleDescription(text)
