"""A worked wave gives back the gauge that it was worked in."""

import pytest
from msgspec.structs import replace

from core.design.document import Gauge
from core.design.edits import set_swatch
from core.design.validation import checked
from core.errors import DesignError
from core.fabric.measure import measure_wave
from core.fabric.sheet import sketch_fabric
from core.fabric.swatch import WorkedWave, compare, fit_swatch, fitted_gauge
from core.rows.build import build_rows


def wave_of(design):
    return measure_wave(sketch_fabric(design, build_rows(design)).steady)


WORKED = Gauge(stitch="dc", stitches=15.2, rows=8.1, firmness=0.8)


@pytest.mark.parametrize("wave", ["two_row_ripple", "steep_wave", "sharp_wave"])
def test_three_measures_give_back_width_height_and_firmness(wave, request):
    design = request.getfixturevalue(wave)
    truth = wave_of(replace(design, gauge=WORKED))
    fit = fit_swatch(
        design,
        WorkedWave(
            repeat_width_mm=truth.repeat_width_mm,
            rise_mm=truth.rise_mm,
            wave_height_mm=truth.wave_height_mm,
        ),
    )
    assert fit.stitch_width_mm == pytest.approx(WORKED.stitch_width_mm, rel=1e-3)
    assert fit.row_height_mm == pytest.approx(WORKED.row_height_mm, rel=1e-3)
    assert fit.firmness == pytest.approx(0.8, rel=0.02)
    assert max(map(abs, fit.off)) < 1e-3


def test_two_measures_keep_the_firmness(two_row_ripple):
    worked = Gauge(stitch="dc", stitches=15.2, rows=8.1)
    truth = wave_of(replace(two_row_ripple, gauge=worked))
    measured = WorkedWave(repeat_width_mm=truth.repeat_width_mm, rise_mm=truth.rise_mm)
    fit = fit_swatch(two_row_ripple, measured)
    assert fit.firmness == pytest.approx(0.5)
    assert fit.stitch_width_mm == pytest.approx(worked.stitch_width_mm, rel=1e-3)


def test_a_measured_repeat_width_is_met_exactly(design_of, row_of):
    # A 14-stitch dc ripple of which two repeats measure 16.5 cm.
    design = design_of(row_of("I2", "4 D2x2 4 I2x2", "4 D2x2 4 I2"))
    fit = fit_swatch(design, WorkedWave(repeat_width_mm=82.5))
    assert fit.wave.repeat_width_mm == pytest.approx(82.5, rel=1e-4)


def test_measures_that_cannot_all_be_true_say_by_how_much_they_disagree(two_row_ripple):
    truth = wave_of(two_row_ripple)
    fit = fit_swatch(
        two_row_ripple,
        WorkedWave(
            repeat_width_mm=truth.repeat_width_mm,
            rise_mm=truth.rise_mm,
            wave_height_mm=0.02 * truth.wave_height_mm,
        ),
    )
    assert max(map(abs, fit.off)) > 0.05


def test_nothing_measured_is_said(two_row_ripple):
    with pytest.raises(DesignError, match="measure"):
        fit_swatch(two_row_ripple, WorkedWave())


def test_rows_that_do_not_repeat_are_said(losing_wave):
    with pytest.raises(DesignError, match="repeat"):
        fit_swatch(losing_wave, WorkedWave(repeat_width_mm=80))


def test_the_gauge_is_fitted_to_what_the_swatch_says(two_row_ripple):
    truth = wave_of(replace(two_row_ripple, gauge=WORKED))
    measured = set_swatch(
        two_row_ripple,
        repeats=4,
        repeats_mm=4 * truth.repeat_width_mm,
        rows=20,
        rows_mm=20 * truth.rise_mm,
        wave_height_mm=truth.wave_height_mm,
    )
    fitted = checked(fitted_gauge(measured))
    assert fitted.gauge.stitches == pytest.approx(15.2, abs=0.02)
    assert fitted.gauge.rows == pytest.approx(8.1, abs=0.02)
    assert fitted.gauge.firmness == pytest.approx(0.8, abs=0.02)
    for row in compare(fitted.swatch, wave_of(fitted)):
        assert abs(row.off) < 0.005


def test_without_a_wave_height_the_default_firmness_stays_the_default(two_row_ripple):
    measured = set_swatch(two_row_ripple, repeats=2, repeats_mm=170.0)
    assert fitted_gauge(measured).gauge.firmness is None
