"""Lean and rise of each stitch of a repeat."""

import math

import numpy as np
import pytest
from msgspec.structs import replace

from core.fabric.columns import repeat_columns, steady_columns
from core.fabric.measure import measure_wave
from core.fabric.sheet import settle_fabric
from core.fabric.steady import steady_of
from core.rows.build import build_rows

WAVES = ["two_row_ripple", "steep_wave", "sharp_wave", "sc_ripple"]


def test_plain_cloth_stands_upright_and_rises_by_its_row(plain_cloth):
    columns = steady_columns(steady_of(plain_cloth))
    assert np.allclose(columns.lean_deg, 0, atol=1e-6)
    assert np.allclose(columns.lift_mm, plain_cloth.gauge.row_height_mm)
    assert columns.rise_mm == pytest.approx(plain_cloth.gauge.row_height_mm)


@pytest.mark.parametrize("wave", WAVES)
def test_leans_of_the_flanks_are_those_of_the_wave(wave, request):
    steady = steady_of(request.getfixturevalue(wave))
    columns, measured = steady_columns(steady), measure_wave(steady)
    lean = np.abs(columns.lean_deg)
    assert lean.min() <= measured.lean_deg <= lean.max()
    assert columns.rise_mm == pytest.approx(measured.rise_mm)
    assert np.hypot(*(columns.tops_mm - columns.feet_mm).T) == pytest.approx(
        columns.lift_mm / np.cos(np.radians(columns.lean_deg))
    )


@pytest.mark.parametrize("wave", WAVES)
def test_a_symmetric_repeat_leans_as_much_to_the_left_as_to_the_right(wave, request):
    lean = np.sort(steady_columns(steady_of(request.getfixturevalue(wave))).lean_deg)
    assert lean == pytest.approx(-lean[::-1], abs=1e-4)


@pytest.mark.parametrize("wave", WAVES)
def test_a_stitch_leans_to_the_side_that_its_top_lies_on(wave, request):
    columns = steady_columns(steady_of(request.getfixturevalue(wave)))
    across = columns.tops_mm[:, 0] - columns.feet_mm[:, 0]
    leaning = np.abs(columns.lean_deg) > 1
    assert leaning.any()
    assert (np.sign(columns.lean_deg) == np.sign(across))[leaning].all()


def test_long_firm_flanks_lean_as_the_closed_form_says(design_of, row_of):
    # The layout's closed form: a wave that moves d stitches a row leans by atan(d w / h).
    design = design_of(row_of("I2", "30 D3 30 I3", "30 D3 30 I2"))
    design = replace(design, gauge=replace(design.gauge, firmness=8.0))
    columns = steady_columns(steady_of(design))
    gauge = design.gauge
    wanted = math.degrees(math.atan(gauge.stitch_width_mm / gauge.row_height_mm))
    assert np.median(np.abs(columns.lean_deg)) == pytest.approx(wanted, rel=0.02)


@pytest.mark.parametrize("wave", WAVES)
def test_a_repeat_in_the_middle_of_the_blanket_is_the_steady_one(wave, request, sized):
    design = sized(request.getfixturevalue(wave), repeats=9, rows=41)
    rows = build_rows(design)
    fabric = settle_fabric(design, rows)
    steady = steady_columns(fabric.steady)
    found = repeat_columns(fabric, rows, 21, rows.makes(21) // 2)
    assert found.lean_deg == pytest.approx(steady.lean_deg, abs=1.0)
    assert found.lift_mm == pytest.approx(steady.lift_mm, abs=0.3)
    assert found.rise_mm == pytest.approx(steady.rise_mm, rel=0.05)


def test_every_stitch_is_found_in_a_repeat_or_beside_the_nearest(two_row_ripple):
    rows = build_rows(two_row_ripple)
    fabric = settle_fabric(two_row_ripple, rows)
    firsts = {repeat_columns(fabric, rows, 3, n).first for n in range(rows.makes(3))}
    assert len(firsts) == two_row_ripple.size.repeats
    inside = sorted(firsts)[1]
    for stitch in range(inside, inside + 12):
        columns = repeat_columns(fabric, rows, 3, stitch)
        assert columns.first == inside
        at = fabric.row_tops_mm(3)[stitch]
        assert columns.tops_mm[stitch - inside] == pytest.approx(at)


def test_a_chain_has_no_lean(lacy_wave):
    columns = steady_columns(steady_of(lacy_wave))
    assert np.isnan(columns.lean_deg).sum() == 1


def test_the_foundation_and_a_misfit_row_have_no_repeat(two_row_ripple, losing_wave):
    rows = build_rows(two_row_ripple)
    fabric = settle_fabric(two_row_ripple, rows)
    assert repeat_columns(fabric, rows, 0, 3) is None
    assert repeat_columns(fabric, rows, rows.drawn_rows + 1, 3) is None
    rows = build_rows(losing_wave)
    fabric = settle_fabric(losing_wave, rows)
    assert repeat_columns(fabric, rows, rows.drawn_rows, 3) is None
