"""Every change of the open design is in its journal within a second; its file isn't touched.

The journal is written off the GUI thread, the newest state at a time. It is removed when the
design is saved, or given up on purpose; what a crash leaves is offered at the next start.
"""

import time
from functools import partial
from pathlib import Path
from typing import Final
from uuid import uuid4

from PySide6.QtCore import QLockFile, QObject, QTimer, Signal

from app.keeping.jobs import Jobs
from app.session import Session
from core.design import disk
from core.design.document import Design
from core.design.files import design_bytes
from core.design.journal import SUFFIX, Journal, Record

DELAY_MS: Final = 300
"""From a change until it is written; what is changed meanwhile is written with it."""
AGAIN_MS: Final = 10_000
"""From a failure to write until it is tried again, if nothing is changed before."""


class Autosave(QObject):
    """Follows a session and keeps its journal."""

    troubled = Signal(object)  # the error: changes can't be kept aside
    written = Signal()

    def __init__(
        self, session: Session, jobs: Jobs, folder: Path, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._session = session
        self._jobs = jobs
        self._folder = folder
        self._journal: Journal | None = None
        self._lock: QLockFile | None = None
        self._is_writing = False
        self._is_stale = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(DELAY_MS)
        self._timer.timeout.connect(self.write)
        self._again = QTimer(self)  # after a failure: room may be made, a drive come back
        self._again.setSingleShot(True)
        self._again.setInterval(AGAIN_MS)
        self._again.timeout.connect(self.write)
        session.design_changed.connect(self._on_changed)
        session.opened.connect(self._on_opened)

    @property
    def is_pending(self) -> bool:
        """Whether something is changed that isn't in the journal yet."""
        return self._timer.isActive() or self._is_writing

    def _on_changed(self) -> None:
        if not self._timer.isActive():  # not put off by further changes
            self._timer.start()

    def _on_opened(self) -> None:
        """Begin anew; a design that no file holds is kept aside before anything changes in it."""
        self.clear()
        if not self._session.is_saved:
            self._timer.start()

    def write(self) -> None:
        """Write what is shown to the journal."""
        if self._is_writing:
            self._is_stale = True
            return
        journal = self._own_journal()
        self._is_writing, self._is_stale = True, False
        self._again.stop()
        self._jobs.do(
            partial(_add, journal, self._session.design, self._session.path),
            lambda _: self._on_written(None),
            self._on_written,
        )

    def clear(self) -> None:
        """Forget the journal: its design is saved, given up, or another one is open."""
        self._timer.stop()
        self._again.stop()
        self._is_stale = False
        if self._journal is not None:
            self._jobs.do(partial(_clear, self._journal, self._lock), failed=self.troubled.emit)
        self._journal = self._lock = None

    def adopt(self, journal: Path) -> bool:
        """Go on with a journal that a crash left; return whether nobody else has it."""
        lock = locked(journal)
        if lock is None:
            return False
        self._timer.stop()
        self._journal, self._lock = Journal(journal), lock
        return True

    def _own_journal(self) -> Journal:
        if self._journal is None:
            path = self._folder / f"{uuid4().hex}{SUFFIX}"
            self._journal = Journal(path)
            try:
                disk.make_folder(self._folder)
                self._lock = locked(path)
            except OSError:
                self._lock = None  # the journal itself will say what is wrong
        return self._journal

    def _on_written(self, error: Exception | None) -> None:
        self._is_writing = False
        if error is None:
            self.written.emit()
        else:
            if self._journal is not None:  # otherwise there is nothing to keep aside any more
                self._again.start()
            self.troubled.emit(error)
        if self._is_stale:
            self._timer.start()


def locked(journal: Path) -> QLockFile | None:
    """Return the hold on a journal, or None if a running program has it.

    It is let go when its process ends, however that ends.
    """
    lock = QLockFile(str(journal.with_suffix(".lock")))
    lock.setStaleLockTime(0)  # age says nothing; a process that is gone does
    return lock if lock.tryLock(0) else None


def _add(journal: Journal, design: Design, path: Path | None) -> None:
    about = {
        "path": str(path) if path is not None else None,
        "title": design.title,
        "when": time.time(),
    }
    disk.make_folder(journal.path.parent)
    journal.add(Record(about, design_bytes(design)))


def _clear(journal: Journal, lock: QLockFile | None) -> None:
    try:
        journal.clear()
    finally:
        if lock is not None:
            lock.unlock()
