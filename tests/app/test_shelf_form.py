"""One yarn of the shelf, with real keys: kept, weighed, put aside, taken into the design."""

from functools import partial

import pytest
from desk import Key, Mods, broken, press, typed
from msgspec.structs import replace as changed
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QMenu
from shelf_hands import settle
from shelved import yarn

from app.shelf_lists import DifferencesDialog
from app.stash_dialog import OWNED, StashDialog
from app.views.shelf.words import difference_words, first_failure, verdict
from core.design import edits
from core.errors import DesignError
from core.pipeline import Pipeline
from core.records import replace
from core.shelf.against import kept, put_in_place, taken_in, what_there_is, worth
from core.shelf.changes import put
from core.shelf.entry import Aside
from core.yarn.rows import row_yarn
from core.yarn.running_out import shortage


def test_an_empty_shelf_says_how_to_begin(open_shelf):
    dialog = open_shelf()
    shown = [label.text() for label in dialog.findChildren(QLabel) if label.isVisible()]
    assert "Nothing on the shelf yet" in shown
    assert dialog.first_button.isVisible() and dialog.keep_button.isVisible()


def test_a_first_yarn_is_named_counted_and_weighed_by_keys(open_shelf, store, qtbot):
    dialog = open_shelf()
    dialog.first_button.setFocus()
    QTest.keyClick(dialog.first_button, Key.Key_Space)
    settle(dialog, qtbot)
    form = dialog.form
    assert form.name.hasFocus() and form.name.selectedText() == form.name.text()
    QTest.keyClicks(form.name, "Tide")
    QTest.keyClick(form.name, Key.Key_Return)
    typed(form.balls, "4")
    typed(form.ball_m, "120")
    typed(form.lot, "A 12")
    typed(form.weighs, "23.5")
    settle(dialog, qtbot)
    (tide,) = store.read().entries
    assert (tide.name, tide.balls, tide.ball_m, tide.lot) == ("Tide", 4, 120, "A 12")
    assert tide.remnants == (23.5,)
    assert "4 balls + 23.5 g of Tide" in dialog.said.text()
    for _ in range(6):
        QTest.keyClick(dialog.list, Key.Key_Z, Mods.ControlModifier)
    settle(dialog, qtbot)
    assert store.read().entries == ()
    press(dialog.redo_button)
    settle(dialog, qtbot)
    assert len(store.read().entries) == 1


def test_steps_of_one_field_are_undone_as_one(open_shelf, store, qtbot):
    sea = yarn()
    store.apply(put("Put", [sea]))
    dialog = open_shelf()
    dialog.form.balls.setFocus(Qt.FocusReason.TabFocusReason)
    for _ in range(5):
        QTest.keyClick(dialog.form.balls, Key.Key_Up)
    settle(dialog, qtbot)
    assert store.read().entries[0].balls == 8
    dialog._undo()
    settle(dialog, qtbot)
    assert store.read().entries == (sea,)
    assert not dialog.undo_button.isEnabled()


def test_a_yarn_is_removed_and_comes_back(open_shelf, store, qtbot):
    sea, sand = yarn(remnants=(3.0,)), yarn("Sand")
    store.apply(put("Put", [sea, sand]))
    dialog = open_shelf()
    dialog.list.setFocus()
    assert dialog.chosen.name == "Sand"
    QTest.keyClick(dialog.list, Key.Key_Down)
    assert dialog.chosen == sea
    QTest.keyClick(dialog.list, Key.Key_Delete)
    settle(dialog, qtbot)
    assert store.read().entries == (sand,)
    assert "undo puts it back" in dialog.said.text()
    QTest.keyClick(dialog, Key.Key_Z, Mods.ControlModifier)
    settle(dialog, qtbot)
    assert set(store.read().entries) == {sea, sand}


def test_notes_typed_are_kept_when_the_shelf_is_closed(open_shelf, store, qtbot):
    store.apply(put("Put", [yarn()]))
    dialog = open_shelf()
    dialog.form.notes.setFocus()
    QTest.keyClicks(dialog.form.notes, "from the attic")
    QTest.keyClick(dialog.list, Key.Key_Escape)
    qtbot.waitUntil(lambda: store.read().entries[0].notes == "from the attic", timeout=5000)


