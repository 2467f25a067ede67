"""Where the light on the picture comes from."""

import math
from typing import Final

from core.records import Struct


class Light(Struct, frozen=True):
    """A lamp far away.

    Attributes:
        azimuth_deg: Where it stands around the picture, clockwise: 0 at the top, 90 at the right.
        elevation_deg: How high above the fabric; 90 shines straight down on it.
    """

    azimuth_deg: float = 330.0
    elevation_deg: float = 48.0

    @property
    def direction(self) -> tuple[float, float, float]:
        """Return the way to the lamp: right, up, towards the eye; a vector of length 1."""
        azimuth, height = math.radians(self.azimuth_deg), math.radians(self.elevation_deg)
        level = math.cos(height)
        return level * math.sin(azimuth), level * math.cos(azimuth), math.sin(height)

    def turned(self, azimuth_deg: float, elevation_deg: float) -> "Light":
        """Return the light moved by so many degrees, kept above the fabric."""
        height = min(max(self.elevation_deg + elevation_deg, LOWEST), HIGHEST)
        return Light((self.azimuth_deg + azimuth_deg) % 360.0, height)

    @property
    def evenness(self) -> float:
        """Return what a flat place gets; a low lamp gives more contrast, not a dark picture."""
        return AMBIENT + DIRECT * (0.5 + 0.5 * self.direction[2])


AMBIENT: Final = 0.42  # light from all around
DIRECT: Final = 1.0 - AMBIENT
GAIN: Final = 0.93  # of the brightest shade, for a place that faces the lamp
OWN: Final = 0.55  # the share of the brightest shade at which a yarn shows its own colour
LOWEST: Final = 15.0
HIGHEST: Final = 80.0
USUAL: Final = Light()
