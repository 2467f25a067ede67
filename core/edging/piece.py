"""The rows next to one end, with fill rows worked onto them, settled.

A fill row touches only what is near it, so a few rows stand for the blanket: the innermost is
held where the fabric has it, the others and the fill are free. For choosing stitches one
repeat that goes on for ever is enough; for the corners a piece of a few repeats with both
side edges is settled. At the foundation the fill hangs from the other side of the chain.
"""

from typing import Final

import numpy as np

from core.craft.stitches import KEYS
from core.design.document import Design
from core.edging.outline import Outline
from core.fabric.energy import Frame
from core.fabric.net import Level, Net, SpringBook, build_net
from core.fabric.relax import ShouldStop, never, relax_rows
from core.fabric.sheet import Fabric
from core.fabric.springs import Floats, Proportions, RowSprings, row_springs
from core.fabric.steady import window
from core.records import Struct, replace
from core.rows.build import Rows, build_rows
from core.rows.plan import Indices

_DEPTH: Final = 4  # rows above the held one; more change nothing that can be seen
_REPEATS: Final = 3  # the middle one has a whole neighbour at either side


class Piece(Struct, frozen=True, eq=False):
    """Rows next to one end, cut to a few repeats.

    Attributes:
        outline: The end's outline in this piece.
        size: Rest lengths.
        net: Springs of its rows.
        tops_mm: Where the fabric has them, the innermost row first, shape (n_nodes, 2).
        starts: Number of each row's first node, shape (rows + 1,).
        lefts: First stitch of the middle repeat in every row, shape (rows,).
        widths: Stitches of a repeat in every row, shape (rows,).
    """

    outline: Outline
    size: Proportions
    net: Net
    tops_mm: Floats
    starts: Indices
    lefts: Indices
    widths: Indices

    @property
    def n_rows(self) -> int:
        """Rows of the blanket in it."""
        return len(self.starts) - 1


def cut_piece(design: Design, rows: Rows, fabric: Fabric, outline: Outline) -> Piece:
    """Return the piece next to the end that `outline` is of."""
    whole, kept = design.size.repeats, _REPEATS
    small = build_rows(design, repeats=kept)
    n_rows = rows.drawn_rows
    depth = min(_DEPTH, n_rows)
    numbers = range(n_rows - depth, n_rows + 1) if outline.end == "top" else range(depth + 1)
    levels, tops, windows = [], [], []
    offset = 0
    for row in numbers:
        level = Level(row, offset, 0, small.makes(row))
        offset += level.width
        levels.append(level)
        tops.append(_cut(fabric, rows, row, whole, kept, outline.repeat_mm))
        windows.append(window(small, row, kept))
    net = build_net(SpringBook(small, fabric.size), levels, None, periodic=False)
    starts = np.array([*(level.offset for level in levels), offset])
    lefts, widths = np.array(windows).T
    placed = np.concatenate(tops)
    if outline.end == "bottom":  # the held row comes first
        net, placed, starts = _turned_over(net, placed, starts)
        lefts, widths = lefts[::-1], widths[::-1]
    return Piece(
        outline=replace(outline, tops_mm=placed[starts[-2] :], repeats=kept),
        size=fabric.size,
        net=net,
        tops_mm=placed,
        starts=starts,
        lefts=lefts,
        widths=widths,
    )


def _cut(fabric: Fabric, rows: Rows, row: int, whole: int, kept: int, repeat_mm: float) -> Floats:
    """Return one row's tops with `kept` repeats between the edges, cut in the middle."""
    left, width = window(rows, row, whole)
    return with_repeats(
        fabric.row_tops_mm(row), left - whole // 2 * width, width, whole, kept, repeat_mm
    )


