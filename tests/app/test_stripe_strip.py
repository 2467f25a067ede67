"""Many stripes at once on the strip: chosen, moved, copied, locked, by mouse and by keyboard."""

import pytest
from desk import LEFT, Key, Mods, drag
from PySide6.QtCore import QPoint
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from app.session import Session
from app.theme import Theme
from app.views.chart_view import ChartView
from app.views.stripe_strip import StripeStrip
from app.views.stripes.menu import stripe_menu
from core.design.document import Stripe, Yarn
from core.design.edits import add_yarn, set_sequence, set_size
from core.pipeline import Pipeline

ROWS = (2, 3, 1, 4, 2, 3)


class Desk:
    """The strip beside a chart, with a session behind it, as in the window."""

    def __init__(self, design, qtbot):
        theme = Theme()
        self.chart, self.strip = ChartView(theme), StripeStrip(theme)
        for widget in (self.chart, self.strip):
            qtbot.addWidget(widget)
            widget.resize(560, 640)
            widget.show()
        self.session = Session(design)
        self.refused, self.said, self.texts = [], [], []
        self._pipeline = Pipeline()
        self.strip.wish.connect(self._do)
        self.strip.deeds.said.connect(self.said.append)
        self.session.refused.connect(self.refused.append)
        self.session.design_changed.connect(lambda _: self.show())
        self.show()
        self.chart.show_all()
        self.show()
        self.strip.setFocus()

    def _do(self, text, edit, gesture):
        self.texts.append(text)
        self.session.change(text, edit, gesture)

    def show(self):
        results = self._pipeline.results(self.session.design)
        self.chart.show_results(results)
        self.strip.set_placing(self.chart.placing)
        self.strip.show_results(results, self.chart.fabric)

    @property
    def sequence(self):
        return [(s.yarn, s.rows) for s in self.session.design.stripes.sequence]

    @property
    def rows(self):
        return [rows for _, rows in self.sequence]

    @property
    def chosen(self):
        return self.strip.deeds.chosen

    def at(self, stripe):
        """Return the middle of a stripe."""
        return self.strip._rect(self.strip._worked[stripe]).center().toPoint()

    def click(self, stripe, mods=Mods.NoModifier):
        QTest.mouseClick(self.strip, LEFT, mods, self.at(stripe))

    def key(self, key, mods=Mods.NoModifier):
        QTest.keyClick(self.strip, key, mods)

    def drag(self, start, *way, mods=Mods.NoModifier):
        drag(self.strip, start, *way, mods=mods)


@pytest.fixture
def desk(ripple, qtbot):
    design = set_size(ripple, rows=20)
    design = add_yarn(design, Yarn(name="Fog", colour="#8a9097", ball_m=100, ball_g=50))
    stripes = tuple(Stripe(n % 3, rows) for n, rows in enumerate(ROWS))
    return Desk(set_sequence(design, stripes), qtbot)


# --- choosing ------------------------------------------------------------------------------


def test_ctrl_chooses_one_more_and_shift_up_to_here(desk):
    desk.click(1)
    desk.click(4, Mods.ControlModifier)
    assert desk.chosen == [1, 4]
    desk.click(2, Mods.ShiftModifier)
    assert desk.chosen == [2, 3, 4]
    desk.click(3, Mods.ControlModifier)
    assert desk.chosen == [2, 4]
    desk.click(0)
    assert desk.chosen == [0]


def test_a_band_drawn_from_the_margin_chooses_what_is_under_it(desk):
    low, high = QPoint(5, desk.at(1).y()), QPoint(5, desk.at(3).y())
    desk.drag(low, low - QPoint(0, 9), high)
    assert desk.chosen == [1, 2, 3]
    assert desk.texts == []


def test_keys_choose_too(desk):
    desk.key(Key.Key_Home)
    desk.key(Key.Key_Up, Mods.ShiftModifier)
    desk.key(Key.Key_Up, Mods.ShiftModifier)
    assert desk.chosen == [0, 1, 2]
    desk.key(Key.Key_Up)
    assert desk.chosen == [3]
    desk.key(Key.Key_Y)
    assert desk.chosen == [0, 3]  # all of its yarn
    desk.key(Key.Key_A, Mods.ControlModifier)
    assert desk.chosen == [0, 1, 2, 3, 4, 5]
    desk.key(Key.Key_Escape)
    assert len(desk.chosen) == 1
    desk.key(Key.Key_Home)
    desk.key(Key.Key_Up, Mods.ControlModifier)
    desk.key(Key.Key_Up, Mods.ControlModifier)
    desk.key(Key.Key_Space, Mods.ControlModifier)
    assert desk.chosen == [0, 2]


def test_what_is_chosen_is_told_to_a_screen_reader(desk):
    desk.strip.deeds.these([1, 3])
    assert desk.strip.accessibleDescription() == (
        "Stripe 2 of 6: 3 rows of Sand. 2 stripes chosen, 7 rows in all"
    )


