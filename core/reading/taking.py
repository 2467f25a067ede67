"""The design that written rows make: wave, set-up row, cycle, turning, loops, size, stripes."""

from collections.abc import Sequence
from typing import Final

from core.craft.stitches import CATALOGUE, WorkedStitch
from core.design.document import (
    Design,
    Gauge,
    Item,
    Loops,
    Row,
    Size,
    Stripe,
    Stripes,
    Turning,
    Wave,
    WorkIn,
    Yarn,
)
from core.design.edits import set_gauge, set_values
from core.design.signs import plain_line
from core.design.validation import checked
from core.errors import DesignError
from core.reading.reading import Reading, ReadRow
from core.reading.shaping import Flat, Unit, divisions, plain_division
from core.records import Struct, field
from core.rows.build import build_rows
from core.rows.waves import Shape, shape_of
from core.stripes.loops import loops_of_rows

_MOST_CYCLE: Final = 200
_MOST_TRIED: Final = 60

_Parts = dict[tuple[Unit, ...], Row]


class Taken(Struct):
    """What a text makes of a design.

    Attributes:
        design: The design; None where the rows can't be taken.
        why_not: Then one sentence on why.
        notes: What the design holds otherwise than the text.
    """

    design: Design | None = None
    why_not: str = ""
    notes: list[str] = field(default_factory=list)


def take_reading(reading: Reading, design: Design, *, keep_stripes: bool = True) -> Taken:
    """Return `design` with the rows of a text; its gauge and yarns stay.

    Args:
        reading: The text as it was read.
        design: What everything that the text doesn't say is taken from.
        keep_stripes: Whether its stripes stay even where the text names yarns.
    """
    taken = Taken()
    if not reading.rows:
        taken.why_not = "There is no row in the text."
        return taken
    broken = next((trouble for trouble in reading.troubles if trouble.level == "error"), None)
    if broken is not None:
        taken.why_not = broken.message
        return taken
    flats = _flats(reading)
    odd = next((row for row in reading.rows if row.flat is not None and row.flat.odd), None)
    if flats is None or odd is not None:
        row = odd.number if odd is not None else 1
        taken.why_not = (
            f"Row {row} works different stitches, or stitches with uneven chains, in one place: "
            "that can't be drawn yet."
        )
        return taken
    kinds, n_rows = _kinds(reading, flats, design)
    ways = [way for plain in (False, True) if (way := _parted(kinds, plain)) is not None]
    if not ways:
        taken.why_not = "The rows are too long to be taken into a design."
        return taken
    wave, rows, repeats = None, list[Row](), 1
    for parts, n in ways:  # the first that shows a shape, so that it has handles
        repeats, rows = n, [parts[flat.units] for flat in kinds[:n_rows]]
        wave = _wave(rows)
        if wave is not None and shape_of(wave) is not None:
            break
    else:
        parts, repeats = ways[0]
        rows = [parts[flat.units] for flat in kinds[:n_rows]]
        wave = _wave(rows)
    if wave is None:
        taken.why_not = f"More than {_MOST_CYCLE} rows differ: a design holds no more."
        return taken
    turning = _turning(reading, taken)
    try:
        made = set_values(
            design,
            terms=reading.terms,
            gauge=_gauge(design, rows[0]),
            wave=wave,
            turning=turning,
            size=Size(repeats, n_rows),
            edging=None,
        )
        if not keep_stripes:
            made = _with_stripes(made, reading, n_rows)
        made = set_values(made, loops=_loops(reading, made, n_rows, taken))
        taken.design = checked(made)
    except (DesignError, ValueError) as error:
        taken.why_not = f"A design can't hold these rows: {error}."
        return taken
    _note_chain(reading, taken)
    return taken


def _note_chain(reading: Reading, taken: Taken) -> None:
    assert taken.design is not None
    found = build_rows(taken.design, rows=1).foundation
    if reading.layout.chains is not None and found.chains != reading.layout.chains:
        taken.notes.append(
            f"The text makes {reading.layout.chains} chains; with these rows it is {found.chains}."
        )


# --- rows ----------------------------------------------------------------------------------


def _flats(reading: Reading) -> list[Flat] | None:
    found = []
    for index in reading.order:
        flat = reading.rows[index].flat
        if flat is None:
            return None
        found.append(flat)
    return found


def _kinds(reading: Reading, flats: list[Flat], design: Design) -> tuple[list[Flat], int]:
    """Return the flat of every row, going on with those that repeat where the text is open."""
    n_rows = len(flats)
    if reading.is_open and reading.cycle is not None:
        first, last = reading.cycle
        period = last - first + 1
        n_rows = max(n_rows, design.size.rows)
        for n in range(len(flats) + 1, n_rows + 1):
            flats.append(flats[first - 1 + (n - first) % period])
    elif n_rows == 1:  # a single row is meant to be repeated
        n_rows = design.size.rows
        flats = flats * n_rows
    return flats, n_rows


