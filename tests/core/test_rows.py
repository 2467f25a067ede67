"""Rows worked out stitch by stitch, against a slow way of doing the same by hand."""

import by_hand
import msgspec
import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from core.craft.stitches import CHAIN, KEYS
from core.design.document import Item, Row
from core.rows.build import build_rows, is_right_side
from core.rows.plan import CHILD, END, PARENT, START, plan_row

# --- the slow way ------------------------------------------------------------------------

SECTIONS = {"start": START, "end": END}


def worked_by_hand(row, repeats):
    """Return stitches used, and name, feet, section and item of every stitch made."""
    used, made = by_hand.worked(row, repeats)
    return used, [(s.name, s.into, SECTIONS.get(s.part, s.part), s.item) for s in made]


def given_out_by_hand(row, repeats, available):
    """Return where a row reaches beyond `available` stitches, or its last item if it doesn't."""
    hook, last = 0, None
    sections = [("start edge", row.start)]
    sections += [(f"repeat {n + 1}", row.repeat) for n in range(repeats)]
    for name, items in [*sections, ("end edge", row.end)]:
        for number, item in enumerate(items):
            hook += item.uses
            last = (name, number)
            if hook > available:
                return last
    return last


# --- what a row is -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "uses", "makes"),
    [
        ("3", 3, 3),  # one in each of the next 3
        ("I2x2", 2, 4),  # 2 in each of the next 2
        ("D2x2", 4, 2),  # 2 together, twice
        ("K2", 2, 0),
        ("C", 0, 1),
        ("V", 1, 3),  # (dc, ch, dc) in one
        ("V2", 1, 4),  # (dc, ch 2, dc) in one
        ("3 D2x2 3 I2x2", 12, 12),  # the 12-stitch ripple
        ("4 K2 4 I3", 11, 11),
        ("5 D3x2 5 I3x2", 18, 18),
    ],
)
def test_items_use_and_make_as_many_stitches_as_the_words_say(row_of, words, uses, makes):
    plan = plan_row(row_of("", words + " 1", ""), 1)
    assert (plan.uses, plan.makes) == (uses + 1, makes + 1)


@pytest.mark.parametrize("repeats", [1, 2, 3, 12])
def test_the_half_peaked_ripple_uses_what_the_repeats_and_both_edges_use(row_of, repeats):
    # 1 at the start, 12 a repeat, 11 at the end.
    plan = plan_row(row_of("I2", "3 D2x2 3 I2x2", "3 D2x2 3 I2"), repeats)
    assert (plan.uses, plan.makes) == (12 + 12 * repeats, 12 + 12 * repeats)


def test_an_increase_shares_its_foot_and_a_decrease_joins_its_legs(row_of):
    plan = plan_row(row_of("", "I3 D2 1", ""), 1)
    assert plan.links.tolist() == [[0, 0], [1, 0], [2, 0], [3, 1], [3, 2], [4, 3]]


def test_a_chain_space_hangs_between_the_stitches_of_one_place(row_of):
    plan = plan_row(row_of("1", "V2", "1"), 1)
    assert [KEYS[kind] for kind in plan.kind] == ["dc", "dc", "ch", "ch", "dc", "dc"]
    assert plan.links.tolist() == [[0, 0], [1, 1], [4, 1], [5, 2]]


def test_three_in_one_with_chains_between_has_two_spaces():
    item = Item(stitch="dc", make=3, chain=1, times=2)
    plan = plan_row(Row((), (item,), ()), 1)
    assert item.makes == plan.makes == 10
    assert [KEYS[kind] for kind in plan.kind] == ["dc", "ch", "dc", "ch", "dc"] * 2
    assert plan.links.tolist() == [[0, 0], [2, 0], [4, 0], [5, 1], [7, 1], [9, 1]]


