"""A row taken apart into steps, each of which one phrase says; no words yet.

A row's items say how stitches follow one another; a maker needs more. The turning chain may
be the first stitch or a leg of it, row 1 begins so many chains from the hook, the last stitch
may go into the turning chain below, and a chain below is worked into differently from a
stitch. Steps have all of that settled.

Where one of these falls into the repeat, that repeat stands outside the asterisks, written
out: the first one if the start edge has no stitch to begin with, the last one if the end edge
works into nothing. What stands between the asterisks is the same every time.
"""

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import Enum, auto
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CHAIN, NUMBER
from core.design.document import Design, Item, Row, Turning, total_uses
from core.rows.build import Rows

Mask = NDArray[np.bool_]


class Where(Enum):
    """Which places of the row below a step goes into."""

    NEXT = auto()
    FIRST = auto()
    LAST = auto()
    ALL = auto()  # every place there is
    SAME = auto()  # where the turning chain stands
    FROM_HOOK = auto()  # a chain of the foundation, counted from the hook
    TURNING = auto()  # the places up to and with the turning chain of the row below


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What one phrase says.

    Attributes:
        item: What is worked, skipped or chained.
        where: Into which places.
        into_chain: Whether they are chains.
        ordinal: From the hook, the number of the first chain; for the turning chain, which
            of its chains, 0 for its top.
        joins: Whether it makes one stitch together with the counted chain.
    """

    item: Item
    where: Where = Where.NEXT
    into_chain: bool = False
    ordinal: int = 0
    joins: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
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


@dataclass(frozen=True, slots=True, kw_only=True)
class RowSteps:
    """A row as it is told: the lead, the repeat between asterisks, the tail.

    Attributes:
        opening: How it starts.
        lead: Steps before the asterisk; everything if there is none.
        repeat: Steps between the asterisks.
        times: How often those are worked; 0 if nothing is marked.
        tail: Steps after them.
        tail_uses: Places of the row below that are left for the tail.
        ending: What the last place is.
    """

    opening: Opening
    lead: tuple[Step, ...]
    repeat: tuple[Step, ...]
    times: int
    tail: tuple[Step, ...]
    tail_uses: int
    ending: Ending


def row_steps(design: Design, rows: Rows, row: int) -> RowSteps:
    """Return the steps of row number `row`, from 1."""
    plan, turning = rows.plan(row), design.turning
    below = rows.plan(row - 1) if row > 1 else None
    ending = ending_over(below.row, turning) if below else Ending.STITCH
    at_chain = ending in (Ending.TOP, Ending.NTH)
    wanted = _beginning_wanted(turning, row)
    parts = _parts(plan.row, plan.repeats, beginning=wanted, ending=at_chain)
    if below:
        mask = below.kind == NUMBER[CHAIN]
        opening, opened = _turned(parts.lead, turning)
    else:
        mask = np.ones(plan.uses, dtype=np.bool_)
        opening, opened = _from_hook(parts.lead, turning, rows.foundation.turn)
    return _Told(parts, mask, opening, opened, ending, turning).steps(named=below is not None)


def ending_over(below: Row, turning: Turning) -> Ending:
    """Return what waits at the end of a row worked over `below`."""
    if not turning.counts:
        return Ending.STITCH
    queue = deque(merged(below.start + below.repeat))
    extra, _ = _pass_over(queue)
    first = queue.popleft()
    if first.over > 1:
        return Ending.JOINED
    if first.make > 1:
        extra += first.chain or 0
    elif first.times == 1:
        extra += _pass_over(queue)[0]
    return Ending.NTH if extra else Ending.TOP


def merged(items: Iterable[Item]) -> list[Item]:
    """Return the items with neighbours that say the same thing made one."""
    found: list[Item] = []
    for item in items:
        if found and (both := _as_one(found[-1], item)):
            found[-1] = both
        else:
            found.append(item)
    return found


def with_times(item: Item, times: int) -> Item:
    """Return a stitch item worked `times` times."""
    return Item(stitch=item.stitch, times=times, make=item.make, over=item.over, chain=item.chain)


def _as_one(one: Item, two: Item) -> Item | None:
    if one.stitch is None and two.stitch is None:
        if one.skip and two.skip:
            return Item(skip=one.skip + two.skip)
        if one.chain and two.chain:
            return Item(chain=one.chain + two.chain)
        return None
    if one.stitch and two.stitch and with_times(one, 1) == with_times(two, 1):
        return with_times(one, one.times + two.times)
    return None


@dataclass(frozen=True, slots=True)
class _Parts:
    """Items before, between and after the asterisks."""

    lead: list[Item]
    repeat: list[Item]
    times: int
    tail: list[Item]


class _Beginning(Enum):
    """What the start edge has to hold, if its repeat is to stay between the asterisks."""

    ANYTHING = auto()
    STITCH = auto()  # told specially, or replaced by the turning chain
    WORKED_STITCH = auto()  # one that the chain leaves to be worked


def _beginning_wanted(turning: Turning, row: int) -> _Beginning:
    if row > 1:
        return _Beginning.STITCH if turning.counts else _Beginning.ANYTHING
    return _Beginning.WORKED_STITCH if turning.counts else _Beginning.STITCH


def _parts(row: Row, repeats: int, *, beginning: _Beginning, ending: bool) -> _Parts:
    """Return the row's items, with the repeats written out that differ from the others."""
    repeat = merged(row.repeat)
    if len(repeat) == 1 and repeat[0].stitch:
        one = with_times(repeat[0], repeat[0].times * repeats)
        return _Parts(merged((*row.start, one, *row.end)), [], 0, [])
    opens = not _has(beginning, row.start)
    closes = ending and not total_uses(row.end)
    times = repeats - opens - closes
    if times <= 1:
        return _Parts(merged((*row.start, *repeat * repeats, *row.end)), [], 0, [])
    lead = merged((*row.start, *repeat * opens))
    return _Parts(lead, repeat, times, merged((*repeat * closes, *row.end)))


