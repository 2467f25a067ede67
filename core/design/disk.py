"""Every call to the file system by which designs are kept.

Nothing else in the program writes a design, its journal, its versions or an export, so one
place decides what survives a full disk or a power cut, and the tests can make each call fail
in turn. Calls go through `os` by name, one call of the system each.
"""

import contextlib
import errno
import os
import stat
import tempfile
import time
from collections.abc import Iterator
from hashlib import blake2b
from pathlib import Path
from typing import Final

from core.records import Struct

_PIECE: Final = 1 << 20
PART: Final = ".part"  # ending of a file that is being written
_OURS: Final = ".dipslope-"  # within its name, so that nobody else's is taken for one
_MOST_NAME: Final = 120  # bytes of the real name in it
_STALE_S: Final = 3600.0  # so old, nobody writes it any more: a crash left it


class FileMark(Struct, frozen=True):
    """What a file was like when it was read or written last.

    Attributes:
        size: Its bytes.
        time_ns: When it was changed.
        digest: Of what stood in it.
    """

    size: int
    time_ns: int
    digest: str


def digest_of(data: bytes) -> str:
    """Return a short name for these bytes; other bytes have another one."""
    return blake2b(data, digest_size=16).hexdigest()


def read_at_most(path: Path, most: int) -> bytes:
    """Return what stands in a file, or as much of it as was asked for.

    Raises:
        OSError: It can't be read, or is no file: a pipe that nobody writes to is not waited for.
    """
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0))
    try:
        mode = os.fstat(handle).st_mode
        if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):  # reading a folder says so itself
            raise OSError(errno.EINVAL, "It isn't a file that can be read", str(path))
        pieces: list[bytes] = []
        while most > 0:
            piece = os.read(handle, min(_PIECE, most))
            if not piece:
                break
            pieces.append(piece)
            most -= len(piece)
        return b"".join(pieces)
    finally:
        os.close(handle)


def mark_of(path: Path, most: int) -> FileMark | None:
    """Return what a file is like now, or None if there is none.

    Raises:
        OSError: It can't be looked at.
    """
    try:
        before = os.stat(path)  # noqa: PTH116 - one call of the system each
        data = read_at_most(path, most)
    except (FileNotFoundError, NotADirectoryError):
        return None
    return FileMark(before.st_size, before.st_mtime_ns, digest_of(data))


def is_changed(path: Path, mark: FileMark, most: int) -> bool:
    """Return whether a file holds something else than when it was marked; gone is not changed.

    Raises:
        OSError: It can't be looked at.
    """
    try:
        now = os.stat(path)  # noqa: PTH116
    except (FileNotFoundError, NotADirectoryError):
        return False
    if (now.st_size, now.st_mtime_ns) == (mark.size, mark.time_ns):
        return False
    seen = mark_of(path, most)
    return seen is not None and seen.digest != mark.digest


def is_write_protected(path: Path) -> bool:
    """Return whether a file is there and was set to be only read.

    Putting another file in its place would succeed all the same, so it has to be asked.
    """
    try:
        mode = os.stat(path).st_mode  # noqa: PTH116
    except OSError:
        return False
    return not mode & 0o222 or not os.access(path, os.W_OK)


def write_whole(path: Path, data: bytes) -> None:
    """Write `data` to `path` through a temporary file in the same folder.

    Raises:
        OSError: It couldn't be written; what stood at `path` is untouched.
    """
    path = followed(path)
    known = os.fsencode(path.name)[:_MOST_NAME].decode(errors="ignore")
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{known}{_OURS}", suffix=PART)
    try:
        try:
            _write_all(handle, data)
            os.fsync(handle)
        finally:
            os.close(handle)
        _like_before(name, path)
        os.replace(name, path)  # noqa: PTH105
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)  # noqa: PTH108
        raise
    _sync_folder(path.parent)


