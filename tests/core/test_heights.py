"""Tall-and-short waves: stitch heights, the opposite row, edges, the way there and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.craft.stitches import CATALOGUE
from core.design.document import Item, Row, Turning, Wave
from core.fabric.energy import cell_areas_mm2
from core.fabric.steady import steady_of
from core.rows.build import build_rows
from core.rows.heights import (
    HeightShape,
    checked_heights,
    least_length,
    turning_of_heights,
)
from core.rows.shape import units_of
from core.rows.starters import starter
from core.rows.waves import (
    FAMILIES,
    Rhythm,
    edge_kinds,
    family_of,
    parts_of,
    pulled,
    shape_of,
    wave_of,
    with_ends,
    with_every,
    with_heights,
    with_length,
    with_swap,
)

STITCHES = ["sl st", "sc", "hdc", "dc", "tr", "dtr"]
kinds = st.sampled_from(["dip", "peak"])


@st.composite
def height_shapes(draw):
    low = draw(st.integers(0, 4))
    high = draw(st.integers(low + 1, 5))
    shape = HeightShape(
        low=STITCHES[low],
        high=STITCHES[high],
        length=draw(st.integers(2, 24)),
        near=draw(kinds),
        far=draw(kinds),
        rhythm=Rhythm(swap_after=draw(st.integers(1, 4)), every=draw(st.integers(1, 3))),
    )
    return with_swap(checked_heights(shape), shape.rhythm.swap_after)


def test_an_odd_middle_stitch_stands_at_both_edges():
    # 10 stitches: one each of hdc and dc up and down, and three of sc and of tr.
    row = wave_of(HeightShape(low="sc", high="tr", length=10, near="dip", far="dip")).row
    assert names(row.start) == "sc sc" and names(row.end).endswith("sc sc")
    assert names(row.repeat) == "hdc dc tr tr tr dc hdc sc sc sc"


def names(items):
    return " ".join(str(unit.stitch) for unit in units_of(items))


def across(row, repeats):
    return names((*row.start, *row.repeat * repeats, *row.end))


# Published: haak8, haakmaarraak.nl/tutorials/wave-stitch, sc hdc dc tr tr dc hdc sc, a wave row
# and the opposite one; wavy_crochetme, crochetme.com/media/p/89937, 12n: two sc, then two each
# of hdc, dc, tr, dc, hdc, sc, two rows that start low and two that start high.


def test_eight_stitches_go_up_and_down_in_the_published_order():
    row = wave_of(HeightShape(low="sc", high="tr", length=8, near="dip", far="dip")).row
    assert across(row, 1) == "sc hdc dc tr tr dc hdc sc " * 1 + "sc hdc dc tr tr dc hdc sc"


def test_twelve_stitches_go_up_and_down_in_the_published_order():
    row = wave_of(HeightShape(low="sc", high="tr", length=12, near="dip", far="dip")).row
    step = "hdc hdc dc dc tr tr dc dc hdc hdc sc sc"
    assert names(row.repeat) == step
    assert row.uses(11) == 12 * 12


def test_the_opposite_row_is_tall_where_the_wave_row_is_short():
    wave = wave_of(HeightShape(low="sc", high="tr", length=8, near="dip", far="dip"))
    assert len(wave.cycle) == 2
    opposite = {"sc": "tr", "hdc": "dc", "dc": "hdc", "tr": "sc"}
    there, back = across(wave.cycle[0], 3), across(wave.cycle[1], 3)
    assert [opposite[stitch] for stitch in there.split()] == back.split()


def test_two_rows_that_start_low_and_two_that_start_high():
    shape = HeightShape(
        low="sc", high="tr", length=12, near="dip", far="dip", rhythm=Rhythm(swap_after=2)
    )
    first, second, third, fourth = wave_of(shape).cycle
    assert first == second != third == fourth
    assert first.start == (Item(stitch="sc"),)
    assert third.start == (Item(stitch="tr"),)


def test_a_row_that_begins_short_and_ends_tall_is_its_own_opposite():
    shape = HeightShape(low="sc", high="tr", length=12, near="dip", far="peak")
    wave = wave_of(shape)
    assert wave.cycle is None
    there = across(wave.row, 3).split()
    opposite = {"sc": "tr", "hdc": "dc", "dc": "hdc", "tr": "sc"}
    assert [opposite[stitch] for stitch in there] == there[::-1]


@given(height_shapes(), st.integers(1, 4))
def test_nothing_is_gained_or_lost_in_three_hundred_rows(design_of, shape, repeats):
    wave = wave_of(shape)
    for row in wave.rows_in_turn:
        assert all(item.is_plain for item in (*row.start, *row.repeat, *row.end))
    rows = build_rows(design_of(wave.row, cycle=wave.cycle, repeats=repeats, rows=300))
    assert rows.misfit is None
    assert len({rows.makes(row) for row in range(1, 301)}) == 1


@given(height_shapes())
def test_a_wave_of_heights_is_read_and_written_back_unchanged(shape):
    wave = wave_of(shape)
    again = shape_of(wave)
    assert isinstance(again, HeightShape)
    assert wave_of(again) == wave
    assert (again.low, again.high, again.length) == (shape.low, shape.high, shape.length)


@given(height_shapes())
def test_edges_are_mirror_images_where_they_are_alike(shape):
    alike = with_ends(shape, "dip", "dip")
    for row in wave_of(alike).rows_in_turn:
        units = units_of((*row.start, *row.repeat * 2, *row.end))
        assert units == units[::-1]


@given(height_shapes())
def test_a_wave_has_room_for_every_height(shape):
    assert shape.length >= least_length(shape.low, shape.high)
    assert {item.stitch for item in wave_of(shape).row.repeat} == set(shape.ladder)


@given(height_shapes(), st.sampled_from(["run", "peak", "dip"]), st.integers(-4, 4))
def test_whatever_is_pulled_it_stays_a_wave_of_heights(shape, kind, changed):
    after = pulled(shape, kind, 0, moved=0, changed=changed)
    assert checked_heights(after) == after
    assert wave_of(shape_of(wave_of(after))) == wave_of(after)


def test_pulling_a_peak_up_makes_the_tallest_stitch_taller():
    shape = HeightShape(low="sc", high="dc", length=12)
    assert pulled(shape, "peak", 0, moved=0, changed=1).high == "tr"
    assert pulled(shape, "dip", 0, moved=0, changed=1).low == "sl st"
    assert pulled(shape, "run", 0, moved=0, changed=2).length == 16


def test_the_length_goes_in_even_numbers():
    shape = HeightShape(low="sc", high="tr", length=12)
    assert with_length(shape, 13).length == 14
    assert with_length(shape, 11).length == 10
    assert with_length(shape, 1).length == 6


def test_the_tallest_stitch_stays_above_the_shortest():
    shape = with_heights(HeightShape(low="sc", high="hdc", length=6), "dc", "hdc")
    assert (shape.low, shape.high) == ("dc", "tr")


def test_plain_rows_between_are_in_the_shortest_stitch():
    wave = wave_of(with_every(HeightShape(low="sc", high="tr", length=12), 2))
    assert {item.stitch for item in (*wave.cycle[1].repeat, *wave.cycle[1].end)} == {"sc"}


def test_the_turning_chain_goes_with_the_first_stitch():
    # dummies.com and woollykits.com, as in the stitch catalogue: sc 1, not counted; tr 4, counted.
    assert turning_of_heights(HeightShape(low="sc", high="tr", length=12)) == Turning(1, False)
    tall = HeightShape(low="sc", high="tr", length=12, near="peak")
    assert turning_of_heights(tall) == Turning(4, True)


def test_parts_are_the_tallest_the_shortest_and_the_slopes_between():
    shape = HeightShape(low="sc", high="tr", length=12)
    parts = parts_of(shape, wave_of(shape).row.repeat)
    assert [(part.kind, part.count) for part in parts] == [
        ("run", 2),
        ("peak", 1),
        ("run", 2),
        ("dip", 1),
    ]


def test_stitches_of_two_heights_in_no_order_have_no_shape(items_of):
    row = Row(items_of("1"), (*items_of("2"), *items_of("1", "sc"), *items_of("3")), items_of("2"))
    assert shape_of(Wave(row.start, row.repeat, row.end)) is None


def test_the_family_starts_with_rows_that_begin_short():
    family = next(family for family in FAMILIES if family.is_of_heights)
    design = starter(family)
    assert design.turning == Turning(1, False)
    shape = shape_of(design.wave)
    assert family_of(shape) is family
    assert edge_kinds(shape) == ("dip", "peak")


def test_a_row_and_its_opposite_are_about_as_tall_everywhere():
    # Proportions of published swatches, in the stitch catalogue.
    wave = wave_of(HeightShape(low="sc", high="tr", length=8, near="dip", far="dip"))
    there, back = (across(row, 2).split() for row in wave.cycle)
    both = [
        CATALOGUE[one].height_to_width + CATALOGUE[two].height_to_width
        for one, two in zip(there, back, strict=True)
    ]
    alone = [CATALOGUE[one].height_to_width for one in there]
    assert max(both) - min(both) < 0.25 * (max(alone) - min(alone))


@pytest.mark.parametrize("length", [8, 12])
@pytest.mark.parametrize("ends", [("dip", "dip"), ("dip", "peak"), ("peak", "peak")])
def test_it_comes_to_rest_with_no_cell_inside_out(design_of, length, ends):
    shape = HeightShape(low="sc", high="tr", length=length, near=ends[0], far=ends[1])
    wave = wave_of(shape)
    design = design_of(wave.row, cycle=wave.cycle, rows=8, turning=Turning(1, False))
    steady = steady_of(design)
    assert steady is not None
    assert steady.converged
    assert cell_areas_mm2(steady.net, steady.tops_mm, steady.frame).min() > 0
