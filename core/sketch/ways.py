"""Ways of making a wave, each with sizes still open: families, gains, dips, and other orders.

A way turns a few whole numbers (lengths of runs) into a wave. All waves read the same from
both ends as far as their sizes let them, since turned rows lie on one another only then.
"""

from collections.abc import Callable
from itertools import takewhile
from typing import Final

from core.craft.stitches import WorkedStitch
from core.design.document import Design, Item, Items, Wave, total_uses
from core.records import Struct, replace
from core.rows.waves import (
    FAMILIES,
    Family,
    Turn,
    WaveShape,
    family_wave,
    shape_of,
    wave_of,
    with_edge_at,
    with_gain,
    with_run,
    with_skipped_dips,
    with_straight_edge,
)

Sizes = tuple[int, ...]

MOST_SKIPPED: Final = 3
"""Stitches skipped at a dip: published ripples skip 1 to 3, hardly ever more, as it leaves a
hole (counted over the rows kept beside `tests/core/test_published_ripples.py`)."""

GAINS: Final = (1, 2, 3, 4)
"""Stitches gained at a peak: what the common ripples have; steeper ones hardly lie flat."""


class Way(Struct, frozen=True, eq=False, kw_only=True):
    """A way of making a wave.

    Attributes:
        name: What a person calls it.
        family: What it is a variety of; alternatives are wanted from different ones.
        first: The least sizes.
        moves: How sizes can change by the smallest steps.
        fine: Steps that make rows lie less exactly on one another: tried last.
        build: From sizes to a wave.
    """

    name: str
    family: str
    first: Sizes
    moves: tuple[Sizes, ...]
    build: Callable[[Sizes], Wave]
    fine: tuple[Sizes, ...] = ()

    def stitches(self, sizes: Sizes) -> int:
        """Return what a repeat uses."""
        return total_uses(self.build(sizes).repeat)


def runs_of(wave: Wave) -> WaveShape | None:
    """Return a wave's runs and turns, or None if it isn't made of any."""
    shape = shape_of(wave)
    return shape if isinstance(shape, WaveShape) else None


def stitch_of(design: Design) -> WorkedStitch:
    """Return what waves of this design are worked in."""
    shape = runs_of(design.wave)
    return shape.stitch if shape is not None else design.gauge.stitch


def ways_for(design: Design, *, two_humps: bool = False) -> tuple[Way, ...]:
    """Return the ways there are, with edges like the design's.

    Args:
        design: Says the stitch and what the edges cut.
        two_humps: Whether to try waves of two unlike humps too.
    """
    stitch, edge = stitch_of(design), _edges_like(design)
    found: dict[Wave, Way] = {}

    def add(way: Way) -> None:
        found.setdefault(way.build(way.first), way)

    simple: list[tuple[Family, WaveShape]] = []
    for family in FAMILIES:
        wave = family_wave(family, stitch, 4)
        shape = runs_of(wave)
        if shape is None:
            continue  # another kind of wave, with a turning chain of its own
        add(
            Way(
                name=family.name,
                family=family.key,
                first=(1,),
                moves=((1,), (-1,)),
                build=_family_builder(family, stitch, edge),
            )
        )
        if wave.cycle is None and len(shape.turns) == 2 and all(map(_is_simple, shape.turns)):
            simple.append((family, shape))
    for family, shape in simple:
        for skipped in (False, True):
            for gain in GAINS[:MOST_SKIPPED] if skipped else GAINS:
                add(_two_turns(family, shape, gain, skipped=skipped, edge=edge))
    for gain in GAINS:
        add(_rounded(stitch, gain))
    if two_humps:
        for family, shape in simple:
            for way in _two_humps(family, shape):
                add(way)
    return tuple(found.values())


def _is_simple(turn: Turn) -> bool:
    """Return whether a turn is of one kind of item, so that it can gain more or less."""
    return len(turn.items) == 1 and turn.items[0].chain is None


Edges = Callable[[WaveShape], WaveShape]


