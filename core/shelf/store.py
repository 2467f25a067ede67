"""The shelf's file: read and changed as a whole or not at all.

The file is opened for every act and closed after it, so it holds no lock while somebody thinks,
and a drive may come and go. A rollback journal is used, not a write-ahead log: the log needs
memory shared by all its users and so "does not work over a network filesystem"
(https://www.sqlite.org/wal.html), and homes often lie on one. Writes are few and small, so
every one waits until it is on disk (`synchronous = EXTRA`).
"""

import contextlib
import sqlite3
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Final

from core.design import disk
from core.records import Struct
from core.shelf import lines, schema
from core.shelf.backups import MOST_BYTES, Backup, Backups
from core.shelf.changes import Change
from core.shelf.entry import MOST_YARNS, Entry, checked
from core.shelf.faults import ShelfError
from core.shelf.reasons import from_sqlite, from_system, no_backup_today

Connect = Callable[..., sqlite3.Connection]

NAME: Final = "shelf.sqlite"
WAIT_S: Final = 2.0
MOST_ASIDE: Final = 10  # unreadable shelves kept
_LONGEST_VALUE: Final = 100_000
_BESIDE: Final = ("-journal", "-wal", "-shm")  # files the library keeps beside its own


class Outcome(Struct, frozen=True):
    """The shelf as it is after an act, and a sentence if something beside it went wrong."""

    entries: tuple[Entry, ...]
    note: str = ""


