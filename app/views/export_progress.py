"""How far a long export is, and a way to stop it."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QWidget

from app.theme import UNIT

_WIDE = 20 * UNIT


class ExportProgress(QWidget):
    """A line that says what is going on; while files are written a bar and Stop beside it."""

    stopped = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._said = QLabel(self)
        self._said.setTextFormat(Qt.TextFormat.PlainText)
        self._said.setProperty("quiet", "true")
        self._said.setAccessibleName("State of the export")
        self.bar = QProgressBar(self)
        self.bar.setRange(0, 100)
        self.bar.setTextVisible(False)
        self.bar.setFixedWidth(_WIDE)
        self.bar.setFixedHeight(UNIT)
        self.bar.setAccessibleName("How much is written")
        self.bar.setToolTip("How much is written")
        self.stop = QPushButton("S&top", self)
        self.stop.setAutoDefault(False)
        self.stop.setToolTip("Stop the export; no file is changed")
        self.stop.clicked.connect(self.stopped)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        row.addWidget(self._said, 1)
        row.addWidget(self.bar)
        row.addWidget(self.stop)
        self.show_writing(is_writing=False)

    @property
    def text(self) -> str:
        """What is said."""
        return self._said.text()

    def say(self, text: str) -> None:
        """Say what is going on."""
        self._said.setText(text)

    def show_writing(self, *, is_writing: bool) -> None:
        """Show bar and Stop while files are written."""
        self.bar.setValue(0)
        self.bar.setVisible(is_writing)
        self.stop.setVisible(is_writing)

    def show_share(self, share: float) -> None:
        """Show how much of the files is there."""
        self.bar.setValue(round(100 * share))
        self.say(f"Writing… {share:.0%}")
