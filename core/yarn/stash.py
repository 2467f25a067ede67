"""A plan within the stash: the longest blanket, or the fairest, that the yarn owned allows.

All stripes of a plan are equally high. A stripe takes its rows and two ends, spare included, so
each colour affords so many; the first stripe takes the foundation chain too, and what edging
takes is kept back. Stripes side by side differ (`core.yarn.spread`). Every number of stripes, every
first colour and, in a mirrored plan, every centre is tried from the greatest down, so no plan of
equal stripes is longer where all stripes take the same yarn; where rows differ, the dearest
stripe counts for all.
"""

from collections.abc import Sequence
from typing import Final, Literal

import numpy as np

from core.design.document import MAX_STITCHES, Design, Reckoning, Stripe, Stripes, total_makes
from core.design.edits import set_size, set_values
from core.errors import DesignError, Stopped
from core.fabric.relax import ShouldStop, never
from core.records import Struct
from core.rows.build import build_rows
from core.stripes.sequence import comes_again, yarn_of_rows
from core.yarn.edging import EdgingUse
from core.yarn.plain import yarn_text
from core.yarn.rows import Floats, row_yarn
from core.yarn.running_out import used_by_row
from core.yarn.spread import Counts, filled, room, spread
from core.yarn.tails import Flags, tails_of

Manner = Literal["order", "longest", "fair"]

MOST_STRIPES: Final = 2000
MOST_ROWS: Final = 5000
MOST_TRIED: Final = 16
"""Colours that are tried as the first and as the centre: those that afford the most stripes."""


class Wish(Struct, frozen=True, kw_only=True):
    """What the plan should be like.

    Attributes:
        manner: The stripes in the order they are in, as long as they go; the most stripes; or
            every colour as often as the others.
        stripe_rows: Rows of a stripe; the present order keeps its own.
        mirrored: Whether it reads the same from both ends; not for the present order.
    """

    manner: Manner = "longest"
    stripe_rows: int = 2
    mirrored: bool = False


class Plan(Struct, frozen=True, kw_only=True):
    """A blanket within the stash.

    Attributes:
        wish: What was wished for.
        stripes: Its stripes.
        rows: Its rows.
        counts: Stripes of each yarn.
        affords: Stripes that each yarn would be enough for, the foundation left out.
        left_m: What is over of each yarn, spare and edging kept back.
        binding: Yarns of which a little more would make it longer.
        possible_rows: Rows that could be worked before a stripe is cut off; as `rows` otherwise.
    """

    wish: Wish
    stripes: Stripes
    rows: int
    counts: tuple[int, ...]
    affords: tuple[int, ...]
    left_m: tuple[float, ...]
    binding: tuple[int, ...]
    possible_rows: int


class _Stash(Struct, frozen=True, kw_only=True):
    """The stash in stripes: what is owned, what a stripe takes, what is kept back."""

    owned_m: Floats
    stripe_m: float
    foundation_m: float
    kept_m: Floats
    kept_row_m: Floats
    stripe_rows: int
    most: int

    def caps(self, stripes: int) -> Counts:
        """Return the stripes each yarn affords in a blanket of so many, the chain left out."""
        return self._in(self.free_m(stripes))

    def with_chain(self, stripes: int) -> Counts:
        """Return the same of each yarn if it takes the foundation chain."""
        return self._in(self.free_m(stripes) - self.foundation_m)

    def free_m(self, stripes: int) -> Floats:
        """Return what of each yarn isn't kept back for edging."""
        return self.owned_m - self.kept_m - self.kept_row_m * stripes * self.stripe_rows

    def _in(self, free_m: Floats) -> Counts:
        return np.maximum(np.floor(free_m / self.stripe_m + 1e-9), 0).astype(np.intp)


