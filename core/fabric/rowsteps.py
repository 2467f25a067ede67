"""Newton's steps of a tall net, by conjugate gradients with an approximate inverse.

The inverse is kept from step to step: near rest the curvature hardly changes, and a handful
of rounds puts right what does.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from core.fabric.energy import Frame, Walls, pull_and_stiffness, spring_vectors_mm, walls
from core.fabric.gradients import Found, conjugate_gradients
from core.fabric.net import Net
from core.fabric.rowblocks import RowBlocks, RowInverse
from core.fabric.springs import Flags, Floats
from core.records import replace
from core.rows.plan import Indices

Progress = Callable[[float], None]

_CLOSE: Final = 1e-3  # of the slope: what a step leaves over; Newton's method does the rest
_TOO_MANY: Final = 15  # rounds from which a new inverse is worth its price
_LOOSE: Final = 1e-9  # stiffness that keeps loose directions in place


def silent(_share: float) -> None:
    """Tell nobody how far the work is."""


class RowSteps:
    """Finds one Newton step after another.

    Args:
        net: Its nodes numbered row after row.
        row_of: Row of every node, from 0 in steps of 1, shape (n_nodes,).
        free: Nodes that may move, shape (n_nodes,).
        free_repeat: Whether the repeat's width is to be found as well.
        period: Rows after which rows are expected to be alike.
        look: Called often with the share of the work that is done; may raise `Stopped`.
    """

    def __init__(
        self,
        net: Net,
        row_of: Indices,
        free: Flags,
        *,
        free_repeat: bool,
        period: int,
        look: Progress,
    ) -> None:
        self._net, self._free_repeat, self._period, self._look = net, free_repeat, period, look
        self._blocks = RowBlocks(net, row_of, free)
        self._both = net.ends.T.ravel()
        self._inverse: RowInverse | None = None
        self._share = 0.0  # of the work, as far as that is known: each step halves what is left
        self._told = 0.0

    def step(self, tops: Floats, frame: Frame) -> tuple[Floats, Floats]:
        """Return the slope and the move: 2 numbers a node, with the frame's 3 behind if free."""
        net = self._net
        vectors = spring_vectors_mm(net, tops, frame)
        for exact in (True, False):
            pull, stiffness = pull_and_stiffness(net, vectors, exact=exact)
            flat = walls(net, tops, frame, exact=exact)
            slope = self._summed(pull, flat)
            if self._inverse is None:
                self._inverse = self._blocks.inverse(
                    stiffness, flat, period=self._period, look=self._factoring
                )
            if self._inverse is None:  # not positive; its positive part is
                continue
            curvature = _Curvature(net, stiffness, flat, self._summed_back)
            found = self._solved(curvature, -slope)
            move = found.downhill
            if move is None:
                continue
            answer = slope.ravel(), move.ravel()
            if self._free_repeat:
                answer = self._with_repeat(curvature, pull, flat, slope, move)
            if found.rounds > _TOO_MANY or not found.close:
                self._inverse = None
            self._share = 0.5 + 0.5 * self._share
            return answer
        return self._plain(slope)

    def _plain(self, slope: Floats) -> tuple[Floats, Floats]:
        """Return a short step straight downhill, the repeat held."""
        self._inverse = None
        rest = np.zeros(3 if self._free_repeat else 0)
        flat = np.concatenate([slope.ravel(), rest])
        return flat, -flat / 8.0

    def _with_repeat(
        self, curvature: "_Curvature", pull: Floats, flat: Walls, slope: Floats, move: Floats
    ) -> tuple[Floats, Floats]:
        """Return slope and move with those of the repeat's width behind."""
        across = self._net.across
        corner_across = np.zeros((len(flat.which), 3, 2))
        corner_across[..., 0] = self._net.corner_across[flat.which]
        repeat_slope = float(across @ pull[:, 0] + (flat.pull * corner_across).sum())
        # how the slopes follow the repeat's width
        bent = flat.stiffness @ corner_across.reshape(-1, 6, 1)
        along = across[:, np.newaxis] * curvature.stiffness[:, :, 0]
        follows = self._summed(along, replace(flat, pull=bent.reshape(-1, 3, 2)))
        answer = self._solved(curvature, follows).downhill
        if answer is None:
            return self._plain(slope)
        own = float(across @ along[:, 0] + (bent.ravel() * corner_across.ravel()).sum())
        left = own - float((follows * answer).sum())
        wider = -(repeat_slope + float((follows * move).sum())) / max(left, 1e-9 * own)
        whole = move - wider * answer
        return (
            np.concatenate([slope.ravel(), [repeat_slope, 0.0, 0.0]]),
            np.concatenate([whole.ravel(), [wider, 0.0, 0.0]]),
        )

    def _factoring(self, share: float) -> None:
        self._tell(self._share + 0.5 * share * (1.0 - self._share))

    def _tell(self, share: float) -> None:
        self._told = max(self._told, share)
        self._look(self._told)

    def _summed(self, pull: Floats, flat: Walls) -> Floats:
        """Return the slope at every node that may move, zeros at the others."""
        slope = self._summed_back(pull)
        if len(flat.which):
            corners = self._net.corners[flat.which].ravel()
            for axis in (0, 1):
                at = flat.pull[..., axis].ravel()
                slope[:, axis] += np.bincount(corners, at, self._net.n_nodes)
            self._hold(slope)
        return slope

    def _summed_back(self, pull: Floats) -> Floats:
        """Return the springs' pulls summed over the nodes, zeros where they may not move."""
        total = np.empty((self._net.n_nodes, 2))
        for axis in (0, 1):
            at = pull[:, axis]
            total[:, axis] = np.bincount(self._both, np.concatenate([-at, at]), self._net.n_nodes)
        return self._hold(total)

    def _hold(self, values: Floats) -> Floats:
        if len(self._blocks.moving) < len(values):
            kept = values[self._blocks.moving]
            values[:] = 0.0
            values[self._blocks.moving] = kept
        return values

    def _solved(self, curvature: "_Curvature", right: Floats) -> Found:
        """Return the move that the curvature answers `right` with."""
        assert self._inverse is not None
        inverse, moving = self._inverse, self._blocks.moving

        def nearly_inverse(left: Floats) -> Floats:
            inner = np.zeros_like(left)
            inner[moving] = inverse.times(left[moving])
            return inner

        return conjugate_gradients(
            curvature.times,
            nearly_inverse,
            right,
            close=_CLOSE,
            look=lambda: self._tell(self._share),
        )


