"""Slow work off the GUI thread, and the results that follow the open design.

Only the newest request matters: one thread for the program's life, one request waiting at
most, everything but the calculation itself on the GUI thread.
"""

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QElapsedTimer, QObject, Qt, QThread, QTimer, Signal, Slot
from PySide6.QtGui import QGradient, QGuiApplication

from app.collecting import collect_here
from core.design.document import Design
from core.edging.plan import Ends, fills_part
from core.errors import Stopped
from core.fabric.sheet import Fabric
from core.pipeline import Pipeline, Results, SettlingWork, fabric_part, settle

_HAND_MOVES_MS: Final = 600  # requests that come faster belong to one movement
_HAND_RESTS_MS: Final = 120
_LATE_MS: Final = 20
_OPENING_MS: Final = 30  # a window that opens has painted itself by then

QGradient.Preset  # noqa: B018 - made here: two threads that paint first made half of it each

ShouldStop = Callable[[], bool]
Progress = Callable[[float], None]
Compute = Callable[[Any, ShouldStop], Any]
ComputeTelling = Callable[[Any, ShouldStop, Progress], Any]


class _Worker(QObject):
    done = Signal(int, object, object)  # request number, result, error
    got_on = Signal(int, float)  # request number, share of the work done

    def __init__(self, compute: ComputeTelling, newest: Callable[[], int]) -> None:
        super().__init__()
        self._compute = compute
        self._newest = newest

    @Slot(int, object)
    def run(self, number: int, request: object) -> None:
        """Compute one request and say what came of it."""
        told = -1.0

        def tell(share: float) -> None:
            nonlocal told
            if share >= told + 0.01:  # a hundred signals are enough
                told = share
                self.got_on.emit(number, share)

        try:
            result = self._compute(request, lambda: number != self._newest(), tell)
        except Exception as error:  # handed on to the GUI thread
            self.done.emit(number, None, error)
        else:
            self.done.emit(number, result, None)


class LatestWins(QObject):
    """Computes one request at a time and keeps at most one waiting: the newest.

    A newer request replaces the waiting one and asks the running one to stop; a result that
    comes too late is dropped. Call everything from the GUI thread; signals arrive there too.

    With `patient`, requests that follow each other as fast as a hand moves, or are made while it
    holds a mouse button, wait until it rests:
    the window's thread and this one would only keep each other from working.
    """

    finished = Signal(object)  # result of the newest request
    failed = Signal(object)  # its exception, if it raised one
    progressed = Signal(float)  # share of the newest request's work that is done

    _start = Signal(int, object)

    def __init__(
        self,
        compute: Compute | None = None,
        parent: QObject | None = None,
        *,
        telling: ComputeTelling | None = None,
        patient: bool = False,
    ) -> None:
        super().__init__(parent)
        if telling is None:
            assert compute is not None
            quiet = compute

            def telling(request: Any, should_stop: ShouldStop, progress: Progress) -> Any:
                return quiet(request, should_stop)

        self._newest = 0
        self._waiting: object | None = None
        self._busy = False
        self._since = QElapsedTimer()  # since the last request, if it is patient
        self._was_late = False
        self._patience: QTimer | None = None
        if patient:
            self._patience = QTimer(self)
            self._patience.setSingleShot(True)
            self._patience.setInterval(_HAND_RESTS_MS)
            self._patience.timeout.connect(self._on_rested)
        collect_here()
        self._thread = QThread(self)
        self._worker = _Worker(telling, lambda: self._newest)
        self._worker.moveToThread(self._thread)
        self._start.connect(self._worker.run, Qt.ConnectionType.QueuedConnection)
        self._worker.done.connect(self._on_done, Qt.ConnectionType.QueuedConnection)
        self._worker.got_on.connect(self._on_got_on, Qt.ConnectionType.QueuedConnection)
        self._thread.start()

    @property
    def is_busy(self) -> bool:
        """Whether a request that still matters is being computed or waits."""
        return self._busy or self._waiting is not None

    def submit(self, request: object) -> None:
        """Ask for `request` to be computed instead of anything asked for before."""
        self._newest += 1
        self._waiting = request
        if self._patience is not None:
            soon = self._since.isValid() and self._since.elapsed() < _HAND_MOVES_MS
            holds = QGuiApplication.mouseButtons() != Qt.MouseButton.NoButton
            self._since.start()
            if soon or holds:
                self._was_late = False
                self._patience.start()
                return
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

    def _on_rested(self) -> None:
        """Begin, unless it was the window that kept the hand waiting: then give it time once."""
        assert self._patience is not None
        late = self._since.elapsed() > _HAND_RESTS_MS + _LATE_MS
        if late and not self._was_late:
            self._was_late = True
            self._patience.start()
        else:
            self._start_waiting()

    def _start_waiting(self) -> None:
        if self._patience is not None and self._patience.isActive():
            return
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

    @Slot(int, float)
    def _on_got_on(self, number: int, share: float) -> None:
        if number == self._newest:
            self.progressed.emit(share)


