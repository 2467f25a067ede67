"""A border: stitches to pick up along every side, corners, totals, and what the rounds add.

A border lies flat where its stitches are as wide as in plain fabric. So a side takes its
length over the stitch width; what that comes to is said as a small ratio, since nobody counts
1.67 stitches a row. Round a hill the outer side is longer, in a valley shorter, by the turn
times the stitch's height; at a corner the same holds for the quarter turn.
"""

import math
from typing import Final

import numpy as np

from core.craft.stitches import NUMBER
from core.design.document import Border
from core.edging.fill import Fill
from core.edging.outline import ENDS, EndName, Outline
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.records import Struct

CLOSE_ENOUGH: Final = 0.03
"""Share by which a ratio may miss before a longer one is tried (our own choice)."""

_MOST_OVER: Final = 5  # row ends or waves that a ratio speaks of at most


class Ratio(Struct, frozen=True):
    """So many stitches over every so many row ends, or waves.

    Attributes:
        stitches: Stitches to pick up.
        over: Over how many.
        off: How much they miss what was wanted by, as a share of it.
    """

    stitches: int
    over: int
    off: float


def small_ratio(wanted: float) -> Ratio:
    """Return the ratio with the smallest numbers that comes near `wanted`, or the nearest."""
    found = []
    for over in range(1, _MOST_OVER + 1):
        stitches = max(round(wanted * over), 1)
        ratio = Ratio(stitches, over, stitches / over / wanted - 1.0)
        if abs(ratio.off) <= CLOSE_ENOUGH:
            return ratio
        found.append(ratio)
    return min(found, key=lambda ratio: abs(ratio.off))


class EndPickUp(Struct, frozen=True, kw_only=True):
    """How a border goes along the top or the bottom.

    Attributes:
        wanted: Stitches that lie flat along it.
        total: Stitches to pick up, so that they suit the multiple.
        per_wave: Stitches over so many waves.
        follows: Whether it follows the wave, there being no fill.
        hill_extra: Where it follows the wave: stitches to add on every hill, and to leave out
            in every valley.
        valley_skip: The same for the valleys.
    """

    wanted: float
    total: int
    per_wave: Ratio
    follows: bool
    hill_extra: int
    valley_skip: int


class BorderPlan(Struct, frozen=True, kw_only=True):
    """Everything about a border.

    Attributes:
        border: What the designer chose.
        top: Along the top.
        bottom: Along the bottom.
        side_wanted: Stitches that lie flat along one side edge.
        side_total: Stitches to pick up there, so that they suit the multiple.
        per_row_ends: Stitches over so many row ends.
        square_corner: Stitches in a corner that keep it square and flat.
        round_extra: Stitches more a round and corner that a rounded corner needs: a quarter of
            the flat-disc rule.
        rounds: Stitches of every round.
        rounds_m: Yarn of every round.
        adds_mm: How much wider and longer it makes the blanket at each side.
    """

    border: Border
    top: EndPickUp
    bottom: EndPickUp
    side_wanted: float
    side_total: int
    per_row_ends: Ratio
    square_corner: int
    round_extra: float
    rounds: tuple[int, ...]
    rounds_m: tuple[float, ...]
    adds_mm: float

    @property
    def ends(self) -> dict[EndName, EndPickUp]:
        """Both ends by name."""
        return {"top": self.top, "bottom": self.bottom}

    @property
    def length_m(self) -> float:
        """Yarn in all rounds."""
        return sum(self.rounds_m)


def disc_extra(height_to_width: float) -> float:
    """Return the stitches that every round of a flat disc has more than the one before.

    The circumference grows by 2 pi h a round; 6, 8, 12 and 16 are the published rules.
    """
    return 2.0 * math.pi * height_to_width


def square_extra(height_to_width: float) -> float:
    """Return the stitches that a round needs more at each corner to stay flat and square.

    Every side grows by twice the height, half of it at either end.
    """
    return 2.0 * height_to_width


