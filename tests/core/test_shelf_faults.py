"""Every statement and every call of the shelf fails in turn: nothing is lost, and it is said."""

import contextlib
import errno
import sqlite3
import subprocess
import sys
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path

import pytest
from shelved import trouble_of, yarn

from core.design import disk
from core.records import replace
from core.shelf.backups import NEWEST_KEPT
from core.shelf.changes import Change, edit, put
from core.shelf.faults import ShelfError
from core.shelf.store import Store


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
    assert outcome.note.startswith("The change is kept, but the day's backup couldn't be made")


def _raising(number):
    def fails(*args):
        raise OSError(number, "injected")

    return fails


@pytest.mark.parametrize(
    ("call", "number", "told"),
    [
        ("write_whole", errno.ENOSPC, "the disk is full"),
        ("write_whole", errno.EACCES, "can't be written to"),
        ("make_folder", errno.EROFS, "can't be written to"),
        ("write_whole", errno.EIO, "can't be reached"),
    ],
)
def test_why_the_days_backup_failed_is_said_as_it_is(store, monkeypatch, call, number, told):
    sea = yarn()
    store.apply(put("Put", [sea]))
    monkeypatch.setattr(disk, call, _raising(number))
    more = replace(sea, balls=4)
    outcome = store.apply(edit("More", sea, more))
    assert told in outcome.note and "The change is kept" in outcome.note
    assert "Nothing was changed" not in outcome.note, "for the yarn was"
    assert outcome.entries == Store(store.folder).read().entries == (more,)


def test_a_copy_that_cannot_be_read_again_is_thrown_away_and_the_shelf_said_to_be_there(
    store, monkeypatch
):
    sea = yarn()
    store.apply(put("Put", [sea]))
    whole = disk.write_whole
    monkeypatch.setattr(disk, "write_whole", lambda path, data: whole(path, data[:5000]))
    outcome = store.apply(edit("More", sea, replace(sea, balls=4)))
    assert "the copy couldn't be read again and was thrown away" in outcome.note
    assert "Choose another" not in outcome.note and "disk is full" not in outcome.note
    assert not store.backups.all()
    with pytest.raises(ShelfError, match=r"thrown away\. The shelf is as it was"):
        store.back_up()


@pytest.mark.parametrize(
    ("code", "told"),
    [(sqlite3.SQLITE_BUSY, "another program"), (sqlite3.SQLITE_IOERR, "couldn't be read whole")],
)
def test_a_shelf_that_cannot_be_read_for_its_copy_is_said_to_be_the_trouble(store, code, told):
    class Unread(sqlite3.Connection):
        def backup(self, *args, **kw):
            error = sqlite3.OperationalError("injected")
            error.sqlite_errorcode = code
            raise error

    sea = yarn()
    store.apply(put("Put", [sea]))
    other = Store(store.folder, connect=partial(sqlite3.connect, factory=Unread))
    outcome = other.apply(edit("More", sea, replace(sea, balls=4)))
    assert told in outcome.note and "disk is full" not in outcome.note


def test_an_old_copy_that_cannot_be_removed_is_no_failed_backup(store, monkeypatch):
    moment = [datetime(2026, 11, 25, 9)]
    store._now = lambda: moment[0]
    sea = yarn()
    store.apply(put("Put", [sea]))
    for _ in range(NEWEST_KEPT):
        store.back_up()
    monkeypatch.setattr(disk, "remove", _raising(errno.EACCES))
    assert store.back_up() in store.backups.all()
    moment[0] += timedelta(days=1)
    assert store.apply(edit("More", sea, replace(sea, balls=4))).note == ""


def test_the_oldest_backup_can_be_put_back_again_and_again(store):
    sea, sand = yarn(), yarn("Sand")
    store.apply(put("Put", [sea]))
    oldest = store.back_up()
    store.apply(put("Put", [sand]))
    for _ in range(NEWEST_KEPT + 1):  # each backs up what is there, and old ones make way
        assert store.restore(oldest).entries == (sea,)
    assert oldest in store.backups.all()


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
