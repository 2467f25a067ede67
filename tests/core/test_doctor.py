"""Mistakes worked on purpose: counts by hand, the fabric they make, and which are offered.

The looks are the trade's words (common practice). The arithmetic is counted by hand.
"""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from core.craft.stitches import CATALOGUE
from core.design.document import Size, Turning
from core.design.edits import set_size
from core.design.validation import checked
from core.doctor.counts import read_counts, right_count, suspects, wrong_count
from core.doctor.marks import likely_stitches
from core.doctor.mistakes import BY_KEY, LOOKS, MISTAKES, mistakes_of
from core.doctor.piece import compared
from core.doctor.telling import cause, count_line, suspect_line, way_out
from core.doctor.worked import Spent
from core.errors import DesignError
from core.rows.build import build_rows
from core.rows.starters import starter
from core.rows.waves import FAMILIES

EVERY_DESIGN = [starter(family) for family in FAMILIES]
EVERY_CASE = [
    pytest.param(design, mistake, id=f"{family.key}-{mistake.key}")
    for family, design in zip(FAMILIES, EVERY_DESIGN, strict=True)
    for mistake in mistakes_of(design)
]


@pytest.fixture
def wide_ripple(two_row_ripple):
    """The 12-stitch ripple as the seaside throw has it: 147 chains, 144 stitches a row."""
    return replace(two_row_ripple, size=Size(repeats=11, rows=96))


# --- counts by hand ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "counts"),
    [
        ("foot", [144, 145, 146, 147, 148, 149]),  # one more in every row from 2
        ("top missed", [144, 143, 142, 141, 140, 139]),
        ("whole peak", [146, 148, 150, 152, 154, 156]),  # one more at both edges
        ("dip missed", [155, 166, 177, 188, 199, 210]),  # one more in each of 11 repeats
        ("peak too many", [155, 166, 177, 188, 199, 210]),
        ("peak missed", [133, 122, 111, 100, 89, 78]),
        ("lean", [144] * 6),
        ("both", [144] * 6),
        ("tall chain", [144] * 6),
        ("late peak", [144] * 6),
        ("spread peak", [144] * 6),
    ],
)
def test_counts_of_the_twelve_stitch_ripple_are_those_counted_by_hand(wide_ripple, key, counts):
    found = [wrong_count(wide_ripple, BY_KEY[key], row) for row in range(1, 7)]
    assert found == counts


def test_a_chain_that_does_not_count_has_mistakes_of_its_own(sc_ripple):
    keys = {mistake.key for mistake in mistakes_of(sc_ripple)}
    assert {"into chain", "first missed"} <= keys
    assert not {"foot", "top missed", "both", "tall chain"} & keys
    counts = [wrong_count(sc_ripple, BY_KEY["into chain"], row) for row in range(1, 5)]
    assert counts == [36, 37, 38, 39]
    counts = [wrong_count(sc_ripple, BY_KEY["first missed"], row) for row in range(1, 5)]
    assert counts == [36, 35, 34, 33]


def test_three_together_missed_gains_two_in_each_repeat(steep_wave):
    gained = [
        wrong_count(steep_wave, BY_KEY["dip missed"], row) - right_count(steep_wave, row)
        for row in (1, 2, 3)
    ]
    assert gained == [4, 8, 12]  # two repeats


@pytest.mark.parametrize(("design", "mistake"), EVERY_CASE)
def test_rows_worked_with_a_mistake_fit_and_count_as_foretold(design, mistake):
    wrong = checked(mistake.applied(design))
    rows = build_rows(wrong)
    assert rows.misfit is None and 5 <= wrong.size.rows <= 10
    narrow = set_size(design, repeats=3)
    edges = 3 - wrong.size.repeats  # repeats written out in the edges
    assert edges in (0, 2)
    for row in range(1, wrong.size.rows + 1):
        assert rows.makes(row) == wrong_count(narrow, mistake, row), row


@pytest.mark.parametrize(("design", "mistake"), EVERY_CASE)
def test_every_mistake_is_told_and_found_on_the_chart(design, mistake):
    rows = build_rows(design)
    marks = likely_stitches(design, rows, mistake)
    assert marks
    for row, stitch in marks:
        assert 0 <= stitch < rows.makes(row)
    for text in (cause(design, mistake), way_out(design, mistake), count_line(design, mistake)):
        assert text.endswith(".") and len(text) < 330


