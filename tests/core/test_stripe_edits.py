"""Stripes by hand, many at once: rows are kept, locked stripes stay, twins undo each other."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.design import stripe_edits as by_hand
from core.design.document import Stripe
from core.design.edits import add_yarn, remove_yarn, set_sequence
from core.design.files import design_from_bytes, design_text
from core.design.plan import Barred, Plan, Share
from core.design.validation import checked
from core.errors import DesignError
from core.stripes.clipboard import stripes_in, text_of

stripes = st.builds(Stripe, st.integers(0, 1), st.integers(1, 9), st.booleans())
sequences = st.lists(stripes, min_size=1, max_size=9).map(tuple)
choices = st.sets(st.integers(-1, 10))


def in_order(design):
    return [(s.yarn, s.rows, s.locked) for s in design.stripes.sequence]


def locked(sequence):
    return {n: s for n, s in enumerate(sequence) if s.locked}


def tried(edit, design, *rest):
    """Return what an edit comes to; one that is refused leaves the design."""
    try:
        return checked(edit(design, *rest))
    except DesignError as error:
        assert str(error)
        return design


@given(sequences, choices, st.integers(-1, 11))
def test_every_reordering_keeps_all_stripes_and_leaves_locked_ones_in_place(
    two_row_ripple, sequence, chosen, gap
):
    design = set_sequence(two_row_ripple, sequence)
    for order in (
        by_hand.moved(sequence, chosen, gap),
        by_hand.nudged(sequence, chosen, 1),
        by_hand.nudged(sequence, chosen, -1),
        by_hand.reversed_order(sequence, chosen),
    ):
        after = by_hand.reorder(design, order)
        assert sorted(in_order(after)) == sorted(in_order(design))
        assert locked(after.stripes.sequence) == locked(sequence)
        assert after.stripes.rows == design.stripes.rows
        checked(after)


@given(sequences, choices)
def test_reversing_twice_is_as_before(two_row_ripple, sequence, chosen):
    design = set_sequence(two_row_ripple, sequence)
    once = by_hand.reorder(design, by_hand.reversed_order(sequence, chosen))
    again = by_hand.reversed_order(once.stripes.sequence, chosen)
    assert by_hand.reorder(once, again) == design


@given(st.lists(st.integers(1, 9), min_size=3, max_size=9), st.data())
def test_up_and_down_again_is_as_before(two_row_ripple, rows, data):
    sequence = tuple(Stripe(0, n) for n in rows)
    number = data.draw(st.integers(0, len(rows) - 2))
    design = set_sequence(two_row_ripple, sequence)
    up = by_hand.nudged(sequence, [number], 1)
    assert up.index(number) == number + 1
    moved = by_hand.reorder(design, up)
    down = by_hand.nudged(moved.stripes.sequence, [number + 1], -1)
    assert by_hand.reorder(moved, down) == design


@given(sequences, choices)
def test_splitting_keeps_the_rows_and_joining_undoes_it(two_row_ripple, sequence, chosen):
    design = set_sequence(two_row_ripple, sequence)
    after = tried(by_hand.split, design, chosen)
    assert after.stripes.rows == design.stripes.rows
    cut = [n for n in by_hand.picked(sequence, chosen) if not sequence[n].locked]
    cut = [n for n in cut if sequence[n].rows > 1]
    if len(cut) == 1:
        assert by_hand.join(after, [cut[0], cut[0] + 1]) == design


@given(sequences, choices)
def test_joining_keeps_the_rows(two_row_ripple, sequence, chosen):
    design = set_sequence(two_row_ripple, sequence)
    after = tried(by_hand.join, design, chosen)
    assert after.stripes.rows == design.stripes.rows
    assert locked(after.stripes.sequence).keys() <= set(range(len(sequence)))


@given(sequences, choices, st.integers(1, 3))
def test_repeating_adds_the_chosen_rows_so_many_times(two_row_ripple, sequence, chosen, times):
    design = set_sequence(two_row_ripple, sequence)
    numbers = by_hand.picked(sequence, chosen)
    after = by_hand.repeat(design, chosen, times)
    more = times * sum(sequence[n].rows for n in numbers)
    assert after.stripes.rows == design.stripes.rows + more
    if numbers:
        put_in = range(numbers[-1] + 1, numbers[-1] + 1 + times * len(numbers))
        assert by_hand.remove(after, put_in) == design


def test_a_mirror_turns_on_the_last_stripe_without_doubling_it(two_row_ripple):
    sequence = (Stripe(0, 1), Stripe(1, 2), Stripe(0, 3))
    design = by_hand.mirror(set_sequence(two_row_ripple, sequence), [0, 1, 2])
    assert [s.rows for s in design.stripes.sequence] == [1, 2, 3, 2, 1]


@given(st.lists(stripes, min_size=2, max_size=9).map(tuple))
def test_a_mirrored_sequence_reads_the_same_from_both_ends(two_row_ripple, sequence):
    after = by_hand.mirror(set_sequence(two_row_ripple, sequence), range(len(sequence)))
    found = [(s.yarn, s.rows) for s in after.stripes.sequence]
    assert found == found[::-1]
    assert after.stripes.rows == 2 * sum(s.rows for s in sequence) - sequence[-1].rows


@given(sequences, choices)
def test_two_rows_each_passes_over_locked_stripes(two_row_ripple, sequence, chosen):
    design = set_sequence(two_row_ripple, sequence)
    after = tried(lambda d, c: by_hand.set_each(d, c, rows=2), design, chosen)
    assert locked(after.stripes.sequence) == locked(sequence)
    free = [n for n in by_hand.picked(sequence, chosen) if not sequence[n].locked]
    assert all(after.stripes.sequence[n].rows == 2 for n in free)


@given(sequences, choices)
def test_a_blanket_keeps_one_stripe_and_every_locked_one(two_row_ripple, sequence, chosen):
    after = tried(by_hand.remove, set_sequence(two_row_ripple, sequence), chosen)
    assert len(after.stripes.sequence) >= 1
    left = [s for s in after.stripes.sequence if s.locked]
    assert left == [s for s in sequence if s.locked]


def test_a_locked_stripe_says_what_to_do(two_row_ripple):
    design = by_hand.set_locked(two_row_ripple, [1], True)
    with pytest.raises(DesignError, match=r"^stripe 2 is locked; unlock it first$"):
        by_hand.set_each(design, [1], rows=4)
    with pytest.raises(DesignError, match="stripe 2 is locked"):
        by_hand.exchange(design, 0, 1)
    with pytest.raises(DesignError, match="stripe 2 is locked"):
        by_hand.join(design, [0])
    assert by_hand.set_locked(design, [1], False) == two_row_ripple


def test_exchanging_twice_is_as_before(two_row_ripple):
    once = by_hand.exchange(two_row_ripple, 0, 1)
    assert once != two_row_ripple
    assert by_hand.exchange(once, 1, 0) == two_row_ripple


def test_names_locks_and_plans_are_kept_in_the_file(two_row_ripple):
    named = by_hand.set_label(two_row_ripple, [0], "High water")
    plan = Plan(shares=(Share(0, 1, 3), Share(1)), barred=(Barred(0, 1),), dates=("2019-05-03",))
    kept = by_hand.set_planned(named, by_hand.set_locked(named, [1], True).stripes.sequence, plan)
    assert design_from_bytes(design_text(kept).encode()) == kept
    assert "label" not in design_text(two_row_ripple)
    assert "plan" not in design_text(two_row_ripple)


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        ({"yarn": 0, "rows": 2, "label": "x" * 41}, "stripes.sequence[0].label"),
        ({"yarn": 0, "rows": 2, "locked": 1}, "stripes.sequence[0].locked: expected true or false"),
        ({"yarn": 0, "rows": 2, "colour": 1}, "stripes.sequence[0].colour: unknown key"),
    ],
)
def test_a_bad_stripe_in_a_file_is_named_by_its_path(two_row_ripple, raw, says):
    from core.design.validation import design_from_raw, raw_from_design

    whole = raw_from_design(two_row_ripple)
    whole["stripes"]["sequence"] = [raw]
    with pytest.raises(DesignError) as caught:
        design_from_raw(whole)
    assert str(caught.value).startswith(says)


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        ({"count": 2001}, "stripes.plan.count: expected an integer of 2000 or less"),
        ({"shares": [{"yarn": 2}]}, "stripes.plan: there is no yarn 2"),
        ({"shares": [{"yarn": 0, "least": 3, "most": 2}]}, "stripes.plan.shares[0]: at least 3"),
        ({"dates": ["3 May"]}, "stripes.plan.dates[0]: expected"),
        ({"colour": 1}, "stripes.plan.colour: unknown key"),
    ],
)
def test_a_bad_plan_in_a_file_is_named_by_its_path(two_row_ripple, plan, says):
    from core.design.validation import design_from_raw, raw_from_design

    whole = raw_from_design(two_row_ripple)
    whole["stripes"]["plan"] = plan
    with pytest.raises(DesignError) as caught:
        design_from_raw(whole)
    assert str(caught.value).startswith(says)


def test_a_removed_yarn_leaves_the_plan_too(two_row_ripple):
    from core.design.document import Yarn

    third = add_yarn(two_row_ripple, Yarn(name="Fog", colour="#999999", ball_m=100, ball_g=50))
    plan = Plan(shares=(Share(0), Share(1), Share(2)), barred=(Barred(0, 1), Barred(0, 2)))
    design = by_hand.set_planned(third, third.stripes.sequence, plan)
    after = checked(remove_yarn(design, 1)).stripes.plan
    assert [share.yarn for share in after.shares] == [0, 1]
    assert after.barred == (Barred(0, 1),)


@given(sequences)
def test_stripes_come_back_from_the_clipboard(two_row_ripple, sequence):
    design = set_sequence(two_row_ripple, sequence)
    back = stripes_in(text_of(design, sequence), design)
    assert [(s.yarn, s.rows) for s in back] == [(s.yarn, s.rows) for s in sequence]


def test_in_another_design_the_nearest_colour_stands_in(two_row_ripple):
    text = '{"dipslope-stripes": [{"yarn": "?", "colour": "#e0d0a0", "rows": 3, "label": ""}]}'
    assert stripes_in(text, two_row_ripple) == (Stripe(1, 3),)


@given(st.text(max_size=60) | st.sampled_from(["[1]", '{"dipslope-stripes": [{}]}', "{" * 500]))
def test_a_clipboard_without_stripes_is_said_in_one_sentence(two_row_ripple, text):
    with pytest.raises(DesignError, match="no stripes on the clipboard"):
        stripes_in(text, two_row_ripple)


@pytest.mark.parametrize("rows", [0, -1, 5001, 2.5, True, "2", None, 10**30])
def test_rows_on_the_clipboard_are_bounded(two_row_ripple, rows):
    import json

    entry = {"yarn": "Sea", "colour": "#2a6f97", "rows": rows, "label": ""}
    with pytest.raises(DesignError):
        stripes_in(json.dumps({"dipslope-stripes": [entry]}), two_row_ripple)


@pytest.mark.parametrize("colour", ["red; drop", "", None, 7])
def test_a_bad_colour_on_the_clipboard_is_no_colour(two_row_ripple, colour):
    import json

    entry = {"yarn": "Sea", "colour": colour, "rows": 2, "label": ""}
    with pytest.raises(DesignError):
        stripes_in(json.dumps({"dipslope-stripes": [entry]}), two_row_ripple)
