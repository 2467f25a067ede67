"""The shape of a wave: peaks and dips with runs between, and the edges that go with it.

A repeat is read as runs of plain stitches and *turns*: peaks that gain stitches, dips that
lose them. Changing a run or a turn gives the items of the repeat anew, and with them both
edges, so that the count stays the same in every row.

Half a turn at each edge (common practice; checked against published ripples in
`tests/core/test_waves.py`): the repeat's last turn is cut in two, its second half begins the
row and its first half ends it. What can't be halved evenly is shared so that the start edge
has the larger part; as rows are turned, both sides of the blanket get it in turn.
"""

from dataclasses import dataclass, replace
from typing import Final, Literal

from core.craft.stitches import WorkedStitch
from core.design.document import Item, Items, Wave, total_makes, total_uses

TurnKind = Literal["peak", "dip"]
EdgeKind = Literal["half", "straight", "own"]

MAX_GAIN: Final = 8
MAX_RUN: Final = 100


@dataclass(frozen=True, slots=True)
class Turn:
    """A peak or a dip: items without a plain one among them."""

    items: Items

    @property
    def gain(self) -> int:
        """Stitches gained; negative in a dip."""
        return total_makes(self.items) - total_uses(self.items)

    @property
    def kind(self) -> TurnKind:
        """Whether it gains or loses."""
        return "peak" if self.gain > 0 else "dip"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaveShape:
    """A wave as runs and turns, in working order.

    Attributes:
        stitch: The stitch of the runs.
        runs: Plain stitches before each turn, one number a turn.
        turns: The turns; the last one is cut by the edges if they are halves.
        edge: How the edges are made: half a turn, straight, or by items of their own.
        start: Items of the start edge if it isn't made of a half turn.
        end: Items of the end edge likewise.
        leads_with_run: Whether the repeat begins with the run before the first turn; if
            not, it begins with the first turn and ends with that run.
    """

    stitch: WorkedStitch
    runs: tuple[int, ...]
    turns: tuple[Turn, ...]
    edge: EdgeKind
    start: Items = ()
    end: Items = ()
    leads_with_run: bool = True

    @property
    def multiple(self) -> int:
        """Stitches that one repeat uses."""
        return sum(self.runs) + sum(total_uses(turn.items) for turn in self.turns)


@dataclass(frozen=True, slots=True)
class Family:
    """A way of making peaks and dips.

    Attributes:
        key: The program's name for it.
        name: What a person calls it.
        about: One line on its look.
        make: Stitches in one place at a peak.
        peak_times: How many such places.
        over: Stitches worked together at a dip, 0 for skipping.
        dip_times: How many such groups; with `over` 0, stitches skipped.
    """

    key: str
    name: str
    about: str
    make: int
    peak_times: int
    over: int
    dip_times: int


FAMILIES: Final = (
    Family("gentle", "Gentle", "2 in each of 2, two 2-togethers: rounded waves", 2, 2, 2, 2),
    Family("pointed", "Pointed", "3 in 1, 3 together: sharp peaks, closed dips", 3, 1, 3, 1),
    Family("open", "Open dips", "3 in 1, skip 2: sharp, with a hole at each dip", 3, 1, 0, 2),
    Family("double", "Double", "3 in each of 2, two 3-togethers: steep and broad", 3, 2, 3, 2),
    Family("slow", "Slow", "2 in 1, one 2-together: the gentlest slope", 2, 1, 2, 1),
)


def family_wave(family: Family, stitch: WorkedStitch, run: int) -> Wave:
    """Return the wave of a family with runs of `run` stitches and half turns at the edges."""
    peak = Turn((Item(stitch=stitch, make=family.make, times=family.peak_times),))
    if family.over:
        dip = Turn((Item(stitch=stitch, over=family.over, times=family.dip_times),))
    else:
        dip = Turn((Item(skip=family.dip_times),))
    return wave_of(WaveShape(stitch=stitch, runs=(run, run), turns=(dip, peak), edge="half"))


# --- from items to shape -----------------------------------------------------------------


def shape_of(wave: Wave) -> WaveShape | None:
    """Return the shape of a wave, or None where the rows differ or nothing turns."""
    if wave.setup is not None or wave.cycle is not None:
        return None
    pieces = _pieces(wave.repeat)
    turns = tuple(Turn(items) for items, run in pieces if not run)
    stitches = {item.stitch for item in wave.repeat if item.stitch}
    if not turns or len(stitches) != 1 or any(not turn.gain for turn in turns):
        return None
    leads = bool(pieces[0][1]) or not pieces[-1][1]
    runs = _runs_before_turns(pieces)
    shape = WaveShape(
        stitch=stitches.pop(),
        runs=runs if leads else (runs[-1], *runs[:-1]),
        turns=turns,
        edge="half",
        leads_with_run=leads,
    )
    for candidate in (shape, replace(shape, leads_with_run=False)):
        if _can_halve(candidate) and wave_of(candidate) == wave:
            return candidate
    plain = all(item.is_plain for item in wave.start + wave.end)
    edge: EdgeKind = "straight" if plain else "own"
    shape = replace(shape, edge=edge, start=wave.start, end=wave.end)
    return shape if wave_of(shape).repeat == wave.repeat else None


