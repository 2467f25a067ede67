"""Fill rows: which stitch into each stitch of an end, so that it comes out straight.

Looking at the gaps alone is not enough: stitches fan out over a crest and crowd in a dip, and
pull the last rows with them. So the heights that would straighten the end are found by
settling it with stitches of any height, the nearest stitches are taken, and a few neighbours
of that choice are settled too; the one with the smallest bump is proposed. A straight end is
never promised: hands differ, and stitches come in steps.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from core.craft.stitches import WorkedStitch
from core.design.document import EndFill, FillRow
from core.edging.levels import (
    STEPS,
    Levels,
    levels_of,
    mirror_axis,
    nearest_levels,
    step_heights_mm,
    stitches_of,
)
from core.edging.outline import Outline
from core.edging.piece import EndNet, FilledPiece, Piece, with_repeats
from core.fabric.relax import ShouldStop, never
from core.fabric.springs import Floats
from core.records import Struct, replace

STRAIGHT: Final = 0.3
"""Stitch widths of gap up to which an end is straight enough to be left as it is."""

MORE_ROWS: Final = 0.75
"""Stitch widths of bump from which another fill row is worth having."""

TOO_DEEP: Final = 5.0
"""Stitch widths of bump from which filling a wave is hopeless."""

_WIDEST_SEARCH: Final = 60  # stitches of a repeat up to which there is time to look for better
_OUT_OF_REACH: Final = 3.0  # stitch widths of gap beyond the tallest stitch: nothing to refine
_TRIALS: Final = 10  # other choices settled from each start while looking for a better one
_STARTS: Final = (0.0, -0.35)  # stitch widths that the starts differ from the wanted heights
_LOWER_IS_BETTER: Final = 0.05  # share of a stitch's height that counts like bump
_WIDEST_CORNERS: Final = 300  # stitches of a piece whose corners are settled
_HELD_BACK: Final = 0.7  # share of a gap that heights follow in one round
_ROUNDS: Final = 4


class Parts(Struct, frozen=True, kw_only=True):
    """One stitch for every stitch of an end, from the fabric's left edge.

    Attributes:
        left: Before the first repeat.
        repeat: In every repeat.
        right: After the last repeat.
    """

    left: tuple[WorkedStitch, ...]
    repeat: tuple[WorkedStitch, ...]
    right: tuple[WorkedStitch, ...]

    def along(self, repeats: int) -> tuple[WorkedStitch, ...]:
        """Return the stitches of the whole row."""
        return self.left + self.repeat * repeats + self.right

    def as_row(self, *, reversed: bool) -> FillRow:
        """Return them in the working order of the row they lie on."""
        if not reversed:
            return FillRow(self.left, self.repeat, self.right)
        return FillRow(self.right[::-1], self.repeat[::-1], self.left[::-1])


class Fill(Struct, frozen=True, eq=False, kw_only=True):
    """The fill rows of one end and what they come to.

    Attributes:
        outline: The end before.
        rows: The fill rows, from within outwards.
        tops_mm: Tops of every fill row across the blanket, each of shape (n, 2).
        before_mm: Dip to crest of the end as it is, over a repeat.
        bump_mm: What is left of it after the fill rows, over a repeat.
        corner_mm: The same over the whole piece, corners included.
        crowding: Width of a repeat over that of its stitches in plain fabric.
        settled: Whether the fill was settled; otherwise the bump is only reckoned from heights.
        own: Whether the stitches were chosen by hand.
        own_misfits: Whether stitches chosen by hand were left out: the row has others now.
    """

    outline: Outline
    rows: tuple[Parts, ...]
    tops_mm: tuple[Floats, ...]
    before_mm: float
    bump_mm: float
    corner_mm: float
    crowding: float
    settled: bool
    own: bool
    own_misfits: bool


def own_parts(wish: EndFill, outline: Outline) -> tuple[Parts, ...] | None:
    """Return the stitches chosen by hand, None if there are none or they don't fit the end."""
    found = []
    for row in wish.own:
        given = (row.start, row.repeat, row.end)
        if outline.reversed:
            given = (row.end[::-1], row.repeat[::-1], row.start[::-1])
        parts = Parts(left=given[0], repeat=given[1], right=given[2])
        if tuple(map(len, given)) != (outline.left, outline.width, outline.right):
            return None
        found.append(parts)
    return tuple(found) or None


