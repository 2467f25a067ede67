"""Drawing a wave and comparing variants: by mouse, by keys, live, one undo step, Escape."""

import math

import numpy as np
import pytest
from desk import LEFT, Key, Mods, drag, typed
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QAbstractSpinBox, QComboBox, QWidget

from app.choosers import Choosers
from app.compare_dialog import CompareDialog
from app.sketch_dialog import SketchDialog
from app.views.sketch_surface import SketchSurface
from core.design.document import Wave
from core.design.edits import set_values, set_wave
from core.design.files import read_design
from core.fabric.measure import measure_wave
from core.fabric.steady import steady_of
from core.rows.build import build_rows
from core.rows.waves import shape_of


@pytest.fixture
def design(demo_path):
    return read_design(demo_path)


@pytest.fixture
def units():
    return "cm"


@pytest.fixture
def dialog(design, units, theme, qtbot):
    dialog = SketchDialog(set_values(design, units=units), theme)
    dialog.steps = []
    dialog.wish.connect(lambda *step: dialog.steps.append(step))
    qtbot.addWidget(dialog, before_close_func=lambda d: d.reject())
    dialog.show()
    qtbot.waitUntil(lambda: dialog.surface.has_wave, timeout=10_000)
    return dialog


@pytest.fixture
def compare(design, theme, qtbot):
    dialog = CompareDialog(design, shape_of(design.wave), theme)
    dialog.steps = []
    dialog.wish.connect(lambda *step: dialog.steps.append(step))
    qtbot.addWidget(dialog, before_close_func=lambda d: d.reject())
    dialog.show()
    settle(dialog, qtbot)
    return dialog


def settle(dialog, qtbot):
    worker = dialog._finder if isinstance(dialog, SketchDialog) else dialog._worker
    qtbot.waitUntil(lambda: not worker.is_busy, timeout=30_000)


def stroke(surface, width_mm, height_mm, waves=2.0, step_px=5):
    """Draw waves from dip to dip with the mouse."""
    placing = surface.placing()
    wide = width_mm * waves * placing.scale
    tall = 0.5 * height_mm * placing.scale
    points = [
        QPoint(
            round(placing.x + 12 + x),
            round(placing.y + tall * math.cos(2 * math.pi * waves * x / wide)),
        )
        for x in np.arange(0, wide + 1, step_px)
    ]
    drag(surface, *points)


def test_drawing_a_sine_with_the_mouse_gives_three_waves_near_it(dialog, qtbot):
    stroke(dialog.surface, 80, 22)
    settle(dialog, qtbot)
    offers = [card.offer for card in dialog.cards]
    assert all(offers)
    assert len({offer.wave for offer in offers}) == 3
    for offer in offers:
        assert offer.measures.repeat_width_mm == pytest.approx(80, abs=12)
        assert offer.measures.wave_height_mm == pytest.approx(22, abs=8)
    distances = [offer.distance_mm for offer in offers]
    assert distances == sorted(distances)
    assert distances[0] < 2


def test_cards_say_multiple_width_height_yarn_and_distance(dialog, qtbot):
    stroke(dialog.surface, 80, 22)
    settle(dialog, qtbot)
    card = dialog.cards[0]
    told = card.accessibleDescription()
    offer = card.offer
    assert f"Multiple {offer.multiple}, plus {offer.extra}" in told
    assert f"Width per repeat {offer.measures.repeat_width_mm / 10:.1f} cm" in told
    assert f"Wave height {offer.measures.wave_height_mm / 10:.1f} cm" in told
    assert f"{offer.distance_mm:.1f} mm on average" in told
    assert "Yarn" in told and " m" in told


def test_a_click_is_no_stroke_and_a_stroke_gets_points_to_drag(dialog, qtbot):
    surface = dialog.surface
    stroke(surface, 80, 22)
    points = surface.points_mm
    assert 5 <= len(points) <= 40
    top = int(np.argmax(points[:, 1]))
    at = QPoint(*(round(v) for v in surface.placing().points(points[top])))
    to = at - QPoint(0, 20)
    QTest.mousePress(surface, LEFT, Mods.NoModifier, at)
    QTest.mouseMove(surface, to)
    QTest.mouseRelease(surface, LEFT, Mods.NoModifier, to)
    assert len(surface.points_mm) == len(points)
    moved = surface.points_mm[top] - points[top]
    assert moved[1] == pytest.approx(20 / surface.placing().scale, abs=0.4)
    assert moved[0] == pytest.approx(0, abs=0.4)
    QTest.mouseClick(surface, LEFT, Mods.NoModifier, QPoint(600, 40))
    assert len(surface.points_mm) == len(points) + 1


