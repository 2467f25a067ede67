"""What every benchmark shares: a blit to count by, and the best of many runs.

Times are processor times of this thread, so that others on the machine hardly matter, and each
task is timed between blits of its own. A blit draws a ready picture of 1400 x 900 pixels into
another.
"""

import os
import statistics
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
os.environ["QT_QPA_PLATFORM"] = "offscreen"

import app  # noqa: F401  (sets how many threads linear algebra has, before numpy is loaded)

# ruff: isort: split
from PySide6.QtGui import QImage, QPainter

FORM = QImage.Format.Format_RGB32
_SOURCE, _TARGET = QImage(1400, 900, FORM), QImage(1400, 900, FORM)
_BLITS = 10


def _blits():
    with QPainter(_TARGET) as painter:
        for _ in range(_BLITS):
            painter.drawImage(0, 0, _SOURCE)


def cpu_s(do):
    """Return the processor time that `do` takes on this thread."""
    start = time.thread_time()
    do()
    return time.thread_time() - start


def in_blits(do, times=7, before=lambda: None):
    """Return what `do` costs in blits: its best run over the best blit between the runs.

    `before` is done before each run and not counted; the first run is not counted either.
    """
    before()
    do()
    runs, blits = [], []
    for _ in range(times):
        blits.append(cpu_s(_blits) / _BLITS)
        before()
        runs.append(cpu_s(do))
    return min(runs) / min(blits)


def blit_cpu_s():
    """Return the best processor time of one blit just now."""
    return min(cpu_s(_blits) for _ in range(30)) / _BLITS


def milliseconds(do, repeats=7):
    """Return the median processor time of `do` in ms; the first call is not counted."""
    do()
    return 1e3 * statistics.median(cpu_s(do) for _ in range(repeats))


def blit_ms():
    """Return the median processor time of one blit in ms."""
    return milliseconds(_blits, 9) / _BLITS
