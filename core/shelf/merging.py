"""What a list would change on the shelf, shown before anything is.

A yarn is known again by its id, else by name, colour and dye lot, so the same list taken twice
changes nothing the second time.
"""

from collections.abc import Iterable, Sequence
from typing import Final, Literal

from core.records import Struct, names_of
from core.shelf.changes import Change
from core.shelf.entry import Entry, Identity, identity
from core.shelf.faults import ShelfError
from core.shelf.lists import Listed

Kind = Literal["new", "changed", "same", "twice", "lots"]

_TOLD: Final = tuple(name for name in names_of(Entry) if name != "uid")


class Difference(Struct, frozen=True):
    """What would become of one yarn of a list.

    Attributes:
        kind: It is new, it changes one that is there, it is there just so, it would stand there
            twice, or it is there in several dye lots; the last two are to be changed by hand.
        before: What is there.
        after: What it would be.
        fields: Names of the fields that change.
    """

    kind: Kind
    before: Entry | None
    after: Entry
    fields: tuple[str, ...] = ()

    @property
    def can_be_taken(self) -> bool:
        """Whether taking it does anything."""
        return self.kind in ("new", "changed")


def differences(entries: Sequence[Entry], listed: Iterable[Listed]) -> tuple[Difference, ...]:
    """Return what a list would change, in the list's order.

    Raises:
        ShelfError: The list has one yarn twice; the sentence names both places.
    """
    by_uid = {entry.uid: entry for entry in entries}
    by_identity: dict[Identity, list[Entry]] = {}
    for entry in entries:
        by_identity.setdefault(identity(entry), []).append(entry)
    seen: dict[Identity | str, str] = {}
    found = []
    for line in listed:
        new = line.as_new()
        keys: list[Identity | str] = [identity(new)]
        keys += [line.uid] if line.uid else []
        for key in keys:
            if key in seen:
                raise ShelfError(
                    "refused",
                    f"{seen[key]} and {line.where} are one yarn, {new.name}: give one of them "
                    "another dye lot, or leave it out.",
                )
            seen[key] = line.where
        found.append(_difference(new, line, by_uid, by_identity))
    return tuple(found)


def _difference(
    new: Entry,
    line: Listed,
    by_uid: dict[str, Entry],
    by_identity: dict[Identity, list[Entry]],
) -> Difference:
    alike = by_identity.get(identity(new), [])
    before = by_uid.get(line.uid or "")
    if before is None and len(alike) == 1:
        before = alike[0]
    if before is None:
        return Difference("twice" if alike else "new", None, new)
    after = line.over(before)
    changed = tuple(name for name in _TOLD if getattr(before, name) != getattr(after, name))
    if not changed:
        return Difference("same", before, after)
    if any(other.uid != before.uid for other in by_identity.get(identity(after), [])):
        return Difference("twice", before, after, changed)
    return Difference("changed", before, after, changed)


def merged(text: str, chosen: Iterable[Difference]) -> Change:
    """Return the one change that takes these differences.

    Raises:
        ShelfError: Two of them change the same yarn.
    """
    before: dict[str, Entry] = {}
    after: dict[str, Entry] = {}
    for difference in chosen:
        if not difference.can_be_taken:
            continue
        if difference.after.uid in after:
            raise ShelfError("refused", f"{difference.after.name} would be changed twice.")
        if difference.before is not None:
            before[difference.before.uid] = difference.before
        after[difference.after.uid] = difference.after
    return Change(text, before, after)
