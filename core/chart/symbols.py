"""The symbols of crochet charts as strokes, each standing on a stem from foot to top.

The set is the published one (sources: crochetme.com and mrscrochetworld.com on symbol
charts; JIS L 0201 shows stitches as seen from the right side): chain an open oval, slip
stitch a filled one, sc a cross, hdc a T, and one slash across the stem for every yarn over
from dc on. Stitches worked together meet at the top, stitches in one place share the foot.
The arcs for front and back loop are from memory: a cup under the foot for the back loop, a
cap for the front loop; the key always explains them. Chains stacked as a turning chain are
rounder than those that lie, or they would be slits (from memory: three ovals, one on another).

A symbol is drawn in a frame where the foot is (0, 0) and the top (0, 1); placed, it is turned
and scaled as a whole, so strokes keep their proportions. Where a stem is much longer than its
stitch is tall, because it leans over other stitches, the same symbol is drawn with bars that
are narrower for its length: bars keep about the same breadth on the whole chart.
"""

from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CATALOGUE, WORKED
from core.records import Struct, replace

Floats = NDArray[np.float64]


class Stroke(Struct, frozen=True, eq=False):
    """A polyline; `filled` ones are closed and painted solid.

    Attributes:
        points: Shape (n, 2) in the symbol's frame.
        filled: Whether it is a solid shape.
    """

    points: Floats
    filled: bool = False


class Symbol(Struct, frozen=True, eq=False, dict=True):
    """A named drawing.

    Attributes:
        name: For files and lookups.
        nominal: Length from foot to top at rest, in stitch widths; strokes are drawn for it.
        strokes: Its lines and solid shapes.
    """

    name: str
    nominal: float
    strokes: tuple[Stroke, ...]

    @cached_property
    def lines(self) -> Floats:
        """Straight pieces of every stroke, shape (n, 2 ends, 2 axes)."""
        pieces = [
            np.stack([stroke.points[:-1], stroke.points[1:]], axis=1)
            for stroke in self.strokes
            if not stroke.filled
        ]
        return np.concatenate(pieces) if pieces else np.empty((0, 2, 2))

    @cached_property
    def solids(self) -> tuple[Floats, ...]:
        """Outlines of the solid shapes, each of shape (n, 2)."""
        return tuple(stroke.points for stroke in self.strokes if stroke.filled)


BAR: Final = 0.56  # width of the bar across the top, in stitch widths
SLASH: Final = 0.44
LEG_SLASH: Final = 0.34  # on a leg of a decrease, which has less room
CROSS: Final = 0.60
OVAL: Final = 0.44  # breadth of a chain's oval over its length
ROUND: Final = 0.66  # the same of one in a turning chain
STACKED: Final = "ch-stacked"


def _line(*points: tuple[float, float]) -> Stroke:
    return Stroke(np.array(points, dtype=np.float64))


def _oval(centre: float, length: float, breadth: float, *, filled: bool = False) -> Stroke:
    turn = np.linspace(0.0, 2.0 * np.pi, 25)
    x, y = 0.5 * breadth * np.sin(turn), centre + 0.5 * length * np.cos(turn)
    return Stroke(np.stack([x, y], axis=1), filled)


def _slashes(count: int, height: float, middle: float, wide: float) -> list[Stroke]:
    """Return slanting strokes across the stem, spread about `middle`."""
    half, rise = 0.5 * wide / height, 0.23 * wide / height
    step = 0.30 / height
    heights = [middle - step * (number - (count - 1) / 2) for number in range(count)]
    return [_line((-half, at - rise), (half, at + rise)) for at in heights]


def _stemmed(key: str, stretch: float) -> tuple[Symbol, Symbol]:
    """Return the symbol of a tall stitch, and of one leg of it without the bar."""
    height, slashes = CATALOGUE[key].height_to_width * stretch, CATALOGUE[key].slashes
    half = 0.5 * BAR / height
    stem, bar = _line((0.0, 0.0), (0.0, 1.0)), _line((-half, 1.0), (half, 1.0))
    whole = (stem, *_slashes(slashes, height, 0.64, SLASH), bar)
    leg = (stem, *_slashes(slashes, height, 0.44, LEG_SLASH))  # lower, where legs are apart
    return Symbol(key, height, whole), Symbol(f"{key}-leg", height, leg)


