"""A note in the status bar while the fabric is being settled, with a way to stop."""

from typing import Final

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QToolButton, QWidget

from app.theme import UNIT

_PATIENCE_MS: Final = 300  # shorter work isn't worth a flicker


class BusyNote(QWidget):
    """Says that stitches are settling and how far they are; hidden when nothing is."""

    stop_wished = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, UNIT, 0)
        row.setSpacing(UNIT)
        self._words = QLabel("Settling every stitch", self)
        self._bar = QProgressBar(self)
        self._bar.setRange(0, 100)
        self._bar.setTextVisible(False)
        self._bar.setFixedSize(12 * UNIT, UNIT)
        self._bar.setAccessibleName("Settling every stitch")
        self._stop = QToolButton(self)
        self._stop.setText("Stop")
        self._stop.setToolTip("Leave the fabric as it is shown; it is right to a part of a stitch")
        self._stop.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._stop.clicked.connect(self.stop_wished)
        row.addStretch(1)
        for widget in (self._words, self._bar, self._stop):
            row.addWidget(widget)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(_PATIENCE_MS)
        self._timer.timeout.connect(self.show)
        self.hide()

    def show_busy(self, busy: bool) -> None:
        """Begin or end; what ends soon is never shown."""
        if not busy:
            self._timer.stop()
            self.hide()
        elif not self.isVisible() and not self._timer.isActive():
            self._bar.setValue(0)
            self._timer.start()

    def show_share(self, share: float) -> None:
        """Show how much of the work is done, 0 to 1."""
        self._bar.setValue(round(100 * share))
