"""Strain, lean and drifting rows on the fabric's canvas: switched, painted, said."""

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest

from app.painting.strain import (
    FULL,
    LEVELS,
    STEPS,
    StrainSigns,
    colour_number,
    paint_cells,
    scale_of,
    sign_level,
)
from app.theme import DARK, LIGHT
from app.views.fabric_drift import tendency_words
from app.views.fabric_legend import LEGEND_PX, place_of
from app.views.fabric_strain import has_shape, percent
from app.views.fabric_view import FabricView
from core.design.document import Item, Row, Size, Wave
from core.fabric.columns import steady_columns
from core.fabric.strain import HOLES_FROM, PUCKERS_FROM, fabric_strain
from core.pipeline import Pipeline

pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture(params=["light", "dark"])
def look(request, theme):
    theme.set_look(request.param)
    yield request.param
    theme.set_look("system")


@pytest.fixture
def view(theme, qtbot):
    view = FabricView(theme)
    qtbot.addWidget(view)
    view.resize(700, 700)
    view.show()
    yield view
    view.close_worker()


@pytest.fixture
def settled(ripple):
    return Pipeline().settled_results(ripple)


def growing(ripple):
    """Return eight rows whose repeats gain a stitch each."""
    edge = (Item(stitch="dc"),)
    cycle = tuple(
        Row(edge, (Item(stitch="dc", times=8 + n), Item(stitch="dc", make=2)), edge)
        for n in range(8)
    )
    first = cycle[0]
    wave = Wave(first.start, first.repeat, first.end, cycle=cycle)
    return replace(ripple, wave=wave, size=Size(repeats=2, rows=8))


def show_strain(view, results, qtbot):
    view.show_results(results)
    with qtbot.waitSignal(view._strain.changed, timeout=5000):
        view.switches.strain.setChecked(True)
        view.grab()


def pixels(image):
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    flat = np.frombuffer(image.constBits(), np.uint8).copy()
    return flat.reshape(image.height(), image.width(), 4)[..., 2::-1].astype(int)


# --- signs and colours ----------------------------------------------------------------------


def stamp(level, tones):
    image = QImage(21, 21, QImage.Format.Format_RGB32)
    image.fill(QColor(tones.sheet))
    with QPainter(image) as painter:
        StrainSigns().draw(painter, np.array([[10.5, 10.5]]), np.array([level]), tones)
    grey = pixels(image).mean(axis=2)
    return np.abs(grey - grey[0, 0]) > 60  # where there is ink, seen without colour


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
def test_signs_grow_with_the_strain_and_say_which_way_without_colour(tones):
    for way in (1, -1):
        ink = [stamp(way * level, tones).sum() for level in range(len(LEVELS) + 1)]
        assert ink == sorted(ink)
        assert ink[0] == 0
        assert len(set(ink)) == len(ink)
    for level in (2, 3, 4, 5):
        ring, ticks = stamp(level, tones), stamp(-level, tones)
        assert not ring[9:12, 9:12].any()  # open in the middle
        columns = ticks.any(axis=0).astype(int)
        assert (np.diff(columns) == 1).sum() >= 2  # more than one tick


def test_signs_and_colours_follow_the_figures():
    strain = np.array([-1.0, -0.12, -0.02, 0.0, 0.02, 0.04, 0.16, 0.9])
    assert sign_level(strain).tolist() == [-5, -3, 0, 0, 0, 1, 4, 5]
    assert colour_number(strain).tolist() == [0, 6, 9, 10, 11, 11, 15, 20]
    assert -PUCKERS_FROM in LEVELS
    assert HOLES_FROM in LEVELS


@pytest.mark.parametrize("tones", [LIGHT, DARK], ids=["light", "dark"])
def test_cells_take_the_colour_of_their_strain_and_empty_ones_none(tones):
    image = QImage(40, 10, QImage.Format.Format_RGB32)
    image.fill(QColor("#00ff00"))
    with QPainter(image) as painter:
        cells = np.array([[-FULL, 0.0, FULL, np.nan]])
        paint_cells(painter, cells, QRectF(0, 0, 40, 10), tones)
    seen = pixels(image)[5, 5::10]
    for colour, wanted in zip(seen, (scale_of(tones)[n] for n in (0, STEPS, -1)), strict=False):
        known = QColor(wanted)
        through = 30 * np.array([0, 1, 0])  # a little of the green below
        assert colour == pytest.approx(
            np.array([known.red(), known.green(), known.blue()]) * 225 / 255 + through, abs=3
        )
    assert seen[3].tolist() == [0, 255, 0]


