"""The lamp and the rows from the side, by mouse and by keys."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QWidget

from app.views.fabric_view import FabricView
from app.views.light_dial import LightDial, light_words
from app.views.loop_editor import LoopEditor, loops_menu
from app.views.side_view import SideView
from core.design.document import Loops
from core.fabric.light import USUAL, Light
from core.pipeline import Pipeline
from core.stripes.loops import design_loops


@pytest.fixture
def dial(qtbot, theme):
    dial = LightDial(theme)
    qtbot.addWidget(dial)
    dial.show()
    return dial


def test_the_lamp_is_put_where_it_is_clicked(dial, qtbot):
    qtbot.mouseClick(dial, Qt.MouseButton.LeftButton, pos=QPoint(38, 24))
    assert 80 < dial.light.azimuth_deg < 100
    qtbot.mouseClick(dial, Qt.MouseButton.LeftButton, pos=QPoint(24, 38))
    assert 170 < dial.light.azimuth_deg < 190
    assert "bottom" in dial.accessibleDescription()


def test_arrow_keys_move_the_lamp_and_home_puts_it_back(dial, qtbot):
    with qtbot.waitSignal(dial.changed):
        qtbot.keyClick(dial, Qt.Key.Key_Right)
    assert dial.light.azimuth_deg == (USUAL.azimuth_deg + 15) % 360
    qtbot.keyClick(dial, Qt.Key.Key_Up)
    assert dial.light.elevation_deg == USUAL.elevation_deg + 5
    qtbot.keyClick(dial, Qt.Key.Key_Home)
    assert dial.light == USUAL


def test_the_lamp_says_where_it_stands():
    assert light_words(Light(315, 40)) == "Light from the upper left, 40° above the fabric"
    assert "the right" in light_words(Light(91, 40))


@pytest.fixture
def side(qtbot, theme, results):
    side = SideView(theme)
    qtbot.addWidget(side)
    side.resize(side.width(), 400)
    side.show_results(results)
    side.show()
    return side


def test_pointing_at_a_row_from_the_side_lights_it(side, qtbot):
    rows = []
    side.row_hovered.connect(rows.append)
    place = side._at(side._rows[2].top) + side._at(side._rows[2].foot)
    qtbot.mouseMove(side, (place / 2).toPoint())
    qtbot.waitUntil(lambda: rows == [2])
    assert "Row 2" in side.accessibleDescription()
    assert "wrong side" in side.accessibleDescription()  # back loops of a wrong-side row


def test_keys_go_from_row_to_row_and_bring_them_in(side, qtbot):
    qtbot.keyClick(side, Qt.Key.Key_Up)
    qtbot.keyClick(side, Qt.Key.Key_Up)
    assert side.lit == 2
    qtbot.keyClick(side, Qt.Key.Key_End)
    assert side.lit == 20
    assert 0 < side._at(side._rows[20].top).y() < side.height()
    qtbot.keyClick(side, Qt.Key.Key_Home)
    assert side.lit == 1


@pytest.fixture
def view(qtbot, theme, results):
    view = FabricView(theme)
    qtbot.addWidget(view)
    view.resize(900, 600)
    view.show_results(results)
    view.show()
    yield view
    view.close_worker()


def test_the_side_view_is_switched_by_a_key_and_makes_room(view, qtbot):
    before = view.fitting().scale
    assert view.relief.side.isHidden()
    view.switches.side.click()
    assert view.relief.side.isVisible()
    assert view.fitting().scale <= before
    assert view.switches.side.shortcut().toString() == "F9"
    right = view._fabric_px().right()
    assert right < view.relief.side.x()
    view.switches.side.click()
    assert view.relief.side.isHidden()


def test_a_stitch_lit_on_the_fabric_is_lit_from_the_side(view):
    view.switches.side.click()
    view.light(5, 3)
    assert view.relief.side.lit == 5
    view.light(-1, -1)
    assert view.relief.side.lit == -1


def test_the_lamp_changes_the_picture(view, qtbot):
    def shot():
        return view.grab().toImage()

    before = shot()
    view.relief.dial.set_light(Light(150, 25))
    assert shot() != before


def test_loops_are_chosen_row_by_row_as_one_gesture(qtbot, theme, ripple):
    editor = LoopEditor(replace(ripple, loops=Loops()), None)
    qtbot.addWidget(editor)
    wishes = []
    editor.wish.connect(lambda *wish: wishes.append(wish))
    editor.more.click()
    editor.choices[0].setFocus()
    qtbot.keyClick(editor.choices[0], Qt.Key.Key_Down)
    editor.each_colour.click()
    assert len({wish[2] for wish in wishes}) == 1
    design = wishes[-1][1](ripple)
    assert design.loops.in_turn == ("back", "both")
    assert design.loops.each_colour
    assert design_loops(design)[:5] == ("both", "both", "back", "both", "back")
    assert "colour" in editor.choices[0].accessibleName()
    editor.fewer.click()
    assert wishes[-1][1](ripple).loops.in_turn == ("back",)
    assert not editor.fewer.isEnabled()


def test_the_menu_of_loops_marks_the_one_in_force(qtbot, ripple):
    asked, opened = [], []
    holder = QWidget()
    qtbot.addWidget(holder)
    menu = loops_menu(ripple, lambda *wish: asked.append(wish), lambda: opened.append(1), holder)
    marked = [action.text() for action in menu.actions() if action.isChecked()]
    assert marked == ["The back loops"]
    by_name = {action.text(): action for action in menu.actions()}
    by_name["Back loops in the first row of each colour, then both"].trigger()
    assert asked[0][1](ripple).loops == Loops("back", 2, False, ("back", "both"), True)
    by_name["Row by row…"].trigger()
    assert opened


def test_loops_in_turn_show_in_the_picture_of_the_side(ripple, qtbot, theme):
    side = SideView(theme)
    qtbot.addWidget(side)
    design = replace(ripple, loops=Loops(in_turn=("back", "both"), each_colour=True))
    side.show_results(Pipeline().results(design))
    faces = [row.worked_front != row.worked_back for row in side._rows[:-1]]
    assert faces[:6] == [False, False, True, False, True, False]
