"""How many places of the row below acts take, before they are worked.

"To the end" and "across" stop where what follows must begin, so that is reckoned first.
"""

from collections.abc import Sequence

from core.reading.acts import Act, Leave, Mark, Place, Repeated, Skip, Work


def needs_of(acts: Sequence[Act], *, stands: bool, in_all: bool) -> int:
    """Return how many places acts take that say it; others count as none.

    Args:
        acts: The acts, in order.
        stands: Whether the turning chain of the row below is a place of its own.
        in_all: Whether "repeat 6 times" is six times in all.
    """
    return sum(need_of(act, stands=stands, in_all=in_all) for act in acts)


def need_of(act: Act, *, stands: bool, in_all: bool) -> int:
    """Return how many places one act takes; see `needs_of`."""
    match act:
        case Repeated() if act.times is not None:
            n = act.or_times if in_all and act.or_times else act.times
            return n * needs_of(act.body, stands=stands, in_all=in_all)
        case Repeated():
            return act.to_last or 0
        case Leave():
            return act.n + (act.turning and stands)
        case Skip():
            return _need_of(act.place, 1)
        case Work() if act.over > 1:
            if act.is_bare or (act.place.order == "next" and not act.place.number_said):
                return act.over * (act.times or 1) if not act.place.also_turning else act.over
            return _need_of(act.place, act.over) * (act.times or 1)
        case Work() if act.is_bare:
            return act.times or 1
        case Work():
            return _need_of(act.place, 1)
    return 0


def _need_of(place: Place, over: int) -> int:
    match place.order:
        case "same" | "hook" | "across":
            return 0
        case "turning":
            return 1
        case "space":
            return max(place.n, 1) * max(place.ordinal, 1)
        case "next" | "last" | "first":
            return (place.n if place.number_said or over == 1 else over) + place.also_turning


def to_mark(body: tuple[Act, ...]) -> tuple[Act, ...]:
    """Return the acts up to the mark where the last repeat ends."""
    for number, act in enumerate(body):
        if isinstance(act, Mark):
            return body[:number]
    return body
