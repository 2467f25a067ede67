"""Places the symbols of a chart: each from where the hook goes in to the stitch's own top.

The same placing serves both layouts: as the fabric lies (the settled fabric's tops) and on a
straight grid (`core.fabric.extract.straight_grid`). Everything is in mm, x right, y up.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from core.chart.symbols import BAR, NUMBER, Floats
from core.craft.stitches import CHAIN, KEYS
from core.craft.stitches import NUMBER as STITCH_NUMBER
from core.design.document import Design
from core.fabric.sheet import Fabric
from core.fabric.steady import window
from core.rows.build import Rows
from core.rows.foundation import first_shares_foot
from core.rows.plan import CHILD, END, PARENT, START, Indices
from core.rows.turning import turning_of_row
from core.stripes.loops import Ridge, loop_of_row, ridge_of_row

_FOOT_GAP: Final = 0.16  # clear space above the stitch worked into, in stitch widths
_MARKED_GAP: Final = 0.42  # where a loop mark stands in it
_TOP_GAP: Final = 0.10
_CHAIN_OVAL: Final = 0.86  # length of a foundation oval, in stitch widths
_BESIDE: Final = 0.75  # how far a turning chain that isn't a stitch stands outside
_NUMBER_AWAY: Final = 1.7
_MARK: Final = 0.42


@dataclass(frozen=True, slots=True)
class RowLabel:
    """A row's number, where the row starts.

    Attributes:
        row: Row number.
        x_mm: Where the text's near end stands.
        y_mm: Height of its middle.
        runs_left: Whether the row runs to the left, so that the number stands at the right.
    """

    row: int
    x_mm: float
    y_mm: float
    runs_left: bool


@dataclass(frozen=True, slots=True)
class RepeatMark:
    """The bracket under one repeat.

    Attributes:
        left_mm: Its left end.
        right_mm: Its right end.
        y_mm: Height of its bar.
        stitches: What the repeat uses.
    """

    left_mm: float
    right_mm: float
    y_mm: float
    stitches: int


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Chart:
    """Symbols in painting order, and what stands around them.

    Attributes:
        symbol: Number of each symbol (`core.chart.symbols.NAMES`), shape (n,).
        foot_mm: Where its foot stands, shape (n, 2).
        top_mm: Where its top stands, shape (n, 2).
        row: Row it belongs to, 0 for the foundation, shape (n,).
        stitch: Stitch of that row from the left edge, or -1, shape (n,).
        fabric: The tops it was laid out on.
        width_mm: Stitch width.
        labels: Row numbers.
        repeat: The repeat's bracket, if the chart holds a whole repeat.
    """

    symbol: Indices
    foot_mm: Floats
    top_mm: Floats
    row: Indices
    stitch: Indices
    fabric: Fabric
    width_mm: float
    labels: tuple[RowLabel, ...]
    repeat: RepeatMark | None

    def bounds_mm(self) -> tuple[float, float, float, float]:
        """Return left, bottom, right and top of everything, texts allowed for."""
        points = np.concatenate([self.foot_mm, self.top_mm, self.fabric.tops_mm])
        low, high = points.min(axis=0), points.max(axis=0)
        wide = [label.x_mm for label in self.labels] or [float(low[0])]
        margin = 1.6 * self.width_mm
        bottom = self.repeat.y_mm - 1.4 * self.width_mm if self.repeat else float(low[1])
        return (
            min(float(low[0]), *wide) - margin,
            min(float(low[1]), bottom) - 0.4 * self.width_mm,
            max(float(high[0]), *wide) + margin,
            float(high[1]) + 0.6 * self.width_mm,
        )


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    symbol: Indices
    foot: Floats
    top: Floats
    stitch: Indices


def lay_out(
    design: Design, rows: Rows, fabric: Fabric, *, first: int = 1, last: int | None = None
) -> Chart:
    """Return the chart of the rows from `first` to `last`, of all that `fabric` holds.

    The foundation comes with row 1.
    """
    width = fabric.size.width_mm
    last = fabric.n_rows if last is None else min(last, fabric.n_rows)
    above = range(max(first, 1), last + 1)
    parts = [_foundation(fabric.row_tops_mm(0), width)] if first <= 1 else [_nothing()]
    parts += [_row_part(design, rows, fabric, row) for row in above]
    counts = [len(part.symbol) for part in parts]
    return Chart(
        symbol=np.concatenate([part.symbol for part in parts]),
        foot_mm=np.concatenate([part.foot for part in parts]),
        top_mm=np.concatenate([part.top for part in parts]),
        row=np.repeat([0, *above], counts),
        stitch=np.concatenate([part.stitch for part in parts]),
        fabric=fabric,
        width_mm=width,
        labels=tuple(_label(rows, fabric, row, _number_away(design)) for row in above),
        repeat=_repeat_mark(rows, fabric) if first <= 1 <= last else None,
    )


def _row_part(design: Design, rows: Rows, fabric: Fabric, row: int) -> _Part:
    below, tops = fabric.row_tops_mm(row - 1), fabric.row_tops_mm(row)
    links = rows.fabric_links(row)
    kinds = np.asarray(rows.in_fabric_order(row, rows.plan(row).kind)).astype(np.intp)
    gap = _FOOT_GAP if _ridge(design, row).faces_out is None else _MARKED_GAP
    foot, top = _stems(links, below, tops, gap * fabric.size.width_mm, fabric.size.width_mm)
    parts = [_stitches(links, kinds, foot, top)]
    parts.append(_bars(links, kinds, foot, top, fabric.size.width_mm))
    parts.append(_chain_spaces(kinds, tops, fabric.size.width_mm))
    parts.append(_loop_marks(design, rows, row, (links, foot), fabric))
    joined = _joined(parts)
    return _with_turning_chain(design, rows, fabric, row, joined, (links, foot, top))


def _nothing() -> _Part:
    numbers, points = np.empty(0, dtype=np.intp), np.empty((0, 2))
    return _Part(numbers, points, points, numbers)


def _joined(parts: list[_Part]) -> _Part:
    return _Part(
        np.concatenate([part.symbol for part in parts]),
        np.concatenate([part.foot for part in parts]),
        np.concatenate([part.top for part in parts]),
        np.concatenate([part.stitch for part in parts]),
    )


def _foundation(tops: Floats, width: float) -> _Part:
    along = _along(tops)
    half = 0.5 * _CHAIN_OVAL * width * along
    n = len(tops)
    return _Part(np.full(n, NUMBER["ch"]), tops - half, tops + half, np.arange(n))


def _along(tops: Floats) -> Floats:
    """Return the row's direction at every top, shape (n, 2)."""
    if len(tops) < 2:
        return np.tile([1.0, 0.0], (len(tops), 1))
    steps = np.gradient(tops, axis=0)
    unit: Floats = steps / np.linalg.norm(steps, axis=1, keepdims=True)
    return unit


