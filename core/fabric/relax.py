"""Newton's method on a net: small periodic nets at once, tall ones row by row.

Both take whole Newton steps where the curvature is positive, fall back to the positive part
of it where it isn't, and go back along a step that raises the energy. A row touches only the
row below, so the equations of a tall net are block tridiagonal.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from core.errors import Stopped
from core.fabric.energy import (
    Frame,
    Walls,
    energy,
    pull_and_stiffness,
    spring_vectors_mm,
    walls,
)
from core.fabric.net import Net
from core.fabric.springs import Flags, Floats
from core.rows.plan import Indices

MAX_STEPS: Final = 60
_SMALL_STEP: Final = 1e-7  # of the net's rest length: far below what a person could see
_SLIGHT: Final = 1e-9  # stiffness that keeps loose directions in place

ShouldStop = Callable[[], bool]


def never() -> bool:
    """Return False: the calculation is always wanted."""
    return False


@dataclass(frozen=True, slots=True, eq=False)
class Settled:
    """A net at rest.

    Attributes:
        tops_mm: Shape (n_nodes, 2).
        frame: What one repeat and one period are.
        energy: What the springs still hold.
        steps: Newton steps taken.
        converged: Whether the last step was small enough.
    """

    tops_mm: Floats
    frame: Frame
    energy: float
    steps: int
    converged: bool


def relax_periodic(
    net: Net, tops_mm: Floats, frame: Frame, *, should_stop: ShouldStop = never
) -> Settled:
    """Return the net at rest, its repeat and period found along with the tops.

    Args:
        net: Periodic across, and upwards too if it has images up.
        tops_mm: Where to start, shape (n_nodes, 2); not changed.
        frame: Where to start.
        should_stop: Asked before every step.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    free_up = bool(net.up.any())
    places = _spring_places(net, free_up=free_up)
    slots = _spring_slots(net)

    def step(tops: Floats, frame: Frame) -> tuple[Floats, Floats]:
        return _dense_step(net, tops, frame, slots, places)

    return _newton(net, tops_mm, frame, step, should_stop)


def relax_rows(
    net: Net,
    tops_mm: Floats,
    frame: Frame,
    *,
    row_of: Indices,
    free: Flags,
    should_stop: ShouldStop = never,
) -> Settled:
    """Return the net at rest with its repeat given and some nodes held.

    Args:
        net: Not periodic upwards.
        tops_mm: Where to start, shape (n_nodes, 2); not changed.
        frame: The repeat.
        row_of: Row of every node, from 0 in steps of 1, shape (n_nodes,).
        free: Nodes that may move, shape (n_nodes,).
        should_stop: Asked before every step.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    blocks = _Blocks(net, row_of, free, should_stop)
    return _newton(net, tops_mm, frame, blocks.step, should_stop)


def _newton(
    net: Net,
    tops_mm: Floats,
    frame: Frame,
    step: Callable[[Floats, Frame], tuple[Floats, Floats]],
    should_stop: ShouldStop,
) -> Settled:
    tops, small = tops_mm.copy(), _SMALL_STEP * float(net.rest_mm.mean())
    now = energy(net, tops, frame)
    for count in range(MAX_STEPS):
        if should_stop():
            raise Stopped
        slope, move = step(tops, frame)
        found = _go_down(net, tops, frame, move, slope, now)
        if found is None:  # downhill only within rounding
            return Settled(tops, frame, now, count, np.abs(move).max() < 1e3 * small)
        tops, frame, now, part = found
        if part * np.abs(move).max() < small:
            return Settled(tops, frame, now, count + 1, True)
    return Settled(tops, frame, now, MAX_STEPS, False)


def _go_down(
    net: Net, tops: Floats, frame: Frame, move: Floats, slope: Floats, now: float
) -> tuple[Floats, Frame, float, float] | None:
    """Return the net after the longest allowed part of `move`, or None if there is none."""
    fall = float((slope * move).sum())
    part = 1.0
    for _ in range(30):
        new_tops, new_frame = _moved(tops, frame, part * move)
        new = energy(net, new_tops, new_frame)
        if new <= now + 1e-4 * part * fall + 1e-14 * now:
            return new_tops, new_frame, new, part
        part *= 0.5
    return None


def _moved(tops: Floats, frame: Frame, move: Floats) -> tuple[Floats, Frame]:
    """Return tops and frame after a move of 2n numbers, or 2n + 3 with the frame's behind."""
    n = tops.size
    new = tops + move[:n].reshape(-1, 2)
    if len(move) == n:
        return new, frame
    up = (frame.period_mm[0] + float(move[n + 1]), frame.period_mm[1] + float(move[n + 2]))
    return new, replace(frame, repeat_mm=frame.repeat_mm + float(move[n]), period_mm=up)


