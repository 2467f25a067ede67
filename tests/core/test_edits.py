"""Edits: each gives a design that holds together, and touches nothing else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.design import edits
from core.design.document import Stripe, Yarn
from core.design.validation import checked
from core.rows.build import build_rows

EXTRA = Yarn(name="Extra", colour="#00aa00", ball_m=100, ball_g=50)


def sequence(design):
    return [(stripe.yarn, stripe.rows) for stripe in design.stripes.sequence]


@pytest.fixture(scope="module")
def four(two_row_ripple):
    """Four stripes: 0 x 2, 1 x 2, 0 x 3, 1 x 1."""
    stripes = (Stripe(0, 2), Stripe(1, 2), Stripe(0, 3), Stripe(1, 1))
    return edits.set_sequence(two_row_ripple, stripes)


def test_moving_a_border_keeps_the_rows_of_both_stripes_together(four):
    assert sequence(edits.move_border(four, 0, 1))[:2] == [(0, 3), (1, 1)]
    assert sequence(edits.move_border(four, 0, -1))[:2] == [(0, 1), (1, 3)]


@given(number=st.integers(0, 3), rows=st.integers(-9, 9))
def test_a_border_never_eats_a_stripe(two_row_ripple, number, rows):
    stripes = (Stripe(0, 2), Stripe(1, 2), Stripe(0, 3), Stripe(1, 1))
    design = edits.set_sequence(two_row_ripple, stripes)
    moved = edits.move_border(design, number, rows)
    assert all(stripe.rows >= 1 for stripe in moved.stripes.sequence)
    if number < 3:
        assert moved.stripes.rows == design.stripes.rows
    checked(moved)


def test_removing_a_yarn_gives_its_stripes_to_a_neighbour(four):
    wider = edits.set_stripe(edits.add_yarn(four, EXTRA), 0, yarn=2)
    after = edits.remove_yarn(wider, 1)
    assert [yarn.name for yarn in after.yarns] == ["Sea", "Extra"]
    assert sequence(after) == [(1, 2), (0, 2), (0, 3), (0, 1)]
    checked(after)


def test_the_last_yarn_stays(two_row_ripple):
    one = edits.remove_yarn(two_row_ripple, 0)
    assert edits.remove_yarn(one, 0) is one


def test_another_stitch_brings_its_own_turning_chain_and_proportion(two_row_ripple):
    changed = checked(edits.set_stitch(two_row_ripple, "sc"))
    assert (changed.turning.chains, changed.turning.counts) == (1, False)
    assert {item.stitch for item in changed.wave.repeat} == {"sc"}
    assert changed.gauge.stitch_width_mm == two_row_ripple.gauge.stitch_width_mm
    assert changed.gauge.row_height_mm < two_row_ripple.gauge.row_height_mm
    assert build_rows(changed).misfit is None


def test_no_turning_chain_never_counts(two_row_ripple):
    assert not edits.set_turning(two_row_ripple, chains=0).turning.counts
