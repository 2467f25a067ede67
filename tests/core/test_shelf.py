"""The shelf: what is kept survives, what is changed is changed whole, and lists are open."""

import contextlib
import csv
import io
import json
import sqlite3
import subprocess
import sys
import time
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from core.design import disk
from core.palette.sight import lab_of
from core.palette.spaces import cielab, rgb_of
from core.shelf import acts, schema
from core.shelf.backups import DAYS_KEPT, NEWEST_KEPT, Backup, to_drop
from core.shelf.changes import Change, edit, put, remove
from core.shelf.entry import MOST_REMNANTS, Aside, Entry, checked, identity, new_uid
from core.shelf.faults import SENTENCES, ShelfError, Trouble
from core.shelf.finding import Search, find
from core.shelf.merging import differences, merged
from core.shelf.reasons import from_sqlite
from core.shelf.store import Store
from core.shelf.table import COLUMNS, read_table, table_text
from core.shelf.written import read_written, written_text


def yarn(name="Sea", **values):
    usual = {"colour": "#2a6f97", "ball_m": 105.0, "ball_g": 50.0, "balls": 3}
    return Entry(uid=new_uid(), name=name, **{**usual, **values})


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "shelf", wait_s=0.05)


def trouble_of(act):
    with pytest.raises(ShelfError) as caught:
        act()
    assert str(caught.value).endswith(".")
    return caught.value.trouble


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

    def seconds(act):
        best = float("inf")
        for _ in range(3):
            begun = time.perf_counter()
            act()
            best = min(best, time.perf_counter() - begun)
        return best

    assert seconds(lambda: find(store.read().entries, Search(words="yarn 77"))) < 2.0
    with sqlite3.connect(store.path) as db:
        for query in (
            "SELECT id FROM yarn WHERE uid = 'x'",
            "SELECT grams FROM remnant WHERE yarn = 1 ORDER BY number",
            "SELECT grams FROM aside WHERE yarn = 1 ORDER BY number",
        ):
            plan = " ".join(row[3] for row in db.execute(f"EXPLAIN QUERY PLAN {query}"))
            assert "USING" in plan and "SCAN" not in plan, plan
    db.close()


# --- a model of it -----------------------------------------------------------------------

printed = st.characters(codec="utf-8", exclude_categories=("Cc", "Cs"))
names = (st.text(printed, min_size=1, max_size=12).map(str.strip)
         .filter(lambda text: text and text.isprintable()))  # fmt: skip
grams = st.floats(0.1, 500, allow_nan=False).map(lambda g: round(g, 2))
entries = st.builds(
    Entry,
    uid=st.uuids().map(lambda uid: uid.hex),
    name=names,
    colour=st.integers(0, 0xFFFFFF).map(lambda n: f"#{n:06x}"),
    ball_m=st.floats(1, 1000),
    ball_g=st.floats(1, 1000),
    fibre=st.sampled_from(["", "wool", "=1+1", "'quoted"]),
    weight=st.none() | st.integers(0, 7),
    lot=st.sampled_from(["", "A1", "-3", "a; b, c"]),
    price=st.none() | st.floats(0, 100),
    currency=st.sampled_from(["", "EUR"]),
    balls=st.integers(0, 30),
    remnants=st.lists(grams, max_size=4).map(tuple),
    place=st.just("chest"),
    bought=st.sampled_from(["", "2026-11-25"]),
    notes=st.sampled_from(["", "two\nlines", '"quoted", with commas', "@here"]),
    asides=st.lists(st.builds(Aside, st.sampled_from(["A", "B"]), grams), max_size=2,
                    unique_by=lambda a: a.title).map(tuple),
)  # fmt: skip


