"""Whether a hand is changing the design just now: until it rests, views make do with drafts."""

from typing import Final

from PySide6.QtCore import QElapsedTimer, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QGuiApplication

_TOGETHER_MS: Final = 600  # changes that come faster belong to one movement
_RESTS_MS: Final = 120


class MovingHand(QObject):
    """Told of every change; says when no more has come for a while."""

    rests = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._since = QElapsedTimer()
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_RESTS_MS)
        self._rest.timeout.connect(self.rests)

    @property
    def is_moving(self) -> bool:
        """Whether changes follow each other, or a mouse button is held, and it doesn't rest."""
        return self._rest.isActive()

    @property
    def holds(self) -> bool:
        """Whether it holds a mouse button."""
        return QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton

    def moves(self) -> None:
        """Note a change."""
        soon = self._since.isValid() and self._since.elapsed() < _TOGETHER_MS
        self._since.start()
        if soon or self.holds:
            self._rest.start()
