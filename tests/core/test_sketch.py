"""Drawn waves: what is read from a curve, and that the search finds what the model can work."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace as changed
from some import some

from core.design.edits import set_size, set_stitch, set_wave
from core.design.validation import checked
from core.errors import Stopped
from core.fabric.measure import measure_wave
from core.fabric.steady import steady_of
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.waves import FAMILIES, family_wave, shape_of, wave_of, with_edge_at
from core.sketch.curve import MOST_STITCHES, crosses_itself, read_curve, steepest_lean
from core.sketch.offers import blanket_of, take
from core.sketch.outline import Outline, OutlineBook, guessed_outline, match
from core.sketch.period import SAMPLES
from core.sketch.search import nearest_waves
from core.sketch.variants import (
    Variant,
    compared,
    drawn_of,
    first_variants,
    run_for_depth,
    shaped,
    variant_of,
)
from core.sketch.ways import runs_of, ways_for

BASE = starter(FAMILIES[0])
GAUGE = BASE.gauge
RUNS = [family for family in FAMILIES if runs_of(family_wave(family, "dc", 4))]
SIMPLE = [
    family
    for family in RUNS
    if family_wave(family, "dc", 4).cycle is None
    and not any(item.chain for item in family_wave(family, "dc", 4).repeat)
]
families = st.sampled_from(RUNS)
simple_families = st.sampled_from(SIMPLE)


def sine(width_mm, height_mm, *, waves=1.0, start=-0.25, tilt=0.0, points=200):
    """Return a sine from dip to dip (or from another phase), as (n, 2) points."""
    at = np.linspace(0.0, waves, points)
    y = 0.5 * height_mm * np.sin(2 * np.pi * (at + start)) + tilt * at * width_mm
    return np.stack([at * width_mm, y], axis=1)


def read(points):
    return read_curve(np.asarray(points, dtype=float), GAUGE, "dc")


def drawn(points):
    reading = read(points)
    assert reading.drawn is not None, reading.said
    return reading.drawn


# --- reading a curve -----------------------------------------------------------------------


@pytest.mark.parametrize("start", [-0.25, 0.0, 0.25, 0.5])
def test_one_sine_is_one_period_wherever_it_begins(start):
    reading = read(sine(90, 20, start=start))
    assert reading.drawn.period_mm == pytest.approx(90, rel=0.02)
    assert reading.drawn.height_mm == pytest.approx(20, rel=0.03)
    assert reading.said == ""


@given(
    st.floats(50, 150),
    st.floats(0.1, 0.3),
    st.floats(2, 6),  # fewer waves can't tell a tilt from where the first begins
    st.floats(0, 1),
    st.floats(-0.1, 0.1),
)
@settings(max_examples=60)
def test_of_several_waves_one_period_is_found_and_the_tilt_taken_out(
    width, shape, waves, start, tilt
):
    height = shape * width
    curve = drawn(sine(width, height, waves=waves, start=start, tilt=tilt, points=600))
    assert curve.period_mm == pytest.approx(width, rel=0.04)
    assert curve.height_mm == pytest.approx(height, rel=0.15)


@given(st.integers(0, 10_000), st.floats(0, 0.8))
@settings(max_examples=40)
def test_a_trembling_hand_changes_little(seed, tremble_mm):
    points = sine(85, 22, waves=3, points=400)
    points[:, 1] += np.random.default_rng(seed).normal(0, tremble_mm, len(points))
    curve = drawn(points)
    assert curve.period_mm == pytest.approx(85, rel=0.03)
    clean = drawn(sine(85, 22, waves=3, points=400))
    assert np.sqrt(np.square(curve.heights_mm - clean.heights_mm).mean()) < 0.5 + tremble_mm


def test_a_curve_drawn_from_right_to_left_reads_the_same():
    there, back = drawn(sine(90, 20)), drawn(sine(90, 20)[::-1])
    assert back.period_mm == pytest.approx(there.period_mm)
    assert np.allclose(back.heights_mm, there.heights_mm, atol=0.01)


def test_half_a_wave_is_mirrored():
    reading = read(sine(90, 20, waves=0.5))
    assert reading.drawn.period_mm == pytest.approx(90, rel=0.02)
    heights = reading.drawn.heights_mm
    assert np.allclose(heights[1:], heights[:0:-1], atol=0.05)
    assert "mirror" in reading.said


def test_tall_and_small_waves_are_one_period_of_two():
    x = np.linspace(0, 480, 900)
    y = (12 + 5 * np.sign(np.sin(np.pi * x / 80))) * np.sin(np.pi * x / 80) ** 2
    curve = drawn(np.stack([x, y], axis=1))
    assert curve.period_mm == pytest.approx(160, rel=0.03)
    assert curve.turns == 4


def loops(size):
    """Return a curve that runs on in loops if `size` is more than 1, in waves if less."""
    t = np.linspace(0, 6 * np.pi, 400)
    return np.stack([12 * t - 12 * size * np.sin(t), -15 * np.cos(t)], axis=1)


def test_a_curve_that_crosses_itself_gets_one_sentence_and_a_curve_that_runs_on():
    reading = read(loops(2.0))
    assert "crosses itself" in reading.said and reading.said.count(".") == 1
    assert reading.drawn.period_mm == pytest.approx(2 * np.pi * 12, rel=0.1)
    assert np.isfinite(reading.drawn.heights_mm).all()


def test_a_curve_that_turns_back_is_named_even_if_it_never_crosses():
    points = [(0, 0), (50, 10), (40, 22), (90, 32)]
    reading = read(points)
    assert not crosses_itself(np.array(points, dtype=float))
    assert "turns back" in reading.said
    assert reading.drawn is not None


def test_crossing_is_told_from_touching_nothing():
    assert crosses_itself(np.array([(0, 0), (2, 2), (2, 0), (0, 2)], dtype=float))
    assert not crosses_itself(np.array([(0, 0), (1, 2), (2, 0), (3, 2)], dtype=float))


def test_too_steep_names_both_angles_and_gives_a_curve_within_the_limit():
    reading = read(sine(40, 120))
    limit = steepest_lean(GAUGE, "dc")
    # Closed form: a wave that moves d stitches a row leans atan(d w / h).
    assert limit == pytest.approx(
        np.degrees(np.arctan(2 * GAUGE.stitch_width_mm / GAUGE.row_height_mm))
    )
    assert f"{limit:.0f}°" in reading.said
    within = reading.drawn.within_mm
    step = reading.drawn.period_mm / len(within)
    slopes = np.diff([*within, within[0]]) / step
    assert np.degrees(np.arctan(np.abs(slopes).max())) < limit + 2
    assert np.ptp(within) < reading.drawn.height_mm


@pytest.mark.parametrize(
    ("points", "word"),
    [
        ([], "three points"),
        ([(0, 0), (1, 1)], "three points"),
        ([(5, 5)] * 10, "three points"),
        ([(np.nan, 1), (np.inf, 2), (3, 3)], "three points"),
        ([(0, 0), (0, 40), (1, 80)], "three points"),
        ([(0, 7), (50, 7), (100, 7)], "straight line"),
    ],
)
def test_what_is_hardly_there_is_sent_back_with_a_sentence(points, word):
    reading = read(np.array(points, dtype=float).reshape(-1, 2))
    assert reading.drawn is None
    assert word in reading.said


@pytest.mark.parametrize(
    ("points", "word"),
    [
        (sine(14, 3), "narrower than"),
        (sine(1500, 100), "wider than"),
        (sine(90, 1.5), "nearly straight"),
        (sine(90, 20, waves=3, tilt=0.3), "laid level"),
        ([(0, 0), (25, 12), (90, 0), (115, 12), (180, 0)], "one side"),
    ],
)
def test_each_kind_of_trouble_has_its_sentence_and_still_something_to_look_for(points, word):
    reading = read(points)
    assert word in reading.said
    assert reading.said.count(".") == 1 and reading.said.endswith(".")
    assert reading.drawn is not None


ordinary = st.floats(-300, 300)


@given(
    st.lists(st.tuples(st.floats(), st.floats()), max_size=60)
    | st.lists(st.tuples(ordinary, ordinary), max_size=60)
)
@example([(0.0, 0.0), (-8.0, 0.0), (0.0, 8.0)])  # read forth and back: a straight slope
def test_no_scribble_makes_it_fail(points):
    reading = read(np.array(points, dtype=float).reshape(-1, 2))
    assert reading.drawn is not None or reading.said
    if reading.drawn is not None:
        assert np.isfinite(reading.drawn.heights_mm).all()
        assert reading.drawn.period_mm > 0


def test_far_too_many_points_are_read_as_fast_as_few():
    assert drawn(sine(90, 20, points=300_000)).period_mm == pytest.approx(90, rel=0.02)


# --- distance ------------------------------------------------------------------------------


def test_distance_to_a_shifted_copy_of_itself_is_nothing():
    heights = 10 * np.sin(2 * np.pi * np.arange(SAMPLES) / SAMPLES)
    x = np.linspace(0, 80, 200, endpoint=False)
    row = Outline(repeat_mm=80.0, lines_mm=(np.stack([x, 10 * np.sin(x / 80 * 2 * np.pi + 1)], 1),))
    found = match(80.0, heights, row)
    assert found.distance_mm < 0.02
    assert found.phase == pytest.approx(1 - 1 / (2 * np.pi), abs=0.002)


def test_distance_is_that_of_the_closed_form():
    # Sines of half heights a and b and widths P and W, their phases the same: the heights
    # differ by |a - b| / sqrt(2) on average, the places by |P - W| / sqrt(12).
    x = np.linspace(0, 90, 400, endpoint=False)
    row = Outline(repeat_mm=90.0, lines_mm=(np.stack([x, 7 * np.sin(x / 90 * 2 * np.pi)], 1),))
    heights = 10 * np.sin(2 * np.pi * np.arange(SAMPLES) / SAMPLES)
    wanted = np.hypot(3 / np.sqrt(2), 10 / np.sqrt(12))
    assert match(80.0, heights, row).distance_mm == pytest.approx(wanted, rel=1e-3)


@given(simple_families, st.integers(2, 20))
@settings(max_examples=30)
def test_the_guess_is_near_the_model_in_width(family, run):
    wave = family_wave(family, "dc", run)
    guess, model = guessed_outline(BASE, wave), OutlineBook(BASE).outline(wave)
    assert guess.repeat_mm == pytest.approx(model.repeat_mm, rel=0.3)


# --- searching -----------------------------------------------------------------------------


def line_of(design, waves=3):
    """Return the settled row as somebody would draw it who drew it exactly."""
    steady = steady_of(design)
    level = steady.levels[0]
    tops = steady.tops_mm[level.offset : level.offset + level.width]
    return np.concatenate([tops + (n * steady.frame.repeat_mm, 0) for n in range(waves)])


BOOK = OutlineBook(BASE)


BOOKS = {
    stitch: (set_stitch(BASE, stitch), OutlineBook(set_stitch(BASE, stitch)))
    for stitch in ("sc", "hdc", "dc")
}


@given(families, st.sampled_from(sorted(BOOKS)), st.integers(1, 12), st.sampled_from([1, 3]))
@settings(max_examples=25)
def test_a_wave_that_is_drawn_exactly_is_found_or_one_no_worse(family, stitch, run, waves):
    base, book = BOOKS[stitch]
    wave = family_wave(family, stitch, run)
    design = set_wave(base, wave)
    points = line_of(design, waves + 1)
    width = measure_wave(steady_of(design)).repeat_width_mm
    peak = int(np.argmin(points[: len(points) // (waves + 1), 1]))
    inside = points[peak:]
    inside = inside[inside[:, 0] <= inside[0, 0] + waves * width + 1e-6]
    curve = read_curve(inside, base.gauge, stitch).drawn
    itself = match(curve.period_mm, curve.heights_mm, book.outline(wave)).distance_mm
    offers = nearest_waves(base, curve, book=book)
    assert len(offers) == 3
    assert offers[0].distance_mm <= itself + 1e-9
    assert [o.distance_mm for o in offers] == sorted(o.distance_mm for o in offers)


@given(st.floats(45, 200), st.floats(0.08, 0.5), st.booleans())
@settings(max_examples=15)
def test_offers_differ_fit_and_say_what_the_model_says(width, shape, dips):
    design = BASE
    if dips:
        design = set_wave(BASE, wave_of(with_edge_at(shape_of(BASE.wave), "dip")))
    offers = nearest_waves(design, drawn(sine(width, shape * width)))
    assert len({o.wave for o in offers}) == 3
    assert len({(o.name, o.multiple) for o in offers}) == 3
    for offer in offers:
        taken = checked(take(design, offer))
        assert build_rows(taken).misfit is None
        assert offer.multiple == build_rows(taken).foundation.multiple <= MOST_STITCHES
        assert measure_wave(steady_of(taken)).wave_height_mm == pytest.approx(
            offer.measures.wave_height_mm, abs=0.01
        )
        assert offer.share == pytest.approx(offer.distance_mm / (shape * width), rel=0.05)


def test_a_mirrored_drawing_is_as_far_from_every_wave():
    points = sine(80, 20)
    points[:, 0] += 6 * np.sin(points[:, 0] / 80 * np.pi) ** 2  # leans to one side
    mirrored = points * (-1, 1)
    there, back = drawn(points), drawn(mirrored)
    one, other = (nearest_waves(BASE, curve, book=BOOK) for curve in (there, back))
    assert one[0].distance_mm == pytest.approx(other[0].distance_mm, rel=0.1)
    for offer in one:
        if offer.wave.cycle:
            continue  # only a row that repeats by itself is met from both sides
        laid = match(back.period_mm, back.heights_mm, BOOK.outline(offer.wave))
        assert laid.distance_mm == pytest.approx(offer.distance_mm, rel=0.02)


def test_drawing_and_gauge_scaled_alike_get_the_same_waves_and_scaled_distances():
    large = changed(BASE, gauge=changed(GAUGE, over_mm=200.0))
    points = sine(80, 20)
    small_offers = nearest_waves(BASE, drawn(points))
    curve = read_curve(2 * points, large.gauge, "dc").drawn
    large_offers = nearest_waves(large, curve)
    assert [o.wave for o in large_offers] == [o.wave for o in small_offers]
    for big, small in zip(large_offers, small_offers, strict=True):
        assert big.distance_mm == pytest.approx(2 * small.distance_mm, rel=1e-3)


@given(st.integers(0, 10_000))
@settings(max_examples=8)
def test_a_trembling_hand_finds_a_wave_as_near_as_a_steady_one(seed):
    points = sine(80, 20, waves=2, points=400)
    points[:, 1] += np.random.default_rng(seed).normal(0, 0.6, len(points))
    steady = nearest_waves(BASE, drawn(sine(80, 20, waves=2, points=400)), book=BOOK)[0]
    trembled = nearest_waves(BASE, drawn(points), book=BOOK)[0]
    clean = drawn(sine(80, 20, waves=2, points=400))
    again = match(clean.period_mm, clean.heights_mm, BOOK.outline(trembled.wave))
    assert again.distance_mm < steady.distance_mm + 0.5


@pytest.mark.parametrize("points", [sine(14, 3), sine(1500, 100), sine(90, 1.5), sine(40, 120)])
def test_even_the_impossible_gets_three_offers(points):
    assert len(nearest_waves(BASE, drawn(points))) == 3


def test_two_unlike_humps_get_waves_of_two_unlike_humps():
    x = np.linspace(0, 200, 400)
    y = np.where(x < 120, 22 * np.sin(np.pi * x / 120), 10 * np.sin(np.pi * (x - 120) / 80))
    curve = drawn(np.stack([x, y], axis=1))
    assert curve.turns == 4
    offer = nearest_waves(BASE, curve)[0]
    assert len(shape_of(offer.wave).turns) == 4
    assert offer.distance_mm < 4
    assert build_rows(take(BASE, offer)).misfit is None


def test_a_search_that_isnt_wanted_any_more_stops():
    asked = []

    def should_stop():
        asked.append(1)
        return len(asked) > 30

    with pytest.raises(Stopped):
        nearest_waves(BASE, drawn(sine(80, 20)), should_stop=should_stop)
    assert len(asked) == 31


def test_progress_goes_from_nothing_to_all():
    told = []
    nearest_waves(BASE, drawn(sine(80, 20)), book=BOOK, progress=told.append)
    assert told == sorted(told)
    assert told[0] == 0 and told[-1] == 1


def test_every_way_is_workable_at_every_size():
    for design in (BASE, set_wave(BASE, wave_of(with_edge_at(shape_of(BASE.wave), "dip")))):
        for way in some(ways_for(design, two_humps=True)):
            for more in (0, 1, 4):
                wave = way.build(tuple(size + more for size in way.first))
                rows = build_rows(set_wave(design, wave), rows=4)
                assert rows.misfit is None, (way.name, more)


def test_a_blanket_taken_in_another_wave_keeps_its_size():
    book = OutlineBook(BASE)
    was = blanket_of(BASE, book)
    offer = nearest_waves(BASE, drawn(sine(60, 14)), book=book)[0]
    now = blanket_of(take(BASE, offer), book)
    assert now.width_mm == pytest.approx(was.width_mm, abs=0.5 * offer.measures.repeat_width_mm + 1)
    assert now.length_mm == pytest.approx(was.length_mm, abs=0.5 * offer.measures.rise_mm + 1)
    assert (now.width_mm, now.length_mm) == pytest.approx((offer.width_mm, offer.length_mm))


def test_the_largest_blankets_get_offers_within_bounds():
    large = set_size(BASE, repeats=300, rows=270)
    for offer in nearest_waves(large, drawn(sine(60, 25)), book=BOOK):
        assert build_rows(checked(take(large, offer)), repeats=2, rows=2).misfit is None


# --- variants ------------------------------------------------------------------------------


def test_the_demo_of_need_eleven_three_variants_side_by_side():
    shape = shape_of(BASE.wave)
    flatter, now, steeper = compared(BASE, shape, first_variants(shape, "slope"))
    assert now.wave == BASE.wave and now.name == "As it is"
    assert (now.repeats, now.rows) == (BASE.size.repeats, BASE.size.rows)
    assert flatter.measures.lean_deg < now.measures.lean_deg < steeper.measures.lean_deg
    shorter, _, longer = compared(BASE, shape, first_variants(shape, "depth"))
    assert (shorter.multiple, longer.multiple) == (now.multiple - 4, now.multiple + 4)
    depths = [o.measures.wave_height_mm for o in (shorter, now, longer)]
    assert depths == sorted(depths)
    assert longer.measures.lean_deg == pytest.approx(now.measures.lean_deg, abs=2.5)


def test_the_wave_as_it_is_keeps_edges_of_its_own():
    design = set_wave(BASE, changed(BASE.wave, start=BASE.wave.end, end=BASE.wave.start))
    shape = shape_of(design.wave)
    _, now, _ = compared(design, shape, first_variants(shape, "slope"))
    assert now.wave is design.wave
    assert take(design, now) is design


@given(simple_families, st.integers(2, 10), st.integers(1, 4), st.integers(1, 20))
@settings(max_examples=40)
def test_a_variant_is_what_was_asked_for_and_fits(family, run, gain, new_run):
    shape = shape_of(family_wave(family, "dc", run))
    changed_shape = shaped(shape, Variant(new_run, gain))
    assert variant_of(changed_shape) == Variant(new_run, gain)
    wave = wave_of(changed_shape)
    assert wave.row.uses(3) == wave.row.makes(3)


@given(st.floats(8, 90))
@settings(max_examples=12)
def test_a_depth_asked_for_gets_the_run_that_comes_nearest(depth):
    shape = shape_of(BASE.wave)
    run = run_for_depth(BASE, shape, variant_of(shape), depth, book=BOOK)

    def height(run):
        wave = wave_of(shaped(shape, Variant(run, 2)))
        return BOOK.outline(wave).measures.wave_height_mm

    near = [n for n in (run - 1, run, run + 1) if n >= 1]
    assert min(near, key=lambda n: abs(height(n) - depth)) == run


def test_a_settled_row_read_as_a_drawing_matches_itself():
    outline = BOOK.outline(BASE.wave)
    curve = drawn_of(outline)
    assert match(curve.period_mm, curve.heights_mm, outline).distance_mm < 0.6
