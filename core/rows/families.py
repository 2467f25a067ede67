"""The families of waves: ways of making peaks and dips that have names.

Peaks and dips are those of published ripples where there are some; the tests name them.
"""

from typing import Final

from core.craft.stitches import WorkedStitch
from core.design.document import Item, Items, Turning, Wave
from core.records import Struct
from core.rows.heights import HeightShape, turning_of_heights, wave_of_heights
from core.rows.rhythm import Rhythm
from core.rows.shape import Turn, WaveShape
from core.rows.shaped import wave_of_runs

_ANY: Final[WorkedStitch] = "dc"  # stands for whatever stitch the wave is worked in


class Family(Struct, frozen=True, kw_only=True):
    """A way of making peaks and dips.

    Attributes:
        key: The program's name for it.
        name: What a person calls it.
        about: One line on its look.
        peak: Items of a peak, in any stitch; none for a wave of stitch heights.
        dip: Items of a dip likewise.
        run: Plain stitches in a run to begin with; for stitch heights, stitches of a wave.
        every: Every how many rows one is shaped to begin with.
    """

    key: str
    name: str
    about: str
    peak: Items = ()
    dip: Items = ()
    run: int = 4
    every: int = 1

    @property
    def is_of_heights(self) -> bool:
        """Whether its waves are made of stitch heights."""
        return not self.peak


def _make(count: int, times: int = 1, chain: int | None = None) -> Items:
    return (Item(stitch=_ANY, make=count, times=times, chain=chain),)


def _together(count: int, times: int = 1) -> Items:
    return (Item(stitch=_ANY, over=count, times=times),)


def spaced_skips(count: int, stitch: WorkedStitch) -> Items:
    """Return so many skipped stitches with one worked between two of them."""
    pair = Item(skip=1), Item(stitch=stitch)
    return (*pair * (count - 1), pair[0])


FAMILIES: Final = (
    Family(
        key="gentle",
        name="Gentle",
        about="2 in each of 2, two 2-togethers: rounded waves",
        peak=_make(2, 2),
        dip=_together(2, 2),
        run=3,
    ),
    Family(
        key="pointed",
        name="Pointed",
        about="3 in 1, 3 together: sharp peaks, closed dips",
        peak=_make(3),
        dip=_together(3),
        run=6,
    ),
    Family(
        key="open",
        name="Open dips",
        about="3 in 1, skip 2: sharp, with a hole at each dip",
        peak=_make(3),
        dip=(Item(skip=2),),
        run=5,
    ),
    Family(
        key="double",
        name="Double",
        about="3 in each of 2, two 3-togethers: steep and broad",
        peak=_make(3, 2),
        dip=_together(3, 2),
        run=6,
    ),
    Family(
        key="slow",
        name="Slow",
        about="2 in 1, one 2-together: the gentlest slope",
        peak=_make(2),
        dip=_together(2),
        run=4,
    ),
    Family(
        key="lacy",
        name="Lacy peaks",
        about="1, chain 1, 1 in the same place, skip 2: holes at peaks and dips",
        peak=_make(2, chain=1),
        dip=(Item(skip=2),),
        run=7,
    ),
    Family(
        key="fan",
        name="Fan",
        about="7 in 1, 7 together: a fan at each peak, a closed dip; every other row plain",
        peak=_make(7),
        dip=_together(7),
        run=10,
        every=2,
    ),
    Family(
        key="lacy fan",
        name="Lacy fan",
        about="4 in 1 with chains between, three 3-togethers: airy; every other row plain",
        peak=_make(4, chain=1),
        dip=_together(3, 3),
        run=4,
        every=2,
    ),
    Family(
        key="wide fan",
        name="Wide fan",
        about="2 in each of 6, every other one skipped in the dip; every other row plain",
        peak=_make(2, 6),
        dip=spaced_skips(6, _ANY),
        run=0,
        every=2,
    ),
    Family(
        key="heights",
        name="Tall and short",
        about="short stitches to tall ones and back; the next row fills them",
        run=12,
    ),
)


def family_wave(family: Family, stitch: WorkedStitch, run: int) -> Wave:
    """Return the wave of a family with runs of `run` stitches and half turns at the edges."""
    shape = family_shape(family, stitch, run)
    if isinstance(shape, HeightShape):
        return wave_of_heights(shape)
    return wave_of_runs(shape)


def family_shape(family: Family, stitch: WorkedStitch, run: int) -> WaveShape | HeightShape:
    """Return the shape of a family; a wave of heights is `run` stitches long."""
    if family.is_of_heights:
        return HeightShape(low="sc", high="tr", length=max(run - run % 2, 6))
    return WaveShape(
        stitch=stitch,
        runs=(run, run),
        turns=(_turn(family.dip, stitch), _turn(family.peak, stitch)),
        edge="half",
        rhythm=Rhythm(every=family.every),
    )


def family_of(shape: WaveShape | HeightShape) -> Family | None:
    """Return the family that makes exactly these peaks and dips, or None."""
    if isinstance(shape, HeightShape):
        return next(family for family in FAMILIES if family.is_of_heights)
    made = {turn.items for turn in shape.turns}
    for family in FAMILIES:
        turns = {_turn(family.peak, shape.stitch).items, _turn(family.dip, shape.stitch).items}
        if not family.is_of_heights and turns == made:
            return family
    return None


def family_turning(shape: WaveShape | HeightShape, turning: Turning) -> Turning:
    """Return the turning chain for a shape: a wave of heights has its own."""
    return turning_of_heights(shape) if isinstance(shape, HeightShape) else turning


def _turn(items: Items, stitch: WorkedStitch) -> Turn:
    return Turn(tuple(_in_stitch(item, stitch) for item in items))


def _in_stitch(item: Item, stitch: WorkedStitch) -> Item:
    if item.stitch is None:
        return item
    return Item(stitch=stitch, make=item.make, over=item.over, chain=item.chain, times=item.times)
