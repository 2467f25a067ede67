"""The shelf: what is kept survives, changes are whole, and what is looked for is found."""

import json
import sqlite3
from pathlib import Path

import numpy as np
import pytest
from any_entry import entries
from costs import cost_s
from hypothesis import given
from hypothesis import strategies as st
from shelved import trouble_of, yarn

from core.palette.sight import lab_of
from core.palette.spaces import rgb_of
from core.records import replace
from core.shelf import acts
from core.shelf.changes import Change, edit, put, remove
from core.shelf.entry import MOST_REMNANTS, WEIGHTS, Aside, checked
from core.shelf.faults import ShelfError
from core.shelf.finding import Search, find
from core.shelf.store import Store
from core.shelf.written import written_text
from core.stripes.screen import cielab
from core.words.vocabulary import vocabulary, weight_classes

# --- kept and changed --------------------------------------------------------------------


def test_nothing_is_made_before_something_is_put_there(store):
    assert store.read().entries == ()
    assert not store.folder.exists()


def test_what_is_put_there_is_there_for_the_next_window(store):
    sea = yarn(
        fibre="cotton", weight=4, lot="A 12", price=4.5, currency="EUR", remnants=(12.5, 30.25),
        place="chest", bought="2026-11-25", notes="two\nlines", asides=(Aside("A ripple", 20.0),),
    )  # fmt: skip
    sand = yarn("Sand", colour="#e9d8a6")
    store.apply(put("Put on the shelf", [sea, sand]))
    assert Store(store.folder).read().entries == (sea, sand)


def test_a_step_taken_back_leaves_what_was(store):
    sea = yarn()
    store.apply(put("Put", [sea]))
    more = replace(sea, balls=5, remnants=(7.0,))
    step = edit("More", sea, more)
    assert store.apply(step).entries == (more,)
    assert store.apply(step.taken_back()).entries == (sea,)
    gone = remove("Away", [sea])
    assert store.apply(gone).entries == ()
    assert store.apply(gone.taken_back()).entries == (sea,)


def test_remnants_and_asides_go_with_their_yarn(store):
    sea = yarn(remnants=(3.0,), asides=(Aside("A", 1.0),))
    store.apply(put("Put", [sea]))
    store.apply(remove("Away", [sea]))
    with sqlite3.connect(store.path) as db:
        assert db.execute("SELECT count(*) FROM remnant").fetchone() == (0,)
        assert db.execute("SELECT count(*) FROM aside").fetchone() == (0,)
    db.close()


def test_two_windows_see_each_other_and_the_slower_one_is_told(store):
    sea = yarn()
    store.apply(put("Put", [sea]))
    other = Store(store.folder)
    more, less = replace(sea, balls=4), replace(sea, balls=1)
    other.apply(edit("More", sea, more))
    assert trouble_of(lambda: store.apply(edit("Less", sea, less))) == "changed"
    assert store.read().entries == (more,)
    sand = yarn("Sand")
    both = Change("Both", {sea.uid: sea}, {sea.uid: less, sand.uid: sand})
    assert trouble_of(lambda: store.apply(both)) == "changed"
    assert store.read().entries == (more,), "not even the part that could be changed"


def test_a_shelf_in_use_is_said_to_be(store):
    sea = yarn()
    store.apply(put("Put", [sea]))
    busy = sqlite3.connect(store.path, isolation_level=None)
    busy.execute("BEGIN EXCLUSIVE")
    assert trouble_of(store.read) == "locked"
    assert trouble_of(lambda: store.apply(remove("Away", [sea]))) == "locked"
    busy.execute("ROLLBACK")
    busy.close()
    assert store.read().entries == (sea,)


@pytest.mark.parametrize(
    "wrong",
    [
        {"name": " "}, {"name": "Sea "}, {"name": "x" * 81}, {"name": "a\x00b"}, {"name": "\ud800"},
        {"name": "a\u202eb"}, {"lot": "A\x9b1"}, {"place": "chest\u2028"}, {"notes": "x\u2066y"},
        {"asides": (Aside("A\u202eB", 1.0),)},
        {"colour": "#2A6F97"}, {"colour": "red"}, {"ball_m": 0.0}, {"ball_m": float("nan")},
        {"ball_g": float("inf")}, {"price": -1.0}, {"weight": 8}, {"balls": -1}, {"balls": 10_001},
        {"remnants": (0.0,)}, {"remnants": (1.0,) * (MOST_REMNANTS + 1)}, {"bought": "25.11.26"},
        {"notes": "x" * 1001}, {"asides": (Aside("A", 1.0), Aside("A", 2.0))}, {"uid": "x"},
    ],
)  # fmt: skip
def test_what_is_out_of_bounds_never_reaches_the_file(store, wrong):
    bad = replace(yarn(), **wrong)
    assert trouble_of(lambda: store.apply(put("Put", [bad]))) == "refused"
    assert not store.folder.exists()


def test_statements_are_never_made_of_what_was_typed(store):
    sharp = yarn("'; DROP TABLE yarn; --", lot='"', notes="%s ? :a")
    store.apply(put("Put", [sharp]))
    assert store.read().entries == (sharp,)