class ShelfMachine(RuleBasedStateMachine):
    """Two windows on one shelf do what they like; a dict says what must be there."""

    @initialize(folder=st.uuids())
    def begin(self, folder):
        import tempfile

        self.place = tempfile.TemporaryDirectory()
        self.moment = datetime(2026, 1, 1)
        where = Path(self.place.name) / folder.hex
        self.windows = [Store(where, now=lambda: self.moment) for _ in range(2)]
        self.model: dict[str, Entry] = {}
        self.done: list[Change] = []
        self.copies: list[tuple[Backup, dict[str, Entry]]] = []

    def do(self, window, change):
        self.windows[window].apply(change)
        for uid in change.uids:
            self.model.pop(uid, None)
        self.model.update(change.after)

    @rule(window=st.integers(0, 1), new=entries)
    def put_one(self, window, new):
        change = put("Put", [new])
        if new.uid not in self.model:
            self.do(window, change)
            self.done.append(change)

    @rule(window=st.integers(0, 1), pick=st.randoms(use_true_random=False), like=entries)
    def change_one(self, window, pick, like):
        if self.model:
            old = self.model[pick.choice(sorted(self.model))]
            change = edit("Change", old, replace(like, uid=old.uid))
            self.do(window, change)
            self.done.append(change)

    @rule(window=st.integers(0, 1), pick=st.randoms(use_true_random=False))
    def take_away(self, window, pick):
        if self.model:
            change = remove("Away", [self.model[pick.choice(sorted(self.model))]])
            self.do(window, change)
            self.done.append(change)

    @rule(window=st.integers(0, 1))
    def undo(self, window):
        if self.done:
            change = self.done.pop()
            fits = all(self.model.get(uid) == change.after.get(uid) for uid in change.uids)
            if fits:
                self.do(window, change.taken_back())
            else:
                with pytest.raises(ShelfError):
                    self.windows[window].apply(change.taken_back())

    @rule(window=st.integers(0, 1), days=st.integers(0, 2))
    def back_up(self, window, days):
        self.moment += timedelta(days=days, seconds=1)
        if self.model:
            copy = self.windows[window].back_up()
            self.copies.append((copy, dict(self.model)))

    @rule(window=st.integers(0, 1))
    def restore(self, window):
        self.moment += timedelta(seconds=1)
        copies = [(copy, was) for copy, was in self.copies if copy.path.exists()]
        if copies:
            copy, was = copies[-1]
            self.windows[window].restore(copy)
            self.model = dict(was)
            self.done.clear()

    @invariant()
    def both_windows_agree_with_the_model(self):
        for store in getattr(self, "windows", ()):
            assert {entry.uid: entry for entry in store.read().entries} == self.model

    def teardown(self):
        if hasattr(self, "place"):
            self.place.cleanup()


