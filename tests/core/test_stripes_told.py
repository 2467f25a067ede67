"""Stripes in words: names, colours together, running totals that close."""

import re

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.design.document import Stripe, Stripes, Yarn
from core.rows.starters import starter
from core.rows.waves import FAMILIES
from core.stripes.sequence import comes_again, yarn_of_rows
from core.words.stripes import colour_list, sequence_rows, stripe_keys, stripe_list, told_stripes
from core.words.vocabulary import vocabulary

US, DE = vocabulary("US"), vocabulary("US", "de")
YARNS = tuple(Yarn(name=n, colour="#204060", ball_m=100, ball_g=50) for n in ("Sea", "Sand", "Sky"))


def a_design(*stripes, fill="repeat"):
    sequence = Stripes(tuple(Stripe(*stripe) for stripe in stripes), fill)
    return msgspec.structs.replace(starter(FAMILIES[0]), yarns=YARNS, stripes=sequence)


def told(list_of, design, rows, words=US):
    yarns = yarn_of_rows(design.stripes, rows).tolist()
    return [line.plain for line in list_of(design, yarns, words)]


def test_a_stripe_is_told_by_its_name():
    design = a_design((0, 2, False, "dawn"), (1, 3))
    assert told(stripe_list, design, 5) == [
        "Rows 1 to 2: Sea, “dawn” (2 rows, 2 in all)",
        "Rows 3 to 5: Sand (3 rows, 5 in all)",
    ]
    assert told(stripe_list, design, 5, DE)[0].endswith("Sea, „dawn“ (2 Reihen, 2 im Ganzen)")
    spelled = vocabulary("US", spelled=True)
    assert (
        told(stripe_list, design, 5, spelled)[0]
        == "Rows 1 to 2: Sea, called dawn, 2 rows, 2 in all"
    )


def test_neighbours_in_one_yarn_with_names_of_their_own_stay_two():
    design = a_design((0, 2, False, "dawn"), (0, 1, False, "noon"), (1, 1))
    lines = told(stripe_list, design, 4)
    assert len(lines) == 3
    assert lines[1] == "Row 3: Sea, “noon” (1 row, 3 in all)"
    unnamed = a_design((0, 2), (0, 1), (1, 1))
    assert len(told(stripe_list, unnamed, 4)) == 2


def test_names_come_again_with_their_sequence():
    design = a_design((0, 2, False, "dawn"), (1, 2))
    assert told(stripe_list, design, 12)[0] == "The stripe sequence has 4 rows:"


def test_each_colour_is_told_with_its_rows_so_far():
    design = a_design((0, 2), (1, 1), (0, 3), (2, 4))
    assert told(colour_list, design, 10) == [
        "Row numbers; in brackets that color's rows so far.",
        "Sea: 1 to 2 (2); 4 to 6 (5). In all: 2 stripes, 5 rows.",
        "Sand: 3 (1). In all: 1 stripe, 1 row.",
        "Sky: 7 to 10 (4). In all: 1 stripe, 4 rows.",
    ]


def test_a_blanket_in_one_colour_has_no_list_of_colours():
    assert told(colour_list, a_design((0, 2)), 10) == []


def test_names_stay_away_from_rows_that_were_given_another_yarn():
    design = a_design((0, 2, False, "dawn"), (1, 2))
    assert stripe_keys(design, [0, 1, 1, 0]) == [(0, "dawn"), (1, ""), (1, ""), (0, "")]


stripes = st.lists(
    st.tuples(st.integers(0, 2), st.integers(1, 4), st.just(False), st.sampled_from(["", "dawn"])),
    min_size=1,
    max_size=6,
)


@given(stripes, st.integers(1, 40), st.sampled_from(["repeat", "mirror", "stop"]))
def test_totals_of_colours_close_on_the_blanket(sequence, rows, fill):
    design = a_design(*sequence, fill=fill)
    yarns = yarn_of_rows(design.stripes, rows).tolist()
    every = told_stripes(stripe_keys(design, yarns))
    assert [n for s in every for n in [s.yarn] * s.rows] == yarns
    lines = told(colour_list, design, rows)[1:]
    closing = [re.search(r"In all: (\d+) stripes?, (\d+) rows?\.$", line) for line in lines]
    if lines:
        assert sum(int(match[1]) for match in closing) == len(every)
        assert sum(int(match[2]) for match in closing) == rows
    keys = stripe_keys(design, yarns)
    period = sequence_rows(keys)
    n = period if period and rows // period >= 2 else rows
    for yarn, line in zip(sorted(set(yarns)), lines, strict=False):
        totals = [int(total) for total in re.findall(r"\((\d+)\)", line)]
        assert totals == sorted(totals)
        assert totals[-1] == yarns[:n].count(yarn)


@pytest.mark.parametrize("words", [US, DE])
def test_spans_name_every_row_of_a_colour_once(words):
    design = a_design((0, 2), (1, 1), (0, 3), (2, 4))
    for number, line in enumerate(told(colour_list, design, 10, words)[1:]):
        spans = re.findall(r"(\d+)(?: (?:to|bis) (\d+))? \(", line)
        rows = [r for a, b in spans for r in range(int(a), int(b or a) + 1)]
        expected = yarn_of_rows(design.stripes, 10).tolist()
        assert rows == [r for r in range(1, 11) if expected[r - 1] == number]


@given(st.lists(st.integers(0, 2), max_size=24), st.integers(1, 4))
def test_a_list_comes_again_after_the_fewest_entries_that_say_it_twice(entries, times):
    kinds = entries * times
    after = [
        n
        for n in range(1, len(kinds) // 2 + 1)
        if all(kinds[at] == kinds[at - n] for at in range(n, len(kinds)))
    ]
    assert comes_again(kinds) == (after[0] if after else len(kinds))