def test_skipped_stitches_have_nothing_worked_into_them(row_of):
    plan = plan_row(row_of("1", "2 K2 1", ""), 2)
    assert plan.links[:, PARENT].tolist() == [0, 1, 2, 5, 6, 7, 10]


@given(by_hand.any_rows(), st.integers(1, 6))
def test_a_row_is_what_working_it_stitch_by_stitch_gives(row, repeats):
    uses, made = worked_by_hand(row, repeats)
    plan = plan_row(row, repeats)
    assert (plan.uses, plan.makes) == (uses, len(made))
    assert (row.uses(repeats), row.makes(repeats)) == (uses, len(made))
    assert [KEYS[kind] for kind in plan.kind] == [name for name, *_ in made]
    links = [[child, foot] for child, (_, into, *_) in enumerate(made) for foot in into]
    assert plan.links.tolist() == links
    assert plan.section.tolist() == [section for *_, section, _ in made]
    assert plan.item.tolist() == [number for *_, number in made]


@given(by_hand.any_rows(), st.integers(1, 6))
def test_links_never_cross(row, repeats):
    steps = np.diff(plan_row(row, repeats).links, axis=0)
    assert (steps >= 0).all()
    assert steps.any(axis=1).all()  # and no stitch is worked twice into the same place


@given(by_hand.any_rows(), st.integers(1, 6))
def test_every_worked_stitch_has_a_parent_and_no_chain_has_one(row, repeats):
    plan = plan_row(row, repeats)
    has_parent = np.isin(np.arange(plan.makes), plan.links[:, CHILD])
    assert (has_parent == (plan.kind != KEYS.index(CHAIN))).all()
    assert (plan.links[:, PARENT] < plan.uses).all()


@given(by_hand.any_rows(), st.integers(1, 6))
def test_every_stitch_below_is_worked_into_or_skipped(row, repeats):
    plan = plan_row(row, repeats)
    skipped = sum(item.skip or 0 for item in row.start + row.repeat * repeats + row.end)
    assert len(np.unique(plan.links[:, PARENT])) == plan.uses - skipped


# --- rows on rows ------------------------------------------------------------------------


@given(by_hand.any_rows(), by_hand.any_rows(), st.integers(1, 4), st.integers(1, 9))
def test_made_minus_used_is_the_change_of_count(design_of, first, later, repeats, n_rows):
    rows = build_rows(design_of(later, setup=first, repeats=repeats, rows=n_rows))
    fitting = rows.drawn_rows if rows.misfit is None else rows.misfit.row - 1
    for row in range(1, fitting + 1):
        kind = first if row == 1 else later
        change = kind.makes(repeats) - kind.uses(repeats)
        assert rows.makes(row) - rows.makes(row - 1) == change


def test_rows_of_one_kind_are_worked_out_once(two_row_ripple, ridged_ripple, level_start):
    assert [len(build_rows(d).plans) for d in (two_row_ripple, ridged_ripple, level_start)] == [
        1,
        2,
        2,
    ]


def test_a_cycle_is_worked_in_turn(design_of, row_of):
    kinds = tuple(row_of("", "6", "", stitch) for stitch in ("dc", "sc", "hdc"))
    rows = build_rows(design_of(kinds[0], cycle=kinds, rows=8))
    found = [KEYS[rows.plan(row).kind[0]] for row in range(1, 9)]
    assert found == ["dc", "sc", "hdc", "dc", "sc", "hdc", "dc", "sc"]


def test_a_cycle_follows_the_set_up_row(design_of, row_of):
    kinds = tuple(row_of("", "6", "", stitch) for stitch in ("dc", "sc"))
    rows = build_rows(design_of(kinds[0], setup=row_of("", "6", "", "tr"), cycle=kinds, rows=6))
    found = [KEYS[rows.plan(row).kind[0]] for row in range(1, 7)]
    assert found == ["tr", "dc", "sc", "dc", "sc", "dc"]


