"""An approximate inverse of a tall net's curvature, made row by row.

A row touches only the row below, so the equations are block tridiagonal: going up the rows,
each row's block less what the rows below answer for is inverted once. In the middle of a
blanket every period of rows is like the one before, and so is its inverse, which is then used
again: the work doesn't grow with the rows. Single precision will do, since conjugate gradients
put right what it misses (`core.fabric.rowsteps`).
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from core.fabric.energy import Walls
from core.fabric.inverse import Singles, positive_inverse
from core.fabric.net import Net
from core.fabric.springs import Flags, Floats
from core.records import Struct
from core.rows.plan import Indices

GROUND: Final = np.float32(3e-5)  # stiffness that keeps the blanket as a whole in place
_SAME_ROW: Final = 1e-4  # rows whose stiffnesses differ less than this count as alike
_SAME_INVERSE: Final = 1e-3  # share by which two inverses may differ and count as one
_PIECE: Final = 96  # rows of a block that leads down, kept together


class _Entries(Struct, frozen=True, eq=False):
    """Where pairs of nodes stand in the rows' blocks.

    Attributes:
        pick: Which pairs, in the order of their rows, shape (n,).
        where: Number of each of the four entries of the pair's 2 x 2 block, shape (n, 4).
        cuts: First pair of every row, shape (n_rows + 1,).
    """

    pick: Indices
    where: Indices
    cuts: Indices


class RowBlocks:
    """How the free nodes of a net are numbered in rows, and where its springs stand.

    Args:
        net: Its nodes numbered row after row.
        row_of: Row of every node, from 0 in steps of 1, shape (n_nodes,).
        free: Nodes that may move, shape (n_nodes,).
    """

    def __init__(self, net: Net, row_of: Indices, free: Flags) -> None:
        self._net = net
        self._row_of, self._free = row_of, free
        self.moving = np.flatnonzero(free)
        self.n_rows = int(row_of.max()) + 1
        self.starts = np.searchsorted(row_of[self.moving], np.arange(self.n_rows + 1))
        self.counts = np.diff(self.starts)
        self._slot = np.zeros(net.n_nodes, dtype=np.intp)
        self._slot[self.moving] = np.arange(len(self.moving)) - self.starts[row_of[self.moving]]
        one = np.concatenate([net.ends[:, i] for i in (0, 0, 1, 1)])
        other = np.concatenate([net.ends[:, j] for j in (0, 1, 0, 1)])
        self._own, self._down = self._entries(one, other)

    @property
    def numbers(self) -> int:
        """How many numbers the inverses of all rows hold if none is used twice."""
        return int((4 * self.counts**2).sum())

    def _entries(self, one: Indices, other: Indices) -> tuple[_Entries, _Entries]:
        """Return the pairs within a row and those that lead to the row below."""
        row, below = self._row_of[one], self._row_of[other]
        movable = self._free[one] & self._free[other]
        return (
            self._sorted(one, other, np.flatnonzero(movable & (row == below))),
            self._sorted(one, other, np.flatnonzero(movable & (row == below + 1))),
        )

    def _sorted(self, one: Indices, other: Indices, pick: Indices) -> _Entries:
        row = self._row_of[one[pick]]
        order = np.argsort(row, kind="stable")
        pick, row = pick[order], row[order]
        width = 2 * self.counts[self._row_of[other[pick]]]
        first = 2 * self._slot[one[pick]] * width + 2 * self._slot[other[pick]]
        where = np.stack([first, first + 1, first + width, first + width + 1], axis=1)
        return _Entries(pick, where, np.searchsorted(row, np.arange(self.n_rows + 1)))

    def inverse(
        self,
        stiffness: Floats,
        flat: Walls,
        *,
        period: int,
        look: Callable[[float], None],
    ) -> "RowInverse | None":
        """Return the inverse for these stiffnesses, None if they aren't positive.

        Args:
            stiffness: Curvature of every spring, shape (n_springs, 2, 2).
            flat: The cells that push back.
            period: Rows after which rows are expected to be alike.
            look: Called after every row with the share that is done; may raise `Stopped`.
        """
        pairs = np.concatenate([stiffness, -stiffness, -stiffness, stiffness]).reshape(-1, 4)
        parts: list[_Part] = [((self._own, self._down), pairs)]
        if len(flat.which):
            parts.append(self._wall_parts(flat))
        made = RowInverse(self)
        for row in range(self.n_rows):
            own = self._block(parts, row, 0)
            down = self._block(parts, row, 1) if row else None
            if not made.add(own, down, period):
                return None
            look((row + 1) / self.n_rows)
        return made

    def _wall_parts(self, flat: Walls) -> "_Part":
        corners = self._net.corners[flat.which]
        nine = [(i, j) for i in range(3) for j in range(3)]
        one = np.concatenate([corners[:, i] for i, _ in nine])
        other = np.concatenate([corners[:, j] for _, j in nine])
        blocks = flat.stiffness.reshape(-1, 3, 2, 3, 2)
        values = np.concatenate([blocks[:, i, :, j, :] for i, j in nine])
        return self._entries(one, other), values.reshape(-1, 4)

    def _block(self, parts: "list[_Part]", row: int, down: int) -> "_Block":
        """Return a row's block and the numbers it was summed from."""
        shape = (2 * self.counts[row], 2 * self.counts[row - down])
        total = np.zeros(shape[0] * shape[1])
        sources: list[Floats] = []
        for both, values in parts:
            entries = both[down]
            cut = slice(entries.cuts[row], entries.cuts[row + 1])
            where, value = entries.where[cut], values[entries.pick[cut]]
            total += np.bincount(where.ravel(), value.ravel(), len(total))
            sources += [where.astype(np.float64), value]
        return total.reshape(shape).astype(np.float32), sources


