"""What a row is worked over, how it begins, and what comes of it."""

from typing import Literal

from core.reading.names import Said
from core.records import Struct, field

Standing = Literal["none", "stands", "joined"]
EventKind = Literal["st", "ch", "skip"]
BreakKind = Literal["short", "over", "place", "unread", "size"]


class Below(Struct, frozen=True):
    """What a row is worked over.

    Attributes:
        n: How many places; None if that isn't known.
        kinds: "st" or "ch" for each place in working order; empty if that isn't known.
        turning: Whether its turning chain is its first stitch, a leg of it, or none.
        name: What it is called: "row 1", "the foundation".
    """

    n: int | None
    kinds: tuple[str, ...]
    turning: Standing
    name: str


class Start(Struct, frozen=True):
    """How a row begins.

    Attributes:
        said: The stitch that the chain counts as; None if it counts as none.
        joins: Whether it is a leg of the first stitch.
        chains: Chains of the row that follow the chain at once.
        turn: In row 1, foundation chains that are only the turn; None in other rows.
        more: In row 1, chains made beyond the foundation.
        whole: Whether the chain is all of the row.
    """

    said: Said | None = None
    joins: bool = False
    chains: int = 0
    turn: int | None = None
    more: int = 0
    whole: bool = False


class Choices(Struct, frozen=True):
    """Which way words are meant that can be meant in two.

    Attributes:
        spread: "3 dc in next 3 sts" is one in each.
        in_all: "Repeat from * 6 times" is six times in all, not six times more.
        lead: "Turn, ch 1" makes a chain of the row, not a turning chain.
    """

    spread: bool = False
    in_all: bool = False
    lead: bool = False


class Event(Struct):
    """A stitch, a chain or a stitch skipped, with its words' place in the text."""

    kind: EventKind
    name: Said
    feet: tuple[int, ...]
    start: int
    end: int


class Break(Struct, frozen=True):
    """Where following stopped, and why."""

    kind: BreakKind
    start: int
    end: int
    message: str


class Worked(Struct):
    """A row that was followed.

    Attributes:
        events: What was made and skipped, in order.
        uses: Places used of the row below.
        broken: Where it broke, if it did.
        remarks: What was taken for granted on the way.
        repeat: Events between the asterisks: where the first of them is, how many one repeat
            has, how often; None without asterisks.
    """

    events: list[Event] = field(default_factory=list)
    uses: int = 0
    broken: Break | None = None
    remarks: list[Break] = field(default_factory=list)
    repeat: tuple[int, int, int] | None = None
    joined: bool = False

    @property
    def makes(self) -> int:
        """Stitches and chains made."""
        return sum(event.kind != "skip" for event in self.events)

    @property
    def kinds(self) -> tuple[str, ...]:
        """What each stitch made is for the row above."""
        return tuple(event.kind for event in self.events if event.kind != "skip")
