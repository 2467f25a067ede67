"""Reads and writes design files: UTF-8 JSON, upgraded from older layouts, written whole.

A design file comes from anywhere, so nothing in it is believed: its size is looked at before
it is read, every value has bounds, and nothing in it is ever run.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final

import msgspec
import numpy as np

from core.design.disk import read_at_most, write_whole
from core.design.document import Design
from core.design.validation import design_from_raw, raw_from_design
from core.errors import DesignError

FORMAT: Final = "dipslope-design"
VERSION: Final = 1
_READABLE: Final = 10**40  # a longer number isn't worth printing
SUFFIX: Final = ".dipslope"
MAX_BYTES: Final = 24_000_000
"""More than the largest design comes to when it is written closely; a test adds that up."""
MOST_VALUES: Final = 1_300_000
MOST_PARTS: Final = 300_000
"""Values of a file, and lists and objects among them: more than any design has, so that a file of
nothing but brackets doesn't take twenty times its own size in memory; a test adds them up."""
_MOST_SPACED: Final = 1_000_000  # a larger text is written without spaces and lines

Raw = dict[str, Any]

_UPGRADES: tuple[Callable[[Raw], Raw], ...] = ()
"""Step i turns the values of layout i + 1 into those of layout i + 2."""


def read_design(path: Path) -> Design:
    """Read a design file of this or an earlier layout.

    Raises:
        DesignError: The file isn't one of ours, is damaged, too large or too new.
        OSError: The file can't be read at all.
    """
    data = read_at_most(path, MAX_BYTES + 1)
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
    """Return the text of a design file; the same design gives the same text.

    It is spaced for people to read, unless it is so long that nobody would.
    """
    raw = {"format": FORMAT, "version": VERSION, **raw_from_design(design)}
    close = _close_text(raw)
    if len(close) > _MOST_SPACED:
        return close + "\n"
    return json.dumps(raw, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def design_bytes(design: Design) -> bytes:
    """Return the design as it is kept aside: a design file written closely."""
    return _close_text({"format": FORMAT, "version": VERSION, **raw_from_design(design)}).encode()


def _close_text(raw: Raw) -> str:
    return json.dumps(raw, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def write_design(design: Design, path: Path) -> None:
    """Write the design; a crash leaves either the old file or the new one.

    Raises:
        DesignError: It could not be read again.
        OSError: The folder is missing, full or not writable; the old file is untouched.
    """
    write_whole(path, design_text(design).encode())


def _object(data: bytes) -> Raw:
    if _has_too_much(data):
        raise DesignError("not a design file: it holds more values than any design has")
    try:
        raw = msgspec.json.decode(data.removeprefix(b"\xef\xbb\xbf"))
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise DesignError(f"not a whole design file ({error})") from error
    except RecursionError as error:
        raise DesignError("not a design file: nested too deeply") from error
    if not isinstance(raw, dict):
        raise DesignError("not a design file: expected an object")
    return raw


def _has_too_much(data: bytes) -> bool:
    """Return whether a text has more values than any design; signs inside words don't count."""
    return _is_more(data.count(b","), data.count(b"[") + data.count(b"{")) and _is_more(
        *_counted_outside_words(data)
    )


def _is_more(commas: int, parts: int) -> bool:
    return parts > MOST_PARTS or commas + parts > MOST_VALUES


def _counted_outside_words(data: bytes) -> tuple[int, int]:
    """Return the commas and the opened lists and objects that don't stand between quotes."""
    data = data.replace(b"\\\\", b"").replace(b'\\"', b"")  # these don't end a word
    signs = np.frombuffer(data, np.uint8)
    inside = np.bitwise_xor.accumulate((signs == ord('"')).view(np.uint8)).view(bool)
    free = signs[~inside]
    comma, bracket, brace = (int(np.count_nonzero(free == ord(sign))) for sign in ",[{")
    return comma, bracket + brace