def _has(beginning: _Beginning, start: Sequence[Item]) -> bool:
    stitches = [item for item in start if item.stitch]
    if beginning is _Beginning.WORKED_STITCH:
        return len(stitches) > 1 or any(not item.is_plain or item.times > 1 for item in stitches)
    return beginning is _Beginning.ANYTHING or bool(stitches)


def _pass_over(queue: deque[Item]) -> tuple[int, int]:
    """Take chains and skips from the front; return how many of each."""
    chains = skips = 0
    while queue and queue[0].stitch is None:
        item = queue.popleft()
        chains += item.chain or 0
        skips += item.skip or 0
    return chains, skips


@dataclass(frozen=True, slots=True)
class _Opened:
    """Steps that have been told, the items after them, and the places used so far."""

    steps: list[Step]
    rest: list[Item]
    used: int


@dataclass(slots=True)
class _Beside:
    """The first stitch with the turning chain taken out of it.

    Attributes:
        opening: What the chain counts as.
        left: What remains to be worked with the chain; None if the chain is all of it.
        skipped: Places before those of `left`, or before the next stitch.
        queue: The items after it.
    """

    opening: Opening
    left: Item | None
    skipped: int
    queue: deque[Item]


def _beside_chain(items: Sequence[Item]) -> _Beside:
    queue = deque(items)
    extra, skipped = _pass_over(queue)
    first = queue.popleft()
    if first.times > 1:
        queue.appendleft(with_times(first, first.times - 1))
    left = None
    if first.make > 1:
        extra += first.chain or 0
        fewer = first.make - 1
        left = Item(stitch=first.stitch, make=fewer, chain=first.chain if fewer > 1 else None)
    elif first.over > 1:
        skipped += 1
        left = Item(stitch=first.stitch, over=first.over - 1)
    else:
        skipped += 1
        more, over = _pass_over(queue)
        extra, skipped = extra + more, skipped + over
    opening = Opening(stitch=first.stitch, over=first.over, extra=extra)
    return _Beside(opening, left, skipped, queue)


def _turned(items: Sequence[Item], turning: Turning) -> tuple[Opening, _Opened]:
    """Return the opening of a row worked into another."""
    if not turning.counts:
        return Opening(), _Opened([], list(items), 0)
    beside = _beside_chain(items)
    steps: list[Step] = []
    if beside.skipped:
        steps.append(Step(item=Item(skip=beside.skipped), where=Where.FIRST))
    used = beside.skipped
    if beside.left:
        where = Where.NEXT if steps else Where.SAME
        steps.append(Step(item=beside.left, where=where, joins=beside.opening.over > 1))
        used += beside.left.uses
    return beside.opening, _Opened(steps, list(beside.queue), used)


