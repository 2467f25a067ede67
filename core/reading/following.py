"""All rows of a text followed, each over the row below it, in one way of meaning the words."""

from collections.abc import Sequence
from typing import Final

from core.craft.stitches import CATALOGUE, Terms
from core.reading.acts import (
    Act,
    Chain,
    Count,
    Counts,
    Repeated,
    Skip,
    Work,
)
from core.reading.names import Said, meaning
from core.reading.readrows import Reading, ReadRow, every_act
from core.reading.shaping import flat_of
from core.reading.worked import Below, Choices, Standing, Start, Worked
from core.reading.working import work_row
from core.records import Struct, field, replace

_MOST_EVENTS: Final = 400_000


class Outcome(Struct):
    """All rows followed in one way of meaning the words."""

    counts: bool
    choices: Choices
    rows: dict[int, tuple[Worked, Below, Standing]] = field(default_factory=dict)
    more: list[tuple[int, Worked, Below]] = field(default_factory=list)
    base: int | None = None
    score: float = 0.0
    cut: int | None = None


def ways_to_count(reading: Reading) -> list[bool]:
    """Return whether turning chains count, the usual first; only what is said where it is."""
    said = {
        row.opening.counts.said is not None
        for row in reading.rows
        if row.opening.counts is not None and not row.opening.counts.only_chains
    }
    if any(row.opening.joins for row in reading.rows):
        said.add(True)
    if said:
        return [True] if True in said else [False, True]
    main = _main_stitch(reading)
    facts = CATALOGUE[meaning(main, reading.terms) or "dc"]
    chains = [
        row.opening.chains
        for row in reading.rows
        if row.opening.chains is not None and _row_stitch(row, main) == main
    ]
    usual = facts.chain_counts and (not chains or chains[0] >= facts.turning_chains)
    skipped = _first_chain(reading.rows[0].acts)
    if not chains and skipped is not None:
        usual = facts.chain_counts and skipped - 1 >= facts.turning_chains
    return [usual, not usual]


def ways_to_mean(reading: Reading) -> list[Choices]:
    """Return the ways to mean words that can be meant in two, the usual first."""
    spread = in_all = False
    for row in reading.rows:
        for act in every_act(row.acts):
            if isinstance(act, Repeated) and act.or_times:
                in_all = True
            if isinstance(act, Work) and not act.place.each and act.place.order == "next":
                spread = spread or (act.over == 1 and len(act.made) == act.place.n > 1)
    found = [Choices()]
    if any(row.opening.after_turn and row.stated for row in reading.rows):
        found.append(Choices(lead=True))
    if spread:
        found += [replace(choices, spread=True) for choices in list(found)]
    if in_all:
        found += [replace(choices, in_all=True) for choices in list(found)]
    return found


def _main_stitch(reading: Reading) -> Said:
    """Return the stitch that the rows name most."""
    count: dict[Said, int] = {}
    for row in reading.rows:
        for act in every_act(row.acts):
            if isinstance(act, Work):
                for name in act.made:
                    if name not in ("", "ch"):
                        count[name] = count.get(name, 0) + 1
    return max(count, key=lambda name: count[name], default="dc")


def _row_stitch(row: ReadRow, otherwise: Said) -> Said:
    for act in every_act(row.acts):
        if isinstance(act, Work):
            for name in act.made:
                if name not in ("", "ch"):
                    return name
    return otherwise


def follow_rows(
    reading: Reading, counts: bool, choices: Choices, row_terms: dict[int, Terms]
) -> Outcome:
    """Follow every row over the one below it, each pair once."""
    done = Outcome(counts, choices)
    main = _main_stitch(reading)
    seen: set[tuple[int, int]] = set()
    events = 0
    below: Below | None = None
    for number, index in enumerate(reading.order, start=1):
        key = (index, reading.order[number - 2] if number > 1 else -1)
        row = reading.rows[index]
        if key in seen:
            if index in done.rows:
                below = _leaves(done, index, number, row)
            continue
        seen.add(key)
        if events > _MOST_EVENTS:
            done.cut = number
            break
        if number == 1:
            worked, below_1, standing = _first_row(reading, row, counts, choices, main)
            done.base = below_1.n if below_1.n is not None else worked.uses
            done.rows[index] = (worked, below_1, standing)
        else:
            assert below is not None
            worked, standing = _later_row(reading, row, number, below, counts, choices, main)
            if index in done.rows:
                done.more.append((number, worked, below))
            else:
                done.rows[index] = (worked, below, standing)
        events += len(worked.events)
        done.score -= _cost(row, worked)
        below = _leaves(done, index, number, row)
    return done


