"""What a crash left: journals that no running program holds, and what would come back."""

import time
from pathlib import Path

from PySide6.QtCore import QLockFile

from app.keeping.autosave import locked
from core.design import disk
from core.design.differences import differences
from core.design.document import Design
from core.design.files import design_from_bytes, read_design
from core.design.journal import SUFFIX, read_newest
from core.errors import DesignError
from core.records import Struct


class Left(Struct, frozen=True, eq=False):
    """A design with changes that were never saved.

    Attributes:
        journal: Where they are.
        design: The design with them.
        path: Its file, or None if it never had one.
        saved: What that file holds, or None if there is none or it can't be read.
        when: Seconds since 1970 of the last change.
        changes: What is different from the file, in plain words.
    """

    journal: Path
    design: Design
    path: Path | None
    saved: Design | None
    when: float
    changes: tuple[str, ...]


def left_behind(folder: Path) -> tuple[Left, ...]:
    """Return what can be recovered, the newest first.

    A journal that says no more than the file does is removed; one that can't be read is left.

    Raises:
        OSError: The folder can't be looked into.
    """
    found = []
    for name in disk.names_in(folder):
        if not name.endswith(SUFFIX):
            continue
        lock = locked(folder / name)
        if lock is None:
            continue
        left = _looked_into(folder / name, lock)
        lock.unlock()
        if left is not None:
            found.append(left)
    return tuple(sorted(found, key=lambda left: left.when, reverse=True))


def _looked_into(journal: Path, lock: QLockFile) -> Left | None:
    del lock  # held meanwhile
    try:
        record = read_newest(journal)
        if record is None:
            return None
        design = design_from_bytes(record.data)
    except (DesignError, OSError):
        return None
    name, when = record.about.get("path"), record.about.get("when")
    path = Path(name) if isinstance(name, str) and name else None
    saved = _saved(path)
    if saved == design:
        disk.remove(journal)
        return None
    return Left(
        journal,
        design,
        path,
        saved,
        float(when) if isinstance(when, int | float) and 0 <= when < 1e11 else time.time(),
        differences(saved, design, short=True) if saved is not None else (),
    )


def _saved(path: Path | None) -> Design | None:
    if path is None:
        return None
    try:
        return read_design(path)
    except (DesignError, OSError, ValueError):
        return None
