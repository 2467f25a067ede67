"""The design document: what the user decided, and nothing that is computed.

A `Design` is an immutable value. Editing makes a new one (`core.design.edits`), undo goes
back to an old one. Lengths end in `_mm`; a number without a suffix is a count. Items stand
in working order: on a right-hander's right-side row, from the right edge to the left.

The classes are msgspec structs: frozen, comparable, and read from untrusted data with every
bound below enforced (`core.design.validation`). Building one in Python checks only what
`__post_init__` checks, so edits end in `validation.checked`.
"""

from typing import Annotated, Final, Literal

from msgspec import Meta

from core.craft.stitches import CATALOGUE, Terms, WorkedStitch
from core.design.plan import Plan, YarnNumber
from core.design.signs import LINES, PLAIN
from core.records import Struct

MAX_ROW_STITCHES: Final = 4_000
MAX_STITCHES: Final = 1_000_000
MAX_SIZES: Final = 8
MAX_YARNS: Final = 200
MOST_STRIPES: Final = 2000
MOST_BALLS: Final = 10_000
THICKEST: Final = 7
SHAPE_RANGE: Final = 4.0
"""How many times taller or flatter than its usual shape a stitch may be (our own bound)."""

Title = Annotated[str, Meta(max_length=200, pattern=PLAIN)]
Notes = Annotated[str, Meta(max_length=20_000, pattern=LINES)]
YarnName = Annotated[str, Meta(min_length=1, max_length=80, pattern=PLAIN)]
SizeName = Annotated[str, Meta(min_length=1, max_length=40, pattern=PLAIN)]
Colour = Annotated[str, Meta(pattern=r"\A#[0-9A-Fa-f]{6}\Z", examples=["#3a7ca5"])]
Hand = Literal["right", "left"]
Units = Literal["cm", "in"]
WorkIn = Literal["both", "back", "front"]
Fill = Literal["repeat", "stop", "mirror"]
EndName = Literal["top", "bottom"]
Use = Literal["", "baby", "pram", "lap", "throw", "bed"]
Skill = Literal["", "beginner", "easy", "intermediate", "experienced"]
Line = Annotated[str, Meta(max_length=500, pattern=PLAIN)]
WeightClass = Annotated[int, Meta(ge=0, le=THICKEST)]
"""Weight class of a yarn, from 0 (lace) to 7 (jumbo): the yarn council's standard as printed in
Crochet World, October 2018 (issuhub.com/view/index?id=3342&pageIndex=64), and on 222handspun.com.
The four skill levels are common practice."""


