"""The journal of an open design: each change is added to its end, the newest whole one counts.

A record is a mark, the length and the digest of what follows, and then, compressed, one line
about it and a design file. A record that was torn, or a journal damaged anywhere, costs only
the records that were hit: reading goes back from the end to the first one that is whole.
"""

import json
import struct
import zlib
from hashlib import blake2b
from pathlib import Path
from typing import Any, Final

from core.design import disk
from core.design.files import MAX_BYTES
from core.records import Struct

MARK: Final = b"\x00dipslope\xffjournal\x01"
SUFFIX: Final = ".journal"
_HEAD: Final = struct.Struct(">I16s")  # length and digest of the packed record
_MOST_ABOUT: Final = 20_000  # bytes of the line about a design
_MOST_PLAIN: Final = MAX_BYTES + _MOST_ABOUT
_MOST_PACKED: Final = _MOST_PLAIN + 100_000  # what can't be packed grows a little
_ROOM: Final = 1_000_000  # bytes from which a journal is cut down to its newest record
_TIMES: Final = 4  # or so many times that record, if that is more
MOST_BYTES: Final = _ROOM + (_TIMES + 1) * _MOST_PACKED
"""No journal gets longer."""

About = dict[str, Any]


class Record(Struct, frozen=True):
    """One state of a design: what is said of it, and its design file."""

    about: About
    data: bytes


def pack(record: Record) -> bytes:
    """Return the bytes of a record."""
    line = json.dumps(record.about, ensure_ascii=True, separators=(",", ":")).encode()
    packed = zlib.compress(line + b"\n" + record.data, 1)
    return MARK + _HEAD.pack(len(packed), _digest(packed)) + packed


def newest(journal: bytes) -> Record | None:
    """Return the last whole record of a journal, or None if there is none.

    Records don't overlap, so looking into them all takes no more than reading it once; of marks
    that claim more, as only malice makes them, the rest is passed over.
    """
    end, left = len(journal), 2 * len(journal)
    while True:
        start = journal.rfind(MARK, 0, end)
        if start < 0:
            return None
        claimed = _claimed(journal, start + len(MARK))
        if claimed <= left:
            left -= claimed
            record = _record_at(journal, start + len(MARK))
            if record is not None:
                return record
        end = start + len(MARK) - 1  # the mark may overlap with another one


def _claimed(journal: bytes, start: int) -> int:
    """Return the bytes that have to be looked at to know whether a record is whole."""
    body = start + _HEAD.size
    if body > len(journal):
        return 0
    length: int = _HEAD.unpack_from(journal, start)[0]
    return length if length <= min(len(journal) - body, _MOST_PACKED) else 0


def _record_at(journal: bytes, start: int) -> Record | None:
    body = start + _HEAD.size
    if body > len(journal):
        return None
    length, digest = _HEAD.unpack_from(journal, start)
    if length > min(len(journal) - body, _MOST_PACKED):
        return None
    packed = journal[body : body + length]
    if _digest(packed) != digest:
        return None
    try:
        unpacker = zlib.decompressobj()
        plain = unpacker.decompress(packed, _MOST_PLAIN)
        line, _, data = plain.partition(b"\n")
        about = json.loads(line[:_MOST_ABOUT])
    except (zlib.error, ValueError, RecursionError):
        return None
    return Record(about, data) if isinstance(about, dict) and unpacker.eof else None


def _digest(packed: bytes) -> bytes:
    return blake2b(packed, digest_size=16).digest()


def read_newest(path: Path) -> Record | None:
    """Return the last whole record of a journal on disk, or None if there is none.

    Raises:
        OSError: The file can't be read.
    """
    return newest(disk.read_at_most(path, MOST_BYTES))


class Journal(Struct):
    """A journal on disk; `add` and `clear` may be called on any thread, one at a time."""

    path: Path
    _has_failed: bool = False

    def add(self, record: Record) -> None:
        """Add a record; when this returns it is on disk.

        Raises:
            OSError: It isn't; all records before it are untouched.
        """
        packed = pack(record)
        room = max(_ROOM, _TIMES * len(packed))
        size = disk.size_of(self.path)
        if size and (size + len(packed) > room or self._has_failed):
            disk.write_whole(self.path, packed)  # torn ends don't pile up either
        else:
            self._has_failed = True
            disk.append(self.path, packed)
        self._has_failed = False

    def clear(self) -> None:
        """Remove the journal: what it held is saved, or no longer wanted.

        Raises:
            OSError: It is there and can't be removed.
        """
        disk.remove(self.path)
