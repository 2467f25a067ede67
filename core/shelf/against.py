"""The shelf beside a design: what is there for each of its colours, and where that fails.

What is put aside for another blanket doesn't count. All dye lots of a yarn count together, and the
largest of them by itself: where one lot ends and another goes on, the change may show (common
practice), so what is enough only from several of them is told.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from core.design import edits
from core.design.document import MAX_YARNS, MOST_BALLS, Design, Reckoning, Yarn
from core.errors import DesignError
from core.palette.stash import NEAR
from core.records import Struct
from core.shelf.entry import CRUMB_G, LONGEST, Entry, folded
from core.shelf.finding import apart
from core.shelf.lists import Listed
from core.shelf.merging import Difference, differences
from core.shelf.standing import known_as, lots_of, standing_for, there_m
from core.stripes.sequence import Indices
from core.yarn.plain import yarn_band
from core.yarn.rows import RowYarn
from core.yarn.running_out import Shortage, shortage
from core.yarn.tails import Tails
from core.yarn.use import YarnUse


class Have(Struct, frozen=True, kw_only=True):
    """What the shelf has for one yarn of a design.

    Attributes:
        yarn: Number of the yarn.
        entries: What stands for it.
        needed_m: What it has to do, spare included.
        there_m: What there is for this blanket.
        aside_m: Of that, what is put aside for it.
        lots: How many dye lots there is anything of.
        lot: The dye lot there is most of.
        lot_m: How much there is of it.
        row: First row that fails; None if the rows are done with it.
        stripe: Number of that row's stripe, from 1.
        short_m: What is missing in all, spare left out; 0 if it is enough.
        lot_row: First row that fails with the largest lot alone, and the stripe it is in.
        lot_stripe: See `lot_row`.
        lot_short_m: What is missing of the largest lot alone.
        near: The nearest colour of the shelf where nothing stands for the yarn.
        near_apart: How far that is (CIEDE2000).
    """

    yarn: int
    entries: tuple[Entry, ...]
    needed_m: float
    there_m: float
    aside_m: float
    row: int | None
    stripe: int | None
    short_m: float
    lots: int = 0
    lot: str = ""
    lot_m: float = 0.0
    lot_row: int | None = None
    lot_stripe: int | None = None
    lot_short_m: float = 0.0
    near: Entry | None = None
    near_apart: float = 0.0

    @property
    def is_enough(self) -> bool:
        """Whether it does for all that is worked, spare left out."""
        return self.row is None and not self.short_m

    @property
    def only_mixed(self) -> bool:
        """Whether all dye lots together do and none of them alone."""
        return self.is_enough and (self.lot_row is not None or self.lot_short_m > 0)


def what_there_is(
    design: Design,
    by_row: RowYarn,
    tails: Tails,
    of_row: Indices,
    uses: Sequence[YarnUse],
    entries: Sequence[Entry],
) -> tuple[Have, ...]:
    """Return what the shelf has for each yarn of the design, in the design's order."""
    standing = standing_for(design, entries)
    taken = {entry.uid for some in standing for entry in some}
    free = [entry for entry in entries if entry.uid not in taken and entry.free_m > 0]
    found = []
    for use, some in zip(uses, standing, strict=True):
        yarn = design.yarns[use.yarn]
        there, (lots, lot, lot_m) = there_m(design, some), lots_of(design, some)
        fails = _fails(design, by_row, tails, of_row, use, there)
        alone = _fails(design, by_row, tails, of_row, use, lot_m) if lots > 1 else None
        near, away = None, 0.0
        if not some and free:
            distances = apart(yarn.colour, free)
            place = int(distances.argmin())
            if distances[place] <= NEAR:
                near, away = free[place], float(distances[place])
        found.append(
            Have(
                yarn=use.yarn,
                entries=some,
                needed_m=use.length_m,
                there_m=there,
                aside_m=sum(entry.aside_for(design.title) * entry.m_per_g for entry in some),
                row=fails.row,
                stripe=fails.stripe,
                short_m=fails.short_m,
                lots=lots,
                lot=lot,
                lot_m=lot_m,
                lot_row=alone.row if alone else None,
                lot_stripe=alone.stripe if alone else None,
                lot_short_m=alone.short_m if alone else 0.0,
                near=near,
                near_apart=away,
            )
        )
    return tuple(found)


