"""The steady state of a wave: reference values, limits, and a second way to the same answer."""

import math

import by_hand
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.craft.stitches import KEYS
from core.design.document import Row
from core.errors import Stopped
from core.fabric.energy import energy
from core.fabric.measure import measure_wave
from core.fabric.springs import Proportions, proportions_of
from core.fabric.steady import MAX_NODES, SAMPLE_REPEATS, period_of, settle_steady
from core.rows.build import build_rows

DOUBLED = ("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2")  # 12 stitches
SKIPPING = ("I2", "4 K2 4 I3", "4 K2 4 I2")  # 11
TOGETHER = ("I2", "6 D3 6 I3", "6 D3 6 I2")  # 16
LOPSIDED = ("I2", "4 D3 8 I3", "4 D3 8 I2")  # 16, one slope twice as long
ENDS_LEVEL = ("K1 7", "I3 7 K2 7", "I3 6 K1 1")  # 17, whole peaks, half dips at the edges

# The fabric model's own table, w = 1, firmness 1: row, h, then repeat width / (w x stitches),
# rise / h and wave height / w. Computed by whoever wrote the model, not by this program.
REFERENCE = [
    (DOUBLED, 1.85, 0.895, 1.083, 2.08),
    (SKIPPING, 1.85, 0.896, 1.124, 2.30),
    (TOGETHER, 1.85, 0.882, 1.122, 3.68),
    (DOUBLED, 0.95, 0.735, 1.289, 3.24),
    (SKIPPING, 0.95, 0.734, 1.410, 3.51),
    (TOGETHER, 0.95, 0.694, 1.404, 5.62),
]


@pytest.fixture(scope="session")
def settle(design_of):
    """Settle a row worked for ever; every stitch `h` tall and `w` wide."""

    def steady(row, *, h, w=1.0, firmness=1.0, hand="right", **kw):
        design = design_of(row, hand=hand, **kw)
        cycle = len(design.wave.rows_in_turn)
        lead = 1 if design.wave.setup else 0
        sample = build_rows(design, repeats=SAMPLE_REPEATS, rows=lead + period_of(cycle))
        size = Proportions(w, tuple(h for _ in KEYS), firmness)
        return settle_steady(sample, size, lead=lead, cycle=cycle)

    return steady


def stitches_of(row: Row) -> int:
    return sum(item.makes for item in row.repeat)


# --- the model's own values --------------------------------------------------------------


@pytest.mark.parametrize(("row", "h", "width", "rise", "height"), REFERENCE)
def test_a_wave_settles_into_the_models_reference_shape(
    settle, row_of, row, h, width, rise, height
):
    row = row_of(*row)
    steady = settle(row, h=h)
    found = measure_wave(steady)
    assert steady.converged
    assert found.repeat_width_mm / stitches_of(row) == pytest.approx(width, rel=0.005)
    assert found.rise_mm / h == pytest.approx(rise, rel=0.005)
    assert found.wave_height_mm == pytest.approx(height, rel=0.005)


@pytest.mark.parametrize("h", [1.85, 0.95])
@pytest.mark.parametrize("row", [DOUBLED, SKIPPING, TOGETHER, LOPSIDED, ENDS_LEVEL])
@pytest.mark.parametrize("firmness", [0.5, 1.0])
def test_a_second_program_finds_the_same_shape(settle, row_of, row, h, firmness):
    # `by_hand` writes the springs down one by one and lets L-BFGS find the lowest energy.
    row = row_of(*row)
    found = measure_wave(settle(row, h=h, firmness=firmness))
    other = by_hand.endless(row, w=1.0, h=h, firmness=firmness)
    assert found.repeat_width_mm == pytest.approx(other.repeat, rel=1e-5)
    assert found.rise_mm == pytest.approx(other.rise, rel=1e-5)
    assert found.wave_height_mm == pytest.approx(other.wave_height, rel=1e-5)


# --- limits ------------------------------------------------------------------------------