# --- which are offered ---------------------------------------------------------------------


def test_straight_rows_have_no_peaks_to_go_wrong(plain_cloth):
    keys = {mistake.key for mistake in mistakes_of(plain_cloth)}
    assert keys == {"foot", "top missed", "lean", "both", "tall chain"}


def test_tall_and_short_waves_have_no_increases_to_miss():
    heights = next(d for d, f in zip(EVERY_DESIGN, FAMILIES, strict=True) if f.is_of_heights)
    assert {m.key for m in mistakes_of(heights)} == {"into chain", "first missed", "lean"}


def test_without_a_turning_chain_nothing_goes_wrong_with_it(two_row_ripple):
    bare = replace(two_row_ripple, turning=Turning(chains=0, counts=False))
    assert {m.key for m in mistakes_of(bare)} == {
        "whole peak", "dip missed", "peak too many", "peak missed", "late peak", "spread peak"
    }  # fmt: skip


def test_rows_that_do_not_fit_are_mended_first(losing_wave):
    assert mistakes_of(losing_wave) == ()


def test_a_peak_of_two_in_one_has_nothing_to_spread():
    slow = next(d for d, f in zip(EVERY_DESIGN, FAMILIES, strict=True) if f.key == "slow")
    assert "spread peak" not in {m.key for m in mistakes_of(slow)}
    with pytest.raises(Spent):
        BY_KEY["spread peak"].applied(slow, 6)


def test_every_look_has_a_mistake_and_every_mistake_a_look():
    assert {m.look for m in MISTAKES} == {look.key for look in LOOKS}


# --- the fabric ----------------------------------------------------------------------------


def spread(piece, row):
    left, right = piece.edges_mm(row)
    return right - left


@pytest.mark.parametrize("key", ["foot", "whole peak"])
def test_wings_flare(two_row_ripple, key):
    found = compared(two_row_ripple, BY_KEY[key])
    assert found.wrong.came_to_rest
    for row in (5, 10):
        flared = spread(found.wrong, row) - spread(found.right, row)
        assert flared > 0.6 * (row - 1) * found.right.width_mm  # a stitch a row, drawn in a little


def test_a_triangle_narrows(two_row_ripple):
    found = compared(two_row_ripple, BY_KEY["top missed"])
    assert spread(found.wrong, 10) < spread(found.right, 10) - 5 * found.right.width_mm


def test_a_lean_moves_both_edges_the_same_way(two_row_ripple):
    found = compared(two_row_ripple, BY_KEY["lean"])
    moved = [
        wrong - right
        for wrong, right in zip(found.wrong.edges_mm(10), found.right.edges_mm(10), strict=True)
    ]
    assert min(moved) > found.right.width_mm  # right-side rows start at the right edge


def test_a_left_hander_leans_the_other_way(two_row_ripple):
    right = compared(two_row_ripple, BY_KEY["lean"]).wrong
    left = compared(replace(two_row_ripple, hand="left"), BY_KEY["lean"]).wrong
    for row in (1, 6, 10):
        mirrored = -np.array(right.edges_mm(row))[::-1] + sum(right.edges_mm(0))
        np.testing.assert_allclose(left.edges_mm(row), mirrored, atol=0.05)


def test_late_peaks_no_longer_stand_over_each_other(two_row_ripple):
    def peak_drift(piece):
        """How far the peak nearest the middle has gone by row 7, followed row by row."""
        at = float(piece.row_mm(1)[:, 0].mean())
        places = []
        for row in range(1, 8):
            x, y = piece.row_mm(row).T
            peaks = 1 + np.flatnonzero((y[1:-1] > y[:-2]) & (y[1:-1] >= y[2:]))
            at = float(x[peaks][np.argmin(np.abs(x[peaks] - at))])
            places.append(at)
        return abs(places[-1] - places[0])

    found = compared(two_row_ripple, BY_KEY["late peak"])
    assert peak_drift(found.right) < 1.0 * found.right.width_mm
    assert peak_drift(found.wrong) > 1.5 * found.wrong.width_mm


def test_spread_peaks_are_rounder(steep_wave):
    found = compared(steep_wave, BY_KEY["spread peak"])

    def sharpness(piece):
        row = piece.row_mm(piece.n_rows)
        steps = np.diff(row, axis=0)
        angle = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
        return -np.diff(angle)[4:-4].min()  # a peak turns down as the row goes right

    assert sharpness(found.wrong) < 0.9 * sharpness(found.right)


