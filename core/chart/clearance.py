"""How well a chart can be read in print: its smallest symbol, and the closest two.

Two symbols are as far apart as their ink: the shortest way between their strokes, less half of
each stroke's width. What is joined on purpose isn't counted as close: stems that share a foot
or a top (increases and decreases are drawn so), the chains of one turning chain, and a loop's
mark with the stitch it belongs to. What else such symbols have, their bars and slashes, is.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.chart.ink import Ink, ink_of
from core.chart.layout import Chart
from core.chart.sheet import Sheet
from core.chart.symbols import NAMES, NUMBER, PLAIN, STACKED, Floats
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.records import Struct
from core.rows.plan import Indices

LEAST_MM: Final = 2.0
"""Smallest symbol that prints well, where nobody says otherwise: common practice."""
_MARKS: Final = ("back loop", "front loop", "bar")
_LOOK: Final = (0.3, 1.2)  # stitch widths within which closeness is looked for, one after another
_AT_ONCE: Final = 400_000  # pairs of pieces measured at once

Pairs = NDArray[np.intp]


class Clearance(Struct, frozen=True):
    """What was measured, in mm of print.

    Attributes:
        smallest_mm: Longer side of the smallest stitch symbol.
        smallest: Its name in the catalogue.
        smallest_row: Its row.
        mark_mm: Breadth of the smallest loop mark; None without any.
        closest_mm: Gap between the closest two symbols, 0 where they touch or cross; None if
            no two are near each other.
        closest_rows: Their rows.
        closest_at_mm: A place between them, in the chart's own mm.
    """

    smallest_mm: float
    smallest: str
    smallest_row: int
    mark_mm: float | None
    closest_mm: float | None
    closest_rows: tuple[int, int]
    closest_at_mm: tuple[float, float]


def clearance_of(sheet: Sheet, *, should_stop: ShouldStop = never) -> Clearance:
    """Return how small and how close the symbols of a sheet are in print.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    chart, scale = sheet.chart, sheet.print_scale
    ink = ink_of(chart.symbol, chart.foot_mm, chart.top_mm)
    sizes = _sizes(ink, len(chart.symbol))
    loops = np.isin(chart.symbol, [NUMBER[name] for name in _MARKS[:2]])
    number = _smallest(chart, sizes)
    half = np.array([0.5 * sheet.stroke_of(int(row)).width_mm for row in range(chart.last + 1)])
    for reach in _LOOK:
        near = reach * chart.width_mm
        gap, pair, at = closest(chart, ink, half[chart.row], near, should_stop=should_stop)
        if gap is not None and gap <= near:  # beyond that, nearer ones may have been passed over
            break
    return Clearance(
        smallest_mm=float(sizes[number]) * scale,
        smallest=NAMES[int(PLAIN[chart.symbol[number]])]
        .removesuffix("-leg")
        .replace(STACKED, "ch"),
        smallest_row=int(chart.row[number]),
        mark_mm=float(sizes[loops].min()) * scale if loops.any() else None,
        closest_mm=None if gap is None else gap * scale,
        closest_rows=(int(chart.row[pair[0]]), int(chart.row[pair[1]])) if pair else (0, 0),
        closest_at_mm=at,
    )


def smallest_symbol(sheet: Sheet) -> tuple[float, str, int]:
    """Return the size in mm of print, the name and the row of the smallest stitch symbol."""
    chart = sheet.chart
    sizes = _sizes(ink_of(chart.symbol, chart.foot_mm, chart.top_mm), len(chart.symbol))
    number = _smallest(chart, sizes)
    name = NAMES[int(PLAIN[chart.symbol[number]])].removesuffix("-leg").replace(STACKED, "ch")
    return float(sizes[number]) * sheet.print_scale, name, int(chart.row[number])


def _smallest(chart: Chart, sizes: Floats) -> int:
    is_mark = np.isin(chart.symbol, [NUMBER[name] for name in _MARKS])
    return int(np.argmin(np.where(is_mark, np.inf, sizes)))


def _sizes(ink: Ink, n: int) -> Floats:
    """Return the longer side of each symbol's ink, shape (n,)."""
    starts = np.searchsorted(ink.symbol, np.arange(n))
    low = np.minimum.reduceat(ink.lines.min(axis=1), starts, axis=0)
    high = np.maximum.reduceat(ink.lines.max(axis=1), starts, axis=0)
    longer: Floats = (high - low).max(axis=1)
    return longer