def _fails(
    design: Design,
    by_row: RowYarn,
    tails: Tails,
    of_row: Indices,
    use: YarnUse,
    owned_m: float,
) -> Shortage:
    balls = owned_m / design.yarns[use.yarn].ball_m
    return shortage(edits.set_yarn(design, use.yarn, owned_balls=balls), by_row, tails, of_row, use)


def owned_balls(design: Design, entries: Sequence[Entry]) -> dict[int, float]:
    """Return the balls the shelf has of those yarns of a design that it has at all."""
    return {
        number: _balls(design, number, some)
        for number, some in enumerate(standing_for(design, entries))
        if some
    }


def _balls(design: Design, number: int, entries: Iterable[Entry]) -> float:
    return min(there_m(design, entries) / design.yarns[number].ball_m, float(MOST_BALLS))


class Worth(Struct, frozen=True):
    """What a remnant is worth in a design: its length, and rows with both their ends."""

    length_m: float
    rows: int
    rows_sure: int


def worth(design: Design, by_row: RowYarn, length_m: float) -> Worth:
    """Return how many rows a length works, its longest row counting for all.

    `rows_sure` holds even if the yarn is used as fast as it may be.
    """
    row_m = float(by_row.row_m.max()) if len(by_row.row_m) else math.inf
    left = length_m - 2 * (design.reckoning or Reckoning()).tail_mm / 1000
    rows, sure = (
        max(math.floor(left / (row_m * rate) + 1e-9), 0) for rate in (1.0, yarn_band(design).high)
    )
    return Worth(length_m, rows, sure)


# between shelf and design


def taken_in(design: Design, wanted: Sequence[Entry], entries: Sequence[Entry]) -> Design:
    """Return the design with yarns of the shelf.

    A yarn that is there in the same name and colour is not put there twice. What is owned of each
    of them is what the shelf has for it, in whatever dye lots and whichever of them is wanted: so
    it doesn't matter which is taken first, or again. A weight class that the design doesn't state
    is stated.

    Args:
        design: The design.
        wanted: What it is to have.
        entries: All that is on the shelf.
    """
    there = _names_and_colours(design)
    for entry in wanted:
        if (folded(entry.name), entry.colour) not in there:
            design = edits.add_yarn(
                design,
                Yarn(
                    name=_new_name(entry.name, {folded(yarn.name) for yarn in design.yarns}),
                    colour=entry.colour,
                    ball_m=entry.ball_m,
                    ball_g=entry.ball_g,
                    price=entry.price,
                ),
            )
            if len(design.yarns) > MAX_YARNS:
                return design  # no design has so many: it isn't taken
            there = _names_and_colours(design)
    uids, pool = {entry.uid for entry in wanted}, _each_once(wanted, entries)
    touched = {
        number: some
        for number, some in enumerate(standing_for(design, pool))
        if any(entry.uid in uids for entry in some)
    }
    for number, some in touched.items():
        weight = next((entry.weight for entry in some if entry.weight is not None), None)
        if design.yarns[number].weight is None and weight is not None:
            design = edits.set_yarn(design, number, weight=weight)
    return with_owned(design, {n: _balls(design, n, some) for n, some in touched.items()})


