"""Fill rows and border as shapes to be painted, in the fabric's own millimetres."""

import numpy as np

from core.design.document import Design
from core.edging.border import BorderPlan
from core.edging.fill import Fill
from core.edging.outline import ENDS
from core.edging.plan import Ends, wish_for
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.records import Struct


class FillBand(Struct, frozen=True, eq=False):
    """One fill row.

    Attributes:
        yarn: Number of its yarn.
        cells_mm: The corners of every stitch, shape (n, 4, 2): feet, then tops backwards.
    """

    yarn: int
    cells_mm: Floats

    def outline_mm(self) -> Floats:
        """Return the row as one closed shape, shape (2 n + 2, 2)."""
        feet = np.vstack([self.cells_mm[:, 0], self.cells_mm[-1:, 1]])
        tops = np.vstack([self.cells_mm[:, 3], self.cells_mm[-1:, 2]])
        return np.concatenate([feet, tops[::-1]])


class Rim(Struct, frozen=True, eq=False):
    """A border round the blanket.

    Attributes:
        yarn: Number of its yarn.
        loops_mm: Closed lines: what it is worked onto, then the outside of every round, each of
            shape (n, 2). Corners are square.
    """

    yarn: int
    loops_mm: tuple[Floats, ...]


def cells_mm(feet: Floats, tops: Floats) -> Floats:
    """Return every stitch of a row as a four-cornered cell, shape (n, 4, 2)."""
    low, high = _between(feet), _between(tops)
    return np.stack([low[:-1], low[1:], high[1:], high[:-1]], axis=1)


def _between(points: Floats) -> Floats:
    """Return the places between neighbours, and half a step beyond both ends."""
    if len(points) == 1:
        return np.vstack([points, points])
    middle = 0.5 * (points[:-1] + points[1:])
    first = points[:1] - (middle[:1] - points[:1])
    last = points[-1:] + (points[-1:] - middle[-1:])
    return np.concatenate([first, middle, last])


def fill_bands(design: Design, ends: Ends) -> tuple[FillBand, ...]:
    """Return every fill row of a blanket, from within outwards."""
    found = []
    for end in ENDS:
        fill, wish = ends.fills.get(end), wish_for(design, end)
        if fill is None or wish is None:
            continue
        feet = fill.outline.tops_mm
        for tops in fill.tops_mm:
            found.append(FillBand(wish.yarn, cells_mm(feet, tops)))
            feet = tops
    return tuple(found)


def rim_of(fabric: Fabric, ends: Ends, plan: BorderPlan | None) -> Rim | None:
    """Return the border round a blanket with its fill rows."""
    if plan is None:
        return None
    half = 0.5 * fabric.size.width_mm
    rows = range(fabric.n_rows + 1)
    left = np.array([fabric.row_tops_mm(row)[0] for row in rows]) - (half, 0.0)
    right = np.array([fabric.row_tops_mm(row)[-1] for row in rows]) + (half, 0.0)
    top, bottom = (
        _end_line(fabric, ends.fills.get("top"), fabric.n_rows),
        _end_line(fabric, ends.fills.get("bottom"), 0),
    )
    # Fill rows flare at the corners; a border pulls them back in line with the sides.
    for line in (top, bottom):
        line[:, 0] = line[:, 0].clip(left[:, 0].min(), right[:, 0].max())
    step = plan.adds_mm / plan.border.rounds
    loops = [_loop(bottom, right, top, left, step * n) for n in range(plan.border.rounds + 1)]
    return Rim(plan.border.yarn, tuple(loops))


def _loop(bottom: Floats, right: Floats, top: Floats, left: Floats, out_mm: float) -> Floats:
    """Return the closed line that lies `out_mm` outside four sides, each moved straight out."""
    sides = (bottom, right, top[::-1], left[::-1])
    ways = ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0))
    moved = [side + np.multiply(way, out_mm) for side, way in zip(sides, ways, strict=True)]
    pieces = []
    for number, side in enumerate(moved):
        corner = side[-1] + np.multiply(ways[(number + 1) % 4], out_mm)
        pieces += [side, corner[np.newaxis]]
    return np.concatenate(pieces)


def _end_line(fabric: Fabric, fill: Fill | None, row: int) -> Floats:
    tops = fill.tops_mm[-1] if fill else fabric.row_tops_mm(row)
    return _between(tops)


def extent_mm(
    fabric: Fabric, bands: tuple[FillBand, ...], rim: Rim | None
) -> tuple[float, float, float, float]:
    """Return left, bottom, right and top of the blanket with all that is worked round it."""
    left, bottom, right, top = fabric.bounds_mm()
    half = 0.5 * fabric.size.width_mm
    corners = [np.array([[left - half, bottom], [right + half, top]])]
    corners += [band.cells_mm.reshape(-1, 2) for band in bands]
    if rim is not None:
        corners.append(rim.loops_mm[-1])
    every = np.concatenate(corners)
    low, high = every.min(axis=0), every.max(axis=0)
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])
