"""What can be wrong with a shelf, each as one sentence with a way out."""

import errno
import sqlite3
from typing import Final, Literal

from core.errors import DesignError

Trouble = Literal[
    "damaged", "newer", "gone", "locked", "read-only", "full", "away", "changed", "refused"
]

SENTENCES: Final[dict[Trouble, str]] = {
    "damaged": (
        "The shelf's file is damaged and was left as it is. Restore its last backup; the damaged "
        "file is kept aside."
    ),
    "newer": (
        "This shelf was written by a newer version of the program. Use that one; nothing was "
        "changed."
    ),
    "gone": (
        "The shelf's file is no longer where it was. Bring it back, restore a backup, or begin an "
        "empty shelf."
    ),
    "locked": "Another program is using the shelf. Nothing was changed: try again in a moment.",
    "read-only": (
        "The shelf can be read but not written. Nothing was changed: allow writing to its file "
        "and folder."
    ),
    "full": "The disk is full. Nothing was changed: make room and try again.",
    "away": (
        "The shelf's file can't be reached. Nothing was changed: see that its drive is connected."
    ),
    "changed": "Another window has changed this yarn meanwhile. Look at it again, then repeat it.",
    "refused": "That can't be put on the shelf.",
}

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


class ShelfError(DesignError):
    """The shelf can't be read or changed; `trouble` says which way, the message what to do."""

    def __init__(self, trouble: Trouble, sentence: str = "") -> None:
        super().__init__(sentence or SENTENCES[trouble])
        self.trouble: Trouble = trouble


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