def test_percents_are_said_in_words():
    assert percent(0.081) == "stretched by 8 %"
    assert percent(-0.1) == "squeezed by 10 %"
    assert percent(0.002) == "at rest"


# --- strain on the canvas -------------------------------------------------------------------


def test_strain_is_worked_out_off_the_gui_thread_and_once(view, settled, qtbot):
    view.show_results(settled)
    assert view._strain.strain_of(settled) is None
    with qtbot.waitSignal(view._strain.changed, timeout=5000):
        pass
    found = view._strain.strain_of(settled)
    assert found.post == pytest.approx(fabric_strain(settled.fabric, settled.rows).post)
    recoloured = Pipeline()
    recoloured.take_settled(settled.design, settled.fabric)
    assert view._strain.strain_of(recoloured.results(settled.design)) is found


def test_the_switch_shows_stretched_posts_warm_and_makes_room_for_the_legend(
    view, settled, look, theme, qtbot
):
    view.show_results(settled)
    before = view._fabric_px()
    show_strain(view, settled, qtbot)
    after = view._fabric_px()
    assert after.bottom() <= view.height() - LEGEND_PX
    assert after.bottom() < before.bottom()
    strain, fabric = view._strain.strain_of(settled), settled.fabric
    most = int(np.argmax(strain.post))
    ends = fabric.tops_mm[[strain.foot[most], strain.top[most]]]
    view.zoom(40 / (fabric.size.width_mm * view.placing.scale))
    x, y = view.placing.points(0.75 * ends[0] + 0.25 * ends[1])
    view.pan(350 - x, 300 - y)
    shot = pixels(view.grab().toImage())
    near = shot[296:304, 346:354].reshape(-1, 3)
    wanted = QColor(scale_of(theme.tones)[colour_number(strain.post[most : most + 1])[0]])
    assert wanted.red() > wanted.blue()
    away = np.abs(near - (wanted.red(), wanted.green(), wanted.blue())).max(axis=1)
    assert away.min() <= 2


def test_the_legend_shows_the_whole_scale(view, settled, look, theme, qtbot):
    show_strain(view, settled, qtbot)
    shot = view.grab().toImage()
    low = view.height() - LEGEND_PX
    seen = {
        shot.pixelColor(x, y).name()
        for x in range(view.width())
        for y in range(low, view.height(), 2)
    }
    assert set(scale_of(theme.tones)) <= seen


def test_figures_of_the_legend_lie_where_their_colours_are():
    bar = QRectF(100, 0, 420, 12)
    assert place_of(-FULL, bar) == 100
    assert place_of(0.0, bar) == 310
    assert place_of(2 * FULL, bar) == 520
    for strain in (-0.27, -0.1, 0.06, 0.15, 0.3):
        share = (place_of(strain, bar) - bar.left()) / bar.width()
        assert round(share * 2 * STEPS) == colour_number(np.array([strain]))[0]


def test_strain_is_told_in_words_too(view, settled, qtbot):
    assert view.stitch_words(5, 3) == ""
    show_strain(view, settled, qtbot)
    assert view.stitch_words(5, 3).startswith("post ")
    assert "%" in view.stitch_words(5, 3) or "at rest" in view.stitch_words(5, 3)
    assert view.stitch_words(-1, -1) == ""
    text = view.accessibleDescription()
    strain = view._strain.strain_of(settled)
    most = max(strain.post.max(), strain.course.max())
    assert f"stretched by up to {100 * most:.0f} %" in text
    assert "this program's estimate" in text


def test_a_giant_is_painted_as_cells_and_near_to_as_posts(view, settled, qtbot):
    show_strain(view, settled, qtbot)
    seen = []
    for stitch_px in (3, 40):
        view.zoom(stitch_px / (settled.fabric.size.width_mm * view.placing.scale))
        seen.append(pixels(view.grab().toImage()))
    assert (seen[0] != seen[1]).any()
    layer = view._strain._layer
    view.light(5, 3)
    view.grab()
    assert view._strain._layer is layer  # a mark doesn't paint the strain anew


# --- lean -----------------------------------------------------------------------------------


