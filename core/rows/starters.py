"""Designs to start from: one of each family, small enough to see at a glance."""

from typing import Final

from core.craft.stitches import CATALOGUE, Terms, WorkedStitch
from core.design.document import (
    Design,
    Gauge,
    Loops,
    Size,
    Stripe,
    Stripes,
    Turning,
    Units,
    Yarn,
)
from core.rows.waves import Family, family_wave

_STITCH: Final[WorkedStitch] = "dc"
_RUNS: Final = {"gentle": 3, "pointed": 6, "open": 5, "double": 6, "slow": 4}
_YARNS: Final = (
    Yarn(name="Yarn 1", colour="#35607a", ball_m=120, ball_g=50),
    Yarn(name="Yarn 2", colour="#e9dfc8", ball_m=120, ball_g=50),
    Yarn(name="Yarn 3", colour="#c46f4e", ball_m=120, ball_g=50),
)


def starter(family: Family, *, terms: Terms = "US", units: Units = "cm") -> Design:
    """Return a new design in a family's wave: dc in back loops, two rows a colour."""
    facts = CATALOGUE[_STITCH]
    stripes = tuple(Stripe(yarn, 2) for yarn in (0, 1, 2, 1))
    return Design(
        title=f"New {family.name.lower()} wave",
        terms=terms,
        units=units,
        gauge=Gauge(stitch=_STITCH, stitches=13, rows=13 / facts.height_to_width),
        wave=family_wave(family, _STITCH, _RUNS.get(family.key, 4)),
        turning=Turning(facts.turning_chains, facts.chain_counts),
        loops=Loops("back", 2, True),
        size=Size(8, 64),
        yarns=_YARNS,
        stripes=Stripes(stripes),
    )
