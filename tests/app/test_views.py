"""Chart, strip, fabric and wave by mouse and keyboard: what is wished for, and by which step."""

import numpy as np
import pytest
from desk import LEFT, Key, Mods, drag
from PySide6.QtCore import QPoint, QPointF
from PySide6.QtTest import QTest
from some import some

from app.theme import Theme
from app.views.chart_view import ChartView
from app.views.fabric_view import FabricView
from app.views.stripe_strip import StripeStrip
from app.views.wave_band import WaveBand
from core.design.files import read_design
from core.pipeline import Pipeline
from core.rows.waves import shape_of


class Desk:
    """A view with a design under it: carries wishes out at once, as the window does."""

    def __init__(self, design, view, show):
        self.design, self.view, self._show = design, view, show
        self.steps = []
        self._pipeline = Pipeline()
        self.results = self._pipeline.settled_results(design)
        if hasattr(view, "wish"):
            view.wish.connect(self.do)
        show(self.results)

    def do(self, text, edit, gesture):
        self.design = edit(self.design)
        self.steps.append((text, gesture))
        self.results = self._pipeline.results(self.design)
        self._show(self.results)

    @property
    def shape(self):
        return shape_of(self.design.wave)


@pytest.fixture
def theme(qapp):
    return Theme()


@pytest.fixture
def design(demo_path):
    return read_design(demo_path)


# --- wave ----------------------------------------------------------------------------------


@pytest.fixture
def wave(theme, design, qtbot):
    view = WaveBand(theme)
    qtbot.addWidget(view)
    view.resize(1000, 180)
    view.show()
    return Desk(design, view, view.show_results)


def mark_at(desk, kind, number=None):
    view = desk.view
    for index, mark in enumerate(view._marks()):
        if mark.kind == kind and mark.repeat == 1 and number in (None, mark.number):
            return index, view._at(mark, view._placing()).toPoint()
    raise AssertionError(kind)


def test_pulling_a_peak_up_makes_it_steeper_and_the_dip_follows(wave):
    _, at = mark_at(wave, "peak")
    before = wave.results.wave
    drag(wave.view, at, at - QPoint(0, 15), at - QPoint(0, 30))
    assert [abs(turn.gain) for turn in wave.shape.turns] == [3, 3]
    assert wave.results.rows.misfit is None
    assert wave.results.wave.lean_deg > before.lean_deg
    assert len({id(gesture) for _, gesture in wave.steps}) == 1


def test_dragging_a_peak_sideways_moves_stitches_from_one_run_to_the_other(wave):
    _, at = mark_at(wave, "dip")
    stitch = wave.view._profile.stitch_mm * wave.view._placing().scale
    drag(wave.view, at, at + QPoint(round(stitch), 0))
    assert sorted(wave.shape.runs) == [2, 4]
    assert wave.results.rows.foundation.multiple == 12
    # The row is read from right to left, so a dip moved right comes earlier: a shorter run.
    assert wave.shape.runs[0] == 2


def test_a_longer_run_changes_the_multiple_by_its_stitches(wave):
    _, at = mark_at(wave, "run", 0)
    drag(wave.view, at, at - QPoint(0, 14))
    assert wave.shape.runs == (4, 3)
    assert wave.results.rows.foundation.multiple == 13


def test_escape_puts_a_dragged_wave_back(wave):
    before = wave.design
    _, at = mark_at(wave, "peak")
    QTest.mousePress(wave.view, LEFT, Mods.NoModifier, at)
    QTest.mouseMove(wave.view, at - QPoint(0, 40))
    assert wave.design != before
    QTest.keyClick(wave.view, Key.Key_Escape)
    assert wave.design == before
    assert len({id(gesture) for _, gesture in wave.steps}) == 1


def test_keys_shape_the_wave_by_the_same_steps_as_the_mouse(wave):
    index, _ = mark_at(wave, "peak")
    wave.view.setFocus()
    while wave.view._chosen != index:
        QTest.keyClick(wave.view, Key.Key_Right)
    QTest.keyClick(wave.view, Key.Key_Up)
    assert [abs(turn.gain) for turn in wave.shape.turns] == [3, 3]
    QTest.keyClick(wave.view, Key.Key_Down)
    assert [abs(turn.gain) for turn in wave.shape.turns] == [2, 2]
    QTest.keyClick(wave.view, Key.Key_Right, Mods.AltModifier)
    assert sorted(wave.shape.runs) == [2, 4]


def test_the_chosen_mark_is_told_to_a_screen_reader(wave):
    index, _ = mark_at(wave, "dip")
    wave.view._choose(index)
    assert wave.view.accessibleDescription() == "Dip: 2tog ×2"


# --- stripes -------------------------------------------------------------------------------