def _from_hook(items: Sequence[Item], turning: Turning, turn: int) -> tuple[Opening, _Opened]:
    """Return the opening of row 1: which chain from the hook takes its first stitch."""
    if turning.counts:
        beside = _beside_chain(items)
    else:
        queue = deque(items)
        extra, skipped = _pass_over(queue)
        beside = _Beside(Opening(extra=extra), None, skipped, queue)
    first, joins = beside.left, beside.opening.over > 1
    if first is None and beside.queue:
        item = beside.queue.popleft()
        first = with_times(item, 1)
        if item.times > 1:
            beside.queue.appendleft(with_times(item, item.times - 1))
    if first is None:
        return beside.opening, _Opened([], [], beside.skipped)
    skipped = turn + beside.opening.extra + beside.skipped
    step = Step(
        item=first, where=Where.FROM_HOOK, into_chain=True, ordinal=skipped + 1, joins=joins
    )
    used = beside.skipped + first.uses
    return replace(beside.opening, skipped=skipped), _Opened([step], list(beside.queue), used)


@dataclass(frozen=True, slots=True)
class _Told:
    """The parts of a row on their way to steps.

    `mask` says of every place of the row below whether it is a chain.
    """

    parts: _Parts
    mask: Mask
    opening: Opening
    opened: _Opened
    ending: Ending
    turning: Turning

    def steps(self, *, named: bool) -> RowSteps:
        """Return the steps; the first place is said to be that only where `named`."""
        parts = self.parts
        lead_uses, tail_uses = total_uses(tuple(parts.lead)), total_uses(tuple(parts.tail))
        lead = list(self.opened.rest)
        tail = list(parts.tail)
        closing = self._closing(tail if parts.times else lead)
        lead_steps = _split(lead, self.mask[self.opened.used : lead_uses])
        tail_steps = _split(tail, self.mask[len(self.mask) - tail_uses :])
        repeat_steps = _split(parts.repeat, self._mask_of_repeat(lead_uses))
        if named and not self.turning.counts:
            _name(lead_steps, Where.FIRST, closing=False)
        if closing is None:
            _name(tail_steps if parts.times else lead_steps, Where.LAST, closing=True)
        else:
            (tail_steps if parts.times else lead_steps).extend(closing)
        return RowSteps(
            opening=self.opening,
            lead=(*self.opened.steps, *lead_steps),
            repeat=tuple(repeat_steps),
            times=parts.times,
            tail=tuple(tail_steps),
            tail_uses=tail_uses,
            ending=self.ending,
        )

    def _closing(self, items: list[Item]) -> list[Step] | None:
        """Take the last place from the items, if it is in a turning chain."""
        if self.ending not in (Ending.TOP, Ending.NTH):
            return None
        ordinal = self.turning.chains if self.ending is Ending.NTH else 0
        after: list[Step] = []
        while items and not items[-1].uses:
            after.insert(0, Step(item=items.pop()))
        if not items:  # the row has one place, and the turning chain stands on it
            return after
        last = items.pop()
        once = last
        if last.stitch:
            once = with_times(last, 1)
            if last.times > 1:
                items.append(with_times(last, last.times - 1))
        return [Step(item=once, where=Where.TURNING, ordinal=ordinal), *after]

    def _mask_of_repeat(self, lead_uses: int) -> Mask:
        uses, times = total_uses(tuple(self.parts.repeat)), self.parts.times
        if not times:
            return self.mask[:0]
        every = self.mask[lead_uses : lead_uses + uses * times].reshape(times, uses)
        return np.logical_and.reduce(every, axis=0)


def _split(items: Sequence[Item], mask: Mask) -> list[Step]:
    """Return a step for each item, or several where some places are chains and some not."""
    steps: list[Step] = []
    at = 0
    for item in items:
        if not item.stitch:
            chains = bool(item.skip) and bool(mask[at : at + item.uses].all())
            steps.append(Step(item=item, into_chain=chains))
        else:
            places = mask[at : at + item.uses].reshape(item.times, item.over)
            units: Mask = np.logical_and.reduce(places, axis=1)
            steps += _runs(item, units)
        at += item.uses
    return steps


def _runs(item: Item, units: Mask) -> list[Step]:
    edges = [0, *(np.flatnonzero(np.diff(units)) + 1).tolist(), len(units)]
    return [
        Step(item=with_times(item, end - begin), into_chain=bool(units[begin]))
        for begin, end in pairwise(edges)
    ]


def _name(steps: list[Step], where: Where, *, closing: bool) -> None:
    """Say of the first or last step that works into something that it is that."""
    numbers = [number for number, step in enumerate(steps) if step.item.uses]
    if not numbers:
        return
    number = numbers[-1 if closing else 0]
    step = steps[number]
    if closing and step.where is Where.FIRST:
        where = Where.ALL if step.item.stitch and step.item.over == 1 else Where.FIRST
    if step.item.over == 1 or step.item.times == 1:
        steps[number] = replace(step, where=where)
