"""Finished sizes: repeats and rows near a wish, the chain's draw-in, washing.

The worked figures are chosen here and reckoned by hand (two 14-stitch repeats of 16.5 cm; a chain
repeat of 7.6 cm that becomes 6.4 cm; 19 to 18 in and 23.25 to 21.5 in by washing). That a 14-stitch
ripple's chain is a multiple of 14 plus 3 is published: knitty.com/ISSUEdf12/ripply.html.
"""

import pytest
from msgspec.structs import replace
from some import some

from core.design.document import Size, Swatch, Wanted
from core.design.edits import set_size, set_swatch, set_wanted
from core.design.files import design_from_bytes, design_text
from core.design.validation import checked
from core.fabric.distance import distance
from core.fabric.judge import fitted_gauge
from core.fabric.sheet import sketch_fabric
from core.fabric.sizes import (
    chain_stitch_mm,
    length_at,
    length_choices,
    rows_near,
    width_choices,
)
from core.fabric.wash import impossible_washes, wash_of
from core.pipeline import Pipeline
from core.rows.build import build_rows
from core.yarn.use import yarn_use

IN = 25.4


def settled(design):
    return Pipeline().settled_results(design)


def choices(results, wanted_mm):
    return width_choices(results.design, results.size, results.finished_wave, wanted_mm=wanted_mm)


@pytest.fixture(scope="module")
def fourteen(design_of, row_of):
    """The 14-stitch dc ripple of which two repeats measure 16.5 cm, fitted; 91 cm are wished."""
    row = row_of("I2", "4 D2x2 4 I2x2", "4 D2x2 4 I2")
    design = design_of(row, repeats=6, rows=40)
    return settled(fitted_gauge(set_swatch(design, repeats=2, repeats_mm=165.0)))


def test_10_11_or_12_repeats_come_near_91_cm(fourteen):
    near = {choice.across: choice for choice in choices(fourteen, 910.0)}
    # Multiplying 82.5 mm; the model settles the edges as well: a fraction of a millimetre.
    widths = [near[n].width_mm for n in (10, 11, 12)]
    assert widths == pytest.approx([825.0, 907.5, 990.0], abs=0.5)
    assert [near[n].chains for n in (10, 11, 12)] == [143, 157, 171]


def test_the_nearest_choice_stands_in_the_middle_with_three_each_way(fourteen):
    near = choices(fourteen, 910.0)
    assert [choice.across for choice in near] == [8, 9, 10, 11, 12, 13, 14]
    off = [choice.off_mm for choice in near]
    assert min(off, key=abs) == off[3] == pytest.approx(-2.5, abs=0.2)
    assert [round(o / 10, 1) for o in off][2::2][:2] == [-8.5, 8.0]


def test_a_choice_taken_has_the_width_it_promised(fourteen):
    for choice in some(choices(fourteen, 910.0)[2:5]):
        taken = settled(set_size(fourteen.design, repeats=choice.repeats))
        assert taken.size.width_mm == pytest.approx(choice.width_mm, abs=0.3)
        assert taken.rows.foundation.chains == choice.chains
        assert taken.rows.makes(1) == choice.stitches == 14 * choice.across


def test_18_repeats_of_a_chain_of_7_6_cm_come_to_114_cm_and_the_chain_to_137(design_of, row_of):
    row = row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2")
    design = set_swatch(design_of(row, repeats=9, rows=24), repeats_mm=64.0, chain_mm=76.0)
    results = settled(fitted_gauge(design))
    best = min(choices(results, 1140.0), key=lambda choice: abs(choice.off_mm))
    assert best.across == 18
    assert best.width_mm == pytest.approx(18 * 64, abs=1)
    assert best.chain_mm == pytest.approx(18 * 76)
    assert round(best.chain_mm / 10) == 137
    taken = settled(set_size(results.design, repeats=best.repeats))
    assert taken.size.chain_mm == pytest.approx(1368)
    assert taken.size.draw_in == pytest.approx(1 - 64 / 76, abs=1e-3)


def test_a_chain_measured_over_several_repeats_is_shared_among_them(fourteen):
    one = set_swatch(fourteen.design, chain_mm=76.0)
    four = set_swatch(fourteen.design, chain_mm=304.0, chain_repeats=4)
    assert chain_stitch_mm(one) == chain_stitch_mm(four) == pytest.approx(76 / 14)


