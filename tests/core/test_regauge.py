"""Another stitch or yarn: old and new side by side, and taken over as one edit."""

import pytest

from core.design.document import Swatch
from core.design.edits import set_progress, set_size, set_swatch
from core.design.validation import checked
from core.errors import DesignError
from core.pipeline import Pipeline
from core.yarn.regauge import side_by_side, taken_over


@pytest.fixture(scope="module")
def blanket(two_row_ripple):
    return set_size(two_row_ripple, repeats=9, rows=60)


def test_the_same_gauge_gives_the_same_blanket(blanket):
    both = side_by_side(blanket, "dc", 13, 7.5)
    assert both.new.design == both.old.design == blanket
    assert both.new == both.old


def test_a_finer_yarn_takes_more_repeats_and_rows_for_the_same_size(blanket):
    both = side_by_side(blanket, "dc", 18, 10.4)
    old, new = both.old, both.new
    # the same proportion, scaled: repeats and rows grow as the stitch shrinks
    assert new.across == pytest.approx(old.across * 18 / 13, abs=1)
    assert new.design.size.rows == pytest.approx(60 * 10.4 / 7.5, abs=1)
    assert new.wave_height_mm == pytest.approx(old.wave_height_mm * 13 / 18, rel=0.01)
    assert new.width_mm == pytest.approx(old.width_mm, rel=0.05)
    assert new.length_mm == pytest.approx(old.length_mm, rel=0.01)


def test_yarn_over_the_same_area_is_about_the_same_whatever_the_stitch(blanket):
    # Measured strips: sc, hdc and dc take the same length a square metre (windchilde.com). The
    # wave pulls sc together more, so a finished area of it holds more.
    both = side_by_side(blanket, "sc", 14, 15.5)
    area = [side.width_mm * side.length_mm for side in (both.old, both.new)]
    per_area = (both.new.yarn_m / area[1]) / (both.old.yarn_m / area[0])
    assert 1.0 <= per_area < 1.25


def test_sc_leans_more_and_is_worked_in_more_rows(blanket):
    both = side_by_side(blanket, "sc", 14, 15.5)
    assert both.new.design.gauge.stitch == "sc"
    assert both.new.design.turning.chains == 1
    assert both.new.lean_deg > both.old.lean_deg
    assert both.new.design.size.rows > 1.4 * both.old.design.size.rows


def test_the_new_blanket_has_the_size_that_was_compared(blanket):
    both = side_by_side(blanket, "sc", 14, 15.5)
    taken = checked(taken_over(both))
    results = Pipeline().results(taken)
    assert results.size.width_mm == pytest.approx(both.new.width_mm)
    assert results.size.length_mm == pytest.approx(both.new.length_mm)
    assert results.rows.foundation.chains == both.new.chains


def test_what_was_measured_on_the_old_wave_is_left_behind_but_not_washing(blanket):
    measured = set_progress(
        set_swatch(
            blanket, repeats=3, repeats_mm=250.0, washed_width_mm=240.0, yarn_m_per_m2=1100.0
        ),
        length_mm=300.0,
    )
    both = side_by_side(measured, "sc", 14, 15.5)
    taken = checked(taken_over(both))
    assert taken.progress is None
    assert taken.swatch == Swatch(yarn_m_per_m2=1100.0, wash_width_mm=250.0, washed_width_mm=240.0)
    assert Pipeline().results(taken).size.width_mm == pytest.approx(both.new.width_mm)
    assert taken_over(side_by_side(blanket, "sc", 14, 15.5)).swatch is None


def test_a_gauge_that_no_fabric_has_says_so_and_the_nearest(blanket):
    with pytest.raises(DesignError, match="at most 33"):
        side_by_side(blanket, "dc", 14, 200)


def test_rows_that_do_not_go_on_evenly_say_so(losing_wave):
    with pytest.raises(DesignError, match="Checks"):
        side_by_side(losing_wave, "dc", 14, 8)