class LiveResults(QObject):
    """Follows a design: quick results at once, better ones as soon as they are there."""

    changed = Signal(object)  # Results
    busy_changed = Signal(bool)
    progressed = Signal(float)  # share of the exact settling that is done
    failed = Signal(str)
    closed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pipeline = Pipeline()
        self._results: Results | None = None
        self._in_flight: object = None
        self._held = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(_OPENING_MS)
        self._soon.timeout.connect(self._let_go)
        self._settling = LatestWins(parent=self, telling=_settle, patient=True)
        self._settling.finished.connect(self._on_settled)
        self._settling.failed.connect(self._on_failed)
        self._settling.progressed.connect(self.progressed)

    @property
    def results(self) -> Results | None:
        """The newest results."""
        return self._results

    @property
    def is_settled(self) -> bool:
        """Whether the fabric shown, with its fill rows, has come to rest."""
        results = self._results
        return results is not None and results.fabric.settled and results.ends.settled

    @property
    def is_busy(self) -> bool:
        """Whether a better fabric is being computed."""
        return self._settling.is_busy

    def hold(self) -> None:
        """Ask for no better fabric for a moment of the event loop: a window opens first."""
        self._held = True
        self._soon.start()

    def _let_go(self) -> None:
        self._held = False
        if self._results is not None:
            self._go_on(self._results.design)

    def show(self, design: Design) -> None:
        """Compute `design` instead of whatever was shown."""
        self._tell(self._pipeline.results(design))
        self._go_on(design)

    def stop(self) -> None:
        """Leave the fabric as it is shown."""
        self._settling.cancel()
        self._in_flight = None
        self.busy_changed.emit(False)

    def close(self) -> None:
        """Stop the thread behind it."""
        self._settling.close()
        self.closed.emit()

    def _go_on(self, design: Design) -> None:
        """Ask for the next better fabric, unless it is under way or there is none."""
        if self._held:
            return
        work = self._pipeline.work(design)
        if work is None:
            self._settling.cancel()
            self._in_flight = None
        else:
            part = fabric_part(design), work.start, work.only_ends and fills_part(design)
            if not (self._settling.is_busy and part == self._in_flight):
                self._in_flight = part
                self._settling.submit(work)
        self.busy_changed.emit(work is not None)

    def _on_settled(self, answer: tuple[Design, Fabric, Ends | None]) -> None:
        self._pipeline.take_settled(*answer)
        assert self._results is not None
        shown = self._results.design
        self._tell(self._pipeline.results(shown))
        self._go_on(shown)

    def _on_failed(self, error: object) -> None:
        self.busy_changed.emit(False)
        self.failed.emit(f"The fabric could not be settled ({error}); what is there is shown.")

    def _tell(self, results: Results) -> None:
        self._results = results
        self.changed.emit(results)


def _settle(
    work: SettlingWork, should_stop: ShouldStop, progress: Progress
) -> tuple[Design, Fabric, Ends | None]:
    return work.design, *settle(work, should_stop=should_stop, progress=progress)
