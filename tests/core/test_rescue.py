"""First-row rescue: sums by hand, and the published multiples that chains are held against."""

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.craft.tables import TAIL_MM, YARN_MM_PER_CHAIN_MM
from core.design.document import Loops, Reckoning, Size, Stripe, Stripes
from core.pipeline import Pipeline
from core.rescue.advice import (
    about_chain,
    about_end,
    about_lost_count,
    about_markers,
)
from core.rescue.chain import help_with_chain, yarn_for_chains_mm
from core.rescue.first_row import slips_of_first_row
from core.rescue.markers import check_markers, stitches_before
from core.rescue.sides import edge_of_start, if_turned_over, where_tails_lie
from core.rows.build import build_rows
from core.rows.foundation import foundation_of
from core.rows.starters import starter
from core.rows.waves import FAMILIES

EVERY_DESIGN = [starter(family) for family in FAMILIES]


@pytest.fixture
def wide_ripple(two_row_ripple):
    """147 chains: 12 times 12 and 3, 144 stitches a row."""
    return replace(two_row_ripple, size=Size(repeats=11, rows=96))


# --- the chain -----------------------------------------------------------------------------


def test_three_chains_too_many_are_unpicked(wide_ripple):
    found = help_with_chain(wide_ripple, 150)
    assert (found.wanted, found.too_many, found.nearest.change) == (147, 3, -3)
    text = " ".join(about_chain(wide_ripple, found).lines)
    assert "unpick 3 chains" in text and "slip knot" in text
    assert "another width" not in text  # its own size is the nearest


def test_two_chains_too_few_are_added_and_say_how_much_yarn_that_takes(wide_ripple):
    found = help_with_chain(wide_ripple, 145)
    chain = 100 / 13  # a chain laid out is as wide as a plain stitch, 13 over 100 mm
    by_hand = 2 * chain * YARN_MM_PER_CHAIN_MM + 2 * TAIL_MM
    assert found.yarn_mm == pytest.approx(by_hand)
    assert f"{by_hand / 10:.0f} cm" in " ".join(about_chain(wide_ripple, found).lines)
    assert yarn_for_chains_mm(wide_ripple, 0) == 0


def test_widths_offered_lie_on_both_sides_of_the_chain(wide_ripple):
    # 147 and 2 1/2 repeats of 12: 9, 12, 13, 14 and 15 repeats, by hand; its own is the 11th.
    found = help_with_chain(wide_ripple, 177)
    assert [fit.chains for fit in found.fits] == [147, 159, 171, 183, 195]


def test_of_two_widths_equally_near_the_one_to_unpick_is_the_nearest(wide_ripple):
    found = help_with_chain(wide_ripple, 153)
    assert {fit.change for fit in found.fits} >= {-6, 6}
    assert found.nearest.change == -6  # unpicking is easier than adding


def test_a_chain_of_another_multiple_is_offered_its_own_width(wide_ripple):
    results = Pipeline().results(wide_ripple)
    found = help_with_chain(wide_ripple, 160, results.size, results.finished_wave)
    assert (found.nearest.repeats, found.nearest.change) == (12, -1)
    widths = [fit.width_mm for fit in found.fits]
    steps = [b - a for a, b in pairwise(widths)]
    assert steps == pytest.approx([results.finished_wave.repeat_width_mm] * len(steps))
    own = next(fit for fit in found.fits if fit.is_design)
    assert own.width_mm == results.size.width_mm


@pytest.mark.parametrize("design", EVERY_DESIGN, ids=[family.key for family in FAMILIES])
def test_every_fit_makes_the_chain_that_many_repeats_ask_for(design):
    for counted in (1, 40, 97, 300):
        found = help_with_chain(design, counted)
        assert any(fit.is_design for fit in found.fits)
        for fit in found.fits:
            wanted = foundation_of(design.wave.first, design.turning, fit.repeats).chains
            assert fit.chains == wanted and counted + fit.change == wanted
            assert fit.stitches == design.wave.first.makes(fit.repeats)


@given(st.integers(0, 20_000))
def test_no_other_number_of_repeats_is_nearer(counted):
    design = EVERY_DESIGN[0]
    best = abs(help_with_chain(design, counted).nearest.change)
    every = (foundation_of(design.wave.first, design.turning, n).chains for n in range(1, 1001))
    assert best == min(abs(chains - counted) for chains in every)


