"""Acts followed stitch by stitch over the row below, as a maker follows them.

The hook moves along the stitches below; every stitch made knows its feet and its words. Where
the stitches below run out, or some are left, following stops at that very word.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Final

from core.design.document import MAX_ROW_STITCHES
from core.reading.acts import (
    Act,
    Chain,
    Counts,
    Leave,
    Place,
    Repeated,
    Skip,
    Unread,
    Work,
)
from core.reading.names import Said
from core.reading.needs import needs_of, to_mark
from core.reading.worked import Below, Break, BreakKind, Choices, Event, EventKind, Start, Worked

_MOST_EVENTS: Final = 4 * MAX_ROW_STITCHES


class _Stop(Exception):  # noqa: N818 - it only leads out of the row
    def __init__(self, broken: Break) -> None:
        super().__init__(broken.message)
        self.broken = broken


def work_row(
    text: str,
    acts: Sequence[Act],
    below: Below,
    start: Start,
    choices: Choices,
    *,
    name: str,
    stitch: Said,
) -> Worked:
    """Return what follows from a row's acts.

    Args:
        text: The whole text, to quote words from.
        acts: The row's acts, without its turning chain.
        below: What it is worked over.
        start: How it begins.
        choices: Which way ambiguous words are meant.
        name: What the row is called.
        stitch: The stitch meant where none is named.
    """
    return _Hook(text, below, start, choices, name, stitch).follow(acts)


class _Hook:
    def __init__(
        self,
        text: str,
        below: Below,
        start: Start,
        choices: Choices,
        name: str,
        stitch: Said,
    ) -> None:
        self._text, self._below, self._start = text, below, start
        self._choices, self._name, self._stitch = choices, name, stitch
        self._done = Worked()
        self._at = 0
        self._last = 0
        self._last_act: Act | None = None
        self._leg = False

    def follow(self, acts: Sequence[Act]) -> Worked:
        done, start = self._done, self._start
        try:
            if start.said is not None and (start.joins or self._left() != 0):
                self._stand(start)
            elif start.said is None:
                for _ in range(start.chains):
                    self._add("ch", "ch", (), None)
            self._run(acts, 0)
            self._finish(acts)
        except _Stop as stop:
            done.broken = stop.broken
        done.uses = self._at
        return done

    def _stand(self, start: Start) -> None:
        self._at = 1
        if start.joins:
            self._leg = True
        else:
            self._add("st", start.said or self._stitch, (0,), None)
            for _ in range(start.chains):
                self._add("ch", "ch", (), None)
        if start.whole and self._below.n is not None:
            self._at = self._below.n

    def _finish(self, acts: Sequence[Act]) -> None:
        left = self._left()
        if not left or self._below.n is None:
            return
        act = self._last_act or (acts[-1] if acts else None)
        begin, end = (act.start, act.end) if act else (0, 0)
        after = f"After {self._quoted(act)} " if act else ""
        raise _Stop(
            Break(
                "over",
                begin,
                end,
                f"{after}{_sts(left)} of {self._below.name} {_are(left)} left: {self._name} uses "
                f"{self._at} of {self._below.n}.",
            )
        )

    # small things

    def _left(self) -> int | None:
        return None if self._below.n is None else self._below.n - self._at

    def _quoted(self, act: Act | None) -> str:
        if act is None:
            return "the turning chain"
        words = " ".join(self._text[act.start : act.end].split())
        return f"“{words}”" if len(words) <= 60 else f"“{words[:40]} … {words[-12:]}”"

    def _stop(self, kind: BreakKind, act: Act, message: str) -> _Stop:
        return _Stop(Break(kind, act.start, act.end, message))

    def _add(self, kind: EventKind, name: Said, feet: tuple[int, ...], act: Act | None) -> None:
        if len(self._done.events) >= _MOST_EVENTS:
            raise _Stop(
                Break(
                    "size",
                    act.start if act else 0,
                    act.end if act else 0,
                    f"{self._name} has more than {MAX_ROW_STITCHES:,} stitches: that is more "
                    "than the program draws.",
                )
            )
        begin, end = (act.start, act.end) if act else (0, 0)
        self._done.events.append(Event(kind, name, feet, begin, end))

    # running

    def _run(self, acts: Sequence[Act], reserve: int) -> None:
        waiting = [reserve]  # places that what follows takes, from the end
        for act in reversed(acts[1:]):
            waiting.append(waiting[-1] + self._needs((act,)))
        for act, after in zip(acts, reversed(waiting), strict=False):
            self._act(act, after)

    def _act(self, act: Act, reserve: int) -> None:
        match act:
            case Work():
                self._work(act, reserve)
            case Skip():
                self._skip(act)
            case Chain() if not act.more:
                for _ in range(act.n):
                    self._add("ch", "ch", (), act)
            case Leave():
                self._leave(act)
            case Repeated():
                self._repeat(act, reserve)
            case Counts() if act.joins and self._leg:
                self._join(act)
            case Unread():
                raise self._stop(
                    "unread", act, f"{self._quoted(act)} can't be read: expected {act.expected}."
                )
            case _:
                return
        if not isinstance(act, Counts):
            self._last_act = act

    def _join(self, act: Counts) -> None:
        """Make one decrease of the turning chain and the stitch before."""
        stitches = [event for event in self._done.events if event.kind == "st"]
        if len(stitches) != 1:
            raise self._stop("place", act, f"{self._quoted(act)}: there is no stitch to join to.")
        first = stitches[0]
        if act.over and act.over != len(first.feet) + 1:
            raise self._stop(
                "place",
                act,
                f"{self._quoted(act)}: the chain and the stitch before go into "
                f"{len(first.feet) + 1} places.",
            )
        first.feet = (first.feet[0] - 1, *first.feet)
        self._done.joined = True
        self._leg = False

    def _work(self, act: Work, reserve: int) -> None:
        made = tuple(name or self._stitch for name in act.made)
        if act.over > 1:
            for feet in self._joined_places(act, reserve):
                self._add("st", made[0], feet, act)
                self._last = feet[-1]
            return
        if act.is_bare:
            for place in self._next(act.times or 1, act):
                self._into(made, place, act)
            return
        if act.place.order == "space":
            for _ in range(max(act.place.ordinal, 1)):
                self._in_space(made, act)
            return
        spread = len(made) == act.place.n > 1 and len(set(made)) == 1 and not act.place.each
        if spread and self._choices.spread:
            made = made[:1]
        for place in self._places(act.place, act, reserve):
            self._into(made, place, act)

    def _into(self, made: Sequence[Said], place: int, act: Act) -> None:
        for name in made:
            if name == "ch":
                self._add("ch", "ch", (), act)
            else:
                self._add("st", name, (place,), act)
        self._last = place

    def _joined_places(self, act: Work, reserve: int) -> Iterator[tuple[int, ...]]:
        place, over = act.place, act.over
        if act.is_bare:
            for _ in range(act.times or 1):
                yield tuple(self._next(over, act))
            return
        if place.also_turning:
            legs = [*self._next(place.n, act), *self._turning(act)]
            if len(legs) != over:
                raise self._uneven(act, len(legs))
            yield tuple(legs)
            return
        if place.order in ("next", "space") and not place.number_said:
            place = Place(order="next", n=over, number_said=True)
        if place.order in ("last", "first") and not place.number_said:
            place = replace(place, n=over)
        for _ in range(act.times or 1):
            every = list(self._places(place, act, reserve))
            if len(every) % over or not every:
                raise self._uneven(act, len(every))
            for first in range(0, len(every), over):
                yield tuple(every[first : first + over])

    def _uneven(self, act: Work, n: int) -> _Stop:
        return self._stop(
            "place", act, f"{self._quoted(act)} joins {act.over} stitches, but names {n}."
        )

    # places

    def _next(self, n: int, act: Act) -> range:
        left = self._left()
        if left is not None and n > left:
            raise self._stop(
                "short",
                act,
                f"The stitches run out at {self._quoted(act)}: it takes {n}, and "
                f"{left if left else 'none'} of {self._below.name} {_are(left)} left.",
            )
        if n > _MOST_EVENTS:
            raise self._stop("size", act, f"{self._quoted(act)} is more than a row can hold.")
        places = range(self._at, self._at + n)
        self._at += n
        return places

    def _places(self, place: Place, act: Act, reserve: int) -> Sequence[int]:
        match place.order:
            case "same":
                return [self._last]
            case "first":
                return self._first(place.n, act)
            case "last":
                self._reach(place.n, act)
                return self._next(place.n, act)
            case "turning":
                return self._turning(act)
            case "hook":
                return self._hook(place, act)
            case "space":
                return self._next(max(place.n, 1), act)
            case "across":
                return self._across(place, act, reserve)
        return self._next(place.n, act)

    def _first(self, n: int, act: Act) -> Sequence[int]:
        standing = self._start.said is not None and self._at == 1
        if standing:
            self._at = 0
        elif self._at:
            raise self._stop(
                "place", act, f"{self._quoted(act)}: {self._at} stitches are worked before it."
            )
        return self._next(n, act)

    def _reach(self, n: int, act: Act) -> None:
        """Check that only the last `n` places are left."""
        left = self._left()
        if left is not None and left > n:
            gap = left - n
            raise self._stop(
                "over",
                act,
                f"Before {self._quoted(act)} {_sts(gap)} of {self._below.name} {_are(gap)} left "
                f"unworked: the words so far use {self._at} of {self._below.n}.",
            )

    def _turning(self, act: Act) -> range:
        if self._below.turning != "stands" and self._start.turn is None:
            why = "is part of its first stitch" if self._below.turning == "joined" else (
                "doesn't count as a stitch"
            )  # fmt: skip
            raise self._stop(
                "place", act, f"{self._quoted(act)}: the turning chain of {self._below.name} {why}."
            )
        self._reach(1, act)
        return self._next(1, act)

    def _hook(self, place: Place, act: Act) -> Sequence[int]:
        if self._start.turn is None:
            raise self._stop(
                "place", act, f"{self._quoted(act)}: only row 1 is worked into the foundation."
            )
        wanted = place.ordinal - 1 - self._start.turn - self._start.more
        if wanted < 0 or (wanted < self._at and not (wanted == 0 and self._at == 1)):
            raise self._stop("place", act, f"{self._quoted(act)}: that chain lies behind the hook.")
        if wanted < self._at:  # beside the chain that counts
            self._at = 0
        self._pass(wanted - self._at, act)
        return self._next(place.n, act)

    def _pass(self, n: int, act: Act) -> None:
        for spot in self._next(n, act):
            self._add("skip", "", (spot,), act)

    def _in_space(self, made: Sequence[Said], act: Work) -> None:
        """Work into the next chain space; all its chains are used."""
        kinds, start = self._below.kinds, self._at
        if self._below.n is None or not kinds:
            for spot in self._next(max(act.place.n, 1), act)[:1]:
                self._into(made, spot, act)
            return
        while start < len(kinds) and kinds[start] != "ch":
            start += 1
        if start == len(kinds):
            raise self._stop(
                "place", act, f"{self._quoted(act)}: no chain space of {self._below.name} is left."
            )
        end = start
        while end < len(kinds) and kinds[end] == "ch":
            end += 1
        if act.place.n:
            end = min(end, start + act.place.n)
        gap = start - self._at
        if gap:
            self._done.remarks.append(
                Break(
                    "over",
                    act.start,
                    act.end,
                    f"{_sts(gap)} of {self._below.name} {_are(gap)} passed over before "
                    f"{self._quoted(act)}.",
                )
            )
        self._pass(gap + (end - start - 1) // 2, act)
        spot = self._next(1, act)[0]
        self._into(made, spot, act)
        self._pass(end - spot - 1, act)

    def _across(self, place: Place, act: Act, reserve: int) -> Sequence[int]:
        left = self._left()
        if left is None:
            raise self._stop(
                "place",
                act,
                f"{self._quoted(act)}: how many stitches that is depends on {self._below.name}; "
                "say how many chains to make.",
            )
        n = left - (place.leave if place.leave is not None else reserve)
        if place.number_said and place.n != left:
            raise self._stop(
                "short" if place.n > left else "over",
                act,
                f"{self._quoted(act)}: {self._below.name} has {left} left, not {place.n}.",
            )
        if n < 0:
            raise self._stop(
                "short",
                act,
                f"The stitches run out at {self._quoted(act)}: {left} of {self._below.name} "
                f"{_are(left)} left, and {left - n} are to stay.",
            )
        return self._next(n, act)

    def _skip(self, act: Skip) -> None:
        place = act.place
        if place.order == "first" and self._start.said is not None and self._at == 1:
            self._pass(place.n - 1, act)
            return
        if place.order == "space":
            run = self._run_of_chains()
            n = place.n or max(run, 1)
            self._pass(n * max(place.ordinal, 1), act)
            return
        spots = list(self._places(place, act, 0))
        for spot in spots:
            self._add("skip", "", (spot,), act)

    def _run_of_chains(self) -> int:
        kinds, end = self._below.kinds, self._at
        while end < len(kinds) and kinds[end] == "ch":
            end += 1
        return end - self._at

    def _leave(self, act: Leave) -> None:
        n = act.n + (act.turning and self._below.turning == "stands")
        if not n:
            return
        self._reach(n, act)
        for spot in self._next(n, act):
            self._add("skip", "", (spot,), act)

    # repeats

    def _repeat(self, act: Repeated, reserve: int) -> None:
        first = len(self._done.events)
        times, once = 0, 0
        if act.times is not None:
            n = act.or_times if self._choices.in_all and act.or_times else act.times
            for times in range(n):
                body = act.body
                if act.last_until and times == n - 1:
                    body = to_mark(act.body)
                self._run(body, 0)
                once = once or len(self._done.events) - first
            times = n
        else:
            times, once = self._to_end(act, reserve)
        if act.marked and times and self._done.repeat is None:
            self._done.repeat = (first, once, times)

    def _to_end(self, act: Repeated, reserve: int) -> tuple[int, int]:
        left = self._left()
        if left is None:
            raise self._stop(
                "place",
                act,
                f"{self._quoted(act)}: how often depends on {self._below.name}; say how many "
                "chains to make.",
            )
        keep = act.to_last if act.to_last is not None else reserve
        if act.ending:
            keep = self._needs(act.ending) + reserve
        first, times, once = len(self._done.events), 0, 0
        while (self._left() or 0) > keep:
            saved = self._saved()
            try:
                if act.last_until and (self._left() or 0) - keep <= self._needs(to_mark(act.body)):
                    self._run(to_mark(act.body), 0)
                    times += 1
                    break
                self._run(act.body, 0)
            except _Stop as stop:
                if stop.broken.kind in ("unread", "size", "place"):
                    raise
                self._restore(saved)
                self._part(act, keep, times, stop)
                break
            if (self._left() or 0) < keep:
                self._restore(saved)
                self._part(act, keep, times, None)
                break
            if self._at == saved[0]:
                raise self._stop("place", act, f"{self._quoted(act)}: the repeat uses no stitch.")
            times += 1
            once = once or len(self._done.events) - first
        if act.ending:
            self._run(act.ending, reserve)
        return times, once

    def _part(self, act: Repeated, keep: int, times: int, stop: _Stop | None) -> None:
        """Work the beginning of a last repeat that isn't whole, if it comes out even."""
        left = self._left() or 0
        if act.to_last is None:
            for inner in act.body:
                if (self._left() or 0) == keep:
                    break
                before = self._saved()
                with suppress(_Stop):
                    self._act(inner, 0)
                    if (self._left() or 0) >= keep:
                        continue
                self._restore(before)
                break
            if (self._left() or 0) == keep:
                if not act.ending and self._last_act is not None:
                    self._done.remarks.append(
                        Break(
                            "over",
                            act.start,
                            act.end,
                            f"The last repeat stops after {self._quoted(self._last_act)}.",
                        )
                    )
                return
            if stop is not None and not act.ending and not keep:
                raise stop
        takes = self._needs(act.body)
        stop_at = f" before the last {keep}" if keep else ""
        raise self._stop(
            "over",
            act.body[-1] if act.body else act,
            f"The repeat takes {_sts(takes)}: after working it {_times(times)} {left - keep} of "
            f"{self._below.name} {_are(left - keep)} left{stop_at}.",
        )

    def _saved(self) -> tuple[int, int, int, Act | None, int]:
        return (
            self._at,
            self._last,
            len(self._done.events),
            self._last_act,
            len(self._done.remarks),
        )

    def _restore(self, saved: tuple[int, int, int, Act | None, int]) -> None:
        self._at, self._last, n, self._last_act, m = saved
        del self._done.events[n:]
        del self._done.remarks[m:]

    def _needs(self, acts: Sequence[Act]) -> int:
        stands = self._below.turning == "stands"
        return needs_of(acts, stands=stands, in_all=self._choices.in_all)


def _sts(n: int) -> str:
    return "1 stitch" if n == 1 else f"{n} stitches"


def _are(n: int | None) -> str:
    return "is" if n in (0, 1) else "are"


def _times(n: int) -> str:
    return {0: "no time", 1: "once", 2: "twice"}.get(n, f"{n} times")