# --- shelf and design --------------------------------------------------------------------


def test_a_yarn_is_put_aside_worked_and_taken_off_each_with_a_sentence(open_shelf, store, qtbot):
    sea = yarn(balls=3, remnants=(12.0,))
    store.apply(put("Put", [sea]))
    dialog = open_shelf()
    form = dialog.form
    typed(form.aside, "100")
    press(form.put_aside)
    settle(dialog, qtbot)
    assert store.read().entries[0].asides == (Aside("A ripple", 100.0),)
    assert "not free for another blanket" in dialog.said.text()
    assert "100 g put aside for A ripple" in form.there.text()
    typed(form.worked, "90")
    assert form.would.text().endswith("Taking 90 g off leaves 1 ball + 22 g of 3 balls + 12 g.")
    press(form.take_off)
    settle(dialog, qtbot)
    (after,) = store.read().entries
    assert (after.balls, after.remnants, after.asides) == (1, (22.0,), ())
    assert "What the design owns stays as it is" in dialog.said.text()
    press(dialog.undo_button)
    settle(dialog, qtbot)
    (chip,) = form.asides.buttons
    assert chip.accessibleName() == "100 g put aside for A ripple: give them back"
    press(chip)
    settle(dialog, qtbot)
    assert store.read().entries == (sea,)


def test_more_than_there_is_cannot_be_put_aside(open_shelf, store, qtbot):
    store.apply(put("Put", [yarn(balls=1)]))
    dialog = open_shelf()
    typed(dialog.form.aside, "60")
    press(dialog.form.put_aside)
    settle(dialog, qtbot)
    assert dialog.said.text() == "⚠ Only 50.0 g of Sea are free to be put aside."
    assert store.read().entries[0].asides == ()


def test_taking_a_yarn_into_the_design_is_one_step_and_leaves_the_shelf(
    window, open_shelf, store, qtbot
):
    store.apply(put("Put", [yarn("Ferry Rope", colour="#c9b48a", remnants=(25.0,), price=3.0)]))
    before, bytes_before = window.session.design, store.path.read_bytes()
    dialog = open_shelf()
    press(dialog.form.take)
    settle(dialog, qtbot)
    new = window.session.design.yarns[-1]
    assert (new.name, new.colour, new.owned_balls, new.price) == ("Ferry Rope", "#c9b48a", 3.5, 3.0)
    assert window.session.undo_stack.count() == 1
    window.session.undo_stack.undo()
    assert window.session.design is before
    assert store.path.read_bytes() == bytes_before


def test_all_that_is_listed_is_taken_into_the_design_in_one_step(window, open_shelf, store, qtbot):
    tar = {"colour": "#222222", "balls": 0}
    some = [
        yarn("Rope", colour="#c9b48a"),
        yarn("Tar", lot="1", remnants=(9.0,), **tar),
        yarn("Tar", lot="2", remnants=(16.0,), **tar),
    ]
    store.apply(put("Put", [*some, yarn("Gone", colour="#aa3333", balls=0)]))
    dialog, before = open_shelf(), window.session.design
    press(dialog.take_all_button)
    settle(dialog, qtbot)
    new = window.session.design.yarns[len(before.yarns) :]
    assert [one.name for one in new] == ["Rope", "Tar"]  # two lots of one yarn
    assert [one.owned_balls for one in new] == pytest.approx([3.0, (9 + 16) / 50])
    assert window.session.undo_stack.count() == 1
    press(dialog.take_all_button)
    assert "in the design already" in dialog.said.text()
    assert window.session.undo_stack.count() == 1


def test_a_typed_remnant_can_be_weighed_in_by_tab_and_space(open_shelf, store, qtbot):
    store.apply(put("Put", [yarn(balls=1)]))
    form = open_shelf().form
    form.weighs.setFocus()
    form.weighs.selectAll()
    QTest.keyClicks(form.weighs, "25")
    QTest.keyClick(form.weighs, Key.Key_Tab)
    assert form.weigh_in.hasFocus()
    QTest.keyClick(form.weigh_in, Key.Key_Space)
    qtbot.waitUntil(lambda: store.read().entries[0].remnants == (25.0,), timeout=10_000)


