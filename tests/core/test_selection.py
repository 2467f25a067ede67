"""Kin of stitches, selections, and which words speak of which stitches."""

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from some import some

from core.craft.stitches import KEYS, NUMBER
from core.design import edits
from core.rows.build import build_rows
from core.rows.kin import kin_of
from core.rows.selection import (
    Span,
    between,
    one_stitch,
    repeat_at,
    stepped,
    whole_rows,
    within,
)
from core.rows.starters import starter
from core.rows.waves import FAMILIES
from core.words.linked import link_words
from core.words.rowlist import rows_in_full
from core.words.rowtext import finished, row_body
from core.words.spans import row_phrases
from core.words.vocabulary import vocabulary
from core.words.write import write_pattern

WAYS = [("US", "en"), ("UK", "en"), ("US", "de")]
family = pytest.mark.parametrize("family", FAMILIES, ids=lambda f: f.name)


@cache
def started(number, hand="right"):
    design = starter(FAMILIES[number])
    design = edits.set_values(edits.set_size(design, repeats=3, rows=9), hand=hand)
    return design, build_rows(design)


blankets = st.builds(started, st.integers(0, len(FAMILIES) - 1), st.sampled_from(["right", "left"]))


@given(blankets, st.data())
@settings(max_examples=150, deadline=None)
def test_parents_and_children_are_each_others_inverse(blanket, data):
    _, rows = blanket
    row = data.draw(st.integers(0, rows.drawn_rows))
    stitch = data.draw(st.integers(0, rows.makes(row) - 1))
    kin = kin_of(rows, row, stitch, stitch)
    for parent in kin.parents.tolist():
        assert stitch in kin_of(rows, row - 1, parent, parent).children
    for child in kin.children.tolist():
        assert stitch in kin_of(rows, row + 1, child, child).parents


@given(blankets)
@settings(max_examples=30, deadline=None)
def test_kin_is_what_the_plan_says_in_working_order(blanket):
    """Read off the plan's links one by one, turned round with plain arithmetic."""
    _, rows = blanket
    for row in range(1, rows.drawn_rows + 1):
        n, below = rows.makes(row), rows.makes(row - 1)
        turned = rows.runs_left(row)
        links = {
            (n - 1 - c, below - 1 - p) if turned else (c, p)
            for c, p in rows.plan(row).links.tolist()
        }
        for stitch in range(n):
            want = sorted(p for c, p in links if c == stitch)
            assert kin_of(rows, row, stitch, stitch).parents.tolist() == want
        for stitch in range(below):
            want = sorted(c for c, p in links if p == stitch)
            assert kin_of(rows, row - 1, stitch, stitch).children.tolist() == want


@given(blankets, st.data())
@settings(max_examples=60, deadline=None)
def test_keys_walk_to_kin_and_never_leave_the_blanket(blanket, data):
    _, rows = blanket
    row = data.draw(st.integers(0, rows.drawn_rows))
    place = row, data.draw(st.integers(0, rows.makes(row) - 1))
    for right, up in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        to_row, to = stepped(rows, place, right, up)
        assert 0 <= to_row <= rows.drawn_rows and 0 <= to < rows.makes(to_row)
        kin = kin_of(rows, *place, place[1])
        near = kin.children if up > 0 else kin.parents
        if up and to_row != row and len(near):
            assert to in near
        if right:
            assert to_row == row and abs(to - place[1]) <= 1


def test_a_range_runs_along_one_row_and_whole_rows_beyond():
    _, rows = started(0)
    along = between(rows, (2, 9), (2, 4))
    assert along.spans == (Span(2, 4, 9),) and along.count == 6 and along.head == (2, 4)
    across = between(rows, (2, 9), (4, 1))
    assert across.kind == "rows" and across.rows == (2, 4)
    assert across.count == sum(rows.makes(row) for row in (2, 3, 4))
    assert between(rows, (2, 9), (2, 9)) == one_stitch((2, 9))


@given(blankets, st.data())
@settings(max_examples=60, deadline=None)
def test_a_repeat_holds_as_many_stitches_as_the_row_repeats(blanket, data):
    _, rows = blanket
    row = data.draw(st.integers(1, rows.drawn_rows))
    plan = rows.plan(row)
    stitch = data.draw(st.integers(0, plan.makes - 1))
    found = repeat_at(rows, (row, stitch))
    section = int(rows.in_fabric_order(row, plan.section)[stitch])
    if section < 0:
        assert found is None
    else:
        assert found.count == int((plan.section == section).sum())
        assert found.holds((row, stitch))


def test_a_selection_outlives_a_smaller_blanket_as_far_as_there_is_one():
    design, rows = started(0)
    fewer = build_rows(edits.set_size(design, repeats=2, rows=5))
    kept = within(whole_rows(rows, 4, 8), fewer)
    assert kept.rows == (4, 5)
    assert kept.count == 2 * fewer.makes(4)
    assert within(one_stitch((8, 3)), fewer) is None
    assert within(one_stitch((3, 3)), rows) == one_stitch((3, 3))


def test_whole_rows_and_repeats_stay_whole_in_a_wider_blanket():
    design, rows = started(0)
    wider = build_rows(edits.set_size(design, repeats=design.size.repeats + 3))
    row, some = whole_rows(rows, 4, 4), whole_rows(rows, 4, 6)
    assert wider.makes(4) > rows.makes(4)
    assert within(row, wider).count == wider.makes(4) and within(row, wider).kind == "row"
    assert within(some, wider).spans == whole_rows(wider, 4, 6).spans
    one = next(r for s in range(40) if (r := repeat_at(rows, (3, s))) is not None)
    other = within(one, wider)
    assert other.kind == "repeat" and other == repeat_at(wider, one.anchor)