class Store:
    """The shelf in a folder; nothing is made there until a yarn is put on it."""

    def __init__(
        self,
        folder: Path,
        *,
        connect: Connect = sqlite3.connect,
        now: Callable[[], datetime] = datetime.now,
        wait_s: float = WAIT_S,
    ) -> None:
        self.folder = folder
        self.path = folder / NAME
        self.backups = Backups(folder / "backups", connect=connect)
        self.set_aside = folder / "aside"
        self._connect, self._now, self._wait_s = connect, now, wait_s
        self._was_there = False
        self._may_begin = False
        self._known: lines.Known = {}

    # what anybody asks for

    def read(self) -> Outcome:
        """Return what is on the shelf, once its file has been looked over.

        Raises:
            ShelfError: It can't be read.
        """
        with _told():
            if not self._is_there():
                return Outcome(())
            with self._opened() as db:
                return Outcome(self._looked_over(db))

    def apply(self, change: Change) -> Outcome:
        """Make a change and return what is on the shelf then.

        Raises:
            ShelfError: It can't be made; then nothing was changed.
        """
        for entry in change.after.values():
            checked(entry)
        with _told():
            is_there = self._is_there()
            if is_there and disk.is_write_protected(self.path):
                raise ShelfError("read-only")
            note = ""
            if not is_there:
                disk.make_folder(self.folder)
            with self._opened(make=not is_there) as db:
                if is_there:
                    note = self._back_up_today(db)
                with _transaction(db):
                    for uid in change.uids:
                        if lines.one_entry(db, uid) != change.before.get(uid):
                            raise ShelfError("changed")
                    for uid in change.uids:
                        lines.write(db, uid, change.before.get(uid), change.after.get(uid))
                    if lines.count(db) > MOST_YARNS:
                        raise ShelfError("refused", f"A shelf holds {MOST_YARNS:,} yarns at most.")
                self._was_there, self._may_begin = True, False
                return Outcome(lines.all_entries(db, self._known), note)

    def back_up(self) -> Backup:
        """Keep a copy of the shelf as it is.

        Raises:
            ShelfError: It can't be read, or the copy not written.
        """
        with _told():
            if not self._is_there():
                raise ShelfError("refused", "There is nothing on the shelf yet to back up.")
            with self._opened() as db:
                self._looked_over(db)
                return self.backups.make(db, self._now())

    def restore(self, backup: Backup) -> Outcome:
        """Put a backup in place of the shelf; what is there is backed up or kept aside first.

        Raises:
            ShelfError: It can't be done; then nothing was changed.
        """
        with _told():
            self.backups.yarns_in(backup)
            if _exists(self.path) and self._backed_up(keep=backup):
                with self._opened() as db:
                    self.backups.into(backup, db)
            else:
                disk.make_folder(self.folder)
                new = self.folder / f"restored-{NAME}"
                disk.write_whole(new, self.backups.data(backup))  # a full disk shows here
                self._put_aside()
                disk.move(new, self.path)
            self._was_there, self._may_begin = True, False
        return self.read()

    def begin_anew(self) -> Outcome:
        """Begin an empty shelf; what is there is backed up or kept aside first.

        Raises:
            ShelfError: It can't be done.
        """
        with _told():
            if _exists(self.path):
                self._backed_up()
                self._put_aside()
            self._was_there, self._may_begin = False, True
        return Outcome(())

    # opening

    def _is_there(self) -> bool:
        """Return whether there is a shelf.

        Raises:
            ShelfError: There was one, and it is gone.
        """
        if _exists(self.path):
            return True
        if self._may_begin:
            return False
        if self._was_there or self.backups.all():
            raise ShelfError("gone")
        return False

    @contextlib.contextmanager
    def _opened(self, *, make: bool = False) -> Iterator[sqlite3.Connection]:
        if disk.size_of(self.path) > MOST_BYTES:
            raise ShelfError("damaged", "This file is too big to be a shelf; it was left as it is.")
        mode = "rwc" if make else "rw"
        db = self._connect(
            f"{self.path.absolute().as_uri()}?mode={mode}",
            uri=True,
            timeout=self._wait_s,
            isolation_level=None,  # transactions are begun and ended here
        )
        try:
            db.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _LONGEST_VALUE)
            db.execute("PRAGMA trusted_schema = OFF")
            db.execute("PRAGMA foreign_keys = ON")
            db.execute("PRAGMA synchronous = EXTRA")
            db.execute("PRAGMA temp_store = MEMORY")
            version = schema.version_of(db)
            if version < schema.newest():
                self._bring_up(db, version, make=make)
            yield db
        except UnicodeError as error:  # the library's own message quotes a damaged name
            raise ShelfError("damaged") from error
        finally:
            db.close()

    def _bring_up(self, db: sqlite3.Connection, version: int, *, make: bool) -> None:
        """Bring a file up to this program's version; an older one is backed up before that."""
        if version == 0 and not make and (self._was_there or self.backups.all()):
            raise ShelfError("damaged")  # it was emptied
        if version == 0:
            db.execute("PRAGMA journal_mode = DELETE")
        else:
            if disk.is_write_protected(self.path):
                raise ShelfError("read-only")
            self.backups.make(db, self._now())
        with _transaction(db):
            version = schema.version_of(db)  # another window may have been quicker
            if version < schema.newest():
                schema.bring_up(db, version)

    def _looked_over(self, db: sqlite3.Connection) -> tuple[Entry, ...]:
        """Return what is there, read at one moment, once the file was found sound."""
        db.execute("BEGIN")
        try:
            schema.look_over(db, thoroughly=False)
            entries = lines.all_entries(db, self._known)
        finally:
            if db.in_transaction:
                db.execute("ROLLBACK")
        self._was_there = True
        return entries

    # keeping what is there

    def _back_up_today(self, db: sqlite3.Connection) -> str:
        """Back up before the first change of a day; return what went wrong, if anything did.

        A change isn't held up by it. The sentence is only said once the change has been made.
        """
        now = self._now()
        try:
            if lines.count(db) and not any(
                backup.time.date() == now.date() for backup in self.backups.all()
            ):
                self.backups.make(db, now)
        except (ShelfError, OSError, sqlite3.Error) as error:
            return no_backup_today(error)
        return ""

    def _backed_up(self, *, keep: Backup | None = None) -> bool:
        """Back up the shelf that is there; False if it can't be read and is to be put aside.

        The backup `keep` doesn't make way for the new one.

        Raises:
            ShelfError: It could be read, but not just now.
        """
        if disk.is_write_protected(self.path):
            raise ShelfError("read-only")
        try:
            with self._opened() as db:
                self._looked_over(db)
                self.backups.make(db, self._now(), keep=keep)
        except (ShelfError, sqlite3.Error) as error:
            trouble = error if isinstance(error, ShelfError) else from_sqlite(error)
            if trouble.trouble not in ("damaged", "newer"):
                raise trouble from None
            return False
        return True

    def _put_aside(self) -> None:
        """Move the shelf's file, if there is one, to where it can be looked at later."""
        if not _exists(self.path):
            return
        # The journal goes after its file: without it the library would take it for a crash's.
        disk.make_folder(self.set_aside)
        stem = f"shelf-{self._now():%Y-%m-%d-%H%M%S-%f}"
        for ending in ("", *_BESIDE):
            old = self.path.with_name(NAME + ending)
            if _exists(old):
                disk.move(old, self.set_aside / f"{stem}.sqlite{ending}")
        for name in self._old_asides():
            disk.remove(self.set_aside / name)

    def _old_asides(self) -> list[str]:
        """Return the files kept aside beyond the newest few."""
        names = [n for n in disk.names_in(self.set_aside) if n.startswith("shelf-")]
        old = set(sorted({name.partition(".")[0] for name in names})[:-MOST_ASIDE])
        return [name for name in names if name.partition(".")[0] in old]


def _exists(path: Path) -> bool:
    return path.name in disk.names_in(path.parent)


@contextlib.contextmanager
def _transaction(db: sqlite3.Connection) -> Iterator[None]:
    db.execute("BEGIN IMMEDIATE")
    try:
        yield
        db.execute("COMMIT")
    except BaseException:
        if db.in_transaction:
            with contextlib.suppress(sqlite3.Error):
                db.execute("ROLLBACK")
        raise


@contextlib.contextmanager
def _told() -> Iterator[None]:
    """Say what went wrong in one sentence."""
    try:
        yield
    except sqlite3.Error as error:
        raise from_sqlite(error) from error
    except OSError as error:
        raise from_system(error) from error
