"""Places the symbols of a chart: each from where the hook goes in to the stitch's own top.

The same placing serves both layouts: as the fabric lies (the settled fabric's tops) and on a
straight grid (`core.fabric.extract.straight_grid`). Everything is in mm, x right, y up.

All rows are placed at once. Within this module a point is a complex number, x + iy: turning and
scaling are then a product, and numpy takes far less time than for pairs.
"""

from collections.abc import Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from core.chart.labels import BESIDE, RepeatMark, RowLabel, Spans, repeat_mark, row_labels
from core.chart.row_kinds import CHAIN_GAP, FOOT_GAP, Flags, Turn, kinds_of
from core.chart.symbols import BAR, NUMBER, STACKED, Floats, for_length
from core.design.document import Design
from core.fabric.sheet import Fabric
from core.records import Struct, names_of, replace
from core.rows.build import Rows
from core.rows.plan import Indices

Points = NDArray[np.complex128]

_TOP_GAP: Final = 0.10  # in stitch widths
_CHAIN_OVAL: Final = 0.86  # length of a foundation oval, in stitch widths
_CROWDED: Final = 0.88  # of the way to the next chain, where that is less
_STACK_GAP: Final = 0.04  # between the chains of a turning chain, over their length
_ASIDE: Final = 0.15  # how far one that shares its foot begins above it
_MARK: Final = 0.42
_NEARLY_NONE: Final = 1e-9


class Chart(Struct, frozen=True, eq=False, kw_only=True):
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


class _Part(Struct, frozen=True, eq=False):
    """Some symbols: numbers, points, rows and stitches as in `Chart`."""

    symbol: Indices
    foot: Points
    top: Points
    row: Indices
    stitch: Indices
    into: Indices

    def only(self, kept: Flags | Indices) -> "_Part":
        return _Part(*(getattr(self, name)[kept] for name in names_of(self)))


