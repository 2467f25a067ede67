"""What to have of each yarn, as a written pattern tells it."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.design.document import Design, Reckoning
from core.yarn.more import More
from core.yarn.use import YarnUse


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """What to have of one yarn.

    Attributes:
        yarn: Number of the yarn.
        balls: Whole balls.
        metres: Length of all lines together.
        grams: Its weight by the ball band.
        low_m: Least that may be needed, spare left out.
        high_m: Most that may be needed, spare left out.
        body_m: Length in the rows.
        foundation_m: Length in the foundation chain.
        fill_m: Length in fill rows.
        border_m: Length in the border.
        tails_m: Length in tails, and carried up the sides.
        spare_m: Length beyond that.
        spare: The share it is.
        repeat_m: What one more repeat takes.
        stripe_rows: Rows of its commonest stripe.
        stripe_m: What one more such stripe takes.
        rows: Rows worked in it.
    """

    yarn: int
    balls: int
    metres: float
    grams: float
    low_m: float
    high_m: float
    body_m: float
    foundation_m: float
    fill_m: float
    border_m: float
    tails_m: float
    spare_m: float
    spare: float
    repeat_m: float
    stripe_rows: int
    stripe_m: float
    rows: int

    @property
    def short(self) -> tuple[int, float]:
        """Balls and metres, which a list of materials says."""
        return self.balls, self.metres


def amounts_of(design: Design, uses: Sequence[YarnUse], more: Sequence[More]) -> dict[int, Amount]:
    """Return what to have of every yarn, by its number."""
    spare = (design.reckoning or Reckoning()).spare
    return {
        use.yarn: Amount(
            yarn=use.yarn,
            balls=use.balls,
            metres=use.length_m,
            grams=use.mass_g,
            low_m=use.low_m,
            high_m=use.high_m,
            body_m=use.body_m,
            foundation_m=use.foundation_m,
            fill_m=use.fill_m,
            border_m=use.border_m,
            tails_m=use.tails_m + use.carried_m,
            spare_m=use.spare_m,
            spare=spare,
            repeat_m=extra.repeat_m,
            stripe_rows=extra.stripe_rows,
            stripe_m=extra.stripe_m,
            rows=use.rows,
        )
        for use, extra in zip(uses, more, strict=True)
    }