def sketch_fill(wish: EndFill, outline: Outline, piece: Piece) -> Fill:
    """Return the fill reckoned from gaps and heights alone: quick, for the first moment."""
    own = own_parts(wish, outline)
    heights = step_heights_mm(piece.size)
    gaps = piece.outline.gaps_mm()
    rows: list[Parts] = []
    tops = [piece.outline.tops_mm]
    for number in range(len(own) if own else wish.n_rows):
        wanted = gaps + heights[_lowest(number)]
        parts = own[number] if own else _parts_nearest(wanted, piece, number)
        made = heights[levels_of(parts.along(piece.outline.repeats))]
        tops.append(tops[-1] + outline.outward * np.stack([np.zeros(len(made)), made], axis=1))
        out = outline.outward * tops[-1][:, 1]
        gaps = out[piece.outline.middle].max() - out
        rows.append(parts)
    return _filled(wish, outline, piece, rows, tops[1:], settled=False, own=own is not None)


def settle_fill(
    wish: EndFill, outline: Outline, piece: Piece, *, should_stop: ShouldStop = never
) -> Fill:
    """Return the fill with the end settled under it.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    own = own_parts(wish, outline)
    if len(piece.outline.tops_mm) > _WIDEST_CORNERS:
        return sketch_fill(wish, outline, piece)
    rows: list[Parts] = list(own or ())
    if own is None:
        for number in range(wish.n_rows):
            rows.append(_proposed(piece, rows, number, should_stop))
    tops = list(settled_rows(piece, rows, should_stop=should_stop)[1:])
    return _filled(wish, outline, piece, rows, tops, settled=True, own=own is not None)


def settled_rows(
    piece: Piece, rows: Sequence[Parts], *, should_stop: ShouldStop = never
) -> tuple[Floats, ...]:
    """Return the tops of a whole piece's last row and of the fill rows on it, settled.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    heights = step_heights_mm(piece.size)
    repeat, whole = EndNet(piece, whole=False), EndNet(piece, whole=True)
    inner = [heights[levels_of(parts.repeat)] for parts in rows]
    every = [heights[levels_of(parts.along(piece.outline.repeats))] for parts in rows]
    of_repeat = repeat.settled(inner, should_stop=should_stop)
    start = whole.start_like(every, repeat, of_repeat)
    return whole.settled(every, start, should_stop=should_stop).rows_mm


def _filled(
    wish: EndFill,
    outline: Outline,
    piece: Piece,
    rows: list[Parts],
    tops: list[Floats],
    *,
    settled: bool,
    own: bool,
) -> Fill:
    out = outline.outward * tops[-1][:, 1]
    small = piece.outline
    plain_mm = small.width * piece.size.width_mm
    across = [
        with_repeats(row, small.left, small.width, small.repeats, outline.repeats, small.repeat_mm)
        for row in tops
    ]
    gaps = outline.gaps_mm()[outline.middle]
    return Fill(
        outline=outline,
        rows=tuple(rows),
        tops_mm=tuple(across),
        before_mm=float(gaps.max()),
        bump_mm=float(np.ptp(out[small.middle])),
        corner_mm=float(np.ptp(out)),
        crowding=small.repeat_mm / plain_mm,
        settled=settled,
        own=own,
        own_misfits=bool(wish.own) and not own,
    )


def _lowest(number: int) -> int:
    """Return the lowest step of a fill row: later ones are sc at least, to show above it."""
    return 0 if number == 0 else 1