def test_repeats_across_are_the_whole_multiples_of_the_chain(design_of, row_of):
    # Over a multiple of 4 the turn completes one more: 2 + 4 n worked into, 2 more to turn.
    results = settled(design_of(row_of("1", "I2 1 D2", "1"), repeats=5, rows=20))
    for choice in choices(results, 400.0):
        assert choice.chains == 4 * choice.repeats + 4
        assert choice.across == choice.repeats + 1


def test_without_a_measured_chain_it_is_as_long_as_its_stitches(fourteen):
    gauge = fourteen.design.gauge
    assert fourteen.size.chain_mm == pytest.approx(98 * gauge.stitch_width_mm)


def test_rows_near_a_length_are_three_each_way_too(fourteen):
    size, wave = fourteen.size, fourteen.finished_wave
    near = length_choices(fourteen.design, size, wave, wanted_mm=900.0)
    assert len(near) == 7
    best = min(near, key=lambda choice: abs(choice.off_mm))
    assert best is near[3] and abs(best.off_mm) <= wave.rise_mm / 2
    taken = settled(set_size(fourteen.design, rows=best.rows))
    assert taken.size.length_mm == pytest.approx(best.length_mm, abs=3)


@pytest.mark.parametrize("wanted_mm", [300.0, 555.0, 900.0])
def test_no_other_number_of_rows_comes_nearer_to_a_length(fourteen, wanted_mm):
    design, size, wave = fourteen.design, fourteen.size, fourteen.finished_wave
    for steady in (wave, None):
        rows = rows_near(design, size, steady, wanted_mm)
        off = [abs(length_at(design, size, steady, rows + n) - wanted_mm) for n in (-1, 0, 1)]
        assert min(off) == off[1]


def test_without_a_wish_the_design_s_own_size_is_in_the_middle(fourteen):
    size, wave = fourteen.size, fourteen.finished_wave
    assert [c.repeats for c in width_choices(fourteen.design, size, wave)] == list(range(3, 10))
    assert {c.off_mm for c in width_choices(fourteen.design, size, wave)} == {None}
    assert [c.rows for c in length_choices(fourteen.design, size, wave, step=2)] == list(
        range(34, 47, 2)
    )


@pytest.mark.parametrize(("wanted", "repeats"), [(10.0, [1, 2, 3, 4]), (100_000.0, [284])])
def test_a_wish_beyond_what_is_drawn_gives_the_nearest_that_is(fourteen, wanted, repeats):
    near = choices(fourteen, wanted)
    assert [choice.repeats for choice in near] == repeats
    assert all(checked(set_size(fourteen.design, repeats=c.repeats)) for c in near)


def test_the_last_that_is_drawn_is_the_last(fourteen):
    (last,) = choices(fourteen, 100_000.0)
    with pytest.raises(ValueError, match="more than the program draws"):
        set_size(fourteen.design, repeats=last.repeats + 1)


# --- washing -----------------------------------------------------------------------------

WASHED = {
    "wash_width_mm": 19 * IN,
    "washed_width_mm": 18 * IN,
    "wash_length_mm": 23.25 * IN,
    "washed_length_mm": 21.5 * IN,
}


def test_19_to_18_and_23_25_to_21_5_inches_are_5_3_and_7_5_per_cent_less():
    wash = wash_of(Swatch(**WASHED))
    assert (f"{100 * (wash.width - 1):.1f}", f"{100 * (wash.length - 1):.1f}") == ("-5.3", "-7.5")


def test_every_size_is_that_after_washing(fourteen):
    washed = settled(set_swatch(fourteen.design, **WASHED))
    assert washed.size.is_washed and not fourteen.size.is_washed
    assert washed.size.width_mm == pytest.approx(fourteen.size.width_mm * 18 / 19)
    assert washed.size.length_mm == pytest.approx(fourteen.size.length_mm * 21.5 / 23.25)
    assert washed.size.worked_width_mm == pytest.approx(fourteen.size.width_mm)
    assert washed.size.chain_mm == fourteen.size.chain_mm
    wave, before = washed.finished_wave, fourteen.finished_wave
    assert wave.repeat_width_mm == pytest.approx(before.repeat_width_mm * 18 / 19)
    assert wave.wave_height_mm == pytest.approx(before.wave_height_mm * 21.5 / 23.25)
    assert wave.lean_deg > before.lean_deg  # it loses more of its length than of its width


