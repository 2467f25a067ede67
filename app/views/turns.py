"""Views that are painted one after another while a hand waits: between two it may move on."""

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QWidget


class Turns(QObject):
    """Lets one view be painted in each round of the event loop, in the order they asked."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: list[QWidget] = []
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._next)

    def ask(self, view: QWidget, *, first: bool = False) -> None:
        """Have a view painted when its turn comes; one that waits already keeps its turn.

        With `first` it is painted before those that wait.
        """
        if view not in self._waiting:
            self._waiting.insert(0 if first else len(self._waiting), view)
        self._soon.start()

    def _next(self) -> None:
        if self._waiting:
            self._waiting.pop(0).update()
            self._soon.start()
