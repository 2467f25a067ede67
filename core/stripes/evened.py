"""Widths shared out among colours so that each gets about as many rows, and shuffled.

The widest go first, each to the colour that has least; then widths change hands for as long as
that evens the rows. The order of colours is searched like any planned random, so no colour
touches itself where that can be helped.
"""

from collections.abc import Sequence

from core.stripes.chance import Chance
from core.stripes.rules import Rules
from core.stripes.search import ShouldStop, find_order

_FEW_STEPS = 4000


def shared_evenly(widths: Sequence[int], colours: int, chance: Chance) -> list[list[int]]:
    """Return for every colour the numbers of its widths; their rows come out as even as found."""
    most = -(-len(widths) // 2) if colours > 1 else len(widths)  # more would have to touch
    groups: list[list[int]] = [[] for _ in range(colours)]
    rows = [0] * colours
    lots = chance.shuffled(range(colours))
    order = sorted(chance.shuffled(range(len(widths))), key=lambda n: -widths[n])
    for number in order:
        able = [colour for colour in lots if len(groups[colour]) < most]
        least = min(able, key=lambda colour: rows[colour])
        groups[least].append(number)
        rows[least] += widths[number]
    _exchange(groups, rows, widths)
    return groups


def _exchange(groups: list[list[int]], rows: list[int], widths: Sequence[int]) -> None:
    """Let the fullest and the emptiest colour change widths until that evens nothing."""
    for _ in range(len(widths) * len(groups)):
        full = max(range(len(rows)), key=lambda n: (rows[n], n))
        low = min(range(len(rows)), key=lambda n: (rows[n], n))
        off = rows[full] - rows[low]
        swaps = [
            (abs(off - 2 * (widths[one] - widths[other])), one, other)
            for one in groups[full]
            for other in groups[low]
            if widths[one] > widths[other]
        ]
        best = min(swaps, default=(off, -1, -1))
        if best[0] >= off:
            return
        _, one, other = best
        groups[full][groups[full].index(one)] = other
        groups[low][groups[low].index(other)] = one
        rows[full] -= widths[one] - widths[other]
        rows[low] += widths[one] - widths[other]


def evened_order(
    widths: Sequence[int], colours: int, seed: int, *, should_stop: ShouldStop
) -> list[tuple[int, int]]:
    """Return colour and number of the width for every stripe, shuffled, colours even in rows.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    chance = Chance(seed, stream=7)
    groups = [chance.shuffled(group) for group in shared_evenly(widths, colours, chance)]
    counts = tuple(len(group) for group in groups)
    rules = Rules(
        count=len(widths),
        names=tuple(str(n) for n in range(colours)),
        least=counts,
        most=counts,
        apart=1 if colours > 1 else 0,
        pinned={},
    )
    found = find_order(rules, seed, most_steps=_FEW_STEPS, should_stop=should_stop).order
    if found is None:
        found = tuple(chance.shuffled([c for c, n in enumerate(counts) for _ in range(n)]))
    return [(colour, groups[colour].pop()) for colour in found]
