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

    changed = Signal(object, object)  # Results, tuple of Finding
    errors = Signal(int)  # how many are open
    summed_up = Signal(str)  # how much there is to mend, in a few words
    failed = Signal(str)

    def __init__(self, live: LiveResults, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._work: LatestWins | None = None
        self._results: Results | None = None
        self.latest: tuple[Results, tuple[Finding, ...]] | None = None
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

    def _wait(self, results: Results) -> None:
        self._results = results
        self._pause.start()
        self._sum_up()

    def _begin(self) -> None:
        if self._work is None:
            self._work = LatestWins(_edit, self)
            self._work.finished.connect(self._tell)
            self._work.failed.connect(
                lambda error: self.failed.emit(f"The checks could not be gone through: {error}.")
            )
        self._work.submit(self._results)

    def _tell(self, made: tuple[Results, tuple[Finding, ...]]) -> None:
        self.latest = made
        self.changed.emit(*made)
        self.errors.emit(self.open_errors)
        self._sum_up()

    @property
    def open_errors(self) -> int:
        """How many errors the newest list has."""
        found = self.latest[1] if self.latest is not None else ()
        return sum(finding.level == "error" for finding in found)

    def _sum_up(self) -> None:
        if self._results is not None:
            now, later = self._results.findings, added_by(self.latest)
            self.summed_up.emit(sum_of(by_level((*now, *later))))


def added_by(latest: tuple[Results, tuple[Finding, ...]] | None) -> tuple[Finding, ...]:
    """Return what a whole list has beyond what is seen at once in its results."""
    if latest is None:
        return ()
    results, findings = latest
    return tuple(finding for finding in findings if finding not in results.findings)


def _edit(results: Results, should_stop: ShouldStop) -> tuple[Results, tuple[Finding, ...]]:
    from core.techedit.edit import tech_edit  # it reads patterns: a window opens without it

    return results, tech_edit(results, should_stop=should_stop)
