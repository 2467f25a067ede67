"""The workable waves nearest to a drawn one: guessed by the hundred, settled by the dozen.

The closed form says roughly which sizes of every way of making a wave come near. The best of
those are settled, and every way climbs by single stitches to the nearest that the model has.
"""

from collections.abc import Callable
from typing import Final

from core.design.document import Design, Wave
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.records import Struct
from core.sketch.curve import MOST_STITCHES, Drawn
from core.sketch.offers import Blanket, Offer, blanket_of, offer_of
from core.sketch.outline import Match, Outline, OutlineBook, guessed_outline, match
from core.sketch.ways import Sizes, Way, ways_for

OFFERS: Final = 3
_STEPS: Final = 14  # climbed at most on one way
_HOPELESS: Final = 2.5  # times the third best so far: not climbed further
_HARDLY: Final = 0.5  # of a distance, but no more than
_HARDLY_MM: Final = 0.8  # so much: what is farther by that is hardly farther
_STITCHES_SETTLED: Final = 800  # over all ways at first
_LEAST_WAYS: Final = 8
_GUESSES: Final = 9  # sizes guessed for a way of one size

Progress = Callable[[float], None]


class _Guess(Struct, frozen=True, eq=False):
    """A wave by the closed form."""

    way: Way
    sizes: Sizes
    distance_mm: float


class _Found(Struct, frozen=True, eq=False):
    """A settled wave and how it lies on the drawing."""

    way: Way
    sizes: Sizes
    wave: Wave
    outline: Outline
    laid: Match

    @property
    def distance_mm(self) -> float:
        return self.laid.distance_mm


