"""What errors of the library and of the file system mean for the shelf."""

import errno
import sqlite3
from typing import Final

from core.shelf.faults import ShelfError, Trouble

_CODES: Final[dict[int, Trouble]] = {
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_READONLY: "read-only",
    sqlite3.SQLITE_PERM: "read-only",
    sqlite3.SQLITE_FULL: "full",
    sqlite3.SQLITE_IOERR: "away",
    sqlite3.SQLITE_CANTOPEN: "away",
    sqlite3.SQLITE_PROTOCOL: "locked",
    sqlite3.SQLITE_NOLFS: "full",
    sqlite3.SQLITE_INTERRUPT: "away",
    sqlite3.SQLITE_NOMEM: "away",
}


def from_sqlite(error: sqlite3.Error) -> ShelfError:
    """Return what the library's error means; anything it can't name is damage."""
    code = getattr(error, "sqlite_errorcode", None)
    return ShelfError(_CODES.get(code & 0xFF, "damaged") if code is not None else "damaged")


_FULL: Final = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC), errno.EFBIG)
_PROTECTED: Final = (errno.EACCES, errno.EPERM, errno.EROFS)


def from_system(error: OSError) -> ShelfError:
    """Return what an error of the file system means."""
    if error.errno in _FULL:
        return ShelfError("full")
    return ShelfError("read-only" if error.errno in _PROTECTED else "away")


_NO_COPY: Final[dict[Trouble, str]] = {
    "full": "the disk is full. Make room",
    "read-only": "its folder can't be written to. Allow writing there",
    "away": "its folder can't be reached. See that its drive is connected",
    "locked": "another program is using the shelf",
    "damaged": "the copy couldn't be read again and was thrown away. See that the disk is sound",
}
_NO_READING: Final = "the shelf's file couldn't be read whole. Look whether its backups can be read"


def no_backup_today(error: ShelfError | OSError | sqlite3.Error) -> str:
    """Return what is said of a change that was made although the day's backup couldn't be."""
    if isinstance(error, OSError):
        why = _NO_COPY[from_system(error).trouble]
    elif isinstance(error, ShelfError):
        why = _NO_COPY["damaged"]  # all that is found out of a copy
    else:  # the shelf is all that the library reads for a copy
        trouble = from_sqlite(error).trouble
        why = _NO_COPY[trouble] if trouble == "locked" else _NO_READING
    return (
        f"The change is kept, but the day's backup couldn't be made: {why}. It is tried again "
        "with the next change."
    )
