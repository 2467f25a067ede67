"""A worked wave gives back the gauge that it was worked in."""

from math import log
from statistics import median, pstdev

import pytest
from msgspec.structs import replace
from published_tables import SWATCHES

from core.design.document import Gauge
from core.design.edits import set_swatch
from core.design.validation import checked
from core.errors import DesignError
from core.fabric import wave_model
from core.fabric.judge import (
    DISAGREES,
    SHAPE_SPREAD,
    expected_measures,
    fitted_gauge,
    judge_wave,
)
from core.fabric.measure import measure_wave
from core.fabric.sheet import sketch_fabric
from core.fabric.swatch import READING_MM, WorkedWave, compare, fit_swatch, with_fit, worked_wave
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


# --- how well they fit -------------------------------------------------------------------


def measured_of(design, **values):
    """Return what four repeats and twenty rows of a wave measure; factors spoil a measure."""
    wave = wave_of(design)
    return WorkedWave(
        repeat_width_mm=wave.repeat_width_mm * values.get("width", 1),
        rise_mm=wave.rise_mm * values.get("rise", 1),
        wave_height_mm=wave.wave_height_mm * values.get("height", 1),
        repeats=4,
        rows=20,
    )


SPOILT = [
    ("width", 1.3, "Repeat width"),
    ("width", 0.72, "Repeat width"),
    ("rise", 1.4, "Rise per row"),
    ("rise", 0.7, "Rise per row"),
    ("height", 1.9, "Wave height"),
]


@pytest.mark.parametrize("wave", ["steep_wave", "two_row_ripple", "sharp_wave"])
@pytest.mark.parametrize(("spoilt", "factor", "name"), SPOILT)
def test_the_measure_that_was_spoilt_is_among_those_named(wave, spoilt, factor, name, request):
    design = request.getfixturevalue(wave)
    told = judge_wave(design, measured_of(design, **{spoilt: factor}))
    (odd,) = (one for one in told.odd if one.name == name)
    # and what would agree is what it was before
    assert odd.low_mm < odd.taken_mm / factor < odd.high_mm


@pytest.mark.parametrize("wave", ["steep_wave", "two_row_ripple", "sharp_wave"])
def test_usual_cloth_has_no_measure_that_disagrees(wave, request):
    design = request.getfixturevalue(wave)
    told = judge_wave(design, measured_of(design))
    assert not told.odd and told.left_out is None and told.fit.explained
    assert len(told.expected) == 3


def test_a_measure_far_off_is_left_out_and_the_rest_fits(steep_wave):
    told = judge_wave(steep_wave, measured_of(steep_wave, height=2.0))
    assert told.odd == (told.left_out,) and told.left_out.name == "Wave height"
    assert told.fit.stitch_width_mm == pytest.approx(steep_wave.gauge.stitch_width_mm, rel=1e-3)
    assert told.fit.firmness == pytest.approx(0.5)
    assert told.fit.give[2] is None  # kept, not told


def test_of_two_measures_none_is_left_out(steep_wave):
    measured = measured_of(steep_wave, rise=1.8).without("Wave height")
    told = judge_wave(steep_wave, measured)
    assert len(told.odd) == 2 and told.left_out is None


def test_width_and_rise_are_both_named_where_nothing_tells_which_is_wrong(steep_wave):
    told = judge_wave(steep_wave, measured_of(steep_wave, rise=0.7))
    assert {one.name for one in told.odd} == {"Repeat width", "Rise per row"}
    assert told.left_out is None


def test_one_measure_alone_can_not_disagree(steep_wave):
    assert expected_measures(steep_wave, WorkedWave(rise_mm=3.0)) == ()


def test_measures_no_fabric_has_give_the_nearest_that_one_may_have(steep_wave):
    flat = WorkedWave(repeat_width_mm=60.0, rise_mm=80.0, repeats=4, rows=20)
    fit = fit_swatch(steep_wave, flat)
    assert not fit.explained
    assert checked(with_fit(steep_wave, fit))


@pytest.mark.parametrize("height", [0.5, 9_000.0])
@pytest.mark.parametrize("width", [1.0, 90_000.0])
def test_any_measures_within_bounds_give_a_gauge_or_a_sentence(two_row_ripple, width, height):
    design = set_swatch(two_row_ripple, repeats_mm=width, rows_mm=500.0, wave_height_mm=height)
    try:
        fit = fit_swatch(design, worked_wave(design.swatch))
        checked(with_fit(design, fit))
    except (DesignError, ValueError) as error:
        assert str(error)


def test_a_longer_reading_gives_a_closer_fit(steep_wave):
    truth = wave_of(steep_wave)
    few, many = (
        fit_swatch(
            steep_wave,
            WorkedWave(
                repeat_width_mm=truth.repeat_width_mm, rise_mm=truth.rise_mm, repeats=n, rows=r
            ),
        ).give
        for n, r in ((1, 5), (10, 50))
    )
    assert many[0] == pytest.approx(few[0] / 10, rel=0.05)


def test_the_share_a_reading_may_be_off_is_what_a_wrong_reading_does(steep_wave):
    # Each reading is spoilt by hand; independent ones add up by their squares.
    right = measured_of(steep_wave).without("Wave height")
    fit = fit_swatch(steep_wave, right)
    moved = []
    for part, together in (("repeat_width_mm", 4), ("rise_mm", 20)):
        off = getattr(right, part) + READING_MM / together
        spoilt = WorkedWave(
            **{
                "repeat_width_mm": right.repeat_width_mm,
                "rise_mm": right.rise_mm,
                "repeats": 4,
                "rows": 20,
                part: off,
            }
        )
        moved.append(fit_swatch(steep_wave, spoilt).stitch_width_mm / fit.stitch_width_mm - 1)
    assert fit.give[0] == pytest.approx(sum(share**2 for share in moved) ** 0.5, rel=0.05)


def test_the_spread_of_proportions_is_that_of_published_gauges():
    # The 8 mm plush gauge of 2.33 isn't among them.
    ratios = {}
    for swatch in SWATCHES:
        ratios.setdefault(swatch.stitch, []).append(log(swatch.height_to_width))
    spread = [pstdev(ratios[stitch]) for stitch in ("sc", "dc")]
    assert min(spread) > 0.04 and max(spread) < SHAPE_SPREAD
    assert (
        max(abs(one - median(ratios[stitch])) for stitch in ("sc", "dc") for one in ratios[stitch])
        < DISAGREES * SHAPE_SPREAD
    )


def test_a_fit_of_three_measures_takes_no_longer_than_a_blink(two_row_ripple):
    measured = measured_of(replace(two_row_ripple, gauge=WORKED))
    fit_swatch(two_row_ripple, measured)
    settled = []
    real = wave_model.settle_steady

    def counting(*arguments, **named):
        settled.append(1)
        return real(*arguments, **named)

    wave_model.settle_steady = counting
    try:
        fit_swatch(two_row_ripple, measured)
    finally:
        wave_model.settle_steady = real
    assert len(settled) <= 30  # 2 to 5 ms each