def _stems(
    links: Indices, below: Floats, tops: Floats, gap: float, width: float
) -> tuple[Floats, Floats]:
    """Return where each link's stem begins and ends, kept clear of the rows' tops.

    Stitches in one place share their foot, legs worked together their top, so the gap is left
    along the mean direction of all stems that meet there.
    """
    child, parent = links[:, CHILD], links[:, PARENT]
    way = tops[child] - below[parent]
    way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-9)
    foot = below[parent] + gap * _mean_way(way, parent, len(below))
    top = tops[child] - _TOP_GAP * width * _mean_way(way, child, len(tops))
    return foot, top


def _mean_way(way: Floats, group: Indices, n_groups: int) -> Floats:
    """Return for every link the mean direction of all links in its group, shape (n, 2)."""
    total = np.stack([np.bincount(group, way[:, axis], n_groups) for axis in (0, 1)], axis=1)
    mean = total[group]
    unit: Floats = mean / np.maximum(np.linalg.norm(mean, axis=1, keepdims=True), 1e-9)
    return unit


_WHOLE = np.array([NUMBER[key] for key in KEYS])
_LEG = np.array([NUMBER[f"{key}-leg" if key != CHAIN else key] for key in KEYS])


def _stitches(links: Indices, kinds: Indices, foot: Floats, top: Floats) -> _Part:
    child = links[:, CHILD]
    alone = np.bincount(child, minlength=len(kinds))[child] == 1
    symbol = np.where(alone, _WHOLE[kinds[child]], _LEG[kinds[child]])
    return _Part(symbol, foot, top, child)


def _bars(links: Indices, kinds: Indices, foot: Floats, top: Floats, width: float) -> _Part:
    """Return the bar over every decrease of stitches that have one."""
    child = links[:, CHILD]
    first = np.flatnonzero(np.diff(child, prepend=-1))
    many = np.bincount(child, minlength=len(kinds))[child[first]] > 1
    barred = kinds[child[first]] >= STITCH_NUMBER["hdc"]
    first = first[many & barred]
    way = _mean_way(top - foot, child, len(kinds))[first]
    across = np.stack([-way[:, 1], way[:, 0]], axis=1) * (0.5 * BAR * width)
    number = np.full(len(first), NUMBER["bar"])
    return _Part(number, top[first] - across, top[first] + across, child[first])