def test_a_set_up_row_that_is_the_whole_blanket_stands_alone(level_start):
    rows = build_rows(level_start, rows=1)
    assert (rows.drawn_rows, rows.makes(1), rows.misfit) == (1, 36, None)
    assert rows.plan(1).row == level_start.wave.setup


def test_a_design_can_be_worked_out_in_another_size(two_row_ripple):
    rows = build_rows(two_row_ripple, repeats=5, rows=3)
    assert (rows.drawn_rows, rows.makes(0), rows.makes(3)) == (3, 72, 72)


def test_row_1_is_a_right_side_row_and_sides_alternate():
    # Source: most published sheets call row 1 the right side (dmc.com on reading charts).
    assert [is_right_side(row) for row in range(1, 5)] == [True, False, True, False]


# --- which way rows run ------------------------------------------------------------------


@pytest.fixture
def lopsided(design_of, row_of):
    """Two rows whose increases and decreases stand at different sides."""
    first = row_of("2", "I2 D3 1", "1")
    return design_of(row_of("1", "I2x3 1", "2"), setup=first, repeats=1, rows=2)


def test_a_right_hander_works_right_side_rows_from_the_right(lopsided):
    # Source: dmc.com and mrscrochetworld.com on reading charts: RS rows right to left.
    rows = build_rows(lopsided)
    assert (rows.runs_left(1), rows.runs_left(2)) == (True, False)
    # In working order 0-0 1-1 2-2 3-2 4-3 4-4 4-5 5-6 6-7; the last of 7 and of 8 is leftmost.
    assert rows.fabric_links(1).tolist() == [
        [0, 0],
        [1, 1],
        [2, 2],
        [2, 3],
        [2, 4],
        [3, 5],
        [4, 5],
        [5, 6],
        [6, 7],
    ]
    assert rows.fabric_links(2).tolist() == rows.plan(2).links.tolist()


def test_a_left_hander_works_the_mirror_image(lopsided):
    right = build_rows(lopsided)
    left = build_rows(msgspec.structs.replace(lopsided, hand="left"))
    for row in (1, 2):
        ends = np.array([right.makes(row) - 1, right.makes(row - 1) - 1])
        assert left.runs_left(row) != right.runs_left(row)
        assert left.fabric_links(row).tolist() == (ends - right.fabric_links(row))[::-1].tolist()


@given(by_hand.any_rows(), st.integers(1, 4), st.sampled_from(["left", "right"]))
def test_fabric_order_is_sorted_and_turns_with_every_row(design_of, row, repeats, hand):
    rows = build_rows(design_of(row, repeats=repeats, rows=1, hand=hand))
    links = rows.fabric_links(1)
    assert (np.diff(links, axis=0) >= 0).all()
    numbers = np.arange(rows.makes(1))
    placed = rows.in_fabric_order(1, numbers).tolist()
    assert placed == sorted(placed, reverse=hand == "right")
    # a link is the same link whichever way its ends are counted
    turned = {(placed[child], foot) for child, foot in links.tolist()}
    feet = rows.makes(0)
    worked = {
        (child, feet - 1 - foot if hand == "right" else foot)
        for child, foot in rows.plan(1).links.tolist()
    }
    assert turned == worked


# --- rows that don't fit -----------------------------------------------------------------


def test_a_row_that_fits_has_no_misfit(two_row_ripple, sharp_wave, lacy_wave):
    for design in (two_row_ripple, sharp_wave, lacy_wave):
        rows = build_rows(design)
        assert (rows.misfit, rows.partial, rows.drawn_rows) == (None, None, 8)


def test_a_row_one_stitch_short_is_named_with_section_and_item(losing_wave):
    # Row 1 uses 46 and leaves 45; row 2 comes up one short in the last item of its end edge.
    rows = build_rows(losing_wave)
    misfit = rows.misfit
    assert (misfit.row, misfit.uses, misfit.available) == (2, 46, 45)
    assert (misfit.section, misfit.item) == ("end edge", 3)


