"""The yarn's page in its parts, and the plan from the stash."""

import math
from datetime import date
from functools import partial

import pytest
from desk import Desk, typed
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.session import Session
from app.stash_dialog import LEFT, NAME, OWNED, USED, StashDialog
from app.views.fabric_view import FabricView
from app.views.fabric_yarn import YarnMarks
from app.views.figures import length, number, yarn_length, yarn_unit_m
from app.views.pages.yarn import YarnPage
from app.views.pages.yarn_ball import verdict_words
from app.views.pages.yarn_hours import hours_words
from app.views.pages.yarn_table import BAR
from core.design import edits
from core.design.document import Item, Reckoning, Swatch
from core.fabric.measure import length_after
from core.pipeline import Pipeline
from core.yarn.hours import hours_of
from core.yarn.running_out import meter
from core.yarn.shopping import yarn_totals
from core.yarn.stash import Wish, plan_stash, take
from core.yarn.stops import stopping_places

LEFT_BUTTON = Qt.MouseButton.LeftButton
Key = Qt.Key


@pytest.fixture
def desk(theme, ripple, qtbot):
    """Put the page on a desk, with the ripple or another design."""

    def make(design=ripple):
        page = YarnPage(theme)
        qtbot.addWidget(page)
        page.resize(320, 700)
        return Desk(design, page)

    return make


def folds(page):
    """Return the page's groups that fold."""
    return (
        page.swatch,
        page.allowances,
        page.ball,
        page.stops,
        page.edge_ends,
        page.hours,
        page.instead,
    )


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("units", ["cm", "in"])
def test_nothing_is_cut_off_where_everything_is_unfolded(desk, dressed, ripple, scale, units):
    dressed(scale)
    long = replace(
        ripple.yarns[0], name="Old harbour rope in winter", ball_m=1234.5, left_g=20, left_after=3
    )
    design = replace(ripple, units=units, yarns=(long, *ripple.yarns[1:]))
    design = edits.set_reckoning(design, row_minutes=12.5, week_hours=7.5)
    page = desk(design).page
    for group in folds(page):
        group.fold.open()
    for way in ("plain", "wave", "rows", "stitches"):
        page.swatch._set_way(way)
        QApplication.processEvents()
        assert page._column.width() <= page._scroll.viewport().width(), way


def test_every_field_can_be_reached_by_tab_and_has_a_name(desk):
    page = desk().page
    for group in folds(page):
        group.fold.open()
    page.setFocus()
    reached = set()
    while (here := page.focusWidget()) not in reached:
        reached.add(here)
        QTest.keyClick(here, Key.Key_Tab)
    for field in (
        page.chosen.owned_g,
        page.swatch.way,
        page.allowances.spare,
        page.allowances.tail,
        page.ball.grams,
        page.ball.after,
        page.stops.slider,
        page.edge_ends.carry,
        page.edge_ends.minutes,
        page.hours.minutes,
        page.hours.week,
        page.instead.ball_m,
        page.stash_button,
    ):
        assert field in reached or not field.isEnabled(), field.accessibleName()
        assert field.accessibleName() or field.text()


def test_grams_owned_are_balls_owned(desk, ripple):
    yarn = desk()
    assert yarn.page.chosen.owned_g.text() == "25 g"  # half a ball of 50 g
    typed(yarn.page.chosen.owned_g, "120")
    assert yarn.design == edits.set_yarn(ripple, 0, owned_balls=2.4)
    assert yarn.page.owned.text() == "2.4 balls"


def test_the_bar_is_what_is_needed_filled_as_far_as_it_is_owned(desk, ripple):
    yarn = desk()
    needed, owned = yarn.page.table.item(0, NAME).data(BAR)
    use = yarn.results.yarn[0]
    assert needed == 1.0 and owned == pytest.approx(0.5 * 105 / use.length_m)
    yarn.session.change("Own", partial(edits.set_yarn, number=0, owned_balls=100))
    needed, owned = yarn.page.table.item(0, NAME).data(BAR)
    assert owned == 1.0 and needed < 0.1


