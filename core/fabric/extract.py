"""A small piece of a settled blanket, and the same rows on a straight grid.

A chart for a pattern shows a few repeats between the real edges and the first rows. It is cut
from the settled blanket, so that its stitches lean as they will, not as they would in a
swatch of that size.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.design.document import Design
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats, Proportions
from core.fabric.steady import window
from core.records import replace
from core.rows.build import Rows, build_rows

_UPRIGHT: Final = 0.9  # height over lean of the most slanting stitch on a grid, at least


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
    """Return the rows laid straight, every stitch one stitch width along, rows centred.

    Rows of one stitch are level. Where tall and short stitches stand side by side, each has
    its own height, and the rows that fill one another come out level again. Rows whose
    stitches lean over several others are higher, or they would lie flat.
    """
    pieces, y = [], 0.0
    above = _over_level(rows, size)
    for row in range(rows.drawn_rows + 1):
        n = rows.makes(row)
        if row:
            kinds = rows.plan(row).kind.astype(np.intp)
            heights = np.asarray(size.heights_mm)[kinds]
            high = float(heights.mean() if above is not None else heights.max())
            y += max(high, _UPRIGHT * _farthest(rows, row) * size.width_mm)
        x = (np.arange(n) - 0.5 * (n - 1)) * size.width_mm
        pieces.append(np.stack([x, np.full(n, y)], axis=1))
        if above is not None:
            pieces[-1][:, 1] += above[row]
    offset = pieces[0][0, 0]
    pieces = [piece - (offset, 0.0) for piece in pieces]
    return _fabric_of(pieces, Fabric(np.empty((0, 2)), np.zeros(1, np.intp), size, None, True))


def _farthest(rows: Rows, row: int) -> float:
    """Return how many stitches aside of its foot a row's farthest top stands on the grid."""
    links = rows.plan(row).links
    if not len(links):
        return 0.0
    shift = 0.5 * (rows.makes(row - 1) - rows.makes(row))
    return float(np.abs(links[:, 0] - links[:, 1] + shift).max())


def _over_level(rows: Rows, size: Proportions) -> Floats | None:
    """Return how far each stitch of each row stands over its row's mean, shape (rows + 1, n).

    None where every row is of one height, or gains or loses stitches. What a column of
    stitches gains on the others in a period is taken off it evenly, or it would grow for ever.
    """
    kinds = [rows.plans[k].kind for k in sorted({int(k) for k in rows.which[: rows.drawn_rows]})]
    n = rows.makes(0)
    plain = all(
        len(rows.plan(row).links) == rows.makes(row) == n
        and (rows.plan(row).links[:, 0] == rows.plan(row).links[:, 1]).all()
        for row in range(1, rows.drawn_rows + 1)
    )
    if not plain or all(len(set(kind.tolist())) == 1 for kind in kinds):
        return None
    heights = np.array(
        [
            np.asarray(size.heights_mm)[
                np.asarray(rows.in_fabric_order(row, rows.plan(row).kind)).astype(np.intp)
            ]
            for row in range(1, rows.drawn_rows + 1)
        ]
    )
    over = heights - heights.mean(axis=1, keepdims=True)
    period = _period(rows.which[: rows.drawn_rows])
    whole = len(over) // period * period
    if whole:
        over -= over[len(over) - whole :].mean(axis=0)
    above: Floats = np.concatenate([np.zeros((1, n)), np.cumsum(over, axis=0)])
    return above


def _period(which: NDArray[np.intp]) -> int:
    """Return after how many rows, an even number, the kinds of rows repeat from the top down."""
    for period in range(2, len(which) // 2 + 1, 2):
        if (which[-period:] == which[-2 * period : -period]).all():
            return period
    return max(len(which) // 2 * 2, 1)


def _fabric_of(pieces: list[Floats], like: Fabric) -> Fabric:
    tops = np.concatenate(pieces)
    tops.setflags(write=False)
    starts = np.concatenate([[0], np.cumsum([len(piece) for piece in pieces])])
    return replace(like, tops_mm=tops, starts=starts.astype(np.intp))
