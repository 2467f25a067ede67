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