def test_ten_thousand_yarns(store):
    many = [yarn(f"Yarn {n}", lot=str(n % 7), remnants=(5.0,)) for n in range(10_000)]
    store.apply(put("Put", many))
    store.read()
    few = Store(store.folder.parent / "few")
    few.apply(put("Put", many[:100]))
    few.read()

    def looking(where):
        return cost_s(lambda: find(where.read().entries, Search(words="yarn 77")))

    assert looking(store) < 300 * looking(few)  # a hundred times as many
    with sqlite3.connect(store.path) as db:
        for query in (
            "SELECT id FROM yarn WHERE uid = 'x'",
            "SELECT grams FROM remnant WHERE yarn = 1 ORDER BY number",
            "SELECT grams FROM aside WHERE yarn = 1 ORDER BY number",
        ):
            plan = " ".join(row[3] for row in db.execute(f"EXPLAIN QUERY PLAN {query}"))
            assert "USING" in plan and "SCAN" not in plan, plan
    db.close()


# --- acts --------------------------------------------------------------------------------


@given(entries, st.floats(0, 1))
def test_taking_off_weighs_what_was_worked(entry, share):
    entry = replace(entry, asides=())
    grams = entry.grams * share
    if grams < 0.05:
        return
    after = acts.take_off(entry, "A", grams)
    # Each piece is kept to a hundredth of a gram and crumbs are dropped.
    assert entry.grams - after.grams == pytest.approx(grams, abs=0.06 + 0.01 * len(after.remnants))
    assert after.balls <= entry.balls
    assert checked(after)


def test_remnants_are_used_before_a_ball_is_begun():
    sea = yarn(balls=2, remnants=(30.0, 12.5))
    assert acts.take_off(sea, "A", 20).remnants == (22.5,)
    after = acts.take_off(sea, "A", 60)
    assert (after.balls, after.remnants) == (1, (32.5,))
    assert acts.take_off(sea, "A", 142.5).grams == 0


def test_what_is_put_aside_is_not_free_for_another_blanket():
    sea = acts.put_aside(yarn(balls=3), "Throw", 100)
    assert (sea.free_g, sea.for_title_g("Throw"), sea.for_title_g("Other")) == (50, 150, 50)
    with pytest.raises(ShelfError, match=r"Only 50\.0 g"):
        acts.put_aside(sea, "Other", 60)
    with pytest.raises(ShelfError, match=r"Only 50\.0 g"):
        acts.take_off(sea, "Other", 60)
    done = acts.take_off(sea, "Throw", 90)
    assert done.grams == 60 and done.asides == ()
    assert acts.give_back(sea, "Throw").free_g == 150


def test_a_remnant_is_no_heavier_than_its_ball():
    sea = yarn()
    assert acts.weigh_in(sea, 23).length_m == pytest.approx(3 * 105 + 23 * 2.1)
    for grams in (51, 0, -1, float("nan")):
        with pytest.raises(ShelfError):
            acts.weigh_in(sea, grams)


def test_a_weighed_heap_is_told_as_balls_and_a_remnant():
    with pytest.raises(ShelfError, match="count 3 more as whole and weigh in 10 g"):
        acts.weigh_in(yarn(), 160)  # a ball weighs 50 g
    with pytest.raises(ShelfError, match="count 2 more as whole; weigh without core"):
        acts.weigh_in(yarn(), 100)


# --- weight classes -----------------------------------------------------------------------


def test_weight_classes_have_one_list_of_names():
    """The names: Craft Yarn Council, "Standard Yarn Weight System" (from memory)."""
    council = ("lace", "super fine", "fine", "light", "medium", "bulky", "super bulky", "jumbo")
    assert weight_classes(vocabulary("US")) == council == WEIGHTS
    assert len(set(weight_classes(vocabulary("US", "de")))) == len(council)
    root = Path(__file__).parents[2]
    listed = [
        path.name
        for folder in ("core", "app")
        for path in (root / folder).rglob("*.py")
        if '"super bulky"' in path.read_text(encoding="utf-8")
    ]
    assert listed == ["english.py"]


# --- finding -----------------------------------------------------------------------------


def test_yarns_are_found_by_words_weight_length_and_colour():
    sea = yarn(lot="A", weight=4, place="chest")
    sky = yarn("Sky", colour="#2b7199", weight=3, balls=1)
    sand = yarn("Sand", colour="#e9d8a6", weight=4, balls=0, remnants=(10.0,))
    some = (sand, sky, sea)

    def names(**values):
        found, _ = find(some, Search(**values))
        return [one.entry.name for one in found]

    assert names() == ["Sand", "Sea", "Sky"]
    assert names(words="CHEST sea") == ["Sea"]
    assert names(weight=4) == ["Sand", "Sea"]
    assert names(least_m=22) == ["Sea", "Sky"]
    assert names(colour="#2a6f97") == ["Sea", "Sky"]
    found, far = find(some, Search(colour="#c1543c"))
    assert found == () and far is not None and far.apart > 12
    assert json.dumps(written_text(some))


def test_many_colours_at_once_are_those_of_the_library():
    colours = [
        "#000000",
        "#ffffff",
        "#2a6f97",
        "#e9d8a6",
        "#ff0000",
        "#00ff00",
        "#0000ff",
        "#0a0b0c",
    ]
    ours = cielab(np.array([rgb_of(colour) for colour in colours]) / 255)
    assert ours == pytest.approx(np.array([lab_of(colour) for colour in colours]), abs=1e-9)
