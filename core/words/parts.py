"""A row's items before, between and after the asterisks.

Where the row's special first or last place falls into the repeat, that repeat stands outside
the asterisks, written out: the first if the start edge has no stitch to begin with, the last
if the end edge works into nothing. What stands between the asterisks is the same every time.
"""

from collections.abc import Iterable, Sequence
from enum import Enum, auto

from core.design.document import Item, Row, Turning, total_uses
from core.records import Struct


class Parts(Struct, frozen=True):
    """Items before, between and after the asterisks."""

    lead: list[Item]
    repeat: list[Item]
    times: int
    tail: list[Item]


class Beginning(Enum):
    """What the start edge has to hold, if its repeat is to stay between the asterisks."""

    ANYTHING = auto()
    STITCH = auto()  # told specially, or replaced by the turning chain
    WORKED_STITCH = auto()  # one that the chain leaves to be worked


def beginning_wanted(turning: Turning, row: int) -> Beginning:
    """Return what row number `row` needs at its start before a repeat can be marked."""
    if row > 1:
        return Beginning.STITCH if turning.counts else Beginning.ANYTHING
    return Beginning.WORKED_STITCH if turning.counts else Beginning.STITCH


def parts_of(
    row: Row, repeats: int, *, beginning: Beginning, ending: bool, least: int = 2
) -> Parts:
    """Return the row's items, with the repeats written out that differ from the others.

    Args:
        row: The row.
        repeats: How often its repeat is worked.
        beginning: What the start edge has to hold.
        ending: Whether the last place is told specially.
        least: How often the same repeat has to come before it is marked.
    """
    repeat = merged(row.repeat)
    if len(repeat) == 1 and repeat[0].stitch:
        one = with_times(repeat[0], repeat[0].times * repeats)
        return Parts(merged((*row.start, one, *row.end)), [], 0, [])
    opens = _opening_repeats(beginning, row.start, repeat)
    closes = ending and not total_uses(row.end)
    times = repeats - opens - closes
    if times < least:
        return Parts(merged((*row.start, *repeat * repeats, *row.end)), [], 0, [])
    lead = merged((*row.start, *repeat * opens))
    return Parts(lead, repeat, times, merged((*repeat * closes, *row.end)))


def _opening_repeats(beginning: Beginning, start: Sequence[Item], repeat: Sequence[Item]) -> int:
    """Return how many repeats have to be written out until the beginning is there."""
    if _has(beginning, start):
        return 0
    return 1 if _has(beginning, (*start, *repeat)) else 2


def _has(beginning: Beginning, start: Sequence[Item]) -> bool:
    stitches = [item for item in start if item.stitch]
    if beginning is Beginning.WORKED_STITCH:
        return len(stitches) > 1 or any(not item.is_plain or item.times > 1 for item in stitches)
    return beginning is Beginning.ANYTHING or bool(stitches)


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
