"""Work off the GUI thread that must all be done, one job after another, none dropped."""

from collections import deque
from collections.abc import Callable
from typing import Any, cast

from PySide6.QtCore import QObject

from app.computing import LatestWins, ShouldStop
from core.records import Struct

Work = Callable[[], Any]


class _Job(Struct, eq=False):
    work: Work
    then: Callable[[Any], object] | None
    failed: Callable[[Exception], object] | None
    has_begun: bool = False  # set by the thread, read when that has ended; so is what follows
    error: Exception | None = None


class Jobs(QObject):
    """Does jobs in the order they come; the thread starts with the first one."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: deque[_Job] = deque()
        self._at_work: _Job | None = None
        self._worker: LatestWins | None = None
        self._is_closed = False

    @property
    def is_busy(self) -> bool:
        """Whether a job is being done or waits."""
        return self._at_work is not None or bool(self._waiting)

    def do(
        self,
        work: Work,
        then: Callable[[Any], object] | None = None,
        failed: Callable[[Exception], object] | None = None,
    ) -> None:
        """Do `work` after all that came before; its outcome arrives on the GUI thread."""
        if self._is_closed:
            return
        self._waiting.append(_Job(work, then, failed))
        self._go_on()

    def close(self, *, finish: bool = True) -> None:
        """Stop the thread; jobs still waiting are done here and now, or dropped."""
        self._is_closed = True
        if self._worker is not None:
            self._worker.close()
        handed = self._at_work
        if handed is not None and handed.error is not None and handed.failed is not None:
            handed.failed(handed.error)  # the signal that says it comes too late
        left = [*self._waiting]
        if handed is not None and not handed.has_begun:  # the thread ended before it came to it
            left.insert(0, handed)
        for job in left if finish else ():
            try:
                job.work()
            except Exception as error:  # nobody is left to be told, but the others are done
                if job.failed is not None:
                    job.failed(error)
        self._waiting.clear()
        self._at_work = None

    def _go_on(self) -> None:
        if self._at_work is not None or not self._waiting:
            return
        if self._worker is None:
            self._worker = LatestWins(_do, self)
            self._worker.finished.connect(self._on_done)
            self._worker.failed.connect(self._on_failed)
        self._at_work = self._waiting.popleft()
        self._worker.submit(self._at_work)

    def _on_done(self, outcome: object) -> None:
        job, self._at_work = self._at_work, None
        self._go_on()
        if job is not None and job.then is not None:
            job.then(outcome)

    def _on_failed(self, error: object) -> None:
        job, self._at_work = self._at_work, None
        self._go_on()
        if job is not None and job.failed is not None:
            job.failed(cast("Exception", error))


def _do(job: Any, should_stop: ShouldStop) -> Any:
    del should_stop
    job.has_begun = True
    try:
        return job.work()
    except Exception as error:
        job.error = error
        raise
