"""The fabric as a picture: for every pixel its row, and how light falls on it there.

It is a drawing, not a measurement: rows, posts and tops lie where the fabric has them; strands,
fold and light are drawn. Which loops show on which face is the trade's (`core.stripes.loops`).
"""

from collections.abc import Sequence

from core.design.document import WorkIn
from core.fabric.light import USUAL, Light
from core.fabric.sheet import Fabric
from core.fabric.surface import Scene, Surface, shows_rows
from core.fabric.view import SHADES, Relief, View, nothing
from core.rows.build import Rows

__all__ = ["SHADES", "Relief", "Scene", "Surface", "View", "relief_of", "shows_rows"]


def relief_of(
    fabric: Fabric,
    rows: Rows,
    loops: Sequence[WorkIn],
    view: View,
    *,
    ridges: bool = True,
    light: Light = USUAL,
) -> Relief:
    """Return the picture of the fabric that `view` shows.

    Args:
        fabric: Where the tops lie.
        rows: Its rows.
        loops: The loop each row is worked into (`core.stripes.loops.design_loops`).
        view: What to picture.
        ridges: Draw loops and fold; without them all rows look worked into both loops.
        light: Where the light comes from.
    """
    if not shows_rows(fabric, view):
        return nothing(view.height_px, view.width_px)
    return Scene(fabric, rows, loops, view, ridges=ridges).surface().lit(light)
