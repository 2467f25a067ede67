"""Views that are painted in turns: one a round of the event loop, so that a hand isn't kept."""

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


def test_one_view_is_painted_in_each_round_in_the_order_they_asked(qtbot):
    log = []
    views = [View(name, log) for name in ("chart", "fabric", "side")]
    for view in views:
        qtbot.addWidget(view)
        view.show()
    qtbot.waitUntil(lambda: set(log) == {"chart", "fabric", "side"})
    qtbot.wait(50)
    log.clear()
    rounds = QTimer()
    rounds.timeout.connect(lambda: log.append("round"))
    turns = Turns()
    for view in (*views, views[0]):  # one that waits already keeps its turn
        turns.ask(view)
    rounds.start(0)
    qtbot.waitUntil(lambda: "side" in log)
    rounds.stop()
    qtbot.wait(20)
    assert [name for name in log if name != "round"] == ["chart", "fabric", "side"]
    between = log[log.index("chart") : log.index("fabric")], log[log.index("fabric") :]
    assert all(
        "round" in part[: part.index("side") if "side" in part else None] for part in between
    )


def test_what_the_hand_holds_is_painted_before_those_that_wait(qtbot):
    log = []
    views = [View(name, log) for name in ("chart", "fabric", "wave")]
    for view in views:
        qtbot.addWidget(view)
        view.show()
    qtbot.waitUntil(lambda: len(set(log)) == 3)
    qtbot.wait(50)
    log.clear()
    turns = Turns()
    turns.ask(views[0])
    turns.ask(views[1])
    turns.ask(views[2], first=True)
    qtbot.waitUntil(lambda: len(log) == 3)
    assert log == ["wave", "chart", "fabric"]