# --- many at once --------------------------------------------------------------------------


def test_two_rows_each_and_a_yarn_for_all_chosen(desk):
    desk.strip.deeds.these([0, 1, 3])
    desk.key(Key.Key_At, Mods.ShiftModifier)
    assert desk.rows == [2, 2, 1, 2, 2, 3]
    desk.key(Key.Key_3)
    assert [yarn for yarn, _ in desk.sequence] == [2, 2, 2, 2, 1, 2]
    desk.key(Key.Key_Plus)
    assert desk.rows == [3, 3, 1, 3, 2, 3]
    assert desk.texts == [
        "Change rows of 3 stripes",
        "Change yarn of 3 stripes",
        "Change rows of 3 stripes",
    ]
    assert desk.session.undo_stack.count() == 3


def test_stripes_chosen_move_together_and_stay_chosen(desk):
    desk.strip.deeds.these([0, 1])
    desk.key(Key.Key_Up, Mods.AltModifier)
    assert desk.rows == [1, 2, 3, 4, 2, 3]
    assert desk.chosen == [1, 2]
    desk.key(Key.Key_Down, Mods.AltModifier)
    assert desk.rows == list(ROWS)
    assert desk.chosen == [0, 1]


def test_several_are_dragged_in_one_step(desk):
    desk.click(0)
    desk.click(2, Mods.ControlModifier)
    desk.drag(desk.at(0), desk.at(0) - QPoint(0, 20), desk.at(3) - QPoint(0, 6))
    assert desk.rows == [3, 4, 2, 1, 2, 3]
    assert desk.chosen == [2, 3]
    assert desk.texts == ["Move 2 stripes"]


def test_a_click_on_one_of_several_chooses_it_alone(desk):
    desk.click(0)
    desk.click(2, Mods.ShiftModifier)
    desk.click(1)
    assert desk.chosen == [1]


def test_dragged_with_ctrl_a_copy_is_put_there(desk):
    start = desk.at(0)
    desk.drag(start, start - QPoint(0, 20), desk.at(1) - QPoint(0, 6), mods=Mods.ControlModifier)
    assert desk.rows == [2, 3, 2, 1, 4, 2, 3]
    assert desk.texts == ["Copy stripe"]


def test_dropped_on_another_with_shift_both_change_places(desk):
    start = desk.at(1)
    desk.drag(start, start - QPoint(0, 20), desk.at(3), mods=Mods.ShiftModifier)
    assert desk.rows == [2, 4, 1, 3, 2, 3]
    assert desk.texts == ["Exchange stripes"]


def test_two_chosen_change_places_by_key(desk):
    desk.strip.deeds.these([1, 3])
    desk.key(Key.Key_X)
    assert desk.rows == [2, 4, 1, 3, 2, 3]
    desk.strip.deeds.these([1, 2, 3])
    desk.key(Key.Key_X)
    assert desk.said == ["Choose two stripes to let them change places."]


def test_split_join_mirror_reverse_and_repeat(desk):
    desk.strip.deeds.these([3])
    desk.key(Key.Key_S)
    assert desk.rows == [2, 3, 1, 2, 2, 2, 3]
    desk.key(Key.Key_J)
    assert desk.rows == list(ROWS)
    desk.key(Key.Key_R)
    assert desk.rows == list(ROWS)[::-1]  # of a single one: all of them
    desk.key(Key.Key_R)
    desk.strip.deeds.these([0, 1, 2])
    desk.key(Key.Key_M)
    assert desk.rows == [2, 3, 1, 3, 2, 4, 2, 3]
    desk.session.undo_stack.undo()
    desk.strip.deeds.these([0, 1])
    desk.key(Key.Key_D, Mods.ControlModifier)
    assert desk.rows == [2, 3, 2, 3, 1, 4, 2, 3]
    assert desk.chosen == [2, 3]


def test_cut_and_paste_puts_stripes_elsewhere(desk):
    QGuiApplication.clipboard().clear()
    desk.key(Key.Key_V, Mods.ControlModifier)
    assert desk.said == [
        "Nothing was pasted: there are no stripes on the clipboard: cut or copy some first."
    ]
    desk.strip.deeds.these([0, 1])
    desk.key(Key.Key_X, Mods.ControlModifier)
    assert desk.rows == [1, 4, 2, 3]
    desk.key(Key.Key_End)
    desk.key(Key.Key_V, Mods.ControlModifier)
    assert desk.rows == [1, 4, 2, 3, 2, 3]
    assert desk.chosen == [4, 5]
    assert desk.texts == ["Cut 2 stripes", "Paste 2 stripes"]


