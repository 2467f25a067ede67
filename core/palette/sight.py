"""How a colour is seen: in grey, without one kind of cone, by lamplight.

Eyes without red or green cones, or with weak ones, see as Machado, Oliveira and Fernandes 2009
say ("A physiologically-based model for simulation of color vision deficiency", IEEE Transactions
on Visualization and Computer Graphics 15 (6)). For blue cones their model is doubtful by their
own words, so those follow Brettel, Viénot and Mollon 1997 ("Computerized simulation of color
appearance for dichromats", Journal of the Optical Society of America A 14 (10)), mixed with the
colour itself where the cones are only weak. Missing cones are one matrix here, or one on
either side of a plane; weak ones and lamplight ask the colour library, which is loaded then.
"""

from collections.abc import Iterable
from functools import lru_cache
from typing import Final, Literal

from core.palette.lamplight import WARM, by_lamp
from core.records import Struct
from core.stripes import screen
from core.stripes.colour import grey_of

SightKind = Literal["plain", "grey", "protan", "deutan", "tritan", "dusk"]

DEFICIENT: Final[tuple[SightKind, ...]] = ("protan", "deutan", "tritan")
_METHODS: Final = {"protan": "machado", "deutan": "machado", "tritan": "brettel"}
_CONES: Final = {"protan": "Red", "deutan": "Green", "tritan": "Blue"}

_MISSING: Final[dict[str, screen.Matrix]] = {  # linear light to linear light, as published
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
}
# Brettel's two half planes, from linear light to linear light with the cones in between.
_PLANE: Final[screen.Triple] = (0.039014607650586, -0.027880757986739, -0.011133849663847)
_BELOW: Final[screen.Matrix] = (
    (0.936783927745379, 0.189787938195074, -0.126571865940454),
    (0.06153392784179, 0.815262212952749, 0.123203859205462),
    (-0.375607982199992, 1.127654122898119, 0.247953859301873),
)
_ABOVE: Final[screen.Matrix] = (
    (1.012773344951979, 0.135484110006795, -0.148257454958774),
    (-0.012433453369383, 0.868121046570434, 0.144312406798949),
    (0.075894786756647, 0.804999604765765, 0.119105608477587),
)


class Sight(Struct, frozen=True):
    """A way of seeing colours.

    Attributes:
        kind: Which.
        severity: Of a deficiency, from 0 (none) to 1 (that kind of cone is missing).
    """

    kind: SightKind = "plain"
    severity: float = 1.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.severity <= 1.0:
            raise ValueError("a severity lies between 0 and 1")

    @property
    def is_plain(self) -> bool:
        """Whether every colour is seen as it is."""
        return self.kind == "plain" or (self.kind in DEFICIENT and not self.severity)

    @property
    def name(self) -> str:
        """What it is called, to stand on a picture."""
        if self.kind in _CONES:
            cone, percent = _CONES[self.kind], round(100 * self.severity)
            return f"{cone}-blind eyes" if percent == 100 else f"{cone}-weak eyes, {percent} %"
        if self.kind == "dusk":
            return f"By lamplight, {WARM.kelvin:.0f} K"
        return {"plain": "Plain", "grey": "Grey"}[self.kind]


def eyes(sights: Iterable[Sight]) -> str:
    """Return the eyes of some deficiencies in words: "red-blind and green-blind eyes"."""
    cones = [f"{_CONES[sight.kind].lower()}-blind" for sight in sights if sight.kind in _CONES]
    first, last = ", ".join(cones[:-1]), cones[-1]
    return f"{first} and {last} eyes" if first else f"{last} eyes"


PLAIN: Final = Sight()
GREY: Final = Sight("grey")


@lru_cache(maxsize=8192)
def seen(colour: str, sight: Sight) -> str:
    """Return the colour that shows on a plain screen what `sight` makes of `colour`."""
    if sight.is_plain:
        return colour
    if sight.kind == "grey":
        return grey_of(colour)
    if sight.kind in DEFICIENT and sight.severity == 1.0:
        return _without_cones(colour, sight.kind)
    from coloraide import Color

    known = Color(colour)
    if sight.kind == "dusk":
        known = Color("xyz-d65", by_lamp(known.convert("xyz-d65").coords()).tolist())
    else:
        method = _METHODS[sight.kind]
        known = known.filter(sight.kind, sight.severity, method=method)
    return known.convert("srgb").clip().to_string(hex=True)


@lru_cache(maxsize=8192)
def lab_of(colour: str) -> tuple[float, float, float]:
    """Return L*, a* and b* under D65."""
    return screen.lab(colour)


def _without_cones(colour: str, kind: str) -> str:
    light = screen.light_of(colour)
    matrix = _MISSING.get(kind)
    if matrix is None:
        side = sum(part * along for part, along in zip(light, _PLANE, strict=True))
        matrix = _ABOVE if side > 0 else _BELOW
    return screen.hex_of_light(screen.times(matrix, light))
