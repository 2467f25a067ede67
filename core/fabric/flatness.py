"""Whether fabric can lie flat: the flat-disc rule, the growth of ruffles, and rows that drift.

Around a point there is room for 2 pi h / w stitches of height h and width w. A disc that gains
so many in every round lies flat; with more it ruffles, with fewer it cups. Makers' rule is 6
in sc, 8 in hdc, 12 in dc and 15 to 18 in tr (craftymaria 2009; crochets.top; tr 18 from memory).

Fabric that grows by the same factor in every row is a hyperbolic plane: after N stitches one
more, so each row is (N + 1) / N as long as the last (Henderson's chapter 5 at
cs.appstate.edu/sjg; phanyamada). Its radius r follows from exp(h / r) = (N + 1) / N; that
formula is derived, and checked against counted rows.

Rows that gain the same number of stitches every time are neither: they open like a fan, each
stitch more by w / h of an arc, and at 2 pi h / w the fan is a whole disc. Rows that gain at
their ends only lie flat, with sloping sides. Waves take some of the growth up by leaning more,
so figures for a wave are upper bounds.
"""

import math
from typing import Final, Literal

import numpy as np

from core.craft.stitches import CHAIN, NUMBER
from core.design.document import Items, Wave, total_makes, total_uses
from core.fabric.springs import Proportions
from core.records import Struct
from core.rows.build import Rows
from core.rows.plan import Indices, RowPlan

FLAT_WITHIN: Final = 0.2
"""How far increases may be off the rule and the disc still blocks flat: our own allowance. The
rule's published counts differ from published swatches by up to 19 %, and both lie flat."""

DRIFT_FROM: Final = 0.05
"""Change of a row's length from which drifting rows are worth a word (our own limit)."""

_FEW_ROWS: Final = 3  # fewer than that are a pattern of rows, not a drift

Lie = Literal["flat", "ruffles", "cups"]
DriftKind = Literal["ruffle", "cup", "wings", "taper"]


def flat_increases(width_mm: float, height_mm: float) -> float:
    """Return the stitches that a flat disc gains in every round."""
    return 2.0 * math.pi * height_mm / width_mm


def disc_lie(increases: float, width_mm: float, height_mm: float) -> Lie:
    """Return how a disc lies that gains so many stitches in every round."""
    share = increases / flat_increases(width_mm, height_mm)
    if abs(share - 1.0) <= FLAT_WITHIN:
        return "flat"
    return "ruffles" if share > 1.0 else "cups"


def fan_deg(stitches: float, width_mm: float, height_mm: float) -> float:
    """Return the angle over which so many stitches fan out flat from one place."""
    return math.degrees(stitches * width_mm / height_mm)


def hyperbolic_radius_mm(growth: float, height_mm: float) -> float:
    """Return the radius of fabric whose rows are each `growth` times as long as the last.

    Infinite for rows that stay the same; the smaller the radius, the stronger the ruffle.
    Rows that shrink by a factor give the same shape, worked from the other end.
    """
    return height_mm / abs(math.log(growth)) if growth != 1.0 else math.inf


def hyperbolic_circle_mm(radius_mm: float, distance_mm: float) -> float:
    """Return the length of the circle `distance_mm` from a point of such fabric."""
    return 2.0 * math.pi * radius_mm * math.sinh(distance_mm / radius_mm)


class Drift(Struct, frozen=True, kw_only=True):
    """Rows over which the count keeps growing, or keeps falling.

    Attributes:
        kind: "ruffle" or "cup" if the repeats gain or lose, "wings" or "taper" if only the
            ends of the rows do.
        first: First row that makes more or fewer than it uses.
        last: Last such row.
        before: Stitches of the row under the first.
        after: Stitches of the last row.
        per_row: Stitches gained a row, on average; negative where lost.
        fan_deg: Angle by which the rows would have to open or close to lie flat, if the gain
            is in the repeats; otherwise the slope of each side from the vertical.
        radius_mm: Radius of the ruffle if the repeats grow by one factor, else infinite.
    """

    kind: DriftKind
    first: int
    last: int
    before: int
    after: int
    per_row: float
    fan_deg: float
    radius_mm: float

    @property
    def growth(self) -> float:
        """How much longer the last row is than the row under the first, as a share of it."""
        return self.after / self.before - 1.0

    @property
    def flat_increases(self) -> float:
        """What a flat disc of the same stitches gains a row, if the gain is in the repeats."""
        return abs(self.per_row) * 360.0 / self.fan_deg


class Swing(Struct, frozen=True):
    """Rows that keep coming back to their count, with longer rows between.

    Attributes:
        longest: A row with the most stitches.
        shortest: A row with the fewest.
        most: Its stitches.
        fewest: Its stitches.
    """

    longest: int
    shortest: int
    most: int
    fewest: int

    @property
    def excess(self) -> float:
        """How many stitches more the longest row has, as a share of the mean of the two."""
        return 2.0 * (self.most - self.fewest) / (self.most + self.fewest)