_Block = tuple[Singles, list[Floats]]
_Part = tuple[tuple[_Entries, _Entries], Floats]


class _Band:
    """A block that leads to the row below: a narrow band, kept as a few dense pieces."""

    def __init__(self, block: Singles) -> None:
        self.shape = block.shape
        self._pieces: list[tuple[slice, slice, Singles]] = []
        for start in range(0, block.shape[0], _PIECE):
            rows = slice(start, start + _PIECE)
            used = np.flatnonzero(block[rows].any(axis=0))
            if len(used):
                columns = slice(int(used[0]), int(used[-1]) + 1)
                self._pieces.append((rows, columns, block[rows, columns].copy()))

    def times(self, right: Singles) -> Singles:
        """Return the block times a vector or a matrix."""
        found = np.zeros((self.shape[0], *right.shape[1:]), dtype=np.float32)
        for rows, columns, piece in self._pieces:
            found[rows] = piece @ right[columns]
        return found

    def turned_times(self, right: Singles) -> Singles:
        """Return the transposed block times a vector."""
        found = np.zeros(self.shape[1], dtype=np.float32)
        for rows, columns, piece in self._pieces:
            found[columns] += right[rows] @ piece
        return found


class RowInverse:
    """The inverse, one row's part after another from below; apply it with `times`."""

    def __init__(self, blocks: RowBlocks) -> None:
        self._starts = blocks.starts
        self._inverse: list[Singles] = []
        self._down: list[_Band] = []  # of rows 1, 2, ...
        self._sources: list[list[Floats]] = []
        self._settled = False
        self.used_again = 0

    def add(self, own: _Block, down: _Block | None, period: int) -> bool:
        """Take the next row's blocks; False if they aren't positive."""
        row = len(self._inverse)
        sources = own[1] + (down[1] if down else [])
        alike = (
            row > period
            and down is not None
            and own[0].shape == self._inverse[row - period].shape
            and down[0].shape == self._down[row - period - 1].shape
            and _alike(sources, self._sources[row - period])
        )
        self._sources.append(sources)
        if row > period:
            self._sources[row - period - 1] = []  # not compared with again
        if down is not None:
            self._down.append(self._down[row - period - 1] if alike else _Band(down[0]))
        if alike and self._settled:
            self._inverse.append(self._inverse[row - period])
            self.used_again += 1
            return True
        block = own[0]
        block[np.diag_indices(len(block))] += GROUND
        if down is not None:
            band = self._down[-1]
            block = block - band.times(band.times(self._inverse[-1]).T)
        inverse = positive_inverse(block)
        if inverse is None:
            return False
        self._settled = alike and _close(inverse, self._inverse[row - period])
        self._inverse.append(inverse)
        return True

    def times(self, right: Floats) -> Floats:
        """Return the inverse times two numbers a free node, shape (n_free, 2)."""
        starts, rows = self._starts, len(self._inverse)
        single = right.astype(np.float32)
        found: list[Singles] = []
        for row in range(rows):
            part = single[starts[row] : starts[row + 1]].ravel()
            if row:
                part = part - self._down[row - 1].times(found[-1])
            found.append(self._inverse[row] @ part)
        for row in range(rows - 2, -1, -1):
            above = self._down[row].turned_times(found[row + 1])
            found[row] -= self._inverse[row] @ above
        return np.concatenate(found).reshape(-1, 2).astype(np.float64)


def _alike(one: list[Floats], other: list[Floats]) -> bool:
    return len(one) == len(other) and all(
        a.shape == b.shape and (not a.size or float(np.abs(a - b).max()) < _SAME_ROW)
        for a, b in zip(one, other, strict=True)
    )


def _close(one: Singles, other: Singles) -> bool:
    return not one.size or bool(np.abs(one - other).max() < _SAME_INVERSE * np.abs(other).max())
