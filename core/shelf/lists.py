"""A yarn of a list that comes from outside: what is said of it, the rest being left open."""

from collections.abc import Mapping
from typing import Any

from core.records import Struct, replace
from core.shelf.entry import LONGEST, Entry, checked, new_uid, tidied, tidied_asides
from core.shelf.faults import ShelfError

LIKE_M = 100.0
LIKE_G = 50.0
"""A ball of a new yarn whose list says nothing of it, to be corrected (our own choice)."""


class Listed(Struct, frozen=True):
    """What a list says of one yarn.

    Attributes:
        values: Fields of an entry, only those the list has.
        where: Where it stands in the list.
    """

    values: Mapping[str, Any]
    where: str

    @staticmethod
    def of(values: Mapping[str, Any], where: str) -> "Listed":
        """Return a checked line.

        Raises:
            ShelfError: A value is out of bounds; the sentence names the line.
        """
        said = {
            field: _tidied(field, value)
            for field, value in values.items()
            if not _is_open(field, value)
        }
        said["colour"] = str(said.get("colour", "")).lower()
        listed = Listed(said, where)
        listed.as_new()
        return listed

    @property
    def uid(self) -> str | None:
        """The name it is known by, if the list has it."""
        return self.values.get("uid")

    def as_new(self) -> Entry:
        """Return the entry it makes where there is none yet."""
        values = {"uid": new_uid(), "name": "", "ball_m": LIKE_M, "ball_g": LIKE_G, **self.values}
        return self._made(lambda: Entry(**values))

    def over(self, entry: Entry) -> Entry:
        """Return an entry with what the list says of it."""
        values = {field: value for field, value in self.values.items() if field != "uid"}
        return self._made(lambda: replace(entry, **values))

    def _made(self, make: Any) -> Entry:
        try:
            return checked(make())
        except ShelfError as error:
            raise ShelfError("refused", f"{self.where}: {error}") from None


def _tidied(field: str, value: Any) -> Any:
    if field == "asides":
        return tidied_asides(value)
    if isinstance(value, str):
        return tidied(field, value) if field in LONGEST else value.strip()
    return value


def _is_open(field: str, value: object) -> bool:
    """Return whether a list leaves a field open: numbers that must be, or a name, not given."""
    if field in ("ball_m", "ball_g", "balls"):
        return value is None
    return field == "uid" and not value
