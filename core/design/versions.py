"""The versions of one design on disk: a folder, a file for each, none ever changed.

A version is a journal's record in a file of its own, so it is either whole or known not to be.
"""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

from core.design import disk
from core.design.document import Design
from core.design.files import design_bytes, design_from_bytes
from core.design.journal import MOST_BYTES, Record, newest, pack
from core.design.kept import (
    KINDS,
    MOST_BY_HAND,
    MOST_NAME,
    MOST_NOTE,
    Kind,
    Version,
    to_thin,
)
from core.errors import DesignError
from core.records import Struct

SUFFIX: Final = ".version"
_MOST_NUMBER: Final = 1_000_000


class VersionStore(Struct, frozen=True):
    """A design's versions; every call reads or writes the disk."""

    folder: Path
    clock: Callable[[], float] = time.time

    def versions(self) -> tuple[Version, ...]:
        """Return what is kept, newest first; files that aren't whole are passed over.

        Raises:
            OSError: The folder can't be looked into.
        """
        found = []
        for name in disk.names_in(self.folder):
            if name.endswith(SUFFIX):
                record = self._record(name)
                if record is not None:
                    found.append(_version(name, record))
        return tuple(sorted(found, key=lambda version: (version.when, version.file), reverse=True))

    def keep(
        self, design: Design, kind: Kind, *, name: str = "", note: str = "", about: Any = None
    ) -> Version | None:
        """Keep a version; one kept by itself that is like the newest is not kept twice.

        Args:
            design: What to keep.
            kind: Why; an issued one gets the next number.
            name: What to call it.
            note: What to say of it.
            about: More to write beside it (the file it belongs to).

        Raises:
            DesignError: So many were kept by hand that another one would be too many.
            OSError: It couldn't be kept; those before it are untouched.
        """
        there = self.versions()
        data = design_bytes(design)
        digest = disk.digest_of(data)
        by_hand = kind in ("kept", "issued")
        if not by_hand and there and there[0].digest == digest:
            return None
        if by_hand and sum(version.is_by_hand for version in there) >= MOST_BY_HAND:
            raise DesignError(
                f"{MOST_BY_HAND} versions of this design were kept by hand; "
                "remove some that are no longer needed"
            )
        number = None
        if kind == "issued":
            number = 1 + max((version.number or 0 for version in there), default=0)
        when = max(self.clock(), there[0].when + 0.001 if there else 0.0)
        file = f"{int(when * 1000):015d}-{kind}{SUFFIX}"
        record = Record(
            {
                "when": when,
                "kind": kind,
                "name": name[:MOST_NAME],
                "note": note[:MOST_NOTE],
                "number": number,
                "digest": digest,
                "of": about,
            },
            data,
        )
        disk.make_folder(self.folder)
        disk.write_whole(self.folder / file, pack(record))
        kept = _version(file, record)
        self._thin((kept, *there))
        return kept

    def _thin(self, versions: tuple[Version, ...]) -> None:
        """Remove automatic versions as they age, and what a crash left half written."""
        for version in to_thin(versions, self.clock()):
            disk.remove(self.folder / version.file)
        for name in disk.names_in(self.folder):
            if name.endswith(disk.PART):
                disk.remove(self.folder / name)

    def remove(self, version: Version) -> None:
        """Remove one version.

        Raises:
            OSError: It can't be removed.
        """
        disk.remove(self.folder / version.file)

    def design(self, version: Version) -> Design:
        """Return the design of a version.

        Raises:
            DesignError: The file is no longer there, or no longer whole.
            OSError: It can't be read.
        """
        record = self._record(version.file)
        if record is None:
            raise DesignError("this version is no longer there, or its file is damaged")
        return design_from_bytes(record.data)

    def take_over(self, other: "VersionStore", about: str | None = None) -> None:
        """Move the versions of another place here: a design got its file, or another name.

        Raises:
            OSError: Something couldn't be moved; it is then still there.
        """
        for name in disk.names_in(other.folder):
            if name.endswith(SUFFIX):
                record = other._record(name)
                if record is not None:
                    disk.make_folder(self.folder)
                    moved = Record({**record.about, "of": about}, record.data)
                    disk.write_whole(self.folder / name, pack(moved))
                    disk.remove(other.folder / name)

    def belongs_to(self) -> str | None:
        """Return the file that the newest version says it is of.

        Raises:
            OSError: The folder can't be looked into.
        """
        names = [name for name in disk.names_in(self.folder) if name.endswith(SUFFIX)]
        record = self._record(names[-1]) if names else None
        of = record.about.get("of") if record is not None else None
        return of if isinstance(of, str) else None

    def _record(self, name: str) -> Record | None:
        try:
            return newest(disk.read_at_most(self.folder / name, MOST_BYTES))
        except FileNotFoundError:
            return None


def _version(file: str, record: Record) -> Version:
    about = record.about
    kind = about.get("kind")
    number = about.get("number")
    when = about.get("when")
    return Version(
        file=file,
        when=float(when) if isinstance(when, int | float) and abs(when) < 1e11 else 0.0,
        kind=kind if kind in KINDS else "saved",
        name=str(about.get("name") or "")[:MOST_NAME],
        note=str(about.get("note") or "")[:MOST_NOTE],
        number=number if type(number) is int and 0 < number < _MOST_NUMBER else None,
        digest=str(about.get("digest") or "")[:64],
    )
