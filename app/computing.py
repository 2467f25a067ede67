"""Slow work off the GUI thread, and the results that follow the open design.

Only the newest request matters: one thread for the program's life, one request waiting at
most, everything but the calculation itself on the GUI thread.
"""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Qt, QThread, Signal, Slot

from core.design.document import Design
from core.edging.plan import Ends
from core.errors import Stopped
from core.fabric.sheet import Fabric
from core.pipeline import Pipeline, Results, settle, settled_part

ShouldStop = Callable[[], bool]
Compute = Callable[[Any, ShouldStop], Any]


class _Worker(QObject):
    done = Signal(int, object, object)  # request number, result, error

    def __init__(self, compute: Compute, newest: Callable[[], int]) -> None:
        super().__init__()
        self._compute = compute
        self._newest = newest

    @Slot(int, object)
    def run(self, number: int, request: object) -> None:
        """Compute one request and say what came of it."""
        try:
            result = self._compute(request, lambda: number != self._newest())
        except Exception as error:  # handed on to the GUI thread
            self.done.emit(number, None, error)
        else:
            self.done.emit(number, result, None)


class LatestWins(QObject):
    """Computes one request at a time and keeps at most one waiting: the newest.

    A newer request replaces the waiting one and asks the running one to stop; a result that
    comes too late is dropped. Call everything from the GUI thread; signals arrive there too.
    """

    finished = Signal(object)  # result of the newest request
    failed = Signal(object)  # its exception, if it raised one

    _start = Signal(int, object)

    def __init__(self, compute: Compute, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._newest = 0
        self._waiting: object | None = None
        self._busy = False
        self._thread = QThread(self)
        self._worker = _Worker(compute, lambda: self._newest)
        self._worker.moveToThread(self._thread)
        self._start.connect(self._worker.run, Qt.ConnectionType.QueuedConnection)
        self._worker.done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)
        self._thread.start()

    @property
    def is_busy(self) -> bool:
        """Whether a request that still matters is being computed or waits."""
        return self._busy or self._waiting is not None

    def submit(self, request: object) -> None:
        """Ask for `request` to be computed instead of anything asked for before."""
        self._newest += 1
        self._waiting = request
        self._start_waiting()

    def cancel(self) -> None:
        """Forget every request, running or waiting."""
        self._newest += 1
        self._waiting = None

    def close(self) -> None:
        """Stop the thread and wait for it; call before the application ends."""
        self.cancel()
        self._thread.quit()
        self._thread.wait()

    def _start_waiting(self) -> None:
        if self._waiting is not None and not self._busy:
            request, self._waiting = self._waiting, None
            self._busy = True
            self._start.emit(self._newest, request)

    @Slot(int, object, object)
    def _on_done(self, number: int, result: object, error: object) -> None:
        self._busy = False
        self._start_waiting()
        if number == self._newest and not isinstance(error, Stopped):
            if error is None:
                self.finished.emit(result)
            else:
                self.failed.emit(error)


class LiveResults(QObject):
    """Follows a design: quick results at once, settled ones as soon as they are there."""

    changed = Signal(object)  # Results
    busy_changed = Signal(bool)
    failed = Signal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pipeline = Pipeline()
        self._results: Results | None = None
        self._in_flight: object = None
        self._settling = LatestWins(_settle, self)
        self._settling.finished.connect(self._on_settled)
        self._settling.failed.connect(self._on_failed)

    @property
    def results(self) -> Results | None:
        """The newest results."""
        return self._results

    @property
    def is_settled(self) -> bool:
        """Whether the fabric shown, with its fill rows, has come to rest."""
        results = self._results
        return results is not None and results.fabric.settled and results.ends.settled

    def show(self, design: Design) -> None:
        """Compute `design` instead of whatever was shown."""
        self._tell(self._pipeline.results(design))
        if self._pipeline.needs_settling(design):
            part = settled_part(design)
            if not (self._settling.is_busy and part == self._in_flight):  # else it is under way
                self._in_flight = part
                self._settling.submit((design, self._pipeline.settled_fabric(design)))
            self.busy_changed.emit(True)
        else:
            self._settling.cancel()
            self.busy_changed.emit(False)

    def close(self) -> None:
        """Stop the thread behind it."""
        self._settling.close()

    def _on_settled(self, answer: tuple[Design, Fabric, Ends]) -> None:
        self._pipeline.take_settled(*answer)
        assert self._results is not None
        self._tell(self._pipeline.results(self._results.design))
        self.busy_changed.emit(False)

    def _on_failed(self, error: object) -> None:
        self.busy_changed.emit(False)
        self.failed.emit(f"The fabric could not be settled ({error}); its first sketch is shown.")

    def _tell(self, results: Results) -> None:
        self._results = results
        self.changed.emit(results)


def _settle(request: Any, should_stop: ShouldStop) -> tuple[Design, Fabric, Ends]:
    design, fabric = request
    return design, *settle(design, fabric, should_stop=should_stop)
