"""The shape of a wave: peaks and dips with runs between them.

A repeat is read as runs of plain stitches and *turns*: peaks that gain stitches, dips that
lose them. What the rows look like follows from it (`core.rows.shaped`), and so do the edges
(`core.rows.edges`).
"""

from collections.abc import Sequence
from typing import Final, Literal

from core.craft.stitches import WorkedStitch
from core.design.document import Item, Items, total_makes, total_uses
from core.records import Struct, replace
from core.rows.rhythm import EVERY_ROW, Rhythm

TurnKind = Literal["peak", "dip"]
EdgeKind = Literal["half", "straight", "own"]
PartKind = Literal["peak", "dip", "run"]

MAX_GAIN: Final = 8
MAX_RUN: Final = 100
MAX_MARGIN: Final = 8


class Turn(Struct, frozen=True):
    """A peak or a dip: items that gain or lose, and single stitches between two skips."""

    items: Items

    @property
    def gain(self) -> int:
        """Stitches gained; negative in a dip."""
        return total_makes(self.items) - total_uses(self.items)

    @property
    def kind(self) -> TurnKind:
        """Whether it gains or loses."""
        return "peak" if self.gain > 0 else "dip"

    @property
    def uses(self) -> int:
        """Stitches of the row below that it is worked into or passes over."""
        return total_uses(self.items)

    @property
    def is_skipped(self) -> bool:
        """Whether it loses by skipping."""
        return any(item.skip is not None for item in self.items)

    @property
    def is_spaced(self) -> bool:
        """Whether it loses by skipping single stitches, with one worked between two."""
        return self.is_skipped and any(item.is_plain for item in self.items)


class WaveShape(Struct, frozen=True, kw_only=True):
    """A wave as runs and turns, in working order of row 1.

    Attributes:
        stitch: The stitch of the runs.
        runs: Plain stitches before each turn, one number a turn.
        turns: The turns; if edges are halves, the last one is cut by the edge that row 1
            starts at.
        edge: How the edges are made: half a turn, straight stitches beside half a turn, or
            by items of their own.
        start: Items of the start edge if it is of its own.
        end: Items of the end edge likewise.
        leads_with_run: Whether the repeat begins with the run before the first turn; if
            not, it begins with the first turn and ends with that run.
        margin: Plain stitches outside the half turns, if edges are straight.
        far: Number of the turn that the other edge cuts, if it isn't the last one too.
        rhythm: How rows follow one another.
    """

    stitch: WorkedStitch
    runs: tuple[int, ...]
    turns: tuple[Turn, ...]
    edge: EdgeKind
    start: Items = ()
    end: Items = ()
    leads_with_run: bool = True
    margin: int = 0
    far: int | None = None
    rhythm: Rhythm = EVERY_ROW

    @property
    def multiple(self) -> int:
        """Stitches that one repeat uses."""
        return sum(self.runs) + sum(turn.uses for turn in self.turns)

    @property
    def far_turn(self) -> Turn:
        """The turn that the edge away from row 1's start cuts."""
        return self.turns[-1 if self.far is None else self.far]

    @property
    def is_uneven(self) -> bool:
        """Whether a row worked in reverse differs from it."""
        backwards = reversed_shape(self)
        return (backwards.runs, backwards.turns) != (self.runs, self.turns)


def reversed_shape(shape: WaveShape) -> WaveShape:
    """Return the runs and turns as they are met when the row is worked in reverse.

    The last turn stays the last, so that the same one is cut by the edges.
    """
    turns = tuple(Turn(turn.items[::-1]) for turn in (*shape.turns[-2::-1], shape.turns[-1]))
    return replace(shape, runs=shape.runs[::-1], turns=turns)


def run_of(stitch: WorkedStitch, stitches: int) -> Items:
    """Return a run of plain stitches as items; none for none."""
    return (Item(stitch=stitch, times=stitches),) if stitches > 0 else ()


# --- runs and turns among items ------------------------------------------------------------


class Part(Struct, frozen=True):
    """A stretch of the repeat's items: a run, or a turn.

    Attributes:
        kind: What it is.
        number: Number of the turn, or of the run before that turn.
        first: Its first item.
        count: How many items.
    """

    kind: PartKind
    number: int
    first: int
    count: int

    @property
    def is_turn(self) -> bool:
        """Whether it is a peak or a dip."""
        return self.kind != "run"


def runs_and_turns(items: Items) -> list[tuple[Items, int]]:
    """Return the items cut into runs (no items, their length) and turns (items, 0).

    A single stitch between two skips belongs to the dip; a peak beside a dip is two turns.
    """
    pieces: list[tuple[Items, int]] = []
    for number, item in enumerate(items):
        before = pieces[-1] if pieces else ((), 0)
        if item.is_plain and not _stands_between_skips(items, number, before[0]):
            if before[1]:
                pieces[-1] = ((), before[1] + item.times)
            else:
                pieces.append(((), item.times))
        elif before[0] and not _goes_the_other_way(before[0], item):
            pieces[-1] = ((*before[0], item), 0)
        else:
            pieces.append(((item,), 0))
    return pieces


def _stands_between_skips(items: Items, number: int, before: Items) -> bool:
    after = items[number + 1 : number + 2]
    return bool(items[number].times == 1 and before and before[-1].skip and after and after[0].skip)


def _goes_the_other_way(before: Items, item: Item) -> bool:
    """Return whether an item gains where those before it lose, or the other way round."""
    if any(one.stitch is None and one.skip is None for one in (*before, item)):
        return False  # chains over nothing are parts of lace, not peaks by themselves
    return (Turn(before).gain > 0) != (item.makes > item.uses)


def parts_among(items: Items, turns: int) -> tuple[Part, ...]:
    """Return the parts of a repeat of so many turns, in working order."""
    parts: list[Part] = []
    first = number = 0
    for piece, _run in runs_and_turns(items):
        count = len(piece) or 1
        kind: PartKind = Turn(piece).kind if piece else "run"
        parts.append(Part(kind, number % turns, first, count))
        first += count
        number += bool(piece)
    return tuple(parts)


# --- single stitches -----------------------------------------------------------------------


def units_of(items: Sequence[Item]) -> list[Item]:
    """Return the items one by one: each worked once, each skipped stitch by itself."""
    units: list[Item] = []
    for item in items:
        if item.skip is not None:
            units += [Item(skip=1)] * item.skip
        elif item.stitch is None:
            units.append(item)
        else:
            units += [worked(item, 1)] * item.times
    return units


def joined(units: Sequence[Item]) -> Items:
    """Return the units as few items: the same ones one after another are one."""
    items: list[Item] = []
    for unit in units:
        last = items[-1] if items else None
        if last is not None and last.skip is not None and unit.skip is not None:
            items[-1] = Item(skip=last.skip + unit.skip)
        elif last is not None and last.stitch and worked(last, unit.times) == unit:
            items[-1] = worked(last, last.times + unit.times)
        else:
            items.append(unit)
    return tuple(items)


def worked(item: Item, times: int) -> Item:
    """Return a stitch item worked another number of times."""
    return Item(stitch=item.stitch, make=item.make, over=item.over, chain=item.chain, times=times)
