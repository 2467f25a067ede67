"""How long the event loop stands still while a peak is dragged on a giant blanket, in blits.

Real mouse moves take hold of a peak; a timer of no delay notes when it comes round. Gaps are
processor time of the whole process: what its other threads take from the window's counts, what
other programs take doesn't.
"""

import time

from tests.benchmarks.measure import blit_cpu_s

# ruff: isort: split
import tempfile
from pathlib import Path

from PySide6.QtCore import QPoint, QSettings, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.assets import DEMO
from app.session import Session
from app.theme import Theme
from app.window import Window
from core.design import edits
from core.design.files import read_design

_MOVES, _MOVE_S, _RESTS_S = 40, 0.025, 4.0


def drag_gaps():
    """Return the waits between the loop's rounds while a peak is dragged, in seconds."""
    application = QApplication.instance()
    design = edits.set_size(read_design(DEMO), repeats=33, rows=300)
    with tempfile.TemporaryDirectory() as folder:
        settings = QSettings(str(Path(folder) / "x.ini"), QSettings.Format.IniFormat)
        session, theme = Session(design), Theme()
        window = Window(session, theme, settings)
        window.resize(1366, 768)
        window.show()
        until = time.perf_counter() + _RESTS_S
        while time.perf_counter() < until:
            application.processEvents()
            time.sleep(0.002)
        gaps, last = [], None

        def come_round():
            nonlocal last
            now = time.process_time()
            if last is not None:
                gaps.append(now - last)
            last = now

        timer = QTimer()
        timer.timeout.connect(come_round)
        timer.start(0)
        wave = window.wave
        marks, placing = wave._marks(), wave._placing()
        peak = next(mark for mark in marks if mark.kind == "peak")
        place = wave._at(peak, placing).toPoint()
        QTest.mousePress(wave, Qt.MouseButton.LeftButton, pos=place)
        for number in range(_MOVES):
            to = place - QPoint(0, 9 * (number % 7) - 18)
            QTest.mouseMove(wave, to)
            until = time.perf_counter() + _MOVE_S
            while time.perf_counter() < until:
                application.processEvents()
        QTest.mouseRelease(wave, Qt.MouseButton.LeftButton, pos=to)
        timer.stop()
        changed = session.design != design
        window.session.undo_stack.setClean()
        window.documents.may_leave = lambda: True
        window.close()
    assert changed, "the drag has changed nothing"
    return gaps


def measured():
    """Return the ratios by their names."""
    blit = blit_cpu_s()
    runs = [sorted(drag_gaps(), reverse=True) for _ in range(3)]
    return {
        "event loop, worst gap of a drag, giant": min(gaps[0] for gaps in runs) / blit,
        "event loop, usual gap of a move, giant": min(gaps[_MOVES // 2] for gaps in runs) / blit,
    }
