"""Python's garbage is collected on the window's thread and on no other.

Python collects wherever it happens to make something, in a worker as well. Among the garbage may
be widgets, timers and threads of the window's thread; taken down in another one they abort the
program (seen: a dialog of some time ago, collected while a search ran). So collecting by itself
is turned off, and a timer of the window's thread does it, at Python's own counts.
"""

import gc
from typing import Final

from PySide6.QtCore import QCoreApplication, QObject, Qt, QThread, QTimer
from PySide6.QtGui import QGuiApplication

_EVERY_MS: Final = 400


class Collecting(QObject):
    """Collects garbage now and then; the oldest only while no hand holds a mouse button."""

    def __init__(self, application: QCoreApplication) -> None:
        super().__init__(application)
        gc.disable()
        timer = QTimer(self)
        timer.setInterval(_EVERY_MS)
        timer.timeout.connect(self.look)
        timer.start()

    def spare(self) -> None:
        """Look no more at what is there by now: it stays as long as the program."""
        gc.freeze()

    def look(self) -> None:
        """Collect if there is enough to make it worth while."""
        due = [now > most for now, most in zip(gc.get_count(), gc.get_threshold(), strict=True)]
        if due[2] and QGuiApplication.mouseButtons() == Qt.MouseButton.NoButton:
            gc.collect()
        elif due[1] or due[2]:
            gc.collect(1)
        elif due[0]:
            gc.collect(0)


def collect_here() -> Collecting | None:
    """See to it that garbage is collected on the application's thread alone, from now on."""
    application = QCoreApplication.instance()
    if application is None or application.thread() is not QThread.currentThread():
        return None
    return application.findChild(Collecting) or Collecting(application)
