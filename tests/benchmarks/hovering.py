"""What it costs to point at a stitch, in milliseconds and in blits of the same run; no check.

Run from the checkout: `python3 packaging/environment.py python -m tests.benchmarks.hovering`.
"""

import tempfile
from pathlib import Path

from tests.benchmarks.measure import blit_ms, milliseconds  # sets the platform first

# ruff: isort: split
from PySide6.QtCore import QPointF, QSettings
from PySide6.QtWidgets import QApplication

from app.assets import DEMO
from app.session import Session
from app.theme import Theme
from app.window import Window
from core.design import edits
from core.design.files import read_design

SIZES = {"baby": (5, 60), "throw": (11, 96), "400 x 300": (33, 300)}


class Case:
    """One blanket in a window, with a hand that goes from stitch to stitch."""

    def __init__(self, application, repeats, rows):
        self.application = application
        design = edits.set_size(read_design(DEMO), repeats=repeats, rows=rows)
        name = str(Path(tempfile.mkdtemp()) / "settings.ini")
        settings = QSettings(name, QSettings.Format.IniFormat)
        self.window = Window(Session(design), Theme(), settings)
        self.window.resize(1600, 1000)
        self.window.show()
        self.window.show_page(2)
        while not self.window.live.is_settled:
            application.processEvents()
        self.window.chart.show_all()
        self.settle()
        self.turn = 0

    def settle(self):
        """Let everything be painted that waits for it."""
        for _ in range(40):
            self.application.processEvents()

    def point(self, view):
        """Find the stitch under a hand that has moved on."""
        self.turn += 1
        box = view.rect()
        x = box.width() * (0.3 + 0.017 * (self.turn % 20))
        y = box.height() * (0.3 + 0.013 * (self.turn % 30))
        return view.stitch_at(QPointF(x, y))

    def hover(self, view):
        """Point, and tell every view; no painting yet."""
        self.window.linking.selecting.point(*self.point(view))

    def hover_and_paint(self, view):
        """Point, and let everything be painted."""
        self.hover(view)
        self.application.processEvents()

    def repaint(self, view):
        """Paint a view anew, as each hover once did."""
        view.update()
        self.application.processEvents()

    def close(self):
        self.window.session.undo_stack.setClean()
        self.window.close()


def main():
    """Print the table."""
    application = QApplication([])
    blit = blit_ms()
    print(f"blit of 1400 x 900: {blit:.3f} ms; below in ms (blits)")
    print(f"{'':34}" + "".join(f"{name:>18}" for name in SIZES))
    cases = [Case(application, *size) for size in SIZES.values()]
    tasks = {
        f"{what}, {name}": (task, name)
        for name in ("chart", "fabric")
        for what, task in (
            ("find the stitch", Case.point),
            ("tell all views", Case.hover),
            ("and paint them", Case.hover_and_paint),
            ("(paint the view anew)", Case.repaint),
        )
    }
    for title, (task, name) in tasks.items():
        line = f"{title:34}"
        for case in cases:
            view = getattr(case.window, name)
            case.window.linking.selecting.point(-1, -1)
            case.settle()
            took = milliseconds(lambda case=case, task=task, view=view: task(case, view), 60)
            line += f"{took:10.2f} ({took / blit:4.1f})"
        print(line)
    for case in cases:
        case.close()


if __name__ == "__main__":
    main()