def test_the_right_chain_needs_nothing(wide_ripple):
    advice = about_chain(wide_ripple, help_with_chain(wide_ripple, 147))
    assert "are right" in advice.head and advice.lines == ("Go on with row 1.",)


# --- the end of row 1 ----------------------------------------------------------------------


def texts(design, left, stitches=None):
    return [slip.text for slip in slips_of_first_row(design, left, stitches)]


def test_a_right_row_with_chains_left_over_blames_the_chain(wide_ripple):
    assert texts(wide_ripple, 3, 144)[0] == "The row is right; 3 chains too many were made."
    uncounted = texts(wide_ripple, 3)[0]
    assert uncounted == "If row 1 has 144 stitches, it is right; 3 chains too many were made."


def test_a_repeat_left_out_leaves_twelve_chains_and_twelve_stitches_fewer(wide_ripple):
    assert texts(wide_ripple, 12, 132) == ["A whole repeat was left out."]


def test_a_stitch_too_many_with_no_chain_over_is_a_decrease_missed_or_two_in_one(wide_ripple):
    found = texts(wide_ripple, 0, 145)
    assert "A decrease was worked as plain stitches." in found
    assert "Two stitches went into one chain." in found
    assert not any("too many in a run" in text for text in found)  # that would use a chain more


def test_skips_not_skipped_leave_their_chains_over(sharp_wave):
    assert "Chains that should be skipped were not." in texts(sharp_wave, 2, 34)
    # two of 11 plus 11: start and end use 1 + 11, and as many are made
    assert sharp_wave.wave.first.makes(2) == sharp_wave.wave.first.uses(2) == 34


def test_a_row_that_comes_out_has_no_slips(wide_ripple):
    assert texts(wide_ripple, 0, 144) == texts(wide_ripple, 0) == []
    assert "is right" in about_end(wide_ripple, 0, 144, ()).head


@given(st.integers(-30, 30), st.none() | st.integers(0, 400))
def test_every_explanation_adds_up(left, stitches):
    design = EVERY_DESIGN[0]
    wanted = design.wave.first.makes(design.size.repeats)
    for slip in slips_of_first_row(design, left, stitches):
        assert slip.chain == left + slip.used
        assert stitches is None or slip.made == stitches - wanted


# --- markers -------------------------------------------------------------------------------


def test_markers_after_each_repeat_have_a_repeat_more_each(wide_ripple):
    found = [stitches_before(wide_ripple, 1, marker) for marker in (0, 1, 2, 11, 12)]
    assert found == [2, 14, 26, 134, 144]  # two in one, then twelve a repeat, ten at the end


def test_the_search_halves_and_ends_at_one_repeat(wide_ripple):
    wrong_repeat = 7
    counts = {}
    for _asked in range(4):  # 12 parts take four counts at most
        check = check_markers(wide_ripple, 1, counts)
        if check.is_found:
            break
        right = stitches_before(wide_ripple, 1, check.next)
        counts[check.next] = right + (check.next >= wrong_repeat)
    check = check_markers(wide_ripple, 1, counts)
    assert check.is_found and check.wrong_from == wrong_repeat and check.off == 1
    advice = about_markers(wide_ripple, 1, check)
    assert advice.head == "It is in repeat 7: 1 too many."
    assert "Repeat 7 should be 12 stitches: 3, 2tog ×2, 3, 2 in 1 ×2." in advice.lines


def test_counts_that_grow_from_marker_to_marker_blame_every_repeat(wide_ripple):
    check = check_markers(wide_ripple, 1, {3: 38 + 3, 6: 74 + 6})
    assert (check.each, check.is_found) == (1, True)
    assert about_markers(wide_ripple, 1, check).head == "Every repeat has 1 stitch too many."


@given(st.integers(1, 12), st.integers(-5, 5).filter(bool), st.integers(1, 40))
def test_any_slip_is_found_in_any_row(place, off, row):
    design = replace(EVERY_DESIGN[0], size=Size(repeats=11, rows=40))
    counts = {}
    for _ in range(5):
        check = check_markers(design, row, counts)
        if check.next is None:
            break
        right = stitches_before(design, row, check.next)
        counts[check.next] = right + (off if check.next >= place else 0)
    assert check.wrong_from == place and check.off == off


