"""The session: one writer, undo by snapshots, gestures joined, bounds kept."""

from functools import partial

import pytest

from app.session import Session
from core.design import edits
from core.design.files import read_design


@pytest.fixture
def session(demo_path):
    return Session(read_design(demo_path))


def test_undo_gives_back_the_very_same_design(session, qtbot):
    before = session.design
    session.change("Longer stripe", partial(edits.set_stripe, number=0, rows=6))
    assert session.design.stripes.sequence[0].rows == 6
    with qtbot.waitSignal(session.design_changed):
        session.undo_stack.undo()
    assert session.design is before


def test_a_drag_is_one_step(session):
    drag = object()
    for rows in (3, 4, 5):
        session.change("Move border", partial(edits.set_stripe, number=0, rows=rows), drag)
    assert session.undo_stack.count() == 1
    session.undo_stack.undo()
    assert session.design.stripes.sequence[0].rows == 2


def test_a_drag_back_to_its_start_leaves_nothing(session):
    before, drag = session.design, object()
    for rows in (3, 9, 2):
        session.change("Move border", partial(edits.set_stripe, number=0, rows=rows), drag)
    assert session.design == before
    assert session.undo_stack.count() == 0


def test_two_drags_are_two_steps(session):
    for drag, rows in ((object(), 3), (object(), 4)):
        session.change("Move border", partial(edits.set_stripe, number=0, rows=rows), drag)
    assert session.undo_stack.count() == 2


def test_an_impossible_edit_changes_nothing_and_says_why(session, qtbot):
    before = session.design
    with qtbot.waitSignal(session.refused) as said:
        done = session.change("Change width", partial(edits.set_size, repeats=0))
    assert not done
    assert session.design is before
    assert "size.repeats" in said.args[0]
    assert session.undo_stack.count() == 0


def test_an_edit_that_changes_nothing_is_no_step(session):
    session.change("Change width", partial(edits.set_size, repeats=session.design.size.repeats))
    assert session.undo_stack.count() == 0


def test_opening_another_design_forgets_the_history(session, demo_path):
    session.change("Change length", partial(edits.set_size, rows=10))
    assert not session.is_saved
    session.open(read_design(demo_path), demo_path)
    assert session.is_saved
    assert session.undo_stack.count() == 0
    assert session.path == demo_path
