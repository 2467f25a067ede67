"""Designs whose stripes and whose yarn in a row are as a test says."""

from msgspec.structs import replace

from core.design.document import Reckoning, Size, Stripe, Stripes, Swatch
from core.rows.build import build_rows
from core.yarn.plain import published_m_per_m2
from core.yarn.rows import row_yarn

YARD = 0.9144  # m; international yard, 1959


def striped(design, *sequence, rows=None, fill="repeat", yarns=None, **reckoning):
    """Return the design in these stripes: pairs of yarn and rows."""
    n_yarns = yarns or 1 + max(yarn for yarn, _ in sequence)
    stripes = Stripes(tuple(Stripe(*stripe) for stripe in sequence), fill)
    one = design.yarns[0]
    return replace(
        design,
        yarns=tuple(replace(one, name=f"Yarn {n}") for n in range(n_yarns)),
        stripes=stripes,
        size=Size(design.size.repeats, rows or stripes.rows),
        reckoning=Reckoning(**reckoning) if reckoning else None,
    )


def row_taking(design, length_m):
    """Return the design by a swatch that makes every row take so much."""
    by_row = row_yarn(design, build_rows(design))
    per = (design.swatch and design.swatch.yarn_m_per_m2) or published_m_per_m2(
        design.gauge.stitch_width_mm
    )
    return replace(design, swatch=Swatch(yarn_m_per_m2=per * length_m / by_row.row_m[0]))
