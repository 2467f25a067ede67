"""The slow way: rows worked stitch by stitch, and a fabric written down spring by spring.

Nothing here uses `core.rows` or `core.fabric`. The springs follow the words of the fabric model:
a node is a stitch's top, row 0 is the chain, and energy is the sum of k/2 (length - rest)^2 over

course  neighbouring tops of one row, rest w, k 1
post    every parent's top to its child's, rest the child's h, k 1
shear   both diagonals of the cell between neighbouring posts, rest sqrt(h^2 + base top) with the
        h of the post whose top the diagonal meets, k the firmness; none where two posts share
        an end

Rows with chains in them are left to other tests.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from hypothesis import assume
from hypothesis import strategies as st
from scipy.optimize import minimize

from core.craft.stitches import WORKED
from core.design.document import Item, Row

# --- any row -----------------------------------------------------------------------------

_stitches = st.sampled_from(WORKED)
any_item = (
    st.builds(Item, stitch=_stitches, times=st.integers(1, 6))
    | st.builds(
        Item,
        stitch=_stitches,
        make=st.integers(2, 5),
        times=st.integers(1, 3),
        chain=st.none() | st.integers(1, 3),
    )
    | st.builds(Item, stitch=_stitches, over=st.integers(2, 7), times=st.integers(1, 3))
    | st.builds(Item, skip=st.integers(1, 4))
    | st.builds(Item, chain=st.integers(1, 4))
)
any_items = st.lists(any_item, max_size=6).map(tuple)


@st.composite
def any_rows(draw):
    """Rows of any items; most of them fit no other row."""
    start, repeat, end = draw(any_items), draw(any_items), draw(any_items)
    assume(any(item.makes for item in repeat) and any(item.uses for item in repeat))
    assume(any(item.stitch for item in start + repeat))
    return Row(start, repeat, end)


def _closed(items):
    """Return the items with one more that makes up for what they gain or lose."""
    change = sum(item.makes - item.uses for item in items)
    while change > 0:
        items = (*items, Item(skip=min(change, 4)))
        change -= min(change, 4)
    return items if change == 0 else (*items, Item(stitch="dc", make=min(1 - change, 12)))


@st.composite
def closing_rows(draw):
    """Rows that leave as many stitches as they use, so they can be worked for ever."""
    items = st.lists(any_item, max_size=4).map(tuple)
    edges, repeat = _closed(draw(items)), _closed(draw(items))
    cut = draw(st.integers(0, len(edges)))
    row = (edges[:cut], repeat, edges[cut:])
    assume(sum(i.makes for i in repeat) == sum(i.uses for i in repeat) > 0)
    assume(sum(i.makes for i in edges) == sum(i.uses for i in edges))
    assume(any(item.stitch for item in edges[:cut] + repeat))
    return Row(*row)


# --- rows, stitch by stitch --------------------------------------------------------------


@dataclass(frozen=True)
class Stitch:
    """A stitch made: its name, what it is worked into, and which item of which part made it."""

    name: str
    into: tuple[int, ...]
    part: int | str
    item: int


def worked(row, repeats):
    """Work a row; return what it used and a list of `Stitch`, in working order.

    A part is "start", "end" or the number of the repeat.
    """
    hook, made = 0, []
    parts = [("start", row.start), *((n, row.repeat) for n in range(repeats)), ("end", row.end)]
    for part, items in parts:
        for number, item in enumerate(items):
            space = [Stitch("ch", (), part, number)] * (item.chain or 0)
            if item.stitch is None:
                hook += item.skip or 0
                made += space
                continue
            for _ in range(item.times):
                into = tuple(range(hook, hook + item.over))
                for nth in range(item.make):
                    made += space if nth else []
                    made.append(Stitch(item.stitch, into, part, number))
                hook += item.over
    return hook, made


# --- fabric, spring by spring ------------------------------------------------------------


@dataclass(frozen=True)
class Net:
    """Springs by the numbers of their ends, and the cells between neighbouring posts."""

    ends: np.ndarray
    rest: np.ndarray
    stiffness: np.ndarray
    cells: list[list[int]]


def sheet_rows(rows_of_items, repeats, hand="right"):
    """Return for every row the names and feet of its stitches from the fabric's left edge."""
    rows = []
    for number, row in enumerate(rows_of_items, start=1):
        used, made = worked(row, repeats)
        right_to_left = (number % 2 == 1) == (hand == "right")
        if right_to_left:
            stitches = [
                (s.name, sorted(used - 1 - foot for foot in s.into)) for s in reversed(made)
            ]
        else:
            stitches = [(s.name, list(s.into)) for s in made]
        rows.append((used, stitches))
    return rows


