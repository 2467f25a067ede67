"""Yarn: from the fabric's area, in lines that are each said."""

import math

import pytest
from msgspec.structs import replace
from published_yarn import PIECES
from some import some

from core.craft.tables import YARN_BAND, YARN_M_PER_M2
from core.design.document import Gauge, Size, Swatch
from core.rows.build import build_rows
from core.stripes.sequence import worked_stripes
from core.yarn.rows import row_yarn
from core.yarn.use import yarn_use


def use_of(design):
    return yarn_use(design, build_rows(design))


def test_plain_cloth_takes_the_published_length_for_its_area(plain_cloth):
    # windchilde.com, measured strips: 1,237 to 1,263 m a square metre in sc, hdc and dc.
    design = replace(plain_cloth, size=Size(20, 40))
    rows = build_rows(design)
    gauge = design.gauge
    area_m2 = rows.makes(1) * gauge.stitch_width_mm * 40 * gauge.row_height_mm / 1e6
    body = sum(use.body_m for use in use_of(design))
    assert 1237 <= body / area_m2 <= 1263
    assert body == pytest.approx(YARN_M_PER_M2 * area_m2)


def test_a_12_stitch_dc_ripple_swatch_comes_near_the_published_one(two_row_ripple):
    # neisripplealong: 12-st dc ripple, 35 yd for 294 sts, 0.83 yd a square inch of rippled
    # fabric, chain excluded. Its stitch size isn't stated, so compare yarn over finished area,
    # tiled steady fabric: our figure is per plain area, a wave covers a little less of it.
    from core.fabric.measure import measure_wave
    from core.fabric.sheet import sketch_fabric

    rows = build_rows(two_row_ripple)
    wave = measure_wave(sketch_fabric(two_row_ripple, rows).steady)
    body_m = row_yarn(two_row_ripple, rows).repeat_m[0]
    per_m2 = body_m / (wave.repeat_width_mm * wave.rise_mm / 1e6)
    published = 0.83 * 0.9144 / 0.0254**2
    assert per_m2 == pytest.approx(published, rel=0.25)


def test_a_weighed_swatch_replaces_the_published_figure(two_row_ripple):
    weighed = replace(two_row_ripple, swatch=Swatch(yarn_m_per_m2=2 * YARN_M_PER_M2))
    ours, theirs = use_of(two_row_ripple), use_of(weighed)
    for one, other in zip(ours, theirs, strict=True):
        assert other.body_m == pytest.approx(2 * one.body_m)


def test_lines_add_up_and_balls_are_whole(two_row_ripple):
    for use in some(use_of(two_row_ripple)):
        needed = use.body_m + use.foundation_m + use.tails_m
        assert use.spare_m == pytest.approx(0.10 * needed)
        assert use.length_m == pytest.approx(1.10 * needed)
        yarn = two_row_ripple.yarns[use.yarn]
        assert use.balls == math.ceil(use.length_m / yarn.ball_m)
        assert use.mass_g == pytest.approx(use.length_m * yarn.ball_g / yarn.ball_m)


def test_the_foundation_is_the_first_rows_yarn(two_row_ripple):
    first, second = use_of(two_row_ripple)
    assert first.foundation_m > 0
    assert second.foundation_m == 0


def test_rows_and_stitches_of_all_yarns_are_the_blankets(two_row_ripple):
    design = replace(two_row_ripple, size=Size(4, 23))
    rows, uses = build_rows(design), use_of(design)
    assert sum(use.rows for use in uses) == 23
    assert sum(use.stitches for use in uses) == sum(rows.makes(row) for row in range(1, 24))


def test_tails_are_counted_by_stripe_and_yarn(two_row_ripple):
    design = replace(two_row_ripple, size=Size(2, 8))
    worked = worked_stripes(design.stripes, 8)
    for use in some(use_of(design)):
        stripes = sum(stripe.yarn == use.yarn for stripe in worked)
        assert use.tails_m == pytest.approx(2 * stripes * 0.15)  # about.com: 6 in, 15 cm


def test_taller_stitches_take_more_yarn_each(two_row_ripple):
    tall = replace(two_row_ripple, gauge=Gauge(stitch="dc", stitches=13, rows=6))
    assert use_of(tall)[1].body_m > use_of(two_row_ripple)[1].body_m


def test_a_yarn_that_isnt_used_needs_nothing(two_row_ripple):
    yarns = (*two_row_ripple.yarns, replace(two_row_ripple.yarns[0], name="Spare"))
    unused = use_of(replace(two_row_ripple, yarns=yarns))[2]
    assert (unused.rows, unused.balls, unused.length_m) == (0, 0, 0)


@pytest.mark.parametrize("piece", [p for p in PIECES if not p.is_open], ids=lambda p: p.name)
def test_closed_pieces_take_what_the_published_range_says(piece):
    low, high = YARN_BAND
    assert low <= piece.stated_m / piece.reckoned_m <= high


def test_a_leg_of_a_decrease_lacks_only_its_top(two_row_ripple):
    # windchilde.com: an inch of chain, which is what tops look like, takes 4.8 in, of dc 20.4 in.
    design = two_row_ripple
    width, height = design.gauge.stitch_width_mm, design.gauge.row_height_mm
    stitch = width * height * YARN_M_PER_M2 / 1e6
    by_row = row_yarn(design, build_rows(design))
    assert by_row.repeat_m[0] == pytest.approx(
        12 * stitch + 2 * stitch * (1 - 4.8 / 20.4), rel=0.002
    )
