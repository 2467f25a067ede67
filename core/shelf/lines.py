"""Entries to and from the rows of the shelf's tables; every statement of the shelf's contents."""

import sqlite3
from collections.abc import Iterable
from typing import Any, Final

from core.shelf.entry import LONGEST, MOST_YARNS, Aside, Entry, checked, tidied, tidied_asides
from core.shelf.faults import ShelfError

_COLUMNS: Final = (
    "uid",
    "name",
    "colour",
    "ball_m",
    "ball_g",
    "fibre",
    "weight",
    "lot",
    "price",
    "currency",
    "balls",
    "place",
    "bought",
    "notes",
)
_KINDS: Final[dict[str, tuple[type, ...]]] = {
    "ball_m": (float, int),
    "ball_g": (float, int),
    "price": (float, int, type(None)),
    "weight": (int, type(None)),
    "balls": (int,),
}
_ALL: Final = f"SELECT id, {', '.join(_COLUMNS)} FROM yarn ORDER BY id"
_ONE: Final = f"SELECT id, {', '.join(_COLUMNS)} FROM yarn WHERE uid = ?"
_PUT: Final = f"INSERT INTO yarn ({', '.join(_COLUMNS)}) VALUES ({', '.join('?' * len(_COLUMNS))})"
_CHANGE: Final = f"UPDATE yarn SET {', '.join(f'{name} = ?' for name in _COLUMNS)} WHERE uid = ?"


Known = dict[tuple[object, ...], Entry]
"""Entries by the rows they were read from, so that what was checked once isn't checked again."""


def all_entries(db: sqlite3.Connection, known: Known) -> tuple[Entry, ...]:
    """Return every entry, in the order they were put there.

    Args:
        db: The open file.
        known: What was read before; it becomes what was read now.

    Raises:
        ShelfError: One of them can't be right. Signs that no text may have aren't the reason:
            earlier programs let some of them in, so they are left out here.
        sqlite3.Error: They can't be read.
    """
    remnants: dict[int, list[float]] = {}
    for yarn, grams in db.execute("SELECT yarn, grams FROM remnant ORDER BY yarn, number"):
        remnants.setdefault(yarn, []).append(grams)
    asides: dict[int, list[Aside]] = {}
    for yarn, title, grams in db.execute(
        "SELECT yarn, title, grams FROM aside ORDER BY yarn, number"
    ):
        asides.setdefault(yarn, []).append(Aside(title, grams))
    found: Known = {}
    for line in db.execute(_ALL):
        if len(found) >= MOST_YARNS:
            raise ShelfError("damaged", f"The shelf holds more than {MOST_YARNS:,} yarns.")
        pieces, kept = tuple(remnants.get(line[0], ())), tuple(asides.get(line[0], ()))
        key = (line, pieces, kept)
        found[key] = known.get(key) or _entry(line, pieces, kept)
    known.clear()
    known.update(found)
    return tuple(found.values())


def one_entry(db: sqlite3.Connection, uid: str) -> Entry | None:
    """Return one entry, if it is there; errors as for all."""
    line = db.execute(_ONE, (uid,)).fetchone()
    if line is None:
        return None
    remnants = db.execute(
        "SELECT grams FROM remnant WHERE yarn = ? ORDER BY number", (line[0],)
    ).fetchall()
    asides = db.execute(
        "SELECT title, grams FROM aside WHERE yarn = ? ORDER BY number", (line[0],)
    ).fetchall()
    return _entry(line, (grams for (grams,) in remnants), (Aside(*aside) for aside in asides))


def write(db: sqlite3.Connection, uid: str, before: Entry | None, after: Entry | None) -> None:
    """Write what an entry becomes; the caller has seen that it is as before."""
    if after is None:
        db.execute("DELETE FROM yarn WHERE uid = ?", (uid,))
        return
    values = tuple(getattr(after, name) for name in _COLUMNS)
    if before is None:
        db.execute(_PUT, values)
    else:
        db.execute(_CHANGE, (*values, uid))
    (key,) = db.execute("SELECT id FROM yarn WHERE uid = ?", (uid,)).fetchone()
    if before is None or before.remnants != after.remnants:
        db.execute("DELETE FROM remnant WHERE yarn = ?", (key,))
        db.executemany(
            "INSERT INTO remnant (yarn, number, grams) VALUES (?, ?, ?)",
            [(key, number, grams) for number, grams in enumerate(after.remnants)],
        )
    if before is None or before.asides != after.asides:
        db.execute("DELETE FROM aside WHERE yarn = ?", (key,))
        db.executemany(
            "INSERT INTO aside (yarn, number, title, grams) VALUES (?, ?, ?, ?)",
            [(key, number, one.title, one.grams) for number, one in enumerate(after.asides)],
        )


def count(db: sqlite3.Connection) -> int:
    """Return how many entries there are."""
    return int(db.execute("SELECT count(*) FROM yarn").fetchone()[0])


def _entry(line: tuple[Any, ...], remnants: Iterable[Any], asides: Iterable[Aside]) -> Entry:
    values = dict(zip(_COLUMNS, line[1:], strict=True))
    pieces, kept = tuple(remnants), tuple(asides)
    right = all(isinstance(values[name], _KINDS.get(name, (str,))) for name in _COLUMNS)
    right = right and all(isinstance(grams, float) for grams in pieces)
    right = right and all(isinstance(a.title, str) and isinstance(a.grams, float) for a in kept)
    if not right:
        raise ShelfError("damaged", f"Yarn number {line[0]} of the shelf can't be read. {_WAY}")
    texts = {name: tidied(name, values[name]) for name in LONGEST if name in values}
    try:
        return checked(Entry(**values | texts, remnants=pieces, asides=tidied_asides(kept)))
    except ShelfError as error:
        raise ShelfError("damaged", f"Yarn number {line[0]} of the shelf: {error} {_WAY}") from None


_WAY: Final = "Restore the last backup; the file as it is is kept aside."
