"""Where a yarn runs out: against what is owned, and by the ball on the scales.

The yarn of a colour is used up in the order it is worked: its chain, its rows with the end they
are joined with, the end they are cut with, and last its fill rows and border. The spare isn't
counted: it is there to be used.
"""

from typing import Literal

import numpy as np

from core.design.document import Design, Reckoning, Yarn
from core.errors import DesignError
from core.records import Struct
from core.stripes.sequence import Indices
from core.yarn.plain import yarn_band
from core.yarn.rows import Floats, RowYarn
from core.yarn.tails import Tails
from core.yarn.use import YarnUse

Verdict = Literal["enough", "likely", "risky", "no", "done"]
_EPS = 1e-9


class Shortage(Struct, frozen=True, kw_only=True):
    """Where the yarn that is owned fails.

    Attributes:
        yarn: The yarn.
        row: First row it isn't enough for, by the figures as reckoned; None if the rows are done
            and only fill rows or border are short, or if it is enough.
        early_row: The same if the yarn is used as fast as it may be.
        stripe: Number of the stripe `row` lies in, from 1.
        short_m: What is missing in all, spare left out; 0 if it is enough.
    """

    yarn: int
    row: int | None
    early_row: int | None
    stripe: int | None
    short_m: float


class Meter(Struct, frozen=True, kw_only=True):
    """How far the ball on the scales goes.

    Attributes:
        left_m: Yarn on it.
        per_row_m: Yarn in the next row in it; 0 if there is none.
        rows: Rows in its colour that it will finish, as reckoned.
        rows_sure: Rows it finishes even if the yarn is used as fast as it may be.
        rows_best: Rows it finishes if the yarn is used as slowly as it may be.
        last_row: Number of the last row it will finish; None if none.
        stripe_rows: Rows left in the stripe it is wanted for next, that stripe's end included.
        stripe_last: The last row of that stripe.
        next_row: The next row in its colour; None if there is none.
        over_m: Yarn over at the end of that stripe, as reckoned; negative if it is short.
        rows_wanted: Rows still to be worked in its colour.
        verdict: Whether it will finish that stripe.
    """

    left_m: float
    per_row_m: float
    rows: int
    rows_sure: int
    rows_best: int
    last_row: int | None
    stripe_rows: int
    stripe_last: int | None
    next_row: int | None
    over_m: float
    rows_wanted: int
    verdict: Verdict


def used_by_row(design: Design, by_row: RowYarn, tails: Tails, yarn: int, *, rate: float) -> Floats:
    """Return what a yarn has used up once each row is done, shape (rows,), ends included.

    Args:
        design: The design.
        by_row: What each row takes.
        tails: The pieces of yarn.
        yarn: The yarn.
        rate: How fast worked yarn is used, 1 as reckoned.
    """
    mine = tails.yarn == yarn
    of_row = np.repeat(mine, tails.last - tails.first + 1)
    taken = np.where(of_row, rate * by_row.row_m, 0.0)
    tail_m = (design.reckoning or Reckoning()).tail_mm / 1000
    joined, carried = mine & ~tails.carried, mine & tails.carried
    taken[tails.first[joined] - 1] += tail_m
    taken[tails.first[carried] - 1] += tails.gaps[carried] * design.gauge.row_height_mm / 1000
    taken[tails.last[mine & ~tails.goes_on] - 1] += tail_m
    if len(mine) and mine[0]:
        taken[0] += rate * by_row.foundation_m
    return np.cumsum(taken)


def shortage(
    design: Design, by_row: RowYarn, tails: Tails, of_row: Indices, use: YarnUse
) -> Shortage:
    """Return where the balls owned of a yarn fail."""
    yarn = design.yarns[use.yarn]
    owned_m = yarn.owned_balls * yarn.ball_m
    mine = of_row == use.yarn
    found: list[int | None] = []
    for rate in (1.0, yarn_band(design).high):
        used = used_by_row(design, by_row, tails, use.yarn, rate=rate)
        short = np.flatnonzero((used > owned_m + _EPS) & mine)
        found.append(int(short[0]) + 1 if len(short) else None)
    row, early = found
    stripe = None if row is None else int(np.searchsorted(tails.first, row, side="right"))
    return Shortage(
        yarn=use.yarn,
        row=row,
        early_row=early,
        stripe=stripe,
        short_m=max(use.needed_m - owned_m, 0.0),
    )


