"""Shelves damaged, newer, older or gone, and the copies that bring them back."""

import sqlite3
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shelved import trouble_of, yarn

from core.records import replace
from core.shelf import schema
from core.shelf.backups import DAYS_KEPT, NEWEST_KEPT, Backup, to_drop
from core.shelf.changes import edit, put, remove
from core.shelf.entry import Aside
from core.shelf.faults import SENTENCES, ShelfError, Trouble
from core.shelf.reasons import from_sqlite
from core.shelf.store import Store


def test_a_damaged_shelf_is_kept_aside_and_the_backup_restored(store):
    sea = yarn()
    store.apply(put("Put", [sea]))
    copy = store.back_up()
    junk = b"not a shelf" * 1000
    store.path.write_bytes(junk)
    assert trouble_of(store.read) == "damaged"
    assert trouble_of(lambda: store.apply(put("Put", [yarn("Sand")]))) == "damaged"
    assert store.path.read_bytes() == junk, "left as it is"
    assert store.restore(copy).entries == (sea,)
    aside = list(store.set_aside.iterdir())
    assert [path.read_bytes() for path in aside] == [junk]


@pytest.mark.parametrize("harm", range(0, 20_000, 1_501))
def test_flipped_bytes_never_bring_anything_but_a_sentence(store, harm):
    many = [yarn(f"Yarn {n}", remnants=(4.0,), notes="n" * 200) for n in range(60)]
    store.apply(put("Put", many))
    data = bytearray(store.path.read_bytes())
    place = harm % len(data)
    data[place : place + 64] = bytes(255 - b for b in data[place : place + 64])
    store.path.write_bytes(bytes(data))
    try:
        there = store.read().entries
    except ShelfError as error:
        assert error.trouble in ("damaged", "newer")
    else:
        assert len(there) <= 60


def test_a_cut_or_emptied_shelf_is_damaged_not_empty(store):
    store.apply(put("Put", [yarn(notes="n" * 900) for _ in range(20)]))
    store.back_up()
    whole = store.path.read_bytes()
    for length in (0, 100, 4096, len(whole) // 2):
        store.path.write_bytes(whole[:length])
        assert trouble_of(Store(store.folder).read) == "damaged", length


def test_a_newer_shelf_is_left_alone(store):
    store.apply(put("Put", [yarn()]))
    db = sqlite3.connect(store.path)
    db.execute("PRAGMA user_version = 99")
    db.close()
    before = store.path.read_bytes()
    assert trouble_of(store.read) == "newer"
    assert trouble_of(lambda: store.apply(put("Put", [yarn("Sand")]))) == "newer"
    assert store.path.read_bytes() == before


@pytest.mark.parametrize(
    "strange",
    [
        "CREATE TRIGGER t AFTER DELETE ON yarn BEGIN DELETE FROM yarn; END",
        "CREATE VIEW v AS SELECT * FROM yarn",
        "CREATE TABLE more (a)",
        "ALTER TABLE yarn ADD COLUMN extra TEXT",
    ],
)
def test_a_file_with_anything_else_in_it_is_no_shelf(store, strange):
    store.apply(put("Put", [yarn()]))
    db = sqlite3.connect(store.path)
    db.execute(strange)
    db.commit()
    db.close()
    assert trouble_of(store.read) == "damaged"


@pytest.mark.parametrize(
    "value", ["name = x'ff00'", "balls = 1.5", "notes = x'00'", "ball_m = 9e999", "uid = 'zz'"]
)
def test_values_that_cannot_be_name_their_yarn(store, value):
    store.apply(put("Put", [yarn()]))
    db = sqlite3.connect(store.path)
    db.execute("PRAGMA ignore_check_constraints = ON")
    db.execute(f"UPDATE yarn SET {value}")
    db.commit()
    db.close()
    assert trouble_of(store.read) == "damaged"


# Signs that texts of the shelf could have before they followed the rules of a design's texts.
OLD_SIGNS = ["\x80", "\x85", "\x9b", "\u2028", "\u2029", "\u202a", "\u202e", "\u2066", "\u2069"]


@pytest.mark.parametrize("sign", OLD_SIGNS)
def test_an_old_shelf_with_signs_no_longer_allowed_opens_without_them(store, sign):
    sea = yarn(lot="A1", notes="two\nlines", asides=(Aside("A ripple", 20.0), Aside("B", 1.0)))
    sand = yarn("Sand")
    store.apply(put("Put", [sea, sand]))
    db = sqlite3.connect(store.path)
    with db:
        db.execute(
            "UPDATE yarn SET name = ?, lot = ?, notes = ? WHERE uid = ?",
            (f"S{sign}ea", f"{sign}A1", f"two\nli{sign}nes", sea.uid),
        )
        db.execute("UPDATE aside SET title = ? WHERE title = 'B'", (f"A{sign} ripple",))
    db.close()
    there = Store(store.folder).read().entries
    assert there[1] == sand and there[0].uid == sea.uid
    breaks = sign in "\x85\u2028\u2029"  # a line's end is told by a space, or is one in the notes
    assert there[0].name == ("S ea" if breaks else "Sea")
    assert there[0].lot == "A1"
    assert there[0].notes == ("two\nli\nnes" if breaks else "two\nlines")
    assert sum(aside.grams for aside in there[0].asides) == 21.0, "two titles may become one"
    more = replace(there[0], balls=9)
    step = edit("More", there[0], more)
    assert store.apply(step).entries[0] == more
    assert store.apply(step.taken_back()).entries == there
    copy = store.back_up()
    assert store.restore(copy).entries == there


def test_a_name_of_signs_that_show_nothing_is_told_by_them(store):
    store.apply(put("Put", [yarn()]))
    db = sqlite3.connect(store.path)
    with db:
        db.execute("UPDATE yarn SET name = ?", ("\u202e\x9b",))
    db.close()
    assert store.read().entries[0].name == "U+202E U+009B"


def test_another_programs_file_is_no_shelf(store):
    store.folder.mkdir()
    db = sqlite3.connect(store.path)
    db.execute("CREATE TABLE letters (a)")
    db.commit()
    db.close()
    assert trouble_of(store.read) == "damaged"


def test_a_vanished_shelf_is_not_quietly_begun_anew(store):
    sea = yarn()
    store.apply(put("Put", [sea]))
    copy = store.back_up()
    store.path.unlink()
    assert trouble_of(store.read) == "gone"
    assert trouble_of(lambda: store.apply(put("Put", [yarn("Sand")]))) == "gone"
    assert trouble_of(Store(store.folder).read) == "gone", "its backups tell a new window too"
    assert store.restore(copy).entries == (sea,)
    store.path.unlink()
    assert store.begin_anew().entries == ()
    sand = yarn("Sand")
    assert store.apply(put("Put", [sand])).entries == (sand,)


def test_a_write_protected_shelf_is_read_and_not_replaced(store):
    sea = yarn()
    store.apply(put("Put", [sea]))
    copy = store.back_up()
    store.path.chmod(0o444)
    assert store.read().entries == (sea,)
    assert trouble_of(lambda: store.apply(remove("Away", [sea]))) == "read-only"
    assert trouble_of(lambda: store.restore(copy)) == "read-only"
    assert trouble_of(store.begin_anew) == "read-only"


def test_every_trouble_is_one_or_two_plain_sentences_with_a_way_out():
    for trouble in Trouble.__args__:
        assert SENTENCES[trouble].endswith(".")
        assert len(SENTENCES[trouble]) < 160
    assert from_sqlite(sqlite3.DatabaseError("what")).trouble == "damaged"


# --- layouts and copies ------------------------------------------------------------------


def test_an_older_layout_is_backed_up_and_brought_up(store, monkeypatch):
    sea = yarn()
    store.apply(put("Put", [sea]))
    step = ("CREATE TABLE hook (id INTEGER PRIMARY KEY, mm REAL NOT NULL)",)
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, step))
    assert not store.backups.all()
    assert Store(store.folder).read().entries == (sea,)
    db = sqlite3.connect(store.path)
    assert db.execute("PRAGMA user_version").fetchone() == (2,)
    assert db.execute("SELECT count(*) FROM hook").fetchone() == (0,)
    db.close()
    (copy,) = store.backups.all()
    assert store.restore(copy).entries == (sea,), "an older copy is brought up as well"