def test_lean_shows_a_repeat_and_says_it(view, settled, look, theme):
    view.show_results(settled)
    before = pixels(view.grab().toImage())
    view.switches.lean.setChecked(True)
    shot = pixels(view.grab().toImage())
    foot = slice(view.height() - 110, view.height() - 20)
    assert (shot[foot] != before[foot]).any(axis=2).mean() > 0.3
    text = view.accessibleDescription()
    columns = steady_columns(settled.fabric.steady)
    assert f"A row rises {columns.rise_mm:.1f} mm" in text
    assert "its stitches lean" in text


def test_lean_is_shown_of_what_is_pointed_at_or_else_of_the_middle(view, settled):
    view.show_results(settled)
    view.switches.lean.setChecked(True)
    fabric = settled.fabric
    at = fabric.row_tops_mm(15)[40]
    view.zoom(30 / (fabric.size.width_mm * view.placing.scale))
    x, y = view.placing.points(at - (0.0, 0.5 * settled.design.gauge.row_height_mm))
    view.pan(350 - x, 350 - y)
    assert view._columns(settled).row == 15
    view.light(4, 2)
    assert view._columns(settled).row == 4


def test_pointing_at_a_stitch_tells_its_lean(view, settled):
    view.show_results(settled)
    view.switches.lean.setChecked(True)
    told = {view.stitch_words(9, n) for n in range(settled.rows.makes(9))}
    assert any(words.endswith("left") for words in told)
    assert any(words.endswith("right") for words in told)
    wanted = round(settled.wave.lean_deg)
    assert any(f"leans {wanted}°" in words for words in told)


def test_the_switches_work_by_key_and_have_names_and_tips(view, settled):
    view.show_results(settled)
    for button in (view.switches.strain, view.switches.lean):
        assert button.toolTip()
        assert button.accessibleName() or button.text()
        button.setFocus()
        QTest.keyClick(button, Qt.Key.Key_Space)
        assert button.isChecked()


# --- rows that drift ------------------------------------------------------------------------


def test_drifting_rows_are_marked_beside_the_fabric(view, ripple, look, theme):
    results = Pipeline().settled_results(growing(ripple))
    assert results.rows.misfit is None
    view.show_results(results)
    shot = view.grab().toImage()
    rect, trouble = view._fabric_px(), QColor(theme.tones.trouble).name()
    beside = range(round(rect.right()) + 4, view.width())
    marked = [
        y
        for y in range(view.height())
        if any(shot.pixelColor(x, y).name() == trouble for x in beside)
    ]
    # The line runs over nearly all of the height; its waves leave rows without pure colour.
    assert len(marked) > 0.25 * rect.height()
    assert min(marked) < rect.top() + 30
    assert max(marked) > rect.bottom() - 30
    assert "ruffles: 80 % longer" in view.accessibleDescription()


def test_a_steady_wave_has_no_marks(view, settled, theme):
    view.show_results(settled)
    assert view._drifts == ()
    assert "longer" not in view.accessibleDescription()


def test_rows_without_a_shape_are_not_said_to_be_strained(view, ripple):
    results = Pipeline().settled_results(growing(ripple))
    assert not has_shape(results)
    view.show_results(results)
    view.switches.strain.setChecked(True)
    view.switches.lean.setChecked(True)
    view.grab()
    assert view.stitch_words(3, 3) == ""
    assert "don't settle into one shape" in view.accessibleDescription()


@pytest.mark.parametrize(("gain", "says"), [(2, "ruffle"), (-2, "cup")])
def test_rows_that_do_not_fit_are_said_to_ruffle_or_cup(ripple, gain, says):
    turn = Item(stitch="dc", make=1 + gain) if gain > 0 else Item(stitch="dc", over=1 - gain)
    edge = (Item(stitch="dc"),)
    assert says in tendency_words(Wave(edge, (Item(stitch="dc", times=6), turn), edge))
    assert tendency_words(ripple.wave) == ""


def test_an_edge_can_still_be_pulled_under_the_overlays(view, settled, qtbot):
    show_strain(view, settled, qtbot)
    rect = view._fabric_px()
    at = QPoint(round(rect.right()), round(rect.center().y()))
    step = settled.wave.repeat_width_mm * view.placing.scale
    with qtbot.waitSignal(view.wish) as wish:
        QTest.mousePress(view, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
        QTest.mouseMove(view, at + QPoint(round(step), 0))
        QTest.mouseRelease(view, Qt.MouseButton.LeftButton)
    assert wish.args[0] == "Change width"