def test_a_design_full_of_yarns_says_so_and_one_that_has_it_too(window, open_shelf, store, qtbot):
    store.apply(put("Put", [yarn("Ferry Rope", colour="#c9b48a")]))
    dialog = open_shelf()
    press(dialog.form.take)
    press(dialog.form.take)
    assert dialog.said.text() == "Ferry Rope is in the design already, with 150 g owned."
    window.session.undo_stack.undo()
    sand = window.session.design.yarns[1]
    many = tuple(changed(sand, name=f"S {n}") for n in range(198))
    window.session.change("Many", lambda d: changed(d, yarns=d.yarns + many))
    assert len(window.session.design.yarns) == 200
    press(dialog.form.take)
    assert dialog.said.text() == "⚠ The design doesn't take Ferry Rope."
    assert len(window.session.design.yarns) == 200


def test_rows_that_do_not_fit_leave_the_shelf_as_it_is(window, open_shelf, store, ripple, qtbot):
    store.apply(put("Put", [yarn(), yarn("Sand", colour="#e9d8a6")]))
    dialog = open_shelf()
    window.session.change("Break", lambda design: changed(design, wave=broken(ripple)))
    assert window.live.results.rows.misfit is not None
    settle(dialog, qtbot)
    assert dialog.list.count() == 2 and "⚠" not in dialog.said.text()
    dialog.form.weighs.setValue(20)
    assert dialog.form.worth.text().startswith("20 g are 42 m")


def test_a_yarn_the_design_has_already_is_not_put_there_twice(ripple):
    design = taken_in(ripple, [yarn("sea", balls=2)], ())
    assert len(design.yarns) == len(ripple.yarns)
    assert design.yarns[0].owned_balls == pytest.approx(2)
    other = taken_in(ripple, [yarn("Sea", colour="#c1543c")], ())
    assert len(other.yarns) == len(ripple.yarns) + 1 and other.yarns[-1].name == "Sea 2"


def test_a_yarn_of_the_shelf_takes_the_place_of_one_of_the_design(ripple):
    worked = edits.set_yarn(ripple, 0, left_g=30.0, left_after=4, price=9.0, weight=3)
    entry = yarn("Tide", colour="#c1543c", balls=3, ball_m=150.0, price=None, weight=4)
    design = put_in_place(worked, 0, entry, [entry])
    assert design.stripes == worked.stripes and design.yarns[1:] == worked.yarns[1:]
    new = design.yarns[0]
    assert (new.name, new.colour, new.ball_m, new.weight) == ("Tide", "#c1543c", 150.0, 4)
    assert new.owned_balls == pytest.approx(3)
    assert (new.price, new.left_g, new.left_after) == (None, None, None)  # of the ball that went
    metres = [Pipeline().results(one).yarn[0].length_m for one in (worked, design)]
    assert metres[0] == pytest.approx(metres[1])  # the blanket is the same
    assert put_in_place(design, 0, entry, [entry]) == design
    with pytest.raises(DesignError, match="Tide is yarn 1 of this design already"):
        put_in_place(design, 1, entry, [entry])


def test_yarns_are_exchanged_by_keys_in_one_step(window, open_shelf, store, qtbot):
    store.apply(put("Put", [yarn("Tide", colour="#c1543c", balls=3)]))
    dialog, before = open_shelf(), window.session.design
    dialog.form.exchange.setFocus()
    QTest.keyClick(dialog.form.exchange, Key.Key_Space)
    menu = dialog.form.exchange.findChild(QMenu)
    qtbot.waitUntil(menu.isVisible)
    assert len(menu.actions()) == len(before.yarns)
    QTest.keyClick(menu, Key.Key_2)
    design = window.session.design
    assert design.yarns[1].name == "Tide" and design.yarns[0] == before.yarns[0]
    assert design.stripes == before.stripes
    assert f"in place of {before.yarns[1].name}" in dialog.said.text()
    window.session.undo_stack.undo()
    assert window.session.design == before


