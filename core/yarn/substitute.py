"""Another yarn in place of one: balls by length, and whether it is as thick.

Yarn goes by length: a ball of the same weight may hold half as much. How thick a yarn is shows in
the metres of 100 g, as long as both are of much the same fibre.
"""

import math
from typing import Final, Literal

from core.design.document import Yarn
from core.errors import DesignError
from core.records import Struct

Thickness = Literal["same", "near", "other"]

SAME_THICKNESS: Final = 0.10
NEAR_THICKNESS: Final = 0.25
"""Shares by which the metres of 100 g may differ (our own choice): up to the first it is taken as
as thick, up to the second it wants a swatch, beyond it is another thickness."""


class Substitute(Struct, frozen=True, kw_only=True):
    """Another yarn doing the same.

    Attributes:
        balls: Whole balls of it to have.
        mass_g: Weight of what is needed.
        m_per_100g: Its metres of 100 g.
        was_m_per_100g: Those of the yarn it is to replace.
        finer: By what share it has more metres of 100 g; negative if it is thicker.
        thickness: Whether that is as thick.
        cost: Price of the balls; None without a price.
    """

    balls: int
    mass_g: float
    m_per_100g: float
    was_m_per_100g: float
    finer: float
    thickness: Thickness
    cost: float | None


def substitute(
    yarn: Yarn, length_m: float, *, ball_m: float, ball_g: float, price: float | None = None
) -> Substitute:
    """Return what balls of `ball_m` and `ball_g` come to in place of a yarn's.

    Raises:
        DesignError: Such a ball holds nothing.
    """
    if not (ball_m > 0 and ball_g > 0):
        raise DesignError("A ball needs a length and a weight: both stand on its band.")
    per, was = 100 * ball_m / ball_g, 100 * yarn.ball_m / yarn.ball_g
    off = abs(math.log(per / was))
    near = "near" if off <= math.log1p(NEAR_THICKNESS) + 1e-9 else "other"
    balls = math.ceil(length_m / ball_m - 1e-9)
    return Substitute(
        balls=balls,
        mass_g=length_m * ball_g / ball_m,
        m_per_100g=per,
        was_m_per_100g=was,
        finer=per / was - 1.0,
        thickness="same" if off <= math.log1p(SAME_THICKNESS) + 1e-9 else near,  # type: ignore[arg-type]
        cost=None if price is None else balls * price,
    )