def _leaves(done: Outcome, index: int, number: int, row: ReadRow) -> Below:
    """Return what a row is for the one above."""
    worked, below, standing = done.rows[index]
    if worked.broken is None:
        return Below(worked.makes, worked.kinds[::-1], standing, f"row {number}")  # it is turned
    n = row.stated.n if row.stated else below.n
    return Below(n, (), standing, f"row {number}")


def _cost(row: ReadRow, worked: Worked) -> float:
    cost = 0.1 * len(worked.remarks)
    if worked.broken is not None:
        cost += 10.0 + 2.0 * (worked.broken.kind == "place")
    elif row.stated is not None and not agrees(row.stated, worked):
        cost += 11.0  # a count was counted by somebody
    return cost


def agrees(stated: Count, worked: Worked) -> bool:
    """Return whether a stated count is that of the row, however chains are counted in it."""
    chains = worked.kinds.count("ch")
    stitches = worked.makes - chains
    if stated.chains is not None:
        return stated.n == worked.makes and stated.chains == chains
    spaces = _spaces(worked.kinds)
    if stated.spaces:
        return stated.n == stitches and stated.spaces == spaces
    return stated.n in {worked.makes, stitches, stitches + spaces}


def _spaces(kinds: Sequence[str]) -> int:
    return sum(kind == "ch" and (not n or kinds[n - 1] != "ch") for n, kind in enumerate(kinds))


def _start_of(row: ReadRow, counts: bool, main: Said, number: int) -> tuple[Start, Standing]:
    """Return how a row after the first begins, and what that is for the row above."""
    opening, said = row.opening, row.opening.counts
    if opening.joins is not None:
        return Start(said=_row_stitch(row, main), joins=True), "joined"
    if said is not None and said.said is None:
        return Start(), "none"
    chains = opening.chains
    if said is not None:
        return Start(said=said.said or _row_stitch(row, main), chains=said.chains), "stands"
    if not counts or chains is None or chains < 1:
        return Start(), "none"
    stitch = _row_stitch(row, main)
    if chains == 1 and number > 1:  # one chain is never told to be a stitch by saying nothing
        return Start(), "none"
    return Start(said=stitch), "stands"


def _later_row(
    reading: Reading,
    row: ReadRow,
    number: int,
    below: Below,
    counts: bool,
    choices: Choices,
    main: Said,
) -> tuple[Worked, Standing]:
    start, standing = _start_of(row, counts, main, number)
    if choices.lead and row.opening.after_turn:
        start, standing = Start(chains=row.opening.chains or 0), "none"
    worked = work_row(
        reading.text,
        row.acts,
        below,
        start,
        choices,
        name=f"row {number}",
        stitch=_row_stitch(row, main),
    )
    return worked, standing


def _first_chain(acts: Sequence[Act]) -> int | None:
    """Return the chain from the hook that takes row 1's first stitch, if the words tell it."""
    for act in every_act(acts):
        if isinstance(act, Work):
            return act.place.ordinal if act.place.order == "hook" else None
        if isinstance(act, Skip):
            return act.place.n + 1
    return None


def _first_row(
    reading: Reading, row: ReadRow, counts: bool, choices: Choices, main: Said
) -> tuple[Worked, Below, Standing]:
    """Follow row 1, trying where its counted chain may stand; return the best."""
    chains = reading.chains
    acts = _with_hook(row.acts)
    said = row.opening.counts
    stitch = _row_stitch(row, main)
    joins = row.opening.joins is not None
    first = _first_chain(acts)
    counted = joins or (_counts_first(reading, row, counts, first) if said is None
                        else said.said is not None)  # fmt: skip
    more = sum(act.n for act in acts if isinstance(act, Chain) and act.more)
    extra = said.chains + said.only_chains if said else 0
    if said is not None and said.whole_row:
        first = None
    best: tuple[tuple[float, ...], Worked, Below, Standing] | None = None
    turns = _turns(reading, row, counted, joins, first, extra, choices.lead)
    for rank, turn in enumerate(turns):
        base = None if chains is None else chains + more - turn - extra
        if base is not None and base < 1:
            continue
        start = Start(
            said=(said.said if said and said.said else stitch) if counted and turn >= 0 else None,
            joins=joins,
            chains=extra,
            turn=turn,
            more=extra,
            whole=bool(said and said.whole_row),
        )
        if first is None and not (said and said.whole_row):
            start = replace(start, said=None, turn=0)
        below = Below(base, ("ch",) * (base or 0), "none", "the foundation")
        worked = work_row(reading.text, acts, below, start, choices, name="row 1", stitch=stitch)
        standing: Standing = "none"
        if start.said is not None:
            standing = "joined" if joins else "stands"
        rank_of = _rank(reading, row, worked, below, standing, counts, choices, main, rank)
        if best is None or rank_of < best[0]:
            best = (rank_of, worked, below, standing)
    if best is None:
        below = Below(chains, ("ch",) * (chains or 0), "none", "the foundation")
        worked = work_row(
            reading.text, acts, below, Start(turn=0), choices, name="row 1", stitch=stitch
        )
        return worked, below, "none"
    return best[1], best[2], best[3]


