"""Views that are painted in turns: one a round of the event loop, so that a hand isn't kept."""

from itertools import pairwise

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget

from app.views.turns import Turns


class View(QWidget):
    def __init__(self, name, log):
        super().__init__()
        self._name, self._log = name, log
        self.resize(40, 30)

    def paintEvent(self, event):
        self._log.append(self._name)


@pytest.fixture
def log():
    """The names of the views in the order they were painted."""
    return []


@pytest.fixture
def shown(qtbot, log):
    """Return three views that have been painted and rest."""
    views = [View(name, log) for name in ("chart", "fabric", "wave")]
    for view in views:
        qtbot.addWidget(view)
        view.show()
    qtbot.waitUntil(lambda: len(set(log)) == 3)
    qtbot.wait(50)
    log.clear()
    return views


def test_one_view_is_painted_in_each_round_in_the_order_they_asked(qtbot, log, shown):
    rounds = QTimer()
    rounds.timeout.connect(lambda: log.append("round"))
    turns = Turns()
    for view in (*shown, shown[0]):  # one that waits already keeps its turn
        turns.ask(view)
    rounds.start(0)
    qtbot.waitUntil(lambda: "wave" in log)
    rounds.stop()
    qtbot.wait(20)
    assert [name for name in log if name != "round"] == ["chart", "fabric", "wave"]
    places = [log.index(name) for name in ("chart", "fabric", "wave")]
    assert all("round" in log[one:other] for one, other in pairwise(places))


def test_what_the_hand_holds_is_painted_before_those_that_wait(qtbot, log, shown):
    chart, fabric, wave = shown
    turns = Turns()
    turns.ask(chart)
    turns.ask(fabric)
    turns.ask(wave, first=True)
    qtbot.waitUntil(lambda: len(log) == 3)
    assert log == ["wave", "chart", "fabric"]
