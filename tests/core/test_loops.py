"""Which loop each row is worked into, against what the trade has published."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.design.document import Loops, Size, Stripe, Stripes
from core.design.edits import set_loops
from core.design.files import design_from_bytes, design_text
from core.errors import DesignError
from core.rows.build import build_rows
from core.stripes.loops import (
    PLANS,
    design_loops,
    is_plain,
    loop_of_row,
    loops_of_rows,
    plan_of,
    ridge_of_row,
)
from core.words.loops import loops_name, loops_sentence
from core.words.rowlist import written_rows

TWO_ROWS = Stripes((Stripe(0, 2), Stripe(1, 2)))
EACH_COLOUR = Loops(in_turn=("back", "both"), each_colour=True)


def faces(loops, stripes=TWO_ROWS, n_rows=16):
    chosen = loops_of_rows(loops, stripes, n_rows)
    return [ridge_of_row(loop, row).faces_out for row, loop in enumerate(chosen, start=1)]


def test_row_1_goes_into_chains_which_offer_no_choice():
    assert loops_of_rows(Loops("back", from_row=1), TWO_ROWS, 3) == ("both", "back", "back")


def test_the_unworked_loop_stays_on_the_side_that_faced_the_maker():
    # enjoy2crochet.com and crochetkitten.com: the unworked front loop stays as a raised line on
    # the side that faces you. Row 3 is worked with the right side towards the maker, row 2 not.
    assert ridge_of_row("back", 3).faces_out is True
    assert ridge_of_row("back", 2).faces_out is False
    assert ridge_of_row("front", 3).faces_out is False
    assert ridge_of_row("both", 3).faces_out is None


def test_back_loops_make_one_ridge_a_face_in_two_rows():
    # crochetbug.com: two sc rows, one ridge on each face. A published afghan of ridges in sc
    # (`ridge22` in the table of published ripples): 16 rows, 8 ridges.
    found = faces(Loops("back"), n_rows=17)[1:]
    assert len(found) == 16
    assert found.count(True) == found.count(False) == 8
    assert all(one != other for one, other in itertools.pairwise(found))


def test_a_back_loop_row_and_a_row_in_both_put_all_ridges_on_one_face():
    # BRC0202-003788M (a yarn company's sheet): dc rows in back loops, sc rows in both between.
    found = set(faces(Loops(from_row=3, in_turn=("back", "both")), n_rows=40))
    assert found == {True, None}


def test_back_loops_in_the_first_row_of_each_colour_both_in_its_second():
    # zoeymakes.com: a crisp colour line, since the new colour's loops lie over the old one's.
    chosen = loops_of_rows(EACH_COLOUR, TWO_ROWS, 8)
    assert chosen == ("both", "both", "back", "both", "back", "both", "back", "both")


def test_stripes_in_the_same_yarn_are_one_colour():
    stripes = Stripes((Stripe(0, 1), Stripe(0, 2), Stripe(1, 3)))
    chosen = loops_of_rows(EACH_COLOUR, stripes, 9)
    assert [row for row, loop in enumerate(chosen, 1) if loop == "back"] == [4, 7]


def test_a_longer_list_holds_its_last_loop_to_the_colours_end():
    loops = Loops(in_turn=("back", "front", "both"), each_colour=True)
    stripes = Stripes((Stripe(0, 5), Stripe(1, 2)))
    assert loops_of_rows(loops, stripes, 12)[7:12] == ("back", "front", "both", "both", "both")


stripe_lists = st.lists(
    st.builds(Stripe, yarn=st.integers(0, 3), rows=st.integers(1, 6)), min_size=1, max_size=6
)
turns = st.lists(st.sampled_from(["both", "back", "front"]), min_size=1, max_size=5)


@given(stripe_lists, turns, st.integers(1, 9), st.booleans(), st.integers(1, 40))
def test_every_row_has_one_loop_and_a_longer_blanket_begins_the_same(
    stripes, turn, start, each, n_rows
):
    loops = Loops(from_row=start, in_turn=tuple(turn), each_colour=each)
    order = Stripes(tuple(stripes))
    chosen = loops_of_rows(loops, order, n_rows)
    assert len(chosen) == n_rows
    assert set(chosen[: start - 1]) <= {"both"}
    assert set(chosen) <= {"both", *turn}
    assert loops_of_rows(loops, order, n_rows + 7)[:n_rows] == chosen


@given(st.sampled_from(["both", "back", "front"]), st.integers(1, 9))
def test_a_list_of_one_loop_is_that_loop(loop, start):
    one = Loops(from_row=start, in_turn=(loop,))
    assert loops_of_rows(one, TWO_ROWS, 12) == loops_of_rows(
        Loops(loop, from_row=start), TWO_ROWS, 12
    )


@pytest.mark.parametrize("plan", PLANS)
def test_a_way_of_choosing_loops_is_told_by_what_it_sets(two_row_ripple, plan):
    design = set_loops(two_row_ripple, **PLANS[plan])
    assert plan_of(design.loops) == plan
    assert is_plain(design.loops) == (plan == "both")
    assert loops_sentence(design.loops, "US") == "" or plan != "both"


def test_one_loop_for_all_ends_a_list_in_turn(two_row_ripple):
    turned = replace(two_row_ripple, loops=EACH_COLOUR)
    assert set_loops(turned, work_in="front").loops == Loops("front", 2, False)
    assert set_loops(turned, from_row=5).loops.in_turn == ("back", "both")


def test_loops_in_turn_are_kept_in_the_file_and_others_leave_no_trace(two_row_ripple):
    turned = replace(two_row_ripple, loops=EACH_COLOUR)
    assert design_from_bytes(design_text(turned).encode()) == turned
    assert "in_turn" not in design_text(two_row_ripple)
    assert "each_colour" not in design_text(two_row_ripple)


def test_anew_with_each_colour_needs_a_list(two_row_ripple):
    text = design_text(two_row_ripple).replace('"work_in"', '"each_colour": true, "work_in"')
    with pytest.raises(DesignError, match="list in turn"):
        design_from_bytes(text.encode())


def test_the_words_name_the_loops_of_just_the_rows_that_have_them(two_row_ripple):
    design = replace(two_row_ripple, loops=EACH_COLOUR, size=Size(3, 12))
    rows = build_rows(design)
    lines = {line.row: line.text for line in written_rows(design, rows)}
    assert "back loops only" not in lines[2]
    assert "back loops only" in lines[3]
    assert [loop_of_row(design, row) for row in (2, 3, 4)] == ["both", "back", "both"]


def test_loops_are_said_shortly():
    assert loops_name(Loops("back"), "US") == "the back loops"
    assert loops_name(EACH_COLOUR, "US") == "back, then both loops in each color"
    assert loops_name(EACH_COLOUR, "UK") == "back, then both loops in each colour"
    assert loops_sentence(Loops(in_turn=("back", "both")), "US").startswith("Worked in back, both")


def test_a_design_may_be_asked_for_more_rows_than_it_has(two_row_ripple):
    assert len(design_loops(two_row_ripple, 50)) == 50
