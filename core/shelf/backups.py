"""Copies of the shelf, made by the library's own way so that a copy is never half a change.

A copy is made in memory, written as a whole, opened again and checked; only then does it count.
"""

import contextlib
import sqlite3
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from core.design import disk
from core.records import Struct
from core.shelf import lines, schema
from core.shelf.faults import ShelfError

NEWEST_KEPT: Final = 5
DAYS_KEPT: Final = 14
"""The newest copies are kept, and the last one of so many days (our own choice)."""

_STAMP: Final = "%Y-%m-%d-%H%M%S"
_LEAD: Final = "shelf-"
_ENDING: Final = ".sqlite"
MOST_BYTES: Final = 256 * 2**20


class Backup(Struct, frozen=True):
    """A copy and when it was made."""

    path: Path
    time: datetime


class Backups:
    """The copies in a folder; it is made with the first one."""

    def __init__(
        self, folder: Path, *, connect: Callable[..., sqlite3.Connection] = sqlite3.connect
    ) -> None:
        self.folder = folder
        self._connect = connect

    def all(self) -> tuple[Backup, ...]:
        """Return the copies there are, newest first.

        Raises:
            OSError: The folder can't be looked into.
        """
        found = []
        for name in disk.names_in(self.folder):
            stamp = name.removeprefix(_LEAD).removesuffix(_ENDING)
            if f"{_LEAD}{stamp}{_ENDING}" == name:
                with contextlib.suppress(ValueError):
                    found.append(Backup(self.folder / name, datetime.strptime(stamp, _STAMP)))
        return tuple(sorted(found, key=lambda backup: backup.time, reverse=True))

    def make(self, db: sqlite3.Connection, now: datetime, *, keep: Backup | None = None) -> Backup:
        """Copy an open shelf; no copy of the same second is replaced.

        Old copies make way, all but `keep`, which is about to be put back.

        Raises:
            ShelfError: The copy doesn't open again; then it is thrown away.
            OSError: It can't be written.
            sqlite3.Error: The shelf can't be read.
        """
        copy = sqlite3.connect(":memory:")
        try:
            db.backup(copy)
            data = copy.serialize()
        finally:
            copy.close()
        disk.make_folder(self.folder)
        times = {backup.time for backup in self.all()}
        now = now.replace(microsecond=0)
        while now in times:
            now += timedelta(seconds=1)
        backup = Backup(self.folder / f"{_LEAD}{now.strftime(_STAMP)}{_ENDING}", now)
        disk.write_whole(backup.path, data)
        try:
            self.yarns_in(backup)
        except BaseException as error:
            disk.remove(backup.path)
            if isinstance(error, ShelfError):
                raise ShelfError("damaged", _COPY_UNSOUND) from error
            raise
        with contextlib.suppress(OSError):  # the new copy counts; old ones go with the next
            for old in to_drop(self.all()):
                if keep is None or old.path != keep.path:
                    disk.remove(old.path)
        return backup

    def yarns_in(self, backup: Backup) -> int:
        """Return how many yarns a copy holds, once it was opened and checked.

        Raises:
            ShelfError: It isn't sound.
        """
        if disk.size_of(backup.path) > MOST_BYTES:
            raise ShelfError("damaged", "This copy is too big to be a shelf.")
        try:
            with contextlib.closing(self._opened(backup)) as db:
                schema.version_of(db)
                schema.look_over(db, thoroughly=True)
                return lines.count(db)
        except (sqlite3.Error, UnicodeError, ShelfError) as error:
            if isinstance(error, ShelfError) and error.trouble == "newer":
                raise
            raise ShelfError("damaged", _UNSOUND) from error

    def data(self, backup: Backup) -> bytes:
        """Return a checked copy as it is to stand in the shelf's place.

        Raises:
            ShelfError: It isn't sound.
            OSError: It can't be read.
        """
        self.yarns_in(backup)
        return disk.read_at_most(backup.path, MOST_BYTES)

    def into(self, backup: Backup, db: sqlite3.Connection) -> None:
        """Put a checked copy into an open shelf, as one change that other windows wait for.

        Raises:
            ShelfError: The copy isn't sound.
            sqlite3.Error: It can't be read, or the shelf not written; the shelf is as it was.
        """
        self.yarns_in(backup)
        with contextlib.closing(self._opened(backup)) as copy:
            copy.backup(db)

    def _opened(self, backup: Backup) -> sqlite3.Connection:
        # "immutable" keeps the library from looking for a journal and from writing any file.
        uri = f"{backup.path.absolute().as_uri()}?mode=ro&immutable=1"
        return self._connect(uri, uri=True, isolation_level=None)


_UNSOUND: Final = "This backup can't be read. Choose another one."
_COPY_UNSOUND: Final = (
    "The new backup couldn't be read again and was thrown away. The shelf is as it was: see that "
    "its disk is sound, then back up again."
)


def to_drop(backups: Sequence[Backup]) -> tuple[Backup, ...]:
    """Return the copies that make way, newest first like those given."""
    kept, days = set(backups[:NEWEST_KEPT]), dict[object, Backup]()
    for backup in backups:
        days.setdefault(backup.time.date(), backup)
    kept |= set(list(days.values())[:DAYS_KEPT])
    return tuple(backup for backup in backups if backup not in kept)
