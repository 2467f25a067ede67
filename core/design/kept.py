"""A version of a design that was kept: what is known of it without opening it."""

from typing import Final, Literal, get_args

from core.records import Struct

Kind = Literal["saved", "aside", "kept", "issued"]
KINDS: Final[tuple[Kind, ...]] = get_args(Kind)
BY_HAND: Final[tuple[Kind, ...]] = ("kept", "issued")
MOST_NAME: Final = 80
MOST_NOTE: Final = 2_000


class Version(Struct, frozen=True, kw_only=True):
    """One kept version.

    Attributes:
        file: Name of its file among the design's versions.
        when: Seconds since 1970.
        kind: Kept at a save, set aside, kept by hand, or issued under a number.
        name: What its keeper calls it.
        note: What its keeper says of it.
        number: The number it was issued under.
        digest: Of its design; equal designs have equal ones.
    """

    file: str
    when: float
    kind: Kind
    name: str = ""
    note: str = ""
    number: int | None = None
    digest: str = ""

    @property
    def is_by_hand(self) -> bool:
        """Whether somebody asked for it to be kept; it is then never thinned out."""
        return self.kind in BY_HAND


def to_thin(versions: tuple[Version, ...], now: float) -> tuple[Version, ...]:
    """Return the automatic versions that need no longer be kept, of `versions` newest first.

    The newest twenty stay; of older ones, the last of each hour for two days, of each day for
    two months, and of each month after that. At most 200 stay.
    """
    hour, day = 3_600.0, 86_400.0
    dropped: list[Version] = []
    seen: set[tuple[str, int]] = set()
    automatic = [version for version in versions if not version.is_by_hand]
    stay = 0
    for number, version in enumerate(automatic):
        age = now - version.when
        if number < _NEWEST:
            stay += 1
            continue
        if age < 2 * day:
            slot = "hour", int(version.when // hour)
        elif age < 60 * day:
            slot = "day", int(version.when // day)
        else:
            slot = "month", int(version.when // (30 * day))
        if slot in seen or stay >= _MOST_AUTOMATIC:
            dropped.append(version)
        else:
            seen.add(slot)
            stay += 1
    return tuple(dropped)


_NEWEST: Final = 20
_MOST_AUTOMATIC: Final = 200
MOST_BY_HAND: Final = 500