def with_repeats(
    tops: Floats, left: int, width: int, has: int, wanted: int, repeat_mm: float
) -> Floats:
    """Return a row with another number of repeats: some cut out of it, or the middle copied.

    Args:
        tops: From the left edge, shape (n, 2).
        left: Stitches before the first repeat.
        width: Stitches of a repeat.
        has: Repeats it has.
        wanted: Repeats it is to have.
        repeat_mm: Width of a repeat.
    """
    more = wanted - has
    if more <= 0:
        cut = left + (wanted + 1) // 2 * width
        return np.concatenate([tops[:cut], tops[cut - more * width :] + (more * repeat_mm, 0.0)])
    end = left + (has // 2 + 1) * width
    copies = np.tile(tops[end - width : end], (more, 1))
    copies[:, 0] += np.repeat(1 + np.arange(more), width) * repeat_mm
    return np.concatenate([tops[:end], copies, tops[end:] + (more * repeat_mm, 0.0)])


def _turned_over(net: Net, tops: Floats, starts: Indices) -> tuple[Net, Floats, Indices]:
    """Return the net with its rows numbered from the last to the first."""
    counts = np.diff(starts)[::-1]
    new_starts = np.concatenate([[0], np.cumsum(counts)])
    row_of = np.repeat(np.arange(len(counts)), counts[::-1])
    within = np.arange(len(tops)) - starts[row_of]
    number = new_starts[len(counts) - 1 - row_of] + within
    turned = np.empty_like(tops)
    turned[number] = tops
    return replace(net, ends=number[net.ends], corners=number[net.corners]), turned, new_starts


class FilledPiece(Struct, frozen=True, eq=False):
    """A settled end.

    Attributes:
        rows_mm: The tops of the blanket's last row and of every fill row, from within outwards,
            each of shape (n, 2).
        tops_mm: All nodes, to start from again, shape (n_nodes, 2).
    """

    rows_mm: tuple[Floats, ...]
    tops_mm: Floats


class EndNet:
    """One end with fill rows of given heights, whole or as one repeat that goes on for ever."""

    def __init__(self, piece: Piece, *, whole: bool) -> None:
        self._piece = piece
        self._whole = whole
        last = piece.n_rows - 1
        outline = piece.outline
        self.left, self.width = (
            (0, len(outline.tops_mm))
            if whole
            else (
                int(piece.lefts[last]),
                int(piece.widths[last]),
            )
        )
        self._frame = Frame() if whole else Frame(outline.repeat_mm)

    def settled(
        self,
        fills_mm: list[Floats],
        start: Floats | None = None,
        *,
        should_stop: ShouldStop = never,
    ) -> FilledPiece:
        """Return the end at rest with fill rows of these heights.

        Args:
            fills_mm: For every fill row the height of each of its stitches, from the fabric's
                left edge, shape (width,).
            start: Tops of a run before with as many rows.
            should_stop: Asked before every step.

        Raises:
            Stopped: `should_stop` answered yes.
        """
        piece = self._piece
        net, tops, starts = self._with_fills(fills_mm)
        row_of = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
        rest = relax_rows(
            net,
            tops if start is None else start,
            self._frame,
            row_of=row_of,
            free=row_of > 0,
            should_stop=should_stop,
        )
        rows = [rest.tops_mm[row_of == row] for row in range(piece.n_rows - 1, len(starts) - 1)]
        return FilledPiece(tuple(rows), rest.tops_mm)

    def start_like(self, fills_mm: list[Floats], repeat: "EndNet", settled: FilledPiece) -> Floats:
        """Return where to start the whole piece from, once its repeat has settled.

        Every stitch is moved from its first place as its like in the repeat was.

        Args:
            fills_mm: The fill rows across the whole piece.
            repeat: The repeat.
            settled: What it settled to, with the repeat's part of these fill rows.
        """
        piece = self._piece
        _, tops, starts = self._with_fills(fills_mm)
        inner = [heights[repeat.left : repeat.left + repeat.width] for heights in fills_mm]
        _, first, _ = repeat._with_fills(inner)
        moved = settled.tops_mm - first
        extra = len(fills_mm)
        lefts = np.concatenate([piece.lefts, np.full(extra, piece.lefts[-1])])
        widths = np.concatenate([piece.widths, np.full(extra, piece.widths[-1])])
        row_of = np.repeat(np.arange(len(widths)), np.diff(starts))
        like = (np.arange(len(tops)) - starts[row_of] - lefts[row_of]) % widths[row_of]
        offsets = np.concatenate([[0], np.cumsum(widths)])
        begun: Floats = tops + moved[offsets[row_of] + like]
        return begun

    def _with_fills(self, fills_mm: list[Floats]) -> tuple[Net, Floats, Indices]:
        piece, outline = self._piece, self._piece.outline
        net, tops, starts = piece.net, piece.tops_mm, piece.starts
        lefts, widths = list(piece.lefts), list(piece.widths)
        for heights in fills_mm:
            every = heights if self._whole else self._repeated(heights, lefts[-1])
            net = _with_row(net, int(starts[-2]), int(starts[-1]), every, piece)
            up = np.stack([np.zeros(len(every)), outline.outward * every], axis=1)
            tops = np.concatenate([tops, tops[starts[-2] :] + up])
            starts = np.append(starts, starts[-1] + len(every))
            lefts.append(lefts[-1])
            widths.append(widths[-1])
        if self._whole:
            return net, tops, starts
        return _folded(net, tops, starts, np.array(lefts), np.array(widths))

    def _repeated(self, heights: Floats, left: int) -> Floats:
        n = len(self._piece.outline.tops_mm)
        repeated: Floats = heights[(np.arange(n) - left) % self.width]
        return repeated


def _with_row(net: Net, below: int, first: int, heights_mm: Floats, piece: Piece) -> Net:
    """Return the net with a fill row from node `first` on, worked into the row from `below`."""
    springs = _fill_springs(heights_mm, piece.size)
    other = np.where(springs.below, below, first) + springs.other
    corners = np.where(springs.corner_below, below, first) + springs.corners
    if piece.outline.end == "bottom":
        corners = corners[:, [1, 0, 2]]  # anticlockwise though it hangs down
    none = np.zeros(len(other), dtype=np.intp)
    no_corner = np.zeros_like(corners)
    return Net(
        net.n_nodes + len(heights_mm),
        net.width_mm,
        ends=np.concatenate([net.ends, np.stack([first + springs.at, other], axis=1)]),
        across=np.concatenate([net.across, none]),
        up=np.concatenate([net.up, none]),
        rest_mm=np.concatenate([net.rest_mm, springs.rest_mm]),
        stiffness=np.concatenate([net.stiffness, springs.stiffness]),
        kind=np.concatenate([net.kind, springs.kind]),
        corners=np.concatenate([net.corners, corners]),
        corner_across=np.concatenate([net.corner_across, no_corner]),
        corner_up=np.concatenate([net.corner_up, no_corner]),
    )


def _fill_springs(heights_mm: Floats, size: Proportions) -> RowSprings:
    """Return the springs of a row with one stitch of its own height into each stitch."""
    n = len(heights_mm)
    each = np.arange(n)
    # A kind of its own for every stitch, after those of the catalogue.
    own = replace(size, heights_mm=(*size.heights_mm, *heights_mm.tolist()))
    kinds = (len(KEYS) + each).astype(np.uint16)
    return row_springs(np.stack([each, each], axis=1), kinds, own)  # type: ignore[arg-type]


def _folded(
    net: Net, tops: Floats, starts: Indices, lefts: Indices, widths: Indices
) -> tuple[Net, Floats, Indices]:
    """Return the middle repeat of the net, joined to its own images at both sides."""
    row_of = np.repeat(np.arange(len(widths)), np.diff(starts))
    stitch = np.arange(len(tops)) - starts[row_of]
    across, local = np.divmod(stitch - lefts[row_of], widths[row_of])
    new_starts = np.concatenate([[0], np.cumsum(widths)])
    node = new_starts[row_of] + local
    keep = across[net.ends[:, 0]] == 0
    keep_cell = across[net.corners[:, 2]] == 0
    ends, corners = net.ends[keep], net.corners[keep_cell]
    folded = Net(
        int(new_starts[-1]),
        net.width_mm,
        ends=node[ends],
        across=across[ends[:, 1]] - across[ends[:, 0]],
        up=net.up[keep],
        rest_mm=net.rest_mm[keep],
        stiffness=net.stiffness[keep],
        kind=net.kind[keep],
        corners=node[corners],
        corner_across=across[corners],
        corner_up=net.corner_up[keep_cell],
    )
    return folded, tops[across == 0], new_starts