def test_a_row_with_stitches_over_is_named_with_its_last_item(design_of, row_of):
    rows = build_rows(design_of(row_of("1", "6", "2 1"), setup=row_of("1", "6", "4"), rows=5))
    misfit = rows.misfit
    assert (misfit.row, misfit.uses, misfit.available) == (2, 16, 17)
    assert (misfit.section, misfit.item) == ("end edge", 1)


def test_the_misfit_can_lie_in_any_repeat(design_of, row_of):
    # Of 20 stitches 1 + 3 x 6 are gone: the fourth repeat's 4 find one. Of 24 its 4 fit, 2tog not.
    steady = row_of("1", "4 D2", "3")
    rows = build_rows(design_of(steady, setup=row_of("", "5", ""), repeats=4, rows=3))
    assert (rows.misfit.section, rows.misfit.item) == ("repeat 4", 0)
    short = build_rows(design_of(steady, setup=row_of("", "6", ""), repeats=4, rows=3))
    assert (short.misfit.section, short.misfit.item) == ("repeat 4", 1)


def test_a_blanket_is_built_up_to_the_misfit_and_no_further(losing_wave):
    rows = build_rows(losing_wave)
    assert rows.drawn_rows == 2
    assert rows.makes(1) == 45
    # of row 2 all is worked but its last increase of 2
    assert rows.makes(2) == 43
    assert (rows.plan(2).links[:, PARENT] < 45).all()


def test_a_row_of_which_nothing_can_be_worked_is_not_drawn(design_of, row_of):
    rows = build_rows(design_of(row_of("D7", "6", ""), setup=row_of("", "D2", "1"), rows=4))
    assert (rows.misfit.row, rows.misfit.section, rows.misfit.item) == (2, "start edge", 0)
    assert (rows.drawn_rows, rows.partial) == (1, None)


@given(by_hand.any_rows(), by_hand.any_rows(), st.integers(1, 5))
@example(
    Row((), (Item(stitch="dc", times=2),), ()),
    Row((), (Item(stitch="dc", times=2),), (Item(skip=1),)),
    3,
)
def test_the_misfit_is_where_working_by_hand_runs_out(design_of, first, later, repeats):
    available = first.makes(repeats)
    assume(later.uses(repeats) != available)
    rows = build_rows(design_of(later, setup=first, repeats=repeats, rows=4))
    misfit = rows.misfit
    assert (misfit.row, misfit.uses, misfit.available) == (2, later.uses(repeats), available)
    assert (misfit.section, misfit.item) == given_out_by_hand(later, repeats, available)


@given(by_hand.any_rows(), by_hand.any_rows(), st.integers(1, 5))
@example(
    Row((), (Item(stitch="sl st"),), ()),
    Row((), (Item(skip=1), Item(chain=1), Item(stitch="sl st")), ()),
    1,
)
def test_of_the_misfit_row_all_that_can_be_worked_is_there(design_of, first, later, repeats):
    available = first.makes(repeats)
    assume(later.uses(repeats) != available)
    _, made = worked_by_hand(later, repeats)
    whole = 0  # stitches before the first that reaches beyond the row below
    while whole < len(made) and all(foot < available for foot in made[whole][1]):
        whole += 1
    if not any(into for _, into, *_ in made[:whole]):
        whole = 0  # chains alone hang on nothing
    rows = build_rows(design_of(later, setup=first, repeats=repeats, rows=4))
    assert rows.drawn_rows == (2 if whole else 1)
    if whole:
        plan = rows.plan(2)
        assert plan.makes == rows.makes(2) == whole
        assert [KEYS[kind] for kind in plan.kind] == [name for name, *_ in made[:whole]]
        expected = [[c, foot] for c, (_, into, *_) in enumerate(made[:whole]) for foot in into]
        assert plan.links.tolist() == expected
        assert plan.section.tolist() == [section for *_, section, _ in made[:whole]]
        assert plan.uses <= available
