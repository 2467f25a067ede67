"""A text as it was read: its rows, their openings, and what there is to say about them."""

from collections.abc import Sequence
from typing import Literal

from core.craft.stitches import Terms
from core.design.document import WorkIn
from core.reading.acts import (
    Act,
    Count,
    Counts,
    LikeRow,
    Repeated,
)
from core.reading.layout import Layout
from core.reading.shaping import Flat
from core.reading.terms import Guess
from core.reading.worked import Standing, Worked
from core.records import Struct, field

Level = Literal["error", "warning", "note"]


class Trouble(Struct, frozen=True):
    """Something to say about a place in the text.

    Attributes:
        level: An error if the text can't be worked as it stands.
        start: Where the place begins in the text.
        end: Where it ends.
        row: The row, from 1; 0 for none.
        message: One sentence.
    """

    level: Level
    start: int
    end: int
    row: int
    message: str


class Opening(Struct, frozen=True):
    """The chain at a row's start.

    Attributes:
        chains: How many; None if none is told.
        counts: What it is said to count as; None if nothing is said.
        joins: Words that make one stitch of it and the next.
        after_turn: Whether it comes after the turn, so that it may be the row's own.
    """

    chains: int | None = None
    counts: Counts | None = None
    joins: Counts | None = None
    after_turn: bool = False

    @property
    def own(self) -> int | None:
        """The chains that are the turn alone."""
        if self.chains is None:
            return None
        return self.chains - (self.counts.chains if self.counts else 0)


class ReadRow(Struct):
    """A written row.

    Attributes:
        number: Its number from 1; of several alike, the first.
        label: What it is called in the text.
        start: Where its label begins.
        end: Where its words end.
        acts: What it tells to do.
        opening: Its turning chain.
        like: The row or rows it is worked as.
        stated: The count at its end, if one is given.
        loop: The loops it is worked in; None if it doesn't say.
        last_both: Whether its last stitch goes through both loops.
        yarn: The yarn it is begun with, if it says so.
        next_yarn: The yarn changed to at its end.
        worked: It followed, over the row below; None where it repeats others.
        available: Places of the row below.
        turns_into: What its turning chain is for the row above.
        flat: It as units.
    """

    number: int
    label: str
    start: int
    end: int
    acts: tuple[Act, ...]
    opening: Opening = Opening()
    like: LikeRow | None = None
    stated: Count | None = None
    loop: WorkIn | None = None
    last_both: bool = False
    yarn: str | None = None
    next_yarn: str | None = None
    worked: Worked | None = None
    available: int | None = None
    turns_into: Standing = "none"
    flat: Flat | None = None

    @property
    def uses(self) -> int | None:
        """Places it uses of the row below."""
        return self.worked.uses if self.worked else None

    @property
    def makes(self) -> int | None:
        """Stitches and chains it leaves; None where it can't be followed to its end."""
        return self.worked.makes if self.worked and self.worked.broken is None else None

    @property
    def name(self) -> str:
        """What it is called in a sentence."""
        return f"row {self.number}"


class Reading(Struct):
    """What a text says.

    Attributes:
        text: The text, untouched.
        guess: The terms it is likely in, and why.
        terms: The terms it was read in.
        layout: Its parts.
        rows: Its written rows.
        order: For every row from 1 up, the written row it is worked from, as a number in `rows`.
        is_open: Whether the last rows go on for as long as one likes.
        cycle: Where it is open, the rows that go on, as numbers in `order`.
        chains: Chains of the foundation.
        base: Places that row 1 is worked into.
        counts: Whether turning chains count as stitches.
        assumed: What was taken for granted, one sentence each.
        troubles: Everything to say, in the order of the text.
    """

    text: str
    guess: Guess
    terms: Terms
    layout: Layout
    rows: list[ReadRow] = field(default_factory=list)
    order: list[int] = field(default_factory=list)
    is_open: bool = False
    cycle: tuple[int, int] | None = None
    chains: int | None = None
    base: int | None = None
    counts: bool = False
    assumed: list[str] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)

    @property
    def is_sound(self) -> bool:
        """Whether there are rows and all of them can be followed to their ends."""
        return bool(self.rows) and all(trouble.level != "error" for trouble in self.troubles)

    def row(self, number: int) -> ReadRow | None:
        """Return what row number `number` is worked from."""
        if not 1 <= number <= len(self.order):
            return None
        return self.rows[self.order[number - 1]]


def every_act(acts: Sequence[Act]) -> list[Act]:
    """Return acts with those inside repeats."""
    found: list[Act] = []
    for act in acts:
        found.append(act)
        if isinstance(act, Repeated):
            found += every_act(act.body)
            found += every_act(act.ending)
    return found