def test_the_row_where_a_colour_fails_is_said_and_marked(desk, ripple):
    yarn = desk()
    marks = []
    yarn.page.marks_changed.connect(marks.append)
    yarn.session.change("Own", partial(edits.set_yarn, number=0, owned_balls=0.7))
    assert "fails at row" in yarn.page.lines.fails.text()
    ((row, words),) = marks[-1].fails
    assert f"row {row}," in yarn.page.lines.fails.text() and words == "Sea runs out"
    yarn.page.hide()
    assert marks[-1] == YarnMarks()


def test_spare_and_tail_are_set_in_percent_and_centimetres(desk, ripple):
    yarn = desk()
    yarn.page.allowances.fold.open()
    typed(yarn.page.allowances.spare, "20")
    typed(yarn.page.allowances.tail, "30")
    assert yarn.design.reckoning == Reckoning(spare=0.2, tail_mm=300)
    assert yarn.page.spare.label.text() == "Spare, 20 %"
    assert yarn.page.allowances.fold.summary.text() == "20 % spare, tails of 30.0 cm"
    yarn.session.undo_stack.undo()
    yarn.session.undo_stack.undo()
    assert yarn.design is ripple


# --- the swatch ----------------------------------------------------------------------------


def test_a_weighed_swatch_is_taken_over_with_how_sure_it_is(desk, ripple):
    yarn = desk()
    swatch = yarn.page.swatch
    swatch.fold.open()
    assert not swatch.use.isEnabled() and not swatch.trouble.isVisible()
    typed(swatch.number("grams"), "20")
    typed(swatch.number("width"), "16")
    typed(swatch.number("length"), "20")
    # 20 g of 105 m in 50 g over 0.032 square metres
    assert f"That is {number(42 / 0.032)} m in a square metre" in swatch.told.text()
    QTest.keyClick(swatch.use, Key.Key_Space)
    assert yarn.design.swatch.yarn_m_per_m2 == pytest.approx(1312.5)
    assert 0.03 < yarn.design.swatch.yarn_off < 0.05
    assert yarn.session.undo_stack.count() == 1
    assert "from your weighed swatch" in yarn.page.source.text()


def test_what_was_typed_of_a_swatch_outlives_other_edits(desk):
    yarn = desk()
    swatch = yarn.page.swatch
    typed(swatch.number("grams"), "18")
    yarn.session.change("Units", partial(edits.set_values, units="in"))
    yarn.session.change("Rows", partial(edits.set_size, rows=30))
    assert swatch.number("grams").text() == "18 g"


def test_a_swatch_that_cannot_be_is_refused_in_a_sentence(desk):
    swatch = desk().page.swatch
    swatch.fold.open()
    typed(swatch.number("grams"), "90000")
    assert "which no cloth takes" in swatch.trouble.text() and not swatch.use.isEnabled()
    swatch._set_way("rows")
    typed(swatch.number("first"), "12")
    typed(swatch.number("last"), "3")
    assert "aren't rows of this blanket" in swatch.trouble.text()


def test_emptying_the_figure_forgets_how_sure_it_was(desk, ripple):
    yarn = desk(replace(ripple, swatch=Swatch(yarn_m_per_m2=1200, yarn_off=0.1)))
    typed(yarn.page.per_area, "0")
    assert yarn.design.swatch is None


# --- the ball in work ----------------------------------------------------------------------


def test_the_ball_in_work_says_how_far_it_goes(desk, ripple):
    yarn = desk()
    ball = yarn.page.ball
    ball.fold.open()
    typed(ball.grams, "12")
    typed(ball.after, "4")
    assert (yarn.design.yarns[0].left_g, yarn.design.yarns[0].left_after) == (12, 4)
    results = yarn.results
    found = meter(
        results.design,
        results.row_yarn,
        results.yarn_ends,
        results.yarn_of_row,
        yarn=0,
        grams=12,
        after=4,
    )
    assert ball.rows.text() == str(found.rows)
    assert ball.sure.text() == f"{found.rows_sure} and {found.rows_best}"
    told = verdict_words(found, "cm")
    assert told in ball.verdict.text() or told in ball.trouble.text()
    typed(ball.grams, "60")
    assert "more than a ball of Sea holds" in ball.trouble.text()
    assert yarn.design.yarns[0].left_g == 60  # kept until it is mended
    typed(ball.grams, "0")
    assert yarn.design == ripple


