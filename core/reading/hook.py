"""The hook over the row below: which places it takes next, what it makes, and why it stops.

It moves along the stitches below, each a place from 0. Where they run out, or words name a place
that isn't there, a `Stop` says so at that very word; `core.reading.working` drives it.
"""

from collections.abc import Sequence
from typing import Final

from core.design.document import MAX_ROW_STITCHES
from core.reading.acts import Act, Place, Work
from core.reading.names import Said
from core.reading.worked import Below, Break, BreakKind, Event, EventKind, Start, Worked

_MOST_EVENTS: Final = 4 * MAX_ROW_STITCHES

Saved = tuple[int, int, int, int]


class Stop(Exception):  # noqa: N818 - it only leads out of the row
    """The row can't be followed further."""

    def __init__(self, broken: Break) -> None:
        super().__init__(broken.message)
        self.broken = broken


class Hook:
    """Moves along the places below and keeps what is made.

    Attributes:
        below: What the row is worked over.
        start: How it begins.
        name: What the row is called.
        done: What is made so far.
        at: The next place.
        last: The place worked into last.
    """

    def __init__(self, text: str, below: Below, start: Start, name: str) -> None:
        self._text = text
        self.below, self.start, self.name = below, start, name
        self.done = Worked()
        self.at = 0
        self.last = 0

    # what is there, and what is made

    def left(self) -> int | None:
        """Return the places that are left; None while their number isn't known."""
        return None if self.below.n is None else self.below.n - self.at

    def quoted(self, act: Act) -> str:
        """Return an act's own words, long ones cut short."""
        words = " ".join(self._text[act.start : act.end].split())
        return f"“{words}”" if len(words) <= 60 else f"“{words[:40]} … {words[-12:]}”"

    def stop(self, kind: BreakKind, act: Act, message: str) -> Stop:
        """Return what stops the row at an act."""
        return Stop(Break(kind, act.start, act.end, message))

    def add(self, kind: EventKind, name: Said, feet: tuple[int, ...], act: Act | None) -> None:
        """Note something made or passed over, with its feet among the places below."""
        if len(self.done.events) >= _MOST_EVENTS:
            raise Stop(
                Break(
                    "size",
                    act.start if act else 0,
                    act.end if act else 0,
                    f"{self.name} has more than {MAX_ROW_STITCHES:,} stitches: that is more "
                    "than the program draws.",
                )
            )
        begin, end = (act.start, act.end) if act else (0, 0)
        self.done.events.append(Event(kind, name, feet, begin, end))

    def saved(self) -> Saved:
        """Return where it is, to come back to."""
        return self.at, self.last, len(self.done.events), len(self.done.remarks)

    def restore(self, saved: Saved) -> None:
        """Come back to where it was, and forget what was made since."""
        self.at, self.last, n, m = saved
        del self.done.events[n:]
        del self.done.remarks[m:]

    # places

    def next(self, n: int, act: Act) -> range:
        """Take the next `n` places."""
        left = self.left()
        if left is not None and n > left:
            raise self.stop(
                "short",
                act,
                f"The stitches run out at {self.quoted(act)}: it takes {n}, and "
                f"{left if left else 'none'} of {self.below.name} {are(left)} left.",
            )
        if n > _MOST_EVENTS:
            raise self.stop("size", act, f"{self.quoted(act)} is more than a row can hold.")
        places = range(self.at, self.at + n)
        self.at += n
        return places

    def places(self, place: Place, act: Act, reserve: int) -> Sequence[int]:
        """Take the places that words name; `reserve` of the last ones stay for what follows."""
        match place.order:
            case "same":
                return [self.last]
            case "first":
                return self._first(place.n, act)
            case "last":
                self.reach(place.n, act)
                return self.next(place.n, act)
            case "turning":
                return self.turning(act)
            case "hook":
                return self._from_hook(place, act)
            case "space":
                return self.next(max(place.n, 1), act)
            case "across":
                return self._across(place, act, reserve)
        return self.next(place.n, act)

    def _first(self, n: int, act: Act) -> Sequence[int]:
        standing = self.start.said is not None and self.at == 1
        if standing:
            self.at = 0
        elif self.at:
            raise self.stop(
                "place", act, f"{self.quoted(act)}: {self.at} stitches are worked before it."
            )
        return self.next(n, act)

    def reach(self, n: int, act: Act) -> None:
        """Check that only the last `n` places are left."""
        left = self.left()
        if left is not None and left > n:
            gap = left - n
            raise self.stop(
                "over",
                act,
                f"Before {self.quoted(act)} {sts(gap)} of {self.below.name} {are(gap)} left "
                f"unworked: the words so far use {self.at} of {self.below.n}.",
            )

    def turning(self, act: Act) -> range:
        """Take the last place, the turning chain of the row below."""
        if self.below.turning != "stands" and self.start.turn is None:
            why = "is part of its first stitch" if self.below.turning == "joined" else (
                "doesn't count as a stitch"
            )  # fmt: skip
            raise self.stop(
                "place", act, f"{self.quoted(act)}: the turning chain of {self.below.name} {why}."
            )
        self.reach(1, act)
        return self.next(1, act)

    def _from_hook(self, place: Place, act: Act) -> Sequence[int]:
        if self.start.turn is None:
            raise self.stop(
                "place", act, f"{self.quoted(act)}: only row 1 is worked into the foundation."
            )
        wanted = place.ordinal - 1 - self.start.turn - self.start.more
        if wanted < 0 or (wanted < self.at and not (wanted == 0 and self.at == 1)):
            raise self.stop("place", act, f"{self.quoted(act)}: that chain lies behind the hook.")
        if wanted < self.at:  # beside the chain that counts
            self.at = 0
        self.pass_over(wanted - self.at, act)
        return self.next(place.n, act)

    def _across(self, place: Place, act: Act, reserve: int) -> Sequence[int]:
        left = self.left()
        if left is None:
            raise self.stop(
                "place",
                act,
                f"{self.quoted(act)}: how many stitches that is depends on {self.below.name}; "
                "say how many chains to make.",
            )
        n = left - (place.leave if place.leave is not None else reserve)
        if place.number_said and place.n != left:
            raise self.stop(
                "short" if place.n > left else "over",
                act,
                f"{self.quoted(act)}: {self.below.name} has {left} left, not {place.n}.",
            )
        if n < 0:
            raise self.stop(
                "short",
                act,
                f"The stitches run out at {self.quoted(act)}: {left} of {self.below.name} "
                f"{are(left)} left, and {left - n} are to stay.",
            )
        return self.next(n, act)

    # over and into them

    def pass_over(self, n: int, act: Act) -> None:
        """Leave the next `n` places unworked."""
        for spot in self.next(n, act):
            self.add("skip", "", (spot,), act)

    def work_into(self, made: Sequence[Said], place: int, act: Act) -> None:
        """Work stitches and chains into one place."""
        for name in made:
            if name == "ch":
                self.add("ch", "ch", (), act)
            else:
                self.add("st", name, (place,), act)
        self.last = place

    def work_into_space(self, made: Sequence[Said], act: Work) -> None:
        """Work into the next chain space; all its chains are used."""
        kinds, start = self.below.kinds, self.at
        if self.below.n is None or not kinds:
            for spot in self.next(max(act.place.n, 1), act)[:1]:
                self.work_into(made, spot, act)
            return
        while start < len(kinds) and kinds[start] != "ch":
            start += 1
        if start == len(kinds):
            raise self.stop(
                "place", act, f"{self.quoted(act)}: no chain space of {self.below.name} is left."
            )
        end = start
        while end < len(kinds) and kinds[end] == "ch":
            end += 1
        if act.place.n:
            end = min(end, start + act.place.n)
        gap = start - self.at
        if gap:
            self.done.remarks.append(
                Break(
                    "over",
                    act.start,
                    act.end,
                    f"{sts(gap)} of {self.below.name} {are(gap)} passed over before "
                    f"{self.quoted(act)}.",
                )
            )
        self.pass_over(gap + (end - start - 1) // 2, act)
        spot = self.next(1, act)[0]
        self.work_into(made, spot, act)
        self.pass_over(end - spot - 1, act)

    def chains_ahead(self) -> int:
        """Return how many chains come next."""
        kinds, end = self.below.kinds, self.at
        while end < len(kinds) and kinds[end] == "ch":
            end += 1
        return end - self.at


def sts(n: int) -> str:
    """Return a number of stitches."""
    return "1 stitch" if n == 1 else f"{n} stitches"


def are(n: int | None) -> str:
    """Return the verb that goes with a number."""
    return "is" if n in (0, 1) else "are"
