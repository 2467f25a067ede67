"""One kind of row, stitch by stitch: which stitches it makes and into which it works them.

Only the few items of a row are looped over; numpy repeats them along the row. Everything
here is in working order, whichever way the row runs on the fabric.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CHAIN, NUMBER
from core.design.document import Item, Items, Row
from core.records import Struct

Indices = NDArray[np.intp]

CHILD: Final = 0
PARENT: Final = 1
START: Final = -1
END: Final = -2


class RowPlan(Struct, frozen=True, eq=False):
    """A row worked `repeats` times between its edges.

    Attributes:
        row: The items it was made from.
        repeats: How often the repeat is worked.
        uses: Stitches it needs in the row below.
        makes: Stitches it leaves.
        kind: Catalogue number of every stitch made, shape (makes,).
        links: (child, parent) pairs, shape (n_links, 2), sorted along the row; an increase
            repeats its parent, a decrease its child, a chain has none.
        section: Shape (makes,): the number of the repeat from 0, or `START`, or `END`.
        item: Shape (makes,): number of the item within its section.
    """

    row: Row
    repeats: int
    uses: int
    makes: int
    kind: NDArray[np.uint8]
    links: Indices
    section: Indices
    item: Indices

    def part_over(self, available: int) -> "RowPlan":
        """Return the stitches that can be worked when only `available` wait below."""
        if self.uses <= available:
            return self
        short = self.links[self.links[:, PARENT] >= available, CHILD]
        makes = int(short.min()) if len(short) else self.makes
        keep = self.links[:, CHILD] < makes
        return RowPlan(
            row=self.row,
            repeats=self.repeats,
            uses=available,
            makes=makes,
            kind=self.kind[:makes],
            links=self.links[keep],
            section=self.section[:makes],
            item=self.item[:makes],
        )


class _Section(Struct, frozen=True, eq=False):
    uses: int
    makes: int
    kind: NDArray[np.uint8]
    links: Indices
    item: Indices


@lru_cache(maxsize=64)
def plan_row(row: Row, repeats: int) -> RowPlan:
    """Return the row with its repeat worked `repeats` times; kept, as it is asked for again."""
    start, one, end = _section(row.start), _section(row.repeat), _section(row.end)
    middle = _tiled(one, repeats)
    links = np.concatenate(
        [
            start.links,
            middle.links + (start.makes, start.uses),
            end.links + (start.makes + middle.makes, start.uses + middle.uses),
        ]
    )
    section = np.concatenate(
        [
            np.full(start.makes, START),
            np.repeat(np.arange(repeats), one.makes),
            np.full(end.makes, END),
        ]
    )
    return RowPlan(
        row=row,
        repeats=repeats,
        uses=start.uses + middle.uses + end.uses,
        makes=start.makes + middle.makes + end.makes,
        kind=np.concatenate([start.kind, middle.kind, end.kind]),
        links=links,
        section=section.astype(np.intp),
        item=np.concatenate([start.item, middle.item, end.item]),
    )


def _tiled(one: _Section, repeats: int) -> _Section:
    shifts = np.arange(repeats, dtype=np.intp)[:, np.newaxis] * (one.makes, one.uses)
    links = shifts[:, np.newaxis, :] + one.links  # (repeats, links, 2)
    return _Section(
        uses=one.uses * repeats,
        makes=one.makes * repeats,
        kind=np.tile(one.kind, repeats),
        links=links.reshape(-1, 2),
        item=np.tile(one.item, repeats),
    )


def _section(items: Items) -> _Section:
    kinds: list[NDArray[np.uint8]] = [np.empty(0, dtype=np.uint8)]
    links: list[Indices] = [np.empty((0, 2), dtype=np.intp)]
    numbers: list[Indices] = [np.empty(0, dtype=np.intp)]
    makes = uses = 0
    for number, item in enumerate(items):
        once = _once(item)
        block = _tiled(once, item.times)
        kinds.append(block.kind)
        links.append(block.links + (makes, uses))
        numbers.append(np.full(block.makes, number, dtype=np.intp))
        makes += block.makes
        uses += block.uses
    return _Section(
        uses=uses,
        makes=makes,
        kind=np.concatenate(kinds),
        links=np.concatenate(links),
        item=np.concatenate(numbers),
    )


def _once(item: Item) -> _Section:
    """Return the item worked one time."""
    if item.stitch is None:
        kinds = [CHAIN] * item.makes
        pairs: list[tuple[int, int]] = []
        uses = item.uses
    else:
        between = [CHAIN] * (item.chain or 0)
        kinds = ([item.stitch, *between] * item.make)[: item.makes // item.times]
        step = 1 + len(between)
        pairs = [(m * step, u) for m in range(item.make) for u in range(item.over)]
        uses = item.over
    return _Section(
        uses=uses,
        makes=len(kinds),
        kind=np.array([NUMBER[kind] for kind in kinds], dtype=np.uint8),
        links=np.array(pairs, dtype=np.intp).reshape(-1, 2),
        item=np.zeros(len(kinds), dtype=np.intp),
    )
