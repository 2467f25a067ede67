"""A whole text read: its terms, its chain, every row with its counts, and where they break.

Words that can be meant in two ways are tried both ways; the way in which most rows fit and
most counts agree is taken, and said.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from core.craft.stitches import CATALOGUE, Terms
from core.design.document import WorkIn
from core.reading.acts import (
    Act,
    Chain,
    Count,
    Counts,
    LikeRow,
    Loop,
    Remark,
    Repeated,
    Skip,
    Turn,
    Unread,
    Work,
    Yarn,
)
from core.reading.grammar import read_row
from core.reading.layout import MAX_ROWS, Layout, RowText, lay_out_text
from core.reading.names import Said, is_foreign, meaning
from core.reading.shaping import Flat, flat_of
from core.reading.terms import Guess, guess_terms
from core.reading.tokens import MAX_TEXT, tokens_of
from core.reading.working import Below, Break, Choices, Standing, Start, Worked, work_row

Level = Literal["error", "warning", "note"]

DEFAULT_REPEATS: Final = 6
_MOST_EVENTS: Final = 400_000
_MOST_LIKE: Final = 12  # acts looked at for how a row begins


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something to say about a place in the text.

    Attributes:
        level: An error if the text can't be worked as it stands.
        start: Where the place begins in the text.
        end: Where it ends.
        row: The row, from 1; 0 for none.
        message: One sentence.
    """

    level: Level
    start: int
    end: int
    row: int
    message: str


@dataclass(frozen=True, slots=True)
class Opening:
    """The chain at a row's start.

    Attributes:
        chains: How many; None if none is told.
        counts: What it is said to count as; None if nothing is said.
        joins: Words that make one stitch of it and the next.
        after_turn: Whether it comes after the turn, so that it may be the row's own.
    """

    chains: int | None = None
    counts: Counts | None = None
    joins: Counts | None = None
    after_turn: bool = False

    @property
    def own(self) -> int | None:
        """The chains that are the turn alone."""
        if self.chains is None:
            return None
        return self.chains - (self.counts.chains if self.counts else 0)


@dataclass(slots=True)
class ReadRow:
    """A written row.

    Attributes:
        number: Its number from 1; of several alike, the first.
        label: What it is called in the text.
        start: Where its label begins.
        end: Where its words end.
        acts: What it tells to do.
        opening: Its turning chain.
        like: The row or rows it is worked as.
        stated: The count at its end, if one is given.
        loop: The loops it is worked in; None if it doesn't say.
        last_both: Whether its last stitch goes through both loops.
        yarn: The yarn it is begun with, if it says so.
        next_yarn: The yarn changed to at its end.
        worked: It followed, over the row below; None where it repeats others.
        available: Places of the row below.
        turns_into: What its turning chain is for the row above.
        flat: It as units.
    """

    number: int
    label: str
    start: int
    end: int
    acts: tuple[Act, ...]
    opening: Opening = Opening()
    like: LikeRow | None = None
    stated: Count | None = None
    loop: WorkIn | None = None
    last_both: bool = False
    yarn: str | None = None
    next_yarn: str | None = None
    worked: Worked | None = None
    available: int | None = None
    turns_into: Standing = "none"
    flat: Flat | None = None

    @property
    def uses(self) -> int | None:
        """Places it uses of the row below."""
        return self.worked.uses if self.worked else None

    @property
    def makes(self) -> int | None:
        """Stitches and chains it leaves; None where it can't be followed to its end."""
        return self.worked.makes if self.worked and self.worked.broken is None else None

    @property
    def name(self) -> str:
        """What it is called in a sentence."""
        return f"row {self.number}"


@dataclass(slots=True)
class Reading:
    """What a text says.

    Attributes:
        text: The text, untouched.
        guess: The terms it is likely in, and why.
        terms: The terms it was read in.
        layout: Its parts.
        rows: Its written rows.
        order: For every row from 1 up, the written row it is worked from, as a number in `rows`.
        is_open: Whether the last rows go on for as long as one likes.
        cycle: Where it is open, the rows that go on, as numbers in `order`.
        chains: Chains of the foundation.
        base: Places that row 1 is worked into.
        counts: Whether turning chains count as stitches.
        assumed: What was taken for granted, one sentence each.
        troubles: Everything to say, in the order of the text.
    """

    text: str
    guess: Guess
    terms: Terms
    layout: Layout
    rows: list[ReadRow] = field(default_factory=list)
    order: list[int] = field(default_factory=list)
    is_open: bool = False
    cycle: tuple[int, int] | None = None
    chains: int | None = None
    base: int | None = None
    counts: bool = False
    assumed: list[str] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)

    @property
    def is_sound(self) -> bool:
        """Whether there are rows and all of them can be followed to their ends."""
        return bool(self.rows) and all(trouble.level != "error" for trouble in self.troubles)

    def row(self, number: int) -> ReadRow | None:
        """Return what row number `number` is worked from."""
        if not 1 <= number <= len(self.order):
            return None
        return self.rows[self.order[number - 1]]


