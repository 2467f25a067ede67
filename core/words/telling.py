"""Tells a row of the design in steps, which then need only be put into words.

Places of the row below are numbered in the order this row comes to them: turned, it begins
where that row ended, so what that row made is read backwards.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.craft.stitches import CHAIN, NUMBER
from core.design.document import Design, Item, Turning, total_makes, total_uses
from core.records import Struct, replace
from core.rows.build import Rows
from core.rows.plan import RowPlan
from core.rows.turning import turning_of_row
from core.words.opening import Opened, ending_over, from_hook, turned
from core.words.parts import Parts, beginning_wanted, parts_of, with_times
from core.words.steps import Ending, Opening, RowSteps, Step, Where

Runs = NDArray[np.intp]
"""Shape (places, 2): of each place of the row below, how many chains the run of chains has that
it belongs to, 0 for a stitch; and its number in that run."""


def row_steps(design: Design, rows: Rows, row: int, *, mark_one: bool = False) -> RowSteps:
    """Return the steps of row number `row`, from 1.

    With `mark_one`, a repeat that is worked once stands between asterisks too.
    """
    plan = rows.plan(row)
    below = rows.plan(row - 1) if row > 1 else None
    turning = turning_of_row(design, plan.row) if below else design.turning
    turning_below = design.turning
    if row > 2 and below:
        turning_below = turning_of_row(design, below.row)
    ending = ending_over(below, turning_below) if below else Ending.STITCH
    at_chain = ending in (Ending.TOP, Ending.NTH)
    wanted = beginning_wanted(turning, row)
    least = 1 if mark_one else 2
    parts = below and _over_spaces(plan, below, least)
    if not parts:
        parts = parts_of(plan.row, plan.repeats, beginning=wanted, ending=at_chain, least=least)
    if below:
        runs = chain_runs(below.kind[::-1] == NUMBER[CHAIN])
        opening, opened = turned(parts.lead, turning)
    else:
        runs = np.ones((plan.uses, 2), dtype=np.intp) * (plan.uses + 1, 0)
        opening, opened = from_hook(parts.lead, turning, rows.foundation.turn)
    told = _Told(parts, runs, opening, opened, ending, turning, turning_below.chains)
    return told.steps(named=below is not None)


def _over_spaces(plan: RowPlan, below: RowPlan, least: int) -> Parts | None:
    """Return a row of one stitch in every place as it crosses a row with chain spaces.

    Its own repeat begins anywhere; told by the repeats of the row below, turned round, it comes
    to the same places every time. None if it isn't such a row, or it has to be told otherwise.
    """
    items = (*plan.row.start, *plan.row.repeat, *plan.row.end)
    before, after = total_makes(below.row.end), total_makes(below.row.start)
    plain = {item.stitch for item in items if item.is_plain}
    over_chains = bool((below.kind == NUMBER[CHAIN]).any())
    if not over_chains or len(plain) != 1 or not all(item.is_plain for item in items):
        return None
    if plan.uses != below.makes or below.repeats < least or before < 2 or after < 1:
        return None
    stitch = items[0]
    return Parts(
        lead=[with_times(stitch, before)],
        repeat=[with_times(stitch, total_makes(below.row.repeat))],
        times=below.repeats,
        tail=[with_times(stitch, after)],
    )


def chain_runs(is_chain: NDArray[np.bool_]) -> Runs:
    """Return the length of every place's run of chains, and its number in it."""
    runs = np.zeros((len(is_chain), 2), dtype=np.intp)
    edges = np.flatnonzero(np.diff(is_chain, prepend=False, append=False))
    for begin, end in edges.reshape(-1, 2):
        runs[begin:end, 0] = end - begin
        runs[begin:end, 1] = np.arange(end - begin)
    return runs


class _Told(Struct, frozen=True):
    """The parts of a row on their way to steps; `chains_below` turned the row below."""

    parts: Parts
    runs: Runs
    opening: Opening
    opened: Opened
    ending: Ending
    turning: Turning
    chains_below: int

    def steps(self, *, named: bool) -> RowSteps:
        """Return the steps; the first place is said to be that only where `named`."""
        parts = self.parts
        lead_uses, tail_uses = total_uses(tuple(parts.lead)), total_uses(tuple(parts.tail))
        lead = list(self.opened.rest)
        tail = list(parts.tail)
        closing = self._closing(tail if parts.times else lead)
        lead_steps = _split(lead, self.runs[self.opened.used : lead_uses])
        tail_steps = _split(tail, self.runs[len(self.runs) - tail_uses :])
        repeat_steps = _split(parts.repeat, self._runs_of_repeat(lead_uses))
        if named and not self.turning.counts:
            _name(lead_steps, Where.FIRST, closing=False)
        if closing is None:
            _name(tail_steps if parts.times else lead_steps, Where.LAST, closing=True)
        else:
            (tail_steps if parts.times else lead_steps).extend(closing)
        return RowSteps(
            opening=self.opening,
            chains=self.turning.chains,
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
        ordinal = self.chains_below if self.ending is Ending.NTH else 0
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

    def _runs_of_repeat(self, lead_uses: int) -> Runs:
        """Return the runs below the repeat, as far as they are the same below every repeat."""
        uses, times = total_uses(tuple(self.parts.repeat)), self.parts.times
        if not times:
            return self.runs[:0]
        every = self.runs[lead_uses : lead_uses + uses * times].reshape(times, uses, 2)
        same = (every == every[0]).all(axis=(0, 2))
        chains = (every[:, :, 0] > 0).all(axis=0)
        runs = np.zeros((uses, 2), dtype=np.intp)
        runs[same] = every[0][same]
        runs[chains & ~same] = (uses + 1, 0)  # chains, but never a whole run of them
        return runs


def _split(items: Sequence[Item], runs: Runs) -> list[Step]:
    """Return a step for each item, or several where some places are chains and some not."""
    steps: list[Step] = []
    at = 0
    for item in items:
        below = runs[at : at + item.uses]
        if not item.stitch:
            chains = bool(item.skip) and bool((below[:, 0] > 0).all())
            space = _space(below) if item.skip else 0
            steps.append(Step(item=item, into_chain=chains, space=space))
        else:
            steps += _runs_of_item(item, below)
        at += item.uses
    return steps


def _runs_of_item(item: Item, below: Runs) -> list[Step]:
    places = (below[:, 0] > 0).reshape(item.times, item.over)
    units = np.logical_and.reduce(places, axis=1)
    edges = [0, *(np.flatnonzero(np.diff(units)) + 1).tolist(), len(units)]
    steps = []
    for begin, end in pairwise(edges):
        space = _space(below[begin * item.over : end * item.over])
        if item.over > 1 or (item.chain and space > 1):
            space = 0
        part = with_times(item, end - begin)
        steps.append(Step(item=part, into_chain=bool(units[begin]), space=space))
    return steps


def _space(below: Runs) -> int:
    """Return the chains of a space if the places are just that, else 0."""
    chains = len(below)
    whole = bool(chains) and (below == [(chains, number) for number in range(chains)]).all()
    return chains if whole else 0


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
