"""How long things take, as ratios to a plain blit in the same run; no check, a table.

Run from the checkout: `python3 packaging/environment.py python tests/benchmarks/ratios.py`.
A blit draws a ready picture of 1400 x 900 pixels into another; what the window shows is painted
at that size too.
"""

import os
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.assets import DEMO
from app.theme import Theme
from app.views.chart_view import ChartView
from app.views.fabric_view import FabricView
from core.design import edits
from core.design.files import read_design
from core.pipeline import Pipeline
from core.rows.build import build_rows
from core.rows.waves import wave_of, with_run

SIZES = {"baby": (5, 60), "throw": (11, 96), "giant": (33, 300)}


def milliseconds(do, repeats=7):
    """Return the median time of `do` in ms; the first call is not counted."""
    do()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        do()
        times.append(time.perf_counter() - start)
    return 1e3 * statistics.median(times)


def blit_ms():
    """Return the time of one blit."""
    form = QImage.Format.Format_RGB32
    source, target = QImage(1400, 900, form), QImage(1400, 900, form)

    def blit():
        with QPainter(target) as painter:
            painter.drawImage(0, 0, source)

    return milliseconds(blit, 50)


class Case:
    """One blanket with its views."""

    def __init__(self, repeats, rows, theme):
        self.design = edits.set_size(read_design(DEMO), repeats=repeats, rows=rows)
        self.pipeline = Pipeline()
        self.results = self.pipeline.settled_results(self.design)
        self.chart, self.fabric = ChartView(theme), FabricView(theme)
        self.turn = 0
        for view in (self.chart, self.fabric):
            view.resize(1400, 900)
            view.show_results(self.results)

    def edit(self):
        """Change a run, as dragging the wave does: rows, sketch and measures anew."""
        self.turn += 1
        shape = with_run(self.results.shape, 0, 4 + self.turn % 2)
        return self.pipeline.results(edits.set_wave(self.design, wave_of(shape)))

    def recolour(self):
        """Change one colour."""
        self.turn += 1
        colour = f"#{self.turn % 4096:06x}"
        return self.pipeline.results(edits.set_yarn(self.design, 0, colour=colour))

    def paint_chart(self):
        """Paint the chart with nothing kept from before."""
        self.chart._sheet = None
        self.chart._rows_picture.forget()
        self.chart.update()
        self.chart.grab()

    def paint_chart_again(self):
        """Paint the chart with what is kept of its symbols."""
        self.chart.update()
        self.chart.grab()

    def paint_fabric(self):
        """Paint the fabric's first picture."""
        self.fabric.renew()
        self.fabric.grab()

    def show_strain(self, application):
        """Switch the strain on and wait until it has been worked out."""
        self.fabric.switches.strain.setChecked(True)
        self.fabric.grab()
        while self.fabric._strain.strain_of(self.results) is None:
            application.processEvents()

    def paint_strain(self):
        """Paint the strain with nothing kept from before, over a picture that is kept."""
        self.fabric._strain._layer = None
        self.fabric.update()
        self.fabric.grab()

    def show_edit(self):
        """Edit and show it, up to both pictures."""
        results = self.edit()
        for view in (self.chart, self.fabric):
            view.show_results(results)
            view.grab()


def main():
    """Print the table."""
    application = QApplication([])
    theme = Theme()
    blit = blit_ms()
    print(f"blit of 1400 x 900: {blit:.3f} ms; everything below in blits")
    print(f"{'':32}" + "".join(f"{name:>10}" for name in SIZES))
    cases = [Case(*size, theme) for size in SIZES.values()]
    tasks = {
        "compile rows": lambda case: build_rows(case.design),
        "edit a run: results": Case.edit,
        "edit a colour: results": Case.recolour,
        "paint chart, first look": Case.paint_chart,
        "paint chart again (pan)": Case.paint_chart_again,
        "paint fabric, first picture": Case.paint_fabric,
        "edit to both pictures": Case.show_edit,
    }
    for name, task in tasks.items():
        times = [milliseconds(lambda case=case, task=task: task(case)) / blit for case in cases]
        print(f"{name:32}" + "".join(f"{value:10.1f}" for value in times))
    for case in cases:
        case.chart.show_all()
        case.chart.show_results(case.results)
    times = [milliseconds(case.paint_chart) / blit for case in cases]
    print(f"{'paint whole chart':32}" + "".join(f"{value:10.1f}" for value in times))
    for case in cases:
        case.show_strain(application)
    times = [milliseconds(case.paint_strain) / blit for case in cases]
    print(f"{'paint strain, first look':32}" + "".join(f"{value:10.1f}" for value in times))
    for case in cases:
        case.fabric.close_worker()
    del application


if __name__ == "__main__":
    main()