# --- stopping places -----------------------------------------------------------------------


def test_the_slider_goes_from_one_stopping_place_to_the_next(desk, ripple):
    yarn = desk()
    stops, marks = yarn.page.stops, []
    yarn.page.marks_changed.connect(marks.append)
    stops.fold.open()
    places = stopping_places(ripple, yarn.results.yarn_of_row, yarn.results.yarn_ends)
    assert [place.row for place in places] == list(range(2, 21, 2))
    stops.slider.setFocus()
    QTest.keyClick(stops.slider, Key.Key_Home)
    QTest.keyClick(stops.slider, Key.Key_Right)
    QTest.keyClick(stops.slider, Key.Key_Right)
    assert stops.place.text() == "6 of 20" and marks[-1].row == 6
    assert "the same from both ends" in stops.why.text().lower()
    assert "Sand" in stops.left.text() and "Sea" in stops.left.text()
    QTest.keyClick(stops.take, Key.Key_Space)
    assert yarn.design == edits.set_size(ripple, rows=6)
    assert stops.place.text() == "6 of 6" and not stops.take.isEnabled()


# --- ends and hours ------------------------------------------------------------------------


def test_ends_are_told_by_edge_and_what_carrying_saves(desk, ripple):
    yarn = desk()
    ends = yarn.page.edge_ends
    ends.fold.open()
    assert (ends.all.text(), ends.left.text(), ends.right.text()) == ("20", "1", "19")
    assert ends.takes.text() == "40 min"
    assert "Sea and Sand could be carried past 4 rows: 16 ends fewer." in ends.could.text()
    typed(ends.carry, "2")
    assert yarn.design.reckoning == Reckoning(carry_rows=2)
    assert ends.all.text() == "4" and "Carried up the side" in ends.could.text()
    assert yarn.page.ends.text() == "4"
    assert "carried" in ends.picture.accessibleDescription()
    assert yarn.page.lines.carried.isVisible() and yarn.page.lines.carried.text() != "–"


def test_two_row_stripes_are_set_against_single_rows(desk, ripple):
    single = edits.set_stripe(edits.set_stripe(ripple, 0, rows=1), 1, rows=1)
    ends = desk(single).page.edge_ends
    assert "there would be 20 ends, 4 with yarns carried: up to 36 fewer" in ends.two_rows.text()


def test_hours_are_told_in_one_breath(desk, ripple):
    yarn = desk()
    hours = yarn.page.hours
    hours.fold.open()
    typed(hours.minutes, "60")
    typed(hours.week, "5")
    assert yarn.design.reckoning == Reckoning(row_minutes=60, week_hours=5)
    assert "20." in hours.rows.text() and hours.ends.text() == "40 min"
    results = yarn.results
    found = hours_of(results.design, results.rows, results.row_yarn, (), results.tails)
    words = hours_words(found, date(2026, 3, 1))
    assert "1 evening of 2 h of ends" in words
    assert str(found.by(date(2026, 3, 1)).day) in words.rpartition("done by")[2]


# --- another yarn --------------------------------------------------------------------------


def test_another_yarn_is_reckoned_by_length_and_taken_in_one_step(desk, ripple):
    yarn = desk()
    instead = yarn.page.instead
    instead.fold.open()
    assert not instead.take.isEnabled()
    typed(instead.ball_m, "295")
    typed(instead.ball_g, "100")
    assert instead.balls.text() == str(math.ceil(yarn.results.yarn[0].length_m / 295))
    assert "another thickness" in instead.told.text()
    QTest.keyClick(instead.take, Key.Key_Space)
    taken = yarn.design.yarns[0]
    assert (taken.ball_m, taken.ball_g, taken.owned_balls) == (295, 100, 0)
    assert yarn.session.undo_stack.count() == 1