def _parts_nearest(wanted_mm: Floats, piece: Piece, number: int) -> Parts:
    """Return the stitches nearest to some heights, the edges apart from the repeat."""
    outline, lowest = piece.outline, _lowest(number)
    end = outline.left + outline.repeats * outline.width
    return Parts(
        left=stitches_of(
            nearest_levels(wanted_mm[: outline.left], piece.size, lowest=lowest, around=False)
        ),
        repeat=stitches_of(
            nearest_levels(wanted_mm[outline.middle], piece.size, lowest=lowest, axis=_axis(piece))
        ),
        right=stitches_of(nearest_levels(wanted_mm[end:], piece.size, lowest=lowest, around=False)),
    )


# --- the proposal ------------------------------------------------------------------------


def _proposed(piece: Piece, below: list[Parts], number: int, should_stop: ShouldStop) -> Parts:
    """Return the stitches of one more fill row onto those below."""
    heights = step_heights_mm(piece.size)
    lowest = heights[_lowest(number)]
    end = EndNet(piece, whole=False)
    under = [heights[levels_of(parts.repeat)] for parts in below]
    before = end.settled(under, should_stop=should_stop).rows_mm[-1]
    out = piece.outline.outward * before[:, 1]
    gaps = out.max() - out
    reach = heights[-1] - lowest + _OUT_OF_REACH * piece.size.width_mm
    if gaps.max() > reach or len(gaps) > _WIDEST_SEARCH:
        if not below:
            return _parts_nearest(piece.outline.gaps_mm() + lowest, piece, number)
        wanted = gaps + lowest
        levels = nearest_levels(wanted, piece.size, lowest=_lowest(number), axis=_axis(piece))
        return _with_corners(piece, below, stitches_of(levels), before, wanted, number, should_stop)
    wanted = _straightening(end, piece, under, before, lowest, should_stop)
    search = _Search(end, piece, under, _lowest(number), should_stop)
    repeat = stitches_of(search.best(wanted))
    return _with_corners(piece, below, repeat, before, wanted, number, should_stop)


def _axis(piece: Piece) -> int | None:
    """Return the axis that the end's outline is the same on both sides of."""
    outline = piece.outline
    return mirror_axis(outline.gaps_mm()[outline.middle] / piece.size.width_mm)


def _straightening(
    end: EndNet,
    piece: Piece,
    under: list[Floats],
    before: Floats,
    lowest: float,
    should_stop: ShouldStop,
) -> Floats:
    """Return the heights that would bring the end out straight, the least being `lowest`."""
    outward = piece.outline.outward
    out = outward * before[:, 1]
    wanted: Floats = lowest + out.max() - out
    rest: FilledPiece | None = None
    for _ in range(_ROUNDS):
        start = None if rest is None else rest.tops_mm
        rest = end.settled([*under, wanted], start, should_stop=should_stop)
        out = outward * rest.rows_mm[-1][:, 1]
        wanted = wanted - _HELD_BACK * (out - out.mean())
        wanted = np.maximum(wanted + lowest - wanted.min(), lowest)
    axis = _axis(piece)
    if axis is not None:  # what is left of the way is not the same on both sides
        wanted = 0.5 * (wanted + wanted[(axis - np.arange(len(wanted))) % len(wanted)])
    return wanted