def _chain_spaces(kinds: Indices, tops: Floats, width: float) -> _Part:
    chains = np.flatnonzero(kinds == STITCH_NUMBER[CHAIN])
    half = 0.5 * _CHAIN_OVAL * width * _along(tops)[chains]
    number = np.full(len(chains), NUMBER["ch"])
    return _Part(number, tops[chains] - half, tops[chains] + half, chains)


def _loop_marks(
    design: Design,
    rows: Rows,
    row: int,
    stems: tuple[Indices, Floats],
    fabric: Fabric,
) -> _Part:
    """Return a mark under every foot that goes into one loop only, as seen from the front."""
    ridge = _ridge(design, row)
    if ridge.faces_out is None:
        return _nothing()
    # The back loop of a wrong-side row faces the reader: it takes the front loop's mark.
    mark = "back loop" if ridge.faces_out else "front loop"
    (links, foot), below = stems, fabric.row_tops_mm(row - 1)
    first = np.flatnonzero(np.diff(links[:, PARENT], prepend=-1))
    if design.turning.counts and not first_shares_foot(rows.plan(row).row):
        first = first[:-1] if rows.runs_left(row) else first[1:]  # the chain goes into no loop
    if design.loops.last_stitch_both and len(first):
        first = first[1:] if rows.runs_left(row) else first[:-1]
    base = below[links[first, PARENT]]
    way = foot[first] - base
    way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-9)
    half = 0.5 * _MARK * fabric.size.width_mm * way
    middle = base + 0.62 * (foot[first] - base)
    return _Part(np.full(len(first), NUMBER[mark]), middle - half, middle + half, links[first, 0])


def _ridge(design: Design, row: int) -> Ridge:
    return ridge_of_row(loop_of_row(design, row), row)


def _with_turning_chain(
    design: Design,
    rows: Rows,
    fabric: Fabric,
    row: int,
    part: _Part,
    stems: tuple[Indices, Floats, Floats],
) -> _Part:
    """Return the row with its turning chain: in place of the first stitch, or beside it."""
    links, foot, top = stems
    count = turning_of_row(design, rows.plan(row).row).chains
    if not count or not len(links):
        return part
    first = len(links) - 1 if rows.runs_left(row) else 0
    child = int(links[first, CHILD])
    low, high = foot[first], top[first]
    if design.turning.counts:
        gone = np.flatnonzero((part.stitch == child) & (part.foot == low).all(axis=1))
        keep = np.ones(len(part.symbol), dtype=bool)
        keep[gone[:1]] = False
        part = _Part(part.symbol[keep], part.foot[keep], part.top[keep], part.stitch[keep])
    else:
        side = 1.0 if rows.runs_left(row) else -1.0
        away = np.array([side * _BESIDE * fabric.size.width_mm, 0.0])
        low, high, child = low + away, high + away, -1
    steps = np.linspace(0.0, 1.0, count + 1)[:, np.newaxis]
    knots = low + steps * (high - low)
    stack = _Part(np.full(count, NUMBER["ch"]), knots[:-1], knots[1:], np.full(count, child))
    return _joined([part, stack])


def _number_away(design: Design) -> float:
    """Return how far row numbers stand outside: beyond a turning chain that stands beside."""
    beside = design.turning.chains and not design.turning.counts
    return _NUMBER_AWAY + (_BESIDE if beside else 0.0)


def _label(rows: Rows, fabric: Fabric, row: int, away: float) -> RowLabel:
    """Return the row's number, beside the stitch that the row starts with."""
    runs_left = rows.runs_left(row)
    end = -1 if runs_left else 0
    low, high = fabric.row_tops_mm(row - 1)[end], fabric.row_tops_mm(row)[end]
    side = 1.0 if runs_left else -1.0
    x = max(side * low[0], side * high[0]) * side + side * away * fabric.size.width_mm
    return RowLabel(row, float(x), float(0.5 * (low[1] + high[1])), runs_left)


def _repeat_mark(rows: Rows, fabric: Fabric) -> RepeatMark | None:
    """Return the bracket under the chains that one repeat of row 1 is worked into."""
    plan = rows.plan(1)
    section = np.asarray(rows.in_fabric_order(1, plan.section))
    inside = section[(section != START) & (section != END)]
    if not len(inside) or rows.partial is not None:
        return None
    base, half = fabric.row_tops_mm(0), 0.5 * fabric.size.width_mm
    left, width = window(rows, 0, plan.repeats)
    if not width:
        return None
    left -= plan.repeats // 2 * width  # the first repeat from the left
    right = left + width - 1
    return RepeatMark(
        left_mm=float(base[left, 0] - half),
        right_mm=float(base[right, 0] + half),
        y_mm=float(base[:, 1].min() - 1.3 * fabric.size.width_mm),
        stitches=rows.foundation.multiple,
    )
