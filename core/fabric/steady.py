"""The steady state: the shape a wave settles into when its rows go on for ever.

Rows are turned, so the row above runs the other way; after two rows at the latest, or two
cycles of rows, everything repeats. One repeat of those rows, with the repeat's width and the
way from one period to the next among the unknowns, takes milliseconds to settle and tells
repeat width, rise, wave height and lean at once.
"""

from typing import Final

import numpy as np

from core.design.document import Design, total_uses
from core.fabric.energy import Frame
from core.fabric.net import Level, Net, SpringBook, build_net
from core.fabric.relax import ShouldStop, never, relax_periodic
from core.fabric.springs import Floats, Proportions, proportions_of
from core.records import Struct
from core.rows.build import Rows, build_rows
from core.rows.plan import CHILD, END, PARENT, START, Indices

MAX_NODES: Final = 500
SAMPLE_REPEATS: Final = 3
"""Repeats of the sample blanket that windows are cut from; the middle one is free of edges."""
_ROUNDS: Final = 6  # of looking for a balance, each within a 64th of the one before
_PLACES: Final = 65


class Steady(Struct, frozen=True, eq=False):
    """One settled repeat of every row of a period.

    Attributes:
        levels: Numbering of the rows, from below; the last is one period above row `first - 1`.
        net: Its springs.
        tops_mm: Stitch tops, shape (n_nodes, 2); x right, y up.
        frame: Repeat width and the way one period up.
        first: Row of the blanket that the first level stands for.
        converged: Whether it came to rest.
    """

    levels: tuple[Level, ...]
    net: Net
    tops_mm: Floats
    frame: Frame
    first: int
    converged: bool

    @property
    def period(self) -> int:
        """Rows in a period."""
        return len(self.levels)

    def row_tops_mm(self, row: int, stitches: Indices, levels: Level) -> Floats:
        """Return where the stitches of any row would be if it lay in the steady state.

        Args:
            row: Row of a blanket that repeats like this one.
            stitches: Stitches of that row, counted as `levels` counts them.
            levels: How that row is numbered; its window starts where a repeat starts.
        """
        turns, number = divmod(row - self.first, self.period)
        mine = self.levels[number]
        across, local = np.divmod(stitches - levels.left, mine.width)
        tops: Floats = self.tops_mm[mine.offset + local].copy()
        tops[:, 0] += across * self.frame.repeat_mm
        tops += turns * np.asarray(self.frame.period_mm)
        return tops


def window(rows: Rows, row: int, repeats: int) -> tuple[int, int]:
    """Return the leftmost stitch of the middle repeat of a row, and its number of stitches.

    A row keeps its repeats at the same distance from the edge it starts at, so the window is
    measured from the repeats themselves; row 0 takes the chains that row 1's repeat uses.
    """
    if row == 0:
        plan = rows.plan(1)
        width = plan.uses - total_uses(plan.row.start) - total_uses(plan.row.end)
        before = total_uses(plan.row.end if rows.runs_left(1) else plan.row.start)
    else:
        plan = rows.plan(row)
        section = np.asarray(rows.in_fabric_order(row, plan.section))
        inside = np.flatnonzero((section != START) & (section != END))
        width, before = len(inside), int(inside[0])
    width //= repeats
    return before + repeats // 2 * width, width


def period_of(cycle: int) -> int:
    """Return after how many rows everything repeats, turning included."""
    return cycle if cycle % 2 == 0 else 2 * cycle


def steady_of(design: Design, *, should_stop: ShouldStop = never) -> Steady | None:
    """Return the steady state of a design's rows, or None where `settle_steady` has none.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    lead, cycle = lead_and_cycle(design)
    return settle_steady(
        sample_rows(design),
        proportions_of(design.gauge),
        lead=lead,
        cycle=cycle,
        should_stop=should_stop,
    )


def lead_and_cycle(design: Design) -> tuple[int, int]:
    """Return how many rows come before those that repeat, and how many are worked in turn."""
    return (1 if design.wave.setup else 0), len(design.wave.rows_in_turn)


def sample_rows(design: Design) -> Rows:
    """Return the rows of the sample blanket that a design's steady state is cut from."""
    lead, cycle = lead_and_cycle(design)
    return build_rows(design, repeats=SAMPLE_REPEATS, rows=lead + period_of(cycle))


