"""Strain where stitches are too small to be drawn one by one: averages over square cells.

The cells lie on a grid of the fabric, not of the screen, so that they keep still when the
fabric is moved about.
"""

from typing import Final

import numpy as np

from core.craft.numbers import median
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats
from core.fabric.strain import FabricStrain
from core.records import Struct

_MOST_CELLS: Final = 4_000_000  # a picture can't have more pixels worth the name


class StrainCells(Struct, frozen=True, eq=False):
    """A piece of the grid.

    Attributes:
        mean: Mean strain of each cell's stitches, shape (down, across), the first row on top;
            nan where there is no fabric.
        left_mm: Left edge of the first column.
        top_mm: Upper edge of the first row.
        cell_mm: Side of a cell.
    """

    mean: Floats
    left_mm: float
    top_mm: float
    cell_mm: float

    def strongest(self, block: int) -> tuple[Floats, Floats]:
        """Return the most strained column of each block of cells, and where it is.

        Args:
            block: Cells a block has each way.

        Returns:
            Its mean strain, shape (n,), and the middle of its part of the block, shape (n, 2).
        """
        down, across = (-(-n // block) for n in self.mean.shape)
        padded = np.full((down * block, across * block), np.nan)
        padded[: self.mean.shape[0], : self.mean.shape[1]] = self.mean
        stacks = padded.reshape(down, block, across, block)
        count = (~np.isnan(stacks)).sum(axis=1)
        mean = np.nan_to_num(stacks).sum(axis=1) / np.maximum(count, 1)  # (down, across, block)
        column = np.abs(mean).argmax(axis=2)
        here = count.max(axis=2) >= (block + 1) // 2
        size = np.where(here, np.abs(mean).max(axis=2), 0.0)
        crowded = np.diff(column, axis=1) + block < 0.8 * block  # one of two neighbours will do
        here[:, 1:] &= ~(crowded & (size[:, 1:] < size[:, :-1]))
        here[:, :-1] &= ~(crowded & (size[:, :-1] < size[:, 1:]))
        rows, blocks = np.nonzero(here)
        strain = mean[rows, blocks, column[rows, blocks]]
        x = self.left_mm + (blocks * block + column[rows, blocks] + 0.5) * self.cell_mm
        y = self.top_mm - (rows + 0.5) * block * self.cell_mm
        return strain, np.stack([x, y], axis=1)


def rows_in_view(fabric: Fabric, bottom_mm: float, top_mm: float) -> tuple[int, int]:
    """Return the first and last row of which something lies between two heights.

    The foundation chain counts as row 0; (1, 0) if there is none.
    """
    y, starts = fabric.tops_mm[:, 1], fabric.starts[:-1]
    tallest = max(fabric.size.heights_mm)
    low, high = np.minimum.reduceat(y, starts) - tallest, np.maximum.reduceat(y, starts)
    seen = np.flatnonzero((high >= bottom_mm) & (low <= top_mm))
    return (int(seen[0]), int(seen[-1])) if len(seen) else (1, 0)


def strain_cells(
    fabric: Fabric,
    strain: FabricStrain,
    window_mm: tuple[float, float, float, float],
    cell_mm: float,
) -> StrainCells:
    """Return the mean strain in cells of what a window shows.

    A stitch counts in every cell that its post passes through, taken straight down.

    Args:
        fabric: Where the tops lie.
        strain: Its strain.
        window_mm: Left, bottom, right and top of what is to be seen.
        cell_mm: Side of a cell; made larger if there would be millions.
    """
    left, bottom, right, top = window_mm
    cell_mm = max(cell_mm, ((right - left) * (top - bottom) / _MOST_CELLS) ** 0.5)
    first_column, last_column = int(left // cell_mm), int(right // cell_mm)
    first_row, last_row = int(-top // cell_mm), int(-bottom // cell_mm)
    shape = (last_row - first_row + 1, last_column - first_column + 1)
    first, last = rows_in_view(fabric, bottom, top)
    part = slice(int(fabric.starts[first]), int(fabric.starts[last + 1])) if last >= first else None
    sums, count = np.zeros(shape[0] * shape[1]), np.zeros(shape[0] * shape[1])
    if part is not None:
        x, y = fabric.tops_mm[part].T
        values = strain.of_stitch[part]
        height = median(fabric.size.heights_mm)
        pieces = int(np.clip(np.ceil(height / cell_mm), 1, 6))
        column = np.floor(x / cell_mm).astype(np.intp) - first_column
        for piece in range(pieces):
            middle = y - height * (piece + 0.5) / pieces
            row = np.floor(-middle / cell_mm).astype(np.intp) - first_row
            inside = (column >= 0) & (column < shape[1]) & (row >= 0) & (row < shape[0])
            number = (row * shape[1] + column)[inside]
            sums += np.bincount(number, values[inside], len(sums))
            count += np.bincount(number, minlength=len(sums))
    return StrainCells(
        _means(sums.reshape(shape), count.reshape(shape)),
        first_column * cell_mm,
        -first_row * cell_mm,
        cell_mm,
    )


def _means(sums: Floats, count: Floats) -> Floats:
    """Return the mean of each cell and, by half, of those above and below it.

    Columns of stitches run upwards, so this closes gaps between rows and blurs nothing that
    matters. Cells beyond the fabric's edge stay empty.
    """
    inside = count > 0
    inside[1:-1] |= inside[:-2] & inside[2:]
    inside[:, 1:-1] |= inside[:, :-2] & inside[:, 2:]
    weight, total = _spread(count, 0), _spread(sums, 0)
    across = weight == 0  # a gap between two columns
    weight = np.where(across, _spread(weight, 1), weight)
    total = np.where(across, _spread(total, 1), total)
    mean = np.full(count.shape, np.nan)
    np.divide(total, weight, out=mean, where=inside & (weight > 0))
    return mean


def _spread(values: Floats, axis: int) -> Floats:
    """Return each value with half of both its neighbours added."""
    spread = values.copy()
    upper, lower = (slice(1, None), slice(None, -1))
    one, other = ((upper, slice(None)), (lower, slice(None)))
    if axis == 1:
        one, other = one[::-1], other[::-1]
    spread[one] += 0.5 * values[other]
    spread[other] += 0.5 * values[one]
    return spread
