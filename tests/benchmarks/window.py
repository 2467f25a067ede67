"""What editing and looking cost at three sizes, in blits: results, charts, fabric, moving.

Edits follow each other as a hand's do, so both pictures are drafts there: the fabric with fewer
pixels, a chart of more than 5000 stitches without its symbols. "First look" is the chart at rest.
"""

from tests.benchmarks.measure import in_blits

# ruff: isort: split
from PySide6.QtCore import QPoint
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QApplication

from app.assets import DEMO
from app.theme import Theme
from app.views.chart_view import ChartView
from app.views.fabric_view import FabricView
from core.chart.layout import lay_out
from core.design import edits
from core.design.files import read_design
from core.fabric.sheet import settle_fabric
from core.pipeline import Pipeline
from core.rows.build import build_rows
from core.rows.waves import wave_of, with_run

SIZES = {"baby": (5, 60), "bed": (11, 96), "giant": (33, 300)}

_EDIT = "edit a run to both pictures, whole"


class Case:
    """One blanket with its views."""

    def __init__(self, repeats, rows, theme):
        self.design = edits.set_size(read_design(DEMO), repeats=repeats, rows=rows)
        self.pipeline = Pipeline()
        self.results = self.pipeline.settled_results(self.design)
        self.chart, self.fabric = ChartView(theme), FabricView(theme)
        self.turn, self.window = 0, QPixmap(1400, 900)
        for view in (self.chart, self.fabric):
            view.resize(1400, 900)
            view.show_results(self.results)

    def close(self):
        self.fabric.close_worker()

    def edit(self):
        """Change a run, as dragging the wave does: rows, sketch and measures anew."""
        self.turn += 1
        shape = with_run(self.results.shape, 0, 4 + self.turn % 2)
        return self.pipeline.results(edits.set_wave(self.design, wave_of(shape)))

    def recolour(self):
        """Change one colour."""
        self.turn += 1
        return self.pipeline.results(
            edits.set_yarn(self.design, 0, colour=f"#{self.turn % 4096:06x}")
        )

    def show(self, results):
        for view in (self.chart, self.fabric):
            view.show_results(results)
            self.paint(view)

    def paint(self, view):
        """Paint a view whole into a picture that is there, as a window's are painted."""
        view.render(self.window, QPoint(0, 0))

    def pan(self):
        self.chart.pan(*((7, 3) if self.turn % 2 else (-7, -3)))
        self.turn += 1
        self.paint(self.chart)

    def chart_anew(self):
        self.chart._laid, self.chart._is_new = None, True
        self.chart._rows_picture.forget()
        self.chart.update()
        self.paint(self.chart)

    def show_strain(self):
        """Switch the strain on and wait until it has been worked out."""
        self.fabric.switches.strain.setChecked(True)
        self.paint(self.fabric)
        while self.fabric._strain.strain_of(self.results) is None:
            QApplication.processEvents()

    def strain_anew(self):
        """Paint the strain with nothing kept from before, over a picture that is kept."""
        self.fabric._strain._layer = None
        self.fabric.update()
        self.paint(self.fabric)

    def fabric_anew(self):
        self.fabric.renew()
        self.paint(self.fabric)


def _of(case):
    """Return what one blanket costs, by name."""
    design, results, chart, fabric = case.design, case.results, case.chart, case.fabric
    found = {
        "compile rows": in_blits(lambda: build_rows(design)),
        "settle": in_blits(lambda: settle_fabric(design, results.rows), 3),
        "lay out whole chart": in_blits(lambda: lay_out(design, results.rows, results.fabric), 3),
        "edit a run: results": in_blits(case.edit),
        "edit a colour: results": in_blits(case.recolour),
        "chart zoomed, first look": in_blits(case.chart_anew),
        "chart zoomed, moved": in_blits(case.pan, 25),
        "chart zoomed, painted again": in_blits(lambda: case.paint(chart), 25),
    }
    chart.show_all()
    found |= {
        "chart whole, first look": in_blits(case.chart_anew),
        "fabric, first picture": in_blits(case.fabric_anew),
        "fabric, painted again": in_blits(lambda: case.paint(fabric), 15),
        _EDIT: in_blits(lambda: case.show(case.edit())),
        "edit a colour to both pictures, whole": in_blits(lambda: case.show(case.recolour())),
    }
    fabric.show_results(results)
    case.show_strain()
    return found | {"strain, first look": in_blits(case.strain_anew)}


def measured():
    """Return the ratios by their names."""
    theme, found = Theme(), {}
    for size, (repeats, rows) in SIZES.items():
        case = Case(repeats, rows, theme)
        found |= {f"{name}, {size}": ratio for name, ratio in _of(case).items()}
        case.close()
    found["giant : baby, edit to both pictures"] = (
        found[f"{_EDIT}, giant"] / found[f"{_EDIT}, baby"]
    )
    return found