def lay_out(
    design: Design,
    rows: Rows,
    fabric: Fabric,
    *,
    first: int = 1,
    last: int | None = None,
    quiet_below: bool = False,
    spans: Spans | None = None,
    between_mm: tuple[float, float] | None = None,
    near_mm: float | None = None,
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
        between_mm: Leave out the symbols of stitches whose tops lie left or right of these;
            the foundation, numbers and the repeat are whole all the same.
        near_mm: Mark the repeat that is nearest to this place, instead of the leftmost.
    """
    last = fabric.n_rows if last is None else min(last, fabric.n_rows)
    first = max(first, 1)
    quiet = first - 1 if quiet_below and first > 1 else -1
    above = range(quiet if quiet > 0 else first, last + 1)
    parts = [_foundation(fabric)] if first <= 1 else []
    parts += _Laid(design, rows, fabric, above, between_mm).parts() if len(above) else []
    part = _in_order(parts)
    if spans is not None:
        part = part.only(_within(part, spans, rows, [0, *above]))
    shown = fabric if spans is None else _cut(fabric, spans)
    return Chart(
        symbol=part.symbol,
        foot_mm=_pairs(part.foot),
        top_mm=_pairs(part.top),
        row=part.row,
        stitch=part.stitch,
        into=part.into,
        fabric=shown,
        first=first,
        last=last,
        quiet=quiet,
        width_mm=fabric.size.width_mm,
        labels=row_labels(design, rows, shown, above),
        repeat=repeat_mark(rows, fabric, first, spans, near_mm=near_mm) if first <= last else None,
    )


def _points(pairs: Floats) -> Points:
    """Return pairs of shape (n, 2) as complex numbers."""
    points: Points = np.ascontiguousarray(pairs).view(np.complex128)[:, 0]
    return points


def _pairs(points: Points) -> Floats:
    pairs: Floats = np.ascontiguousarray(points).view(np.float64).reshape(-1, 2)
    return pairs


def _in_order(parts: list[_Part]) -> _Part:
    """Return all parts row by row, those of one row in the order of the parts."""
    if not parts:
        numbers, points = np.empty(0, dtype=np.intp), np.empty(0, dtype=np.complex128)
        return _Part(numbers, points, points, numbers, numbers, numbers)
    joined = _Part(*(np.concatenate([getattr(p, name) for p in parts]) for name in names_of(_Part)))
    return joined.only(np.argsort(joined.row, kind="stable"))


def _within(part: _Part, spans: Spans, rows: Rows, shown: Sequence[int]) -> Flags:
    """Return which symbols belong to the stitches kept; a chain beside the row has none."""
    low, high = np.array(spans).reshape(-1, 2).T[:, part.row]
    kept: Flags = (part.stitch >= low) & (part.stitch < high)
    at_start = np.zeros(max(shown) + 1, dtype=np.bool_)
    for row in shown:
        at_right = row and rows.runs_left(row)
        at_start[row] = spans[row][1] == rows.makes(row) if at_right else spans[row][0] == 0
    return kept | ((part.stitch < 0) & at_start[part.row])


def _cut(fabric: Fabric, spans: Spans) -> Fabric:
    pieces = [fabric.row_tops_mm(row)[low:high] for row, (low, high) in enumerate(spans)]
    starts = np.concatenate([[0], np.cumsum([len(piece) for piece in pieces])])
    return replace(fabric, tops_mm=np.concatenate(pieces), starts=starts.astype(np.intp))


def _foundation(fabric: Fabric) -> _Part:
    tops = _points(fabric.row_tops_mm(0))
    n = len(tops)
    numbers = np.arange(n)
    zeros = np.zeros(n, dtype=np.intp)
    half = _half_ovals(tops, numbers, zeros, zeros + n, fabric.size.width_mm)
    symbol = np.full(n, NUMBER["ch"])
    return _Part(symbol, tops - half, tops + half, zeros, numbers, np.full(n, -1))


def _half_ovals(tops: Points, at: Indices, first: Indices, end: Indices, width: float) -> Points:
    """Return half of some lying chains' ovals, shorter where they crowd.

    Args:
        tops: Of all stitches.
        at: Numbers of the chains, shape (n,).
        first: First stitch of the row that each is in, shape (n,).
        end: The one after the last, shape (n,).
        width: Stitch width.
    """
    before, after = tops[np.maximum(at - 1, first)], tops[np.minimum(at + 1, end - 1)]
    here = tops[at]
    to_left, to_right = np.abs(here - before), np.abs(after - here)
    room = np.minimum(
        np.where(at > first, to_left, np.inf), np.where(at < end - 1, to_right, np.inf)
    )
    along = np.where(end - first > 1, after - before, 1.0)
    half: Points = 0.5 * np.minimum(_CHAIN_OVAL * width, _CROWDED * room) * _unit(along)
    return half


def _unit(way: Points) -> Points:
    unit: Points = way / np.maximum(np.abs(way), _NEARLY_NONE)
    return unit


def _mean_way(way: Points, group: Indices) -> Points:
    """Return for every link the mean direction of all links in its group, shape (n,)."""
    if not len(group):
        return way
    number = group - group.min()
    real, imaginary = np.bincount(number, way.real), np.bincount(number, way.imag)
    return _unit(real[number] + 1j * imaginary[number])


class _Laid:
    """The links of some rows with their stems, and what stands on them.

    Stitches in one place share their foot, legs worked together their top, so the gap between a
    stem and the rows' tops is left along the mean direction of all stems that meet there.
    """

    def __init__(
        self,
        design: Design,
        rows: Rows,
        fabric: Fabric,
        shown: Sequence[int],
        between_mm: tuple[float, float] | None,
    ) -> None:
        self._width, self._starts = fabric.size.width_mm, fabric.starts
        self._tops = _points(fabric.tops_mm)
        self._rows = np.array(shown)
        self._kinds = kinds_of(design, rows, shown)
        self._between_mm = between_mm
        counts = [len(kind.child) for kind in self._kinds]
        self._first_link = np.cumsum([0, *counts])
        self._row = np.repeat(self._rows, counts)
        self._child, self._parent = self._of("child"), self._of("parent")
        # Links are numbered through all rows; only those that meet one that is wanted are laid.
        child = self._starts[self._row] + self._child
        parent = self._starts[self._row - 1] + self._parent
        wanted = self._is_wanted(child)
        self._laid = np.arange(len(child)) if wanted.all() else _meeting(parent, wanted)
        self._is_wanted_link = wanted[self._laid]
        child, parent = child[self._laid], parent[self._laid]
        self._base = self._tops[parent]
        way = _unit(self._tops[child] - self._base)
        gap = self._of("gap")[self._laid] * self._width
        self._foot = self._base + gap * _mean_way(way, parent)
        self._top = self._tops[child] - _TOP_GAP * self._width * _mean_way(way, child)
        self._lean = _mean_way(self._top - self._foot, child)

    def _of(self, name: str) -> Any:
        """Return one of the kinds' fields through all rows."""
        return np.concatenate([getattr(kind, name) for kind in self._kinds])

    def _is_wanted(self, stitch: Indices) -> Flags:
        if self._between_mm is None:
            return np.ones(len(stitch), dtype=np.bool_)
        x = self._tops.real[stitch]
        wanted: Flags = (x >= self._between_mm[0]) & (x <= self._between_mm[1])
        return wanted

    def parts(self) -> list[_Part]:
        """Return the symbols in painting order."""
        found = [self._stitches(), self._bars(), self._chain_spaces(), self._marks()]
        return found + self._turns()

    def _at(self, name: str) -> Indices:
        """Return which of the laid links are wanted and have this flag."""
        return np.flatnonzero(self._of(name)[self._laid].astype(np.bool_) & self._is_wanted_link)

    def _stitches(self) -> _Part:
        here = self._at("is_drawn")
        link, foot, top = self._laid[here], self._foot[here], self._top[here]
        symbol = for_length(self._of("symbol")[link], np.abs(top - foot) / self._width)
        return _Part(symbol, foot, top, self._row[link], self._child[link], self._parent[link])

    def _bars(self) -> _Part:
        """Return the bar over every decrease of stitches that have one."""
        here = self._at("is_barred")
        link, top = self._laid[here], self._top[here]
        across = 1j * self._lean[here] * (0.5 * BAR * self._width)
        symbol, none = np.full(len(link), NUMBER["bar"]), np.full(len(link), -1)
        return _Part(symbol, top - across, top + across, self._row[link], self._child[link], none)

    def _chain_spaces(self) -> _Part:
        row = np.repeat(self._rows, [len(kind.chains) for kind in self._kinds])
        stitch = self._of("chains")
        first, end = self._starts[row], self._starts[row + 1]
        wanted = self._is_wanted(first + stitch)
        row, stitch, first, end = row[wanted], stitch[wanted], first[wanted], end[wanted]
        half = _half_ovals(self._tops, first + stitch, first, end, self._width)
        tops = self._tops[first + stitch]
        symbol, none = np.full(len(row), NUMBER["ch"]), np.full(len(row), -1)
        return _Part(symbol, tops - half, tops + half, row, stitch, none)

    def _marks(self) -> _Part:
        """Return a mark under every foot that goes into one loop only."""
        here = self._at("is_marked")
        link, base = self._laid[here], self._base[here]
        rise = self._foot[here] - base
        half, middle = 0.5 * _MARK * self._width * _unit(rise), base + 0.62 * rise
        row = self._row[link]
        mark = np.array([kind.mark for kind in self._kinds], dtype=np.intp)
        symbol = mark[np.searchsorted(self._rows, row)]
        child, parent = self._child[link], self._parent[link]
        return _Part(symbol, middle - half, middle + half, row, child, parent)

    def _turns(self) -> list[_Part]:
        """Return each row's turning chain: in place of the first stitch, or beside it."""
        pairs = [(n, kind.turn) for n, kind in enumerate(self._kinds) if kind.turn is not None]
        pairs = [(n, turn) for n, turn in pairs if self._place_of(n, turn) >= 0]
        if not pairs:
            return []
        here = np.array([self._place_of(n, turn) for n, turn in pairs])
        counts = np.array([turn.chains for _, turn in pairs])
        stands = np.array([turn.stand for _, turn in pairs])
        side = np.array([1.0 if turn.runs_left else -1.0 for _, turn in pairs])
        link, base = self._laid[here], self._base[here]
        row, child, parent = self._row[link], self._child[link], self._parent[link]
        low, high = self._foot[here], self._top[here]
        # Aside of what shares its foot, not on it; one that stands alone goes into no loop.
        aside = low + self._width * _ASIDE * (_unit(high - low) + 0.3 * side)
        gap = self._width * np.where(row == 1, CHAIN_GAP, FOOT_GAP)
        alone = base + gap * _unit(high - base)
        is_beside, away = stands == "beside", BESIDE * self._width * side
        low = np.select([stands == "aside", stands == "alone"], [aside, alone], low + away)
        high = np.where(is_beside, high + away, high)
        child, parent = np.where(is_beside, -1, child), np.where(is_beside, -1, parent)
        number = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
        step = np.repeat((high - low) / counts, counts)
        foot, clear = np.repeat(low, counts) + number * step, 0.5 * _STACK_GAP * step
        symbol = np.full(len(number), NUMBER[STACKED])
        numbers = (np.repeat(values, counts) for values in (row, child, parent))
        return [_Part(symbol, foot + clear, foot + step - clear, *numbers)]

    def _place_of(self, number: int, turn: Turn) -> int:
        """Return where the link of a row's turning chain is among those laid; -1 if nowhere."""
        link = int(self._first_link[number]) + turn.link
        place = int(np.searchsorted(self._laid, link))
        here = place < len(self._laid) and self._laid[place] == link
        return place if here and self._is_wanted_link[place] else -1


def _meeting(parent: Indices, wanted: Flags) -> Indices:
    """Return the links that go into a stitch which a wanted link goes into as well."""
    low = int(parent.min())
    met = np.bincount(parent - low, wanted) > 0
    return np.flatnonzero(met[parent - low])