def _edges_like(design: Design) -> Edges:
    """Return what gives a shape edges of the design's kind."""
    now = runs_of(design.wave)
    if now is not None and now.edge == "straight":
        outside = takewhile(lambda item: item.is_plain, design.wave.start)
        plain = max(sum(item.times for item in outside), 1)
        return lambda shape: with_straight_edge(shape, plain)
    if now is not None and now.edge == "half" and now.turns[-1].kind == "dip":
        return lambda shape: with_edge_at(shape, "dip")
    return lambda shape: shape


def _family_builder(family: Family, stitch: WorkedStitch, edge: Edges) -> Callable[[Sizes], Wave]:
    def build(sizes: Sizes) -> Wave:
        wave = family_wave(family, stitch, sizes[0])
        shape = runs_of(wave)
        return wave if shape is None else wave_of(edge(shape))

    return build


def _two_turns(family: Family, shape: WaveShape, gain: int, *, skipped: bool, edge: Edges) -> Way:
    """Return a family with another gain, its dips joined or skipped."""
    peak = next(n for n, turn in enumerate(shape.turns) if turn.kind == "peak")
    was_skipped = any(turn.items[0].skip is not None for turn in shape.turns)
    usual = shape.turns[peak].gain
    turned = with_gain(with_skipped_dips(shape, skipped), peak, gain)

    def build(sizes: Sizes) -> Wave:
        sized = with_run(with_run(turned, 0, sizes[0]), 1, sizes[-1])
        return wave_of(edge(sized))

    name = family.name
    if skipped != was_skipped:
        name = f"{name}, dips skipped" if skipped else "Sharp peaks, soft dips"
    if gain != usual:
        much = "much " if abs(gain - usual) > 1 else ""
        name += f", {much}{'steeper' if gain > usual else 'flatter'}"
    return Way(
        name=name,
        family=family.key,
        first=(1, 1),
        moves=((1, 1), (-1, -1)),
        fine=((1, 0), (0, 1)),
        build=build,
    )


def _rounded(stitch: WorkedStitch, gain: int) -> Way:
    """Return waves whose peaks and dips are spread: two turns of `gain` with a run between.

    The edges cut that run in half, so it has an even number of stitches.
    """
    peak = Turn((Item(stitch=stitch, make=gain + 1),))
    dip = Turn((Item(stitch=stitch, over=gain + 1),))

    def plain(times: int) -> Items:
        return (Item(stitch=stitch, times=times),) if times else ()

    def build(sizes: Sizes) -> Wave:
        run, half = sizes
        shape = WaveShape(
            stitch=stitch,
            runs=(run, 2 * half, run, 2 * half),
            turns=(dip, dip, peak, peak),
            edge="own",
            start=plain(half) + peak.items,
            end=plain(run) + dip.items + plain(2 * half) + dip.items
            + plain(run) + peak.items + plain(half),
        )  # fmt: skip
        return wave_of(shape)

    name = "Rounded" if gain == 1 else f"Rounded, {gain + 1} in 1"
    return Way(
        name=name,
        family="rounded",
        first=(1, 1),
        moves=((1, 0), (-1, 0), (0, 1), (0, -1), (1, -1), (-1, 1)),
        build=build,
    )


def _two_humps(family: Family, shape: WaveShape) -> tuple[Way, Way]:
    """Return waves of two unlike humps: tall and small peaks, deep and shallow dips.

    The edges cut the peak or the dip that both kinds of run lie evenly around.
    """
    peak = next(turn for turn in shape.turns if turn.kind == "peak")
    dip = next(turn for turn in shape.turns if turn.kind == "dip")

    def ordered(first: Turn, last: Turn) -> Callable[[Sizes], Wave]:
        def build(sizes: Sizes) -> Wave:
            a, b = sizes
            runs, turns = (a, b, b, a), (first, last, first, last)
            return wave_of(replace(shape, runs=runs, turns=turns, leads_with_run=True))

        return build

    moves = ((1, 0), (-1, 0), (0, 1), (0, -1), (1, -1), (-1, 1))
    return (
        Way(
            name=f"{family.name}, tall and small peaks",
            family=f"{family.key} peaks",
            first=(1, 1),
            moves=moves,
            build=ordered(dip, peak),
        ),
        Way(
            name=f"{family.name}, deep and shallow dips",
            family=f"{family.key} dips",
            first=(1, 1),
            moves=moves,
            build=ordered(peak, dip),
        ),
    )
