"""The shelf beside a design: dye lots, what is taken in, and what is kept of it."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from shelved import yarn

from core.design import edits
from core.design.document import MAX_YARNS, MOST_BALLS
from core.design.validation import checked
from core.errors import DesignError
from core.pipeline import Pipeline
from core.shelf import against, finding, standing
from core.shelf.against import kept, owned_balls, place_of, taken_in, what_there_is
from core.shelf.entry import MOST_BALLS as MOST_BALLS_KEPT
from core.shelf.entry import Aside
from core.yarn.running_out import shortage


@pytest.fixture(scope="module")
def results(two_row_ripple):
    return Pipeline().results(two_row_ripple)


def haves(results, *entries):
    return what_there_is(
        results.design,
        results.row_yarn,
        results.yarn_ends,
        results.yarn_of_row,
        results.yarn,
        entries,
    )


def fails_with(results, metres):
    design = edits.set_yarn(results.design, 0, owned_balls=metres / 105)
    return shortage(
        design, results.row_yarn, results.yarn_ends, results.yarn_of_row, results.yarn[0]
    )


def holding(metres, **values):
    """A yarn of the shelf with so many metres in one remnant of a ball of 105 m in 50 g."""
    return yarn(balls=0, remnants=(metres * 50 / 105,), **values)


# --- dye lots ---------------------------------------------------------------------------------


def test_what_is_enough_only_from_several_lots_is_told(results):
    need = results.yarn[0].needed_m
    have = haves(results, holding(0.7 * need, lot="A"), holding(0.6 * need, lot="B"))[0]
    assert have.is_enough and have.only_mixed
    assert (have.lots, have.lot) == (2, "A")
    assert have.lot_m == pytest.approx(0.7 * need) and have.there_m == pytest.approx(1.3 * need)
    alone = fails_with(results, 0.7 * need)
    assert (have.lot_row, have.lot_stripe) == (alone.row, alone.stripe) != (None, None)
    assert have.lot_short_m == pytest.approx(0.3 * need)


@pytest.mark.parametrize(
    ("lots", "is_enough"),
    [
        (((1.1, "A"),), True),
        (((1.1, "A"), (0.5, "B")), True),
        (((0.6, "A"), (0.5, "a ")), True),  # one lot on two lines
        (((0.4, "A"), (0.3, "B")), False),
    ],
)
def test_one_lot_that_does_alone_is_no_mixture(results, lots, is_enough):
    need = results.yarn[0].needed_m
    have = haves(results, *(holding(share * need, lot=lot.strip()) for share, lot in lots))[0]
    assert have.is_enough is is_enough and not have.only_mixed


def test_a_lot_that_nothing_is_left_of_for_this_blanket_does_not_count(results):
    need = results.yarn[0].needed_m
    gone, aside = yarn(lot="B", balls=0), yarn(lot="C", balls=1, asides=(Aside("Other", 50.0),))
    have = haves(results, holding(1.1 * need, lot="A"), gone, aside)[0]
    assert have.lots == 1 and not have.only_mixed


def test_a_near_shade_without_a_lot_is_not_the_same_lot(results):
    need = results.yarn[0].needed_m
    other = holding(0.6 * need, colour="#2b7098")
    assert haves(results, holding(0.6 * need), other)[0].only_mixed


def test_colours_are_compared_once_for_each_yarn_of_a_name(results, monkeypatch):
    asked = []

    def counted(colour, entries):
        asked.append(colour)
        return finding.apart(colour, entries)

    monkeypatch.setattr(standing, "apart", counted)
    monkeypatch.setattr(against, "apart", counted)
    haves(results, yarn(), yarn("Sand", colour="#e9d8a6"), yarn("Tar", colour="#222222"))
    assert sorted(asked) == ["#2a6f97", "#e9d8a6"]


# --- taken in ---------------------------------------------------------------------------------


def test_taking_one_lot_leaves_what_is_owned_of_another(two_row_ripple):
    lots = (yarn(lot="A", balls=3), yarn(lot="B", balls=1))
    for order in itertools.permutations(lots):
        design = two_row_ripple
        for entry in order:
            design = taken_in(design, (entry,), lots)
            assert design.yarns[0].owned_balls == pytest.approx(4), (
                "all there is, as often as asked"
            )
        assert taken_in(design, lots, lots) is design
        assert len(design.yarns) == 2
        assert place_of(design, lots[1], lots) == (0, 2)


some = st.lists(
    st.builds(
        yarn,
        st.sampled_from(["Sea", "sea", "Sand", "Tar", "Sea 2", "Tar 3"]),
        colour=st.sampled_from(["#2a6f97", "#2b7098", "#c1543c", "#222222", "#e9d8a6"]),
        lot=st.sampled_from(["", "A", "B"]),
        balls=st.integers(0, 4),
    ),
    max_size=6,
    unique_by=lambda entry: (entry.name, entry.colour, entry.lot),
)


@given(some, st.randoms(use_true_random=False))
def test_one_after_another_or_at_once_it_is_the_same(two_row_ripple, entries, chance):
    """Whichever way, no ball of the shelf is owned twice and none that was taken is left out."""
    wanted = [entry for entry in entries if chance.random() < 0.7]
    at_once = taken_in(two_row_ripple, wanted, entries)
    one_by_one = two_row_ripple
    for entry in wanted:
        one_by_one = taken_in(one_by_one, (entry,), entries)
    assert [(y.name, y.colour) for y in at_once.yarns] == [
        (y.name, y.colour) for y in one_by_one.yarns
    ]
    again = taken_in(at_once, wanted, entries)
    assert again == at_once and checked(at_once) == at_once
    owned = owned_balls(at_once, entries)
    for number, balls in owned.items():
        if at_once.yarns[number].owned_balls:
            assert at_once.yarns[number].owned_balls == pytest.approx(balls)
    for entry in wanted:
        place = place_of(at_once, entry, entries)
        assert place is not None
        assert at_once.yarns[place[0]].colour == entry.colour
        assert at_once.yarns[place[0]].owned_balls >= entry.balls - 1e-9
    assert sum(y.owned_balls for y in at_once.yarns) <= sum(e.balls for e in entries) + 1e-9


def test_another_colour_of_a_name_is_known_again(two_row_ripple):
    red = yarn("Sea", colour="#c1543c", lot="A", balls=2)
    more = yarn("Sea", colour="#c1543c", lot="B", balls=1)
    design = taken_in(two_row_ripple, (red,), (red,))
    assert design.yarns[2].name == "Sea 2"
    again = taken_in(design, (more,), (red, more))
    assert [y.name for y in again.yarns] == ["Sea", "Sand", "Sea 2"], "not Sea 3"
    assert again.yarns[2].owned_balls == pytest.approx(3)
    assert [one.kind for one in kept(design, (red,))] == ["new", "new", "same"]


def test_a_name_too_long_for_its_number_is_known_again(two_row_ripple):
    long = "Blue as the harbour " * 4
    one, two = yarn(long.strip() + "!", colour="#222222"), yarn(long.strip() + "!")
    assert len(one.name) == 80
    design = taken_in(two_row_ripple, (one, two), (one, two))
    assert [len(y.name) for y in design.yarns[2:]] == [80, 80]
    assert taken_in(design, (two, one), (one, two)) is design
    assert [y.owned_balls for y in design.yarns[2:]] == [3, 3]


def test_more_yarns_than_a_design_holds_are_not_taken(two_row_ripple):
    many = tuple(yarn(f"Y {n}") for n in range(20_000))
    design = taken_in(two_row_ripple, many, many)
    assert len(design.yarns) == MAX_YARNS + 1, "and no time is lost over the others"
    with pytest.raises(DesignError):
        checked(design)


def test_no_more_is_owned_than_a_design_may_say(two_row_ripple):
    heaps = tuple(yarn(lot=lot, balls=6_000) for lot in "AB")
    design = taken_in(two_row_ripple, heaps[:1], heaps)
    assert design.yarns[0].owned_balls == MOST_BALLS == MOST_BALLS_KEPT
    assert checked(design) == design


# --- the weight class -------------------------------------------------------------------------


def test_the_weight_class_goes_from_the_shelf_to_the_design(two_row_ripple):
    tar = yarn("Tar", colour="#222222", weight=4)
    assert taken_in(two_row_ripple, (tar,), (tar,)).yarns[2].weight == 4
    sea = yarn(weight=3)
    assert taken_in(two_row_ripple, (sea,), (sea,)).yarns[0].weight == 3, "it was not stated"
    stated = edits.set_yarn(two_row_ripple, 0, weight=0)
    assert taken_in(stated, (sea,), (sea,)).yarns[0].weight == 0, "the designer's word stays"
    lace = yarn(lot="B", weight=0)
    unknown = yarn(lot="A")
    assert taken_in(two_row_ripple, (unknown,), (unknown, lace)).yarns[0].weight == 0


def test_the_weight_class_goes_from_the_design_to_the_shelf(two_row_ripple):
    design = edits.set_yarn(two_row_ripple, 0, weight=0, owned_balls=3)
    assert kept(design, ())[0].after.weight == 0
    assert kept(design, ())[1].after.weight is None
    (changed, _) = kept(design, (yarn(weight=3),))
    assert (changed.kind, changed.fields, changed.after.weight) == ("changed", ("weight",), 0)
    unstated = replace(design.yarns[0], weight=None)
    design = replace(design, yarns=(unstated, design.yarns[1]))
    assert kept(design, (yarn(weight=3),))[0].kind == "same"
