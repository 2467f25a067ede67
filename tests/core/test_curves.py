"""The fabric as curves: along one repeat, and row by row."""

from pathlib import Path

import numpy as np
import pytest
from some import some

from core.design import edits
from core.design.files import read_design
from core.fabric.case import case_of
from core.fabric.curves import repeat_curves, row_curves
from core.fabric.measure import measure_size
from core.fabric.sheet import settle_fabric
from core.fabric.wash import UNWASHED, Wash
from core.rows.build import build_rows
from core.rows.waves import FAMILIES, family_wave

DEMO = Path(__file__).parents[2] / "assets" / "harbour-steps.dipslope"


def design_of(family="gentle", run=3, repeats=6, rows=20):
    kind = next(one for one in FAMILIES if one.key == family)
    design = edits.set_wave(read_design(DEMO), family_wave(kind, "dc", run))
    return edits.set_size(design, repeats=repeats, rows=rows)


def test_long_runs_lean_as_the_closed_form_says():
    """Away from the turns a flank that moves 1 stitch a row leans atan(w / h).

    Closed form: two increases side by side move each flank by one.
    """
    design = edits.set_gauge(design_of(run=40, repeats=1), firmness=5.0)
    curves = repeat_curves(case_of(design).steady)
    size = case_of(design).size
    height = design.gauge.row_height_mm
    limit = np.degrees(np.arctan(size.width_mm / height))
    middle = np.sort(np.abs(curves.lean_deg))[-20:]
    assert middle == pytest.approx(np.full(20, limit), abs=0.5)


def test_left_and_right_flanks_mirror_each_other():
    curves = repeat_curves(case_of(design_of()).steady)
    assert sorted(curves.lean_deg) == pytest.approx(sorted(-curves.lean_deg), abs=0.05)


def test_a_leaning_stitch_lifts_less_than_the_row_rises():
    """On long straight flanks posts stand square to the row: a post of height h that leans by a
    lifts h cos a, the row rises h / cos a, so the share is the square of cos a (geometry).
    """
    curves = repeat_curves(case_of(design_of(run=40, repeats=1)).steady)
    share = np.cos(np.radians(curves.lean_deg)) ** 2
    assert np.median(np.abs(curves.lift - share)) < 0.01
    upright = np.abs(curves.lean_deg) < 1.0
    assert curves.lift[upright] == pytest.approx(1.0, abs=0.02)


def test_width_by_row_averages_to_the_stated_width():
    design = design_of()
    fabric = settle_fabric(design, build_rows(design))
    rows = row_curves(fabric, UNWASHED)
    assert len(rows.width_mm) == 21
    assert rows.width_mm.mean() == pytest.approx(measure_size(fabric).width_mm, rel=0.01)
    assert (rows.stitches == rows.stitches[0]).all()


def test_washing_draws_every_row_in_alike():
    design = design_of()
    fabric = settle_fabric(design, build_rows(design))
    washed = row_curves(fabric, Wash(width=0.9, width_known=True))
    assert washed.width_mm == pytest.approx(0.9 * row_curves(fabric, UNWASHED).width_mm)


def test_chains_between_stitches_have_no_lean():
    kinds = [one for one in FAMILIES if "fan" in one.key or "lac" in one.key]
    for kind in some(kinds):
        design = edits.set_wave(read_design(DEMO), family_wave(kind, "dc", 4))
        steady = case_of(edits.set_size(design, repeats=2, rows=6)).steady
        curves = repeat_curves(steady)
        assert np.isfinite(curves.lean_deg).any()
