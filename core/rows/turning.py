"""The turning chain of each row: as many chains as the row's first stitch is tall.

The design's own number belongs to the stitch that row 1 begins with. A row that begins with
another stitch takes the usual number for that one (`core.craft.stitches`, sources there:
woollykits.com and dummies.com, sc 1 to dtr 5). Whether the chain counts is the same in all rows.
"""

from core.craft.stitches import CATALOGUE
from core.design.document import Design, Row, Turning


def turning_of_row(design: Design, row: Row) -> Turning:
    """Return the turning chain that goes with the first stitch of a row."""
    first, own = first_stitch(row), first_stitch(design.wave.first)
    if first == own:
        return design.turning
    chains = CATALOGUE[first].turning_chains
    if design.turning.counts:
        chains = max(chains, 1)  # a chain of none couldn't be the stitch
    return Turning(chains, design.turning.counts)


def first_stitch(row: Row) -> str:
    """Return the kind of stitch that a row begins with."""
    return next(str(item.stitch) for item in row.start + row.repeat if item.stitch)
