"""The designs of a long history, within a bound of memory.

Designs share what an edit left alone, so a step usually costs a few kilobytes. One that makes
every row of a giant anew costs megabytes; when all of them come to more than `MOST_BYTES`, the
oldest are packed, and unpacked when somebody goes back so far. None is dropped.
"""

import sys
import weakref
import zlib
from typing import Any, Final

from core.design.document import Design
from core.design.files import design_bytes, design_from_bytes
from core.records import Struct

MOST_BYTES: Final = 128_000_000
_NEWEST: Final = 2  # never packed: what is shown, and what one step back shows


class Step:
    """A design of the history, packed or not."""

    __slots__ = ("__weakref__", "_design", "_packed", "weight")

    def __init__(self, design: Design, weight: int) -> None:
        self._design: Design | None = design
        self._packed = b""
        self.weight = weight

    @property
    def design(self) -> Design:
        """The design: the very object it was, or, once packed, an equal one."""
        if self._design is not None:
            return self._design
        return design_from_bytes(zlib.decompress(self._packed))

    @property
    def is_packed(self) -> bool:
        """Whether only its bytes are kept."""
        return self._design is None

    def pack(self) -> None:
        """Keep only its bytes."""
        if self._design is not None:
            self._packed = zlib.compress(design_bytes(self._design), 1)
            self._design, self.weight = None, len(self._packed)


class Steps:
    """Knows every step that somebody still holds, and packs the oldest when they get heavy."""

    def __init__(self, most_bytes: int = MOST_BYTES) -> None:
        self._most = most_bytes
        self._known: list[weakref.ref[Step]] = []

    def step(self, design: Design, before: Design | None) -> Step:
        """Return a design as a step; `before` is what it was made from."""
        step = Step(design, added_bytes(before, design))
        alive = [found for known in self._known if (found := known()) is not None]
        self._known = [weakref.ref(known) for known in (*alive, step)]
        total = step.weight + sum(known.weight for known in alive)
        for old in alive[: 1 - _NEWEST]:
            if total <= self._most:
                break
            if not old.is_packed:
                total -= old.weight
                old.pack()
                total += old.weight
        return step

    @property
    def bytes(self) -> int:
        """What the steps come to, about."""
        return sum(step.weight for known in self._known if (step := known()) is not None)


def added_bytes(before: Any, after: Any) -> int:
    """Return about how much memory a value takes beside another that it shares parts with."""
    if before is after:
        return 0
    size = sys.getsizeof(after)
    if isinstance(after, Struct):
        like = type(before) is type(after)
        for name in after.__struct_fields__:
            size += added_bytes(getattr(before, name) if like else None, getattr(after, name))
    elif isinstance(after, tuple):
        there = {id(part) for part in before} if isinstance(before, tuple) else set()
        others = before if isinstance(before, tuple) and len(before) == len(after) else None
        for number, part in enumerate(after):
            if id(part) not in there:
                size += added_bytes(others[number] if others is not None else None, part)
    return size