def _parted(flats: Sequence[Flat], plain_starts_empty: bool) -> tuple[_Parts, int] | None:
    """Return every kind of row parted into edges and repeat, all worked equally often.

    A row of one stitch throughout can be parted anywhere: as the row below, or without a start.
    """
    kinds = list({flat.units: flat for flat in reversed(flats)}.values())
    order = list(dict.fromkeys(flat.units for flat in flats))
    kinds.sort(key=lambda flat: order.index(flat.units))
    marked = sorted({flat.times for flat in kinds if flat.times > 0}, reverse=True)
    wanted = list(dict.fromkeys([*marked, *range(max(marked, default=0) + 2, 0, -1)]))
    if not marked:
        longest = max((len(flat.units) for flat in kinds), default=0)
        wanted = list(range(min(200, longest), 0, -1))
    for repeats in wanted:
        parts = _all_parted(kinds, repeats, plain_starts_empty)
        if parts is not None:
            return parts, repeats
    return None


def _all_parted(kinds: Sequence[Flat], repeats: int, plain_starts_empty: bool) -> _Parts | None:
    parts: _Parts = {}
    below: Row | None = None
    for flat in kinds:
        row = plain_division(flat, repeats, below, starts_empty=plain_starts_empty)
        row = row or _best(flat, repeats, below)
        if row is None:
            return None
        parts[flat.units] = below = row
    return parts


def _best(flat: Flat, repeats: int, below: Row | None) -> Row | None:
    """Return the way to part a row that fits the one below and shows a shape, if there is one."""
    first: Row | None = None
    fits: Row | None = None
    for number, row in enumerate(divisions(flat, repeats)):
        if number >= _MOST_TRIED:
            break
        first = first or row
        if below is not None and _makes(below) != sum(item.uses for item in row.repeat):
            continue
        fits = fits or row
        shape = shape_of(Wave(row.start, row.repeat, row.end))
        if shape is not None:
            return _with_half_turn(row, shape)
    return fits or first


def _with_half_turn(row: Row, shape: Shape) -> Row:
    """Return the row with its last stitch as an item of its own, if that is half a turn."""
    last = row.end[-1] if row.end else None
    if last is None or not last.is_plain or last.times < 2 or getattr(shape, "edge", "") != "own":
        return row
    parted = (
        Item(stitch=last.stitch, times=last.times - 1),
        Item(stitch=last.stitch),
    )
    other = Row(row.start, row.repeat, (*row.end[:-1], *parted))
    found = shape_of(Wave(other.start, other.repeat, other.end))
    return other if found is not None and getattr(found, "edge", "own") != "own" else row


def _makes(row: Row) -> int:
    return sum(item.makes for item in row.repeat)


def _wave(rows: Sequence[Row]) -> Wave | None:
    """Return the shortest set-up and cycle that tell all rows."""
    cycle = _cycle(rows)
    setup: Row | None = None
    if cycle is None or len(cycle) >= len(rows) > 1:
        later = _cycle(rows[1:])
        if later is not None and (cycle is None or len(later) + 1 < len(cycle)):
            setup, cycle = rows[0], later
    if cycle is None:
        return None
    row = cycle[0]
    return Wave(row.start, row.repeat, row.end, setup, cycle if len(cycle) > 1 else None)


def _cycle(rows: Sequence[Row]) -> tuple[Row, ...] | None:
    """Return the fewest rows that all rows repeat from the first on."""
    for period in range(1, min(len(rows), _MOST_CYCLE) + 1):
        if all(rows[n] == rows[n - period] for n in range(period, len(rows))):
            return tuple(rows[:period])
    return None


# --- everything else -----------------------------------------------------------------------


def _gauge(design: Design, row: Row) -> Gauge:
    """Return the gauge; of another stitch than the rows are in, as that would come out."""
    used = [item.stitch for item in (*row.start, *row.repeat, *row.end) if item.stitch]
    if not used or design.gauge.stitch in used:
        return design.gauge
    stitch: WorkedStitch = max(set(used), key=used.count)
    if stitch == "sl st":
        return design.gauge
    taller = CATALOGUE[stitch].height_to_width / CATALOGUE[design.gauge.stitch].height_to_width
    return set_gauge(design, stitch=stitch, rows=round(design.gauge.rows / taller, 2)).gauge


