"""Places the symbols of a chart: each from where the hook goes in to the stitch's own top.

The same placing serves both layouts: as the fabric lies (the settled fabric's tops) and on a
straight grid (`core.fabric.extract.straight_grid`). Everything is in mm, x right, y up.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.chart.labels import BESIDE, RepeatMark, RowLabel, Spans, repeat_mark, row_labels
from core.chart.symbols import BAR, NUMBER, STACKED, Floats, for_length
from core.craft.stitches import CHAIN, KEYS
from core.craft.stitches import NUMBER as STITCH_NUMBER
from core.design.document import Design
from core.fabric.sheet import Fabric
from core.rows.build import Rows
from core.rows.foundation import first_shares_foot
from core.rows.plan import CHILD, PARENT, Indices
from core.rows.turning import turning_of_row
from core.stripes.loops import Ridge, loop_of_row, ridge_of_row

Kept = NDArray[np.bool_]

_FOOT_GAP: Final = 0.16  # clear space above the stitch worked into, in stitch widths
_CHAIN_GAP: Final = 0.34  # above a chain, whose oval is broader than a bar
_MARKED_GAP: Final = 0.42  # where a loop mark stands in it
_TOP_GAP: Final = 0.10
_CHAIN_OVAL: Final = 0.86  # length of a foundation oval, in stitch widths
_CROWDED: Final = 0.88  # of the way to the next chain, where that is less
_STACK_GAP: Final = 0.04  # between the chains of a turning chain, over their length
_ASIDE: Final = 0.15  # how far one that shares its foot begins above it
_MARK: Final = 0.42


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Chart:
    """Symbols in painting order, and what stands around them.

    Attributes:
        symbol: Number of each symbol (`core.chart.symbols.NAMES`), shape (n,).
        foot_mm: Where its foot stands, shape (n, 2).
        top_mm: Where its top stands, shape (n, 2).
        row: Row it belongs to, 0 for the foundation, shape (n,).
        stitch: Stitch of that row from the left edge, or -1, shape (n,).
        into: Stitch of the row below that its foot stands in, or -1, shape (n,).
        fabric: The tops it was laid out on, cut where the chart is cut.
        first: First row that is shown to be worked.
        last: Last row.
        quiet: Row drawn quietly because the first one stands on it; -1 for none.
        width_mm: Stitch width.
        labels: Row numbers.
        repeat: The repeat's bracket, if the chart holds a whole repeat.
    """

    symbol: Indices
    foot_mm: Floats
    top_mm: Floats
    row: Indices
    stitch: Indices
    into: Indices
    fabric: Fabric
    first: int
    last: int
    quiet: int
    width_mm: float
    labels: tuple[RowLabel, ...]
    repeat: RepeatMark | None

    def extent_mm(self) -> tuple[Floats, Floats]:
        """Return the lowest and highest x and y of the rows shown."""
        starts, first = self.fabric.starts, self.first - 1
        tops = self.fabric.tops_mm[starts[max(first, 0)] : starts[self.last + 1]]
        parts = [part for part in (self.foot_mm, self.top_mm, tops) if len(part)]
        # Axis by axis: the library takes many times as long for both together.
        low = [min(float(part[:, axis].min()) for part in parts) for axis in (0, 1)]
        high = [max(float(part[:, axis].max()) for part in parts) for axis in (0, 1)]
        return np.array(low), np.array(high)


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    symbol: Indices
    foot: Floats
    top: Floats
    stitch: Indices
    into: Indices

    def only(self, kept: Kept) -> "_Part":
        return _Part(
            self.symbol[kept], self.foot[kept], self.top[kept], self.stitch[kept], self.into[kept]
        )


def lay_out(
    design: Design,
    rows: Rows,
    fabric: Fabric,
    *,
    first: int = 1,
    last: int | None = None,
    quiet_below: bool = False,
    spans: Spans | None = None,
) -> Chart:
    """Return the chart of the rows from `first` to `last`, of all that `fabric` holds.

    The foundation comes with row 1.

    Args:
        design: Turning chain and loops are read from it.
        rows: The rows.
        fabric: Where their tops lie.
        first: First row shown.
        last: Last row shown; None for the fabric's last.
        quiet_below: Whether the row below the first is drawn as well, quietly.
        spans: First stitch kept of every row from the foundation up and the one after the
            last, from the left edge, where the chart shows a part of each row only.
    """
    width = fabric.size.width_mm
    last = fabric.n_rows if last is None else min(last, fabric.n_rows)
    first = max(first, 1)
    quiet = first - 1 if quiet_below and first > 1 else -1
    above = range(quiet if quiet > 0 else first, last + 1)
    parts = [_foundation(fabric.row_tops_mm(0), width)] if first <= 1 else [_nothing()]
    parts += [_row_part(design, rows, fabric, row) for row in above]
    if spans is not None:
        parts = [
            part.only(_within(part, spans[row], rows, row))
            for part, row in zip(parts, [0, *above], strict=True)
        ]
    counts = [len(part.symbol) for part in parts]
    shown = fabric if spans is None else _cut(fabric, spans)
    return Chart(
        symbol=np.concatenate([part.symbol for part in parts]),
        foot_mm=np.concatenate([part.foot for part in parts]),
        top_mm=np.concatenate([part.top for part in parts]),
        row=np.repeat([0, *above], counts),
        stitch=np.concatenate([part.stitch for part in parts]),
        into=np.concatenate([part.into for part in parts]),
        fabric=shown,
        first=first,
        last=last,
        quiet=quiet,
        width_mm=width,
        labels=row_labels(design, rows, shown, above),
        repeat=repeat_mark(rows, fabric, first, spans) if first <= last else None,
    )


def _within(part: _Part, span: tuple[int, int], rows: Rows, row: int) -> Kept:
    """Return which symbols belong to the stitches kept; a chain beside the row has none."""
    kept: Kept = (part.stitch >= span[0]) & (part.stitch < span[1])
    at_start = span[1] == rows.makes(row) if row and rows.runs_left(row) else span[0] == 0
    return kept | ((part.stitch < 0) & at_start)


def _cut(fabric: Fabric, spans: Spans) -> Fabric:
    pieces = [fabric.row_tops_mm(row)[low:high] for row, (low, high) in enumerate(spans)]
    starts = np.concatenate([[0], np.cumsum([len(piece) for piece in pieces])])
    return replace(fabric, tops_mm=np.concatenate(pieces), starts=starts.astype(np.intp))


def _row_part(design: Design, rows: Rows, fabric: Fabric, row: int) -> _Part:
    below, tops = fabric.row_tops_mm(row - 1), fabric.row_tops_mm(row)
    links = rows.fabric_links(row)
    kinds = np.asarray(rows.in_fabric_order(row, rows.plan(row).kind)).astype(np.intp)
    gap = _foot_gaps(design, rows, row)[links[:, PARENT]] * fabric.size.width_mm
    foot, top = _stems(links, below, tops, gap, fabric.size.width_mm)
    parts = [_stitches(links, kinds, foot, top, fabric.size.width_mm)]
    parts.append(_bars(links, kinds, foot, top, fabric.size.width_mm))
    parts.append(_chain_spaces(kinds, tops, fabric.size.width_mm))
    parts.append(_loop_marks(design, rows, row, (links, foot), fabric))
    joined = _joined(parts)
    return _with_turning_chain(design, rows, fabric, row, joined, (links, foot, top))


def _foot_gaps(design: Design, rows: Rows, row: int) -> Floats:
    """Return how clear of each stitch below a foot stands, in stitch widths."""
    plain = _FOOT_GAP if _ridge(design, row).faces_out is None else _MARKED_GAP
    if row == 1:
        return np.full(rows.makes(0), max(plain, _CHAIN_GAP))
    kinds = np.asarray(rows.in_fabric_order(row - 1, rows.plan(row - 1).kind))
    is_chain = kinds == STITCH_NUMBER[CHAIN]
    return np.where(is_chain, max(plain, _CHAIN_GAP), plain)


def _nothing() -> _Part:
    numbers, points = np.empty(0, dtype=np.intp), np.empty((0, 2))
    return _Part(numbers, points, points, numbers, numbers)


def _joined(parts: list[_Part]) -> _Part:
    return _Part(
        np.concatenate([part.symbol for part in parts]),
        np.concatenate([part.foot for part in parts]),
        np.concatenate([part.top for part in parts]),
        np.concatenate([part.stitch for part in parts]),
        np.concatenate([part.into for part in parts]),
    )


def _foundation(tops: Floats, width: float) -> _Part:
    half = _half_ovals(tops, width)
    n = len(tops)
    number = np.full(n, NUMBER["ch"])
    return _Part(number, tops - half, tops + half, np.arange(n), np.full(n, -1))


def _half_ovals(tops: Floats, width: float) -> Floats:
    """Return half of each lying chain's oval, shorter where they crowd, shape (n, 2)."""
    along = _along(tops)
    if len(tops) < 2:
        return 0.5 * _CHAIN_OVAL * width * along
    steps = np.linalg.norm(np.diff(tops, axis=0), axis=1)
    room = np.minimum(np.append(steps, np.inf), np.insert(steps, 0, np.inf))
    length = np.minimum(_CHAIN_OVAL * width, _CROWDED * room)
    half: Floats = 0.5 * length[:, np.newaxis] * along
    return half


