"""How a row begins: what the turning chain stands for, and where the first stitch goes."""

from collections import deque
from collections.abc import Sequence

from core.design.document import Item, Turning
from core.records import Struct, replace
from core.rows.plan import RowPlan
from core.words.parts import merged, with_times
from core.words.steps import Ending, Opening, Step, Where


class Opened(Struct, frozen=True):
    """Steps that have been told, the items after them, and the places used so far."""

    steps: list[Step]
    rest: list[Item]
    used: int


class _Beside(Struct):
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
    extra, skipped = pass_over(queue)
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
        more, over = pass_over(queue)
        extra, skipped = extra + more, skipped + over
    opening = Opening(stitch=first.stitch, over=first.over, extra=extra)
    return _Beside(opening, left, skipped, queue)


def turned(items: Sequence[Item], turning: Turning) -> tuple[Opening, Opened]:
    """Return the opening of a row worked into another."""
    if not turning.counts:
        return Opening(), Opened([], list(items), 0)
    beside = _beside_chain(items)
    steps: list[Step] = []
    if beside.skipped:
        steps.append(Step(item=Item(skip=beside.skipped), where=Where.FIRST))
    used = beside.skipped
    if beside.left:
        where = Where.NEXT if steps else Where.SAME
        steps.append(Step(item=beside.left, where=where, joins=beside.opening.over > 1))
        used += beside.left.uses
    return beside.opening, Opened(steps, list(beside.queue), used)


def from_hook(items: Sequence[Item], turning: Turning, turn: int) -> tuple[Opening, Opened]:
    """Return the opening of row 1: which chain from the hook takes its first stitch."""
    if turning.counts:
        beside = _beside_chain(items)
    else:
        queue = deque(items)
        extra, skipped = pass_over(queue)
        beside = _Beside(Opening(extra=extra), None, skipped, queue)
    first, joins = beside.left, beside.opening.over > 1
    if first is None and beside.queue:
        item = beside.queue.popleft()
        first = with_times(item, 1)
        if item.times > 1:
            beside.queue.appendleft(with_times(item, item.times - 1))
    if first is None:
        return beside.opening, Opened([], [], beside.skipped)
    skipped = turn + beside.opening.extra + beside.skipped
    step = Step(
        item=first, where=Where.FROM_HOOK, into_chain=True, ordinal=skipped + 1, joins=joins
    )
    used = beside.skipped + first.uses
    return replace(beside.opening, skipped=skipped), Opened([step], list(beside.queue), used)


def ending_over(below: RowPlan, turning: Turning) -> Ending:
    """Return what waits at the end of a row worked over `below`."""
    if not turning.counts:
        return Ending.STITCH
    row = below.row
    queue = deque(merged((*row.start, *row.repeat * min(below.repeats, 2), *row.end)))
    extra, _ = pass_over(queue)
    first = queue.popleft()
    if first.over > 1:
        return Ending.JOINED
    if first.make > 1:
        extra += first.chain or 0
    elif first.times == 1:
        extra += pass_over(queue)[0]
    return Ending.NTH if extra else Ending.TOP


def pass_over(queue: deque[Item]) -> tuple[int, int]:
    """Take chains and skips from the front; return how many of each."""
    chains = skips = 0
    while queue and queue[0].stitch is None:
        item = queue.popleft()
        chains += item.chain or 0
        skips += item.skip or 0
    return chains, skips
