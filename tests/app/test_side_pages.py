"""Side pages are made when wanted, and show what is newest to whoever sees or asks for them."""

import subprocess
import sys
import time

import pytest

from app import computing
from app.computing import LatestWins
from app.side_pages import TITLES
from core.design import edits


@pytest.fixture
def window(open_window):
    return open_window(size=(1280, 720), settled=False)


def test_no_page_is_made_before_it_is_wanted(window):
    assert not any(window.pages.is_made(name) for name in TITLES)
    window.show_page(window.pages.index("edging"))
    assert [name for name in TITLES if window.pages.is_made(name)] == ["edging"]
    assert window.edging.isVisible()


def test_tabs_say_what_pages_are_called(window):
    for name, title in TITLES.items():
        assert window.pages.page(name).title == title
        assert window.pages.index(window.pages.page(name)) == window.pages.index(name)


def test_a_page_that_nobody_sees_is_newest_when_asked_for(window):
    page = window.checks
    window.session.change("Fewer rows", lambda design: edits.set_size(design, rows=20))
    assert page._results is not window.live.results
    assert window.checks is page
    assert page._results is window.live.results


def test_a_page_that_is_seen_follows_at_once(window):
    window.show_page(window.pages.index("checks"))
    page = window.pages.stack.currentWidget()
    window.session.change("Fewer rows", lambda design: edits.set_size(design, rows=20))
    assert page._results is window.live.results


def test_the_window_starts_without_what_it_does_not_need_yet():
    code = (
        "import sys, app.__main__, app.starting\n"
        "late = 'coloraide', 'pyqtgraph', 'core.reading.reading', 'core.booklet.contents', "
        "'app.booklet_dialog', 'app.export_dialog', 'app.views.pages.yarn', 'numpy.ma', "
        "'core.techedit.edit', 'app.headless', 'app.beside_dialog'\n"
        "print([name for name in late if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_patient_worker_waits_until_the_hand_rests(qtbot, monkeypatch):
    # long waits: on a busy machine a hand seems to rest between two of the test's requests
    monkeypatch.setattr(computing, "_HAND_MOVES_MS", 60_000)
    monkeypatch.setattr(computing, "_HAND_RESTS_MS", 2_000)
    computed = []

    def compute(request, should_stop):
        computed.append(request)
        return request

    worker = LatestWins(compute, patient=True)
    worker.submit(0)
    qtbot.waitUntil(lambda: computed == [0])
    for number in range(1, 8):
        worker.submit(number)
        until = time.perf_counter() + 0.02
        while time.perf_counter() < until:
            qtbot.wait(1)
        assert worker.is_busy
    with qtbot.waitSignal(worker.finished, timeout=20_000) as seen:
        pass
    worker.close()
    assert seen.args == [7]
    assert computed[-1] == 7 and len(computed) < 8
