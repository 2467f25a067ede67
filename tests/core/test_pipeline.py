"""The pipeline does only what has changed, and never mixes two designs."""

import pytest

from core.design import edits
from core.errors import Stopped
from core.pipeline import Pipeline, settled_extract


def test_a_colour_changes_neither_rows_nor_fabric(two_row_ripple):
    pipeline = Pipeline()
    before = pipeline.results(two_row_ripple)
    after = pipeline.results(edits.set_yarn(two_row_ripple, 0, colour="#00ff00"))
    assert after.rows is before.rows
    assert after.fabric is before.fabric
    assert after.design.yarns[0].colour == "#00ff00"


def test_a_run_changes_everything_after_the_rows(two_row_ripple, steep_wave):
    pipeline = Pipeline()
    before = pipeline.results(two_row_ripple)
    after = pipeline.results(edits.set_wave(two_row_ripple, steep_wave.wave))
    assert after.rows is not before.rows
    assert after.fabric is not before.fabric
    assert after.wave != before.wave


def test_a_settled_fabric_is_used_for_its_own_design_only(two_row_ripple):
    pipeline = Pipeline()
    settled = pipeline.settled_results(two_row_ripple)
    assert settled.fabric.settled
    assert pipeline.results(two_row_ripple).fabric is settled.fabric
    wider = edits.set_size(two_row_ripple, repeats=5)
    assert not pipeline.results(wider).fabric.settled


def test_everything_in_one_result_is_of_one_size(two_row_ripple):
    pipeline = Pipeline()
    for repeats, rows in ((2, 8), (4, 3), (1, 1), (7, 30)):
        design = edits.set_size(two_row_ripple, repeats=repeats, rows=rows)
        results = pipeline.results(design)
        assert results.fabric.n_rows == results.rows.drawn_rows == len(results.yarn_of_row) == rows
        assert sum(use.rows for use in results.yarn) == rows


def test_a_misfit_is_drawn_up_to_its_row_with_everything_in_step(losing_wave):
    results = Pipeline().settled_results(losing_wave)
    assert results.rows.misfit.row == 2
    assert results.fabric.n_rows == results.rows.drawn_rows == len(results.yarn_of_row) == 2


def test_settling_can_be_stopped(two_row_ripple):
    with pytest.raises(Stopped):
        Pipeline().settled_results(two_row_ripple, should_stop=lambda: True)


@pytest.mark.parametrize("repeats", [3, 6, 12])
def test_an_extract_of_any_blanket_has_equal_repeats(two_row_ripple, repeats):
    design = edits.set_size(two_row_ripple, repeats=repeats, rows=30)
    results = Pipeline().settled_results(design)
    rows, fabric = settled_extract(results, repeats=2, n_rows=4)
    assert rows.makes(1) == 36
    tops = fabric.row_tops_mm(4)
    # Peaks of one row are equally far apart: the two inner ones and the cut edges agree.
    width = results.wave.repeat_width_mm
    assert tops[24, 0] - tops[12, 0] == pytest.approx(width, rel=0.02)


def test_rows_that_do_not_fit_are_laid_out_but_not_settled(losing_wave, sized):
    results = Pipeline().settled_results(sized(losing_wave, repeats=150, rows=60))
    assert results.fabric.settled
    assert results.size.length_mm > 0
    assert all(len(results.fabric.row_tops_mm(row)) == results.rows.makes(row) for row in (0, 1, 2))


def test_the_longest_runs_stay_within_bounds_of_memory(two_row_ripple):
    from core.rows.waves import MAX_RUN, shape_of, wave_of, with_run

    shape = with_run(with_run(shape_of(two_row_ripple.wave), 0, MAX_RUN), 1, MAX_RUN)
    design = edits.set_size(edits.set_wave(two_row_ripple, wave_of(shape)), repeats=8, rows=64)
    assert Pipeline().results(design).wave is not None
    asked = iter(range(10**6))
    with pytest.raises(Stopped):
        Pipeline().settled_results(design, should_stop=lambda: next(asked) > 40)


def test_a_row_of_chains_alone_after_a_misfit_is_not_drawn(design_of, row_of):
    closing, opening = row_of("", "D4", ""), row_of("C D12", "1", "")
    design = design_of(closing, cycle=(closing, opening), repeats=2, rows=4)
    results = Pipeline().settled_results(design)
    assert results.rows.misfit.row == 2
    assert results.fabric.n_rows == results.rows.drawn_rows == 1


def test_yarn_of_rows_is_reckoned_anew_only_for_other_rows_or_gauge(two_row_ripple):
    pipeline = Pipeline()
    first = pipeline.results(two_row_ripple)
    recoloured = pipeline.results(edits.set_yarn(two_row_ripple, 0, colour="#112233"))
    assert recoloured.row_yarn is first.row_yarn and recoloured.yarn_ends is first.yarn_ends
    stripes = edits.set_stripe(two_row_ripple, 0, rows=4)
    restriped = pipeline.results(stripes)
    assert restriped.row_yarn is first.row_yarn and restriped.yarn_ends is not first.yarn_ends
    spared = pipeline.results(edits.set_reckoning(stripes, spare=0.3))
    assert spared.row_yarn is first.row_yarn
    assert spared.yarn[0].spare_m > restriped.yarn[0].spare_m
    looser = pipeline.results(edits.set_gauge(stripes, stitches=12))
    assert looser.row_yarn is not first.row_yarn
