"""Lying flat: the flat-disc rule, ruffles, fans and wings.

Sources: increases a round that keep a disc flat, 6 (sc), 8 (hdc), 12 (dc):
http://craftymaria.blogspot.com/2009/06/getting-your-circles-flat.html; the same and 15 to 16
(tr): https://crochets.top/crochet-shapes/crochet-circle-formula; 18 (tr) from memory.
Growth by (N + 1) / N, 5 to 4 among them, and smaller N the stronger ruffle:
https://cs.appstate.edu/sjg/class/1010/wc/geom/crochet.html,
https://sites.google.com/site/phanyamada/Home/crochet/hyperbolic-model-with-rate-54.
"""

import math

import numpy as np
import pytest

from core.checks.flatness import check_flatness
from core.craft.stitches import CATALOGUE
from core.fabric.flatness import (
    disc_lie,
    drifts,
    fan_deg,
    flat_increases,
    hyperbolic_circle_mm,
    hyperbolic_radius_mm,
    swing,
)
from core.fabric.springs import proportions_of
from core.fabric.steady import steady_of
from core.pipeline import Pipeline
from core.rows.build import build_rows

PUBLISHED = [("sc", 6), ("hdc", 8), ("dc", 12), ("tr", 15), ("tr", 16), ("tr", 18)]


# --- discs ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("stitch", "increases"), PUBLISHED)
def test_published_discs_lie_flat_in_the_programs_own_proportions(stitch, increases):
    # The catalogue's proportions come from published swatches, not from this rule.
    ratio = CATALOGUE[stitch].height_to_width
    assert disc_lie(increases, 1.0, ratio) == "flat"
    assert flat_increases(1.0, ratio) == pytest.approx(increases, rel=0.2)


@pytest.mark.parametrize(("stitch", "increases"), PUBLISHED)
def test_twice_the_published_increases_ruffle_and_half_of_them_cup(stitch, increases):
    ratio = CATALOGUE[stitch].height_to_width
    assert disc_lie(2 * increases, 1.0, ratio) == "ruffles"
    assert disc_lie(increases / 2, 1.0, ratio) == "cups"


def test_rounds_of_a_flat_disc_counted_along_real_circles():
    width, height = 7.7, 13.3
    rounds = [2 * math.pi * height * n / width for n in range(1, 12)]  # stitches that fit
    assert np.diff(rounds) == pytest.approx(flat_increases(width, height))
    assert rounds[0] == pytest.approx(flat_increases(width, height))


def test_a_fan_of_as_many_stitches_as_a_flat_disc_gains_is_a_whole_turn():
    width, height = 6.0, 10.0
    assert fan_deg(flat_increases(width, height), width, height) == pytest.approx(360)


@pytest.mark.parametrize("per_row", [1, 3, 8])
def test_a_fan_cut_from_circles_gains_the_same_in_every_row(per_row):
    width, height, start = 7.0, 12.0, 40
    angle = math.radians(fan_deg(per_row, width, height))
    radii = start * width / angle + height * np.arange(9)
    assert np.diff(angle * radii / width) == pytest.approx(per_row)


# --- ruffles --------------------------------------------------------------------------------


