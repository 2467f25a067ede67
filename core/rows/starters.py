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
from core.rows.waves import Family, family_shape, family_turning, wave_of

_STITCH: Final[WorkedStitch] = "dc"
_YARNS: Final = (
    Yarn(name="Yarn 1", colour="#35607a", ball_m=120, ball_g=50),
    Yarn(name="Yarn 2", colour="#e9dfc8", ball_m=120, ball_g=50),
    Yarn(name="Yarn 3", colour="#c46f4e", ball_m=120, ball_g=50),
)


def starter(
    family: Family,
    *,
    stitch: WorkedStitch = _STITCH,
    run: int | None = None,
    terms: Terms = "US",
    units: Units = "cm",
) -> Design:
    """Return a new design in a family's wave, two rows a colour, worked in back loops.

    A wave of stitch heights is worked in both loops, and every row is in another colour, since
    each fills the one below; its stitches are its own, so `stitch` doesn't matter to it.

    Args:
        family: The family.
        stitch: What its rows are worked in.
        run: Plain stitches in a run, or of a wave of heights; None for the family's own.
        terms: Terms it is written in.
        units: Units it is measured in.
    """
    if family.is_of_heights:
        stitch = _STITCH
    facts = CATALOGUE[stitch]
    shape = family_shape(family, stitch, family.run if run is None else run)
    usual = Turning(facts.turning_chains, facts.chain_counts)
    rows = 1 if family.is_of_heights else 2
    stripes = tuple(Stripe(yarn, rows) for yarn in (0, 1, 2, 1))
    return Design(
        title=f"New {family.name.lower()} wave",
        terms=terms,
        units=units,
        gauge=Gauge(stitch=stitch, stitches=13, rows=13 / facts.height_to_width),
        wave=wave_of(shape),
        turning=family_turning(shape, usual),
        loops=Loops("both" if family.is_of_heights else "back", 2, True),
        size=Size(8 if shape.multiple <= 20 else 5, 64),
        yarns=_YARNS,
        stripes=Stripes(stripes),
    )