class _Search:
    """Looks for the stitches of a repeat that leave the smallest bump."""

    def __init__(
        self,
        end: EndNet,
        piece: Piece,
        under: list[Floats],
        lowest: int,
        should_stop: ShouldStop,
    ) -> None:
        self._end = end
        self._piece = piece
        self._under = under
        self._lowest = lowest
        self._should_stop = should_stop
        self._heights = step_heights_mm(piece.size)
        self._axis = _axis(piece)
        self._known: dict[tuple[int, ...], tuple[float, Floats]] = {}

    def best(self, wanted: Floats) -> Levels:
        """Return the best choice found from the steps nearest to the wanted heights."""
        size = self._piece.size
        starts = {
            tuple(
                nearest_levels(
                    wanted + off * size.width_mm, size, lowest=self._lowest, axis=self._axis
                ).tolist()
            )
            for off in _STARTS
        }
        for start in sorted(starts):
            self._improve(np.array(start))
        return np.array(min(self._known, key=lambda levels: (self._known[levels][0], levels)))

    def _improve(self, levels: Levels) -> None:
        now, out = self._bump(levels)
        for _ in range(_TRIALS):
            changed = self._next(levels, out)
            if changed is None:
                return
            found, found_out = self._bump(changed)
            if found < now:
                levels, now, out = changed, found, found_out

    def _bump(self, levels: Levels) -> tuple[float, Floats]:
        """Return how bad a choice is, and how far each stitch stands out."""
        key = tuple(levels.tolist())
        if key not in self._known:
            made = self._heights[levels]
            rest = self._end.settled([*self._under, made], should_stop=self._should_stop)
            out = self._piece.outline.outward * rest.rows_mm[-1][:, 1]
            bad = np.ptp(out) + out.std() + _LOWER_IS_BETTER * made.mean()
            self._known[key] = round(float(bad) / self._piece.size.width_mm, 4), out - out.mean()
        return self._known[key]

    def _next(self, levels: Levels, out: Floats) -> Levels | None:
        """Return the choice with one stitch (and its mirror image) changed that promises most."""
        for place in np.argsort(-np.abs(out), kind="stable"):
            changed = levels.copy()
            pair = [place] if self._axis is None else [place, (self._axis - place) % len(levels)]
            changed[pair] = levels[place] + (-1 if out[place] > 0 else 1)
            apart = np.abs(np.diff(changed, append=changed[:1])).max()
            inside = self._lowest <= changed.min() and changed.max() < len(STEPS)
            if inside and apart <= 1 and tuple(changed.tolist()) not in self._known:
                return changed
        return None


def _with_corners(
    piece: Piece,
    below: list[Parts],
    repeat: tuple[WorkedStitch, ...],
    before: Floats,
    wanted: Floats,
    number: int,
    should_stop: ShouldStop,
) -> Parts:
    """Return the repeat with the half fills at both corners that leave the smaller bump.

    Either the repeat goes on to the side edge, or the corner's own gaps are filled with the
    heights that gaps of that size got in the repeat.
    """
    outline, n = piece.outline, len(repeat)
    carried = Parts(
        left=tuple(repeat[place % n] for place in range(-outline.left, 0)),
        repeat=repeat,
        right=tuple(repeat[place % n] for place in range(outline.right)),
    )
    if not outline.left and not outline.right:
        return carried
    last = outline.tops_mm
    if below:
        last = settled_rows(piece, below, should_stop=should_stop)[-1]
    out = outline.outward * last[:, 1]
    gaps = out[outline.middle].max() - out
    in_repeat = outline.outward * before[:, 1]
    in_repeat = in_repeat.max() - in_repeat
    order = np.argsort(in_repeat, kind="stable")
    like = np.interp(gaps, in_repeat[order], np.maximum.accumulate(wanted[order]))
    like += np.maximum(gaps - in_repeat.max(), 0.0)
    cut = _parts_nearest(like, piece, number)
    fitted = replace(carried, left=cut.left, right=cut.right)

    def bumps(parts: Parts) -> tuple[float, float]:
        tops = settled_rows(piece, [*below, parts], should_stop=should_stop)[-1]
        out = outline.outward * tops[:, 1]
        level = out[outline.middle]
        off = np.maximum(level.min() - out, out - level.max()).clip(min=0.0)
        end = outline.left + outline.repeats * n
        return float(off[: outline.left].sum()), float(off[end:].sum())

    if fitted == carried:
        return carried
    as_carried, as_fitted = bumps(carried), bumps(fitted)
    slack = 0.3 * piece.size.width_mm  # the repeat's own stitches are easier to follow
    return replace(
        carried,
        left=fitted.left if as_fitted[0] < as_carried[0] - slack else carried.left,
        right=fitted.right if as_fitted[1] < as_carried[1] - slack else carried.right,
    )