def test_what_is_aside_for_another_blanket_is_not_owned_here(ripple):
    entry = yarn("New", balls=4, asides=(Aside("Other", 100.0), Aside("A ripple", 20.0)))
    design = taken_in(ripple, [entry], [entry])
    assert design.yarns[-1].owned_balls == pytest.approx(2.0)


def test_the_design_owns_what_is_on_the_shelf_when_asked(window, open_shelf, store, qtbot):
    store.apply(put("Put", [yarn(balls=2, lot="A"), yarn(balls=1, lot="B", ball_m=210.0)]))
    dialog = open_shelf()
    press(dialog.tabs.button(1))
    assert "2 dye lots" in dialog.design.list.line(0).spoken
    press(dialog.design.own)
    owned = [one.owned_balls for one in window.session.design.yarns]
    assert owned == [pytest.approx(4.0), 0.0]
    assert window.session.undo_stack.count() == 1


def test_taking_one_of_two_lots_owns_both_and_says_so(window, open_shelf, store, qtbot):
    store.apply(put("Put", [yarn(balls=3, lot="A"), yarn(balls=1, lot="B")]))
    dialog = open_shelf()
    press(dialog.form.take)
    assert window.session.design.yarns[0].owned_balls == pytest.approx(4)
    assert "Sea was in the design already, with 200 g owned in 2 dye lots." in dialog.said.text()
    dialog.list.setFocus()
    QTest.keyClick(dialog.list, Key.Key_Down)
    press(dialog.form.take)
    assert window.session.undo_stack.count() == 1, "the other lot changes nothing"
    assert dialog.said.text() == "Sea is in the design already, with 200 g owned in 2 dye lots."


@pytest.mark.parametrize(
    ("shares", "told"),
    [
        ((0.7, 0.6), "no dye lot is enough alone: the largest, A, fails in stripe"),
        ((1.3, 0.5), "enough of one of 2 dye lots (A)"),
        ((1.01, 0.5), "enough of one of 2 dye lots (A), without all of the spare"),
        ((0.3, 0.2), "short; 2 dye lots: keep apart"),
        ((1.3,), "enough"),
    ],
)
def test_what_several_dye_lots_mean_is_told(ripple, shares, told):
    results = Pipeline().results(ripple)
    grams = [share * results.yarn[0].needed_m * 50 / 105 for share in shares]
    some = [yarn(balls=0, remnants=(g,), lot=lot) for g, lot in zip(grams, "AB", strict=False)]
    sand = yarn("Sand", colour="#e9d8a6", balls=90)
    haves = what_there_is(
        ripple, results.row_yarn, results.yarn_ends, results.yarn_of_row, results.yarn,
        [*some, sand],
    )  # fmt: skip
    assert told in verdict(haves[0], "cm")
    words = first_failure(haves, ("Sea", "Sand"))
    assert (
        ("but Sea only in several dye lots" in words)
        == haves[0].only_mixed
        == ("no dye lot" in told)
    )


def test_the_first_stripe_that_fails_is_the_one_the_yarn_page_would_tell(ripple):
    results = Pipeline().results(ripple)
    some = (yarn("Sea", balls=0, remnants=(20.0,)), yarn("Sand", colour="#e9d8a6", balls=90))
    haves = what_there_is(
        ripple, results.row_yarn, results.yarn_ends, results.yarn_of_row, results.yarn, some
    )
    as_typed = edits.set_yarn(ripple, 0, owned_balls=0.4)
    told = shortage(
        as_typed, results.row_yarn, results.yarn_ends, results.yarn_of_row, results.yarn[0]
    )
    assert (haves[0].row, haves[0].stripe) == (told.row, told.stripe) != (None, None)
    assert haves[1].row is None and verdict(haves[1], "cm") == "enough"
    words = first_failure(haves, ("Sea", "Sand"))
    assert f"stripe {told.stripe}, row {told.row}, Sea runs out" in words
    nothing = what_there_is(
        ripple, results.row_yarn, results.yarn_ends, results.yarn_of_row, results.yarn, ()
    )
    told = first_failure(nothing, ("Sea", "Sand"))
    assert "can't be begun" in told and "row 1, Sea is not on the shelf" in told