def test_a_step_that_fails_leaves_the_older_layout(store, monkeypatch):
    sea = yarn()
    store.apply(put("Put", [sea]))
    steps = schema.STEPS
    monkeypatch.setattr(schema, "STEPS", (*steps, ("CREATE TABLE hook (a)", "NONSENSE")))
    with pytest.raises(ShelfError):
        Store(store.folder).read()
    monkeypatch.setattr(schema, "STEPS", steps)
    assert Store(store.folder).read().entries == (sea,)


def test_the_day_is_backed_up_before_its_first_change(store):
    moment = [datetime(2026, 11, 25, 9)]
    store._now = lambda: moment[0]
    sea = yarn()
    store.apply(put("Put", [sea]))
    assert not store.backups.all(), "nothing was there to lose"
    store.apply(edit("More", sea, replace(sea, balls=4)))
    store.apply(edit("More", replace(sea, balls=4), replace(sea, balls=5)))
    assert len(store.backups.all()) == 1
    moment[0] += timedelta(days=1)
    store.apply(edit("More", replace(sea, balls=5), replace(sea, balls=6)))
    newest, oldest = store.backups.all()
    assert newest.time.day == 26
    assert store.restore(oldest).entries == (sea,)
    assert len(store.backups.all()) == 3, "what the restoring replaced was kept"


def test_a_copy_that_is_not_sound_is_not_restored(store):
    sea = yarn()
    store.apply(put("Put", [sea]))
    copy = store.back_up()
    copy.path.write_bytes(copy.path.read_bytes()[:5000])
    assert trouble_of(lambda: store.restore(copy)) == "damaged"
    assert store.read().entries == (sea,)


def test_a_copy_with_a_remnant_of_no_yarn_is_not_restored(store):
    """The shelf would be refused with it, so the copy is before anything is replaced."""
    sea = yarn(remnants=(4.0,))
    store.apply(put("Put", [sea]))
    copy = store.back_up()
    db = sqlite3.connect(copy.path)
    db.execute("DELETE FROM yarn")  # foreign keys aren't looked after unless asked for
    db.commit()
    db.close()
    assert trouble_of(lambda: store.restore(copy)) == "damaged"
    assert store.read().entries == (sea,)


@given(st.lists(st.integers(0, 60 * 24 * 60), unique=True, max_size=60))
def test_the_newest_copies_and_one_of_each_day_stay(minutes):
    start = datetime(2026, 1, 1)
    copies = sorted(
        (Backup(Path(str(m)), start + timedelta(minutes=m)) for m in minutes),
        key=lambda copy: copy.time, reverse=True,
    )  # fmt: skip
    left = [copy for copy in copies if copy not in to_drop(copies)]
    assert left[:NEWEST_KEPT] == copies[:NEWEST_KEPT]
    days = sorted({copy.time.date() for copy in copies}, reverse=True)[:DAYS_KEPT]
    assert set(days) <= {copy.time.date() for copy in left}
    assert len(left) <= NEWEST_KEPT + DAYS_KEPT
    assert not to_drop(left)
