"""What is left to buy, and the sums."""

import math

import pytest
from msgspec.structs import replace

from core.rows.build import build_rows
from core.yarn.shopping import balls_to_buy, yarn_totals
from core.yarn.use import yarn_use


@pytest.fixture
def uses(two_row_ripple):
    return yarn_use(two_row_ripple, build_rows(two_row_ripple))


def yarn_holding(two_row_ripple, uses, balls, **values):
    """Return the first yarn in such balls that it takes `balls` of them."""
    return replace(two_row_ripple.yarns[0], ball_m=uses[0].length_m / balls, **values)


@pytest.mark.parametrize(
    ("needed", "owned", "to_buy"),
    [
        (3.2, 0, 4),
        (3.2, 0.5, 3),  # the half ball counts as what it holds
        (3.2, 0.1, 4),
        (3, 1, 2),
        (3, 3, 0),
        (3.2, 10, 0),
    ],
)
def test_owned_balls_count_as_what_they_hold(two_row_ripple, uses, needed, owned, to_buy):
    yarn = yarn_holding(two_row_ripple, uses, needed, owned_balls=owned)
    assert balls_to_buy(uses[0], yarn) == to_buy


def test_what_is_owned_and_bought_is_enough_and_no_ball_is_bought_too_many(two_row_ripple, uses):
    for owned in (0, 0.25, 1, 1.75):
        yarn = yarn_holding(two_row_ripple, uses, 4.6, owned_balls=owned)
        bought = balls_to_buy(uses[0], yarn)
        assert (owned + bought) * yarn.ball_m >= uses[0].length_m
        assert (owned + bought - 1) * yarn.ball_m < uses[0].length_m


def test_totals_are_the_sums_of_the_yarns(two_row_ripple, uses):
    totals = yarn_totals(uses, two_row_ripple.yarns)
    assert totals.length_m == pytest.approx(math.fsum(use.length_m for use in uses))
    assert totals.mass_g == pytest.approx(math.fsum(use.mass_g for use in uses))
    assert totals.balls == sum(use.balls for use in uses)
    assert (totals.to_buy, totals.cost, totals.unpriced) == (totals.balls, None, 2)


def test_the_cost_is_that_of_the_balls_to_buy_and_says_what_it_leaves_out(two_row_ripple, uses):
    first, second = two_row_ripple.yarns
    totals = yarn_totals(uses, (replace(first, price=4.5, owned_balls=0), second))
    assert totals.cost == pytest.approx(4.5 * uses[0].balls)
    assert totals.unpriced == 1
    owned = replace(second, owned_balls=100)
    assert yarn_totals(uses, (replace(first, price=4.5), owned)).unpriced == 0