def test_a_near_colour_is_named_where_the_yarn_is_missing(ripple):
    results = Pipeline().results(ripple)
    some = (yarn("Harbour", colour="#2b7098"), yarn("Coal", colour="#202020"))
    have = what_there_is(
        ripple, results.row_yarn, results.yarn_ends, results.yarn_of_row, results.yarn, some
    )[0]
    assert have.near.name == "Harbour" and "near it: Harbour, 315 m" in verdict(have, "cm")


def test_a_remnant_works_the_rows_its_length_is_enough_for(ripple):
    by_row = row_yarn(ripple, Pipeline().results(ripple).rows)
    row, tails = float(by_row.row_m.max()), 0.3
    assert worth(ripple, by_row, 5 * row + tails).rows == 5
    assert worth(ripple, by_row, 5 * row + tails - 0.01).rows == 4
    assert worth(ripple, by_row, 0.2).rows == 0
    assert worth(ripple, by_row, 5 * row + tails).rows_sure <= 5


def test_keeping_the_designs_yarns_shows_first_what_changes(window, open_shelf, store, qtbot):
    window.session.change("Own", partial(edits.set_yarn, number=0, owned_balls=2.5))
    dialog = open_shelf()
    press(dialog.keep_button)
    shown = dialog.findChild(DifferencesDialog)
    assert [difference_words(one) for one in shown.differences] == [
        "new: 2 balls + 25 g", "new, none owned yet",
    ]  # fmt: skip
    assert [one.after.name for one in shown.chosen] == ["Sea"]
    assert not store.folder.exists()
    press(shown.go)
    settle(dialog, qtbot)
    (sea,) = store.read().entries
    assert (sea.balls, sea.remnants) == (2, (25.0,))
    again = kept(window.session.design, store.read().entries)
    assert [one.kind for one in again] == ["same", "new"]


def test_counted_balls_and_several_lots_are_left_alone(ripple):
    owned = edits.set_yarn(ripple, 0, owned_balls=1.5)
    sea = yarn(balls=1, remnants=(10.0, 15.0), price=4.5)
    assert kept(owned, (sea,))[0].kind == "same", "as much by weight: the bits stay two"
    assert kept(owned, (replace(sea, balls=0),))[0].kind == "changed"
    assert kept(ripple, (sea, yarn(lot="B")))[0].kind == "lots"
    none = edits.set_yarn(ripple, 0, owned_balls=0.0)
    assert kept(none, (sea,))[0].kind == "same", "owning nothing says nothing of the shelf"


def test_the_plan_from_the_stash_can_own_what_is_on_the_shelf(window, store, qtbot):
    store.apply(put("Put", [yarn(balls=7), yarn("Sand", colour="#e9d8a6", balls=5)]))
    before = store.path.read_bytes()
    window.choosers.plan_stash()
    stash = window.findChild(StashDialog)
    press(stash.shelf)
    qtbot.waitUntil(lambda: stash.table.item(0, OWNED).text() == "350", timeout=5000)
    assert stash.table.item(1, OWNED).text() == "250"
    qtbot.waitUntil(lambda: stash.plan is not None and stash.take.isEnabled(), timeout=10_000)
    press(stash.take)
    assert [one.owned_balls for one in window.session.design.yarns] == [7, 5]
    assert window.session.undo_stack.count() == 1
    assert store.path.read_bytes() == before


def test_a_stash_closed_before_the_shelf_answers_is_left_in_peace(window, store, qtbot):
    store.apply(put("Put", [yarn(balls=7)]))
    window.choosers.plan_stash()
    stash = window.findChild(StashDialog)
    press(stash.shelf)
    stash.reject()
    qtbot.waitUntil(lambda: not window.shelving.keeper.is_busy, timeout=5000)
    QApplication.processEvents()
    assert window.session.design.yarns[0].owned_balls == 0.5