def _along(tops: Floats) -> Floats:
    """Return the row's direction at every top, shape (n, 2)."""
    if len(tops) < 2:
        return np.tile([1.0, 0.0], (len(tops), 1))
    steps = np.gradient(tops, axis=0)
    unit: Floats = steps / np.linalg.norm(steps, axis=1, keepdims=True)
    return unit


def _stems(
    links: Indices, below: Floats, tops: Floats, gap: Floats, width: float
) -> tuple[Floats, Floats]:
    """Return where each link's stem begins and ends, kept clear of the rows' tops.

    Stitches in one place share their foot, legs worked together their top, so the gap is left
    along the mean direction of all stems that meet there.
    """
    child, parent = links[:, CHILD], links[:, PARENT]
    way = tops[child] - below[parent]
    way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-9)
    foot = below[parent] + gap[:, np.newaxis] * _mean_way(way, parent, len(below))
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


def _stitches(links: Indices, kinds: Indices, foot: Floats, top: Floats, width: float) -> _Part:
    child = links[:, CHILD]
    alone = np.bincount(child, minlength=len(kinds))[child] == 1
    symbol = np.where(alone, _WHOLE[kinds[child]], _LEG[kinds[child]])
    symbol = for_length(symbol, np.linalg.norm(top - foot, axis=1) / width)
    return _Part(symbol, foot, top, child, links[:, PARENT])


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
    none = np.full(len(first), -1)
    return _Part(number, top[first] - across, top[first] + across, child[first], none)


