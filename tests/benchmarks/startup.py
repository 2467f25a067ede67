"""Start-up and memory against a bare window of the same toolkit; no check, a table.

Run from the checkout: `python3 packaging/environment.py python tests/benchmarks/startup.py`.
Both are started in turn in processes of their own, from the command to the painted window, and
asked for their memory then. The demo is what the program opens.
"""

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TIMES = 9

_END = """
import os, time
for _ in range(50):
    application.processEvents()
    if painted():
        break
    time.sleep(0.001)
with open("/proc/self/status") as status:
    kb = next(int(line.split()[1]) for line in status if line.startswith("VmRSS"))
print(time.time() - float(os.environ["STARTED"]), kb / 1024, flush=True)
os._exit(0)
"""
BARE = """
from PySide6.QtWidgets import QApplication, QLabel, QMainWindow
application = QApplication([])
window = QMainWindow()
window.setCentralWidget(QLabel("Dipslope"))
window.resize(1280, 800)
window.show()
painted = lambda: window.isVisible()
application.processEvents()
"""
OURS = """
import sys
from PySide6.QtWidgets import QApplication
from PySide6.QtCore import QSettings
from app.assets import DEMO
from app.session import Session
from app.theme import Theme
from app.window import Window
from core.design.files import read_design
application = QApplication([])
theme = Theme()
theme.set_look("light")
design = read_design(DEMO)
session = Session(design)
session.open(design, None)
window = Window(session, theme, QSettings("/nonexistent.ini", QSettings.Format.IniFormat))
window.resize(1280, 800)
window.show()
application.processEvents()
painted = lambda: window.isVisible() and window.live.results is not None
"""


def once(program):
    """Return seconds and megabytes of one start."""
    environ = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}
    environ.pop("PYTHONDONTWRITEBYTECODE", None)  # as on the second start of an installed program
    environ["STARTED"] = str(time.time())
    command = [sys.executable, "-c", program + _END]
    done = subprocess.run(command, env=environ, capture_output=True, text=True, check=True)
    seconds, megabytes = done.stdout.split()[-2:]
    return float(seconds), float(megabytes)


def main():
    """Print the table."""
    found = {"bare": [], "ours": []}
    for number in range(TIMES + 1):
        for name, program in (("bare", BARE), ("ours", OURS)):
            measured = once(program)
            if number:  # the first fills the file cache
                found[name].append(measured)
    times = {name: statistics.median(m[0] for m in all_) for name, all_ in found.items()}
    memory = {name: statistics.median(m[1] for m in all_) for name, all_ in found.items()}
    print("command to painted window, and memory then: ours : a bare window")
    print(f"  start-up  {times['ours'] / times['bare']:6.2f} : 1   ({1e3 * times['bare']:.0f} ms)")
    print(f"  memory    {memory['ours'] / memory['bare']:6.2f} : 1   ({memory['bare']:.0f} MB)")


if __name__ == "__main__":
    main()