def test_everything_goes_by_keys_alone(dialog, qtbot):
    surface = dialog.surface
    surface.setFocus()
    QTest.keyClick(surface, Key.Key_Return)
    points = surface.points_mm
    assert len(points) >= 5
    assert surface.chosen == 0
    assert "Point 1 of" in surface.accessibleDescription()
    QTest.keyClick(surface, Key.Key_Tab)
    QTest.keyClick(surface, Key.Key_Tab)
    assert surface.chosen == 2
    QTest.keyClick(surface, Key.Key_Backtab, Mods.ShiftModifier)
    assert surface.chosen == 1
    QTest.keyClick(surface, Key.Key_Up, Mods.ShiftModifier)
    QTest.keyClick(surface, Key.Key_Right)
    assert np.allclose(surface.points_mm[1] - points[1], (1, 5))
    QTest.keyClick(surface, Key.Key_Insert)
    assert len(surface.points_mm) == len(points) + 1
    QTest.keyClick(surface, Key.Key_Delete)
    assert len(surface.points_mm) == len(points)
    for _ in range(4):
        QTest.keyClick(surface, Key.Key_Z, Mods.ControlModifier)
    assert np.allclose(surface.points_mm, points)
    settle(dialog, qtbot)
    QTest.keyClick(dialog.cards[0].button, Key.Key_Space)
    assert len(dialog.steps) == 1


def test_tab_leaves_the_sheet_after_its_last_point(dialog):
    surface = dialog.surface
    surface.setFocus()
    surface.set_points(np.array([(0, 0), (40, 20), (80, 0)], dtype=float))
    for _ in range(3):
        QTest.keyClick(surface, Key.Key_Tab)
        assert surface.hasFocus()
    QTest.keyClick(surface, Key.Key_Tab)
    assert not surface.hasFocus()


def test_the_wave_as_it_is_finds_itself_first(dialog, design, qtbot):
    QTest.keyClick(dialog.surface, Key.Key_Return)
    settle(dialog, qtbot)
    assert dialog.cards[0].offer.wave.repeat == design.wave.repeat
    assert dialog.cards[0].offer.repeats == design.size.repeats
    assert dialog.cards[0].offer.rows == design.size.rows


def test_a_curve_that_crosses_itself_gets_one_sentence_and_three_waves(dialog, qtbot):
    t = np.linspace(0, 6 * np.pi, 14)
    dialog.surface.set_points(np.stack([12 * t - 24 * np.sin(t), -15 * np.cos(t)], axis=1))
    settle(dialog, qtbot)
    assert "crosses itself" in dialog.said.text()
    assert all(card.offer for card in dialog.cards)


def test_too_steep_says_so_and_shows_what_is_within_reach(dialog, qtbot):
    stroke(dialog.surface, 25, 50)
    settle(dialog, qtbot)
    assert "lean" in dialog.said.text() and "°" in dialog.said.text()
    assert len(dialog.surface._within_mm)
    assert all(card.offer for card in dialog.cards)
    dialog.surface.clear()
    assert not len(dialog.surface._within_mm)
    assert not any(card.offer for card in dialog.cards)
    assert not any(card.button.isEnabled() for card in dialog.cards)


def test_a_scratch_gets_a_sentence_and_no_waves(dialog, qtbot):
    dialog.surface.set_points(np.array([(0, 0), (1, 1)], dtype=float))
    settle(dialog, qtbot)
    assert "three points" in dialog.said.text()
    assert not any(card.offer for card in dialog.cards)


def test_drawing_on_while_the_search_runs_shows_only_the_last_drawing(dialog, qtbot):
    stroke(dialog.surface, 80, 22)
    stroke(dialog.surface, 50, 12)
    settle(dialog, qtbot)
    assert dialog.cards[0].offer.measures.repeat_width_mm == pytest.approx(50, abs=6)


def test_escape_drops_a_stroke_in_hand_and_then_closes(dialog):
    surface = dialog.surface
    QTest.mousePress(surface, LEFT, Mods.NoModifier, QPoint(100, 100))
    QTest.mouseMove(surface, QPoint(140, 60))
    QTest.mouseMove(surface, QPoint(180, 100))
    assert len(surface.curve_mm())
    QTest.keyClick(surface, Key.Key_Escape)
    assert not len(surface.curve_mm())
    assert dialog.isVisible()
    QTest.keyClick(surface, Key.Key_Escape)
    assert not dialog.isVisible()
    assert dialog.steps == []


