"""Newton's method on a net: small periodic nets at once, tall ones row by row.

Both take whole Newton steps where the curvature is positive, fall back to the positive part
of it where it isn't, and go back along a step that raises the energy. The steps of a tall net
are found by conjugate gradients with one approximate inverse, made where the net starts
(`core.fabric.rowblocks`); it is made anew only where it no longer helps.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from core.errors import Stopped
from core.fabric.energy import Frame, energy, pull_and_stiffness, spring_vectors_mm, walls
from core.fabric.gradients import conjugate_gradients
from core.fabric.inverse import Singles, positive_inverse
from core.fabric.net import Net
from core.fabric.rowsteps import Progress, RowSteps, silent
from core.fabric.springs import Flags, Floats
from core.records import Struct, replace
from core.rows.plan import Indices

MAX_STEPS: Final = 200  # nearly always some 10; a net that stands on edge takes long to tip over
SMALL_STEP: Final = 1e-7  # of the net's rest length: far below what a person could see
_AT_ONCE: Final = 200  # unknowns up to which the equations are solved anew in every step
_SLIGHT: Final = 1e-9  # stiffness that keeps loose directions in place

ShouldStop = Callable[[], bool]


def never() -> bool:
    """Return False: the calculation is always wanted."""
    return False


class Settled(Struct, frozen=True, eq=False):
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
    return _newton(net, tops_mm, frame, _DenseSteps(net).step, should_stop)


def periodic_curvature(net: Net, tops_mm: Floats, frame: Frame) -> Floats:
    """Return the curvature of a periodic net over its tops and the frame's three numbers."""
    return _DenseSteps(net).equations(tops_mm, frame, exact=True)[1]


def relax_rows(
    net: Net,
    tops_mm: Floats,
    frame: Frame,
    *,
    row_of: Indices,
    free: Flags,
    free_repeat: bool = False,
    period: int = 2,
    close: float = SMALL_STEP,
    should_stop: ShouldStop = never,
    progress: Progress = silent,
) -> Settled:
    """Return the net at rest with some nodes held.

    Args:
        net: Not periodic upwards; its nodes numbered row after row.
        tops_mm: Where to start, shape (n_nodes, 2); not changed.
        frame: The repeat.
        row_of: Row of every node, from 0 in steps of 1, shape (n_nodes,).
        free: Nodes that may move, shape (n_nodes,).
        free_repeat: Find the repeat's width as well.
        period: Rows after which rows are expected to be alike; others cost more time.
        close: Share of a mean rest length that a step must be smaller than to be the last.
        should_stop: Asked before every step and often in between.
        progress: Told now and then what share of the work is done, as far as that is known.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    steps = RowSteps(
        net, row_of, free, free_repeat=free_repeat, period=period, look=_look(should_stop, progress)
    )
    return _newton(net, tops_mm, frame, steps.step, should_stop, close)


def _look(should_stop: ShouldStop, progress: Progress) -> Progress:
    """Return what is called during the work: it stops what isn't wanted and tells how far it is."""

    def look(share: float) -> None:
        if should_stop():
            raise Stopped
        progress(share)

    return look


def _newton(
    net: Net,
    tops_mm: Floats,
    frame: Frame,
    step: Callable[[Floats, Frame], tuple[Floats, Floats]],
    should_stop: ShouldStop,
    close: float = SMALL_STEP,
) -> Settled:
    tops, small = tops_mm.copy(), close * float(net.rest_mm.mean())
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


class _DenseSteps:
    """Finds one Newton step after another; the first node stays where it is."""

    def __init__(self, net: Net) -> None:
        self._net = net
        self._places = _spring_places(net, free_up=bool(net.up.any()))
        self._slots = _spring_slots(net)
        self._size = 2 * net.n_nodes + 3
        self._inverse: Singles | None = None

    def step(self, tops: Floats, frame: Frame) -> tuple[Floats, Floats]:
        """Return the slope and the move over all unknowns."""
        for exact in (True, False):
            slope, matrix = self.equations(tops, frame, exact=exact)
            move = self._solved(matrix, -slope)
            if move is not None:
                return slope, move
        return slope, -slope / max(float(self._net.stiffness.max()) * 8.0, 1e-9)

    def equations(self, tops: Floats, frame: Frame, *, exact: bool) -> tuple[Floats, Floats]:
        """Return slope and curvature over all unknowns, the first node held."""
        net, slots, places, size = self._net, self._slots, self._places, self._size
        slope, matrix = _dense_walls(net, tops, frame, exact=exact)
        vectors = spring_vectors_mm(net, tops, frame)
        pull, stiffness = pull_and_stiffness(net, vectors, exact=exact)
        slope += _summed(slots, np.einsum("sij,si->sj", places, pull), size)
        local = places.transpose(0, 2, 1) @ stiffness @ places  # (n_springs, 7, 7)
        where = slots[:, :, np.newaxis] * size + slots[:, np.newaxis, :]
        matrix += _summed(where, local, size * size).reshape(size, size)
        matrix[np.diag_indices(size)] += _SLIGHT
        matrix[:2] = matrix[:, :2] = 0.0
        matrix[[0, 1], [0, 1]] = 1.0
        slope[:2] = 0.0
        return slope, matrix

    def _solved(self, matrix: Floats, right: Floats) -> Floats | None:
        """Return what the matrix takes to `right`, None if it isn't positive."""
        if len(matrix) <= _AT_ONCE:
            try:
                np.linalg.cholesky(matrix)
            except np.linalg.LinAlgError:
                return None
            return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
        # The inverse is dear: made where the net starts, conjugate gradients put it right.
        for _ in range(2):
            if self._inverse is None:
                self._inverse = positive_inverse(matrix.astype(np.float32))
            if self._inverse is None:
                return None
            found = conjugate_gradients(
                lambda way: matrix @ way, self._nearly_inverse, right, close=1e-7
            )
            if found.close:
                return found.downhill
            self._inverse = None
        return found.downhill

    def _nearly_inverse(self, left: Floats) -> Floats:
        assert self._inverse is not None
        return (self._inverse @ left.astype(np.float32)).astype(np.float64)


def _dense_walls(net: Net, tops: Floats, frame: Frame, *, exact: bool) -> tuple[Floats, Floats]:
    """Return slope and curvature of the flattened cells over all unknowns."""
    size = 2 * net.n_nodes + 3
    found = walls(net, tops, frame, exact=exact)
    count = len(found.which)
    if not count:
        return np.zeros(size), np.zeros((size, size))
    # each cell depends on its corners' six coordinates and the frame's three
    slots = np.empty((count, 9), dtype=np.intp)
    slots[:, 0:6:2] = 2 * net.corners[found.which]
    slots[:, 1:6:2] = slots[:, 0:6:2] + 1
    slots[:, 6:] = np.arange(size - 3, size)
    places = np.zeros((count, 6, 9))
    places[:, np.arange(6), np.arange(6)] = 1.0
    places[:, 0:6:2, 6] = net.corner_across[found.which]
    places[:, 0:6:2, 7] = places[:, 1:6:2, 8] = net.corner_up[found.which]
    turned = places.transpose(0, 2, 1)
    slope = _summed(slots, (turned @ found.pull.reshape(-1, 6, 1))[..., 0], size)
    where = slots[:, :, np.newaxis] * size + slots[:, np.newaxis, :]
    matrix = _summed(where, turned @ found.stiffness @ places, size * size)
    return slope, matrix.reshape(size, size)