def settle_steady(
    sample: Rows,
    size: Proportions,
    *,
    lead: int,
    cycle: int,
    should_stop: ShouldStop = never,
) -> Steady | None:
    """Return the steady state, or None where there is none.

    There is none if the rows don't fit one another, if a period has more than `MAX_NODES`
    stitches in a repeat, or if a repeat leaves more stitches than the next period takes up.

    Args:
        sample: The blanket `SAMPLE_REPEATS` repeats wide, `lead` and a period of rows high.
        size: Rest lengths.
        lead: Rows before those that repeat (a set-up row).
        cycle: Rows worked in turn.
        should_stop: Asked now and then.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    period = period_of(cycle)
    first = lead + 1
    if sample.drawn_rows < lead + period or sample.misfit is not None:
        return None
    levels: list[Level] = []
    offset = 0
    for row in range(first, first + period):
        left, width = window(sample, row, SAMPLE_REPEATS)
        levels.append(Level(row, offset, left, width))
        offset += width
    if offset > MAX_NODES:
        return None
    last = levels[-1]
    below = Level(lead, last.offset, last.left, last.width, up=-1)
    if sample.makes(lead) != sample.makes(last.row):
        return None
    net = build_net(SpringBook(sample, size), levels, below, periodic=True)
    tops, frame = start_shape(sample, levels, size)
    settled = relax_periodic(net, tops, frame, should_stop=should_stop)
    return Steady(tuple(levels), net, settled.tops_mm, settled.frame, first, settled.converged)


def start_shape(sample: Rows, levels: list[Level], size: Proportions) -> tuple[Floats, Frame]:
    """Return a start near the answer: a zigzag that leans as the closed form says.

    Where a row lies d stitches further along than the row below, a fabric of right-angled
    stitches slopes by atan(d w / h). A flat start would fold over itself.
    """
    drift, height = _mean_drift(sample, levels, size)
    slope = np.arctan2(-drift * size.width_mm, height)
    halfway = 0.5 * (slope + np.roll(slope, -1))
    steps = size.width_mm * np.stack([np.cos(halfway), np.sin(halfway)], axis=1)
    steps[:, 1] -= steps[:, 1].mean()
    outline = np.concatenate([np.zeros((1, 2)), np.cumsum(steps, axis=0)])
    repeat_mm = float(outline[-1, 0])
    rise = float(np.mean(height / np.cos(slope)))
    tops = []
    for number, level in enumerate(levels):
        turn, at = np.divmod(_phase(level, levels[0]) * len(slope), len(slope))
        knots = np.arange(len(outline))
        x = np.interp(at, knots, outline[:, 0]) + turn * repeat_mm
        y = np.interp(at, knots, outline[:, 1]) + number * rise
        tops.append(np.stack([x, y], axis=1))
    return np.concatenate(tops), Frame(repeat_mm, (0.0, len(levels) * rise))


def _phase(level: Level, first: Level) -> Floats:
    """Return where the stitches of a window lie, in repeats from the first level's left end."""
    along: Floats = (np.arange(level.width) + level.left - first.left) / level.width
    return along


def _mean_drift(sample: Rows, levels: list[Level], size: Proportions) -> tuple[Floats, float]:
    """Return how far each stitch of a repeat lies along from its parents, and the mean height.

    Shape (width of the first level,), averaged over the rows of the period and set off so
    that the slopes of a repeat come out level.
    """
    first = levels[0]
    total = np.zeros(first.width)
    heights = []
    for level in levels:
        links = sample.fabric_links(level.row)
        count = np.bincount(links[:, CHILD], minlength=1)
        along = np.bincount(links[:, CHILD], links[:, CHILD] - links[:, PARENT])
        worked = np.flatnonzero(count)
        every = np.arange(level.left, level.left + level.width)
        drift = np.interp(every, worked, along[worked] / count[worked])
        wanted = np.arange(first.width) / first.width
        total += np.interp(wanted, _phase(level, first) % 1.0, drift, period=1.0)
        kinds = np.asarray(sample.in_fabric_order(level.row, sample.plan(level.row).kind))
        heights.append(np.asarray(size.heights_mm)[kinds.astype(np.intp)][every].mean())
    height = float(np.mean(heights))
    mean = total / len(levels)
    return _balanced(mean, size.width_mm / height), height


def _balanced(drift: Floats, scale: float) -> Floats:
    """Return the drift set off so that the sines of the slopes cancel."""
    low, high = float(drift.min()), float(drift.max())
    for _ in range(_ROUNDS):  # every one looks at many places at once
        places = np.linspace(low, high, _PLACES)
        slopes = (drift - places[:, np.newaxis]) * scale
        sines = slopes / np.sqrt(1.0 + slopes * slopes)
        above = int(np.count_nonzero(sines.sum(axis=1) > 0))
        low, high = float(places[max(above - 1, 0)]), float(places[min(above, _PLACES - 1)])
    balanced: Floats = drift - 0.5 * (low + high)
    return balanced
