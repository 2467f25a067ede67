"""Slow work off the GUI thread: the newest request wins, and the window never waits."""

import threading
import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import Qt

from app.computing import LatestWins, LiveResults
from core.design import edits
from core.design.files import read_design
from core.errors import Stopped


@pytest.fixture
def make():
    made = []

    def _make(compute):
        made.append(LatestWins(compute))
        return made[-1]

    yield _make
    for worker in made:
        worker.close()


def _until_stopped(request, should_stop):
    while request == "forever":
        if should_stop():
            raise Stopped
        time.sleep(0.001)
    return request


def test_it_computes_off_the_calling_thread(make, qtbot):
    worker = make(lambda request, stop: threading.get_ident())
    with qtbot.waitSignal(worker.finished) as seen:
        worker.submit("who")
    assert seen.args[0] != threading.get_ident()


def test_a_newer_request_stops_the_running_one(make, qtbot):
    worker = make(_until_stopped)
    worker.submit("forever")
    with qtbot.waitSignal(worker.finished) as seen:
        worker.submit("newer")
    assert seen.args == ["newer"]


def test_it_works_after_a_cancel(make, qtbot):
    worker = make(_until_stopped)
    worker.submit("forever")
    worker.cancel()
    with qtbot.waitSignal(worker.finished) as seen:
        worker.submit("again")
    assert seen.args == ["again"]


def test_a_failure_is_handed_on(make, qtbot):
    def fail(request, should_stop):
        raise ValueError(request)

    worker = make(fail)
    with qtbot.waitSignal(worker.failed) as seen:
        worker.submit("bad")
    assert isinstance(seen.args[0], ValueError)


@given(st.lists(st.sampled_from(["forever", "quick", "cancel"]), max_size=12))
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_came_before_the_last_request_is_answered_and_only_it(qtbot, steps):
    worker, answers = LatestWins(_until_stopped), []
    worker.finished.connect(answers.append)
    for step in steps:
        if step == "cancel":
            worker.cancel()
        else:
            worker.submit(step)
    with qtbot.waitSignal(worker.finished, check_params_cb=lambda answer: answer == "last"):
        worker.submit("last")
    worker.close()
    assert answers[-1] == "last"
    assert answers.count("last") == 1


def test_results_come_at_once_and_settle_later(demo_path, qtbot):
    live, seen = LiveResults(), []
    live.changed.connect(seen.append)
    live.show(read_design(demo_path))
    assert len(seen) == 1
    assert not seen[0].fabric.settled
    qtbot.waitUntil(lambda: live.is_settled, timeout=20_000)
    assert seen[-1].design is seen[0].design
    live.close()


def test_a_new_colour_does_not_settle_the_fabric_again(demo_path, qtbot):
    live = LiveResults()
    design = read_design(demo_path)
    live.show(design)
    qtbot.waitUntil(lambda: live.is_settled, timeout=20_000)
    fabric = live.results.fabric
    live.show(edits.set_yarn(design, 0, colour="#123456"))
    assert live.results.fabric is fabric
    live.close()


def test_a_result_for_an_older_design_never_replaces_a_newer_one(demo_path, qtbot):
    live = LiveResults()
    design = read_design(demo_path)
    for repeats in (4, 5, 6, 7):
        live.show(edits.set_size(design, repeats=repeats))
    qtbot.waitUntil(lambda: live.is_settled, timeout=20_000)
    assert live.results.design.size.repeats == 7
    assert live.results.fabric.row_tops_mm(1).shape[0] == live.results.rows.makes(1)
    live.close()


def test_patient_work_waits_for_a_hand_that_holds_a_button(qtbot, monkeypatch):
    """The first request of a drag too: until the hand rests, only the newest counts."""

    class Held:
        mouseButtons = staticmethod(lambda: Qt.MouseButton.LeftButton)  # noqa: N815

    monkeypatch.setattr("app.computing.QGuiApplication", Held)
    done = []
    worker = LatestWins(lambda request, stop: done.append(request) or request, patient=True)
    worker.submit("first")
    qtbot.wait(20)
    assert worker.is_busy and done == []
    with qtbot.waitSignal(worker.finished) as seen:
        worker.submit("newest")
    worker.close()
    assert seen.args == ["newest"] and done == ["newest"]
