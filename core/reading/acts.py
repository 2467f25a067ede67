"""What a row tells to do, as it is read: acts with their words' place in the text.

Names of stitches stand as they were said; nothing is counted yet.
"""

from typing import Literal

from core.reading.names import Said
from core.records import Struct

Order = Literal["next", "first", "last", "same", "hook", "turning", "space", "across"]


class Place(Struct, frozen=True, kw_only=True):
    """Where in the row below something goes.

    Attributes:
        order: Which places: the next ones, the first, the last, the same as before, a chain
            counted from the hook, the turning chain, a chain space, or all up to the end.
        n: How many; of a chain space, its chains, 0 if that isn't said.
        ordinal: From the hook, the number of the chain; of the turning chain, which of its own.
        leave: Across: so many places are left for what follows.
        also_turning: The places named and the turning chain after them.
        each: Whether "each" was said, so that a number before it is for every place.
        number_said: Whether a number of places was said.
    """

    order: Order = "next"
    n: int = 1
    ordinal: int = 0
    leave: int | None = None
    also_turning: bool = False
    each: bool = False
    number_said: bool = False


class Act(Struct, frozen=True, kw_only=True):
    """Something told; `start` and `end` are its words' place in the text."""

    start: int
    end: int


class Work(Act, frozen=True, kw_only=True):
    """Stitches and chains into one place, and into so many places one after another.

    Attributes:
        made: What goes into one place, "ch" for a chain; "" for the row's own stitch.
        over: Places joined in one stitch; 0 for as many as the place has.
        times: How often; None if the place says it.
        place: Where.
        is_bare: Whether no place was named.
    """

    made: tuple[Said, ...]
    over: int = 1
    times: int | None = None
    place: Place = Place()
    is_bare: bool = False


class Skip(Act, frozen=True, kw_only=True):
    """Places left unworked."""

    place: Place


class Leave(Act, frozen=True, kw_only=True):
    """So many last places left unworked, and the turning chain where that is said."""

    n: int
    turning: bool


class Chain(Act, frozen=True, kw_only=True):
    """Chains; `more` are added to the foundation."""

    n: int
    more: bool = False


class Turn(Act, frozen=True, kw_only=True):
    """The work is turned."""


class Counts(Act, frozen=True, kw_only=True):
    """What a chain is said to count as.

    Attributes:
        said: The stitch; "" for just "a st"; None if it doesn't count.
        over: More than 1 for a decrease that the chain is a part of.
        chains: Chains of the row that count besides.
        own: How many of the skipped chains count, where that is said.
        joins: Whether it counts together with the stitch before.
        only_chains: Whether the skipped chains are chains of the row themselves.
        whole_row: Whether the chain is all of the row.
    """

    said: Said | None
    over: int = 1
    chains: int = 0
    own: int | None = None
    joins: bool = False
    only_chains: int = 0
    whole_row: bool = False


class Repeated(Act, frozen=True, kw_only=True):
    """Acts worked again.

    Attributes:
        body: The acts.
        times: How often in all; None where `to_last` or `across` says it.
        or_times: How often if the words are meant the other way.
        to_last: Until so many places are left.
        across: Until the row ends, or what follows needs the rest.
        last_until: The last time only up to the mark in the body.
        marked: Whether it stood between asterisks.
        ending: What the last time ends with in place of the body's own end.
    """

    body: tuple[Act, ...]
    times: int | None = None
    or_times: int | None = None
    to_last: int | None = None
    across: bool = False
    last_until: bool = False
    marked: bool = False
    ending: tuple[Act, ...] = ()


class Mark(Act, frozen=True, kw_only=True):
    """A second asterisk inside a repeat, where its last time stops."""


class Loop(Act, frozen=True, kw_only=True):
    """The loops a row is worked in."""

    work_in: Literal["both", "back", "front"]
    last_both: bool = False


class Yarn(Act, frozen=True, kw_only=True):
    """A yarn named: to begin the row with, or changed to at its end."""

    name: str
    after: bool


class Count(Act, frozen=True, kw_only=True):
    """Stitches the row is said to have, and how many of them are chains where that is said."""

    n: int
    chains: int | None = None
    spaces: int = 0


class LikeRow(Act, frozen=True, kw_only=True):
    """The row is worked as another, or as others in turn.

    Attributes:
        first: The first of them; 0 counts `last` rows back from here.
        last: The last of them.
        until: Up to this row, where that is said.
        last_as: The row that the very last is worked as.
    """

    first: int
    last: int
    until: int | None = None
    last_as: int | None = None


class Remark(Act, frozen=True, kw_only=True):
    """Words that don't change what is made."""


class Unread(Act, frozen=True, kw_only=True):
    """Words that could not be read, and what was expected in their place."""

    expected: str