def _summed(where: Indices, values: Floats, length: int) -> Floats:
    """Return `length` sums: of the values that belong to each number of `where`."""
    return np.bincount(where.ravel(), values.ravel(), length).astype(np.float64, copy=False)


# --- small nets, all unknowns at once ----------------------------------------------------


def _spring_slots(net: Net) -> Indices:
    """Return which unknowns each spring depends on, shape (n_springs, 7)."""
    last = 2 * net.n_nodes
    ends = 2 * net.ends
    frame = np.broadcast_to([last, last + 1, last + 2], (len(ends), 3))
    return np.concatenate(
        [ends[:, :1], ends[:, :1] + 1, ends[:, 1:], ends[:, 1:] + 1, frame], axis=1
    )


def _spring_places(net: Net, *, free_up: bool) -> Floats:
    """Return how each spring's vector follows its unknowns, shape (n_springs, 2, 7)."""
    places = np.zeros((len(net.ends), 2, 7))
    places[:, 0, 0] = places[:, 1, 1] = -1.0
    places[:, 0, 2] = places[:, 1, 3] = 1.0
    places[:, 0, 4] = net.across
    if free_up:
        places[:, 0, 5] = places[:, 1, 6] = net.up
    return places


def _dense_step(
    net: Net, tops: Floats, frame: Frame, slots: Indices, places: Floats
) -> tuple[Floats, Floats]:
    """Return the slope and the Newton move; the first node stays where it is."""
    vectors = spring_vectors_mm(net, tops, frame)
    wall_slope, wall_matrix = _dense_walls(net, tops, frame)
    for exact in (True, False):
        pull, stiffness = pull_and_stiffness(net, vectors, exact=exact)
        size = 2 * net.n_nodes + 3
        slope = wall_slope + _summed(slots, np.einsum("sij,si->sj", places, pull), size)
        local = places.transpose(0, 2, 1) @ stiffness @ places  # (n_springs, 7, 7)
        where = slots[:, :, np.newaxis] * size + slots[:, np.newaxis, :]
        matrix = wall_matrix + _summed(where, local, size * size).reshape(size, size)
        matrix[np.diag_indices(size)] += _SLIGHT
        matrix[:2] = matrix[:, :2] = 0.0
        matrix[[0, 1], [0, 1]] = 1.0
        slope[:2] = 0.0
        try:
            np.linalg.cholesky(matrix)
        except np.linalg.LinAlgError:
            continue
        move = np.asarray(-np.linalg.solve(matrix, slope), dtype=np.float64)
        return slope, move
    return slope, -slope / max(float(net.stiffness.max()) * 8.0, 1e-9)


def _dense_walls(net: Net, tops: Floats, frame: Frame) -> tuple[Floats, Floats]:
    """Return slope and curvature of the flattened cells over all unknowns."""
    size = 2 * net.n_nodes + 3
    found = walls(net, tops, frame)
    ways = np.zeros((len(found.which), size))
    slope = np.zeros(size)
    for number, triangle in enumerate(found.which):
        for corner in range(3):
            for axis in (0, 1):
                slots = [2 * int(net.corners[triangle, corner]) + axis, size - 2 + axis]
                counts = [1, int(net.corner_up[triangle, corner])]
                if axis == 0:
                    slots.append(size - 3)
                    counts.append(int(net.corner_across[triangle, corner]))
                ways[number, slots] += np.array(counts) * found.way[number, corner, axis]
                slope[slots] += np.array(counts) * found.pull[number, corner, axis]
    return slope, ways.T @ ways


# --- tall nets, row by row ---------------------------------------------------------------