class _Curvature:
    """The curvature of a net, to be multiplied with moves of its nodes."""

    def __init__(
        self, net: Net, stiffness: Floats, flat: Walls, summed: Callable[[Floats], Floats]
    ) -> None:
        self.stiffness = stiffness
        self._net, self._flat, self._sum = net, flat, summed
        self._xx, self._xy, self._yy = (
            np.ascontiguousarray(stiffness[:, i, j]) for i, j in ((0, 0), (0, 1), (1, 1))
        )

    def times(self, way: Floats) -> Floats:
        """Return how the slope changes along `way`, shape (n_nodes, 2); held nodes get zeros."""
        one, other = self._net.ends[:, 0], self._net.ends[:, 1]
        x, y = way[:, 0], way[:, 1]
        along, up = x[other] - x[one], y[other] - y[one]
        pull = np.empty((len(along), 2))
        pull[:, 0] = self._xx * along + self._xy * up
        pull[:, 1] = self._xy * along + self._yy * up
        total = self._sum(pull) + _LOOSE * way
        flat = self._flat
        if len(flat.which):
            corners = self._net.corners[flat.which]
            six = (flat.stiffness @ way[corners].reshape(-1, 6, 1)).reshape(-1, 3, 2)
            for axis in (0, 1):
                at = six[..., axis].ravel()
                total[:, axis] += np.bincount(corners.ravel(), at, self._net.n_nodes)
        return total