def worked(n, rows, start=20):
    """Return the counts of rows worked as published: after every n stitches one more."""
    counts = [start]
    for _ in range(rows):
        counts.append(counts[-1] + counts[-1] // n)
    return counts


@pytest.mark.parametrize("n", [2, 4, 5, 10])
def test_rows_worked_as_published_grow_as_the_radius_says(n):
    height = 10.0
    radius = hyperbolic_radius_mm((n + 1) / n, height)
    counts = worked(n, 12, start=20 * n)
    predicted = [counts[0] * math.exp(row * height / radius) for row in range(13)]
    assert counts == pytest.approx(predicted, rel=0.02)


@pytest.mark.parametrize("n", [2, 4, 10])
def test_circles_of_such_fabric_grow_by_its_factor_far_from_the_middle(n):
    height = 10.0
    radius = hyperbolic_radius_mm((n + 1) / n, height)
    lengths = [hyperbolic_circle_mm(radius, height * row) for row in (60, 61)]
    assert lengths[1] / lengths[0] == pytest.approx((n + 1) / n, rel=1e-3)
    assert hyperbolic_circle_mm(radius, 0.01 * height) == pytest.approx(
        2 * math.pi * 0.01 * height, rel=1e-4
    )


def test_the_curvature_of_counted_rows_is_that_of_the_radius():
    # Gauss: the curvature of a surface of circles of length f is -f'' / f.
    height, n = 10.0, 20
    counts = np.array(worked(n, 80, start=20_000), dtype=float)
    bend = (counts[2:] - 2 * counts[1:-1] + counts[:-2]) / height**2 / counts[1:-1]
    radius = hyperbolic_radius_mm((n + 1) / n, height)
    assert np.mean(bend) == pytest.approx(1 / radius**2, rel=0.06)


def test_smaller_n_ruffles_more_and_no_growth_not_at_all():
    radii = [hyperbolic_radius_mm((n + 1) / n, 10.0) for n in (2, 3, 4, 5, 10)]
    assert radii == sorted(radii)
    assert hyperbolic_radius_mm(1.0, 10.0) == math.inf
    assert hyperbolic_radius_mm(5 / 4, 10.0) == pytest.approx(hyperbolic_radius_mm(4 / 5, 10.0))


# --- rows that drift ------------------------------------------------------------------------


@pytest.fixture
def growing(design_of, row_of):
    """Return ten rows that gain one stitch in each repeat, in a blanket so many repeats wide."""

    def make(repeats=2):
        cycle = tuple(row_of("1", f"{8 + n} I2", "1") for n in range(10))
        return design_of(cycle[0], cycle=cycle, repeats=repeats, rows=10)

    return make


@pytest.fixture
def falling(design_of, row_of):
    cycle = tuple(row_of("1", f"{20 - n} D2", "1") for n in range(10))
    return design_of(cycle[0], cycle=cycle, repeats=2, rows=10)


@pytest.fixture
def winged(design_of, row_of):
    ends = [(f"I2 {n}", f"{n} I2") if n else ("I2", "I2") for n in range(10)]
    cycle = tuple(row_of(start, "6", end) for start, end in ends)
    return design_of(cycle[0], cycle=cycle, repeats=4, rows=10)


@pytest.fixture
def doubling(design_of, row_of):
    cycle = tuple(row_of("1", f"I2x{4 * 2**n}", "1") for n in range(5))
    return design_of(cycle[0], cycle=cycle, repeats=2, rows=5)


def only_drift(design):
    rows = build_rows(design)
    assert rows.misfit is None
    (drift,) = drifts(rows, proportions_of(design.gauge))
    return drift


def test_rows_that_gain_in_their_repeats_open_like_a_fan(growing):
    drift = only_drift(growing())
    assert (drift.kind, drift.first, drift.last, drift.before, drift.after) == (
        ("ruffle", 1, 10, 20, 40)
    )
    assert drift.growth == pytest.approx(1.0)
    gauge = growing().gauge
    assert drift.fan_deg == pytest.approx(fan_deg(2, gauge.stitch_width_mm, gauge.row_height_mm))
    assert drift.radius_mm == math.inf
    wanted = flat_increases(gauge.stitch_width_mm, gauge.row_height_mm)
    assert drift.flat_increases == pytest.approx(wanted)


def test_more_than_a_flat_disc_takes_cannot_be_a_fan(growing):
    design = growing(repeats=14)
    gauge = design.gauge
    assert flat_increases(gauge.stitch_width_mm, gauge.row_height_mm) < 14
    (finding,) = check_flatness(design, build_rows(design), None)
    assert "Even a whole flat disc takes only about 11 a row" in finding.message
    assert "ruffle like lettuce" in finding.message


def test_rows_that_grow_shrink_and_grow_again_are_told_once_with_how_often(design_of, row_of):
    up = [row_of("1", f"{8 + n} I2", "1") for n in range(5)]
    down = [row_of("1", f"{12 - n} D2", "1") for n in range(5)]
    design = design_of(up[0], cycle=(*up, *down), repeats=2, rows=15)
    ruffle, cup = check_flatness(design, build_rows(design), None)
    assert ruffle.message.endswith("Add as many decreases as increases. It happens once more.")
    assert "It happens" not in cup.message


def test_rows_that_lose_cup(falling):
    drift = only_drift(falling)
    assert (drift.kind, drift.per_row) == ("cup", -2)
    (finding,) = check_flatness(falling, build_rows(falling), None)
    assert "it cups" in finding.message
    assert "fall by 2 in every row from 1 to 10" in finding.message


def test_ends_that_gain_are_wings_and_the_fabric_lies_flat(winged):
    drift = only_drift(winged)
    gauge = winged.gauge
    slope = math.degrees(math.atan(gauge.stitch_width_mm / gauge.row_height_mm))
    assert (drift.kind, drift.fan_deg) == ("wings", pytest.approx(slope))
    (finding,) = check_flatness(winged, build_rows(winged), None)
    assert "lies flat" in finding.message
    assert f"slopes out by about {slope:.0f} degrees" in finding.message


def test_rows_that_grow_by_a_factor_are_a_hyperbolic_plane(doubling):
    drift = only_drift(doubling)
    # Two edge stitches stay as they are, so the factor comes out a little below two.
    wanted = hyperbolic_radius_mm(2.0, doubling.gauge.row_height_mm)
    assert drift.radius_mm == pytest.approx(wanted, rel=0.1)
    (finding,) = check_flatness(doubling, build_rows(doubling), None)
    assert "hyperbolic plane of radius 2 cm" in finding.message


@pytest.mark.parametrize("wave", ["two_row_ripple", "ridged_ripple", "lacy_wave", "level_start"])
def test_waves_that_keep_their_count_neither_drift_nor_swing(wave, request):
    design = request.getfixturevalue(wave)
    rows = build_rows(design)
    assert drifts(rows, proportions_of(design.gauge)) == ()
    assert swing(rows) is None


def test_long_rows_between_short_ones_gather(design_of, row_of):
    wide, narrow = row_of("1", "4 I3 4", "1"), row_of("1", "4 D3 4", "1")
    design = design_of(wide, cycle=(wide, narrow), repeats=4, rows=10)
    rows = build_rows(design)
    found = swing(rows)
    assert (found.most, found.fewest) == (46, 38)
    assert found.excess == pytest.approx(8 / 42)
    finding = check_flatness(design, rows, None)[0]
    assert "has 46 stitches" in finding.message
    assert "19 % more" in finding.message


# --- findings -------------------------------------------------------------------------------


def test_a_single_row_that_gains_is_told_what_would_come_of_it(design_of, row_of):
    design = design_of(row_of("1", "4 I2", "1"), repeats=4)
    rows = build_rows(design)
    assert rows.misfit is not None
    (finding,) = check_flatness(design, rows, None)
    assert (finding.level, finding.where) == ("note", "wave")
    assert "20 % longer" in finding.message
    assert f"{1.2**10:.1f} times as long after 10 rows" in finding.message
    assert "lettuce" in finding.message


def test_a_single_row_that_gains_at_its_ends_is_told_of_wings(design_of, row_of):
    design = design_of(row_of("I2", "6", "I2"), repeats=4)
    (finding,) = check_flatness(design, build_rows(design), None)
    assert "wings: each side would slope out by about 30 degrees" in finding.message


def test_a_single_row_that_loses_stands_in_ruffles_at_its_start(design_of, row_of):
    design = design_of(row_of("1", "4 D2", "1"), repeats=4)
    (finding,) = check_flatness(design, build_rows(design), None)
    assert "17 % shorter" in finding.message


def test_stretched_posts_are_noted(design_of, row_of):
    design = design_of(row_of("I2", "4 K2 4 I3", "4 K2 4 I2", "sc"), stitch="sc", repeats=3)
    (note,) = check_flatness(design, build_rows(design), steady_of(design))
    assert "may leave holes" in note.message
    assert "program's estimate" in note.message


def test_a_crowded_peak_is_said_to_pucker_with_the_angle_its_fan_wants(design_of, row_of):
    design = design_of(row_of("I3", "8 D5 8 I5", "8 D5 8 I3", "sc"), stitch="sc", repeats=3)
    found = check_flatness(design, build_rows(design), steady_of(design))
    (pucker,) = [finding for finding in found if "pucker" in finding.message]
    gauge = design.gauge
    angle = math.degrees(4 * gauge.stitch_width_mm / gauge.row_height_mm)
    assert f"5 stitches in one place want to fan by {angle:.0f} degrees" in pucker.message


def test_a_gentle_wave_has_nothing_to_say(two_row_ripple):
    assert (
        check_flatness(two_row_ripple, build_rows(two_row_ripple), steady_of(two_row_ripple)) == []
    )


def test_the_findings_reach_the_results(growing):
    found = Pipeline().results(growing()).findings
    assert any("ruffle like lettuce" in finding.message for finding in found)
