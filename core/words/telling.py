"""Tells a row of the design in steps, which then need only be put into words."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CHAIN, NUMBER
from core.design.document import Design, Item, Turning, total_uses
from core.rows.build import Rows
from core.words.opening import Opened, ending_over, from_hook, turned
from core.words.parts import Parts, beginning_wanted, parts_of, with_times
from core.words.steps import Ending, Opening, RowSteps, Step, Where

Mask = NDArray[np.bool_]


def row_steps(design: Design, rows: Rows, row: int) -> RowSteps:
    """Return the steps of row number `row`, from 1."""
    plan, turning = rows.plan(row), design.turning
    below = rows.plan(row - 1) if row > 1 else None
    ending = ending_over(below, turning) if below else Ending.STITCH
    at_chain = ending in (Ending.TOP, Ending.NTH)
    wanted = beginning_wanted(turning, row)
    parts = parts_of(plan.row, plan.repeats, beginning=wanted, ending=at_chain)
    if below:
        mask = below.kind == NUMBER[CHAIN]
        opening, opened = turned(parts.lead, turning)
    else:
        mask = np.ones(plan.uses, dtype=np.bool_)
        opening, opened = from_hook(parts.lead, turning, rows.foundation.turn)
    return _Told(parts, mask, opening, opened, ending, turning).steps(named=below is not None)


@dataclass(frozen=True, slots=True)
class _Told:
    """The parts of a row on their way to steps.

    `mask` says of every place of the row below whether it is a chain.
    """

    parts: Parts
    mask: Mask
    opening: Opening
    opened: Opened
    ending: Ending
    turning: Turning

    def steps(self, *, named: bool) -> RowSteps:
        """Return the steps; the first place is said to be that only where `named`."""
        parts = self.parts
        lead_uses, tail_uses = total_uses(tuple(parts.lead)), total_uses(tuple(parts.tail))
        lead = list(self.opened.rest)
        tail = list(parts.tail)
        closing = self._closing(tail if parts.times else lead)
        lead_steps = _split(lead, self.mask[self.opened.used : lead_uses])
        tail_steps = _split(tail, self.mask[len(self.mask) - tail_uses :])
        repeat_steps = _split(parts.repeat, self._mask_of_repeat(lead_uses))
        if named and not self.turning.counts:
            _name(lead_steps, Where.FIRST, closing=False)
        if closing is None:
            _name(tail_steps if parts.times else lead_steps, Where.LAST, closing=True)
        else:
            (tail_steps if parts.times else lead_steps).extend(closing)
        return RowSteps(
            opening=self.opening,
            lead=(*self.opened.steps, *lead_steps),
            repeat=tuple(repeat_steps),
            times=parts.times,
            tail=tuple(tail_steps),
            tail_uses=tail_uses,
            ending=self.ending,
        )

    def _closing(self, items: list[Item]) -> list[Step] | None:
        """Take the last place from the items, if it is in a turning chain."""
        if self.ending not in (Ending.TOP, Ending.NTH):
            return None
        ordinal = self.turning.chains if self.ending is Ending.NTH else 0
        after: list[Step] = []
        while items and not items[-1].uses:
            after.insert(0, Step(item=items.pop()))
        if not items:  # the row has one place, and the turning chain stands on it
            return after
        last = items.pop()
        once = last
        if last.stitch:
            once = with_times(last, 1)
            if last.times > 1:
                items.append(with_times(last, last.times - 1))
        return [Step(item=once, where=Where.TURNING, ordinal=ordinal), *after]

    def _mask_of_repeat(self, lead_uses: int) -> Mask:
        uses, times = total_uses(tuple(self.parts.repeat)), self.parts.times
        if not times:
            return self.mask[:0]
        every = self.mask[lead_uses : lead_uses + uses * times].reshape(times, uses)
        same: Mask = np.logical_and.reduce(every, axis=0)
        return same


def _split(items: Sequence[Item], mask: Mask) -> list[Step]:
    """Return a step for each item, or several where some places are chains and some not."""
    steps: list[Step] = []
    at = 0
    for item in items:
        if not item.stitch:
            chains = bool(item.skip) and bool(mask[at : at + item.uses].all())
            steps.append(Step(item=item, into_chain=chains))
        else:
            places = mask[at : at + item.uses].reshape(item.times, item.over)
            units: Mask = np.logical_and.reduce(places, axis=1)
            steps += _runs(item, units)
        at += item.uses
    return steps


def _runs(item: Item, units: Mask) -> list[Step]:
    edges = [0, *(np.flatnonzero(np.diff(units)) + 1).tolist(), len(units)]
    return [
        Step(item=with_times(item, end - begin), into_chain=bool(units[begin]))
        for begin, end in pairwise(edges)
    ]


def _name(steps: list[Step], where: Where, *, closing: bool) -> None:
    """Say of the first or last step that works into something that it is that."""
    numbers = [number for number, step in enumerate(steps) if step.item.uses]
    if not numbers:
        return
    number = numbers[-1 if closing else 0]
    step = steps[number]
    if closing and step.where is Where.FIRST:
        where = Where.ALL if step.item.stitch and step.item.over == 1 else Where.FIRST
    if step.item.over == 1 or step.item.times == 1:
        steps[number] = replace(step, where=where)