# --- the wrong side ------------------------------------------------------------------------


def test_a_right_handers_right_side_row_starts_at_the_right(wide_ripple):
    assert [edge_of_start(wide_ripple, row) for row in (1, 2)] == ["right", "left"]
    left = replace(wide_ripple, hand="left")
    assert [edge_of_start(left, row) for row in (1, 2)] == ["left", "right"]


def test_turned_over_the_ridges_swap_faces(wide_ripple):
    # Back loops from row 2 on: rows 3, 5, ... 95 show on the right side (47), 2, 4, ... 96 on the
    # wrong side (48); common practice, see core.stripes.loops.
    text = " ".join(if_turned_over(wide_ripple, build_rows(wide_ripple)))
    assert "47 of them as designed, from row 3 on, and 48 turned over, from row 2 on" in text
    assert "tail lies at the left edge as designed" in text
    plain = replace(wide_ripple, loops=Loops())
    assert "no ridges" in " ".join(if_turned_over(plain, build_rows(plain)))


def test_a_wave_that_is_the_same_from_both_ends_does_not_move(wide_ripple, design_of, row_of):
    assert "same from both ends" in " ".join(if_turned_over(wide_ripple, build_rows(wide_ripple)))
    uneven = design_of(row_of("I2", "2 D2x2 4 I2x2", "2 D2x2 4 I2"))
    text = " ".join(if_turned_over(uneven, build_rows(uneven)))
    assert "left and right change places" in text


def test_stripes_of_two_rows_keep_both_ends_at_one_edge_but_for_the_knot(wide_ripple):
    first, *later = where_tails_lie(wide_ripple, build_rows(wide_ripple))
    # Row 1 runs from right to left along the chain and ends at its knot.
    knot = "begins with the chain's knot at the left edge and ends at the right edge."
    assert first == f"Sea, rows 1 to 2: {knot}"
    assert later and all("both ends at the right edge" in line for line in later)


def test_an_odd_stripe_has_its_ends_apart(wide_ripple):
    odd = replace(wide_ripple, stripes=Stripes((Stripe(0, 2), Stripe(1, 3))))
    lines = where_tails_lie(odd, build_rows(odd))
    assert "rows 3 to 5: begins at the right edge and ends at the left edge" in lines[1]
    assert "odd number of rows" in lines[-1]


def test_a_carried_yarn_has_no_ends_to_look_for(wide_ripple):
    carried = replace(wide_ripple, reckoning=Reckoning(carry_rows=2))
    lines = where_tails_lie(carried, build_rows(carried))
    assert "begins with the chain's knot at the left edge and its yarn is carried on" in lines[0]
    assert "begins at the right edge and its yarn is carried on" in lines[1]
    assert "begins with the yarn carried up and its yarn is carried on" in lines[2]


def test_a_blanket_of_one_row_can_only_become_longer(wide_ripple):
    one = replace(wide_ripple, size=Size(repeats=2, rows=1))
    text = " ".join(if_turned_over(one, build_rows(one)))
    assert "To end on the other side, work 2 rows." in text


def test_a_lost_count_is_taken_up_again_by_multiples(wide_ripple):
    advice = about_lost_count(wide_ripple)
    assert advice.head == "147 chains are 12 times 12, and 3 chains after the last."
    assert "chain 4 from the hook" in " ".join(advice.lines)


@pytest.mark.parametrize("design", EVERY_DESIGN, ids=[family.key for family in FAMILIES])
def test_all_advice_is_short_and_says_where_it_comes_from(design):
    rows = build_rows(design)
    found = [
        about_chain(design, help_with_chain(design, 50)),
        about_chain(design, help_with_chain(design, 500)),
        about_end(design, 2, None, slips_of_first_row(design, 2, None)),
        about_markers(design, 1, check_markers(design, 1, {})),
        about_lost_count(design),
    ]
    for advice in found:
        assert advice.head and advice.source
        assert all(re.search(r"[.:]$", line) and len(line) < 300 for line in advice.lines)
    assert all(len(line) < 300 for line in if_turned_over(design, rows))