def test_choices_after_washing_are_those_of_the_washed_repeat(fourteen):
    washed = settled(set_swatch(fourteen.design, **WASHED))
    near = choices(washed, 910.0)
    best = min(near, key=lambda choice: abs(choice.off_mm))
    assert best.across == 12  # 99.0 cm come to 93.8
    assert best.width_mm == pytest.approx(990 * 18 / 19, abs=0.3)


def test_fabric_and_yarn_are_those_before_washing(fourteen):
    washed = settled(set_swatch(fourteen.design, **WASHED))
    assert washed.wave == fourteen.wave
    assert (washed.fabric.tops_mm == fourteen.fabric.tops_mm).all()
    assert yarn_use(washed.design, washed.rows) == yarn_use(fourteen.design, fourteen.rows)


def test_the_worked_wave_stands_for_the_piece_before_washing():
    swatch = Swatch(repeats_mm=200.0, washed_width_mm=190.0, rows_mm=100.0)
    wash = wash_of(swatch)
    assert (wash.width, wash.width_known) == (0.95, True)
    assert (wash.length, wash.length_known) == (1.0, False)


def test_a_change_by_half_or_more_is_taken_for_a_slip():
    swatch = Swatch(**WASHED | {"washed_width_mm": 180 * IN})
    assert not wash_of(swatch).width_known and wash_of(swatch).length_known
    ((what, share),) = impossible_washes(swatch)
    assert what == "width" and share == pytest.approx(180 / 19)


def test_a_distance_is_that_after_washing(fourteen):
    wash = wash_of(Swatch(**WASHED))
    found = distance(fourteen.fabric, (10.0, 5.0), (40.0, 45.0), ((1, 0), (4, 3)), wash)
    across, up = 30 * 18 / 19, 40 * 21.5 / 23.25
    assert (found.across_mm, found.up_mm) == (pytest.approx(across), pytest.approx(up))
    assert found.length_mm == pytest.approx((across**2 + up**2) ** 0.5)
    assert found.rows == 3


def test_stitches_between_rows_of_other_counts_are_told_by_their_share_of_the_row(
    design_of, row_of
):
    # From the first of 8 to what lies over the last of 4: the whole of the 8.
    design = design_of(row_of("I2", "I2x2", "I2"), repeats=1, rows=1)
    fabric = sketch_fabric(design, build_rows(design))
    assert distance(fabric, (0.0, 0.0), (1.0, 0.0), ((1, 0), (0, 3))).stitches == 7


# --- in the file -------------------------------------------------------------------------


def test_measures_and_wishes_are_kept_in_the_file(two_row_ripple):
    design = set_wanted(set_swatch(two_row_ripple, **WASHED, chain_mm=76.0), width_mm=910.0)
    assert design_from_bytes(design_text(design).encode()) == design
    bare = set_wanted(set_swatch(design, **dict.fromkeys(WASHED), chain_mm=None), width_mm=None)
    assert bare == two_row_ripple and "wanted" not in design_text(bare)


@pytest.mark.parametrize(
    ("part", "values"),
    [
        (Swatch, {"chain_mm": 0.5}),
        (Swatch, {"chain_repeats": 0}),
        (Swatch, {"washed_width_mm": -3.0}),
        (Swatch, {"wash_length_mm": float("inf")}),
        (Swatch, {"washed_length_mm": float("nan")}),
        (Wanted, {"width_mm": 5.0}),
        (Wanted, {"length_mm": 1e9}),
    ],
)
def test_every_measure_is_bounded(two_row_ripple, part, values):
    name = "swatch" if part is Swatch else "wanted"
    with pytest.raises(Exception, match=next(iter(values))):
        checked(replace(two_row_ripple, **{name: part(**values)}))


def test_sizes_do_not_change_where_nothing_was_measured(two_row_ripple, sized):
    one = settled(two_row_ripple)
    assert one.size.draw_in > 0 and not one.size.is_washed
    assert one.finished_wave == one.wave
    assert two_row_ripple.size == Size(2, 8) and sized(two_row_ripple, repeats=2, rows=8)
