"""The rules of a planned random order, ready to be searched.

Colours are numbered from 0 in the plan's order, stripes from 0. Stripes that a symmetry makes
equal are one *orbit*: the search chooses a colour for each orbit.
"""

from collections.abc import Mapping

from core.design.plan import Plan, PlanShape
from core.records import Struct


class Rules(Struct, frozen=True, kw_only=True):
    """What an order of stripes has to keep.

    Attributes:
        count: How many stripes.
        names: What each colour is called, for sentences.
        least: How often each colour is used at least.
        most: How often each may be used.
        barred: Pairs of colours, the smaller number first, that may not lie side by side.
        apart: Stripes at least between two of one colour; 0 lets a colour follow itself.
        around: Whether the last stripe lies beside the first, as the sequence goes round.
        pinned: The colours of stripes that are settled.
        shape: The symmetry.
        block: Stripes in a block of a turned order.
    """

    count: int
    names: tuple[str, ...]
    least: tuple[int, ...]
    most: tuple[int, ...]
    barred: frozenset[tuple[int, int]] = frozenset()
    apart: int = 1
    around: bool = False
    pinned: Mapping[int, int]
    shape: PlanShape = "free"
    block: int = 4

    def orbit_of_stripes(self) -> tuple[int, ...]:
        """Return the orbit of every stripe; orbits are numbered as they come, from 0."""
        numbers: dict[int, int] = {}
        return tuple(numbers.setdefault(self._mark(n), len(numbers)) for n in range(self.count))

    def _mark(self, number: int) -> int:
        """Return what all stripes of one orbit share.

        A mirrored order reads the same from both ends. A turned order goes on in blocks, each
        beginning one colour later than the one before: A B C, B C A, C A B.
        """
        if self.shape == "mirror":
            return min(number, self.count - 1 - number)
        if self.shape == "turned":
            return (number % self.block + number // self.block) % self.block
        return number

    def steps_between(self, one: int, other: int) -> int:
        """Return how many stripes one lies from another, the shorter way round if it goes round."""
        steps = abs(one - other)
        return min(steps, self.count - steps) if self.around else steps

    def too_near(self, one: int, other: int) -> bool:
        """Return whether two stripes may not have one colour.

        The two stripes that mirror each other are let off, unless they touch: round the middle
        of A B C B A the colours come again sooner than elsewhere.
        """
        steps = self.steps_between(one, other)
        if not 0 < steps <= self.apart:
            return False
        return steps == 1 or self.shape != "mirror" or self._mark(one) != self._mark(other)


def rules_of(plan: Plan, names: Mapping[int, str], pinned: Mapping[int, int]) -> Rules:
    """Return the rules of a plan.

    Args:
        plan: The plan.
        names: What each of the design's yarns is called.
        pinned: Yarn of every stripe that is locked. A yarn that has no share in the plan
            stays where it is locked and comes nowhere else.
    """
    yarns = yarns_of(plan, pinned)
    number = {yarn: at for at, yarn in enumerate(yarns)}
    times = [list(pinned.values()).count(yarn) for yarn in yarns]
    shares = {share.yarn: share for share in plan.shares}
    most, least = [], []
    for yarn, locked in zip(yarns, times, strict=True):
        share = shares.get(yarn)
        least.append(share.least if share else 0)
        limit = plan.count if share is None or share.most is None else share.most
        most.append(limit if share else locked)
    pairs = {
        (min(number[p.one], number[p.other]), max(number[p.one], number[p.other]))
        for p in plan.barred
        if p.one in number and p.other in number
    }
    return Rules(
        count=plan.count,
        names=tuple(names[yarn] for yarn in yarns),
        least=tuple(least),
        most=tuple(most),
        barred=frozenset(pairs),
        apart=plan.apart,
        around=plan.around,
        pinned={stripe: number[yarn] for stripe, yarn in pinned.items()},
        shape=plan.shape,
        block=plan.block,
    )


def yarns_of(plan: Plan, pinned: Mapping[int, int]) -> tuple[int, ...]:
    """Return the yarns of a plan in the order of its shares, then those only locked."""
    shared = dict.fromkeys(share.yarn for share in plan.shares)
    return tuple(shared | dict.fromkeys(sorted(set(pinned.values()) - set(shared))))


def keeps(rules: Rules, order: tuple[int, ...]) -> bool:
    """Return whether an order keeps every rule; asks each of them plainly, one by one."""
    counts = [order.count(colour) for colour in range(len(rules.names))]
    orbit = rules.orbit_of_stripes()
    first = {o: order[n] for n, o in reversed(list(enumerate(orbit)))}
    beside = [(n, n + 1) for n in range(rules.count - 1)]
    if rules.around and rules.count > 1:
        beside.append((rules.count - 1, 0))
    return (
        len(order) == rules.count
        and all(
            low <= n <= high for low, n, high in zip(rules.least, counts, rules.most, strict=True)
        )
        and all(order[stripe] == colour for stripe, colour in rules.pinned.items())
        and all(order[n] == first[o] for n, o in enumerate(orbit))
        and not any(
            (min(order[a], order[b]), max(order[a], order[b])) in rules.barred for a, b in beside
        )
        and not any(
            order[a] == order[b] and rules.too_near(a, b)
            for a in range(rules.count)
            for b in range(a)
        )
    )