def _counts_first(reading: Reading, row: ReadRow, counts: bool, first: int | None) -> bool:
    """Return whether row 1's skipped chains count, where only rows in other stitches tell."""
    told = [r for r in reading.rows if r is not row and r.opening.counts is not None]
    stitch = _row_stitch(row, "")
    if not told or first is None or any(_row_stitch(r, "") == stitch for r in told):
        return counts
    facts = CATALOGUE.get(meaning(stitch, reading.terms) or "")
    if facts is None:
        return counts
    return facts.chain_counts and first - 1 >= facts.turning_chains


def _with_hook(acts: tuple[Act, ...]) -> tuple[Act, ...]:
    """Return row 1's acts with a skip at their start told as the chain that is worked into."""
    for number, act in enumerate(acts):
        if (isinstance(act, Chain) and act.more) or isinstance(act, Counts):
            continue
        if not isinstance(act, Skip) or act.place.order not in ("next", "first"):
            return acts
        rest = list(acts[number + 1 :])
        for index, work in enumerate(rest):
            if isinstance(work, Counts):
                continue
            if isinstance(work, Work):
                n = work.over if work.over > 1 and not work.place.number_said else work.place.n
                if work.is_bare:
                    n = work.over * (work.times or 1)
                place = replace(
                    work.place, order="hook", ordinal=act.place.n + 1, n=n, number_said=n > 1
                )
                rest[index] = replace(work, place=place, is_bare=False, times=None)
                return (*acts[:number], *rest)
            break
        return acts
    return acts


def _turns(
    reading: Reading,
    row: ReadRow,
    counted: bool,
    joins: bool,
    first: int | None,
    extra: int,
    lead: bool,
) -> list[int]:
    """Return how many chains of the foundation may be the turn alone, the likeliest first."""
    said = row.opening.counts
    own = [
        r.opening.own
        for r in reading.rows
        if r is not row and r.opening.own is not None and not (lead and r.opening.after_turn)
    ]
    usual = own[0] if own else None
    if first is None:
        if said is not None and said.whole_row and usual is not None:
            return [usual - 1]
        return [0]
    skipped = first - 1 - extra
    if not counted:
        found = [usual] if usual is not None and usual <= skipped else []
        return list(dict.fromkeys([*found, skipped, *([0] if usual is None else [])]))
    if joins:
        found = [usual - 1] if usual else []
        return list(dict.fromkeys([*found, skipped - 1]))
    if said is not None and said.own is not None:
        return [said.own - 1 - extra, said.own - extra]
    found = [skipped, skipped - 1]
    if usual is not None and usual < skipped:
        found += [usual, usual - 1]
    return [turn for turn in dict.fromkeys(found) if turn >= 0] or [0]


def _rank(
    reading: Reading,
    row: ReadRow,
    worked: Worked,
    below: Below,
    standing: Standing,
    counts: bool,
    choices: Choices,
    main: Said,
    rank: int,
) -> tuple[float, ...]:
    """Return how well row 1 is read this way; the lowest is the best."""
    flat = flat_of(worked, reading.terms)
    like_later = 1.0
    above = Below(worked.makes, worked.kinds[::-1], standing, "row 1")
    for number in range(2, min(len(reading.order), 3) + 1):
        later = reading.rows[reading.order[number - 1]]
        if later is row or worked.broken is not None:
            break
        next_worked, next_standing = _later_row(
            reading, later, number, above, counts, choices, main
        )
        if flat_of(next_worked, reading.terms).units == flat.units:
            like_later = 0.0
        kinds = next_worked.kinds[::-1]
        above = Below(next_worked.makes, kinds, next_standing, f"row {number}")
        if next_worked.broken is not None:
            break
    keeps = below.n is None or worked.makes == below.n
    return (_cost(row, worked), like_later, float(not keeps), float(rank))
