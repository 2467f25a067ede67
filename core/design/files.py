"""Reads and writes design files: UTF-8 JSON, upgraded from older layouts, written whole.

A design file comes from anywhere, so nothing in it is believed: its size is looked at before
it is read, every value has bounds, and nothing in it is ever run.
"""

import contextlib
import errno
import json
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import msgspec

from core.design.document import Design
from core.design.validation import design_from_raw, raw_from_design
from core.errors import DesignError

FORMAT: Final = "dipslope-design"
VERSION: Final = 1
_READABLE: Final = 10**40  # a longer number isn't worth printing
SUFFIX: Final = ".dipslope"
MAX_BYTES: Final = 4_000_000

Raw = dict[str, Any]

_UPGRADES: tuple[Callable[[Raw], Raw], ...] = ()
"""Step i turns the values of layout i + 1 into those of layout i + 2."""


def read_design(path: Path) -> Design:
    """Read a design file of this or an earlier layout.

    Raises:
        DesignError: The file isn't one of ours, is damaged, too large or too new.
        OSError: The file can't be read at all.
    """
    with path.open("rb") as file:
        data = file.read(MAX_BYTES + 1)
    try:
        return design_from_bytes(data)
    except DesignError as error:
        raise DesignError(f"{path.name}: {error}") from error


def design_from_bytes(data: bytes) -> Design:
    """Return the design in the bytes of a design file.

    Raises:
        DesignError: As for `read_design`; the message doesn't name the file.
    """
    if len(data) > MAX_BYTES:
        raise DesignError(f"larger than {MAX_BYTES // 1_000_000} MB, so it can't be a design")
    raw = _object(data)
    if raw.pop("format", None) != FORMAT:
        raise DesignError(f'not a design file: "format" should be "{FORMAT}"')
    version = raw.pop("version", None)
    if type(version) is not int or version < 1:
        raise DesignError(f"version: expected an integer of 1 or more, got {version!r:.40}")
    if version > VERSION:
        layout = str(version) if version < _READABLE else "far ahead"
        raise DesignError(
            f"saved by a newer Dipslope (layout {layout}; this one reads up to {VERSION}). "
            "A newer version of the program opens it; the file is left as it is"
        )
    for upgrade in _UPGRADES[version - 1 :]:
        raw = upgrade(raw)
    return design_from_raw(raw)


def design_text(design: Design) -> str:
    """Return the text of a design file; the same design gives the same text."""
    raw = {"format": FORMAT, "version": VERSION, **raw_from_design(design)}
    return json.dumps(raw, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def write_design(design: Design, path: Path) -> None:
    """Write the design; a crash leaves either the old file or the new one.

    Raises:
        OSError: The folder is missing, full or not writable; the old file is untouched.
    """
    write_whole(path, design_text(design).encode())


def write_whole(path: Path, data: bytes) -> None:
    """Write `data` to `path` through a temporary file in the same folder.

    Raises:
        OSError: It couldn't be written; what stood at `path` is untouched.
    """
    path = _followed(path)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:60]}.", suffix=".part")
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(_mode_for(path))
        part.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
    _sync_folder(path.parent)


def _followed(path: Path) -> Path:
    """Return where a link leads, so that it is followed, not replaced."""
    try:
        return path.resolve()
    except RuntimeError as error:  # how Python before 3.13 says that links go round in a circle
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path)) from error


def _mode_for(path: Path) -> int:
    """Return the permissions of the file to be replaced, or those a new file would get."""
    with contextlib.suppress(OSError):
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _sync_folder(folder: Path) -> None:
    """Make the renaming itself last; where folders can't be opened, there is nothing to do."""
    with contextlib.suppress(OSError, AttributeError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _object(data: bytes) -> Raw:
    try:
        raw = msgspec.json.decode(data.removeprefix(b"\xef\xbb\xbf"))
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise DesignError(f"not a whole design file ({error})") from error
    except RecursionError as error:
        raise DesignError("not a design file: nested too deeply") from error
    if not isinstance(raw, dict):
        raise DesignError("not a design file: expected an object")
    return raw
