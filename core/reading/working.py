"""Acts followed stitch by stitch over the row below, as a maker follows them.

The hook moves along the stitches below; every stitch made knows its feet and its words. Where
the stitches below run out, or some are left, following stops at that very word.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress

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
from core.reading.hook import Hook, Saved, Stop, are, sts
from core.reading.names import Said
from core.reading.needs import needs_of, to_mark
from core.reading.worked import Below, Break, Choices, Start, Worked
from core.records import replace


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
    return _Follower(Hook(text, below, start, name), choices, stitch).follow(acts)


class _Follower:
    def __init__(self, hook: Hook, choices: Choices, stitch: Said) -> None:
        self._hook, self._choices, self._stitch = hook, choices, stitch
        self._last_act: Act | None = None
        self._leg = False

    def follow(self, acts: Sequence[Act]) -> Worked:
        done, start = self._hook.done, self._hook.start
        try:
            if start.said is not None and (start.joins or self._hook.left() != 0):
                self._stand(start)
            elif start.said is None:
                for _ in range(start.chains):
                    self._hook.add("ch", "ch", (), None)
            self._run(acts, 0)
            self._finish(acts)
        except Stop as stop:
            done.broken = stop.broken
        done.uses = self._hook.at
        return done

    def _stand(self, start: Start) -> None:
        self._hook.at = 1
        if start.joins:
            self._leg = True
        else:
            self._hook.add("st", start.said or self._stitch, (0,), None)
            for _ in range(start.chains):
                self._hook.add("ch", "ch", (), None)
        if start.whole and self._hook.below.n is not None:
            self._hook.at = self._hook.below.n

    def _finish(self, acts: Sequence[Act]) -> None:
        hook, left = self._hook, self._hook.left()
        if not left:
            return
        act = self._last_act or (acts[-1] if acts else None)
        begin, end = (act.start, act.end) if act else (0, 0)
        after = f"After {hook.quoted(act)} " if act else ""
        raise Stop(
            Break(
                "over",
                begin,
                end,
                f"{after}{sts(left)} of {hook.below.name} {are(left)} left: {hook.name} uses "
                f"{hook.at} of {hook.below.n}.",
            )
        )

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
                    self._hook.add("ch", "ch", (), act)
            case Leave():
                self._leave(act)
            case Repeated():
                self._repeat(act, reserve)
            case Counts() if act.joins and self._leg:
                self._join(act)
            case Unread():
                words = self._hook.quoted(act)
                raise self._hook.stop(
                    "unread", act, f"{words} can't be read: expected {act.expected}."
                )
            case _:
                return
        if not isinstance(act, Counts):
            self._last_act = act

    def _join(self, act: Counts) -> None:
        """Make one decrease of the turning chain and the stitch before."""
        hook = self._hook
        stitches = [event for event in hook.done.events if event.kind == "st"]
        if len(stitches) != 1:
            raise hook.stop("place", act, f"{hook.quoted(act)}: there is no stitch to join to.")
        first = stitches[0]
        if act.over and act.over != len(first.feet) + 1:
            raise hook.stop(
                "place",
                act,
                f"{hook.quoted(act)}: the chain and the stitch before go into "
                f"{len(first.feet) + 1} places.",
            )
        first.feet = (first.feet[0] - 1, *first.feet)
        hook.done.joined = True
        self._leg = False

    def _work(self, act: Work, reserve: int) -> None:
        made = tuple(name or self._stitch for name in act.made)
        if act.over > 1:
            for feet in self._joined_places(act, reserve):
                self._hook.add("st", made[0], feet, act)
                self._hook.last = feet[-1]
            return
        if act.is_bare:
            for place in self._hook.next(act.times or 1, act):
                self._hook.work_into(made, place, act)
            return
        if act.place.order == "space":
            for _ in range(max(act.place.ordinal, 1)):
                self._hook.work_into_space(made, act)
            return
        spread = len(made) == act.place.n > 1 and len(set(made)) == 1 and not act.place.each
        if spread and self._choices.spread:
            made = made[:1]
        for place in self._hook.places(act.place, act, reserve):
            self._hook.work_into(made, place, act)

    def _joined_places(self, act: Work, reserve: int) -> Iterator[tuple[int, ...]]:
        place, over = act.place, act.over
        if act.is_bare:
            for _ in range(act.times or 1):
                yield tuple(self._hook.next(over, act))
            return
        if place.also_turning:
            legs = [*self._hook.next(place.n, act), *self._hook.turning(act)]
            if len(legs) != over:
                raise self._uneven(act, len(legs))
            yield tuple(legs)
            return
        if place.order in ("next", "space") and not place.number_said:
            place = Place(order="next", n=over, number_said=True)
        if place.order in ("last", "first") and not place.number_said:
            place = replace(place, n=over)
        for _ in range(act.times or 1):
            every = list(self._hook.places(place, act, reserve))
            if len(every) % over or not every:
                raise self._uneven(act, len(every))
            for first in range(0, len(every), over):
                yield tuple(every[first : first + over])

    def _uneven(self, act: Work, n: int) -> Stop:
        return self._hook.stop(
            "place", act, f"{self._hook.quoted(act)} joins {act.over} stitches, but names {n}."
        )

    def _skip(self, act: Skip) -> None:
        place = act.place
        if place.order == "first" and self._hook.start.said is not None and self._hook.at == 1:
            self._hook.pass_over(place.n - 1, act)
            return
        if place.order == "space":
            run = self._hook.chains_ahead()
            n = place.n or max(run, 1)
            self._hook.pass_over(n * max(place.ordinal, 1), act)
            return
        spots = list(self._hook.places(place, act, 0))
        for spot in spots:
            self._hook.add("skip", "", (spot,), act)

    def _leave(self, act: Leave) -> None:
        n = act.n + (act.turning and self._hook.below.turning == "stands")
        if not n:
            return
        self._hook.reach(n, act)
        for spot in self._hook.next(n, act):
            self._hook.add("skip", "", (spot,), act)

    # repeats

    def _repeat(self, act: Repeated, reserve: int) -> None:
        first = len(self._hook.done.events)
        times, once = 0, 0
        if act.times is not None:
            n = act.or_times if self._choices.in_all and act.or_times else act.times
            for times in range(n):
                body = act.body
                if act.last_until and times == n - 1:
                    body = to_mark(act.body)
                self._run(body, 0)
                once = once or len(self._hook.done.events) - first
            times = n
        else:
            times, once = self._to_end(act, reserve)
        if act.marked and times and self._hook.done.repeat is None:
            self._hook.done.repeat = (first, once, times)

    def _to_end(self, act: Repeated, reserve: int) -> tuple[int, int]:
        hook = self._hook
        if hook.left() is None:
            raise hook.stop(
                "place",
                act,
                f"{hook.quoted(act)}: how often depends on {hook.below.name}; say how many "
                "chains to make.",
            )
        keep = act.to_last if act.to_last is not None else reserve
        if act.ending:
            keep = self._needs(act.ending) + reserve
        first, times, once = len(hook.done.events), 0, 0
        while (hook.left() or 0) > keep:
            saved, before = self._saved(), hook.at
            try:
                short = to_mark(act.body) if act.last_until else ()
                if act.last_until and (hook.left() or 0) - keep <= self._needs(short):
                    self._run(short, 0)
                    times += 1
                    break
                self._run(act.body, 0)
            except Stop as stop:
                if stop.broken.kind in ("unread", "size", "place"):
                    raise
                self._restore(saved)
                self._part(act, keep, times, stop)
                break
            if (hook.left() or 0) < keep:
                self._restore(saved)
                self._part(act, keep, times, None)
                break
            if hook.at == before:
                raise hook.stop("place", act, f"{hook.quoted(act)}: the repeat uses no stitch.")
            times += 1
            once = once or len(hook.done.events) - first
        if act.ending:
            self._run(act.ending, reserve)
        return times, once

    def _part(self, act: Repeated, keep: int, times: int, stop: Stop | None) -> None:
        """Work the beginning of a last repeat that isn't whole, if it comes out even."""
        hook = self._hook
        left = hook.left() or 0
        if act.to_last is None:
            for inner in act.body:
                if (hook.left() or 0) == keep:
                    break
                before = self._saved()
                with suppress(Stop):
                    self._act(inner, 0)
                    if (hook.left() or 0) >= keep:
                        continue
                self._restore(before)
                break
            if (hook.left() or 0) == keep:
                if not act.ending and self._last_act is not None:
                    hook.done.remarks.append(
                        Break(
                            "over",
                            act.start,
                            act.end,
                            f"The last repeat stops after {hook.quoted(self._last_act)}.",
                        )
                    )
                return
            if stop is not None and not act.ending and not keep:
                raise stop
        takes = self._needs(act.body)
        stop_at = f" before the last {keep}" if keep else ""
        raise hook.stop(
            "over",
            act.body[-1] if act.body else act,
            f"The repeat takes {sts(takes)}: after working it {_times(times)} {left - keep} of "
            f"{hook.below.name} {are(left - keep)} left{stop_at}.",
        )

    def _saved(self) -> tuple[Saved, Act | None]:
        return self._hook.saved(), self._last_act

    def _restore(self, saved: tuple[Saved, Act | None]) -> None:
        where, self._last_act = saved
        self._hook.restore(where)

    def _needs(self, acts: Sequence[Act]) -> int:
        stands = self._hook.below.turning == "stands"
        return needs_of(acts, stands=stands, in_all=self._choices.in_all)


def _times(n: int) -> str:
    return {0: "no time", 1: "once", 2: "twice"}.get(n, f"{n} times")