@pytest.mark.parametrize("h", [0.4, 0.95, 1.85, 3.1])
@pytest.mark.parametrize("firmness", [0.02, 0.5, 20])
def test_straight_rows_are_a_rectangle_grid_without_strain(settle, row_of, h, firmness):
    steady = settle(row_of("1", "6", "1"), h=h, w=1.3, firmness=firmness)
    found = measure_wave(steady)
    assert found.repeat_width_mm == pytest.approx(6 * 1.3, rel=1e-9)
    assert found.rise_mm == pytest.approx(h, rel=1e-9)
    assert found.wave_height_mm == pytest.approx(0, abs=1e-9)
    assert found.lean_deg == pytest.approx(0, abs=1e-6)
    assert energy(steady.net, steady.tops_mm, steady.frame) == pytest.approx(0, abs=1e-15)


@pytest.mark.parametrize("h", [1.85, 0.95])
def test_runs_lean_towards_the_closed_form_as_they_grow(settle, row_of, h):
    # One stitch a row on each slope: atan(w / h), 28 degrees in dc, 46 in sc.
    limit = math.degrees(math.atan(1 / h))
    off = []
    for run in (3, 6, 12, 24, 36):
        row = row_of("I2", f"{run} D3 {run} I3", f"{run} D3 {run} I2")
        off.append(abs(measure_wave(settle(row, h=h)).lean_deg - limit))
    assert off == sorted(off, reverse=True)
    assert off[-1] < 0.3 < off[0]


@pytest.mark.parametrize("h", [1.85, 0.95])
def test_runs_lean_towards_the_closed_form_as_the_fabric_grows_firm(settle, row_of, h):
    limit = math.degrees(math.atan(1 / h))
    off = [
        abs(measure_wave(settle(row_of(*TOGETHER), h=h, firmness=firmness)).lean_deg - limit)
        for firmness in (0.1, 0.3, 1, 3, 10, 20)
    ]
    assert off == sorted(off, reverse=True)
    assert off[-1] < 0.3 < off[0]


@pytest.mark.parametrize(("h", "lean"), [(1.85, 28.39), (0.95, 46.47)])
def test_long_firm_runs_lean_as_the_closed_form_says(settle, row_of, h, lean):
    row = row_of("I2", "40 D3 40 I3", "40 D3 40 I2")
    assert measure_wave(settle(row, h=h, firmness=20)).lean_deg == pytest.approx(lean, abs=0.05)


def test_longer_runs_make_the_wave_higher_and_hardly_steeper(settle, row_of):
    short, long = (
        measure_wave(settle(row_of("I2", f"{n} D3 {n} I3", f"{n} D3 {n} I2"), h=1.85))
        for n in (10, 20)
    )
    assert long.wave_height_mm > 1.8 * short.wave_height_mm
    assert long.lean_deg == pytest.approx(short.lean_deg, abs=0.5)


def test_twice_the_increases_make_the_wave_steeper(settle, row_of):
    single = settle(row_of("I2", "9 D3 9 I3", "9 D3 9 I2"), h=1.85)
    double = settle(row_of("I3", "9 D3x2 9 I3x2", "9 D3x2 9 I3"), h=1.85)
    # one and two stitches a row: atan(1 / 1.85) and atan(2 / 1.85), 28 and 47 degrees
    assert measure_wave(single).lean_deg == pytest.approx(28.4, abs=1)
    assert measure_wave(double).lean_deg == pytest.approx(47.2, abs=1)


# --- what the trade sees -----------------------------------------------------------------

FAMILIES = [DOUBLED, SKIPPING, TOGETHER, ("I2", "4 D2x2 4 I2x2", "4 D2x2 4 I2")]

# Stated width against the stitches' width in plain fabric. Sources: BRC0125-003704M
# (7.5 in of 9.5, dc), 5158-pram-cover (3.5 in of 4.25, hdc), ravelry.com/patterns/library/
# ripple-ridge-afghan (3.75 in of 5.5, sc); "chain 1.5 x the width" for sc zigzags (hollysdaze).
MAKERS = {"dc": 1 - 7.5 / 9.5, "hdc": 1 - 3.5 / 4.25, "sc": 1 - 3.75 / 5.5, "rule": 1 - 1 / 1.5}


def drawn_in(settle, row, h):
    return 1 - measure_wave(settle(row, h=h)).repeat_width_mm / stitches_of(row)


