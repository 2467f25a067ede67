"""A small piece of a settled blanket, and the same rows on a straight grid.

A chart for a pattern shows a few repeats between the real edges and the first rows. It is cut
from the settled blanket, so that its stitches lean as they will, not as they would in a
swatch of that size.
"""

from dataclasses import replace

import numpy as np

from core.design.document import Design
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats, Proportions
from core.fabric.steady import window
from core.rows.build import Rows, build_rows


def extract(
    design: Design, rows: Rows, fabric: Fabric, *, repeats: int, n_rows: int
) -> tuple[Rows, Fabric]:
    """Return the first rows with only so many repeats between the edges.

    Args:
        design: The design that rows and fabric were made from.
        rows: Its rows.
        fabric: Its fabric; unchanged.
        repeats: Repeats to keep, half of them at each edge; all if there are no more.
        n_rows: Rows to keep from the foundation up.
    """
    n_rows = min(n_rows, fabric.n_rows)
    whole = design.size.repeats
    if repeats >= whole or fabric.steady is None or rows.misfit is not None:
        kept = build_rows(design, rows=n_rows)
        tops = fabric.tops_mm[: fabric.starts[n_rows + 1]]
        return kept, replace(fabric, tops_mm=tops, starts=fabric.starts[: n_rows + 2])
    small = build_rows(design, repeats=repeats, rows=n_rows)
    pieces = []
    for row in range(n_rows + 1):
        left, width = window(rows, row, whole)
        cut = left - whole // 2 * width + (repeats + 1) // 2 * width
        tops = fabric.row_tops_mm(row)
        beyond = cut + (whole - repeats) * width
        # what is left out begins and ends at the same place of a repeat
        pieces.append(np.concatenate([tops[:cut], tops[beyond:] - (tops[beyond] - tops[cut])]))
    return small, _fabric_of(pieces, fabric)


def straight_grid(rows: Rows, size: Proportions) -> Fabric:
    """Return the rows laid straight, every stitch one stitch width along, rows centred."""
    pieces, y = [], 0.0
    for row in range(rows.drawn_rows + 1):
        n = rows.makes(row)
        if row:
            kinds = rows.plan(row).kind.astype(np.intp)
            y += float(np.asarray(size.heights_mm)[kinds].max())
        x = (np.arange(n) - 0.5 * (n - 1)) * size.width_mm
        pieces.append(np.stack([x, np.full(n, y)], axis=1))
    offset = pieces[0][0, 0]
    pieces = [piece - (offset, 0.0) for piece in pieces]
    return _fabric_of(pieces, Fabric(np.empty((0, 2)), np.zeros(1, np.intp), size, None, True))


def _fabric_of(pieces: list[Floats], like: Fabric) -> Fabric:
    tops = np.concatenate(pieces)
    tops.setflags(write=False)
    starts = np.concatenate([[0], np.cumsum([len(piece) for piece in pieces])])
    return replace(like, tops_mm=tops, starts=starts.astype(np.intp))
