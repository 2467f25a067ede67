"""The wave in profile: a few repeats of one settled row, with a mark on every turn and run.

This is what a designer takes hold of. The row shown is a right-side row; the marks say which
turn or run of the shape (`core.rows.waves`) they stand for.
"""

from typing import Final

import numpy as np

from core.design.document import Design, Items
from core.fabric.energy import spring_vectors_mm
from core.fabric.springs import POST, Floats
from core.fabric.steady import SAMPLE_REPEATS, Steady
from core.records import Struct
from core.rows.build import Rows, build_rows, is_right_side
from core.rows.plan import Indices
from core.rows.waves import Part, PartKind, Shape, parts_of

SHOWN: Final = 3

MarkKind = PartKind


class Mark(Struct, frozen=True):
    """A place on the wave that can be taken hold of.

    Attributes:
        kind: What it is.
        number: Number of the turn, or of the run before that turn.
        repeat: Which of the repeats shown it is in, from 0 at the left.
        x_mm: Its place on the row's line.
        y_mm: Likewise.
        items: The items it stands for, in working order.
    """

    kind: MarkKind
    number: int
    repeat: int
    x_mm: float
    y_mm: float
    items: Items


class Profile(Struct, frozen=True, eq=False, kw_only=True):
    """A few repeats of a settled right-side row.

    Attributes:
        line_mm: The row's tops from left to right, shape (n, 2).
        stems_mm: Posts from foot to top, shape (n_posts, 2 ends, 2 axes).
        body_mm: Outline of the row, its own line and the one below, shape (k, 2).
        marks: From left to right.
        repeat_mm: Width of one repeat.
        stitch_mm: Repeat width over the stitches of a repeat.
        runs_left: Whether the row is worked from right to left.
        shape: The shape that the marks speak of.
    """

    line_mm: Floats
    stems_mm: Floats
    body_mm: Floats
    marks: tuple[Mark, ...]
    repeat_mm: float
    stitch_mm: float
    runs_left: bool
    shape: Shape | None


def profile_of(design: Design, steady: Steady, shape: Shape | None) -> Profile:
    """Return the profile of a design's settled wave; without a shape it has no marks."""
    sample = build_rows(design, repeats=SAMPLE_REPEATS, rows=steady.levels[-1].row)
    number = _shown_level(sample, steady, shape)
    level = steady.levels[number]
    tops = steady.tops_mm[level.offset : level.offset + level.width]
    line = np.concatenate([tops + (n * steady.frame.repeat_mm, 0.0) for n in range(SHOWN)])
    marks: tuple[Mark, ...] = ()
    if shape is not None:
        marks = tuple(_marks(sample, steady, number, shape))
    return Profile(
        line_mm=line,
        stems_mm=_stems(steady, number),
        body_mm=np.concatenate([line, _below(steady, number)[::-1]]),
        marks=marks,
        repeat_mm=steady.frame.repeat_mm,
        stitch_mm=steady.frame.repeat_mm / level.width,
        runs_left=sample.runs_left(level.row),
        shape=shape,
    )


def _shown_level(sample: Rows, steady: Steady, shape: Shape | None) -> int:
    """Return the level to show: of a right-side row whose items are those of row 1.

    A wave that swaps has just turned over in row 1; the last row before it swaps again
    stands out most.
    """
    right = [n for n, level in enumerate(steady.levels) if is_right_side(level.row)]
    if shape is None or not shape.rhythm.swap_after:
        return right[0]
    first = sample.plan(steady.levels[right[0]].row).row
    alike = [n for n in right if sample.plan(steady.levels[n].row).row == first]
    return alike[-1]


def _stems(steady: Steady, number: int) -> Floats:
    level, net = steady.levels[number], steady.net
    mine = (net.kind == POST) & (net.ends[:, 0] >= level.offset)
    mine &= net.ends[:, 0] < level.offset + level.width
    top = steady.tops_mm[net.ends[mine, 0]]
    foot = top + spring_vectors_mm(net, steady.tops_mm, steady.frame)[mine]
    once = np.stack([foot, top], axis=1)
    return np.concatenate([once + (n * steady.frame.repeat_mm, 0.0) for n in range(SHOWN)])


def _below(steady: Steady, number: int) -> Floats:
    """Return the line of the row below, from left to right under the row shown."""
    level, under = steady.levels[number], steady.levels[number - 1]
    tops = steady.tops_mm[under.offset : under.offset + under.width]
    if number == 0:
        tops = tops - np.asarray(steady.frame.period_mm)
    first = float(steady.tops_mm[level.offset, 0])
    turns = np.arange(-1, SHOWN + 2)[:, np.newaxis, np.newaxis] * (steady.frame.repeat_mm, 0.0)
    line = (turns + tops).reshape(-1, 2)
    inside = (line[:, 0] > first) & (line[:, 0] < first + SHOWN * steady.frame.repeat_mm)
    return np.asarray(line[inside], dtype=np.float64)


def _marks(sample: Rows, steady: Steady, number: int, shape: Shape) -> list[Mark]:
    level = steady.levels[number]
    repeat = sample.plan(level.row).row.repeat
    item = np.asarray(sample.in_fabric_order(level.row, sample.plan(level.row).item))
    window: Indices = item[level.left : level.left + level.width].astype(np.intp)
    tops = steady.tops_mm[level.offset : level.offset + level.width]
    runs_left = sample.runs_left(level.row)
    parts = parts_of(shape, repeat)
    found = []
    for part in parts[::-1] if runs_left else parts:
        x, y = _middle(part, window, tops, steady.frame.repeat_mm, runs_left=runs_left)
        items = repeat[part.first : part.first + part.count]
        found.append((part.kind, part.number, x, y, items))
    return [
        Mark(kind, which, n, x + n * steady.frame.repeat_mm, y, items)
        for n in range(SHOWN)
        for kind, which, x, y, items in found
    ]


def _middle(
    part: Part, window: Indices, tops: Floats, repeat_mm: float, *, runs_left: bool
) -> tuple[float, float]:
    """Return the middle of a part's stitches, or the gap it leaves if it makes none."""
    mine = np.flatnonzero((window >= part.first) & (window < part.first + part.count))
    if len(mine):
        place = 0.5 * (len(mine) - 1)
        low, high = tops[mine[int(np.floor(place))]], tops[mine[int(np.ceil(place))]]
    else:
        after = window < part.first if runs_left else window > part.first
        right = int(np.flatnonzero(after)[0]) if after.any() else len(window)
        low = tops[right - 1] if right else tops[-1] - (repeat_mm, 0.0)
        high = tops[right] if right < len(tops) else tops[0] + (repeat_mm, 0.0)
    middle = 0.5 * (low + high)
    return float(middle[0]), float(middle[1])