def read_text(
    text: str,
    *,
    terms: Terms | None = None,
    otherwise: Terms = "US",
    repeats: int = DEFAULT_REPEATS,
    row_terms: dict[int, Terms] | None = None,
) -> Reading:
    """Return what a text of written rows says; it never fails, whatever the text is.

    Args:
        text: The text; of more than `MAX_TEXT` characters the rest isn't read.
        terms: The terms it is in; guessed if None.
        otherwise: The terms where nothing tells.
        repeats: How often the repeat is worked where only a multiple is given.
        row_terms: Terms of single rows, by number, where they differ.
    """
    tokens = tokens_of(text[:MAX_TEXT])
    guess = guess_terms(tokens, otherwise)
    layout = lay_out_text(text, tokens)
    reading = Reading(text, guess, terms or guess.terms, layout)
    if len(text) > MAX_TEXT:
        reading.troubles.append(
            Trouble(
                "warning",
                MAX_TEXT,
                len(text),
                0,
                f"The text is longer than {MAX_TEXT:,} characters: the rest isn't read.",
            )
        )
    if terms is None and guess.sureness == "open" and layout.rows:
        reading.troubles.append(Trouble("warning", 0, 0, 0, guess.reason))
    _take_rows(reading)
    _put_in_order(reading)
    _choose_chains(reading, repeats)
    if reading.rows:
        _follow_best(reading, row_terms or {})
    elif text.strip():
        reading.troubles.append(
            Trouble(
                "error",
                0,
                min(len(text), 40),
                0,
                "No row is found: begin each with its number and a colon, such as “Row 1:”.",
            )
        )
    reading.troubles.sort(key=lambda trouble: (trouble.start, trouble.end))
    return reading


# --- rows and their order ------------------------------------------------------------------


def _take_rows(reading: Reading) -> None:
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


def _put_in_order(reading: Reading) -> None:
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
    if not placed or any(n not in placed for n in range(first, last + 1)) or last - first > 400:
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


def _choose_chains(reading: Reading, repeats: int) -> None:
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


# --- following -----------------------------------------------------------------------------


@dataclass(slots=True)
class _Outcome:
    """All rows followed in one way of meaning the words."""

    counts: bool
    choices: Choices
    rows: dict[int, tuple[Worked, Below, Standing]] = field(default_factory=dict)
    more: list[tuple[int, Worked, Below]] = field(default_factory=list)
    base: int | None = None
    score: float = 0.0
    cut: int | None = None


def _follow_best(reading: Reading, row_terms: dict[int, Terms]) -> None:
    best: _Outcome | None = None
    for counts in _ways_to_count(reading):
        for choices in _ways_to_mean(reading):
            outcome = _follow(reading, counts, choices, row_terms)
            if best is None or outcome.score > best.score:
                best = outcome
    assert best is not None
    reading.counts, reading.base = best.counts, best.base
    _say_assumed(reading, best)
    terms_of = {
        reading.order[n - 1]: terms for n, terms in row_terms.items() if n <= len(reading.order)
    }
    for index, row in enumerate(reading.rows):
        if index in best.rows:
            worked, below, standing = best.rows[index]
            row.worked, row.available, row.turns_into = worked, below.n, standing
            row.flat = flat_of(worked, terms_of.get(index, reading.terms))
            _judge(reading, row, worked, below)
        _judge_words(reading, row, terms_of.get(index, reading.terms))
    for number, worked, _ in best.more:
        row = reading.rows[reading.order[number - 1]]
        if worked.broken is not None:
            reading.troubles.append(
                Trouble(
                    "error",
                    worked.broken.start,
                    worked.broken.end,
                    number,
                    f"Row {number}, worked as row {row.number}: {_small(worked.broken.message)}",
                )
            )
    if best.cut is not None:
        row = reading.rows[reading.order[best.cut - 1]]
        reading.troubles.append(
            Trouble(
                "note",
                row.start,
                row.start + 1,
                best.cut,
                f"The text is too long to follow whole; rows from {best.cut} on aren't counted.",
            )
        )