# --- the stash -----------------------------------------------------------------------------


@pytest.fixture
def stash(theme, ripple, qtbot):
    """Open the dialog for a design with so many balls owned of each yarn."""
    dialogs = []

    def make(*balls):
        design = ripple
        for number_, owned in enumerate(balls):
            design = edits.set_yarn(design, number_, owned_balls=owned)
        dialog = StashDialog(Pipeline().results(design), theme)
        qtbot.addWidget(dialog)
        dialogs.append(dialog)
        qtbot.waitUntil(lambda: dialog.said.text() != "reckoning…", timeout=5000)
        return dialog, design

    yield make
    for dialog in dialogs:
        dialog.done(0)


def waited(qtbot, dialog):
    qtbot.waitUntil(lambda: dialog.said.text() != "reckoning…", timeout=5000)


def test_a_plan_is_shown_and_taken_as_one_step(stash, qtbot):
    dialog, design = stash(2, 3)
    plan = plan_stash(design, Wish(stripe_rows=2))
    assert dialog.plan == plan
    assert dialog.table.item(0, USED).text() == str(plan.counts[0])
    assert dialog.said.text().startswith(f"{plan.rows} rows in {sum(plan.counts)} stripes")
    session = Session(design)
    dialog.wish.connect(lambda text, edit, gesture: session.change(text, edit, gesture=gesture))
    QTest.mouseClick(dialog.take, LEFT_BUTTON)
    assert session.design == take(design, plan)
    assert session.undo_stack.count() == 1
    results = Pipeline().results(session.design)
    assert yarn_totals(results.yarn, session.design.yarns).to_buy == 0


def test_grams_typed_in_the_list_are_planned_with_and_taken_too(stash, qtbot):
    dialog, design = stash(2, 3)
    dialog.table.item(0, OWNED).setText("250")
    waited(qtbot, dialog)
    richer = edits.set_yarn(design, 0, owned_balls=5)
    assert dialog.plan == plan_stash(richer, Wish(stripe_rows=2))
    found = []
    dialog.wish.connect(lambda text, edit, gesture: found.append(edit(design)))
    QTest.keyClick(dialog.take, Key.Key_Space)
    assert found == [take(richer, plan_stash(richer, Wish(stripe_rows=2)))]


@pytest.mark.parametrize(
    ("text", "words"),
    [("-5", "can't own less than nothing"), ("much", "as a number"), ("1e12", "owned_balls")],
)
def test_grams_that_cannot_be_are_put_back_with_a_sentence(stash, text, words):
    dialog, _ = stash(2, 3)
    dialog.table.item(0, OWNED).setText(text)
    assert words in dialog.said.text()
    assert dialog.table.item(0, OWNED).text() == "100"


def test_an_impossible_stash_says_why_and_nothing_can_be_taken(stash, qtbot):
    dialog, _ = stash(0, 0)
    assert "No yarn is owned yet" in dialog.said.text() and not dialog.take.isEnabled()
    dialog.table.item(0, OWNED).setText("100")
    waited(qtbot, dialog)
    assert "Only Sea is owned" in dialog.said.text()
    dialog.manner.setFocus()
    QTest.keyClick(dialog.manner, Key.Key_End)
    waited(qtbot, dialog)
    assert "Sand would fail at row 3" in dialog.said.text()
    assert not dialog.rows.isEnabled()


def test_mirrored_and_fair_plans_are_asked_for_by_keyboard(stash, qtbot):
    dialog, design = stash(2, 3)
    dialog.mirrored.box.setFocus()
    QTest.keyClick(dialog.mirrored.box, Key.Key_Space)
    waited(qtbot, dialog)
    assert dialog.plan == plan_stash(design, Wish(stripe_rows=2, mirrored=True))
    dialog.manner.setFocus()
    QTest.keyClick(dialog.manner, Key.Key_Down)
    waited(qtbot, dialog)
    assert dialog.plan == plan_stash(design, Wish(manner="fair", stripe_rows=2, mirrored=True))
    assert dialog.table.item(0, LEFT).text() == number(dialog.plan.left_m[0])