def test_makers_see_a_chain_draw_in_by_a_sixth_to_a_third():
    assert min(MAKERS.values()) == pytest.approx(0.17, abs=0.01)
    assert max(MAKERS.values()) == pytest.approx(0.33, abs=0.01)


@pytest.mark.parametrize("row", FAMILIES)
def test_a_chain_draws_in_by_6_to_14_percent_in_dc(settle, row_of, row):
    assert 0.06 <= drawn_in(settle, row_of(*row), 1.85) <= 0.14


@pytest.mark.parametrize("row", FAMILIES)
def test_a_chain_draws_in_by_24_to_31_percent_in_sc_which_makers_see_too(settle, row_of, row):
    found = drawn_in(settle, row_of(*row), 0.95)
    assert 0.24 <= found <= 0.31
    assert min(MAKERS.values()) <= found <= max(MAKERS.values())


@pytest.mark.parametrize("row", FAMILIES)
def test_at_the_default_firmness_a_chain_draws_in_a_little_less(settle, row_of, row, design_of):
    row = row_of(*row)
    default = proportions_of(design_of(row).gauge).firmness
    for h in (1.85, 0.95):
        loose = 1 - measure_wave(settle(row, h=h, firmness=default)).repeat_width_mm / (
            stitches_of(row)
        )
        assert drawn_in(settle, row, h) - 0.03 < loose < drawn_in(settle, row, h)


# --- sameness ----------------------------------------------------------------------------


def mirrored(row: Row) -> Row:
    return Row(row.end[::-1], row.repeat[::-1], row.start[::-1])


@pytest.mark.parametrize("h", [1.85, 0.95])
def test_a_mirrored_row_settles_into_the_mirrored_shape(settle, row_of, h):
    one = settle(row_of(*LOPSIDED), h=h)
    other = settle(mirrored(row_of(*LOPSIDED)), h=h)
    assert one.frame.repeat_mm == pytest.approx(other.frame.repeat_mm, rel=1e-7)
    assert one.frame.period_mm[1] == pytest.approx(other.frame.period_mm[1], rel=1e-7)
    assert one.frame.period_mm[0] == pytest.approx(-other.frame.period_mm[0], abs=1e-6)
    assert measure_wave(one).lean_deg == pytest.approx(measure_wave(other).lean_deg, abs=1e-5)


@pytest.mark.parametrize("row", [DOUBLED, LOPSIDED])
def test_a_left_handers_wave_has_the_same_measures(settle, row_of, row):
    right, left = (
        measure_wave(settle(row_of(*row), h=1.85, hand=hand)) for hand in ("right", "left")
    )
    for name in ("repeat_width_mm", "rise_mm", "wave_height_mm", "lean_deg"):
        assert getattr(left, name) == pytest.approx(getattr(right, name), rel=1e-6)


@given(st.floats(0.01, 1000))
@settings(max_examples=25)
def test_a_scaled_gauge_scales_the_shape(settle, row_of, scale):
    one, other = (
        measure_wave(settle(row_of(*DOUBLED), h=1.65 * s, w=s, firmness=0.5)) for s in (1, scale)
    )
    assert other.repeat_width_mm == pytest.approx(scale * one.repeat_width_mm, rel=1e-6)
    assert other.rise_mm == pytest.approx(scale * one.rise_mm, rel=1e-6)
    assert other.wave_height_mm == pytest.approx(scale * one.wave_height_mm, rel=1e-6)
    assert other.lean_deg == pytest.approx(one.lean_deg, abs=1e-4)


def test_it_does_not_matter_where_a_repeat_is_cut(settle, row_of):
    whole = measure_wave(settle(row_of(*TOGETHER), h=1.85))
    at_dip = measure_wave(settle(row_of("D2", "6 I3 6 D3", "6 I3 6 D2"), h=1.85))
    assert at_dip.repeat_width_mm == pytest.approx(whole.repeat_width_mm, rel=1e-7)
    assert at_dip.wave_height_mm == pytest.approx(whole.wave_height_mm, rel=1e-6)


# --- cycles ------------------------------------------------------------------------------


def test_everything_repeats_after_an_even_number_of_rows():
    assert [period_of(cycle) for cycle in (1, 2, 3, 4, 5)] == [2, 2, 6, 4, 10]


