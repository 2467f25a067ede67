"""Figures as curves, in a window that follows the design."""

import numpy as np
import pytest
from PySide6.QtGui import QGuiApplication
from some import some

from app.assets import DEMO
from app.curves_dialog import CurvesDialog, plots_of
from app.theme import Theme
from core.design import edits
from core.design.files import read_design
from core.fabric.curves import repeat_curves
from core.pipeline import Pipeline


@pytest.fixture(scope="module")
def pipeline():
    return Pipeline()


@pytest.fixture(scope="module")
def results(pipeline):
    return pipeline.results(read_design(DEMO))


@pytest.fixture
def dialog(qtbot, results):
    dialog = CurvesDialog(Theme())
    qtbot.addWidget(dialog)
    dialog.show_results(results)
    dialog.show()
    return dialog


def lines_in(dialog):
    import pyqtgraph

    plot = dialog.tabs.currentWidget().findChild(pyqtgraph.PlotWidget)
    return plot.getPlotItem().listDataItems()


def test_what_is_plotted_is_what_the_model_says(dialog, results):
    (line,) = lines_in(dialog)
    assert np.allclose(line.getData()[1], repeat_curves(results.fabric.steady).lean_deg)


def test_every_tab_is_drawn_when_it_is_looked_at(dialog):
    for number, plot in some(enumerate(plots_of(dialog._results))):
        dialog.tabs.setCurrentIndex(number)
        assert len(lines_in(dialog)) == len(plot.curves)


def test_the_figures_can_be_copied_as_a_table(dialog, results):
    dialog.tabs.setCurrentIndex(dialog.tabs.count() - 1)
    dialog.copy_button.click()
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0] == "Row\tWidth"
    assert len(lines) == 2 + results.rows.drawn_rows


def test_an_edit_is_plotted_when_the_hand_rests(dialog, pipeline, results, qtbot):
    longer = edits.set_size(results.design, rows=40)
    dialog.tabs.setCurrentIndex(dialog.tabs.count() - 1)
    dialog.show_results(pipeline.results(longer))
    qtbot.waitUntil(lambda: len(lines_in(dialog)[0].getData()[1]) == 41)


def test_rows_that_do_not_fit_have_no_width_to_plot(results):
    items = results.design.wave.row
    wave = edits.set_wave(
        results.design,
        type(results.design.wave)(items.start, items.repeat[:-1], items.end),
    )
    assert all(plot.title != "Width by row" for plot in plots_of(Pipeline().results(wave)))