def _pieces(items: Items) -> list[tuple[Items, int]]:
    """Return the items cut into runs (no items, their length) and turns (items, 0)."""
    pieces: list[tuple[Items, int]] = []
    for item in items:
        before = pieces[-1] if pieces else ((), 0)
        if item.is_plain:
            if before[1]:
                pieces[-1] = ((), before[1] + item.times)
            else:
                pieces.append(((), item.times))
        elif before[0]:
            pieces[-1] = ((*before[0], item), 0)
        else:
            pieces.append(((item,), 0))
    return pieces


def _runs_before_turns(pieces: list[tuple[Items, int]]) -> tuple[int, ...]:
    """Return the run before each turn; what follows the last turn is put at the end."""
    runs: list[int] = []
    waiting = 0
    for items, run in pieces:
        if items:
            runs.append(waiting)
            waiting = 0
        else:
            waiting = run
    if pieces[0][0] and waiting:  # begins with a turn, ends with the run before it
        return (*runs[1:], waiting)
    return tuple(runs)


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of the repeat's items: a run, or a turn.

    Attributes:
        is_turn: Whether it is a turn.
        number: Number of the turn, or of the run before that turn.
        first: Its first item.
        count: How many items.
    """

    is_turn: bool
    number: int
    first: int
    count: int


def parts_of(shape: WaveShape, repeat: Items) -> tuple[Part, ...]:
    """Return the parts of a repeat's items in working order."""
    parts: list[Part] = []
    first = turn = 0
    for items, _run_length in _pieces(repeat):
        count = len(items) or 1
        parts.append(Part(bool(items), turn % len(shape.turns), first, count))
        first += count
        turn += bool(items)
    return tuple(parts)


# --- from shape to items -----------------------------------------------------------------


def wave_of(shape: WaveShape) -> Wave:
    """Return the items of a shape: the repeat, and the edges that fit it."""
    order = list(zip(shape.runs, shape.turns, strict=True))
    if shape.edge != "half":
        return Wave(shape.start, _repeat(shape), shape.end)
    edge_turn = shape.turns[-1]
    first_half, second_half = halves(edge_turn, shape.stitch)
    if edge_turn.items[0].skip is None:
        repeat = _repeat(replace(shape, leads_with_run=True))
        body = tuple(item for run, turn in order[:-1] for item in _run(shape, run) + turn.items)
        return Wave(second_half, repeat, body + _run(shape, shape.runs[-1]) + first_half)
    # A row can't begin with a skip: one stitch of the run goes to the very edge before it.
    repeat = _repeat(replace(shape, leads_with_run=False))
    one = _run(shape, 1)
    start = one + second_half + _run(shape, shape.runs[0] - 1)
    body = order[0][1].items if len(order) > 1 else ()
    for run, turn in order[1:-1]:
        body += _run(shape, run) + turn.items
    return Wave(start, repeat, body + _run(shape, shape.runs[-1] - 1) + first_half + one)


def _repeat(shape: WaveShape) -> Items:
    items: Items = ()
    for run, turn in zip(shape.runs, shape.turns, strict=True):
        items += _run(shape, run) + turn.items
    if shape.leads_with_run or not shape.runs[0]:
        return items
    return items[1:] + items[:1]


def _run(shape: WaveShape, stitches: int) -> Items:
    return (Item(stitch=shape.stitch, times=stitches),) if stitches > 0 else ()


def _can_halve(shape: WaveShape) -> bool:
    skips = shape.turns[-1].items[0].skip is not None
    if skips and (shape.runs[0] < 1 or shape.runs[-1] < 1 or len(shape.turns) < 2):
        return False
    return len(shape.turns[-1].items) == 1


def halves(turn: Turn, stitch: WorkedStitch) -> tuple[Items, Items]:
    """Return what ends a row and what begins it when a turn of one item is cut in two."""
    item = turn.items[0]
    if item.skip is not None:
        less = item.skip // 2
        return _skip(less), _skip(item.skip - less)
    if item.stitch is None:
        return (), turn.items
    whole, middle = divmod(item.times, 2)
    full: Items = ()
    if whole:
        full = (_worked_times(item, whole),)
    if not middle:
        return full, full
    change = abs(turn.gain) // item.times
    parts = change // 2, change - change // 2
    ends = [
        Item(stitch=stitch, make=part + 1) if turn.gain > 0 else Item(stitch=stitch, over=part + 1)
        for part in parts
    ]
    return (*full, ends[0]), (ends[1], *full)