def springs(rows, w, heights, firmness):
    """Return (end, end, rest, stiffness) of every spring and the corners of every cell.

    An end is (row, stitch from the left). The second end is in the row that the spring
    belongs to.
    """
    found, cells = [], []
    counts = [rows[0][0], *(len(stitches) for _, stitches in rows)]
    for row, count in enumerate(counts):
        found += [((row, i), (row, i + 1), w, 1.0) for i in range(count - 1)]
    for row, (_, stitches) in enumerate(rows, start=1):
        height = [heights[name] for name, _ in stitches]
        posts = [(top, foot) for top, (_, feet) in enumerate(stitches) for foot in feet]
        found += [((row - 1, foot), (row, top), height[top], 1.0) for top, foot in posts]
        for (top, foot), (next_top, next_foot) in pairwise(posts):
            if top != next_top and foot != next_foot:
                base_top = w * (next_foot - foot) * w
                long_way = np.sqrt(height[next_top] ** 2 + base_top)
                found.append(((row - 1, foot), (row, next_top), long_way, firmness))
                back = np.sqrt(height[top] ** 2 + base_top)
                found.append(((row - 1, next_foot), (row, top), back, firmness))
            corners = [(row - 1, foot), (row - 1, next_foot), (row, next_top), (row, top)]
            cells.append(list(dict.fromkeys(corners)))
    return found, cells


def sheet_net(rows, w, heights, firmness):
    """Return the net of a whole sheet; nodes are numbered row by row from the left."""
    found, cells = springs(rows, w, heights, firmness)
    counts = [rows[0][0], *(len(stitches) for _, stitches in rows)]
    start = np.concatenate([[0], np.cumsum(counts)])

    def node(end):
        return int(start[end[0]]) + end[1]

    return Net(
        ends=np.array([[node(a), node(b)] for a, b, _, _ in found]),
        rest=np.array([rest for _, _, rest, _ in found]),
        stiffness=np.array([k for _, _, _, k in found]),
        cells=[[node(corner) for corner in cell] for cell in cells],
    )


def energy_and_pull(net, tops):
    """Return the energy and its slope, shape (n, 2)."""
    along = tops[net.ends[:, 1]] - tops[net.ends[:, 0]]
    length = np.hypot(along[:, 0], along[:, 1])
    over = length - net.rest
    pull = (net.stiffness * over / length)[:, None] * along
    slope = np.zeros_like(tops)
    np.add.at(slope, net.ends[:, 1], pull)
    np.add.at(slope, net.ends[:, 0], -pull)
    return 0.5 * float(net.stiffness @ over**2), slope


def settled(net, start):
    """Return the tops at rest that L-BFGS finds from `start`."""

    def function(flat):
        value, slope = energy_and_pull(net, flat.reshape(-1, 2))
        return value, slope.ravel()

    return _lowest(function, start.ravel()).reshape(-1, 2)


def _lowest(function, start):
    options = {"maxiter": 50_000, "maxfun": 200_000, "ftol": 1e-16, "gtol": 1e-9, "maxcor": 40}
    return minimize(function, start, jac=True, method="L-BFGS-B", options=options).x


def cell_areas(net, tops):
    """Return the signed area of every cell by the shoelace formula; negative: inside out."""
    areas = []
    for cell in net.cells:
        x, y = tops[cell].T
        areas.append(0.5 * float(x @ np.roll(y, -1) - y @ np.roll(x, -1)))
    return np.array(areas)


def settled_right_way_out(net, start, least_area):
    """Return the tops at rest, found from `start`, with no cell's triangle below `least_area`.

    Triangles that fall below it push back, harder from round to round, so a tight cell slides
    along its limit instead of stopping everything else.
    """
    corners = np.array([[c[0], c[k], c[k + 1]] for c in net.cells for k in range(1, len(c) - 1)])

    def function(flat, push):
        tops = flat.reshape(-1, 2)
        value, slope = energy_and_pull(net, tops)
        a, b, c = (tops[corners[:, k]] for k in range(3))
        (ux, uy), (vx, vy) = (b - a).T, (c - a).T
        short = np.minimum(0.5 * (ux * vy - uy * vx) - least_area, 0)
        for k, (one, other) in enumerate(((b, c), (c, a), (a, b))):
            across = (one - other)[:, ::-1] * (1, -1)  # twice the slope of the area
            np.add.at(slope, corners[:, k], 0.5 * push * short[:, None] * across)
        return value + 0.5 * push * float(short @ short), slope.ravel()

    flat = start.ravel()
    for push in (0.01, 0.1, 1.0, 10.0):
        options = {"maxiter": 20_000, "maxfun": 60_000, "ftol": 1e-12, "gtol": 1e-6}
        flat = minimize(
            function, flat, args=(push,), jac=True, method="L-BFGS-B", options=options
        ).x
    return flat.reshape(-1, 2)


