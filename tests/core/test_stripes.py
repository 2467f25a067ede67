"""Stripes: a yarn for every row, however the sequence goes on."""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.design.document import Stripe, Stripes
from core.stripes.colour import contrast, difference, grey_of, ground_of, ink_on, lightness
from core.stripes.sequence import worked_stripes, yarn_of_rows

sequences = st.lists(
    st.builds(Stripe, st.integers(0, 4), st.integers(1, 6)), min_size=1, max_size=8
).map(tuple)
fills = st.sampled_from(["repeat", "stop", "mirror"])


def yarns(sequence, fill, n_rows):
    stripes = Stripes(tuple(Stripe(*stripe) for stripe in sequence), fill)
    return yarn_of_rows(stripes, n_rows).tolist()


def test_a_sequence_repeats():
    assert yarns([(0, 2), (1, 1)], "repeat", 8) == [0, 0, 1, 0, 0, 1, 0, 0]


def test_a_sequence_that_stops_goes_on_in_its_last_yarn():
    assert yarns([(0, 2), (1, 1)], "stop", 6) == [0, 0, 1, 1, 1, 1]


def test_a_mirrored_sequence_turns_on_its_last_stripe_without_doubling_it():
    assert yarns([(0, 1), (1, 1), (2, 1)], "mirror", 8) == [0, 1, 2, 1, 0, 1, 2, 1]
    assert yarns([(0, 1)], "mirror", 3) == [0, 0, 0]
    assert yarns([(0, 1), (1, 1)], "mirror", 4) == [0, 1, 0, 1]


@given(sequences, fills, st.integers(0, 60))
def test_every_row_has_one_yarn(sequence, fill, n_rows):
    stripes = Stripes(sequence, fill)
    worked = worked_stripes(stripes, n_rows)
    assert sum(stripe.rows for stripe in worked) == n_rows
    assert [s.first for s in worked] == [
        1 + sum(p.rows for p in worked[:i]) for i in range(len(worked))
    ]
    assert len(yarn_of_rows(stripes, n_rows)) == n_rows
    assert all(stripe.yarn == sequence[stripe.entry].yarn for stripe in worked)


@given(sequences, st.integers(1, 60))
def test_repeating_has_the_period_of_the_sequence(sequence, n_rows):
    rows = sum(stripe.rows for stripe in sequence)
    found = yarn_of_rows(Stripes(sequence, "repeat"), n_rows + rows)
    assert np.array_equal(found[rows:], found[:-rows])


PAIRS = Path(__file__).parent.parent / "files" / "ciede2000.csv"


@pytest.mark.parametrize(
    "pair", list(csv.DictReader(PAIRS.read_text().splitlines())), ids=lambda pair: pair["pair"]
)
def test_colour_difference_agrees_with_the_published_pairs(pair):
    # Sharma, Wu and Dalal 2005, "The CIEDE2000 color-difference formula", table 1. The program
    # asks the colour library; this checks that library's CIEDE2000 under D65, which we use.
    from coloraide import Color

    one = Color("lab-d65", [float(pair[f"{c}1"]) for c in ("L", "a", "b")])
    other = Color("lab-d65", [float(pair[f"{c}2"]) for c in ("L", "a", "b")])
    assert one.delta_e(other, method="2000", space="lab-d65") == pytest.approx(
        float(pair["dE00"]), abs=1e-4
    )


def test_difference_is_none_for_one_colour_and_large_for_black_and_white():
    assert difference("#336699", "#336699") == 0
    assert difference("#000000", "#ffffff") == pytest.approx(100, abs=0.5)


def test_contrast_is_that_of_the_accessibility_guidelines():
    # WCAG 2.2: black on white 21 : 1; #767676 on white just passes 4.5 : 1.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@given(st.integers(0, 0xFFFFFF).map(lambda number: f"#{number:06x}"))
def test_ink_can_be_read_on_any_yarn(colour):
    assert contrast(colour, ink_on(colour)) >= 4.5
    assert contrast(ground_of(colour, "#ffffff"), "#22201d") >= 4.5


def test_a_grey_is_as_light_as_its_colour():
    for colour in ("#b5573c", "#24455c", "#e0a83a"):
        assert lightness(grey_of(colour)) == pytest.approx(lightness(colour), abs=0.5)
