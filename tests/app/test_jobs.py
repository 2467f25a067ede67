"""Work that must all be done is done, whenever the thread behind it is stopped."""

import threading

import pytest

from app.keeping.jobs import Jobs


@pytest.mark.parametrize("warm", [False, True])
def test_what_was_asked_for_just_before_the_end_is_done_once(qtbot, warm):
    done = []
    for number in range(100):
        jobs = Jobs()
        if warm:
            jobs.do(lambda: None)
            qtbot.waitUntil(lambda jobs=jobs: not jobs.is_busy)
        for part in range(3):
            jobs.do(lambda number=number, part=part: done.append((number, part)))
        jobs.close()
    assert done == [(number, part) for number in range(100) for part in range(3)]


def test_what_fails_at_the_end_is_told_and_the_rest_is_done(qtbot):
    told, done = [], []

    def fail():
        raise OSError("no room")

    jobs = Jobs()
    jobs.do(lambda: None)
    qtbot.waitUntil(lambda: not jobs.is_busy)
    for _ in range(3):
        jobs.do(fail, failed=told.append)
    jobs.do(lambda: done.append(1))
    jobs.close()
    assert done == [1]
    assert {str(error) for error in told} == {"no room"}


def test_what_is_under_way_and_fails_as_the_end_comes_is_told(qtbot):
    told, begun, goes_on = [], threading.Event(), threading.Event()

    def fail():
        begun.set()
        goes_on.wait(10)
        raise OSError("no room")

    jobs = Jobs()
    jobs.do(fail, failed=told.append)
    assert begun.wait(10)
    threading.Timer(0.1, goes_on.set).start()
    jobs.close()
    assert [str(error) for error in told] == ["no room"]


def test_what_waits_is_dropped_where_it_isn_t_wanted(qtbot):
    done = []
    jobs = Jobs()
    for number in range(50):
        jobs.do(lambda number=number: done.append(number))
    jobs.close(finish=False)
    assert len(done) < 50
