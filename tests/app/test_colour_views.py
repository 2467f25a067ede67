"""How the fabric is seen: eyes, light and distance, named on the canvas and never exported."""

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest

from app.exporting import fabric_png
from app.painting.choices import Choices
from app.views.chart_view import ChartView
from app.views.fabric_view import FabricView
from core.palette.sight import GREY, PLAIN, Sight, seen
from core.pipeline import Pipeline
from core.stripes.colour import PAPER, ground_of

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture(scope="module")
def settled(ripple):
    return Pipeline().settled_results(ripple)


def rest(view, qtbot):
    view.grab()
    qtbot.waitUntil(lambda: not view._far.is_busy, timeout=5000)
    qtbot.waitUntil(lambda: not view._picture._worker.is_busy, timeout=5000)


@pytest.fixture
def view(theme, settled, qtbot):
    view = FabricView(theme)
    qtbot.addWidget(view)
    view.resize(700, 700)
    view.show()
    view.show_results(settled)
    rest(view, qtbot)
    yield view
    view.close_worker()


def pixels(widget):
    image = widget.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    flat = np.frombuffer(image.constBits(), np.uint8).copy()
    return flat.reshape(image.height(), image.width(), 4)[..., 2::-1].astype(int)


def fabric_part(view):
    box = view._fabric_px().toAlignedRect().adjusted(20, 40, -20, -40)
    return pixels(view)[box.top() : box.bottom(), box.left() : box.right()]


def test_grey_leaves_no_colour_and_plain_brings_it_back(view, qtbot):
    assert np.ptp(fabric_part(view), axis=2).max() > 60
    view.colours.set_sight(GREY)
    rest(view, qtbot)
    assert np.ptp(fabric_part(view), axis=2).max() <= 2
    view.colours.set_sight(PLAIN)
    rest(view, qtbot)
    assert np.ptp(fabric_part(view), axis=2).max() > 60


def test_the_name_of_the_view_stands_on_the_canvas(view):
    plate = view.colours.plate
    assert plate.isHidden()
    view.colours.set_sight(Sight("deutan", 0.6))
    view.colours.set_distance("garden")
    assert plate.isVisible()
    assert plate._label.text() == "Green-weak eyes, 60 %, from the end of a garden"
    assert "Green-weak eyes, 60 %" in view.accessibleDescription()
    assert plate.severity.isVisible()
    view.colours.set_sight(PLAIN)
    view.colours.set_distance("near")
    assert plate.isHidden() and "Seen" not in view.accessibleDescription()


def test_the_plate_covers_nothing_of_the_blanket(view, qtbot):
    for width in (700, 330):
        view.resize(width, 700)
        view.colours.set_sight(Sight("dusk"))
        view.colours.set_distance("squint")
        rest(view, qtbot)
        plate = view.colours.plate.geometry()
        assert not plate.toRectF().intersects(view._fabric_px()), width
        assert plate.right() <= view.width()
        assert not plate.intersects(view.switches.geometry())


def test_distances_follow_the_designs_units(view, ripple):
    def words():
        return [a.text() for a in view.colours.menu.actions() if "garden" in a.text()]

    assert words() == ["Fro&m the end of a garden, 15 m"]
    view.show_results(Pipeline().results(replace(ripple, units="in")))
    assert words() == ["Fro&m the end of a garden, 49 ft"]  # 15 m are 49.2 ft


def test_how_weak_eyes_are_is_set_by_keys(view):
    view.colours.set_sight(Sight("protan"))
    slider = view.colours.plate.severity
    slider.setFocus()
    QTest.keyClick(slider, Qt.Key.Key_PageDown)
    assert view.colours.sight == Sight("protan", 0.9)
    QTest.keyClick(slider, Qt.Key.Key_Home)
    assert view.colours.sight.is_plain
    view.colours._choose_sight("tritan")
    assert view.colours.sight.kind == "tritan"


def test_one_key_goes_across_the_room_and_back(view, qtbot):
    near = fabric_part(view)
    with qtbot.waitActive(view):
        view.activateWindow()
    QTest.keyClick(view, Qt.Key.Key_F4)
    qtbot.waitUntil(lambda: view.colours.distance == "squint" and view.switches.far.isChecked())
    rest(view, qtbot)
    far = fabric_part(view)
    assert np.abs(np.diff(far, axis=0)).mean() < 0.5 * np.abs(np.diff(near, axis=0)).mean()
    QTest.keyClick(view, Qt.Key.Key_F4)
    qtbot.waitUntil(lambda: view.colours.distance == "near" and not view.switches.far.isChecked())
    view.colours.set_distance("garden")
    assert not view.switches.far.isChecked()


def test_the_rough_picture_from_afar_is_much_like_the_fine_one(view, qtbot):
    view.colours.set_distance("squint")
    view.grab()
    rough = fabric_part(view)
    rest(view, qtbot)
    fine = fabric_part(view)
    assert np.abs(rough - fine).mean() < 8


def test_nothing_is_blurred_that_the_screen_cannot_show(view, qtbot):
    near = fabric_part(view)
    view.colours.set_distance("room")
    view.set_placing(type(view.placing)(0.05, 300, 500))
    view.grab()
    assert "nothing blurs at this size" in view.colours.plate._label.text()
    view.look_anew()
    view.colours.set_distance("near")
    rest(view, qtbot)
    assert (fabric_part(view) == near).all()


def test_a_blurred_picture_is_kept_until_something_changes(view, qtbot):
    view.colours.set_distance("squint")
    rest(view, qtbot)
    kept = view._far._kept
    view.light(3, 3)
    view.grab()
    assert view._far._kept is kept
    view.zoom(1.5)
    view.grab()
    assert view._far._kept is not kept


def test_the_chart_follows_and_says_so(theme, settled, qtbot):
    chart = ChartView(theme)
    qtbot.addWidget(chart)
    chart.resize(500, 400)
    chart.show()
    chart.show_results(settled)
    tint = seen(ground_of(settled.design.yarns[0].colour, PAPER), Sight("protan"))
    wanted = [int(tint[at : at + 2], 16) for at in (1, 3, 5)]
    assert not (pixels(chart) == wanted).all(axis=2).any()
    plain = pixels(chart)
    chart.set_sight(Sight("protan"))
    assert (pixels(chart) == wanted).all(axis=2).sum() > 500
    assert (pixels(chart)[8:24, 8:80] != plain[8:24, 8:80]).any()  # its name


def test_exports_are_always_plain(view, settled):
    before = fabric_png(settled, Choices(width_px=200))
    view.colours.set_sight(GREY)
    view.colours.set_distance("squint")
    view.grab()
    assert fabric_png(settled, Choices(width_px=200)) == before


def test_the_menu_lists_every_view_and_ticks_the_one_in_force(view):
    view.colours.set_sight(Sight("tritan"))
    view.colours.set_distance("phone")
    ticked = [a.text().replace("&", "") for a in view.colours.menu.actions() if a.isChecked()]
    assert ticked == ["Blue-blind or blue-weak eyes", "As a thumbnail on a phone"]
    view.grab()
    assert "like the whole from" in view.colours.plate._label.text()