def test_deleting_all_leaves_one(desk):
    desk.key(Key.Key_A, Mods.ControlModifier)
    desk.key(Key.Key_Delete)
    assert desk.rows == [2]
    desk.key(Key.Key_Delete)
    assert desk.rows == [2] and desk.refused == []


def test_more_stripes_than_a_design_holds_are_refused_and_nothing_is_lost(desk):
    many = tuple(Stripe(n % 3, 1) for n in range(1500))
    desk.session.change("many", lambda design: set_sequence(design, many))
    desk.key(Key.Key_A, Mods.ControlModifier)
    desk.key(Key.Key_D, Mods.ControlModifier)
    assert desk.refused == [
        "Repeat 1500 stripes isn't possible: a sequence holds 2,000 stripes, and this would "
        "make 3,000."
    ]
    assert len(desk.sequence) == 1500 and len(desk.chosen) == 1500


def test_a_key_of_no_name_does_nothing(desk):
    from PySide6.QtCore import QEvent
    from PySide6.QtGui import QKeyEvent
    from PySide6.QtWidgets import QApplication

    QApplication.sendEvent(desk.strip, QKeyEvent(QEvent.Type.KeyPress, 0, Mods.NoModifier))
    assert desk.texts == []


# --- locked --------------------------------------------------------------------------------


def test_a_locked_stripe_keeps_place_and_rows(desk):
    desk.strip.deeds.these([1])
    desk.key(Key.Key_L)
    assert desk.session.design.stripes.sequence[1].locked
    desk.key(Key.Key_Plus)
    assert desk.rows == list(ROWS)
    assert desk.refused == [
        "Change stripe rows isn't possible: stripe 2 is locked; unlock it first."
    ]
    desk.key(Key.Key_A, Mods.ControlModifier)
    desk.key(Key.Key_R)
    assert desk.rows == [3, 3, 2, 4, 1, 2]
    desk.strip.choose(0)
    assert "locked" not in desk.strip.accessibleDescription()
    desk.strip.choose(1)
    assert desk.strip.accessibleDescription().endswith(", locked")


def test_a_border_beside_a_locked_stripe_takes_no_rows_from_it(desk):
    desk.strip.deeds.these([1])
    desk.key(Key.Key_L)
    rect = desk.strip._rect(desk.strip._worked[0])
    at = QPoint(round(rect.center().x()), round(rect.top()))
    row_px = rect.height() / 2
    desk.drag(at, at - QPoint(0, round(row_px)), at - QPoint(0, round(2 * row_px)))
    assert desk.rows == [4, 3, 1, 4, 2, 3]


def test_escape_puts_a_dragged_border_back(desk):
    rect = desk.strip._rect(desk.strip._worked[0])
    at = QPoint(round(rect.center().x()), round(rect.top()))
    QTest.mousePress(desk.strip, LEFT, Mods.NoModifier, at)
    QTest.mouseMove(desk.strip, at - QPoint(0, round(rect.height())))
    assert desk.rows != list(ROWS)
    desk.key(Key.Key_Escape)
    assert desk.rows == list(ROWS)
    assert desk.session.undo_stack.count() == 0  # a gesture that came back to its start


# --- echo ----------------------------------------------------------------------------------


def test_rows_that_are_echo_are_hatched_and_say_whose(desk):
    worked = desk.strip._worked
    assert len(worked) > len(ROWS) and desk.strip._places.is_echo(len(ROWS))
    image = desk.strip.grab().toImage()

    def shades(stripe):
        rect = desk.strip._rect(worked[stripe]).toRect().adjusted(3, 3, -3, -3)
        return {
            image.pixel(x, y)
            for x in range(rect.left(), rect.right())
            for y in range(rect.top(), rect.bottom())
        }

    own = next(n for n in range(len(ROWS)) if worked[n].entry == worked[len(ROWS)].entry)
    assert shades(len(ROWS)) - shades(own)
    said = desk.strip._said_at(desk.at(len(ROWS)).y())
    assert said == "2 rows of Sea: the echo of stripe 1. Change it there."
    desk.click(len(ROWS))
    assert desk.chosen == [0]


def test_the_menu_offers_all_of_it_and_does_it(desk):
    desk.strip.deeds.these([0, 1])
    menu = stripe_menu(desk.strip.deeds, desk.strip)
    words = [action.text().split("\t")[0].replace("&", "") for action in menu.actions()]
    for needed in (
        "Yarn", "One row more", "Two rows each", "Rename…", "Lock", "Add a stripe above",
        "Duplicate", "Mirror: add the way back", "Split in two", "Join", "Delete", "Move up",
        "Reverse their order", "Exchange two", "Cut", "Copy", "Paste above", "Choose all",
        "Choose all of its yarn",
    ):  # fmt: skip
        assert needed in words
    menu.actions()[words.index("Two rows each")].trigger()
    assert desk.rows == [2, 2, 1, 4, 2, 3]
    menu.deleteLater()
