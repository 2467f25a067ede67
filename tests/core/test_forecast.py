"""The piece on the hook: what it will come to, and the rows that restore the length wanted."""

import pytest

from core.design.edits import set_progress, set_size, set_swatch, set_wanted
from core.fabric.forecast import forecast_of, restore_length
from core.pipeline import Pipeline


def forecast(design):
    results = Pipeline().settled_results(design)
    return forecast_of(design, results.size, results.finished_wave), results


@pytest.fixture(scope="module")
def planned(two_row_ripple):
    return set_size(two_row_ripple, repeats=6, rows=84)


def at_24(planned, *, wide=1.0, long=1.0):
    """Return the design with a piece on the hook that is wider or longer than planned."""
    results = Pipeline().settled_results(planned)
    first = Pipeline().settled_results(set_size(planned, rows=24)).size.length_mm
    return set_progress(
        planned, row=24, width_mm=results.size.width_mm * wide, length_mm=first * long
    )


def test_nothing_measured_gives_no_forecast(planned):
    assert forecast(planned)[0] is None
    assert forecast(set_progress(planned, row=30))[0] is None


def test_a_piece_that_goes_as_planned_comes_out_as_planned(planned):
    told, results = forecast(at_24(planned))
    assert told.width_mm == pytest.approx(results.size.width_mm)
    assert told.length_mm == pytest.approx(results.size.length_mm, rel=0.01)
    assert told.best.rows == 84


def test_a_longer_piece_needs_fewer_rows_in_proportion(planned):
    told, results = forecast(at_24(planned, wide=1.03, long=1.05))
    assert told.row == 24
    assert told.width_share == pytest.approx(1.03)
    assert told.width_mm == pytest.approx(1.03 * results.size.width_mm)
    assert told.length_mm == pytest.approx(1.05 * results.size.length_mm, rel=0.01)
    assert told.best.rows == round(84 / 1.05) == 80
    assert told.wanted_mm == results.size.length_mm
    assert abs(told.best.off_mm) <= 0.5 * results.wave.rise_mm * 1.06
    assert [choice.rows for choice in told.choices] == list(range(77, 84))


def test_rows_that_restore_the_length_are_not_asked_for_again(planned):
    design = at_24(planned, long=1.05)
    told, _ = forecast(design)
    mended = restore_length(design, told.best.rows, told.wanted_mm)
    again, _ = forecast(mended)
    assert mended.size.rows == 80 == again.best.rows
    assert again.length_mm == pytest.approx(told.wanted_mm, rel=0.01)


def test_a_wish_of_its_own_is_aimed_at(planned):
    design = set_wanted(at_24(planned, long=1.05), length_mm=900.0)
    told, _ = forecast(design)
    assert told.wanted_mm == 900.0
    assert abs(told.best.length_mm - 900.0) < 8


def test_the_piece_is_measured_before_washing_and_foretold_after_it(planned):
    washed = set_swatch(
        at_24(planned), wash_length_mm=100.0, washed_length_mm=92.0, wash_width_mm=100.0
    )
    told, results = forecast(washed)
    assert told.length_share == pytest.approx(1.0, rel=0.01)
    assert told.length_mm == pytest.approx(results.size.length_mm, rel=0.01)
    assert results.size.is_washed


def test_rows_already_worked_are_not_taken_back(planned):
    told, _ = forecast(set_wanted(at_24(planned), length_mm=100.0))
    assert all(choice.rows >= 24 for choice in told.choices)
    assert told.best is None or told.best.rows >= 24


@pytest.mark.parametrize("long", [0.1, 10.0])
def test_a_slip_of_the_ruler_foretells_nothing(planned, long):
    told, results = forecast(at_24(planned, long=long))
    assert told.impossible == ("length",)
    assert told.length_mm == results.size.length_mm