def test_escape_puts_a_dragged_point_back(dialog):
    surface = dialog.surface
    points = np.array([(0, 0), (40, 20), (80, 0)], dtype=float)
    surface.set_points(points)
    at = QPoint(*(round(v) for v in surface.placing().points(points[1])))
    QTest.mousePress(surface, LEFT, Mods.NoModifier, at)
    QTest.mouseMove(surface, at + QPoint(0, 30))
    assert not np.allclose(surface.points_mm, points)
    QTest.keyClick(surface, Key.Key_Escape)
    assert np.allclose(surface.points_mm, points)


def three_points(theme, qtbot):
    surface = SketchSurface(theme)
    qtbot.addWidget(surface)
    surface.show()
    surface.set_points(np.array([[10.0, 0.0], [20.0, 8.0], [30.0, 0.0]]))
    return surface, [
        QPoint(*np.rint(p).astype(int)) for p in surface.placing().points(surface.points_mm)
    ]


def test_taking_hold_of_a_point_without_moving_it_is_no_step(theme, qtbot):
    surface, at = three_points(theme, qtbot)
    before = surface.points_mm
    QTest.mouseClick(surface, LEFT, Mods.NoModifier, at[1])
    assert surface.chosen == 1
    assert (surface.points_mm == before).all()
    surface.undo()
    assert not len(surface.points_mm)  # what the one step before had drawn


@pytest.mark.parametrize("key", [Key.Key_Delete, Key.Key_Z])
def test_an_edit_by_keys_lets_go_of_the_point_in_hand(theme, qtbot, key):
    surface, at = three_points(theme, qtbot)
    surface.set_points(surface.points_mm[:1])
    QTest.mousePress(surface, LEFT, Mods.NoModifier, at[0])
    QTest.mouseMove(surface, at[0] + QPoint(0, 30))
    held = Mods.ControlModifier if key == Key.Key_Z else Mods.NoModifier
    QTest.keyClick(surface, key, held)
    left = surface.points_mm
    QTest.mouseMove(surface, at[0] + QPoint(40, 60))
    QTest.mouseRelease(surface, LEFT, Mods.NoModifier, at[0] + QPoint(40, 60))
    assert len(surface.points_mm) == len(left) and (surface.points_mm == left).all()


@pytest.mark.parametrize("units", ["in"])
def test_inches_are_shown_in_inches(dialog, qtbot):
    QTest.keyClick(dialog.surface, Key.Key_Return)
    settle(dialog, qtbot)
    told = dialog.cards[0].accessibleDescription()
    assert " in" in told and " yd" in told and " cm" not in told and " mm" not in told


def test_zooming_keeps_the_drawing_in_millimetres(theme, qtbot):
    surface = SketchSurface(theme)
    qtbot.addWidget(surface)
    surface.set_points(np.array([(0, 0), (40, 20), (80, 0)], dtype=float))
    before = surface.curve_mm()
    scale = surface.placing().scale
    QTest.keyClick(surface, Key.Key_Plus)
    assert surface.placing().scale > scale
    assert np.allclose(surface.curve_mm(), before)


# --- comparing -----------------------------------------------------------------------------


def test_three_variants_stand_side_by_side_with_their_figures(compare, design):
    flatter, now, steeper = (card.offer for card in compare.cards)
    assert now.wave == design.wave
    assert flatter.measures.lean_deg < now.measures.lean_deg < steeper.measures.lean_deg
    for card in compare.cards:
        told = card.accessibleDescription()
        assert "Multiple" in told and "Width per repeat" in told and "Yarn" in told
        assert "Off by" not in told


def test_comparing_by_depth_changes_the_runs(compare, qtbot):
    compare.by.setFocus()
    QTest.keyClick(compare.by, Key.Key_Down)
    settle(compare, qtbot)
    runs = [variant.run for variant in compare.variants]
    assert runs == [1, 3, 5]
    heights = [card.offer.measures.wave_height_mm for card in compare.cards]
    assert heights == sorted(heights)


def test_run_and_gain_can_be_typed_on_a_card(compare, qtbot):
    typed(compare.dials[2].run_field, "6")
    settle(compare, qtbot)
    typed(compare.dials[2].gain_field, "2")
    settle(compare, qtbot)
    offer = compare.cards[2].offer
    assert offer.multiple == 18  # knitty.com/ISSUEdf12/ripply.html: 14 with two runs of 4
    assert offer.name == "Longer runs"
    assert compare.isVisible()


def test_a_height_asked_for_gets_the_nearest_run(compare, qtbot):
    typed(compare.dials[1].height_field, "4")
    settle(compare, qtbot)
    offer = compare.cards[1].offer
    assert offer.measures.wave_height_mm == pytest.approx(40, abs=3)
    assert compare.dials[1].run_field.value() == compare.variants[1].run > 3
    assert compare.dials[1].height_field.value() == pytest.approx(
        offer.measures.wave_height_mm / 10, abs=0.051
    )