def _chain_spaces(kinds: Indices, tops: Floats, width: float) -> _Part:
    chains = np.flatnonzero(kinds == STITCH_NUMBER[CHAIN])
    half = _half_ovals(tops, width)[chains]
    number, none = np.full(len(chains), NUMBER["ch"]), np.full(len(chains), -1)
    return _Part(number, tops[chains] - half, tops[chains] + half, chains, none)


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
    if row > 1:  # a chain space has no loops to choose from
        kinds = np.asarray(rows.in_fabric_order(row - 1, rows.plan(row - 1).kind))
        first = first[kinds[links[first, PARENT]] != STITCH_NUMBER[CHAIN]]
    base = below[links[first, PARENT]]
    way = foot[first] - base
    way /= np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-9)
    half = 0.5 * _MARK * fabric.size.width_mm * way
    middle = base + 0.62 * (foot[first] - base)
    number = np.full(len(first), NUMBER[mark])
    child, parent = links[first, CHILD], links[first, PARENT]
    return _Part(number, middle - half, middle + half, child, parent)


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
    width = fabric.size.width_mm
    if not count or not len(links):
        return part
    first = len(links) - 1 if rows.runs_left(row) else 0
    child, parent = links[first].tolist()
    low, high = foot[first], top[first]
    if design.turning.counts:
        gone = np.flatnonzero((part.stitch == child) & (part.foot == low).all(axis=1))
        gone = gone[:1]  # a loop mark has another foot
        part = part.only(~np.isin(np.arange(len(part.symbol)), gone))
        if np.isin(parent, part.into):  # beside what shares its foot, not on it
            side = 1.0 if rows.runs_left(row) else -1.0
            low = low + width * (_ASIDE * _unit(high - low) + (0.3 * side * _ASIDE, 0.0))
        else:  # it stands alone and goes into no loop
            base = fabric.row_tops_mm(row - 1)[parent]
            gap = _CHAIN_GAP if row == 1 else _FOOT_GAP
            low = base + gap * width * _unit(high - base)
    else:
        side = 1.0 if rows.runs_left(row) else -1.0
        away = np.array([side * BESIDE * width, 0.0])
        low, high, child, parent = low + away, high + away, -1, -1
    steps = np.linspace(0.0, 1.0, count + 1)[:, np.newaxis]
    knots = low + steps * (high - low)
    clear = 0.5 * _STACK_GAP * (high - low) / count
    stack = _Part(
        np.full(count, NUMBER[STACKED]),
        knots[:-1] + clear,
        knots[1:] - clear,
        np.full(count, child),
        np.full(count, parent),
    )
    return _joined([part, stack])


def _unit(way: Floats) -> Floats:
    unit: Floats = way / max(float(np.linalg.norm(way)), 1e-9)
    return unit