@pytest.fixture
def stripes(theme, design, qtbot):
    chart, view = ChartView(theme), StripeStrip(theme)
    for widget in (chart, view):
        qtbot.addWidget(widget)
        widget.resize(560, 480)
        widget.show()

    def show(results):
        chart.show_results(results)
        view.set_placing(chart.placing)
        view.show_results(results, chart.fabric)

    desk = Desk(design, view, show)
    desk.chart = chart
    return desk


def middle(desk, stripe):
    return desk.view._rect(desk.view._worked[stripe]).center().toPoint()


def border(desk, stripe):
    rect = desk.view._rect(desk.view._worked[stripe])
    return QPoint(round(rect.center().x()), round(rect.top()))


def sequence(desk):
    return [(stripe.yarn, stripe.rows) for stripe in desk.design.stripes.sequence]


def test_rows_of_the_strip_stand_level_with_rows_of_the_chart(stripes):
    fabric, placing = stripes.chart.fabric, stripes.chart.placing
    for worked in some(stripes.view._worked[:4]):
        end = fabric.row_tops_mm(worked.last)[-1]
        y = placing.points(end)[1]
        assert stripes.view._rect(worked).top() == pytest.approx(y, abs=0.5)


def test_dragging_a_border_moves_rows_across_it(stripes):
    before = sequence(stripes)
    at = border(stripes, 0)
    row_px = at.y() - border(stripes, 1).y()
    drag(stripes.view, at, at - QPoint(0, row_px // 2))
    after = sequence(stripes)
    assert after[0] == (before[0][0], 3)
    assert after[1] == (before[1][0], 1)
    assert after[2:] == before[2:]


def test_dragging_a_stripe_puts_it_elsewhere(stripes):
    before = sequence(stripes)
    start, way = middle(stripes, 0), middle(stripes, 2)
    drag(stripes.view, start, start - QPoint(0, 20), way - QPoint(0, 8))
    assert sequence(stripes) == [before[1], before[2], before[0], *before[3:]]
    assert [text for text, _ in stripes.steps] == ["Move stripe"]


@pytest.mark.parametrize(
    ("key", "mods", "expect"),
    [
        (Key.Key_Plus, Mods.NoModifier, lambda s: [(s[0][0], 3), *s[1:]]),
        (Key.Key_Minus, Mods.NoModifier, lambda s: [(s[0][0], 1), *s[1:]]),
        (Key.Key_Delete, Mods.NoModifier, lambda s: s[1:]),
        (Key.Key_D, Mods.ControlModifier, lambda s: [s[0], *s]),
        (Key.Key_Insert, Mods.NoModifier, lambda s: [s[0], ((s[0][0] + 1) % 5, 2), *s[1:]]),
        (Key.Key_Up, Mods.AltModifier, lambda s: [s[1], s[0], *s[2:]]),
        (Key.Key_4, Mods.NoModifier, lambda s: [(3, 2), *s[1:]]),
    ],
    ids=["longer", "shorter", "delete", "duplicate", "insert", "move up", "fourth yarn"],
)
def test_keys_do_what_the_mouse_does(stripes, key, mods, expect):
    before = sequence(stripes)
    stripes.view.setFocus()
    QTest.keyClick(stripes.view, key, mods)
    assert sequence(stripes) == expect(before)


def test_the_last_stripe_is_never_deleted(stripes):
    stripes.view.setFocus()
    for _ in range(len(sequence(stripes)) + 3):
        QTest.keyClick(stripes.view, Key.Key_Delete)
    assert len(sequence(stripes)) == 1


def test_the_chosen_stripe_is_told_to_a_screen_reader(stripes):
    stripes.view.choose(1)
    assert stripes.view.accessibleDescription() == "Stripe 2 of 12: 2 rows of Limewash"


# --- fabric --------------------------------------------------------------------------------


@pytest.fixture
def fabric(theme, design, qtbot):
    view = FabricView(theme)
    qtbot.addWidget(view)
    view.resize(600, 600)
    view.show()
    yield Desk(design, view, view.show_results)
    view.close_worker()


def test_pulling_the_right_edge_adds_repeats(fabric):
    rect, scale = fabric.view._fabric_px(), fabric.view.placing.scale
    step = fabric.results.wave.repeat_width_mm * scale
    at = QPoint(round(rect.right()), round(rect.center().y()))
    drag(fabric.view, at, at + QPoint(round(step), 0), at + QPoint(round(2 * step), 0))
    assert fabric.design.size.repeats == 13
    assert len({id(gesture) for _, gesture in fabric.steps}) == 1


def test_pulling_the_top_edge_down_takes_rows_away(fabric):
    rect, scale = fabric.view._fabric_px(), fabric.view.placing.scale
    at = QPoint(round(rect.center().x()), round(rect.top()))
    drag(fabric.view, at, at + QPoint(0, round(10 * fabric.results.wave.rise_mm * scale)))
    assert fabric.design.size.rows == 86


def test_shift_and_arrows_change_the_size_too(fabric):
    fabric.view.setFocus()
    QTest.keyClick(fabric.view, Key.Key_Right, Mods.ShiftModifier)
    QTest.keyClick(fabric.view, Key.Key_Down, Mods.ShiftModifier)
    assert (fabric.design.size.repeats, fabric.design.size.rows) == (12, 95)


def test_the_picture_shows_every_colour_of_the_stripes(fabric, qtbot):
    shot = fabric.view.grab().toImage()
    seen = {shot.pixelColor(x, y).name() for x in range(0, 600, 7) for y in range(0, 600, 3)}
    assert len(seen) > 40  # five yarns, each in many shades


# --- chart ---------------------------------------------------------------------------------


@pytest.fixture
def chart(theme, design, qtbot):
    view = ChartView(theme)
    qtbot.addWidget(view)
    view.resize(560, 480)
    view.show()
    return Desk(design, view, view.show_results)


def test_the_first_look_is_at_the_corner_where_row_one_starts(chart):
    view = chart.view
    start = view.fabric.row_tops_mm(1)[-1]  # row 1 runs from right to left
    x, y = view.placing.points(start)
    assert 0.6 * view.width() < x < view.width()
    assert 0.5 * view.height() < y < view.height()


def test_zooming_keeps_what_lies_under_the_cursor(chart):
    view, at = chart.view, QPointF(200, 150)
    before = view.to_mm(at)
    view.zoom(1.7, at)
    assert np.allclose(view.to_mm(at), before)


def test_pointing_at_a_stitch_names_it(chart, qtbot):
    view = chart.view
    row, stitch = 3, 130
    tops, below = view.fabric.row_tops_mm(row), view.fabric.row_tops_mm(row - 1)
    links = chart.results.rows.fabric_links(row)
    parent = links[links[:, 0] == stitch, 1][0]
    x, y = view.placing.points(0.5 * (tops[stitch] + below[parent]))
    with qtbot.waitSignal(view.stitch_hovered) as seen:
        QTest.mouseMove(view, QPoint(round(x), round(y)))
    assert seen.args == [row, stitch]


def test_the_whole_chart_can_be_seen_and_nothing_is_drawn_twice(chart, qtbot):
    view = chart.view
    QTest.keyClick(view, Key.Key_0)
    left, bottom, right, top = view.content_mm()
    corners = view.placing.points(np.array([[left, top], [right, bottom]]))
    assert (corners >= -1).all()
    assert corners[1, 0] <= view.width() + 1
    assert corners[1, 1] <= view.height() + 1
    view.grab()


def test_a_straight_grid_lays_rows_level(chart):
    chart.view.set_straight(True)
    tops = chart.view.fabric.row_tops_mm(5)
    assert np.ptp(tops[:, 1]) == 0
    assert np.allclose(np.diff(tops[:, 0]), chart.results.fabric.size.width_mm)
    chart.view.grab()


# --- what review found -----------------------------------------------------------------------


def test_a_border_dragged_in_many_small_moves_goes_as_far_as_the_hand(stripes):
    at = border(stripes, 0)
    row_px = (at.y() - border(stripes, 1).y()) / 2
    moves = [at - QPoint(0, round(row_px * part)) for part in (0.6, 0.7, 0.8, 0.9, 1.0, 1.0, 1.1)]
    drag(stripes.view, at, *moves)
    assert [rows for _, rows in sequence(stripes)[:2]] == [3, 1]


def test_a_stripe_longer_than_the_blanket_shrinks_by_what_is_dragged(stripes):
    from core.design.document import Stripe
    from core.design.edits import set_sequence

    stripes.do("one", lambda d: set_sequence(d, (Stripe(0, 200),)), None)
    stripes.chart.show_all()
    stripes.view.set_placing(stripes.chart.placing)
    at = border(stripes, 0)
    row_px = (stripes.view._y(95) - stripes.view._y(96)) or 1
    drag(stripes.view, at, *(at + QPoint(0, round(row_px * n)) for n in (2, 3, 4, 4, 4, 4)))
    assert sequence(stripes)[0][1] == pytest.approx(196, abs=1)


def test_undo_in_the_middle_of_a_border_drag_lets_go(stripes):
    from core.design.document import Stripe
    from core.design.edits import set_sequence

    at = border(stripes, 2)
    QTest.mousePress(stripes.view, LEFT, Mods.NoModifier, at)
    stripes.do("undo", lambda d: set_sequence(d, (Stripe(0, 2),)), None)
    QTest.mouseMove(stripes.view, at - QPoint(0, 60))
    QTest.mouseRelease(stripes.view, LEFT, Mods.NoModifier, at)
    assert sequence(stripes) == [(0, 2)]


def test_a_run_is_never_dragged_to_nothing(wave):
    _, at = mark_at(wave, "run", 0)
    drag(wave.view, at, at + QPoint(0, 90))
    assert wave.shape.runs == (1, 3)