def ball_left(design: Design, number: int, grams: float) -> float:
    """Return the metres on a ball that weighs so much.

    Raises:
        DesignError: It weighs more than a full ball, or less than nothing.
    """
    yarn = design.yarns[number]
    if grams < 0:
        raise DesignError("A ball can't weigh less than nothing: set the scales to 0 first.")
    if grams > yarn.ball_g * (1 + _EPS):
        raise DesignError(
            f"{grams:g} g is more than a ball of {yarn.name} holds ({yarn.ball_g:g} g): weigh only "
            "the ball in work, without its core or bowl."
        )
    return metres(yarn, grams)


def metres(yarn: Yarn, grams: float) -> float:
    """Return the length of so many grams, by the ball band."""
    return grams * yarn.ball_m / yarn.ball_g


def meter(
    design: Design,
    by_row: RowYarn,
    tails: Tails,
    of_row: Indices,
    *,
    yarn: int,
    grams: float,
    after: int,
) -> Meter:
    """Return how far the ball goes that weighed `grams` once `after` rows were done.

    A tail is kept back for the end of every stripe and used at the start of each new one.

    Raises:
        DesignError: A ball can't weigh that, or there are not so many rows.
    """
    left_m = ball_left(design, yarn, grams)
    n_rows = len(of_row)
    if not 0 <= after <= n_rows:
        raise DesignError(f"The blanket has {n_rows} rows: say after which of them you weighed.")
    ahead = np.flatnonzero(of_row[after:] == yarn) + after  # from 0
    if not len(ahead):
        return _done(left_m)
    band = yarn_band(design)
    counts = []
    for rate in (1.0, band.high, band.low):
        wanted = _wanted(design, by_row, tails, yarn, ahead, after, rate)
        counts.append(int(np.searchsorted(wanted, left_m + _EPS, side="right")))
    rows, sure, best = counts
    piece = int(np.searchsorted(tails.first, ahead[0] + 1, side="right")) - 1
    stripe_last = int(tails.last[piece])
    stripe_rows = stripe_last - int(ahead[0])
    wanted = _wanted(design, by_row, tails, yarn, ahead, after, 1.0)
    if sure >= stripe_rows:
        verdict: Verdict = "enough"
    elif rows >= stripe_rows:
        verdict = "likely"
    else:
        verdict = "risky" if best >= stripe_rows else "no"
    return Meter(
        left_m=left_m,
        per_row_m=float(by_row.row_m[ahead[0]]),
        rows=rows,
        rows_sure=sure,
        rows_best=best,
        last_row=int(ahead[rows - 1]) + 1 if rows else None,
        stripe_rows=stripe_rows,
        stripe_last=stripe_last,
        next_row=int(ahead[0]) + 1,
        over_m=left_m - float(wanted[stripe_rows - 1]),
        rows_wanted=len(ahead),
        verdict=verdict,
    )


def _wanted(
    design: Design,
    by_row: RowYarn,
    tails: Tails,
    yarn: int,
    ahead: Indices,
    after: int,
    rate: float,
) -> Floats:
    """Return what finishing each row ahead takes, the end it is then cut with included."""
    used = used_by_row(design, by_row, tails, yarn, rate=rate)
    before = float(used[after - 1]) if after else 0.0
    tail_m = (design.reckoning or Reckoning()).tail_mm / 1000
    cut = np.isin(ahead + 1, tails.last[~tails.goes_on])  # its tail is in there already
    return np.maximum.accumulate(used[ahead] - before + np.where(cut, 0.0, tail_m))


def _done(left_m: float) -> Meter:
    return Meter(
        left_m=left_m,
        per_row_m=0.0,
        rows=0,
        rows_sure=0,
        rows_best=0,
        last_row=None,
        stripe_rows=0,
        stripe_last=None,
        next_row=None,
        over_m=left_m,
        rows_wanted=0,
        verdict="done",
    )
