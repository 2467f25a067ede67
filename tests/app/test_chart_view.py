"""The chart on screen: its numbers, what is seen first, and copying it."""

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QObject
from PySide6.QtGui import QContextMenuEvent, QGuiApplication, QImage
from PySide6.QtWidgets import QMenu

from app.chart_copy import SVG_TYPE, ChartCopy
from app.views.chart_view import ChartView
from core.design.edits import set_size, set_values
from core.pipeline import Pipeline
from core.rows.choices import with_slant
from core.rows.starters import starter
from core.rows.waves import FAMILIES, shape_of, wave_of


@pytest.fixture
def chart(qtbot, theme, results):
    view = ChartView(theme)
    qtbot.addWidget(view)
    view.resize(420, 360)
    view.show_results(results)
    return view


def labels_of(view):
    """Row numbers as they were painted: row, left, top, right and bottom in the view."""
    view.grab()
    return [(shown.row, *shown.box.getCoords()) for shown in view.numbers.shown]


@pytest.mark.parametrize("scale", [0.5, 2.0, 6.0])
def test_row_numbers_are_never_cut_off(chart, scale):
    chart.zoom(scale)
    for _ in range(4):
        chart.pan(37, 23)
        labels = labels_of(chart)
        assert labels
        for _, left, top, right, bottom in labels:
            assert 0 <= left < right <= chart.width()
            assert 0 <= top < bottom <= chart.height()


def test_the_whole_blanket_is_numbered_as_densely_as_can_be_read(qtbot, theme, ripple):
    view = ChartView(theme)
    qtbot.addWidget(view)
    view.resize(420, 360)
    view.show_results(Pipeline().results(replace(ripple, size=replace(ripple.size, rows=200))))
    view.show_all()
    labels = labels_of(view)
    rows = [label[0] for label in labels]
    assert rows[0] == 1
    assert len(rows) > 5
    steps = {b - a for a, b in pairwise(rows[1:])}
    assert len(steps) == 1
    assert steps.pop() in (10, 20, 50)
    for first, second in pairwise(labels[1:]):  # the same side: no overlap
        assert second[4] <= first[2]


@pytest.mark.parametrize("hand", ["right", "left"])
def test_one_repeat_is_marked_in_the_first_view(qtbot, theme, hand):
    design = set_values(set_size(starter(FAMILIES[0]), repeats=11, rows=96), hand=hand)
    view = ChartView(theme)
    qtbot.addWidget(view)
    view.resize(560, 480)
    view.show_results(Pipeline().results(design))
    view.grab()
    (words,) = (text for text in view._sheet.texts if text.text.startswith("repeat"))
    bracket = view.placing.points(view._sheet.lines_mm[3 * len(view._labels) :]).reshape(-1, 2)
    assert bracket[:, 0].min() >= 0 and bracket[:, 0].max() <= view.width()
    foot = view.placing.y - view.placing.scale * words.y_mm
    assert foot + view.fontMetrics().height() < view.height()


def test_waves_that_slant_are_in_view_at_first(qtbot, theme):
    design = starter(FAMILIES[0])
    shape = with_slant(shape_of(design.wave), 2)
    results = Pipeline().results(set_values(design, wave=wave_of(shape)))
    view = ChartView(theme)
    qtbot.addWidget(view)
    view.resize(500, 420)
    view.show_results(results)
    placing = view.placing
    x = placing.points(view.fabric.row_tops_mm(1))[:, 0]
    seen = (x > 0) & (x < view.width())
    assert seen.sum() * view.fabric.size.width_mm * placing.scale > 0.6 * view.width()


def test_the_chart_offers_to_be_copied_and_exported(qtbot, chart):
    place = chart.rect().center()
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, place, chart.mapToGlobal(place))
    chart.contextMenuEvent(event)
    (menu,) = chart.findChildren(QMenu)
    words = [action.text() for action in menu.actions()]
    assert any("Copy the chart" in text for text in words)
    with qtbot.waitSignal(chart.copy_wished):
        menu.actions()[0].trigger()
    menu.close()


def test_copying_puts_picture_and_svg_on_the_clipboard(qtbot, results):
    parent = QObject()
    copying = ChartCopy(parent)
    with qtbot.waitSignal(copying.said, timeout=20_000) as said:
        copying.copy(results, straight=False)
    assert "on the clipboard" in said.args[0]
    data = QGuiApplication.clipboard().mimeData()
    image = QImage(data.imageData())
    root = ET.fromstring(bytes(data.data(SVG_TYPE).data()))
    wide, high = (float(number) for number in root.get("viewBox").split()[2:])
    assert image.height() / image.width() == pytest.approx(high / wide, rel=0.01)
    assert root.find("{http://www.w3.org/2000/svg}title").text == results.design.title
    copying.close()