class _Blocks:
    """The Newton equations of a net in blocks of one row each."""

    def __init__(
        self, net: Net, row_of: Indices, free: Flags, should_stop: ShouldStop = never
    ) -> None:
        self._net = net
        self._should_stop = should_stop
        self._free = free
        self._n_rows = int(row_of.max()) + 1
        in_row = np.zeros(net.n_nodes, dtype=np.intp)
        moving = np.flatnonzero(free)
        counts = np.bincount(row_of[moving], minlength=self._n_rows)
        starts = np.concatenate([[0], np.cumsum(counts)])
        in_row[moving] = np.arange(len(moving)) - starts[row_of[moving]]
        self._wide = int(counts.max())
        self._row, self._slot = row_of, in_row
        self._padding = np.arange(self._wide)[np.newaxis, :] >= counts[:, np.newaxis]
        self._pairs = [self._pair(i, j) for i in (0, 1) for j in (0, 1)]

    def _pair(self, i: int, j: int) -> tuple[Flags, Indices, Flags, float]:
        """Return which springs join end i to end j, and where their 2 x 2 blocks belong."""
        places = self._places(self._net.ends[:, i], self._net.ends[:, j])
        return *places, 1.0 if i == j else -1.0

    def _places(self, one: Indices, other: Indices) -> tuple[Flags, Indices, Flags]:
        """Return which pairs of nodes have a 2 x 2 block, where, and whether it leads down."""
        row, col_row = self._row[one], self._row[other]
        use = self._free[one] & self._free[other] & (row >= col_row)
        width = 2 * self._wide
        first = (row * width + 2 * self._slot[one]) * width + 2 * self._slot[other]
        corner = np.array([[0, 1], [width, width + 1]])
        where = first[use][:, np.newaxis, np.newaxis] + corner
        return use, where, (row > col_row)[use]

    def step(self, tops: Floats, frame: Frame) -> tuple[Floats, Floats]:
        """Return the slope and the Newton move, 2 numbers a node, zeros for held ones."""
        vectors = spring_vectors_mm(self._net, tops, frame)
        flat = walls(self._net, tops, frame)
        for exact in (True, False):
            pull, stiffness = pull_and_stiffness(self._net, vectors, exact=exact)
            slope = self._slope(pull, flat)
            move = self._solve(slope, *self._matrices(stiffness, flat))
            if move is not None:
                return slope.ravel(), move.ravel()
        return slope.ravel(), -slope.ravel() / 8.0

    def _slope(self, pull: Floats, flat: Walls) -> Floats:
        slope = np.empty((self._net.n_nodes, 2))
        corners = self._net.corners[flat.which]
        for axis in (0, 1):
            slope[:, axis] = _summed(self._net.ends[:, 1], pull[:, axis], self._net.n_nodes)
            slope[:, axis] -= _summed(self._net.ends[:, 0], pull[:, axis], self._net.n_nodes)
            slope[:, axis] += _summed(corners, flat.pull[..., axis], self._net.n_nodes)
        slope[~self._free] = 0.0
        return slope

    def _matrices(self, stiffness: Floats, walled: Walls) -> tuple[Floats, Floats]:
        """Return each row's own block and the one towards the row below."""
        width = 2 * self._wide
        shape = (self._n_rows, width, width)
        flat = [np.zeros(self._n_rows * width * width) for _ in range(2)]
        for use, where, is_down, sign in self._pairs:
            values = sign * stiffness[use]
            for down in (False, True):
                picked = is_down == down
                flat[down] += _summed(where[picked], values[picked], len(flat[down]))
        if len(walled.which):
            self._add_walls(flat, walled)
        own, down_block = flat[0].reshape(shape), flat[1].reshape(shape)
        diagonal = np.arange(width)
        own[:, diagonal, diagonal] += _SLIGHT + np.repeat(self._padding, 2, axis=1)
        return own, down_block

    def _add_walls(self, flat: list[Floats], walled: Walls) -> None:
        """Add the curvature of the flattened cells; a cell spans a row and the one below."""
        corners = self._net.corners[walled.which]
        for i in range(3):
            for j in range(3):
                use, where, is_down = self._places(corners[:, i], corners[:, j])
                values = walled.way[use, i, :, np.newaxis] * walled.way[use, j, np.newaxis, :]
                for down in (False, True):
                    picked = is_down == down
                    flat[down] += _summed(where[picked], values[picked], len(flat[down]))

    def _solve(self, slope: Floats, own: Floats, down: Floats) -> Floats | None:
        """Return the move that the equations ask for, None if they aren't positive."""
        width = 2 * self._wide
        pairs = np.zeros((self._n_rows, self._wide, 2))
        pairs[self._row[self._free], self._slot[self._free]] = -slope[self._free]
        right: Floats = pairs.reshape(self._n_rows, width)
        inner: list[Floats] = []  # own^-1 [down^T | right] of every row, bottom up
        for row in range(self._n_rows):
            if self._should_stop():
                raise Stopped
            block = own[row]
            if row:
                block = block - down[row] @ inner[-1][:, :width]
                right[row] -= down[row] @ inner[-1][:, width]
            try:
                np.linalg.cholesky(block)
            except np.linalg.LinAlgError:
                return None
            above = down[row + 1].T if row + 1 < self._n_rows else np.zeros((width, width))
            inner.append(np.linalg.solve(block, np.column_stack([above, right[row]])))
        found = np.empty_like(right)
        found[-1] = inner[-1][:, width]
        for row in range(self._n_rows - 2, -1, -1):
            found[row] = inner[row][:, width] - inner[row][:, :width] @ found[row + 1]
        move = np.zeros((self._net.n_nodes, 2))
        pairs = found.reshape(self._n_rows, self._wide, 2)
        move[self._free] = pairs[self._row[self._free], self._slot[self._free]]
        return move
