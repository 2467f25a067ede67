"""How the shelf lies in its file, and how files of earlier layouts are brought up to it.

`user_version` counts the steps that made a file. A file is only taken for a shelf if its tables
are exactly those of its version: what else stands in a strange file (a trigger, a view) would
run as part of our own statements.
"""

import sqlite3
from functools import cache
from typing import Final

from core.shelf.faults import ShelfError

APPLICATION: Final = 0x53484C46  # "SHLF": tells a shelf from any other file of the library

_FIRST: Final = (
    """CREATE TABLE yarn (
        id INTEGER PRIMARY KEY,
        uid TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),
        name TEXT NOT NULL CHECK (length(name) BETWEEN 1 AND 80),
        colour TEXT NOT NULL CHECK (length(colour) = 7),
        ball_m REAL NOT NULL CHECK (ball_m > 0),
        ball_g REAL NOT NULL CHECK (ball_g > 0),
        fibre TEXT NOT NULL,
        weight INTEGER CHECK (weight BETWEEN 0 AND 7),
        lot TEXT NOT NULL,
        price REAL CHECK (price >= 0),
        currency TEXT NOT NULL,
        balls INTEGER NOT NULL CHECK (balls >= 0),
        place TEXT NOT NULL,
        bought TEXT NOT NULL,
        notes TEXT NOT NULL
    )""",
    """CREATE TABLE remnant (
        yarn INTEGER NOT NULL REFERENCES yarn (id) ON DELETE CASCADE,
        number INTEGER NOT NULL,
        grams REAL NOT NULL CHECK (grams > 0),
        PRIMARY KEY (yarn, number)
    ) WITHOUT ROWID""",
    """CREATE TABLE aside (
        yarn INTEGER NOT NULL REFERENCES yarn (id) ON DELETE CASCADE,
        number INTEGER NOT NULL,
        title TEXT NOT NULL,
        grams REAL NOT NULL CHECK (grams > 0),
        PRIMARY KEY (yarn, number)
    ) WITHOUT ROWID""",
)

STEPS: tuple[tuple[str, ...], ...] = (_FIRST,)
"""Statements of each step; step n makes version n of version n - 1."""

Rows = list[tuple[str, str, str, str | None]]


def newest() -> int:
    """Return the version that this program writes."""
    return len(STEPS)


def version_of(db: sqlite3.Connection) -> int:
    """Return the version of an open file; 0 if nothing has been written to it yet.

    Raises:
        ShelfError: It is no shelf, or one of a newer version.
        sqlite3.Error: It can't be read.
    """
    version = int(db.execute("PRAGMA user_version").fetchone()[0])
    if version == 0 and not _tables(db):
        return 0
    mark = int(db.execute("PRAGMA application_id").fetchone()[0])
    if mark != APPLICATION:
        raise ShelfError("damaged", "This file is no shelf: it was left as it is.")
    if version > newest():
        raise ShelfError("newer")
    if version < 1 or _tables(db) != _expected(version, STEPS):
        raise ShelfError("damaged")
    return version


def look_over(db: sqlite3.Connection, *, thoroughly: bool) -> None:
    """Have the library check an open file: a shelf each time it is read, a copy thoroughly.

    Raises:
        ShelfError: It isn't sound.
        sqlite3.Error: It can't be read.
    """
    check = "integrity_check" if thoroughly else "quick_check"
    said = db.execute(f"PRAGMA {check}(1)").fetchone()
    if said is None or said[0] != "ok" or db.execute("PRAGMA foreign_key_check").fetchone():
        raise ShelfError("damaged")


def bring_up(db: sqlite3.Connection, version: int) -> None:
    """Bring an open file to the newest version, inside the caller's transaction."""
    for step in STEPS[version:]:
        for statement in step:
            db.execute(statement)
    db.execute(f"PRAGMA application_id = {APPLICATION}")
    db.execute(f"PRAGMA user_version = {newest()}")


def _tables(db: sqlite3.Connection) -> Rows:
    return db.execute(
        "SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY type, name"
    ).fetchall()


@cache
def _expected(version: int, steps: tuple[tuple[str, ...], ...]) -> Rows:
    db = sqlite3.connect(":memory:")
    try:
        for step in steps[:version]:
            for statement in step:
                db.execute(statement)
        return _tables(db)
    finally:
        db.close()
