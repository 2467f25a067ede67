"""What rows of one kind have in common on a chart: which symbols stand on which stitches.

Rows repeat, so a chart of 300 rows has a handful of kinds. What lies where is added by
`core.chart.layout`, for all rows at once. Stitches are numbered from the fabric's left edge.
"""

from collections.abc import Sequence
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from core.chart.symbols import NUMBER, Floats
from core.craft.stitches import CHAIN, KEYS
from core.craft.stitches import NUMBER as STITCH_NUMBER
from core.design.document import Design
from core.records import Struct
from core.rows.build import Rows
from core.rows.foundation import first_shares_foot
from core.rows.plan import CHILD, PARENT, Indices
from core.rows.turning import turning_of_row
from core.stripes.loops import Ridge, design_loops, ridge_of_row

Flags = NDArray[np.bool_]

FOOT_GAP: Final = 0.16  # clear space above the stitch worked into, in stitch widths
CHAIN_GAP: Final = 0.34  # above a chain, whose oval is broader than a bar
_MARKED_GAP: Final = 0.42  # where a loop mark stands in it

Stand = Literal["aside", "alone", "beside"]

_WHOLE: Final = np.array([NUMBER[key] for key in KEYS])
_LEG: Final = np.array([NUMBER[f"{key}-leg" if key != CHAIN else key] for key in KEYS])


class Turn(Struct, frozen=True):
    """A row's turning chain.

    Attributes:
        chains: How many chains it has.
        link: Number of the link that it stands for or beside.
        stand: In the first stitch's place, aside because others share its foot or alone there;
            or beside the row.
        runs_left: Whether the row runs to the left.
    """

    chains: int
    link: int
    stand: Stand
    runs_left: bool


class RowKind(Struct, frozen=True, eq=False, kw_only=True):
    """Rows of one kind.

    Attributes:
        child: Stitch of the row that each link leads to, shape (links,).
        parent: Stitch of the row below that it goes into, shape (links,).
        gap: How clear of that stitch its foot stands, in stitch widths, shape (links,).
        symbol: Symbol of each link, for a stem of usual length, shape (links,).
        is_drawn: Whether a link has a symbol: a turning chain may stand in its place.
        is_barred: Whether the bar of a decrease stands at a link.
        is_marked: Whether a loop mark stands under a link's foot.
        mark: The loop mark's symbol.
        chains: Stitches that are chains, shape (chains,).
        turn: The turning chain, if it has any chains.
    """

    child: Indices
    parent: Indices
    gap: Floats
    symbol: Indices
    is_drawn: Flags
    is_barred: Flags
    is_marked: Flags
    mark: int
    chains: Indices
    turn: Turn | None


def kinds_of(design: Design, rows: Rows, shown: Sequence[int]) -> list[RowKind]:
    """Return the kind of each of some rows (from 1)."""
    loops = design_loops(design, max(shown, default=0))
    known: dict[object, RowKind] = {}
    found = []
    for row in shown:
        ridge = ridge_of_row(loops[row - 1], row)
        below = rows.plan(row - 1) if row > 1 else None
        key = rows.plan(row), below, row % 2, ridge.faces_out
        if key not in known:
            known[key] = _kind(design, rows, row, ridge)
        found.append(known[key])
    return found


def _kind(design: Design, rows: Rows, row: int, ridge: Ridge) -> RowKind:
    links = rows.fabric_links(row)
    child, parent = links[:, CHILD].copy(), links[:, PARENT].copy()
    kinds = np.asarray(rows.in_fabric_order(row, rows.plan(row).kind)).astype(np.intp)
    below_is_chain = _chains_below(rows, row)
    legs = np.bincount(child, minlength=len(kinds))[child]
    is_marked, mark = _marked(design, rows, row, ridge, parent, below_is_chain)
    is_drawn = np.ones(len(child), dtype=np.bool_)
    turn = _turn(design, rows, row, len(child))
    if turn is not None and design.turning.counts:
        is_drawn[turn.link] = False
        at_foot = parent == parent[turn.link]
        shared = bool((at_foot & (is_drawn | is_marked)).any())
        turn = Turn(turn.chains, turn.link, "aside" if shared else "alone", turn.runs_left)
    plain = FOOT_GAP if ridge.faces_out is None else _MARKED_GAP
    return RowKind(
        child=child,
        parent=parent,
        gap=np.where(below_is_chain, max(plain, CHAIN_GAP), plain)[parent],
        symbol=np.where(legs == 1, _WHOLE[kinds[child]], _LEG[kinds[child]]),
        is_drawn=is_drawn,
        is_barred=(np.diff(child, prepend=-1) != 0)
        & (legs > 1)
        & (kinds[child] >= STITCH_NUMBER["hdc"]),
        is_marked=is_marked,
        mark=mark,
        chains=np.flatnonzero(kinds == STITCH_NUMBER[CHAIN]),
        turn=turn,
    )


def _chains_below(rows: Rows, row: int) -> Flags:
    """Return which stitches of the row below are chains."""
    if row == 1:
        return np.ones(rows.makes(0), dtype=np.bool_)
    kinds = np.asarray(rows.in_fabric_order(row - 1, rows.plan(row - 1).kind))
    is_chain: Flags = kinds == STITCH_NUMBER[CHAIN]
    return is_chain


def _marked(
    design: Design, rows: Rows, row: int, ridge: Ridge, parent: Indices, below_is_chain: Flags
) -> tuple[Flags, int]:
    """Return under which feet a loop mark stands, and the mark as seen from the front."""
    is_marked = np.zeros(len(parent), dtype=np.bool_)
    if ridge.faces_out is None:
        return is_marked, 0
    first = np.flatnonzero(np.diff(parent, prepend=-1))
    if design.turning.counts and not first_shares_foot(rows.plan(row).row):
        first = first[:-1] if rows.runs_left(row) else first[1:]  # the chain goes into no loop
    if design.loops.last_stitch_both and len(first):
        first = first[1:] if rows.runs_left(row) else first[:-1]
    if row > 1:  # a chain space has no loops to choose from
        first = first[~below_is_chain[parent[first]]]
    is_marked[first] = True
    # The back loop of a wrong-side row faces the reader: it takes the front loop's mark.
    return is_marked, NUMBER["back loop" if ridge.faces_out else "front loop"]


def _turn(design: Design, rows: Rows, row: int, n_links: int) -> Turn | None:
    chains = turning_of_row(design, rows.plan(row).row).chains
    if not chains or not n_links:
        return None
    runs_left = rows.runs_left(row)
    return Turn(chains, n_links - 1 if runs_left else 0, "beside", runs_left)