def nearest_waves(
    design: Design,
    drawn: Drawn,
    *,
    book: OutlineBook | None = None,
    blanket: Blanket | None = None,
    should_stop: ShouldStop = never,
    progress: Progress | None = None,
) -> tuple[Offer, ...]:
    """Return three different waves nearest to a drawing, the nearest first.

    No two have both the family and the multiple in common, and as far as there are others no
    two are made the same way.

    Args:
        design: Gauge, stitch, edges and size.
        drawn: What to come near to.
        book: What the model has said before, if it is searched again in the same design.
        blanket: The size that yarn is told for; the design's own if not given.
        should_stop: Asked between settlings.
        progress: Told now and then which part is done, from 0 to 1.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    search = _Search(design, drawn, book or OutlineBook(design), should_stop, progress)
    chosen = search.run()
    if not chosen:
        return ()
    size = blanket or blanket_of(design, search.book, should_stop)
    return tuple(
        offer_of(design, f.way.name, f.wave, f.outline, size, drawn=drawn, laid=f.laid)
        for f in chosen
    )


class _Search:
    def __init__(
        self,
        design: Design,
        drawn: Drawn,
        book: OutlineBook,
        should_stop: ShouldStop,
        progress: Progress | None,
    ) -> None:
        self._design, self._drawn, self.book = design, drawn, book
        self._should_stop = should_stop
        self._tell = progress or (lambda part: None)
        self._best: list[float] = []
        self._met: dict[Wave, _Found] = {}

    def run(self) -> list[_Found]:
        ways = ways_for(self._design, two_humps=self._drawn.turns > 2)
        guesses = sorted((self._guess(way) for way in ways), key=lambda guess: guess.distance_mm)
        starts: list[_Found] = []
        for guess in guesses[: self._affordable()]:
            start = self._settle(guess.way, guess.sizes)
            if start is not None:
                starts.append(self._widened(start))
        starts.sort(key=_distance)
        tops: list[_Found] = []
        for number, start in enumerate(starts):
            self._tell(number / len(starts))
            tops.append(self._climb(start))
        for top in sorted(tops, key=_distance)[:OFFERS]:
            finer = self._finer(top)
            if finer is not None:
                tops.append(finer)
        self._tell(1.0)
        return _different(sorted(tops, key=_distance), sorted(self._met.values(), key=_distance))

    # guesses

    def _affordable(self) -> int:
        """Return how many ways are settled: fewer of wide waves.

        Those take long, and the longer the runs the better the closed form is.
        """
        stitches = self._drawn.period_mm / self._design.gauge.stitch_width_mm
        return max(round(_STITCHES_SETTLED / max(stitches, 1.0)), _LEAST_WAYS)

    def _guess(self, way: Way) -> _Guess:
        """Return the sizes of a way that the closed form puts nearest."""
        self._ask()
        best: _Guess | None = None
        for sizes in self._likely(way):
            outline = guessed_outline(self._design, way.build(sizes))
            laid = match(self._drawn.period_mm, self._drawn.heights_mm, outline)
            if best is None or laid.distance_mm < best.distance_mm:
                best = _Guess(way, sizes, laid.distance_mm)
        assert best is not None
        return best

    def _likely(self, way: Way) -> list[Sizes]:
        """Return sizes whose repeats are about as wide as the drawing.

        Along every direction that makes a way longer, width is close to linear in the size.
        """
        if len(way.first) == 1 or way.fine:
            middle = self._length_for(way, way.first, (1,) * len(way.first))
            spread = range(-(_GUESSES // 2), _GUESSES // 2 + 1)
            ones = {max(middle + step, way.first[0]) for step in spread}
            return self._possible(way, [(n,) * len(way.first) for n in sorted(ones)])
        likely = []
        for second in (1, 2, 3, 4, 6, 8, 11, 15, 20, 26):
            middle = self._length_for(way, (1, second), (1, 0))
            likely += [(max(middle + step, 1), second) for step in (-1, 0, 1)]
        return self._possible(way, list(dict.fromkeys(likely)))

    def _possible(self, way: Way, likely: list[Sizes]) -> list[Sizes]:
        """Return the sizes that aren't too wide; the least, if all are."""
        return [s for s in likely if way.stitches(s) <= MOST_STITCHES] or [way.first]

    def _length_for(self, way: Way, base: Sizes, step: Sizes) -> int:
        """Return the first size for which the guess is about as wide as the drawing."""
        far = tuple(a + 6 * b for a, b in zip(base, step, strict=True))
        widths = [
            guessed_outline(self._design, way.build(sizes)).repeat_mm for sizes in (base, far)
        ]
        each = (widths[1] - widths[0]) / 6
        wanted = base[0] + round((self._drawn.period_mm - widths[0]) / each)
        more = (way.stitches(far) - way.stitches(base)) / 6
        most = base[0] + int((MOST_STITCHES - way.stitches(base)) / more)
        return max(min(wanted, most), 1)

    # the model

    def _climb(self, here: _Found) -> _Found:
        """Return the wave of a way nearest to the drawing that single steps lead to."""
        way = here.way
        for _ in range(_STEPS):
            if len(self._best) >= OFFERS and here.distance_mm > _HOPELESS * self._best[2] + 0.5:
                break
            steps = [self._settle(way, _moved(here.sizes, move)) for move in way.moves]
            nearer = [f for f in steps if f is not None and f.distance_mm < here.distance_mm]
            if not nearer:
                break
            here = min(nearer, key=_distance)
        self._best = sorted([*self._best, here.distance_mm])[:OFFERS]
        return here

    def _widened(self, found: _Found) -> _Found:
        """Return the wave with its width set right in one go, if that comes nearer."""
        lengthen = found.way.moves[0]
        each = found.outline.repeat_mm / found.way.stitches(found.sizes)
        more = found.way.stitches(_moved(found.sizes, lengthen)) - found.way.stitches(found.sizes)
        steps = round((self._drawn.period_mm - found.outline.repeat_mm) / (each * more))
        if not steps:
            return found
        wanted = tuple(
            max(size + steps * step, least)
            for size, step, least in zip(found.sizes, lengthen, found.way.first, strict=True)
        )
        other = self._settle(found.way, wanted)
        return other if other is not None and other.distance_mm < found.distance_mm else found

    def _finer(self, found: _Found) -> _Found | None:
        """Return the wave with one run a stitch longer or shorter, if that comes nearer."""
        around = [
            self._settle(found.way, _moved(found.sizes, tuple(sign * m for m in move)))
            for move in found.way.fine
            for sign in (1, -1)
        ]
        nearer = [f for f in around if f is not None and f.distance_mm < found.distance_mm]
        return min(nearer, key=_distance) if nearer else None

    def _settle(self, way: Way, sizes: Sizes) -> _Found | None:
        self._ask()
        if any(size < least for size, least in zip(sizes, way.first, strict=True)):
            return None
        wave = way.build(sizes)
        if wave in self._met:
            return self._met[wave]
        if way.stitches(sizes) > MOST_STITCHES:
            return None
        outline = self.book.outline(wave, self._should_stop)
        if outline is None:
            return None
        laid = match(self._drawn.period_mm, self._drawn.heights_mm, outline)
        found = _Found(way, sizes, wave, outline, laid)
        self._met[wave] = found
        return found

    def _ask(self) -> None:
        if self._should_stop():
            raise Stopped


def _distance(found: _Found) -> float:
    return found.distance_mm


def _moved(sizes: Sizes, move: Sizes) -> Sizes:
    return tuple(a + b for a, b in zip(sizes, move, strict=True))


def _different(tops: list[_Found], others: list[_Found]) -> list[_Found]:
    """Return the nearest three that differ, each way once as long as there are others.

    One of another family goes before one of the same that is hardly nearer, so that there is
    something to choose from.
    """
    chosen: list[_Found] = []
    for pool, once in ((tops, True), (others, False)):
        while len(chosen) < OFFERS:
            left = [f for f in pool if not any(_is_same(f, c, once=once) for c in chosen)]
            if not left:
                break
            families = {c.way.family for c in chosen}
            least = left[0].distance_mm
            within = least + min(_HARDLY * least, _HARDLY_MM)
            other = (f for f in left if f.way.family not in families and f.distance_mm <= within)
            chosen.append(next(other, left[0]))
    return sorted(chosen, key=_distance)


def _is_same(one: _Found, other: _Found, *, once: bool) -> bool:
    """Return whether two are of one family and multiple, or (with `once`) made the same way."""
    if once and one.way is other.way:
        return True
    sizes = [(f.way.family, f.way.stitches(f.sizes)) for f in (one, other)]
    return sizes[0] == sizes[1]
