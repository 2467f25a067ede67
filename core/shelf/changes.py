"""A change of the shelf: what some entries were and what they become.

As a change names both, it can be refused where another window was quicker, and taken back.
"""

from collections.abc import Iterable, Mapping
from typing import Final

from core.records import Struct
from core.shelf.entry import Entry

NOTHING: Final[Mapping[str, Entry]] = {}


class Change(Struct, frozen=True, eq=False):
    """One step.

    Attributes:
        text: What it does, as undo names it.
        before: Entries by uid as they must be for it; none where there is none yet.
        after: The same entries as they become; none where they go.
    """

    text: str
    before: Mapping[str, Entry]
    after: Mapping[str, Entry]

    @property
    def uids(self) -> tuple[str, ...]:
        """The entries it touches, in order."""
        return tuple(dict.fromkeys((*self.before, *self.after)))

    @property
    def is_empty(self) -> bool:
        """Whether everything stays as it is."""
        return all(self.before.get(uid) == self.after.get(uid) for uid in self.uids)

    def taken_back(self) -> "Change":
        """Return the step that undoes it."""
        return Change(self.text, self.after, self.before)


def put(text: str, entries: Iterable[Entry]) -> Change:
    """Return the change that puts new entries on the shelf."""
    return Change(text, NOTHING, {entry.uid: entry for entry in entries})


def edit(text: str, before: Entry, after: Entry) -> Change:
    """Return the change of one entry."""
    return Change(text, {before.uid: before}, {after.uid: after})


def remove(text: str, entries: Iterable[Entry]) -> Change:
    """Return the change that takes entries away."""
    return Change(text, {entry.uid: entry for entry in entries}, NOTHING)