def test_two_equal_rows_in_turn_are_one_row(settle, row_of):
    row = row_of(*DOUBLED)
    one, two = (
        measure_wave(settle(row, h=1.85)),
        measure_wave(settle(row, h=1.85, cycle=(row, row))),
    )
    assert two.repeat_width_mm == pytest.approx(one.repeat_width_mm, rel=1e-9)
    assert two.rise_mm == pytest.approx(one.rise_mm, rel=1e-9)


def test_a_dc_row_and_an_sc_row_in_turn_rise_between_the_two(design_of, row_of):
    def rise(*kinds):
        rows = tuple(row_of(*DOUBLED, kind) for kind in kinds)
        design = design_of(rows[0], cycle=rows)
        n = period_of(len(rows))
        sample = build_rows(design, repeats=SAMPLE_REPEATS, rows=n)
        size = proportions_of(design.gauge)
        return measure_wave(settle_steady(sample, size, lead=0, cycle=len(rows))).rise_mm

    assert rise("sc") < rise("sc", "dc") < rise("dc")
    assert rise("sc", "dc") == pytest.approx(rise("dc", "sc"), rel=1e-6)
    assert rise("sc", "dc", "dc") > rise("sc", "dc")


def test_a_set_up_row_does_not_change_what_rows_settle_into(settle, row_of):
    row = row_of(*DOUBLED)
    without = measure_wave(settle(row, h=1.85))
    after = measure_wave(settle(row, h=1.85, setup=row_of("1", "12", "11")))
    assert after.repeat_width_mm == pytest.approx(without.repeat_width_mm, rel=1e-6)
    assert after.rise_mm == pytest.approx(without.rise_mm, rel=1e-6)


def test_a_wave_with_a_chain_at_its_peak_settles(settle, row_of):
    steady = settle(row_of("1 D2 5 V", "7 K2 7 V", "5 D2 1"), h=1.85)
    found = measure_wave(steady)
    assert steady.converged
    assert 0.8 < found.repeat_width_mm / 17 < 1
    # two slopes of a stitch a row, as without the chain
    assert found.lean_deg == pytest.approx(math.degrees(math.atan(1 / 1.85)), abs=3)


# --- rest --------------------------------------------------------------------------------


@pytest.mark.parametrize("h", [1.85, 0.95])
@pytest.mark.parametrize("row", [DOUBLED, SKIPPING, TOGETHER, LOPSIDED, ENDS_LEVEL])
def test_no_stitch_is_pulled_any_further(settle, row_of, row, h):
    steady = settle(row_of(*row), h=h)
    still = energy(steady.net, steady.tops_mm, steady.frame)
    for direction in np.random.default_rng(1).normal(size=(20, *steady.tops_mm.shape)):
        for step in (1e-4, 1e-2):
            moved = steady.tops_mm + step * direction
            assert energy(steady.net, moved, steady.frame) > still


# --- no steady state ---------------------------------------------------------------------


def test_rows_that_do_not_fit_one_another_have_no_steady_state(losing_wave):
    sample = build_rows(losing_wave, repeats=SAMPLE_REPEATS, rows=2)
    assert settle_steady(sample, proportions_of(losing_wave.gauge), lead=0, cycle=1) is None


def test_rows_that_grow_for_ever_have_no_steady_state(settle, row_of):
    growing = row_of("", "5 I2", "")
    wider = row_of("", "5 1 I2", "")
    assert settle(growing, h=1.85, cycle=(growing, wider)) is None


def test_a_period_of_too_many_stitches_has_no_steady_state(settle, row_of):
    n = MAX_NODES // 4
    assert settle(row_of("", f"{2 * n}", ""), h=1.85) is not None
    assert settle(row_of("", f"{2 * n + 1}", ""), h=1.85) is None


def test_settling_stops_when_nobody_waits_for_it(design_of, row_of):
    design = design_of(row_of(*TOGETHER))
    sample = build_rows(design, repeats=SAMPLE_REPEATS, rows=2)
    asked = []

    def on_the_third_time():
        asked.append(None)
        return len(asked) == 3

    with pytest.raises(Stopped):
        settle_steady(
            sample, proportions_of(design.gauge), lead=0, cycle=1, should_stop=on_the_third_time
        )
    assert len(asked) == 3
