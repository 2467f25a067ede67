"""Garbage is collected on the window's thread alone, wherever it was made."""

import gc
import threading
from weakref import ref

from app.collecting import Collecting
from app.computing import LatestWins

SOON = 20_000


class Ring:
    """Something that only the collector can take down."""

    def __init__(self):
        self.myself = self


def test_a_worker_that_makes_garbage_never_collects_it(qtbot, qapp):
    where, made = set(), []

    def note(phase, info):
        if phase == "start":
            where.add(threading.get_ident())

    def compute(request, should_stop):
        rings = [Ring() for _ in range(60_000)]  # far above every threshold
        made.append(ref(rings[0]))
        return threading.get_ident()

    worker, answers = LatestWins(compute), []
    worker.finished.connect(answers.append)
    gc.callbacks.append(note)
    try:
        worker.submit(0)
        qtbot.waitUntil(lambda: bool(answers), timeout=SOON)
        assert made[0]() is not None or where == {threading.get_ident()}
        qtbot.waitUntil(lambda: made[0]() is None, timeout=SOON)
    finally:
        gc.callbacks.remove(note)
        worker.close()
    assert answers[0] != threading.get_ident()
    assert where == {threading.get_ident()}


def test_there_is_one_that_collects(qapp):
    workers = [LatestWins(lambda request, should_stop: request) for _ in range(3)]
    assert len(qapp.findChildren(Collecting)) == 1
    assert not gc.isenabled()
    for worker in workers:
        worker.close()