def closest(
    chart: Chart,
    ink: Ink,
    half_stroke: Floats,
    reach: float,
    *,
    should_stop: ShouldStop = never,
) -> tuple[float | None, tuple[int, int] | None, tuple[float, float]]:
    """Return the smallest gap in the chart's mm, the two symbols, and where it is.

    Args:
        chart: The placed symbols.
        ink: Their ink.
        half_stroke: Half the stroke's width of each symbol, shape (symbols,).
        reach: Gaps up to this are found; there may be none, then all is None.
        should_stop: Asked before each row.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    best: float | None = None
    who: tuple[int, int] | None = None
    where = (0.0, 0.0)
    first = np.searchsorted(ink.symbol, np.arange(len(chart.symbol) + 1))
    for a, b, joined in _near_symbols(chart, ink, reach + 2 * float(half_stroke.max()), first):
        if should_stop():
            raise Stopped
        counts = np.cumsum((first[a + 1] - first[a]) * (first[b + 1] - first[b]))
        cuts = np.searchsorted(counts, np.arange(_AT_ONCE, int(counts[-1]), _AT_ONCE))
        for some in np.split(np.arange(len(a)), cuts):
            pairs, which = _piece_pairs(first, a[some], b[some])
            stems = ink.stem[pairs].any(axis=1)
            pairs = pairs[~(joined[some][which] & stems)]
            if not len(pairs):
                continue
            gap = _apart(ink.lines[pairs[:, 0]], ink.lines[pairs[:, 1]])
            owner = ink.symbol[pairs]
            gap = np.maximum(gap - half_stroke[owner].sum(axis=1), 0.0)
            number = int(np.argmin(gap))
            if best is None or gap[number] < best:
                best = float(gap[number])
                who = int(owner[number, 0]), int(owner[number, 1])
                x, y = ink.lines[pairs[number]].mean(axis=(0, 1)).tolist()
                where = x, y
    return best, who, where


def _near_symbols(
    chart: Chart, ink: Ink, reach: float, first: Indices
) -> Iterator[tuple[Indices, Indices, NDArray[np.bool_]]]:
    """Yield the pairs of symbols of each row, and of it and the next, whose ink can be near.

    Each pair comes with whether the two share a foot or a top.
    """
    stems = np.stack([chart.foot_mm, chart.top_mm], axis=1)
    middle = stems.mean(axis=1)
    long = np.linalg.norm(chart.top_mm - chart.foot_mm, axis=1)
    beside = np.maximum.reduceat(_beside_stem(ink, stems), first[:-1])
    for row in np.unique(chart.row).tolist():
        mine = np.flatnonzero(chart.row == row)
        near = np.flatnonzero((chart.row == row) | (chart.row == row + 1))
        order = near[np.argsort(middle[near, 0], kind="stable")]
        x = middle[order, 0]
        wide = reach + 0.5 * (long[mine] + long[near].max()) + beside[mine] + beside[near].max()
        low = np.searchsorted(x, middle[mine, 0] - wide)
        high = np.searchsorted(x, middle[mine, 0] + wide)
        a = np.repeat(mine, high - low)
        b = order[_ranges(low, high)]
        kept = (chart.row[b] > row) | (b > a)
        a, b = a[kept], b[kept]
        kept = _apart(stems[a], stems[b]) < reach + beside[a] + beside[b]
        a, b = a[kept], b[kept]
        joined, skipped = _relation(chart, a, b)
        if not skipped.all():
            yield a[~skipped], b[~skipped], joined[~skipped]


def _beside_stem(ink: Ink, stems: Floats) -> Floats:
    """Return how far each piece of ink reaches from its symbol's stem, shape (pieces,)."""
    own = stems[ink.symbol]
    far: Floats = np.maximum(_to_line(ink.lines[:, 0], own), _to_line(ink.lines[:, 1], own))
    return far


def _ranges(low: Indices, high: Indices) -> Indices:
    """Return all numbers of all ranges from `low` up to `high`, one after another."""
    counts = high - low
    ends = np.cumsum(counts)
    numbers: Indices = np.arange(int(ends[-1]) if len(ends) else 0) + np.repeat(
        low - (ends - counts), counts
    )
    return numbers


def _piece_pairs(first: Indices, a: Indices, b: Indices) -> tuple[Pairs, Indices]:
    """Return every piece of each `a` with every piece of its `b`, and the pair they are of."""
    n_a, n_b = first[a + 1] - first[a], first[b + 1] - first[b]
    counts = n_a * n_b
    which = np.repeat(np.arange(len(a)), counts)
    number = _ranges(np.zeros(len(a), np.intp), counts)
    one, other = np.divmod(number, n_b[which])
    return np.stack([first[a][which] + one, first[b][which] + other], axis=1), which


def _relation(chart: Chart, a: Indices, b: Indices) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Return which pairs are joined at foot or top, and which aren't to be compared."""
    same_row = chart.row[a] == chart.row[b]
    same_stitch = same_row & (chart.stitch[a] == chart.stitch[b])
    same_place = same_row & (chart.into[a] == chart.into[b]) & (chart.into[a] >= 0)
    loops = [NUMBER[name] for name in _MARKS[:2]]
    mark = np.isin(chart.symbol[a], loops) | np.isin(chart.symbol[b], loops)
    bar = (chart.symbol[a] == NUMBER["bar"]) | (chart.symbol[b] == NUMBER["bar"])
    stacked = (chart.symbol[a] == NUMBER[STACKED]) & (chart.symbol[b] == NUMBER[STACKED])
    skipped = ((same_stitch | same_place) & mark) | (same_stitch & (bar | stacked))
    return same_stitch | same_place, skipped


def _apart(one: Floats, other: Floats) -> Floats:
    """Return the shortest way between straight pieces, pair by pair; 0 where they cross.

    Args:
        one: Shape (n, 2 ends, 2 axes).
        other: Shape (n, 2 ends, 2 axes).
    """
    ways = [_to_line(one[:, end], other) for end in (0, 1)]
    ways += [_to_line(other[:, end], one) for end in (0, 1)]
    shortest: Floats = np.minimum.reduce(ways)
    return np.where(_cross(one, other), 0.0, shortest)


def _to_line(point: Floats, line: Floats) -> Floats:
    start, way = line[:, 0], line[:, 1] - line[:, 0]
    long = np.maximum((way * way).sum(axis=1), 1e-18)
    share = np.clip(((point - start) * way).sum(axis=1) / long, 0.0, 1.0)
    away: Floats = np.linalg.norm(point - start - share[:, np.newaxis] * way, axis=1)
    return away


def _cross(one: Floats, other: Floats) -> NDArray[np.bool_]:
    def side(line: Floats, point: Floats) -> Floats:
        way, out = line[:, 1] - line[:, 0], point - line[:, 0]
        turned: Floats = way[:, 0] * out[:, 1] - way[:, 1] * out[:, 0]
        return turned

    return (side(one, other[:, 0]) * side(one, other[:, 1]) < 0) & (
        side(other, one[:, 0]) * side(other, one[:, 1]) < 0
    )