def drifts(rows: Rows, size: Proportions) -> tuple[Drift, ...]:
    """Return where the rows that fit keep growing or falling by more than `DRIFT_FROM`."""
    inside, ends = _gains(rows)
    makes = _makes(rows)
    found = []
    for first, last in _runs(inside + ends):
        drift = _drift(rows, size, makes, inside, ends, first, last)
        if last - first + 1 >= _FEW_ROWS and abs(drift.growth) >= DRIFT_FROM:
            found.append(drift)
    return tuple(found)


def swing(rows: Rows) -> Swing | None:
    """Return the longest and the shortest of rows that swing about one count, if any do.

    Row 1 and the misfit row don't count: a set-up row may start from fewer chains.
    """
    makes = _makes(rows)[1:]
    if len(makes) < 3:
        return None
    way = np.sign(np.diff(makes[1:]))
    if not ((way > 0).any() and (way < 0).any()):
        return None
    longest, shortest = int(np.argmax(makes[1:])) + 1, int(np.argmin(makes[1:])) + 1
    return Swing(longest + 1, shortest + 1, int(makes[longest]), int(makes[shortest]))


def _worked(rows: Rows) -> int:
    """Return how many rows can be worked to their end."""
    return rows.drawn_rows if rows.misfit is None else rows.misfit.row - 1


def _makes(rows: Rows) -> Indices:
    """Return the stitches of row 0, 1, ... as far as rows fit."""
    return rows.counts()[: _worked(rows) + 1]


def _gains(rows: Rows) -> tuple[Indices, Indices]:
    """Return what row 1, 2, ... gains in its repeats and at its ends."""
    by_plan = np.array([_plan_gains(plan) for plan in rows.plans], dtype=np.intp)
    gains = by_plan[rows.which[: _worked(rows)]]
    return gains[:, 0], gains[:, 1]


def _plan_gains(plan: RowPlan) -> tuple[int, int]:
    row = plan.row
    return plan.repeats * gain_of(row.repeat), gain_of(row.start) + gain_of(row.end)


def gain_of(items: Items) -> int:
    """Return what items make beyond what they use."""
    return total_makes(items) - total_uses(items)


def tendency(wave: Wave) -> DriftKind | None:
    """Return what a single row that doesn't keep its count would do if it went on."""
    if wave.setup or wave.cycle:
        return None
    inside, ends = gain_of(wave.repeat), gain_of(wave.start + wave.end)
    if inside:
        return "ruffle" if inside > 0 else "cup"
    if ends:
        return "wings" if ends > 0 else "taper"
    return None


def _runs(gain: Indices) -> list[tuple[int, int]]:
    """Return first and last row of each stretch that only grows or only falls."""
    changing = np.flatnonzero(gain)
    runs: list[tuple[int, int]] = []
    for at in changing.tolist():
        row = at + 1
        if runs and np.sign(gain[at]) == np.sign(gain[runs[-1][0] - 1]):
            runs[-1] = (runs[-1][0], row)
        else:
            runs.append((row, row))
    return runs


def _drift(
    rows: Rows,
    size: Proportions,
    makes: Indices,
    inside: Indices,
    ends: Indices,
    first: int,
    last: int,
) -> Drift:
    before, after, n_rows = int(makes[first - 1]), int(makes[last]), last - first + 1
    grows = after > before
    in_repeats = inside[first - 1 : last].sum()
    height = _mean_height_mm(rows, size, first, last)
    per_row = (after - before) / n_rows
    kind: DriftKind
    if in_repeats and np.sign(in_repeats) == np.sign(after - before):
        kind = "ruffle" if grows else "cup"
        angle = fan_deg(abs(per_row), size.width_mm, height)
        radius = _radius_mm(makes[first - 1 : last + 1], height)
    else:
        kind = "wings" if grows else "taper"
        angle = math.degrees(math.atan(0.5 * abs(per_row) * size.width_mm / height))
        radius = math.inf
    return Drift(
        kind=kind,
        first=first,
        last=last,
        before=before,
        after=after,
        per_row=per_row,
        fan_deg=angle,
        radius_mm=radius,
    )


def _mean_height_mm(rows: Rows, size: Proportions, first: int, last: int) -> float:
    """Return the mean height of some rows."""
    return float(np.mean([row_height_mm(rows.plan(row), size) for row in range(first, last + 1)]))


def row_height_mm(plan: RowPlan, size: Proportions) -> float:
    """Return a row's height: the mean of its stitches, chains left out if it has others."""
    heights, kind = np.asarray(size.heights_mm), plan.kind.astype(np.intp)
    worked = kind[kind != NUMBER[CHAIN]]
    return float(heights[worked if len(worked) else kind].mean())


def _radius_mm(makes: Indices, height: float) -> float:
    """Return the radius if counts follow one factor better than one difference."""
    n = np.arange(len(makes))
    straight = makes[0] + n * (makes[-1] - makes[0]) / n[-1]
    growth = (makes[-1] / makes[0]) ** (1.0 / n[-1])
    curved = makes[0] * growth**n
    if np.abs(makes - curved).sum() >= np.abs(makes - straight).sum():
        return math.inf
    return hyperbolic_radius_mm(float(growth), height)
