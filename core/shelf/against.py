"""The shelf beside a design: what is there for each of its colours, and where that fails.

A yarn of the shelf stands for the design's yarn of the same name that is nearest in colour; it
counts for one yarn only. What is put aside for another blanket doesn't count.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from core.design import edits
from core.design.document import Design, Reckoning, Yarn
from core.palette.stash import NEAR
from core.shelf.entry import CRUMB_G, Entry, folded
from core.shelf.finding import apart
from core.shelf.lists import Listed
from core.shelf.merging import Difference, differences
from core.stripes.sequence import Indices
from core.yarn.plain import yarn_band
from core.yarn.rows import RowYarn
from core.yarn.running_out import shortage
from core.yarn.tails import Tails
from core.yarn.use import YarnUse


@dataclass(frozen=True, slots=True, kw_only=True)
class Have:
    """What the shelf has for one yarn of a design.

    Attributes:
        yarn: Number of the yarn.
        entries: What stands for it.
        needed_m: What it has to do, spare included.
        there_m: What there is for this blanket.
        aside_m: Of that, what is put aside for it.
        row: First row that fails; None if the rows are done with it.
        stripe: Number of that row's stripe, from 1.
        short_m: What is missing in all, spare left out; 0 if it is enough.
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
    near: Entry | None = None
    near_apart: float = 0.0

    @property
    def lots(self) -> int:
        """How many dye lots stand for it."""
        return len({folded(entry.lot) for entry in self.entries})


def standing_for(design: Design, entries: Sequence[Entry]) -> tuple[tuple[Entry, ...], ...]:
    """Return the yarns of the shelf that stand for each of a design's yarns."""
    groups: dict[str, list[Entry]] = {folded(yarn.name): [] for yarn in design.yarns}
    for entry in entries:
        if (group := groups.get(folded(entry.name))) is not None:
            group.append(entry)
    found: list[tuple[Entry, ...]] = [()] * len(design.yarns)
    for name, group in groups.items():
        numbers = [n for n, yarn in enumerate(design.yarns) if folded(yarn.name) == name]
        away = np.array([apart(design.yarns[n].colour, group) for n in numbers])
        for place, number in enumerate(numbers if group else ()):
            mine = (away.argmin(axis=0) == place) & (away[place] <= NEAR)
            found[number] = tuple(group[n] for n in np.flatnonzero(mine).tolist())
    return tuple(found)


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
    there = owned_m(design, entries)
    taken = {entry.uid for some in standing for entry in some}
    free = [entry for entry in entries if entry.uid not in taken and entry.free_m > 0]
    found = []
    for use, some in zip(uses, standing, strict=True):
        yarn = design.yarns[use.yarn]
        as_owned = edits.set_yarn(design, use.yarn, owned_balls=there[use.yarn] / yarn.ball_m)
        fails = shortage(as_owned, by_row, tails, of_row, use)
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
                there_m=there[use.yarn],
                aside_m=sum(entry.aside_for(design.title) * entry.m_per_g for entry in some),
                row=fails.row,
                stripe=fails.stripe,
                short_m=fails.short_m,
                near=near,
                near_apart=away,
            )
        )
    return tuple(found)


def owned_m(design: Design, entries: Sequence[Entry]) -> tuple[float, ...]:
    """Return the metres the shelf has for each yarn of a design."""
    return tuple(
        sum(entry.for_title_g(design.title) * entry.m_per_g for entry in some)
        for some in standing_for(design, entries)
    )


def owned_balls(design: Design, entries: Sequence[Entry]) -> dict[int, float]:
    """Return the balls the shelf has of those yarns of a design that it has at all."""
    there = owned_m(design, entries)
    return {
        number: there[number] / design.yarns[number].ball_m
        for number, some in enumerate(standing_for(design, entries))
        if some
    }


@dataclass(frozen=True, slots=True)
class Worth:
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


def taken_in(design: Design, entry: Entry) -> tuple[Design, bool]:
    """Return the design with a yarn of the shelf, and whether it is new there.

    What there is of it for this blanket becomes what is owned. A yarn of the same name and
    colour is not put there twice: what is owned of it is set.
    """
    grams = entry.for_title_g(design.title)
    for number, yarn in enumerate(design.yarns):
        if folded(yarn.name) == folded(entry.name) and yarn.colour.lower() == entry.colour:
            owned = min(grams * entry.m_per_g / yarn.ball_m, 10_000.0)
            if math.isclose(owned, yarn.owned_balls):
                return design, False  # the same, but for a last digit
            return edits.set_yarn(design, number, owned_balls=owned), False
    names = {yarn.name for yarn in design.yarns}
    name, number = entry.name, 2
    while name in names:
        end = f" {number}"
        name, number = entry.name[: 80 - len(end)] + end, number + 1
    yarn = Yarn(
        name=name,
        colour=entry.colour,
        ball_m=entry.ball_m,
        ball_g=entry.ball_g,
        owned_balls=min(grams / entry.ball_g, 10_000.0),
        price=entry.price,
    )
    return edits.add_yarn(design, yarn), True


def all_taken_in(design: Design, entries: Sequence[Entry]) -> Design:
    """Return the design with all these yarns of the shelf; what lots there are of one is summed."""
    for entry in entries:
        design, _ = taken_in(design, entry)
    owned = {
        number: balls
        for number, balls in owned_balls(design, entries).items()
        if not math.isclose(balls, design.yarns[number].owned_balls)
    }
    return with_owned(design, owned)


def with_owned(design: Design, owned: Mapping[int, float]) -> Design:
    """Return the design with so many balls owned of some yarns."""
    for number, balls in owned.items():
        design = edits.set_yarn(design, number, owned_balls=min(balls, 10_000.0))
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
