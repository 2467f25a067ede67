"""Which colours each stripe may still have, with all that follows from every choice.

After every choice the colours that can't come any more are struck from the stripes around
(forward checking), and each colour's remaining places are counted against what it still needs.
"""

from core.stripes.chance import Chance
from core.stripes.rules import Rules


class Board:
    """Which colours each orbit may still have, with all that follows from every choice.

    Domains are numbers read as bits, one a colour. `trail` holds what to put back.
    """

    def __init__(self, rules: Rules) -> None:
        self.rules = rules
        self.colours = range(len(rules.names))
        orbit_of = self._orbit_of = rules.orbit_of_stripes()
        self.size = max(orbit_of, default=-1) + 1
        self.weight = [0] * self.size
        for orbit in orbit_of:
            self.weight[orbit] += 1
        self.weights = sorted(set(self.weight))
        self.near: list[list[int]] = [[] for _ in range(self.size)]
        self.beside: list[list[int]] = [[] for _ in range(self.size)]
        self.bars = [0] * len(rules.names)
        for one, other in rules.barred:
            self.bars[one] |= 1 << other
            self.bars[other] |= 1 << one
        self.fits = self._tie()
        every = (1 << len(rules.names)) - 1
        self.domain = [every] * self.size
        self.settled = [-1] * self.size
        self.used = [0] * len(rules.names)
        self.reach = [rules.count] * len(rules.names)
        self.open_weight = rules.count
        self.trail: list[tuple[int, int]] = []
        self.forced: list[int] = []
        self.is_open = self.fits and self._pin()
        self.trail.clear()
        self.first = 0
        self.quota = list(rules.least)

    def _tie(self) -> bool:
        """Note which orbits touch or lie too near; return whether none is too near itself."""
        rules, of, fits = self.rules, self._orbit_of, True
        near: list[set[int]] = [set() for _ in range(self.size)]
        beside: list[set[int]] = [set() for _ in range(self.size)]
        reach = max(rules.apart, 1)
        for one in range(rules.count):
            for step in range(1, min(reach, rules.count - 1) + 1):
                other = one + step
                if other >= rules.count:
                    if not rules.around:
                        break
                    other -= rules.count
                a, b = of[one], of[other]
                if rules.too_near(one, other):
                    fits &= a != b
                    near[a].add(b)
                    near[b].add(a)
                if rules.steps_between(one, other) == 1:
                    beside[a].add(b)
                    beside[b].add(a)
        self.near = [sorted(found) for found in near]
        self.beside = [sorted(found) for found in beside]
        return fits

    def _pin(self) -> bool:
        """Settle what is pinned and strike what can't be used; return whether that is possible."""
        rules = self.rules
        for colour in self.colours:
            if self.reach[colour] < rules.least[colour] or not self._spend(colour):
                return False
        for stripe, colour in sorted(rules.pinned.items()):
            orbit = self._orbit_of[stripe]
            if self.settled[orbit] == colour:
                continue
            if self.settled[orbit] >= 0 or not self.domain[orbit] >> colour & 1:
                return False
            if not self.settle(orbit, colour):
                return False
        return self._counts_hold()

    def begin(self, chance: Chance) -> None:
        """Go back to the start and draw how often each colour should come."""
        self.undo(0)
        self.first = 0
        rules = self.rules
        self.quota = [max(least, used) for least, used in zip(rules.least, self.used, strict=True)]
        room = rules.count - sum(self.quota)
        wanting = [c for c in self.colours if self.quota[c] < rules.most[c]]
        while room > 0 and wanting:
            for colour in chance.shuffled(wanting)[:room]:
                self.quota[colour] += 1
                room -= 1
            wanting = [c for c in wanting if self.quota[c] < rules.most[c]]

    def next_open(self) -> int:
        """Return the orbit to settle next, -1 if none is left."""
        while self.forced:
            orbit = self.forced.pop()
            if self.settled[orbit] < 0:
                return orbit
        first = self.first
        while first < self.size and self.settled[first] >= 0:
            first += 1
        self.first = first
        return first if first < self.size else -1

    def colours_to_try(self, orbit: int, chance: Chance) -> list[int]:
        """Return the orbit's colours, the last to be tried first."""
        domain, gap = self.domain[orbit], self.rules.apart + 1
        keyed = []
        for colour in self.colours:
            if domain >> colour & 1:
                need = self.rules.least[colour] - self.used[colour]
                is_tight = need > 0 and 10 * need * gap >= 9 * self.reach[colour]
                weight = 1 + 16 * max(self.quota[colour] - self.used[colour], 0)
                keyed.append((not is_tight, chance.number() / (weight * weight), colour))
        keyed.sort(reverse=True)
        return [colour for _, _, colour in keyed]

    def order(self) -> tuple[int, ...]:
        """Return the colour of every stripe."""
        return tuple(self.settled[orbit] for orbit in self._orbit_of)

    # choices and what follows from them

    def settle(self, orbit: int, colour: int) -> bool:
        """Give an orbit a colour; return whether the rest can still be settled, as far as seen."""
        weight, domain = self.weight[orbit], self.domain[orbit]
        self.trail.append((~orbit, colour))
        self.settled[orbit] = colour
        self.open_weight -= weight
        self.used[colour] += weight
        for other in self.colours:
            if domain >> other & 1:
                self.reach[other] -= weight
        if self.used[colour] > self.rules.most[colour]:
            return False
        for near in self.near[orbit]:
            if self.settled[near] == colour:
                return False
            if self.settled[near] < 0 and not self._strike(near, 1 << colour):
                return False
        bars = self.bars[colour]
        if bars:
            for beside in self.beside[orbit]:
                if self.settled[beside] >= 0:
                    if bars >> self.settled[beside] & 1:
                        return False
                elif not self._strike(beside, bars):
                    return False
        return self._spend(colour) and self._counts_hold()

    def _strike(self, orbit: int, colours: int) -> bool:
        """Take colours from an open orbit; return whether it has one left."""
        domain = self.domain[orbit]
        gone = domain & colours
        if not gone:
            return True
        self.trail.append((orbit, domain))
        left = self.domain[orbit] = domain & ~colours
        weight = self.weight[orbit]
        while gone:
            lowest = gone & -gone
            self.reach[lowest.bit_length() - 1] -= weight
            gone ^= lowest
        if left & (left - 1) == 0:
            self.forced.append(orbit)
        return left != 0

    def _spend(self, colour: int) -> bool:
        """Strike a colour where it would be used too often."""
        room = self.rules.most[colour] - self.used[colour]
        if room >= self.weights[-1]:
            return True
        bit = 1 << colour
        for orbit in range(self.size):
            if self.settled[orbit] >= 0 or self.weight[orbit] <= room:
                continue
            if self.domain[orbit] & bit and not self._strike(orbit, bit):
                return False
        return True

    def _counts_hold(self) -> bool:
        """Return whether every colour can still be used as often as it has to."""
        rules, used, reach = self.rules, self.used, self.reach
        need_all = room_all = 0
        gap = rules.apart + 1
        for colour in self.colours:
            have = used[colour]
            need, room = rules.least[colour] - have, rules.most[colour] - have
            left = reach[colour]
            room_all += left if left < room else room
            if need > 0:
                if left < need:
                    return False
                need_all += need
                if need > 1 and left < need * gap and self._places(colour) < need:
                    return False
        return need_all <= self.open_weight <= room_all

    def _places(self, colour: int) -> int:
        """Return how often at most a colour fits in what is open, its distance kept."""
        if self.size < self.rules.count:  # orbits: their stripes lie about
            return self.reach[colour]
        bit, gap, count, free_from = 1 << colour, self.rules.apart + 1, 0, 0
        for orbit in range(self.size):
            if orbit >= free_from and self.settled[orbit] < 0 and self.domain[orbit] & bit:
                count += 1
                free_from = orbit + gap
        return count

    def undo(self, mark: int) -> None:
        """Put back all that happened since the trail was `mark` long."""
        trail = self.trail
        if len(trail) > mark:
            self.forced.clear()
        while len(trail) > mark:
            what, was = trail.pop()
            if what < 0:
                orbit = ~what
                weight, domain = self.weight[orbit], self.domain[orbit]
                self.settled[orbit] = -1
                self.open_weight += weight
                self.used[was] -= weight
                for other in self.colours:
                    if domain >> other & 1:
                        self.reach[other] += weight
                self.first = min(self.first, orbit)
            else:
                gone = was & ~self.domain[what]
                self.domain[what] = was
                weight = self.weight[what]
                while gone:
                    lowest = gone & -gone
                    self.reach[lowest.bit_length() - 1] += weight
                    gone ^= lowest
