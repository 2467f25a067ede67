"""Slips of the hook: what one mistake does to the start, the end or the repeat of a row.

Units are listed from the edge inwards for an edge, in working order for a repeat. A slip uses
the same stitches of the row below as the right row does, unless they are left unworked, which
is a skip; so the mistaken row fits what it is worked into and only its own count changes.
"""

from core.craft.stitches import KEYS, WORKED
from core.design.document import Item, Items, total_uses
from core.doctor.stretch import Spent, Units, edge_run, plain_of
from core.rows.shape import Turn, units_of, worked


def one_more_at_edge(units: Units) -> Units:
    """Work one more stitch into the place at the very edge."""
    first = units[0]
    if first.stitch is None or first.over > 1 or first.make >= 12:
        raise Spent
    more = Item(stitch=first.stitch, make=first.make + 1, chain=first.chain)
    return [more, *units[1:]]


def edge_left_out(units: Units) -> Units:
    """Leave the place at the very edge unworked and do there what belongs one place further in."""
    keep = next((n for n, unit in enumerate(units) if unit.is_plain), None)
    if keep is None:
        raise Spent
    if keep == 0:
        return [Item(skip=1), *units[1:]]
    return [Item(skip=1), *edge_run(units, -1, keep=keep)]


def taller_edge(units: Units) -> Units:
    """Make the stitch at the very edge one kind taller, as a chain too long stands."""
    first = units[0]
    if first.stitch is None or first.over > 1 or first.stitch == WORKED[-1]:
        raise Spent
    taller = WORKED[WORKED.index(first.stitch) + 1]
    return [Item(stitch=taller, make=first.make, chain=first.chain), *units[1:]]


def whole_turn(units: Units, turn: Turn) -> Units:
    """Work the whole of a turn where the edge has half of it."""
    half = next((n for n, unit in enumerate(units) if unit.is_plain), len(units))
    gain = sum(unit.makes - unit.uses for unit in units[:half])
    if not half or not gain or turn.gain * gain <= 0 or abs(turn.gain) <= abs(gain):
        raise Spent
    whole = units_of(turn.items)
    if whole[0].skip is not None:
        raise Spent
    taken = total_uses(tuple(whole)) - sum(unit.uses for unit in units[:half])
    return edge_run([*whole, *units[half:]], -taken, keep=len(whole))


def decrease_missed(units: Units, at: int) -> Units:
    """Work the stitches of a decrease one by one, or one that should be skipped."""
    unit = units[at]
    if unit.stitch and unit.over > 1:
        return [*units[:at], *[Item(stitch=unit.stitch)] * unit.over, *units[at + 1 :]]
    if unit.skip:
        return [*units[:at], Item(stitch=plain_of(units)), *units[at + 1 :]]
    raise Spent


def increase_missed(units: Units, at: int) -> Units:
    """Work one stitch less into the place of an increase."""
    return [*units[:at], _with_make(units[at], -1), *units[at + 1 :]]


def increase_too_many(units: Units, at: int) -> Units:
    """Work one stitch more into the place of an increase."""
    return [*units[:at], _with_make(units[at], 1), *units[at + 1 :]]


def _with_make(unit: Item, more: int) -> Item:
    if unit.stitch is None or unit.make < 2 or not 1 <= unit.make + more <= 12:
        raise Spent
    make = unit.make + more
    return Item(stitch=unit.stitch, make=make, chain=unit.chain if make > 1 else None)


def first_decrease(units: Units) -> int | None:
    """Return the number of the first unit that loses stitches, if there is one."""
    return next((n for n, u in enumerate(units) if u.skip or (u.stitch and u.over > 1)), None)


def first_increase(units: Units) -> int | None:
    """Return the number of the first unit that gains stitches, if there is one."""
    return next((n for n, unit in enumerate(units) if unit.stitch and unit.make > 1), None)


def spread_peak(peak: Items, stitch: str) -> Units:
    """Return a peak's increases set apart by a plain stitch; it gains as much as before."""
    units = units_of(peak)
    if any(unit.stitch is None or unit.make < 2 for unit in units) or stitch not in KEYS:
        raise Spent
    between = Item(stitch=plain_of(units))
    if len(units) > 1:
        half = len(units) // 2
        return [*units[:half], between, *units[half:]]
    one = units[0]
    gain = one.make - 1
    if gain < 2 or one.chain:
        raise Spent
    parts = gain // 2 + 1, gain - gain // 2 + 1
    near, far = (Item(stitch=one.stitch, make=part) for part in parts)
    return [near, between, far]


__all__ = [
    "decrease_missed",
    "edge_left_out",
    "first_decrease",
    "first_increase",
    "increase_missed",
    "increase_too_many",
    "one_more_at_edge",
    "spread_peak",
    "taller_edge",
    "whole_turn",
    "worked",
]