def _crossed(stretch: float) -> tuple[Symbol, Symbol]:
    height = CATALOGUE["sc"].height_to_width * stretch
    half = 0.5 * CROSS / height
    stem = _line((0.0, 0.08), (0.0, 0.92))
    whole = Symbol("sc", height, (stem, _line((-half, 0.5), (half, 0.5))))
    leg = Symbol(
        "sc-leg", height, (_line((0.0, 0.0), (0.0, 1.0)), _line((-half / 2, 0.5), (half / 2, 0.5)))
    )
    return whole, leg


def _dotted(stretch: float) -> tuple[Symbol, Symbol]:
    height = CATALOGUE["sl st"].height_to_width * stretch
    dot = (_oval(0.5, 0.9 / stretch, 1.4 / stretch, filled=True),)
    return Symbol("sl st", height, dot), Symbol("sl st-leg", height, dot)


def _worked(stretch: float) -> list[Symbol]:
    """Return the symbols of all stitches, for stems so many times longer than usual."""
    own = {"sl st": _dotted, "sc": _crossed}  # those that are no T on a stem
    symbols: list[Symbol] = []
    for key in WORKED:
        symbols += own[key](stretch) if key in own else _stemmed(key, stretch)
    return symbols


def _arc(opening_up: bool) -> Stroke:
    turn = np.linspace(0.0, np.pi, 9)
    x, y = -0.5 * np.cos(turn), 0.32 * np.sin(turn)
    return Stroke(np.stack([x, 0.5 + (0.16 - y if opening_up else y - 0.16)], axis=1))


def _all_symbols() -> dict[str, Symbol]:
    symbols = [
        Symbol("ch", 1.0, (_oval(0.5, 1.0, OVAL),)),
        Symbol(STACKED, 0.5, (_oval(0.5, 1.0, ROUND),)),
        *_worked(1.0),
        Symbol("bar", BAR, (_line((0.0, 0.0), (0.0, 1.0)),)),
        Symbol("back loop", 0.42, (_arc(True),)),
        Symbol("front loop", 0.42, (_arc(False),)),
    ]
    for level, stretch in enumerate(STRETCHES[1:], start=1):
        symbols += [
            replace(symbol, name=long_name(symbol.name, level)) for symbol in _worked(stretch)
        ]
    return {symbol.name: symbol for symbol in symbols}


STRETCHES: Final = (1.0, 1.35, 1.8, 2.4, 3.2)
"""How many times longer than usual the stems are that symbols are drawn for."""


def long_name(name: str, level: int) -> str:
    """Return the name of a symbol drawn for the stems of a level of `STRETCHES`."""
    return f"{name} long {level}" if level else name


SYMBOLS: Final[dict[str, Symbol]] = _all_symbols()
NAMES: Final[tuple[str, ...]] = tuple(SYMBOLS)
NUMBER: Final[dict[str, int]] = {name: number for number, name in enumerate(NAMES)}
PLAIN: Final = np.array([NUMBER[name.partition(" long ")[0]] for name in NAMES], dtype=np.intp)
"""For every symbol the number of the one it is a longer drawing of, or its own."""
_LEVELS: Final = np.array(
    [
        [NUMBER.get(long_name(name, level), number) for level in range(len(STRETCHES))]
        for number, name in enumerate(NAMES)
    ],
    dtype=np.intp,
)
_NOMINAL: Final = np.array([SYMBOLS[name].nominal for name in NAMES])
_BETWEEN: Final = np.sqrt(np.array(STRETCHES[1:]) * np.array(STRETCHES[:-1]))


def for_length(symbol: NDArray[np.intp], length: Floats) -> NDArray[np.intp]:
    """Return the drawings of symbols that suit their stems' lengths.

    Args:
        symbol: Numbers of usual symbols, shape (n,).
        length: Length of each stem in stitch widths, shape (n,).
    """
    level = np.searchsorted(_BETWEEN, length / _NOMINAL[symbol])
    found: NDArray[np.intp] = _LEVELS[symbol, level]
    return found
