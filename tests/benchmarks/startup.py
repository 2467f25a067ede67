"""Start-up and memory against bare windows of the same toolkit.

Each program is started in turn in processes of its own, from the command to the painted window,
and asked for its memory then; ours is asked again when everything that is made in spare moments
is there. Ours goes the program's own way in, with nothing kept from before, so that it opens the
demo. The best of the runs counts: other work on the machine only ever adds to it.
"""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

_END = """
import os, time
def megabytes():
    with open("/proc/self/status") as status:
        return next(int(line.split()[1]) for line in status if line.startswith("VmRSS")) / 1024
until = time.time() + 20
while not painted() and time.time() < until:
    application.processEvents()
took, at_once = time.time() - float(os.environ["STARTED"]), megabytes()
until = time.time() + rest
while time.time() < until:
    application.processEvents()
    time.sleep(0.002)
print(took, at_once, megabytes(), flush=True)
os._exit(0)
"""
_BARE = """
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow
class Window(QMainWindow):
    was_painted = False
    def paintEvent(self, event):
        super().paintEvent(event)
        self.was_painted = True
application = QApplication([])
window = Window()
window.setCentralWidget(QLabel("Dipslope"))
window.resize(1280, 800)
window.show()
painted, rest = lambda: window.was_painted, 0.0
"""
_OURS = """
import gc
gc.disable()  # as the program does
import app.__main__
from PySide6.QtCore import QEvent, QObject
from app.starting import open_window
application, window = open_window(None)
class Watch(QObject):
    seen = set()
    def eventFilter(self, view, event):
        if event.type() == QEvent.Type.Paint:
            self.seen.add(view)
        return False
watch = Watch()
views = {window.chart, window.fabric, window.wave, window.strip}
for view in views:
    view.installEventFilter(watch)
window.showNormal()
window.resize(1280, 800)  # as the bare windows are
painted, rest = lambda: watch.seen == views, 4.0
"""
PROGRAMS = {"bare": _BARE, "numpy": "import numpy\n" + _BARE, "ours": _OURS}


def once(program, home):
    """Return seconds, megabytes when painted and megabytes after a rest of one start.

    What the program keeps goes into the folder `home`.
    """
    environ = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    environ |= {"HOME": home, "XDG_CONFIG_HOME": home, "XDG_DATA_HOME": home}
    environ["OPENBLAS_NUM_THREADS"] = "1"  # as in the program
    environ.pop("PYTHONDONTWRITEBYTECODE", None)  # as on the second start of an installed program
    environ["STARTED"] = str(time.time())
    command = [sys.executable, "-c", program + _END]
    done = subprocess.run(command, env=environ, capture_output=True, text=True, check=True)
    return tuple(map(float, done.stdout.split()[-3:]))


def measured(times=9):
    """Return the ratios by their names."""
    found = {name: [] for name in PROGRAMS}
    for number in range(times + 1):
        for name, program in PROGRAMS.items():
            with tempfile.TemporaryDirectory() as home:
                one = once(program, home)
            if number:  # the first fills the file cache
                found[name].append(one)
    best = {name: [min(part) for part in zip(*runs, strict=True)] for name, runs in found.items()}
    bare, with_numpy, ours = best["bare"], best["numpy"], best["ours"]
    return {
        "start-up : bare window": ours[0] / bare[0],
        "start-up : bare window and numpy": ours[0] / with_numpy[0],
        "memory, painted : bare window": ours[1] / bare[1],
        "memory, painted : bare window and numpy": ours[1] / with_numpy[1],
        "memory, at rest : bare window": ours[2] / bare[1],
    }


def main():
    """Print the table."""
    for name, ratio in measured().items():
        print(f"{name:44} {ratio:8.2f}")


if __name__ == "__main__":
    main()