# words


def spoken(design, rows, words, row):
    body = row_body(design, rows, row, words)
    return finished(rows, row, body, words)


@family
@pytest.mark.parametrize("terms,language", WAYS)
@pytest.mark.parametrize("spelled", [False, True])
def test_every_stitch_is_spoken_of_by_a_phrase(family, terms, language, spelled):
    design, rows = started(FAMILIES.index(family))
    words = vocabulary(terms, language, spelled=spelled)
    for row in some(rows_in_full(design, rows)):
        text = spoken(design, rows, words, row)
        phrases = row_phrases(design, rows, row, words)
        told = np.concatenate([phrase.stitches for phrase in phrases])
        assert set(told.tolist()) == set(range(rows.makes(row))), text
        for phrase in phrases:
            assert 0 <= phrase.start < phrase.end <= len(text)


@family
@pytest.mark.parametrize("terms,language", WAYS)
def test_phrases_name_the_stitch_that_they_make(family, terms, language):
    """The words of a phrase hold the short name of each stitch it makes, by the catalogue."""
    design, rows = started(FAMILIES.index(family))
    words = vocabulary(terms, language)
    chain = NUMBER["ch"]
    for row in some(rows_in_full(design, rows)):
        text = spoken(design, rows, words, row)
        kinds = rows.plan(row).kind
        for phrase in row_phrases(design, rows, row, words):
            said = text[phrase.start : phrase.end]
            for number in set(kinds[phrase.stitches].tolist()) - {chain}:
                name = words.names[KEYS[number]].short
                assert name in said, (said, name, text)
            decreases = "tog" in said or "zus" in said
            links = rows.plan(row).links
            for stitch in phrase.stitches.tolist():
                parents = int((links[:, 0] == stitch).sum())
                if parents > 1:
                    assert decreases or "turn" in said.lower() or str(parents) in said, said


# Row 2 of `ripple12` (madebypurpje.com/2022/02/09/ripple-stitch), its repeat three times between
# the edges, 48 stitches: counted off on paper, from 0, in the order they are worked.
ROW_2 = (
    ("Ch 3 (counts as 1 dc), turn", [0]),
    ("1 dc in same st", [1]),
    ("1 dc in each of next 3 sts", [2, 3, 4, 14, 15, 16, 26, 27, 28]),
    ("[dc2tog over next 2 sts] twice", [5, 6, 17, 18, 29, 30]),
    ("1 dc in each of next 3 sts", [7, 8, 9, 19, 20, 21, 31, 32, 33]),
    ("2 dc in each of next 2 sts", [10, 11, 12, 13, 22, 23, 24, 25, 34, 35, 36, 37]),
    ("1 dc in each of next 3 sts", [38, 39, 40]),
    ("[dc2tog over next 2 sts] twice", [41, 42]),
    ("1 dc in each of next 3 sts", [43, 44, 45]),
    ("2 dc in top of turning ch", [46, 47]),
)


def test_phrases_of_the_published_twelve_stitch_ripple_make_the_stitches_counted_by_hand():
    design, rows = started(0)
    words = vocabulary("US")
    text = spoken(design, rows, words, 2)
    found = [
        (text[phrase.start : phrase.end], sorted(phrase.stitches.tolist()))
        for phrase in row_phrases(design, rows, 2, words)
    ]
    assert found == list(ROW_2)


@family
@pytest.mark.parametrize("terms,language", WAYS)
@pytest.mark.parametrize("hand", ["right", "left"])
def test_from_words_to_stitches_and_back(family, terms, language, hand):
    design, rows = started(FAMILIES.index(family), hand)
    text = write_pattern(design, rows, terms=terms, language=language).plain
    linked = link_words(text, design, rows, vocabulary(terms, language))
    assert [line.last for line in linked.lines][-1] == rows.drawn_rows
    for row in range(1, rows.drawn_rows + 1):
        for stitch in range(rows.makes(row)):
            places = linked.of(one_stitch((row, stitch)))
            assert places, (row, stitch)
            (start, _), *_ = places
            _, back = linked.at(start)
            like = back.spans[0].row
            assert linked.kinds[like - 1] == linked.kinds[row - 1]
            turned = like % 2 != row % 2
            mirrored = rows.makes(row) - 1 - stitch if turned else stitch
            assert back.holds((like, mirrored)), (row, stitch, text[start : start + 40])


def test_a_skip_lights_what_it_passes_over():
    skips = 0
    for number in range(len(FAMILIES)):
        design, rows = started(number)
        words = vocabulary("US")
        for row in some(rows_in_full(design, rows)):
            text = spoken(design, rows, words, row)
            links = rows.plan(row).links
            for phrase in row_phrases(design, rows, row, words):
                if text[phrase.start : phrase.end].lower().startswith("skip"):
                    skips += 1
                    assert len(phrase.passed) and not len(phrase.stitches)
                    n = rows.makes(row - 1)
                    assert (phrase.passed < n).all()
                    assert not np.isin(phrase.passed, links[1:, 1]).all() or row == 1
    assert skips


def test_own_words_are_linked_as_a_whole():
    design, rows = started(0)
    words = vocabulary(design.terms)
    text = write_pattern(design, rows).plain
    line = next(x for x in link_words(text, design, rows, words).lines if x.in_full == 2)
    mine = text[: line.text_at] + "work it my way" + text[line.end :]
    linked = link_words(mine, design, rows, words)
    own = next(x for x in linked.lines if x.in_full == 2)
    assert not own.as_written
    (start, end), found = linked.at(own.text_at + 3)
    assert (start, end) == (own.start, own.end) and found.kind == "row" and found.rows == (2, 2)
    assert linked.of(one_stitch((2, 5)))[0] == (own.start, own.end)