def _turning(reading: Reading, taken: Taken) -> Turning:
    """Return the turning chain that most rows have."""
    told: list[tuple[int, bool, int]] = []
    for index, row in enumerate(reading.rows):
        own = row.opening.own
        if own is None:
            continue
        told.append((own, row.turns_into != "none", index))
    if told:
        ways = [(chains, counts) for chains, counts, _ in told]
        chains, counts = max(ways, key=lambda way: (ways.count(way), -ways.index(way)))
        if len(set(ways)) > 1:
            taken.notes.append(
                f"Rows turn with different chains; the design keeps to {chains} that "
                f"{'count' if counts else 'do not count'} as a stitch."
            )
        if counts and not chains:
            counts = False
        return Turning(min(chains, 10), counts)
    first = reading.rows[0]
    counts = first.turns_into != "none"
    chains = (reading.chains or 0) - (reading.base or 0) if reading.chains else 0
    if counts and first.flat is not None and first.flat.units[0].make == 1:
        chains += 1
    return Turning(min(max(chains, 1 if counts else 0), 10), counts)


def _loops(reading: Reading, design: Design, n_rows: int, taken: Taken) -> Loops:
    """Return the loops that say what every row says."""
    loops = [_loop_of(reading, n, n_rows) for n in range(1, n_rows + 1)]
    last_both = any(row.last_both for row in reading.rows)
    if all(loop == "both" for loop in loops[1:]):
        return Loops("both", 2, False)
    first = next(n for n, loop in enumerate(loops, start=1) if loop != "both" and n > 1)
    for found in _ways_of_loops(loops, first, last_both):
        if loops_of_rows(found, design.stripes, n_rows)[1:] == tuple(loops[1:]):
            return found
    taken.notes.append("The loops change in a way that a design can't hold; all rows keep to one.")
    most = max(loops, key=loops.count)
    return Loops(most, first, last_both)


def _loop_of(reading: Reading, number: int, n_rows: int) -> WorkIn:
    row = _row_for(reading, number)
    return row.loop or "both" if row is not None else "both"


def _row_for(reading: Reading, number: int) -> ReadRow | None:
    order = reading.order
    if number <= len(order):
        return reading.rows[order[number - 1]]
    if reading.cycle is not None and reading.is_open:
        first, last = reading.cycle
        return reading.rows[order[first - 1 + (number - first) % (last - first + 1)]]
    return reading.rows[order[-1]] if order else None


def _ways_of_loops(loops: Sequence[WorkIn], first: int, last_both: bool) -> list[Loops]:
    found = [Loops(loops[first - 1], first, last_both)]
    for begin in dict.fromkeys((first, 2)):
        rest = loops[begin - 1 :]
        for period in range(2, min(len(rest), 40) + 1):
            if all(rest[n] == rest[n - period] for n in range(period, len(rest))):
                turn = tuple(rest[:period])
                found.append(Loops("both", begin, last_both, in_turn=turn))
                break
    turn = ("back", "both") if loops[first - 1] == "back" else ("front", "both")
    found.append(Loops("both", 2, last_both, in_turn=turn, each_colour=True))
    return found


def _with_stripes(design: Design, reading: Reading, n_rows: int) -> Design:
    """Return the design with the stripes that the text names, where it names all of them."""
    names = _yarn_names(reading, n_rows)
    if names is None:
        return design
    yarns = list(design.yarns)
    number = {yarn.name.casefold(): n for n, yarn in reversed(list(enumerate(yarns)))}
    for name in dict.fromkeys(names):
        if name.casefold() not in number and len(yarns) < 200:
            number[name.casefold()] = len(yarns)
            model = design.yarns[len(yarns) % len(design.yarns)]
            known = plain_line(name)[:80].strip() or "Yarn"
            yarns.append(Yarn(name=known, colour=model.colour, ball_m=model.ball_m,
                              ball_g=model.ball_g))  # fmt: skip
    sequence: list[Stripe] = []
    for name in names:
        yarn = number.get(name.casefold(), 0)
        if sequence and sequence[-1].yarn == yarn:
            sequence[-1] = Stripe(yarn, sequence[-1].rows + 1)
        else:
            sequence.append(Stripe(yarn, 1))
    stripes = Stripes(tuple(sequence[:2000]), "repeat")
    return set_values(design, yarns=tuple(yarns), stripes=stripes)


def _yarn_names(reading: Reading, n_rows: int) -> list[str] | None:
    if reading.layout.stripes:
        names: list[str] = [""] * n_rows
        for stripe in reading.layout.stripes:
            for n in range(stripe.first, min(stripe.last, n_rows) + 1):
                names[n - 1] = stripe.yarn
        return names if all(names) else None
    found: list[str] = []
    now: str | None = None
    for number in range(1, n_rows + 1):
        row = _row_for(reading, number)
        if row is None:
            return None
        now = row.yarn or now
        if now is None:
            return None
        found.append(now)
        now = row.next_yarn or now
    return found if len(set(found)) > 1 else None
