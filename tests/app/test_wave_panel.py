"""The wave and its tools share a band: neither lies over the other, at rest or in hand."""

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
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


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.key)
def test_a_wave_that_would_reach_into_a_corner_is_drawn_below_it(panel, family):
    show(panel, family, 1240, 180)
    band = panel.band

    def places():
        return [band._at(mark, band._placing()).toPoint() for mark in band._marks()]

    band.keep_free(QRect())
    highest = min(places(), key=lambda at: at.y())
    away = QRect(band.width() - 60, 0, 50, 10)
    band.keep_free(away)
    assert highest in places()  # nothing is there: the wave is as large as it can be
    corner = QRect(highest.x() - 60, 4, 120, min(max(highest.y() - 4, 30), 46))
    band.keep_free(corner)
    assert not [at for at in places() if corner.adjusted(-6, -6, 6, 6).contains(at)]
    assert all(band.rect().contains(at) for at in places())


def test_the_tools_say_what_they_cover(panel):
    show(panel, FAMILIES[0], 1240, 180)
    assert panel.tools.parentWidget() is panel.band
    assert panel.band._corner == panel.tools.geometry() and not panel.band._corner.isEmpty()


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
