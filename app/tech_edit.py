"""The tech edit of the open design, made off the GUI thread whenever it has come to rest."""

from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.computing import LatestWins, LiveResults, ShouldStop
from core.checks.findings import Finding, by_level
from core.pipeline import Results
from core.techedit.listing import sum_of

_PAUSE_MS: Final = 250  # after the last change: nothing is reread in the middle of a drag


class TechEdit(QObject):
    """Follows the results; says the whole list when it is drawn up."""

    changed = Signal()  # there is more to say, or less
    errors = Signal(int)  # how many are open
    summed_up = Signal(str)  # how much there is to mend, in a few words
    failed = Signal(str)

    def __init__(self, live: LiveResults, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._work: LatestWins | None = None
        self._results: Results | None = None
        self._later: tuple[Finding, ...] = ()  # what a whole list has beyond what is seen at once
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(self._begin)
        live.changed.connect(self._wait)
        live.closed.connect(self.close)

    @property
    def is_busy(self) -> bool:
        """Whether a newer list is still to come."""
        return self._pause.isActive() or (self._work is not None and self._work.is_busy)

    def close(self) -> None:
        """Stop the thread behind it."""
        self._pause.stop()
        if self._work is not None:
            self._work.close()
            self._work = None

    def findings_of(self, results: Results) -> tuple[Finding, ...]:
        """Return what is known of results, errors first.

        For the open design what was drawn up last stays until there is a newer list; of any other,
        such as a variant that is looked at, only what is seen at once is known.
        """
        is_open = self._results is not None and results.design is self._results.design
        return by_level((*results.findings, *(self._later if is_open else ())))

    def forget(self) -> None:
        """Say nothing more of the design before: another one is open."""
        if self._work is not None:
            self._work.cancel()
        self._later = ()
        self._say()

    def _wait(self, results: Results) -> None:
        self._results = results
        self._pause.start()
        self._count()  # who shows results lists them anew anyhow

    def _begin(self) -> None:
        if self._work is None:
            self._work = LatestWins(_edit, self)
            self._work.finished.connect(self._tell)
            self._work.failed.connect(
                lambda error: self.failed.emit(f"The checks could not be gone through: {error}.")
            )
        self._work.submit(self._results)

    def _tell(self, made: tuple[Results, tuple[Finding, ...]]) -> None:
        results, findings = made
        self._later = tuple(found for found in findings if found not in results.findings)
        self._say()

    @property
    def open_errors(self) -> int:
        """How many errors are known."""
        found = self.findings_of(self._results) if self._results is not None else ()
        return sum(finding.level == "error" for finding in found)

    def _say(self) -> None:
        self.changed.emit()
        self._count()

    def _count(self) -> None:
        if self._results is not None:
            self.errors.emit(self.open_errors)
            self.summed_up.emit(sum_of(self.findings_of(self._results)))


def _edit(results: Results, should_stop: ShouldStop) -> tuple[Results, tuple[Finding, ...]]:
    from core.techedit.edit import whole_list  # with the reader of rows: not for the start

    return results, whole_list(results, should_stop=should_stop)
