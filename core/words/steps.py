"""What a row is told in: steps, each of which one phrase says; no words yet.

A row's items say how stitches follow one another; a maker needs more. The turning chain may
be the first stitch or a leg of it, row 1 begins so many chains from the hook, the last stitch
may go into the turning chain below, and a chain below is worked into differently from a
stitch. Steps have all of that settled; `core.words.telling` makes them.
"""

from enum import Enum, auto

from core.design.document import Item
from core.records import Struct


class Where(Enum):
    """Which places of the row below a step goes into."""

    NEXT = auto()
    FIRST = auto()
    LAST = auto()
    ALL = auto()  # every place there is
    SAME = auto()  # where the turning chain stands
    FROM_HOOK = auto()  # a chain of the foundation, counted from the hook
    TURNING = auto()  # the places up to and with the turning chain of the row below


class Step(Struct, frozen=True, kw_only=True):
    """What one phrase says.

    Attributes:
        item: What is worked, skipped or chained.
        where: Into which places.
        into_chain: Whether they are chains.
        space: If they are all the chains of one chain space, how many those are.
        ordinal: From the hook, the number of the first chain; for the turning chain, which
            of its chains, 0 for its top.
        joins: Whether it makes one stitch together with the counted chain.
    """

    item: Item
    where: Where = Where.NEXT
    into_chain: bool = False
    space: int = 0
    ordinal: int = 0
    joins: bool = False


class Opening(Struct, frozen=True, kw_only=True):
    """How a row starts.

    Attributes:
        stitch: What the chain counts as, alone or with its first step; None if it doesn't.
        over: More than 1 if the chain is the first leg of so many.
        extra: Chains that follow the turn and are chains of the row itself.
        skipped: In row 1, the chains left unworked at the hook.
    """

    stitch: str | None = None
    over: int = 1
    extra: int = 0
    skipped: int = 0


class Ending(Enum):
    """What the last place of the row below is."""

    STITCH = auto()
    TOP = auto()  # the top of its turning chain
    NTH = auto()  # a chain of it, since more chains follow
    JOINED = auto()  # a decrease that the turning chain is a leg of, the chain standing aside


class RowSteps(Struct, frozen=True, kw_only=True):
    """A row as it is told: the lead, the repeat between asterisks, the tail.

    Attributes:
        opening: How it starts.
        chains: Chains of its turning chain.
        lead: Steps before the asterisk; everything if there is none.
        repeat: Steps between the asterisks.
        times: How often those are worked; 0 if nothing is marked.
        tail: Steps after them.
        tail_uses: Places of the row below that are left for the tail.
        ending: What the last place is.
    """

    opening: Opening
    chains: int
    lead: tuple[Step, ...]
    repeat: tuple[Step, ...]
    times: int
    tail: tuple[Step, ...]
    tail_uses: int
    ending: Ending