def test_a_piece_is_settled_once(two_row_ripple):
    again = replace(two_row_ripple, title="Another name")
    assert compared(two_row_ripple, BY_KEY["foot"]) is compared(again, BY_KEY["foot"])


# --- counts typed --------------------------------------------------------------------------


def test_counts_two_short_at_row_4_and_four_at_6_speak_for_the_missed_top(wide_ripple):
    first, *rest = suspects(wide_ripple, read_counts("row 4: 142, row 6: 140"))
    assert first.mistake is BY_KEY["top missed"]
    assert (first.since, first.missed_by) == (3, 0)
    same = [other for other in rest if not other.missed_by]
    assert [(other.mistake.key, other.repeats) for other in same] == [("peak missed", 1)]
    assert "from row 3: fits every count" in suspect_line(wide_ripple, first)


def test_a_stitch_lost_once_is_told_from_one_lost_in_every_row(wide_ripple):
    first, *_ = suspects(wide_ripple, {4: 144, 6: 143, 20: 143, 40: 143})
    assert (first.mistake, first.once, first.since, first.missed_by) == (None, -1, 6, 0)


def test_a_decrease_missed_in_one_repeat_only_is_told_from_all_of_them(wide_ripple):
    found = suspects(wide_ripple, {row: 144 + row - 1 for row in range(2, 8)})
    told = [suspect_line(wide_ripple, suspect) for suspect in found if not suspect.missed_by]
    assert told[0].startswith("A stitch in the foot of the turning chain, from row 2")
    assert "A decrease missed in 1 of 11 repeats, from row 2: fits every count" in told
    (every,) = [s for s in suspects(wide_ripple, {2: 155, 3: 166}) if not s.missed_by][:1]
    assert every.repeats == 11


def test_a_row_far_up_is_counted_as_quickly_as_the_first(wide_ripple):
    tall = replace(wide_ripple, size=Size(repeats=2, rows=5000))
    assert wrong_count(tall, BY_KEY["foot"], 5000) == 36 + 4999


def test_right_counts_accuse_nobody(wide_ripple):
    assert suspects(wide_ripple, {4: 144, 9: 144}) == ()
    assert suspects(wide_ripple, {}) == ()


@given(st.data())
def test_a_mistake_is_found_from_the_counts_it_leaves(data):
    design = data.draw(st.sampled_from(EVERY_DESIGN))
    mistake = data.draw(st.sampled_from(mistakes_of(design)))
    since = data.draw(st.integers(2, 6))
    rows = range(since, since + 6)
    counts = {row: wrong_count(design, mistake, row, since=since) for row in rows}
    found = suspects(design, counts)
    if all(counts[row] == right_count(design, row) for row in rows):
        assert found == ()
    else:
        best = [suspect for suspect in found if not suspect.missed_by]
        same = [
            other.mistake
            for other in best
            if other.mistake is not None
            and all(
                wrong_count(design, other.mistake, row, since=other.since) == counts[row]
                for row in rows
            )
        ]
        assert mistake in same


@pytest.mark.parametrize(
    "text",
    ["row 4: 142, row 6: 140", "4 142; 6 140", "ROW 4 = 142\n6:140,", "4 has 142, row 6 has 140"],
)
def test_counts_are_read_as_people_type_them(text):
    assert read_counts(text) == {4: 142, 6: 140}


@pytest.mark.parametrize(
    "text", ["row four: 142", "4", "4: -2", "0: 12", "5001: 3", "3: 999999", "4: 1.5", "9" * 400]
)
def test_counts_that_cannot_be_read_are_named(text):
    with pytest.raises(DesignError, match=re.escape(text[:10])):
        read_counts(text)


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused(text):
    try:
        found = read_counts(text)
    except DesignError as error:
        assert str(error)
    else:
        assert all(1 <= row <= 5000 for row in found)


def test_words_follow_the_terms(two_row_ripple):
    uk = replace(two_row_ripple, terms="UK")
    assert "one tr more" in cause(uk, BY_KEY["foot"])
    assert "one dc more" in cause(two_row_ripple, BY_KEY["foot"])
    assert CATALOGUE["dc"].uk.short == "tr"