def test_the_window_opens_the_stash_and_marks_the_fabric(open_window, qtbot, ripple):
    window = open_window(ripple, size=None, settled=False)
    window.show_page(window.pages.index(window.yarn))
    window.yarn.stops.fold.open()
    window.yarn.stops.slider.setValue(1)
    assert window.fabric._yarn_marks.row == 4
    QTest.mouseClick(window.yarn.stash_button, LEFT_BUTTON)
    (dialog,) = window.findChildren(StashDialog)
    qtbot.waitUntil(lambda: dialog.said.text() != "reckoning…", timeout=5000)
    dialog.table.item(1, OWNED).setText("150")
    dialog.table.item(0, OWNED).setText("150")
    qtbot.waitUntil(lambda: dialog.take.isEnabled(), timeout=5000)
    QTest.mouseClick(dialog.take, LEFT_BUTTON)
    assert window.session.design != ripple
    window.session.undo_stack.undo()
    assert window.session.design is ripple
    window.close()


def test_marks_are_painted_and_said(theme, ripple, qtbot):
    view = FabricView(theme)
    qtbot.addWidget(view)
    view.resize(500, 400)
    view.show_results(Pipeline().results(ripple))
    bare = view.grab().toImage()
    view.mark_yarn(YarnMarks(4, True, ((7, "Sea runs out"),)))
    assert "Sea runs out at row 7" in view.accessibleDescription()
    assert view.grab().toImage() != bare
    view.close_worker()


@given(length_m=st.floats(0.1, 1e5), digits=st.integers(0, 2))
def test_yards_and_metres_round_trip(length_m, digits):
    text = yarn_length(length_m, "in", digits).removesuffix(" yd")
    yards, ok = QLocale().toDouble(text)
    assert ok and yards * yarn_unit_m("in") == pytest.approx(length_m, abs=0.46 / 10**digits)


@pytest.mark.parametrize("skipped", [0, 5])
def test_rows_that_do_not_fit_still_have_a_page(desk, ripple, skipped):
    start = (Item(skip=skipped),) if skipped else ripple.wave.start
    wave = replace(ripple.wave, start=start, end=())
    yarn = desk(edits.set_wave(ripple, wave))
    assert yarn.results.rows.misfit is not None
    for group in folds(yarn.page):
        group.fold.open()
    yarn.session.change("Own", partial(edits.set_yarn, number=0, owned_balls=1))
    yarn.session.change("Time", partial(edits.set_reckoning, row_minutes=5.0))
    yarn.session.change("Weigh", partial(edits.set_yarn, number=0, left_g=5.0))
    assert yarn.page.in_rows.text().endswith(" m")


def test_enter_in_a_field_of_the_stash_takes_nothing(stash):
    dialog, _ = stash(2, 3)
    taken = []
    dialog.wish.connect(lambda *wish: taken.append(wish))
    dialog.rows.setFocus()
    QTest.keyClick(dialog.rows, Key.Key_Return)
    assert not taken


def test_a_fabric_come_to_rest_changes_lengths_and_nothing_else(theme, ripple, qtbot):
    page, pipeline = YarnPage(theme), Pipeline()
    qtbot.addWidget(page)
    page.resize(320, 700)
    page.show_results(pipeline.results(ripple))
    page.show()
    page.stops.fold.button.click()
    before, shown = page.stops.long.text(), []
    page.table.show_results = lambda *_: shown.append("table")
    settled = pipeline.settled_results(ripple)
    page.show_results(settled)
    at = page.stops.row
    wanted = length(length_after(settled.fabric, at), ripple.units)
    assert page.stops.long.text() == wanted and before and not shown
    page.show_results(pipeline.results(edits.set_yarn(ripple, 0, name="Kelp")))
    assert shown == ["table"]
