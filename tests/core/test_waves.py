"""Waves as runs and turns: families, edges that keep the count, edits that stay workable."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from some import some

from core.design.document import Item, Wave, total_makes, total_uses
from core.rows.waves import (
    FAMILIES,
    MAX_GAIN,
    family_wave,
    parts_of,
    shape_of,
    wave_of,
    with_edge_at,
    with_gain,
    with_run,
    with_skipped_dips,
    with_straight_edge,
    with_turn_moved,
)

RIPPLES = [family for family in FAMILIES if not family.is_of_heights]
families = st.sampled_from(RIPPLES)


def family(key):
    return next(family for family in FAMILIES if family.key == key)


def fits(wave, repeats):
    return wave.row.uses(repeats) == wave.row.makes(repeats)


# Published multiples of the common ripples with n stitches in each run, from pages whose own
# multiples were checked: 2n + 6 (n = 3: 12, madebypurpje.com ripple-stitch; n = 4: 14,
# knitty.com ripply), 2n + 4 (n = 6: 16), 2n + 3 (n = 5: 13, 6: 15, 9: 21, the generic sc wave
# page in the data), 2n + 8 (n = 6: 20).
@pytest.mark.parametrize(
    ("key", "run", "multiple"),
    [
        ("gentle", 3, 12),
        ("gentle", 4, 14),
        ("gentle", 6, 18),
        ("pointed", 6, 16),
        ("open", 5, 13),
        ("open", 6, 15),
        ("open", 9, 21),
        ("double", 6, 20),
    ],
)
def test_families_have_the_published_multiples(key, run, multiple):
    wave = family_wave(family(key), "dc", run)
    assert total_uses(wave.repeat) == multiple
    assert shape_of(wave).multiple == multiple


def test_the_gentle_family_is_the_twelve_stitch_ripple(two_row_ripple):
    # Common practice: two in the first and the last stitch, half a peak at both edges.
    assert family_wave(family("gentle"), "dc", 3) == two_row_ripple.wave


def test_a_skipped_half_dip_stands_one_stitch_in_from_each_edge(items_of):
    # turner11 in the published data (11n, "skip 1 near each end"): T K1 3 | I3 4 K2 4 | I3 3 K1 1
    wave = wave_of(with_edge_at(shape_of(family_wave(family("open"), "dc", 4)), "dip"))
    assert wave == Wave(items_of("1 K1 3"), items_of("I3 4 K2 4"), items_of("I3 3 K1 1"))


def test_half_of_three_together_is_two_together_at_each_edge(items_of):
    wave = wave_of(with_edge_at(shape_of(family_wave(family("pointed"), "dc", 6)), "dip"))
    assert wave.start == items_of("D2")
    assert wave.end[-1:] == items_of("D2")


@given(families, st.integers(1, 12), st.sampled_from(["peak", "dip"]), st.integers(1, 5))
def test_every_family_keeps_its_count_with_either_turn_at_the_edges(family, run, edge, repeats):
    wave = wave_of(with_edge_at(shape_of(family_wave(family, "dc", run)), edge))
    assert fits(wave, repeats)


@given(families, st.integers(1, 12), st.sampled_from(["peak", "dip"]))
def test_a_shape_is_read_back_from_its_items(family, run, edge):
    shape = with_edge_at(shape_of(family_wave(family, "dc", run)), edge)
    wave = wave_of(shape)
    again = shape_of(wave)
    assert again.edge == "half"
    assert wave_of(again) == wave
    assert again.runs == shape.runs
    assert again.turns == shape.turns


steps = st.lists(
    st.tuples(
        st.sampled_from(["run", "move", "gain", "dips"]), st.integers(0, 1), st.integers(-4, 9)
    ),
    max_size=8,
)


@given(families, st.integers(2, 8), st.sampled_from(["peak", "dip"]), steps)
def test_whatever_is_pulled_the_row_stays_workable(family, run, edge, steps):
    shape = with_edge_at(shape_of(family_wave(family, "dc", run)), edge)
    for kind, number, amount in steps:
        match kind:
            case "run":
                shape = with_run(shape, number, shape.runs[number] + amount)
            case "move":
                shape = with_turn_moved(shape, number, amount)
            case "gain":
                shape = with_gain(shape, number, amount)
            case _:
                shape = with_skipped_dips(shape, amount % 2 == 0)
        wave = wave_of(shape)
        assert all(fits(wave, repeats) for repeats in (1, 3))
        assert all(run >= 0 for run in shape.runs)


@given(families, st.integers(0, 1), st.integers(-20, 20))
def test_moving_a_turn_keeps_the_multiple(family, number, by):
    shape = shape_of(family_wave(family, "dc", 5))
    assert with_turn_moved(shape, number, by).multiple == shape.multiple


@pytest.mark.parametrize(("number", "gain"), list(product((0, 1), range(1, MAX_GAIN + 1))))
def test_dips_lose_what_peaks_gain(number, gain):
    for family in RIPPLES:
        shape = with_gain(shape_of(family_wave(family, "dc", 4)), number, gain)
        has_chains = any(item.chain for turn in shape.turns for item in turn.items)
        if not has_chains:  # with chains between, gains come in steps
            assert abs(shape.turns[number].gain) == gain
        assert sum(turn.gain for turn in shape.turns) == 0


def test_a_turn_of_one_place_stays_in_one_place():
    shape = with_gain(shape_of(family_wave(family("pointed"), "dc", 6)), 1, 4)
    assert shape.turns[1].items == (Item(stitch="dc", make=5),)
    assert shape.turns[0].items == (Item(stitch="dc", over=5),)


def test_straight_edges_keep_the_count():
    wave = wave_of(with_straight_edge(shape_of(family_wave(family("gentle"), "dc", 4)), 2))
    assert fits(wave, 3)
    assert shape_of(wave).edge == "straight"


def test_edges_of_the_designers_own_are_kept_when_the_repeat_changes(items_of):
    # bev in the published data, its second row: 1 | 6 K2 6 I3 | 6 K2 6 I2
    own = Wave(items_of("1"), items_of("6 K2 6 I3"), items_of("6 K2 6 I2"))
    shape = shape_of(own)
    assert shape.edge == "own"
    longer = wave_of(with_run(shape, 1, 8))
    assert (longer.start, longer.end) == (own.start, own.end)
    assert longer.repeat == items_of("6 K2 8 I3")


def test_a_straight_stitch_outside_half_a_dip_is_a_straight_edge(items_of):
    # chatty in the published data: 1 K1 | 7 I3 7 K2 | 7 I3 7 K1 1
    wave = Wave(items_of("1 K1"), items_of("7 I3 7 K2"), items_of("7 I3 7 K1 1"))
    shape = shape_of(wave)
    assert (shape.edge, shape.margin) == ("straight", 1)
    longer = wave_of(with_run(shape, 1, 8))
    assert longer == Wave(items_of("1 K1"), items_of("7 I3 8 K2"), items_of("7 I3 8 K1 1"))


def test_rows_that_differ_have_no_single_shape(ridged_ripple, level_start, plain_cloth):
    assert shape_of(ridged_ripple.wave) is None
    assert shape_of(level_start.wave) is None
    assert shape_of(plain_cloth.wave) is None


def test_parts_cover_the_repeat_in_working_order(two_row_ripple):
    shape = shape_of(two_row_ripple.wave)
    parts = parts_of(shape, two_row_ripple.wave.repeat)
    assert [(part.is_turn, part.number) for part in parts] == [
        (False, 0),
        (True, 0),
        (False, 1),
        (True, 1),
    ]
    assert sum(part.count for part in parts) == len(two_row_ripple.wave.repeat)


def test_gain_is_makes_less_uses(two_row_ripple):
    for turn in some(shape_of(two_row_ripple.wave).turns):
        assert turn.gain == total_makes(turn.items) - total_uses(turn.items)