def plan_stash(
    design: Design,
    wish: Wish,
    edging: Sequence[EdgingUse] = (),
    *,
    should_stop: ShouldStop = never,
) -> Plan:
    """Return the longest plan of this kind within the yarns owned.

    Raises:
        DesignError: Nothing can be worked from them; it says why.
        Stopped: `should_stop` answered yes.
    """
    if build_rows(design).misfit is not None:
        raise DesignError("The rows don't fit each other yet, so none can be planned: see Checks.")
    if not any(yarn.owned_balls for yarn in design.yarns):
        raise DesignError("No yarn is owned yet: say what you own of each on the yarn page.")
    if wish.manner == "order":
        return _in_order(design, wish, edging)
    return _in_equal_stripes(design, wish, edging, should_stop)


def take(design: Design, plan: Plan) -> Design:
    """Return the design with a plan's stripes and rows."""
    return set_size(set_values(design, stripes=plan.stripes), rows=plan.rows)


# --- equal stripes -----------------------------------------------------------------------


def _in_equal_stripes(
    design: Design, wish: Wish, edging: Sequence[EdgingUse], should_stop: ShouldStop
) -> Plan:
    stash = _stash_of(design, wish, edging)
    found = _best(stash, wish, should_stop)
    if found is None:
        raise DesignError(_why_not(design, stash))
    order, counts = found
    longer = [
        yarn
        for yarn in np.flatnonzero(counts == stash.caps(len(order))).tolist()
        if _is_longer(stash, wish, yarn, len(order), should_stop)
    ]
    used = counts * stash.stripe_m
    used[order[0]] += stash.foundation_m
    left = stash.free_m(len(order)) - used
    sequence = tuple(Stripe(yarn, wish.stripe_rows) for yarn in order[: comes_again(order)])
    rows = len(order) * wish.stripe_rows
    return Plan(
        wish=wish,
        stripes=Stripes(sequence, "repeat"),
        rows=rows,
        counts=tuple(counts.tolist()),
        affords=tuple(stash.caps(0).tolist()),
        left_m=tuple(np.maximum(left, 0.0).tolist()),
        binding=tuple(longer),
        possible_rows=rows,
    )