def suiting(wanted: float, multiple: int, extra: int) -> int:
    """Return the number nearest to `wanted` that is whole multiples plus `extra`."""
    times = max(round((wanted - extra) / multiple), 0)
    if times == 0 and extra == 0:
        times = 1
    return times * multiple + extra


def plan_border(
    border: Border,
    fabric: Fabric,
    outlines: dict[EndName, Outline],
    fills: dict[EndName, Fill | None],
    *,
    yarn_m_per_mm2: float,
) -> BorderPlan:
    """Return what a border comes to.

    Args:
        border: What the designer chose.
        fabric: The blanket.
        outlines: Both ends as they are.
        fills: The fill rows on them, if there are any.
        yarn_m_per_mm2: Yarn in plain fabric.
    """
    width, height = fabric.size.width_mm, fabric.size.heights_mm[NUMBER[border.stitch]]
    ends = {end: _end_pick_up(border, outlines[end], fills[end], width, height) for end in ENDS}
    edge_mm = side_mm(fabric)
    filled_mm = sum(_edge_height_mm(fill) for fill in fills.values() if fill)
    side = (edge_mm + filled_mm) / width
    total = suiting(side, border.multiple, border.extra)
    first = sum(pick_up.total for pick_up in ends.values()) + 2 * total + 4 * border.corner
    more = 4 * (border.corner - 1)
    rounds = tuple(first + more * number for number in range(border.rounds))
    return BorderPlan(
        border=border,
        top=ends["top"],
        bottom=ends["bottom"],
        side_wanted=side,
        side_total=total,
        per_row_ends=small_ratio(edge_mm / max(fabric.n_rows, 1) / width),
        square_corner=1 + max(round(square_extra(height / width)), 1),
        round_extra=disc_extra(height / width) / 4.0,
        rounds=rounds,
        rounds_m=tuple(count * width * height * yarn_m_per_mm2 for count in rounds),
        adds_mm=border.rounds * height,
    )


def side_mm(fabric: Fabric) -> float:
    """Return the length of a side edge, row end to row end, both sides averaged."""
    rows = range(fabric.n_rows + 1)
    lengths = []
    for end in (0, -1):
        tops = np.array([fabric.row_tops_mm(row)[end] for row in rows])
        lengths.append(float(np.linalg.norm(np.diff(tops, axis=0), axis=1).sum()))
    return 0.5 * sum(lengths)


def _edge_height_mm(fill: Fill) -> float:
    """Return how much a side edge gets longer by the fill rows, both sides averaged."""
    before, after = fill.outline.tops_mm, fill.tops_mm[-1]
    return 0.5 * float(np.abs(after[[0, -1], 1] - before[[0, -1], 1]).sum())


def _end_pick_up(
    border: Border, outline: Outline, fill: Fill | None, width: float, height: float
) -> EndPickUp:
    if fill is None:
        # One into each stitch, and the turns of the wave made up for.
        wanted = float(len(outline.tops_mm))
        wave = float(outline.width)
        turn = wave_turn(outline)
        extra = round(turn * height / width)
    else:
        tops = fill.tops_mm[-1]
        wanted = float(np.ptp(tops[:, 0])) / width + 1.0
        wave = outline.repeat_mm / width
        extra = 0
    return EndPickUp(
        wanted=wanted,
        total=suiting(wanted, border.multiple, border.extra),
        per_wave=small_ratio(wave),
        follows=fill is None,
        hill_extra=extra,
        valley_skip=extra,
    )


def wave_turn(outline: Outline) -> float:
    """Return by how much an end turns over a crest, in radians; in a dip it turns back by it."""
    tops: Floats = outline.tops_mm[outline.middle]
    closed = np.vstack([tops, tops[:1] + (outline.repeat_mm, 0.0)])
    steps = np.diff(closed, axis=0)
    slopes = np.arctan2(steps[:, 1], steps[:, 0])
    return float(slopes.max() - slopes.min())
