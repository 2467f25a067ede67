"""Written rows put in order: which row each is, and which rows repeat it."""

from core.reading.acts import (
    Act,
    Chain,
    Count,
    Counts,
    LikeRow,
    Loop,
    Remark,
    Turn,
    Yarn,
)
from core.reading.grammar import read_row
from core.reading.layout import MAX_ROWS, RowText
from core.reading.readrows import Opening, Reading, ReadRow, Trouble


def take_rows(reading: Reading) -> None:
    """Read the acts of every written row and sort them into opening, work and the rest."""
    carried: Opening | None = None
    for row_text in reading.layout.rows:
        acts = read_row(reading.text, row_text.body)
        number = row_text.numbers[0] if row_text.numbers else 0
        row = ReadRow(number, row_text.label, row_text.start, row_text.end, acts)
        carried = _dress(row, acts, carried)
        reading.rows.append(row)


def _dress(row: ReadRow, acts: tuple[Act, ...], carried: Opening | None) -> Opening | None:
    """Sort a row's acts into its opening, its work and what it says besides."""
    work: list[Act] = []
    chains, counts = (carried.chains, carried.counts) if carried else (None, None)
    turned, after_turn = carried is not None, False
    joins: Counts | None = None
    is_opening = True
    for act in acts:
        match act:
            case Count():
                row.stated = act
            case LikeRow():
                row.like = act
            case Loop():
                if act.last_both and act.work_in == "both":
                    row.last_both = True
                else:
                    row.loop, row.last_both = act.work_in, act.last_both or row.last_both
            case Yarn():
                if act.after:
                    row.next_yarn = act.name
                else:
                    row.yarn = act.name
            case Turn() if is_opening:
                turned = True
            case Chain() if is_opening and not act.more and chains is None and row.number != 1:
                chains, after_turn = act.n, turned
            case Counts() if act.joins:
                joins = act
                work.append(act)
            case Counts():
                counts = act
            case Remark() | Turn():
                if isinstance(act, Turn):
                    work.append(act)
            case _:
                is_opening = isinstance(act, Chain) and act.more
                work.append(act)
    after = _closing_turn(work)
    row.acts = tuple(act for act in work if not isinstance(act, Turn))
    row.opening = Opening(chains, counts, joins, after_turn and counts is None)
    return after


def _closing_turn(work: list[Act]) -> Opening | None:
    """Take a chain and a turn from a row's end: they begin the next row."""
    if not work or not any(isinstance(act, Turn) for act in work[-2:]):
        return None
    chains = [act for act in work[-2:] if isinstance(act, Chain)]
    if len(chains) != 1:
        return None
    del work[-2:]
    return Opening(chains[0].n)


def put_in_order(reading: Reading) -> None:
    """Find which written row every row of the blanket is worked from."""
    texts, rows = reading.layout.rows, reading.rows
    setup = bool(texts and texts[0].is_setup)
    offset = 1 if setup and any(1 in text.numbers for text in texts) else 0
    placed: dict[int, int] = {}
    every: list[tuple[int, int, int]] = []
    for index, (row_text, row) in enumerate(zip(texts, rows, strict=True)):
        numbers = [n + offset for n in row_text.numbers] or [max(placed, default=0) + 1]
        row.number = numbers[0]
        if row.like is not None:
            _place_like(reading, row_text, row, numbers, placed, offset)
            continue
        for n in numbers:
            if n <= MAX_ROWS:
                placed.setdefault(n, index)
        if row_text.every:
            every.append((numbers[0], row_text.every, index))
    last = max(placed, default=0)
    for first, step, index in every:
        reading.is_open = True
        for n in range(first + step, last + 1, step):
            placed.setdefault(n, index)
    for n in range(1, last + 1):
        if n not in placed:
            before = placed.get(n - 1)
            after = next(placed[m] for m in range(n, last + 1) if m in placed)
            row = rows[after]
            reading.troubles.append(
                Trouble(
                    "warning",
                    row.start,
                    row.end,
                    n,
                    f"Row {n} isn't there: "
                    f"{'row ' + str(n - 1) if before is not None else 'the next row'} is "
                    "worked in its place.",
                )
            )
            placed[n] = before if before is not None else after
    reading.order = [placed[n] for n in range(1, last + 1)]
    if every and reading.cycle is None:
        least = min(first for first, _, _ in every)
        longest = max(step for _, step, _ in every)
        reading.cycle = (least, min(least + longest - 1, last))


def _place_like(
    reading: Reading,
    row_text: RowText,
    row: ReadRow,
    numbers: list[int],
    placed: dict[int, int],
    offset: int,
) -> None:
    like = row.like
    assert like is not None
    here = numbers[0]
    first, last = (like.first + offset, like.last + offset) if like.first else (
        max(here - like.last, 1), here - 1)  # fmt: skip
    is_odd = first > last or last - first > 400  # row 2 "like the 2 rows below", for one
    if is_odd or not placed or any(n not in placed for n in range(first, last + 1)):
        reading.troubles.append(
            Trouble(
                "error",
                like.start,
                like.end,
                here,
                f"Row {here} repeats row {first if first not in placed else last}, which isn't "
                "written before it.",
            )
        )
        return
    period = last - first + 1
    until = like.until + offset if like.until else numbers[-1]
    if not row_text.numbers and like.until is None:
        reading.is_open, reading.cycle = True, (first, last)
        until = here + period - 1 if here > last + 1 else here - 1
    for k, n in enumerate(range(here, min(max(until, numbers[-1]), MAX_ROWS) + 1)):
        if row_text.numbers or like.until:
            placed.setdefault(n, placed[first + k % period])


def choose_chains(reading: Reading, repeats: int) -> None:
    """Take the chains of the foundation, or as many as the multiple gives."""
    layout = reading.layout
    reading.chains = layout.chains
    if layout.chains is None and layout.multiple:
        reading.chains = layout.multiple * max(repeats, 1) + layout.extra
        if reading.rows:
            reading.assumed.append(
                f"Only the multiple is given; read with {reading.chains} chains."
            )
    elif layout.chains and layout.multiple and (layout.chains - layout.extra) % layout.multiple:
        place = layout.foundation or (0, 0)
        left = (layout.chains - layout.extra) % layout.multiple
        reading.troubles.append(
            Trouble(
                "warning",
                *place,
                0,
                f"{layout.chains} chains aren't a multiple of {layout.multiple} plus "
                f"{layout.extra}: {left} too many, or {layout.multiple - left} too few.",
            )
        )