class Item(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One entry of a row, in one of three forms.

    A stitch: `make` of them into one place, or one worked over `over` places together;
    `chain` then is the number of chains made between the stitches of an increase, as in
    (dc, ch 1, dc) in one. A skip: `skip` stitches left unworked. A chain space: `chain`
    chains over nothing. The first two forms may be worked `times` times in a row.
    """

    stitch: WorkedStitch | None = None
    times: Annotated[int, Meta(ge=1, le=1000)] = 1
    make: Annotated[int, Meta(ge=1, le=12)] = 1
    over: Annotated[int, Meta(ge=1, le=12)] = 1
    skip: Annotated[int, Meta(ge=1, le=50)] | None = None
    chain: Annotated[int, Meta(ge=1, le=20)] | None = None

    def __post_init__(self) -> None:
        if self.stitch is None:
            if (self.skip is None) == (self.chain is None):
                raise ValueError("an item is a stitch, a skip or a chain: give one of the three")
            if self.make != 1 or self.over != 1 or self.times != 1:
                raise ValueError('"times", "make" and "over" belong to a stitch')
            return
        if self.skip is not None:
            raise ValueError("a stitch and a skip are two items")
        if self.make > 1 and self.over > 1:
            raise ValueError('"make" and "over" exclude each other')
        if self.chain is not None and self.make == 1:
            raise ValueError('"chain" beside a stitch stands between the stitches of "make"')

    @property
    def uses(self) -> int:
        """Stitches of the row below that the item is worked into or passes over."""
        if self.stitch is None:
            return self.skip or 0
        return self.over * self.times

    @property
    def makes(self) -> int:
        """Stitches and chains that the item leaves for the next row."""
        if self.stitch is None:
            return self.chain or 0
        return (self.make + (self.make - 1) * (self.chain or 0)) * self.times

    @property
    def is_plain(self) -> bool:
        """Whether it is one stitch in each place, nothing gained or lost."""
        return self.stitch is not None and self.make == 1 and self.over == 1


Items = Annotated[tuple[Item, ...], Meta(max_length=200)]


def total_uses(items: tuple[Item, ...]) -> int:
    """Return what the items use of the row below."""
    return sum(item.uses for item in items)


def total_makes(items: tuple[Item, ...]) -> int:
    """Return what the items leave for the next row."""
    return sum(item.makes for item in items)


class Row(Struct, frozen=True, forbid_unknown_fields=True):
    """A row: start edge, the repeat worked as often as the size says, end edge."""

    start: Items
    repeat: Items
    end: Items

    def __post_init__(self) -> None:
        if not total_makes(self.repeat):
            raise ValueError("the repeat makes no stitch")
        if not total_uses(self.repeat):
            raise ValueError("the repeat uses no stitch of the row below: its multiple would be 0")
        if not any(item.stitch for item in self.start + self.repeat):
            raise ValueError("the row has no stitch in it")

    def uses(self, repeats: int) -> int:
        """Return the stitches used of the row below."""
        return total_uses(self.start) + repeats * total_uses(self.repeat) + total_uses(self.end)

    def makes(self, repeats: int) -> int:
        """Return the stitches left for the next row."""
        return total_makes(self.start) + repeats * total_makes(self.repeat) + total_makes(self.end)


class Wave(Struct, frozen=True, forbid_unknown_fields=True):
    """The row that repeats, with a set-up row or a cycle of rows where they differ.

    `setup` is row 1 if given. `cycle`, if given, is worked in turn after it (from row 1
    without one) in place of the single row.
    """

    start: Items
    repeat: Items
    end: Items
    setup: Row | None = None
    cycle: Annotated[tuple[Row, ...], Meta(min_length=1, max_length=200)] | None = None

    def __post_init__(self) -> None:
        Row(self.start, self.repeat, self.end)

    @property
    def row(self) -> Row:
        """The single row that repeats, where there is no cycle."""
        return Row(self.start, self.repeat, self.end)

    @property
    def rows_in_turn(self) -> tuple[Row, ...]:
        """The rows worked in turn after the set-up row."""
        return self.cycle or (self.row,)

    @property
    def first(self) -> Row:
        """The row worked into the foundation chain."""
        return self.setup or self.rows_in_turn[0]


class Turning(Struct, frozen=True, forbid_unknown_fields=True):
    """The chains at the start of a row, and whether they are its first stitch."""

    chains: Annotated[int, Meta(ge=0, le=10)]
    counts: bool

    def __post_init__(self) -> None:
        if self.counts and not self.chains:
            raise ValueError("a turning chain of no chains can't count as a stitch")


class Loops(Struct, frozen=True, forbid_unknown_fields=True):
    """Which loop of the row below the hook goes into, and from which row on.

    Rows may take loops `in_turn` instead of `work_in`, with `each_colour` anew from the first
    row of every colour. `core.stripes.loops` says what that comes to in each row.
    """

    work_in: WorkIn = "both"
    from_row: Annotated[int, Meta(ge=1, le=5000)] = 2
    last_stitch_both: bool = False
    in_turn: Annotated[tuple[WorkIn, ...], Meta(min_length=1, max_length=200)] | None = None
    each_colour: bool = False

    def __post_init__(self) -> None:
        if self.each_colour and self.in_turn is None:
            raise ValueError("loops that begin anew with each colour need a list in turn")


class Gauge(Struct, frozen=True, forbid_unknown_fields=True):
    """A plain swatch in one stitch; `firmness` is the fabric model's shear stiffness."""

    stitch: WorkedStitch
    stitches: Annotated[float, Meta(ge=0.5, le=500)]
    rows: Annotated[float, Meta(ge=0.5, le=500)]
    over_mm: Annotated[float, Meta(ge=10, le=1000)] = 100.0
    hook_mm: Annotated[float, Meta(ge=0.4, le=50)] = 5.0
    firmness: Annotated[float, Meta(ge=0.02, le=20)] | None = None

    def __post_init__(self) -> None:
        usual = self.stitches / CATALOGUE[self.stitch].height_to_width
        fewest, most = usual / SHAPE_RANGE, usual * SHAPE_RANGE
        if not fewest <= self.rows <= most:
            too_many = self.rows > most
            nearest = most - 0.005 if too_many else fewest + 0.005  # rounded, it is still within
            raise ValueError(
                f"{self.stitches:g} stitches and {self.rows:g} rows can't both be right: "
                f"{self.stitch} of that shape isn't worked. To {self.stitches:g} stitches go "
                f"about {usual:.2g} rows, {'at most' if too_many else 'at least'} {nearest:.2f}"
            )

    @property
    def stitch_width_mm(self) -> float:
        """Width of one stitch in the plain swatch."""
        return self.over_mm / self.stitches

    @property
    def row_height_mm(self) -> float:
        """Height of one row in the plain swatch."""
        return self.over_mm / self.rows


class Size(Struct, frozen=True, forbid_unknown_fields=True):
    """How often the repeat is worked between the edges, and how many rows."""

    repeats: Annotated[int, Meta(ge=1, le=1000)]
    rows: Annotated[int, Meta(ge=1, le=5000)]


class NamedSize(Struct, frozen=True, forbid_unknown_fields=True):
    """Another size that the same pattern is written for."""

    name: SizeName
    repeats: Annotated[int, Meta(ge=1, le=1000)]
    rows: Annotated[int, Meta(ge=1, le=5000)]


class Yarn(Struct, frozen=True, forbid_unknown_fields=True):
    """A yarn in one colour, as its ball band tells; `price` is for one ball.

    `left_g` is what the ball in work weighed once `left_after` rows of the blanket were done;
    `weight` is its weight class.
    """

    name: YarnName
    colour: Colour
    ball_m: Annotated[float, Meta(ge=0.1, le=100_000)]
    ball_g: Annotated[float, Meta(ge=0.1, le=100_000)]
    owned_balls: Annotated[float, Meta(ge=0, le=MOST_BALLS)] = 0.0
    price: Annotated[float, Meta(ge=0, le=1_000_000)] | None = None
    left_g: Annotated[float, Meta(ge=0, le=100_000)] | None = None
    left_after: Annotated[int, Meta(ge=0, le=5000)] | None = None
    weight: WeightClass | None = None


class Stripe(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Rows worked in one yarn; `yarn` is its number in the design's list, from 0.

    A `locked` stripe keeps its place and its rows whatever happens to the order of the others;
    `label` is what its designer calls it.
    """

    yarn: YarnNumber
    rows: Annotated[int, Meta(ge=1, le=5000)]
    locked: bool = False
    label: Annotated[str, Meta(max_length=40, pattern=PLAIN)] = ""


class Stripes(Struct, frozen=True, forbid_unknown_fields=True):
    """The stripe sequence, and what happens where the blanket is longer than it."""

    sequence: Annotated[tuple[Stripe, ...], Meta(min_length=1, max_length=MOST_STRIPES)]
    fill: Fill = "repeat"
    plan: Plan | None = None

    @property
    def rows(self) -> int:
        """Rows of the sequence worked once."""
        return sum(stripe.rows for stripe in self.sequence)


class Swatch(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What a worked swatch told beyond the gauge.

    A wave is measured over several repeats, peak to peak, and over several rows, before it is
    washed; `chain_mm` is the chain of `chain_repeats` repeats laid out, before anything is
    worked into it. What washing changes is told by a width and a length of any piece before and
    after it; where those before are left out, the wave's own width and length stand for them.
    `yarn_off` is the share by which the yarn weighed may be off either way.
    """

    yarn_m_per_m2: Annotated[float, Meta(ge=50, le=50_000)] | None = None
    repeats: Annotated[int, Meta(ge=1, le=1000)] = 1
    repeats_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None
    rows: Annotated[int, Meta(ge=1, le=5000)] = 10
    rows_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None
    wave_height_mm: Annotated[float, Meta(ge=0.5, le=10_000)] | None = None
    chain_repeats: Annotated[int, Meta(ge=1, le=1000)] = 1
    chain_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None
    wash_width_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None
    washed_width_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None
    wash_length_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None
    washed_length_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None
    yarn_off: Annotated[float, Meta(ge=0, le=1)] | None = None


class Wanted(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The finished size wished for, whatever whole repeats and rows come near it."""

    width_mm: Annotated[float, Meta(ge=10, le=100_000)] | None = None
    length_mm: Annotated[float, Meta(ge=10, le=100_000)] | None = None


class Progress(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What the piece on the hook measured after so many rows, before any washing."""

    row: Annotated[int, Meta(ge=1, le=5000)] = 24
    width_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None
    length_mm: Annotated[float, Meta(ge=1, le=100_000)] | None = None


class Reckoning(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """How yarn and time are reckoned: what the designer allows for, and how fast the maker is.

    A yarn is carried up the side past at most `carry_rows` rows of other yarns; with 0 every
    stripe is cut. `row_minutes` is what row `timed_row` took.
    """

    spare: Annotated[float, Meta(ge=0, le=2)] = 0.10
    tail_mm: Annotated[float, Meta(ge=30, le=1000)] = 150.0
    carry_rows: Annotated[int, Meta(ge=0, le=20)] = 0
    weave_minutes: Annotated[float, Meta(ge=0, le=60)] = 2.0
    timed_row: Annotated[int, Meta(ge=1, le=5000)] = 3
    row_minutes: Annotated[float, Meta(ge=0.1, le=1440)] | None = None
    week_hours: Annotated[float, Meta(ge=0.1, le=168)] | None = None


FillStitches = Annotated[tuple[WorkedStitch, ...], Meta(max_length=1000)]


class FillRow(Struct, frozen=True, forbid_unknown_fields=True):
    """A fill row chosen by hand: one stitch into each stitch of the row it straightens.

    The parts are those of that row, in its working order; of the foundation, those of row 1.
    """

    start: FillStitches
    repeat: FillStitches
    end: FillStitches


class EndFill(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Fill rows that straighten one end; `own` rows take the place of the proposed ones."""

    yarn: Annotated[int, Meta(ge=0, le=199)] = 0
    n_rows: Annotated[int, Meta(ge=1, le=4)] = 1
    own: Annotated[tuple[FillRow, ...], Meta(max_length=4)] = ()


class Border(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Rounds worked round the blanket in one stitch.

    Every side has a whole number of times `multiple` stitches, plus `extra`, between its
    corners; `corner` stitches go into each corner.
    """

    rounds: Annotated[int, Meta(ge=1, le=50)] = 1
    stitch: WorkedStitch = "sc"
    yarn: Annotated[int, Meta(ge=0, le=199)] = 0
    multiple: Annotated[int, Meta(ge=1, le=200)] = 1
    extra: Annotated[int, Meta(ge=0, le=199)] = 0
    corner: Annotated[int, Meta(ge=1, le=15)] = 3


class Edging(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What is worked round the blanket afterwards: fill rows at its ends, and a border."""

    top: EndFill | None = None
    bottom: EndFill | None = None
    border: Border | None = None

    @property
    def yarns(self) -> tuple[tuple[str, int], ...]:
        """The yarns it is worked in, each with the name of its part."""
        parts = (("top", self.top), ("bottom", self.bottom), ("border", self.border))
        return tuple((name, part.yarn) for name, part in parts if part is not None)


class OwnWords(Struct, frozen=True, forbid_unknown_fields=True):
    """The designer's own wording of one written line of rows.

    `row` is the line's row, of several its last; 0 is the foundation. `of` tells the rows it was
    written for (`core.reading.own.row_mark`), so that it is known when they have changed since.
    """

    row: Annotated[int, Meta(ge=0, le=5000)]
    text: Annotated[str, Meta(min_length=1, max_length=5000, pattern=LINES)]
    terms: Terms
    of: Annotated[str, Meta(max_length=64, pattern=r"\A[0-9a-f]*\Z")]


class Design(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One blanket: everything its designer decided.

    `use` is what it is for; left empty, its size tells (`core.checks.cautions.use_of`). `contact`
    is where questions and mistakes are told, `licence` what makers may do with the pattern.
    """

    title: Title
    designer: Title = ""
    notes: Notes = ""
    terms: Terms = "US"
    hand: Hand = "right"
    units: Units = "cm"
    gauge: Gauge
    wave: Wave
    turning: Turning
    loops: Loops
    size: Size
    yarns: Annotated[tuple[Yarn, ...], Meta(min_length=1, max_length=MAX_YARNS)]
    stripes: Stripes
    edging: Edging | None = None
    swatch: Swatch | None = None
    wanted: Wanted | None = None
    progress: Progress | None = None
    reckoning: Reckoning | None = None
    sizes: Annotated[tuple[NamedSize, ...], Meta(max_length=MAX_SIZES)] = ()
    own_words: Annotated[tuple[OwnWords, ...], Meta(max_length=400)] = ()
    use: Use = ""
    skill: Skill = ""
    contact: Title = ""
    licence: Line = ""

    def __post_init__(self) -> None:
        most = max([stripe.yarn for stripe in self.stripes.sequence], default=0)
        for number, stripe in enumerate(self.stripes.sequence if most >= len(self.yarns) else ()):
            if stripe.yarn >= len(self.yarns):
                raise ValueError(
                    f"stripes.sequence[{number}].yarn: there is no yarn {stripe.yarn}, the last "
                    f"of the list is number {len(self.yarns) - 1}"
                )
        for yarn in self.stripes.plan.yarns if self.stripes.plan else ():
            if yarn >= len(self.yarns):
                raise ValueError(
                    f"stripes.plan: there is no yarn {yarn}, the last of the list is number "
                    f"{len(self.yarns) - 1}"
                )
        for name, yarn in self.edging.yarns if self.edging else ():
            if yarn >= len(self.yarns):
                raise ValueError(
                    f"edging.{name}.yarn: there is no yarn {yarn}, the last of the list is "
                    f"number {len(self.yarns) - 1}"
                )
        self._check_stitches("size", self.size.repeats, self.size.rows)
        for number, size in enumerate(self.sizes):
            self._check_stitches(f"sizes[{number}]", size.repeats, size.rows)

    def _check_stitches(self, where: str, repeats: int, n_rows: int) -> None:
        rows = (self.wave.first, *self.wave.rows_in_turn)
        widest = max(max(row.makes(repeats), row.uses(repeats)) for row in rows)
        if widest > MAX_ROW_STITCHES or widest * n_rows > MAX_STITCHES:
            raise ValueError(
                f"{where}: {n_rows:,} rows of up to {widest:,} stitches are more than the "
                f"program draws ({MAX_ROW_STITCHES:,} in a row, {MAX_STITCHES:,} in all)"
            )