def sweep(folder: Path, *, stale_s: float = _STALE_S) -> int:
    """Remove what a crash left half written in a folder; return how many files those were.

    What can't be looked at or removed stays; it is tried again another time.
    """
    swept, now = 0, time.time()
    with contextlib.suppress(OSError):
        for name in names_in(folder):
            if name.startswith(".") and _OURS in name and name.endswith(PART):
                with contextlib.suppress(OSError):
                    if now - time_of(folder / name) >= stale_s:
                        remove(folder / name)
                        swept += 1
    return swept


def append(path: Path, data: bytes) -> None:
    """Add `data` to the end of a file, which is made if it isn't there; it is on disk then.

    Raises:
        OSError: Not all of it was written. A part may have been; what stood there is untouched.
    """
    is_new = not _is_there(path)
    flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags, 0o600)
    try:
        _write_all(handle, data)
        os.fsync(handle)
    finally:
        os.close(handle)
    if is_new:
        _sync_folder(path.parent)


def remove(path: Path) -> None:
    """Remove a file, if it is there.

    Raises:
        OSError: It is there and can't be removed.
    """
    with contextlib.suppress(FileNotFoundError):
        os.unlink(path)  # noqa: PTH108


def move(old: Path, new: Path) -> None:
    """Give a file another name on the same drive; what stood there before is replaced.

    Raises:
        OSError: It can't be moved; it is where it was.
    """
    os.replace(old, new)  # noqa: PTH105
    _sync_folder(new.parent)


def make_folder(path: Path) -> None:
    """Make a folder and those above it, for this user only, unless they are there.

    Raises:
        OSError: It can't be made.
    """
    os.makedirs(path, mode=0o700, exist_ok=True)  # noqa: PTH103


def make_shared_folder(path: Path) -> None:
    """Make a folder and those above it as any program does, unless they are there.

    Raises:
        OSError: It can't be made, or a file of that name is there.
    """
    os.makedirs(path, exist_ok=True)  # noqa: PTH103


def names_in(folder: Path) -> list[str]:
    """Return the names in a folder in order; none if it isn't there.

    Raises:
        OSError: It can't be looked into.
    """
    try:
        return sorted(os.listdir(folder))  # noqa: PTH208
    except FileNotFoundError:
        return []


def size_of(path: Path) -> int:
    """Return the bytes of a file, 0 if it isn't there.

    Raises:
        OSError: It can't be looked at.
    """
    try:
        return os.stat(path).st_size  # noqa: PTH116
    except FileNotFoundError:
        return 0


def time_of(path: Path) -> float:
    """Return when a file was changed, in seconds since 1970; 0 if it isn't there.

    Raises:
        OSError: It can't be looked at.
    """
    try:
        return os.stat(path).st_mtime  # noqa: PTH116
    except FileNotFoundError:
        return 0.0


def followed(path: Path) -> Path:
    """Return where a link leads, so that it is followed, not replaced.

    Raises:
        OSError: Links go round in a circle.
    """
    try:
        return path.resolve()
    except RuntimeError as error:  # how Python before 3.13 says that links go round in a circle
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path)) from error


def _write_all(handle: int, data: bytes) -> None:
    for piece in _pieces(data):
        rest = piece
        while rest:
            written = os.write(handle, rest)
            if written <= 0:
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            rest = rest[written:]


def _pieces(data: bytes) -> Iterator[memoryview]:
    view = memoryview(data)
    for start in range(0, len(view), _PIECE):
        yield view[start : start + _PIECE]


def _is_there(path: Path) -> bool:
    try:
        os.stat(path)  # noqa: PTH116
    except OSError:
        return False
    return True


def _like_before(name: str, path: Path) -> None:
    """Give a new file the permissions, and where that is allowed the group, of the old one."""
    try:
        old = os.stat(path)  # noqa: PTH116
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(name, 0o666 & ~mask)  # noqa: PTH101
        return
    if hasattr(os, "chown"):
        with contextlib.suppress(OSError):
            os.chown(name, -1, old.st_gid)
    os.chmod(name, old.st_mode & 0o777)  # noqa: PTH101


def _sync_folder(folder: Path) -> None:
    """Make the renaming itself last; where folders can't be opened, there is nothing to do."""
    with contextlib.suppress(OSError, AttributeError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