def _worked_times(item: Item, times: int) -> Item:
    """Return the item worked another number of times."""
    return Item(stitch=item.stitch, make=item.make, over=item.over, chain=item.chain, times=times)


def _skip(stitches: int) -> Items:
    return (Item(skip=stitches),) if stitches else ()


# --- edits -------------------------------------------------------------------------------


def with_run(shape: WaveShape, number: int, stitches: int) -> WaveShape:
    """Return the shape with one run made longer or shorter.

    One stitch stays: a peak right beside a dip would be read as one turn.
    """
    stitches = min(max(stitches, 1), MAX_RUN)
    return replace(shape, runs=(*shape.runs[:number], stitches, *shape.runs[number + 1 :]))


def with_turn_moved(shape: WaveShape, number: int, stitches: int) -> WaveShape:
    """Return the shape with a turn moved along the row, towards the end of working.

    The run before it grows by what the run after it loses, as far as there is any.
    """
    after = (number + 1) % len(shape.turns)
    if after == number:
        return shape
    least = 1
    stitches = min(stitches, shape.runs[after] - least)
    stitches = max(stitches, least - shape.runs[number])
    moved = with_run(shape, number, shape.runs[number] + stitches)
    return with_run(moved, after, shape.runs[after] - stitches)


def with_gain(shape: WaveShape, number: int, gain: int) -> WaveShape:
    """Return the shape with a turn that gains or loses `gain` stitches, kept workable.

    The nearest turn of the other kind makes up for all others, so that a repeat leaves as
    many stitches as it uses, even if it didn't before.
    """
    turn = shape.turns[number]
    gain = min(max(gain, 1), MAX_GAIN)
    partner = _partner(shape, number)
    if partner is None:
        return shape
    sign = 1 if turn.kind == "peak" else -1
    rest = sum(t.gain for n, t in enumerate(shape.turns) if n not in (number, partner))
    other = sign * (sign * gain + rest)
    if not 1 <= other <= MAX_GAIN:
        return shape
    turns = list(shape.turns)
    turns[number] = turn_with_gain(turn, gain, shape.stitch)
    turns[partner] = turn_with_gain(shape.turns[partner], other, shape.stitch)
    return replace(shape, turns=tuple(turns))


def _partner(shape: WaveShape, number: int) -> int | None:
    count = len(shape.turns)
    for step in range(1, count):
        for candidate in ((number + step) % count, (number - step) % count):
            if shape.turns[candidate].kind != shape.turns[number].kind:
                return candidate
    return None


def turn_with_gain(turn: Turn, gain: int, stitch: WorkedStitch) -> Turn:
    """Return a turn of the same manner that gains or loses `gain` stitches."""
    item = turn.items[0]
    if item.skip is not None:
        return Turn((Item(skip=gain),))
    size = max(item.make, item.over)
    each = size - 1 if len(turn.items) == 1 and item.stitch else 1
    if item.times == 1 and size > 2:  # one place that all of them share
        size, times = gain + 1, 1
    elif each and gain % each == 0:
        times = gain // each
    else:
        size, times = 2, gain
    if turn.kind == "peak":
        return Turn((Item(stitch=stitch, make=size, times=times),))
    return Turn((Item(stitch=stitch, over=size, times=times),))


def with_skipped_dips(shape: WaveShape, skipped: bool) -> WaveShape:
    """Return the shape with its dips skipped (a hole) or worked together."""
    turns = []
    for turn in shape.turns:
        if turn.kind == "peak" or (turn.items[0].skip is not None) == skipped:
            turns.append(turn)
        elif skipped:
            turns.append(Turn((Item(skip=-turn.gain),)))
        else:
            times = -turn.gain
            turns.append(Turn((Item(stitch=shape.stitch, over=2, times=times),)))
    return replace(shape, turns=tuple(turns))


def with_edge_at(shape: WaveShape, kind: TurnKind) -> WaveShape:
    """Return the shape rotated so that the edges cut a turn of `kind` in half."""
    for step in range(len(shape.turns)):
        turns = shape.turns[step + 1 :] + shape.turns[: step + 1]
        if turns[-1].kind == kind and len(turns[-1].items) == 1:
            runs = shape.runs[step + 1 :] + shape.runs[: step + 1]
            return replace(shape, turns=turns, runs=runs, edge="half", start=(), end=())
    return shape


def with_straight_edge(shape: WaveShape, stitches: int) -> WaveShape:
    """Return the shape with plain stitches at both edges and whole repeats between."""
    edge = _run(shape, stitches)
    return replace(shape, edge="straight", start=edge, end=edge)
