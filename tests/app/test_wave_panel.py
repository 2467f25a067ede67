"""The wave and its tools share a band: neither lies over the other, at rest or in hand."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from app.views.wave_panel import WavePanel
from core.pipeline import Pipeline
from core.rows.starters import starter
from core.rows.waves import FAMILIES

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def panel(theme, qtbot):
    panel = WavePanel(theme)
    qtbot.addWidget(panel)
    panel.show()
    return panel


def show(panel, family, width, height):
    panel.resize(width, height)
    panel.band.show_results(Pipeline().settled_results(starter(family)))
    panel.layout().activate()


@pytest.mark.parametrize("size", [(950, 176), (1240, 180), (1400, 200), (2200, 300)])
@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
def test_no_mark_lies_under_the_tools(panel, family, size):
    show(panel, family, *size)
    tools = panel.tools.geometry()
    assert panel.tools.parentWidget() is panel.band and tools.right() > 0.8 * panel.band.width()
    placing = panel.band._placing()
    for mark in panel.band._marks():
        assert not tools.contains(panel.band._at(mark, placing).toPoint())


def test_the_tools_make_way_for_a_mark_that_is_dragged(panel):
    show(panel, FAMILIES[0], 1240, 180)
    band, tools = panel.band, panel.tools
    marks, placing = band._marks(), band._placing()
    peak = next(mark for mark in marks if mark.kind == "peak")
    at = band._at(peak, placing).toPoint()
    QTest.mousePress(band, LEFT, pos=at)
    assert tools.isVisible()  # a click moves nothing
    QTest.mouseMove(band, at - QPoint(0, 40))
    assert not tools.isVisible()
    QTest.mouseRelease(band, LEFT, pos=at - QPoint(0, 40))
    assert tools.isVisible()