def test_choosing_the_wave_as_it_is_changes_nothing(compare, design):
    QTest.mouseClick(compare.cards[1].button, LEFT)
    _, edit, gesture = compare.steps[0]
    assert edit(design) is design
    assert gesture is None


# --- in the window -------------------------------------------------------------------------


@pytest.fixture
def window(open_window, design, theme):
    return open_window(design, theme=theme, settled=False)


def test_a_drawn_wave_is_one_step_and_undo_gives_back_the_same_design(window, design, qtbot):
    QTest.mouseClick(window.wave_tools.draw, LEFT)
    dialog = window.findChild(SketchDialog)
    qtbot.waitUntil(lambda: dialog.surface.has_wave, timeout=10_000)
    stroke(dialog.surface, 60, 16)
    settle(dialog, qtbot)
    offer = dialog.cards[1].offer
    QTest.mouseClick(dialog.cards[1].button, LEFT)
    assert not dialog.isVisible()
    now = window.session.design
    assert window.session.undo_stack.count() == 1
    assert now.wave == offer.wave
    assert (now.size.repeats, now.size.rows) == (offer.repeats, offer.rows)
    assert build_rows(now).misfit is None
    steady = measure_wave(steady_of(now))
    assert steady.repeat_width_mm == pytest.approx(offer.measures.repeat_width_mm)
    assert window.live.results.design is now
    window.session.undo_stack.undo()
    assert window.session.design is design


def test_escape_in_the_window_leaves_everything(window, design, qtbot):
    window.choosers.draw_wave()
    dialog = window.findChild(SketchDialog)
    QTest.keyClick(dialog.surface, Key.Key_Escape)
    assert window.session.design is design
    assert window.session.undo_stack.count() == 0


def test_a_variant_is_one_step(window, design, qtbot):
    QTest.mouseClick(window.wave_tools.compare, LEFT)
    dialog = window.findChild(CompareDialog)
    settle(dialog, qtbot)
    QTest.mouseClick(dialog.cards[2].button, LEFT)
    assert window.session.undo_stack.count() == 1
    assert abs(shape_of(window.session.design.wave).turns[0].gain) == 3
    window.session.undo_stack.undo()
    assert window.session.design is design


def test_rows_that_differ_are_not_compared_but_can_be_drawn_anew(window, qtbot):
    wave = window.session.design.wave
    cycle = (wave.row, wave.row)
    twice = Wave(wave.start, wave.repeat, wave.end, cycle=cycle)
    window.session.change("Rows in turn", lambda design: set_wave(design, twice))
    window.choosers.compare_variants()
    assert window.findChild(CompareDialog) is None
    assert "draw a wave" in window.statusBar().currentMessage()
    window.choosers.draw_wave()
    dialog = window.findChild(SketchDialog)
    qtbot.waitUntil(lambda: dialog.surface.has_wave, timeout=10_000)
    dialog.reject()


def test_closing_the_window_stops_a_search(window, qtbot):
    window.choosers.draw_wave()
    dialog = window.findChild(SketchDialog)
    qtbot.waitUntil(lambda: dialog.surface.has_wave, timeout=10_000)
    stroke(dialog.surface, 80, 22)
    assert window.close()
    assert not dialog.isVisible()
    assert not dialog._finder._thread.isRunning()


@pytest.mark.parametrize("open_it", [Choosers.draw_wave, Choosers.compare_variants])
def test_choosers_fit_a_small_screen_and_every_control_has_a_name(window, open_it, qtbot):
    open_it(window.choosers)
    dialog = window.findChild(SketchDialog) or window.findChild(CompareDialog)
    settle(dialog, qtbot)
    least = dialog.minimumSizeHint()
    assert least.width() <= 1366 and least.height() <= 700
    assert dialog.height() <= 700
    for kind in (QAbstractButton, QAbstractSpinBox, QComboBox, SketchSurface):
        for control in dialog.findChildren(kind):
            if control.isVisible() and control.focusPolicy() != Qt.FocusPolicy.NoFocus:
                assert control.accessibleName() or control.text(), control
                assert control.toolTip(), control.accessibleName()
    dialog.reject()


def test_the_corner_buttons_stay_in_the_corner(window):
    tools: QWidget = window.wave_tools
    assert tools.parent() is window.wave
    for width in (1366, 1700):
        window.resize(width, 768)
        assert tools.geometry().right() == pytest.approx(window.wave.width() - 5, abs=2)
