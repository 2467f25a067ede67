"""Variants of a wave to compare: longer or shorter runs, more or fewer stitches gained."""

from typing import Final, Literal

import numpy as np

from core.design.document import Design
from core.fabric.relax import ShouldStop, never
from core.records import Struct
from core.rows.waves import MAX_GAIN, MAX_RUN, WaveShape, wave_of, with_gain, with_run
from core.sketch.curve import Drawn
from core.sketch.offers import Blanket, Offer, blanket_of, offer_of
from core.sketch.outline import Outline, OutlineBook, match
from core.sketch.period import SAMPLES

Wanted = Literal["slope", "depth"]
_TRIES: Final = 8
_RUN_STEP: Final = 2


class Variant(Struct, frozen=True):
    """What is changed of a wave.

    Attributes:
        run: Stitches of its first run; the others grow and shrink with it.
        gain: Stitches gained at each peak, lost at each dip.
    """

    run: int
    gain: int


def variant_of(shape: WaveShape) -> Variant:
    """Return a wave as the variant that it is of itself."""
    gains = [turn.gain for turn in shape.turns if turn.kind == "peak"]
    return Variant(shape.runs[0], gains[0] if gains else 1)


def first_variants(shape: WaveShape, by: Wanted) -> tuple[Variant, Variant, Variant]:
    """Return a gentler variant, the wave as it is, and a steeper or deeper one.

    Args:
        shape: The wave as it is.
        by: Whether the stitches gained change, and with them the slope, or the runs, and with
            them the depth.
    """
    now = variant_of(shape)
    if by == "depth":
        shorter, longer = max(now.run - _RUN_STEP, 1), min(now.run + _RUN_STEP, MAX_RUN)
        return Variant(shorter, now.gain), now, Variant(longer, now.gain)
    flatter, steeper = max(now.gain - 1, 1), min(now.gain + 1, MAX_GAIN)
    return Variant(now.run, flatter), now, Variant(now.run, steeper)


def shaped(shape: WaveShape, variant: Variant) -> WaveShape:
    """Return the wave changed to a variant; it stays workable."""
    by = variant.run - shape.runs[0]
    for number, run in enumerate(shape.runs):
        shape = with_run(shape, number, run + by)
    if variant.gain != variant_of(shape).gain:
        for number, turn in enumerate(shape.turns):
            if turn.kind == "peak":
                shape = with_gain(shape, number, variant.gain)
    return shape


def compared(
    design: Design,
    shape: WaveShape,
    variants: tuple[Variant, ...],
    *,
    book: OutlineBook | None = None,
    should_stop: ShouldStop = never,
) -> tuple[Offer | None, ...]:
    """Return the variants on offer, each laid over the wave as it is.

    A variant that the model can't bring to rest is None.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    book = book or OutlineBook(design)
    blanket = blanket_of(design, book, should_stop)
    now = book.outline(design.wave, should_stop)
    return tuple(
        _offer(design, shape, variant, now, blanket, book, should_stop) for variant in variants
    )


def _offer(
    design: Design,
    shape: WaveShape,
    variant: Variant,
    now: Outline | None,
    blanket: Blanket,
    book: OutlineBook,
    should_stop: ShouldStop,
) -> Offer | None:
    wave = design.wave if variant == variant_of(shape) else wave_of(shaped(shape, variant))
    outline = book.outline(wave, should_stop)
    if outline is None:
        return None
    drawn = drawn_of(now or outline)
    laid = match(drawn.period_mm, drawn.heights_mm, outline)
    name = _name(variant, variant_of(shape))
    return offer_of(design, name, wave, outline, blanket, drawn=drawn, laid=laid, is_compared=False)


def _name(variant: Variant, now: Variant) -> str:
    if variant == now:
        return "As it is"
    words = []
    if variant.gain != now.gain:
        words.append("steeper" if variant.gain > now.gain else "flatter")
    if variant.run != now.run:
        words.append("longer runs" if variant.run > now.run else "shorter runs")
    return ", ".join(words).capitalize()


def drawn_of(outline: Outline) -> Drawn:
    """Return a settled row as if it had been drawn from dip to dip."""
    phases = np.arange(SAMPLES) / SAMPLES
    wave = np.fft.rfft(outline.heights(outline.shown, phases))
    dip = float((np.pi - np.angle(wave[1])) / (2 * np.pi))  # of the wave's first harmonic
    heights = outline.heights(outline.shown, phases + dip)
    return Drawn(
        period_mm=outline.repeat_mm,
        heights_mm=heights,
        within_mm=heights,
        start_mm=0.0,
        level_mm=0.0,
        turns=2,
    )


def run_for_depth(
    design: Design,
    shape: WaveShape,
    variant: Variant,
    depth_mm: float,
    *,
    book: OutlineBook | None = None,
    should_stop: ShouldStop = never,
) -> int:
    """Return the run that makes a variant's wave nearest to a height from dip to peak.

    A stitch more in every run adds about the same each time, so few tries are needed.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    book = book or OutlineBook(design)
    tried: dict[int, float] = {}

    def height(run: int) -> float:
        if run not in tried:
            wave = wave_of(shaped(shape, Variant(run, variant.gain)))
            outline = book.outline(wave, should_stop)
            assert outline is None or outline.measures is not None
            tried[run] = outline.measures.wave_height_mm if outline and outline.measures else 0.0
        return tried[run]

    run, step = variant.run, 4
    most = min(MAX_RUN, max(variant.run, 60))
    for _ in range(_TRIES):
        other = run + step if run + step <= most else run - step
        each = (height(other) - height(run)) / (other - run)
        if each <= 0:
            break
        wanted = min(max(round(run + (depth_mm - height(run)) / each), 1), most)
        if wanted == run:
            break
        run, step = wanted, 1
    for near in (run - 1, run + 1):
        if 1 <= near <= most:
            height(near)
    return min(tried, key=lambda run: (abs(tried[run] - depth_mm), run))