TestShelfMachine = ShelfMachine.TestCase
TestShelfMachine.settings = settings(
    max_examples=8, stateful_step_count=15, deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip


# --- everything fails in turn ------------------------------------------------------------


class Failing(sqlite3.Connection):
    """Fails at the statement or commit numbered `at`, as a disk or a drive does."""

    at, count, code = -1, 0, sqlite3.SQLITE_FULL

    def _next(self):
        number, Failing.count = Failing.count, Failing.count + 1
        if number == Failing.at:
            error = sqlite3.OperationalError("injected")
            error.sqlite_errorcode = Failing.code
            raise error

    def execute(self, *args):
        self._next()
        return super().execute(*args)

    def executemany(self, *args):
        self._next()
        return super().executemany(*args)

    def backup(self, *args, **kw):
        self._next()
        return super().backup(*args, **kw)


def failing(*args, **kw):
    return sqlite3.connect(*args, factory=Failing, **kw)


@pytest.mark.parametrize(
    ("code", "trouble"),
    [
        (sqlite3.SQLITE_FULL, "full"), (sqlite3.SQLITE_IOERR, "away"),
        (sqlite3.SQLITE_READONLY, "read-only"), (sqlite3.SQLITE_BUSY, "locked"),
        (sqlite3.SQLITE_CORRUPT, "damaged"), (sqlite3.SQLITE_IOERR | (3 << 8), "away"),
    ],
)  # fmt: skip
def test_whichever_statement_fails_the_shelf_is_as_it_was_or_as_wished(tmp_path, code, trouble):
    sea, sand = yarn(remnants=(4.0,)), yarn("Sand")
    change = Change("Both", {sea.uid: sea}, {sea.uid: replace(sea, balls=9), sand.uid: sand})
    Failing.code = code
    for at in range(200):
        where = tmp_path / str(at)
        Store(where).apply(put("Put", [sea]))
        Failing.at, Failing.count = at, 0
        store = Store(where, connect=failing)
        said = None
        try:
            outcome = store.apply(change)
        except ShelfError as error:
            said = error
        Failing.at = -1
        there = Store(where).read().entries
        after = (replace(sea, balls=9), sand)
        if said is None:
            assert there == after == outcome.entries
        else:
            assert there in ((sea,), after), at  # reading it again may fail after the change
            assert said.trouble == trouble
            assert "injected" not in str(said)
        if Failing.count <= at:
            break
    assert at > 20


def test_each_statement_of_the_first_use_may_fail(tmp_path):
    sea = yarn()
    Failing.code = sqlite3.SQLITE_FULL
    for at in range(100):
        where = tmp_path / str(at)
        Failing.at, Failing.count = at, 0
        with contextlib.suppress(ShelfError):
            Store(where, connect=failing).apply(put("Put", [sea]))
        reached = Failing.count > at
        Failing.at = -1
        store = Store(where)
        if not store.read().entries:
            store.apply(put("Put", [sea]))
        assert store.read().entries == (sea,)
        if not reached:
            break
    assert at > 10


KILL = """
import os, signal, sqlite3, sys
sys.path.insert(0, {root!r})
from pathlib import Path
from core.shelf.store import Store
from core.shelf.changes import put
from core.shelf.entry import Entry

class Killed(sqlite3.Connection):
    count = 0
    def step(self):
        Killed.count += 1
        if Killed.count > {at}:
            os.kill(os.getpid(), signal.SIGKILL)
    def execute(self, *args):
        found = super().execute(*args)
        self.step()
        return found
    def executemany(self, *args):
        self.step()
        return super().executemany(*args)

def connect(*args, **kw):
    db = sqlite3.connect(*args, factory=Killed, **kw)
    db.cursor().execute("PRAGMA cache_size = 2")  # so that pages reach the file before the end
    return db

new = [Entry(uid=f"{{n:032x}}", name=f"Yarn {{n}}", colour="#123456", ball_m=100.0, ball_g=50.0,
             notes="x" * 900) for n in range(60)]
Store(Path({where!r}), connect=connect).apply(put("Put", new))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="nothing is killed like this")
@pytest.mark.parametrize("at", [6, 12, 40, 120, 200, 258, 270, 300])
def test_a_window_killed_in_the_middle_leaves_a_whole_shelf(tmp_path, at):
    sea = yarn()
    where = tmp_path / "shelf"
    Store(where).apply(put("Put", [sea]))
    root = str(Path(__file__).parents[2])
    code = KILL.format(root=root, at=at, where=str(where))
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, timeout=60)
    assert done.returncode in (0, -9), done.stderr
    there = Store(where).read().entries
    assert there[0] == sea
    assert len(there) in (1, 61)
    if 40 <= at <= 200:
        assert done.returncode == -9 and len(there) == 1
    Store(where).apply(put("Put", [yarn("Sand")]))


def test_a_full_disk_is_said_and_harms_nothing(store, monkeypatch):
    sea = yarn()
    store.apply(put("Put", [sea]))

    def full(path, data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(disk, "write_whole", full)
    assert trouble_of(store.back_up) == "full"
    store._now = lambda: datetime.now() + timedelta(days=1)
    outcome = store.apply(edit("More", sea, replace(sea, balls=4)))
    assert outcome.entries[0].balls == 4
    assert outcome.note.startswith("The day's backup couldn't be made")


def test_a_real_full_database_is_said_to_be(store):
    sea = yarn()
    store.apply(put("Put", [sea]))

    def small(*args, **kw):
        db = sqlite3.connect(*args, **kw)
        db.execute("PRAGMA max_page_count = 8")
        return db

    tight = Store(store.folder, connect=small)
    many = [yarn(f"Y{n}", notes="x" * 900) for n in range(100)]
    assert trouble_of(lambda: tight.apply(put("Put", many))) == "full"
    assert store.read().entries == (sea,)


# --- damaged, newer, gone ----------------------------------------------------------------


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


@pytest.mark.parametrize(
    "call",
    ["write_whole", "move", "make_folder", "read_at_most", "names_in", "size_of",
     "is_write_protected"],
)  # fmt: skip
def test_whichever_file_call_fails_a_restoring_loses_nothing(tmp_path, monkeypatch, call):
    """The damaged file, the copy and the way back stay, at whichever of its calls it ends."""
    sea, junk = yarn(), b"not a shelf" * 1000
    real = getattr(disk, call)
    for at in range(30):
        store = Store(tmp_path / f"{call}{at}")
        store.apply(put("Put", [sea]))
        copy = store.back_up()
        store.path.write_bytes(junk)
        count = [0]

        def fails(*args, at=at, count=count):
            count[0] += 1
            if count[0] == at + 1:
                raise OSError(5, "Input/output error")
            return real(*args)

        monkeypatch.setattr(disk, call, fails)
        said = None
        try:
            store.restore(copy)
        except ShelfError as error:
            said = error.trouble
        monkeypatch.setattr(disk, call, real)
        held = [path.read_bytes() for path in store.folder.rglob("*") if path.is_file()]
        assert junk in held, at
        assert store.backups.yarns_in(copy) == 1
        assert said in (None, "away", "damaged")
        anew = Store(store.folder)
        assert anew.restore(copy).entries == (sea,)
        if count[0] <= at:
            break
    assert at >= 1


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


# --- lists -------------------------------------------------------------------------------


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(entries, max_size=6, unique_by=identity))
def test_a_shelf_written_out_and_taken_in_is_the_same(some):
    for read, text in ((read_table, table_text(some)), (read_written, written_text(some))):
        changes = differences(some, read(text))
        assert [difference.kind for difference in changes] == ["same"] * len(some)
        anew = differences((), read(text))
        assert [difference.kind for difference in anew] == ["new"] * len(some)
        made = merged("Take", anew).after
        kept = [made[entry.uid] for entry in some]
        if read is read_table:  # what is put aside isn't in the table
            kept = [replace(new, asides=old.asides) for new, old in zip(kept, some, strict=True)]
        assert kept == some


@given(st.lists(entries, min_size=1, max_size=4))
def test_no_cell_of_the_table_is_a_formula(some):
    table = list(csv.reader(io.StringIO(table_text(some), newline="")))
    assert table[0] == list(COLUMNS)
    for cells in table[1:]:
        assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) for cell in cells)


def test_a_table_with_semicolons_and_commas_is_read():
    (line,) = read_table("name;colour;metres_per_ball;remnants_g\r\nSea;#2A6F97;105,5;12,5 + 3\r\n")
    new = line.as_new()
    assert (new.ball_m, new.remnants, new.colour) == (105.5, (12.5, 3.0), "#2a6f97")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "no column"), ("name\nSea", '"colour"'), ("name,colour,size\nSea,#123456,3", '"size"'),
        ("name,colour,name\nSea,#123456,x", "twice"), ("name,colour\nSea", "Line 2 has 1"),
        ("name,colour\nSea,blue", "Line 2: Sea"), ("name,colour,balls\nSea,#123456,1.5", "1.5"),
        ("name,colour,balls\nSea,#123456,nan", "nan"),
        ("name,colour,metres_per_ball\nSea,#123456,inf", "from 0.1"),
        ("name,colour,price_per_ball\nSea,#123456,1e999", "from 0"),
        ('name,colour\n"Sea,#123456', "Line 2"), ("name,colour,id\nSea,#123456,zz", "its id"),
    ],
)  # fmt: skip
def test_a_table_that_is_none_names_its_line(text, told):
    with pytest.raises(ShelfError) as caught:
        differences((), read_table(text))
    assert told in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "", "[]", "{}", "[" * 100_000, '{"format": "dipslope-shelf", "version": 2, "yarns": []}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": 3}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [3]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": 3}]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"nam": "Sea"}]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": "Sea", "colour": "#123456",'
        ' "ball_m": NaN}]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": "Sea", "colour": "#123456",'
        ' "balls": true}]}',
        '{"format": "dipslope-shelf", "version": 1, "yarns": [{"name": "S", "colour": "#123456",'
        ' "remnants": [{}]}]}',
    ],
)  # fmt: skip
def test_a_list_that_is_none_is_refused(text):
    with pytest.raises(ShelfError):
        read_written(text)


def test_a_list_taken_twice_changes_nothing_the_second_time(store):
    text = "name,colour,dye_lot,balls\nSea,#2a6f97,A,3\nSea,#2a6f97,B,2\n"
    first = differences((), read_table(text))
    there = store.apply(merged("Take", first)).entries
    again = differences(there, read_table(text))
    assert [difference.kind for difference in again] == ["same", "same"]
    more = differences(there, read_table("name,colour,dye_lot,balls\nSEA ,#2A6F97,a,5\n"))
    assert [(d.kind, d.fields) for d in more] == [("changed", ("name", "lot", "balls"))]


def test_one_yarn_twice_in_a_list_is_told_by_both_lines():
    with pytest.raises(ShelfError, match="Line 2 and Line 3"):
        differences((), read_table("name,colour\nSea,#2a6f97\nsea,#2a6f97\n"))


def test_a_yarn_that_would_stand_there_twice_is_not_taken():
    a, b = yarn(lot="A"), yarn(lot="B")
    (found,) = differences((a, b), read_table(f"name,colour,dye_lot,id\nSea,#2a6f97,B,{a.uid}\n"))
    assert found.kind == "twice" and not found.can_be_taken
    assert merged("Take", [found]).is_empty
    twins = (yarn(), yarn())
    (found,) = differences(twins, read_table("name,colour\nSea,#2a6f97\n"))
    assert found.kind == "twice"


def test_a_column_left_out_leaves_what_is_there(store):
    sea = yarn(notes="kept", remnants=(4.0,), asides=(Aside("A", 1.0),), price=3.0)
    (found,) = differences((sea,), read_table("name,colour,balls\nSea,#2a6f97,7\n"))
    assert found.after == replace(sea, balls=7)


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
    assert ours == pytest.approx(np.array([lab_of(colour) for colour in colours]), abs=2e-3)
