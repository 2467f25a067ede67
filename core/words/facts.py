"""What was measured and counted for a pattern, handed to its writers."""

from collections.abc import Mapping
from typing import Literal, NamedTuple

from core.records import Struct, field

CautionKey = Literal[
    "infant",
    "holes",
    "stretched",
    "ends",
    "weight",
    "border",
    "animal",
    "synthetic",
    "plant",
    "hairs",
]


class Caution(Struct, frozen=True):
    """A caution that a blanket calls for.

    Attributes:
        key: Which.
        where: What it is about, as in a finding.
        yarns: Names of the yarns it speaks of, if it does.
    """

    key: CautionKey
    where: str
    yarns: str = ""


class Amount(NamedTuple):
    """What to have of a yarn.

    Attributes:
        balls: Whole balls.
        metres: Length with tails and spare.
        grams: Weight of that length; None if it isn't known.
        spare_m: What of the length is spare; None if it isn't known.
    """

    balls: int
    metres: float
    grams: float | None = None
    spare_m: float | None = None


class Facts(Struct, frozen=True, kw_only=True):
    """Measures of one blanket, as far as they are known.

    Attributes:
        width_mm: Finished width without border, after washing if a change by it is known.
        length_mm: Finished length without fill rows and border.
        is_washed: Whether those are after washing.
        wider_mm: What the border adds to the width.
        longer_mm: What fill rows and border add to the length.
        has_fill: Whether there are fill rows.
        has_border: Whether there is a border.
        repeat_mm: Width of a repeat as worked, peak to peak; None without a steady state.
        rise_mm: How far a row lifts the wave as worked.
        washed_repeat_mm: The repeat after washing, if that is known.
        washed_rise_mm: The rise after washing, if that is known.
        tails: Yarn ends to weave in; 0 if they aren't counted.
        carried: Whether every stripe has an even number of rows, so that yarns come back to
            the same edge (stellandlulu, Simply Crochet 122).
        cautions: The cautions that the blanket calls for.
        amounts: What to have of each yarn, by its number.
    """

    width_mm: float | None = None
    length_mm: float | None = None
    is_washed: bool = False
    wider_mm: float = 0.0
    longer_mm: float = 0.0
    has_fill: bool = False
    has_border: bool = False
    repeat_mm: float | None = None
    rise_mm: float | None = None
    washed_repeat_mm: float | None = None
    washed_rise_mm: float | None = None
    tails: int = 0
    carried: bool = False
    cautions: tuple[Caution, ...] = ()
    amounts: Mapping[int, Amount] = field(default_factory=dict)

    @property
    def full_width_mm(self) -> float:
        """The width with the border."""
        return (self.width_mm or 0.0) + self.wider_mm

    @property
    def full_length_mm(self) -> float:
        """The length with fill rows and border."""
        return (self.length_mm or 0.0) + self.longer_mm

    @property
    def finished_repeat_mm(self) -> float | None:
        """A repeat as the finished width counts it."""
        return self.repeat_mm if self.washed_repeat_mm is None else self.washed_repeat_mm


NO_FACTS = Facts()