def _stash_of(design: Design, wish: Wish, edging: Sequence[EdgingUse]) -> _Stash:
    reckoning = design.reckoning or Reckoning()
    with_spare = 1 + reckoning.spare
    lead = 1 if design.wave.setup else 0
    cycle, high = len(design.wave.rows_in_turn), wish.stripe_rows
    rows = build_rows(design, rows=lead + cycle + high)
    by_row = row_yarn(design, rows)
    windows = np.convolve(by_row.row_m, np.ones(high), mode="valid")
    widest = max(int(by_row.stitches.max()), 1)
    kept, kept_row = _kept_back(design, edging)
    return _Stash(
        owned_m=np.array([yarn.owned_balls * yarn.ball_m for yarn in design.yarns]),
        stripe_m=(float(windows.max()) + 2 * reckoning.tail_mm / 1000) * with_spare,
        foundation_m=by_row.foundation_m * with_spare,
        kept_m=kept * with_spare,
        kept_row_m=kept_row * with_spare,
        stripe_rows=high,
        most=min(MOST_STRIPES, min(MOST_ROWS, MAX_STITCHES // widest) // high),
    )


def _kept_back(design: Design, edging: Sequence[EdgingUse]) -> tuple[Floats, Floats]:
    """Return what edging takes of each yarn: whatever the length, and with every row."""
    many = len(design.yarns)
    kept, with_rows = np.zeros(many), np.zeros(many)
    tails_m = 2 * (design.reckoning or Reckoning()).tail_mm / 1000
    for part in edging:
        ends_m = part.length_m
        if part.part == "border":
            row = design.wave.rows_in_turn[-1]
            across = row.makes(design.size.repeats) / total_makes(row.repeat)
            ends_m = min(part.repeat_m * across, part.length_m)
            with_rows[part.yarn] += (part.length_m - ends_m) / design.size.rows
        kept[part.yarn] += ends_m + tails_m
    return kept, with_rows


def _best(
    stash: _Stash, wish: Wish, should_stop: ShouldStop, extra: Counts | None = None
) -> tuple[tuple[int, ...], Counts] | None:
    """Return the longest order with its counts; None if there is none.

    Args:
        stash: The stash.
        wish: What the plan should be like.
        should_stop: Whether to stop.
        extra: Stripes that each yarn is taken to afford beyond what it does.
    """
    more = np.zeros(len(stash.owned_m), dtype=np.intp) if extra is None else extra
    takes_part = stash.owned_m > 0
    if int(takes_part.sum()) < 2:
        return None
    caps = stash.caps(0) + more
    top = _upper_bound(stash, wish, more, takes_part)
    tried = np.argsort(-caps, kind="stable")[:MOST_TRIED].tolist()
    for total in range(top, 0, -1):
        if should_stop():
            raise Stopped
        plain, chained = stash.caps(total) + more, stash.with_chain(total) + more
        for first in tried:
            if not takes_part[first] or chained[first] < 1:
                continue
            now = plain.copy()
            now[first] = chained[first]
            found = _order_of(now, takes_part, wish, total, first, tried)
            if found is not None:
                return found
    return None


def _upper_bound(stash: _Stash, wish: Wish, more: Counts, takes_part: Flags) -> int:
    """Return a number of stripes that no plan exceeds: what edging takes grows with them."""

    def allowed(stripes: int) -> bool:
        caps = (stash.caps(stripes) + more)[takes_part]
        if wish.manner == "fair":
            return stripes <= len(caps) * int(caps.min())
        total = int(caps.sum())
        return stripes <= min(total, 2 * (total - int(caps.max())) + 1)

    low, high = 0, stash.most
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if allowed(middle) else (low, middle - 1)
    return low


def _order_of(
    caps: Counts, takes_part: Flags, wish: Wish, total: int, first: int, centres: Sequence[int]
) -> tuple[tuple[int, ...], Counts] | None:
    """Return an order of `total` stripes from `first` on, if those caps allow one."""
    if wish.manner == "fair":
        return _fair(caps, np.flatnonzero(takes_part).tolist(), wish, total, first)
    many = len(caps)
    if not wish.mirrored:
        limits = room(total - 1, many, before=first, last=None)
        counts = _counted(caps, limits, total, first, None)
        return None if counts is None else (spread(counts, first=first), counts)
    if total % 2 == 0:
        return None
    half = total // 2 + 1
    if half == 1:
        counts = np.zeros(many, dtype=np.intp)
        counts[first] = 1
        return (first,), counts
    for centre in centres:
        half_caps = caps // 2
        half_caps[centre] = (caps[centre] + 1) // 2
        limits = room(half - 1, many, before=first, last=centre)
        counts = _counted(half_caps, limits, half, first, centre)
        if counts is None:
            continue
        way = spread(counts, first=first, last=centre)
        counts = 2 * counts
        counts[centre] -= 1
        return way + way[-2::-1], counts
    return None


def _counted(
    caps: Counts, limits: Counts, total: int, first: int, last: int | None
) -> Counts | None:
    """Return counts for an order from `first` to `last`."""
    limits = limits.copy()
    limits[first] += 1
    least = np.zeros(len(caps), dtype=np.intp)
    least[first] += 1
    if last is not None:
        least[last] += 1
    return filled(caps, limits, total, least=least)


def _fair(
    caps: Counts, yarns: list[int], wish: Wish, total: int, first: int
) -> tuple[tuple[int, ...], Counts] | None:
    """Return a round of all yarns, as often as it goes, from `first` on."""
    many = len(yarns)
    half = total // 2 + 1 if wish.mirrored else total
    if half % many or (wish.mirrored and total % 2 == 0):
        return None
    start = yarns.index(first)
    turn = (*yarns[start:], *yarns[:start])
    way = turn * (half // many)
    order = way + way[-2::-1] if wish.mirrored else way
    counts = np.bincount(order, minlength=len(caps))
    return (order, counts) if (counts <= caps).all() else None


def _is_longer(stash: _Stash, wish: Wish, yarn: int, total: int, should_stop: ShouldStop) -> bool:
    """Return whether a stripe more of one yarn (two in a mirror) would make it longer."""
    extra = np.zeros(len(stash.owned_m), dtype=np.intp)
    extra[yarn] = 2 if wish.mirrored else 1
    found = _best(stash, wish, should_stop, extra)
    return found is not None and len(found[0]) > total


def _why_not(design: Design, stash: _Stash) -> str:
    owned = [number for number, length in enumerate(stash.owned_m) if length > 0]
    rows = f"{stash.stripe_rows} {'row' if stash.stripe_rows == 1 else 'rows'}"
    if len(owned) < 2:
        return (
            f"Only {design.yarns[owned[0]].name} is owned: stripes take two colours. Say what you "
            "own of another, or keep the order as it is."
        )
    best = max(owned, key=lambda number: float(stash.free_m(0)[number]))
    has = yarn_text(max(float(stash.free_m(0)[best]), 0.0), design.units)
    takes, chain = (yarn_text(m, design.units) for m in (stash.stripe_m, stash.foundation_m))
    return (
        f"A stripe of {rows} takes {takes} with its tails and spare, the chain {chain}; the most "
        f"there is of one colour is {has} of {design.yarns[best].name}. Work lower stripes or "
        "fewer repeats, or own more."
    )


# --- the order as it is ------------------------------------------------------------------


def _in_order(design: Design, wish: Wish, edging: Sequence[EdgingUse]) -> Plan:
    """Return the present order, as far as it goes to the end of a stripe."""
    widest = max(row.makes(design.size.repeats) for row in design.wave.rows_in_turn)
    limit = min(MOST_ROWS, MAX_STITCHES // max(widest, 1))
    rows = build_rows(design, rows=limit)
    by_row, of_row = row_yarn(design, rows), yarn_of_rows(design.stripes, rows.drawn_rows)
    tails = tails_of(design, of_row)
    reckoning = design.reckoning or Reckoning()
    kept, kept_row = _kept_back(design, edging)
    number = np.arange(1, len(of_row) + 1)
    open_end = np.ones(len(of_row), dtype=bool)
    open_end[tails.last[~tails.goes_on] - 1] = False
    wanted = np.empty((len(of_row), len(design.yarns)))
    for yarn in range(len(design.yarns)):
        used = used_by_row(design, by_row, tails, yarn, rate=1.0)
        used = used + np.where(open_end & (of_row == yarn), reckoning.tail_mm / 1000, 0.0)
        total = used + kept[yarn] + kept_row[yarn] * number
        wanted[:, yarn] = np.maximum.accumulate(total) * (1 + reckoning.spare)
    owned = np.array([yarn.owned_balls * yarn.ball_m for yarn in design.yarns])
    used_at_all = np.bincount(of_row, minlength=len(owned)) > 0
    short = (wanted > owned + 1e-9) & used_at_all
    fails = np.flatnonzero(short.any(axis=1))
    possible = int(fails[0]) if len(fails) else len(of_row)
    whole = tails.last[tails.last <= possible]
    if possible == 0:
        yarn = int(np.flatnonzero(short[0])[0])
        raise DesignError(_no_first_row(design, yarn, wanted[0, yarn], owned[yarn]))
    n_rows = int(whole[-1]) if len(whole) else possible
    binding = np.flatnonzero(short[possible]).tolist() if len(fails) else []
    counts = np.bincount(tails.yarn[tails.first <= n_rows], minlength=len(owned))
    return Plan(
        wish=wish,
        stripes=design.stripes,
        rows=n_rows,
        counts=tuple(counts.tolist()),
        affords=tuple(counts.tolist()),
        left_m=tuple(np.maximum(owned - wanted[n_rows - 1], 0.0).tolist()),
        binding=tuple(binding),
        possible_rows=possible,
    )


def _no_first_row(design: Design, yarn: int, wanted_m: float, owned_m: float) -> str:
    wanted, owned = (yarn_text(m, design.units) for m in (wanted_m, owned_m))
    return (
        f"Not even row 1 can be worked: chain, row, tails and edging take {wanted} of "
        f"{design.yarns[yarn].name} and {owned} is owned. Begin with another colour, or own more."
    )
