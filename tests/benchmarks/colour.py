"""What seeing the fabric otherwise costs, as ratios to a blit in the same run; no check, a table.

Run from the checkout: `python3 packaging/environment.py python -m tests.benchmarks.colour`.
"""

import numpy as np

from tests.benchmarks.measure import blit_ms, milliseconds  # sets the platform first

# ruff: isort: split
from PySide6.QtCore import QEventLoop, QTimer
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from app.assets import DEMO
from app.theme import Theme
from app.views import fabric_far
from app.views.fabric_view import FabricView
from app.views.pages.colour import ColourPage
from core.design.files import read_design
from core.palette.cluster import colours_of
from core.palette.neighbours import merging, separated
from core.palette.sight import Sight
from core.pipeline import Pipeline
from core.stripes.sequence import worked_stripes


def rest(ms):
    """Let timers and threads come round."""
    loop = QEventLoop()
    QTimer.singleShot(ms, loop.quit)
    loop.exec()


def main():
    """Print the table."""
    app = QApplication([])
    theme, blit = Theme(), blit_ms()
    results = Pipeline().settled_results(read_design(DEMO))
    view = FabricView(theme)
    view.resize(1400, 900)
    view.show()
    view.show_results(results)
    target = QImage(view.size(), QImage.Format.Format_RGB32)

    def paint():
        with QPainter(target) as painter:
            view._paint_picture(painter, results, view._fabric_px())

    def anew():
        view._far._kept = None
        paint()

    def row(words, ms):
        print(f"{words:58} {ms:8.2f} ms  {ms / blit:7.1f} blits")

    print(f"a blit of 1400 x 900: {blit:.3f} ms")
    for distance in ("near", "room", "squint", "garden", "phone"):
        view.colours.set_distance(distance)
        paint()
        rest(1500)
        row(f"picture painted again, {distance}", milliseconds(paint))
        if distance != "near":
            row(f"  first answer on the GUI thread, {distance}", milliseconds(anew))
            rest(1500)
            light, colour = view.colours.blur_px(results.size.width_mm, view.placing.scale)
            pixels = np.zeros((900, 1400, 4), np.uint8)
            job = fabric_far._Job(None, pixels, light, colour)
            row(
                f"  in the thread, {distance}",
                milliseconds(lambda job=job: fabric_far._make(job, lambda: False), 3),
            )
    view.colours.set_distance("near")
    for kind in ("plain", "grey", "deutan", "dusk"):
        view.colours.set_sight(Sight(kind))
        paint()
        rest(800)
        row(f"picture painted again, {kind}", milliseconds(paint))
    page = ColourPage(theme)
    page.resize(320, 700)
    page.show()
    page.show_results(results)

    def show():
        page._seen_part = None
        page._show()

    row("Colour page brought up to date", milliseconds(show))
    design = results.design
    colours = [yarn.colour for yarn in design.yarns]
    worked = worked_stripes(design.stripes, design.size.rows)
    row("neighbours that merge", milliseconds(lambda: merging(colours, worked)))
    row("a colour that stands apart", milliseconds(lambda: separated("#808080", "#848484")))
    noise = np.random.default_rng(1).integers(0, 256, (256, 256, 4)).astype(np.uint8)
    row("12 colours of a picture, in the thread", milliseconds(lambda: colours_of(noise, 12), 3))
    view.close_worker()
    app.processEvents()


if __name__ == "__main__":
    main()
