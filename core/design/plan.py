"""What a stripe order was found by: the part of the document that lets it be found again."""

from typing import Annotated, Literal

from msgspec import Meta

from core.records import Struct

YarnNumber = Annotated[int, Meta(ge=0, le=199)]
PlanKind = Literal["random", "fade", "series"]
PlanShape = Literal["free", "mirror", "turned"]
Series = Literal["fibonacci", "lucas", "primes", "own", "dates"]
SeriesOrder = Literal["given", "shuffled", "opposed"]
DatesAs = Literal["digits", "parts", "between"]


class Share(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """How often a plan may use a yarn; without `most`, as often as it comes."""

    yarn: YarnNumber
    least: Annotated[int, Meta(ge=0, le=2000)] = 0
    most: Annotated[int, Meta(ge=0, le=2000)] | None = None

    def __post_init__(self) -> None:
        if self.most is not None and self.most < self.least:
            raise ValueError(f"at least {self.least} and at most {self.most} exclude each other")


class Barred(Struct, frozen=True, forbid_unknown_fields=True):
    """Two yarns that may not lie side by side."""

    one: YarnNumber
    other: YarnNumber


class Plan(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What a stripe order was found by, so that the same can be found again.

    Which parts matter depends on `kind`. `shares` are the yarns that take part, in the order of
    a fade. `apart` is how many stripes lie at least between two of one yarn. `widths` are the
    rows that a stripe may have, or a series of one's own. `core.stripes.proposals` says what
    comes of it.
    """

    kind: PlanKind = "random"
    seed: Annotated[int, Meta(ge=0, le=4_294_967_295)] = 1
    count: Annotated[int, Meta(ge=1, le=2000)] = 44
    shares: Annotated[tuple[Share, ...], Meta(max_length=200)] = ()
    barred: Annotated[tuple[Barred, ...], Meta(max_length=2000)] = ()
    apart: Annotated[int, Meta(ge=0, le=50)] = 1
    around: bool = False
    shape: PlanShape = "free"
    block: Annotated[int, Meta(ge=2, le=200)] = 4
    widths: Annotated[
        tuple[Annotated[int, Meta(ge=1, le=5000)], ...], Meta(min_length=1, max_length=400)
    ] = (2,)
    series: Series = "fibonacci"
    order: SeriesOrder = "given"
    dates: Annotated[
        tuple[Annotated[str, Meta(max_length=10, pattern=r"\A[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")], ...],
        Meta(max_length=400),
    ] = ()
    dates_as: DatesAs = "digits"
    depth: Annotated[int, Meta(ge=1, le=50)] = 4
    between: Annotated[int, Meta(ge=1, le=2)] = 2
    nearest: bool = True

    @property
    def yarns(self) -> tuple[int, ...]:
        """Every yarn it names."""
        named = [share.yarn for share in self.shares]
        return (*named, *(n for pair in self.barred for n in (pair.one, pair.other)))