def _say_assumed(reading: Reading, best: _Outcome) -> None:
    said = [row.opening.counts for row in reading.rows if row.opening.counts is not None]
    later = [row for row in reading.rows if row.number > 1 and row.opening.chains]
    if not said and later:
        chain = later[0].opening.chains
        does = "count" if best.counts else "don't count"
        reading.assumed.append(
            f"The {chain} turning ch {'are' if (chain or 0) > 1 else 'is'} not explained; read as "
            f"chains that {does} as a stitch."
        )
    if best.choices.spread:
        reading.assumed.append("“3 dc in next 3 sts” is read as one in each.")
    if best.choices.in_all:
        reading.assumed.append("“Repeat from * so many times” is read as so many times in all.")


def _ways_to_count(reading: Reading) -> list[bool]:
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


def _ways_to_mean(reading: Reading) -> list[Choices]:
    spread = in_all = False
    for row in reading.rows:
        for act in _every_act(row.acts):
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


def _every_act(acts: Sequence[Act]) -> list[Act]:
    found: list[Act] = []
    for act in acts:
        found.append(act)
        if isinstance(act, Repeated):
            found += _every_act(act.body)
            found += _every_act(act.ending)
    return found


def _main_stitch(reading: Reading) -> Said:
    """Return the stitch that the rows name most."""
    count: dict[Said, int] = {}
    for row in reading.rows:
        for act in _every_act(row.acts):
            if isinstance(act, Work):
                for name in act.made:
                    if name not in ("", "ch"):
                        count[name] = count.get(name, 0) + 1
    return max(count, key=lambda name: count[name], default="dc")


def _row_stitch(row: ReadRow, otherwise: Said) -> Said:
    for act in _every_act(row.acts):
        if isinstance(act, Work):
            for name in act.made:
                if name not in ("", "ch"):
                    return name
    return otherwise


def _follow(
    reading: Reading, counts: bool, choices: Choices, row_terms: dict[int, Terms]
) -> _Outcome:
    done = _Outcome(counts, choices)
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


def _leaves(done: _Outcome, index: int, number: int, row: ReadRow) -> Below:
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
    elif row.stated is not None and not _agrees(row.stated, worked):
        cost += 11.0  # a count was counted by somebody
    return cost


def _agrees(stated: Count, worked: Worked) -> bool:
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
    for act in _every_act(acts):
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


# --- what there is to say ------------------------------------------------------------------


def _judge(reading: Reading, row: ReadRow, worked: Worked, below: Below) -> None:
    """Add what is wrong with a row, or remarkable."""
    if worked.broken is not None:
        broken = worked.broken
        start, end = (broken.start, broken.end) if broken.end else (row.start, row.end)
        reading.troubles.append(
            Trouble("error", start, end, row.number, f"Row {row.number}: {_small(broken.message)}")
        )
    elif row.stated is not None and not _agrees(row.stated, worked):
        reading.troubles.append(
            Trouble(
                "error",
                row.stated.start,
                row.stated.end,
                row.number,
                f"Row {row.number} says {row.stated.n} stitches, but its words make "
                f"{worked.makes}.",
            )
        )
    for remark in worked.remarks:
        reading.troubles.append(
            Trouble(
                "note",
                remark.start,
                remark.end,
                row.number,
                f"Row {row.number}: {_small(remark.message)}",
            )
        )
    if row.flat is not None:
        for event in row.flat.odd[:1]:
            reading.troubles.append(
                Trouble(
                    "warning",
                    event.start,
                    event.end,
                    row.number,
                    f"Row {row.number}: different stitches, or stitches with uneven chains, in "
                    "one place can be counted but not drawn yet.",
                )
            )


def _judge_words(reading: Reading, row: ReadRow, terms: Terms) -> None:
    """Add words that couldn't be read and words of the other system."""
    said: set[int] = {trouble.start for trouble in reading.troubles}
    heard: set[Said] = set()
    for act in _every_act(row.acts):
        if isinstance(act, Unread) and act.start not in said:
            words = " ".join(reading.text[act.start : act.end].split())
            reading.troubles.append(
                Trouble(
                    "error",
                    act.start,
                    act.end,
                    row.number,
                    f"Row {row.number}: “{words[:60]}” can't be read: expected {act.expected}.",
                )
            )
        if isinstance(act, Work):
            for name in act.made:
                if is_foreign(name, terms) and name not in heard:
                    heard.add(name)
                    reading.troubles.append(
                        Trouble(
                            "warning",
                            act.start,
                            act.end,
                            row.number,
                            f"Row {row.number}: “{name}” isn't a word of {terms} terms; it is "
                            f"read as in the other system.",
                        )
                    )


def _small(message: str) -> str:
    """Return a sentence to stand behind a colon."""
    if message[:1] == "T" and message[:4] == "The ":
        return "t" + message[1:]
    if message[:6] in ("After ", "Before"):
        return message[0].lower() + message[1:]
    return message


__all__ = ["Break", "ReadRow", "Reading", "Trouble", "read_text"]
