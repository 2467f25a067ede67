"""All rows of a blanket: a plan for every kind of row, and which row is of which kind.

Rows repeat, so a blanket of 300 rows holds as many plans as it has kinds of rows, usually
one or two. A row that doesn't fit the one below ends what is built.
"""

import numpy as np
from numpy.typing import NDArray

from core.design.document import Design, Hand, Row
from core.records import Struct
from core.rows.foundation import Foundation, foundation_of
from core.rows.plan import CHILD, PARENT, Indices, RowPlan, plan_row


class Misfit(Struct, frozen=True, kw_only=True):
    """The first row whose stitches don't match those below.

    Attributes:
        row: Row number, from 1.
        uses: Stitches the row wants.
        available: Stitches the row below has.
        section: Part of the row where they run out: "start edge", "repeat 3", "end edge".
        item: Number of the item there, from 0; with a surplus, the last one.
    """

    row: int
    uses: int
    available: int
    section: str
    item: int


class Rows(Struct, frozen=True, eq=False, kw_only=True):
    """Every row of the blanket, in working order.

    Attributes:
        plans: The kinds of rows met.
        which: Shape (rows,): number of the plan of row 1, 2, ...; as designed, misfits too.
        foundation: The chain below row 1.
        hand: The working hand: it decides which way right-side rows run.
        drawn_rows: Rows that can be worked, the misfit row included.
        misfit: The first row that doesn't fit, if there is one.
        partial: What can be worked of the misfit row when stitches run out.
    """

    plans: tuple[RowPlan, ...]
    which: Indices
    foundation: Foundation
    hand: Hand
    drawn_rows: int
    misfit: Misfit | None
    partial: RowPlan | None

    def plan(self, row: int) -> RowPlan:
        """Return the plan of row number `row` (from 1), cut short if it is the misfit."""
        if self.partial is not None and row == self.drawn_rows:
            return self.partial
        return self.plans[int(self.which[row - 1])]

    def makes(self, row: int) -> int:
        """Return the stitches of row `row`; row 0 is the base of the foundation."""
        return self.foundation.base_stitches if row == 0 else self.plan(row).makes

    def counts(self) -> Indices:
        """Return the stitches of every drawn row from row 0, shape (drawn_rows + 1,)."""
        of_plan = np.array([plan.makes for plan in self.plans], dtype=np.intp)
        found = np.empty(self.drawn_rows + 1, dtype=np.intp)
        found[0] = self.foundation.base_stitches
        found[1:] = of_plan[self.which[: self.drawn_rows]]
        if self.partial is not None:
            found[-1] = self.partial.makes
        return found

    def runs_left(self, row: int) -> bool:
        """Return whether row `row` is worked from right to left, seen from the right side."""
        return (row % 2 == 1) == (self.hand == "right")

    def fabric_links(self, row: int) -> Indices:
        """Return the (child, parent) pairs of a row numbered from the fabric's left edge.

        Returns:
            Shape (n_links, 2), sorted by child, then parent.
        """
        links = self.plan(row).links
        if self.runs_left(row):
            last = np.array([self.makes(row) - 1, self.makes(row - 1) - 1])
            links = (last - links)[::-1]
        return np.ascontiguousarray(links)

    def in_fabric_order(self, row: int, values: NDArray[np.generic]) -> NDArray[np.generic]:
        """Return one value a stitch, given in working order, from the fabric's left edge."""
        return values[::-1] if self.runs_left(row) else values


def is_right_side(row: int) -> bool:
    """Return whether row `row` shows its face on the right side; row 1 does."""
    return row % 2 == 1


def build_rows(design: Design, *, repeats: int | None = None, rows: int | None = None) -> Rows:
    """Return every row of the design, or of it in another size."""
    repeats = design.size.repeats if repeats is None else repeats
    n_rows = design.size.rows if rows is None else rows
    kinds, which = _kinds(design, n_rows)
    plans = tuple(plan_row(row, repeats) for row in kinds)
    foundation = foundation_of(design.wave.first, design.turning, repeats)
    makes = np.array([foundation.base_stitches, *(plans[k].makes for k in which)])
    uses = np.array([plans[k].uses for k in which])
    wrong = np.flatnonzero(uses != makes[:-1])
    misfit, partial, drawn = None, None, n_rows
    if len(wrong):
        drawn = int(wrong[0]) + 1
        plan, available = plans[which[drawn - 1]], int(makes[drawn - 1])
        misfit = _misfit(plan, drawn, available)
        partial = plan.part_over(available)
        if not len(partial.links):  # no stitch of it can be worked
            drawn, partial = drawn - 1, None
    return Rows(
        plans=plans,
        which=which,
        foundation=foundation,
        hand=design.hand,
        drawn_rows=drawn,
        misfit=misfit,
        partial=partial,
    )


def _kinds(design: Design, n_rows: int) -> tuple[list[Row], Indices]:
    """Return the different rows, and for each row of the blanket which of them it is."""
    in_turn = design.wave.rows_in_turn
    kinds = list(dict.fromkeys((*((design.wave.setup,) if design.wave.setup else ()), *in_turn)))
    lead = [kinds.index(design.wave.setup)] if design.wave.setup else []
    cycle = [kinds.index(row) for row in in_turn]
    times = max(n_rows - len(lead), 0) // len(cycle) + 1
    which = np.concatenate([lead, np.tile(cycle, times)])[:n_rows].astype(np.intp)
    return kinds, which


def _misfit(plan: RowPlan, row: int, available: int) -> Misfit:
    section, item = _place(plan, available) if plan.uses > available else _last_place(plan)
    return Misfit(row=row, uses=plan.uses, available=available, section=section, item=item)


def _place(plan: RowPlan, available: int) -> tuple[str, int]:
    """Return the section and item that reach beyond `available` stitches."""
    row = plan.row
    spent = 0
    sections = [("start edge", row.start, 1), ("repeat", row.repeat, plan.repeats)]
    for name, items, times in [*sections, ("end edge", row.end, 1)]:
        once = sum(item.uses for item in items)
        if spent + once * times <= available:
            spent += once * times
            continue
        number = (available - spent) // once
        spent += number * once
        for index, item in enumerate(items):
            spent += item.uses
            if spent > available:
                return (f"repeat {number + 1}" if name == "repeat" else name), index
    return _last_place(plan)


def _last_place(plan: RowPlan) -> tuple[str, int]:
    if plan.row.end:
        return "end edge", len(plan.row.end) - 1
    return f"repeat {plan.repeats}", len(plan.row.repeat) - 1


__all__ = ["CHILD", "PARENT", "Misfit", "Rows", "build_rows", "is_right_side"]