def laid_on(tops, other):
    """Return `tops` moved and turned, not stretched or mirrored, to lie best on `other`."""
    middle = tops.mean(axis=0)
    u, _, v = np.linalg.svd((tops - middle).T @ (other - other.mean(axis=0)))
    flip = np.diag([1.0, np.linalg.det(u @ v)])
    return (tops - middle) @ u @ flip @ v + other.mean(axis=0)


# --- a fabric without edges --------------------------------------------------------------


@dataclass(frozen=True)
class Endless:
    """Shape of a fabric that repeats sideways and upwards: one repeat, two rows."""

    repeat: float
    rise: float
    wave_height: float


def endless(row, *, w, h, firmness):
    """Return the shape that one closing row settles into when it is worked for ever.

    Stitches are those of the middle of three repeats; every end of a spring outside them is the
    same stitch moved by whole repeats, and row 0 is row 2 moved down by two rows.
    """
    n = sum(item.makes for item in row.repeat)
    rows = sheet_rows([row, row], 3)
    heights = dict.fromkeys(WORKED, h)
    found, _ = springs(rows, w, heights, firmness)
    edge = {"start": sum(i.makes for i in row.start), "end": sum(i.makes for i in row.end)}
    left = {1: edge["end"] + n, 2: edge["start"] + n}  # row 1 runs left: its end is on the left
    left[0] = left[2]
    ends, shift, up, rest, stiffness = [], [], [], [], []
    for one, other, length, k in found:
        if other[0] == 0 or not 0 <= other[1] - left[other[0]] < n:
            continue
        across, numbers = [], []
        for end_row, stitch in (one, other):
            turn, local = divmod(stitch - left[end_row], n)
            across.append(turn)
            numbers.append(local + (0 if end_row == 1 else n))
        ends.append(numbers)
        shift.append(across[1] - across[0])
        up.append(1.0 if one[0] == 0 else 0.0)
        rest.append(length)
        stiffness.append(k)
    ends, shift, up = np.array(ends), np.array(shift, float), np.array(up)
    rest, stiffness = np.array(rest), np.array(stiffness)

    def function(flat):
        tops, (repeat, side, rise) = flat[:-3].reshape(-1, 2), flat[-3:]
        along = tops[ends[:, 1]] - tops[ends[:, 0]]
        along[:, 0] += shift * repeat + up * side
        along[:, 1] += up * rise
        length = np.hypot(along[:, 0], along[:, 1])
        pull = (stiffness * (1 - rest / length))[:, None] * along
        slope = np.zeros_like(tops)
        np.add.at(slope, ends[:, 1], pull)
        np.add.at(slope, ends[:, 0], -pull)
        frame = [shift @ pull[:, 0], up @ pull[:, 0], up @ pull[:, 1]]
        return 0.5 * stiffness @ (length - rest) ** 2, np.concatenate([slope.ravel(), frame])

    found = _lowest(function, _zigzag(rows, left, n, w, h))
    tops = found[:-3].reshape(-1, 2)
    return Endless(found[-3], found[-1] / 2, float(np.ptp(tops[:n, 1]) + np.ptp(tops[n:, 1])) / 2)


def _zigzag(rows, left, n, w, h):
    """Return a start: each row falls where its stitches stand to the right of their feet."""
    lines = []
    for number in (1, 2):
        stitches = np.arange(left[number], left[number] + n)
        feet = np.array([np.mean(rows[number - 1][1][stitch][1]) for stitch in stitches])
        right_of_feet = stitches - feet
        y = np.cumsum(right_of_feet.mean() - right_of_feet) * w * w / h
        lines.append(np.stack([0.8 * w * stitches, y - y.mean() + number * h], axis=1))
    return np.concatenate([np.concatenate(lines).ravel(), [0.8 * w * n, 0.0, 2.0 * h]])
