"""What is left to buy once the balls already owned are counted, and the sums of all yarns."""

import math
from collections.abc import Sequence

from core.design.document import Yarn
from core.records import Struct
from core.yarn.use import YarnUse


class YarnTotals(Struct, frozen=True, kw_only=True):
    """All yarns of a design together.

    Attributes:
        length_m: Length to have, spare and tails included.
        mass_g: Its weight by the ball bands.
        balls: Whole balls to have.
        to_buy: Whole balls to buy.
        cost: Price of the balls to buy; None if none of them has a price.
        unpriced: Yarns to be bought that have no price, so that `cost` leaves them out.
    """

    length_m: float
    mass_g: float
    balls: int
    to_buy: int
    cost: float | None
    unpriced: int


def balls_to_buy(use: YarnUse, yarn: Yarn) -> int:
    """Return the whole balls to buy beyond those owned, part balls counted as what they hold."""
    return max(math.ceil(use.length_m / yarn.ball_m - yarn.owned_balls - 1e-9), 0)


def yarn_totals(uses: Sequence[YarnUse], yarns: Sequence[Yarn]) -> YarnTotals:
    """Return the sums over all yarns; both in the design's order."""
    to_buy = [balls_to_buy(use, yarn) for use, yarn in zip(uses, yarns, strict=True)]
    wanted = [(n, yarn.price) for n, yarn in zip(to_buy, yarns, strict=True) if n]
    prices = [n * price for n, price in wanted if price is not None]
    return YarnTotals(
        length_m=sum(use.length_m for use in uses),
        mass_g=sum(use.mass_g for use in uses),
        balls=sum(use.balls for use in uses),
        to_buy=sum(to_buy),
        cost=sum(prices) if prices else None,
        unpriced=len(wanted) - len(prices),
    )