def put_in_place(design: Design, number: int, entry: Entry, entries: Sequence[Entry]) -> Design:
    """Return the design with one of its yarns exchanged for one of the shelf.

    All that is worked in it stays where it is, in the new yarn. What the ball in work weighed is
    forgotten: it was another one.

    Args:
        design: The design.
        number: The yarn that goes, from 0.
        entry: The yarn of the shelf that comes.
        entries: All that is on the shelf.

    Raises:
        DesignError: Another yarn of the design is that one already.
    """
    place = place_of(design, entry, entries)
    if place is not None and place[0] != number:
        raise DesignError(
            f"{entry.name} is yarn {place[0] + 1} of this design already: give it the stripes of "
            f"{design.yarns[number].name} on the strip"
        )
    others = {folded(yarn.name) for n, yarn in enumerate(design.yarns) if n != number}
    exchanged = edits.set_yarn(
        design,
        number,
        name=_new_name(entry.name, others),
        colour=entry.colour,
        ball_m=entry.ball_m,
        ball_g=entry.ball_g,
        price=entry.price,
        weight=entry.weight,
        owned_balls=0.0,
        left_g=None,
        left_after=None,
    )
    there = standing_for(exchanged, _each_once([entry], entries))[number]
    return with_owned(exchanged, {number: _balls(exchanged, number, there)})


def place_of(design: Design, entry: Entry, entries: Sequence[Entry]) -> tuple[int, int] | None:
    """Return the yarn of a design that an entry stands for, and how many dye lots there are of it.

    None if it stands for none.
    """
    for number, some in enumerate(standing_for(design, _each_once([entry], entries))):
        if any(one.uid == entry.uid for one in some):
            return number, lots_of(design, some)[0]
    return None


def _each_once(*several: Sequence[Entry]) -> tuple[Entry, ...]:
    return tuple({entry.uid: entry for some in several for entry in some}.values())


def _names_and_colours(design: Design) -> set[tuple[str, str]]:
    return {
        (name, yarn.colour.lower())
        for yarn, names in zip(design.yarns, known_as(design.yarns), strict=True)
        for name in names
    }


def _new_name(wished: str, names: set[str]) -> str:
    """Return a name that none of these is, the wished one if it can be."""
    name, number = wished, 2
    while folded(name) in names:
        end = f" {number}"
        name, number = wished[: LONGEST["name"] - len(end)] + end, number + 1
    return name


def with_owned(design: Design, owned: Mapping[int, float]) -> Design:
    """Return the design with so many balls owned of some yarns; a last digit doesn't count."""
    for number, balls in owned.items():
        if not math.isclose(balls, design.yarns[number].owned_balls):
            design = edits.set_yarn(design, number, owned_balls=balls)
    return design


def kept(design: Design, entries: Sequence[Entry]) -> tuple[Difference, ...]:
    """Return what putting a design's yarns on the shelf would change there.

    What stands for a yarn is known again, and keeps its name and colour. A part of a ball becomes
    a remnant; balls and remnants that weigh as much as the design owns stay as they were counted,
    and so they do where the design owns nothing.

    Raises:
        ShelfError: Two yarns of the design are one.
    """
    standing = standing_for(design, entries)
    listed = [
        _listed(yarn, some[0] if some else None, f"Yarn {number}")
        for number, (yarn, some) in enumerate(zip(design.yarns, standing, strict=True), 1)
    ]
    single = [line for line, some in zip(listed, standing, strict=True) if len(some) <= 1]
    found = iter(differences(entries, single))
    return tuple(
        next(found) if len(some) <= 1 else Difference("lots", None, line.as_new())
        for line, some in zip(listed, standing, strict=True)
    )


def _listed(yarn: Yarn, entry: Entry | None, where: str) -> Listed:
    values: dict[str, Any] = {
        "name": entry.name if entry else yarn.name,
        "colour": entry.colour if entry else yarn.colour,
        "ball_m": yarn.ball_m,
        "ball_g": yarn.ball_g,
    }
    if yarn.price is not None:
        values["price"] = yarn.price
    if yarn.weight is not None:
        values["weight"] = yarn.weight
    if entry is not None:
        values |= {"uid": entry.uid, "lot": entry.lot}
    if yarn.owned_balls:
        whole = math.floor(yarn.owned_balls + 1e-6)
        part = round((yarn.owned_balls - whole) * yarn.ball_g, 2)
        pieces = (part,) if part >= CRUMB_G else ()
        owned_g = whole * yarn.ball_g + sum(pieces)
        if entry is None or abs(owned_g - entry.grams) >= CRUMB_G:
            values |= {"balls": whole, "remnants": pieces}
    return Listed.of(values, where)
