"""Where the fabric is stretched or squeezed: the strain of its posts and of its rows.

Strain is length over the length at rest, less one. Peaks and dips can't rise as fast as the
flanks want to, so posts there are stretched, and a stretched post leaves a hole; where more
stitches stand in a row than it has room for, they are squeezed, and the row puckers.

From which strain on that shows is this program's own estimate: no published figure was found.
"""

from typing import Final

import numpy as np

from core.fabric.energy import spring_vectors_mm
from core.fabric.sheet import Fabric
from core.fabric.springs import COURSE, POST, Floats
from core.fabric.steady import Steady
from core.records import Struct
from core.rows.build import Rows
from core.rows.plan import CHILD, PARENT, Indices

HOLES_FROM: Final = 0.15
"""Stretch from which holes are said to be likely (our own estimate)."""

PUCKERS_FROM: Final = -0.10
"""Squeeze from which puckers are said to be likely (our own estimate)."""


class FabricStrain(Struct, frozen=True, eq=False):
    """The strain of every post and every course of a fabric.

    Tops are numbered as in `Fabric.tops_mm`: row after row, each from the left.

    Attributes:
        foot: The parent's top of every post, row after row, shape (n_posts,).
        top: The child's top, shape (n_posts,).
        post: Strain of every post, shape (n_posts,).
        post_starts: Number of each row's first post, shape (rows + 2,); row 0 has none.
        course: Strain between each top and the next of its row, shape (n_tops,); 0 at the
            last of a row, which has no next.
        of_stitch: At each stitch the strain that is furthest from none, of its posts and of
            the courses beside it, shape (n_tops,).
        span: The least and the greatest strain of all, 0 among them.
    """

    foot: Indices
    top: Indices
    post: Floats
    post_starts: Indices
    course: Floats
    of_stitch: Floats
    span: tuple[float, float]


class StitchStrain(Struct, frozen=True):
    """What is strained at one stitch.

    Attributes:
        post: The most strained of its posts, or None without one.
        course: The mean of the row on both sides of it, or None in a row of one stitch.
    """

    post: float | None
    course: float | None


class WaveStrain(Struct, frozen=True):
    """The extremes of a steady state: 0 or more where stretched, 0 or less where squeezed.

    Attributes:
        post_most: The most stretched post.
        post_least: The most squeezed post.
        course_most: The row where it is stretched most.
        course_least: The row where it is squeezed most.
    """

    post_most: float
    post_least: float
    course_most: float
    course_least: float


def fabric_strain(fabric: Fabric, rows: Rows) -> FabricStrain:
    """Return the strain of a whole fabric."""
    links, post_starts = _all_links(fabric, rows)
    top, foot = links[:, CHILD], links[:, PARENT]
    rest = np.asarray(fabric.size.heights_mm)[_kinds(rows)]
    post = _lengths(fabric.tops_mm[top] - fabric.tops_mm[foot]) / rest[top - fabric.starts[1]] - 1.0
    course = np.zeros(len(fabric.tops_mm))
    course[:-1] = _lengths(np.diff(fabric.tops_mm, axis=0)) / fabric.size.width_mm - 1.0
    course[fabric.starts[1:] - 1] = 0.0
    return FabricStrain(
        foot=foot,
        top=top,
        post=post,
        post_starts=post_starts,
        course=course,
        of_stitch=_of_stitch(top, post, course),
        span=(
            float(min(post.min(initial=0.0), course.min())),
            float(max(post.max(initial=0.0), course.max())),
        ),
    )


def stitch_strain(strain: FabricStrain, fabric: Fabric, row: int, stitch: int) -> StitchStrain:
    """Return what is strained at one stitch, counted from the fabric's left edge."""
    number = int(fabric.starts[row]) + stitch
    first, end = strain.post_starts[row], strain.post_starts[row + 1]
    mine = strain.post[first:end][strain.top[first:end] == number]
    post = float(mine[np.argmax(np.abs(mine))]) if len(mine) else None
    beside = []
    if stitch > 0:
        beside.append(strain.course[number - 1])
    if number + 1 < fabric.starts[row + 1]:
        beside.append(strain.course[number])
    return StitchStrain(post, float(np.mean(beside)) if beside else None)


def wave_strain(steady: Steady) -> WaveStrain:
    """Return the extremes in a steady state."""
    net = steady.net
    length = _lengths(spring_vectors_mm(net, steady.tops_mm, steady.frame))
    strain = length / net.rest_mm - 1.0
    post, course = strain[net.kind == POST], strain[net.kind == COURSE]
    return WaveStrain(
        post_most=float(post.max(initial=0.0)),
        post_least=float(post.min(initial=0.0)),
        course_most=float(course.max(initial=0.0)),
        course_least=float(course.min(initial=0.0)),
    )


def _lengths(vectors: Floats) -> Floats:
    lengths: Floats = np.hypot(vectors[:, 0], vectors[:, 1])
    return lengths


def _all_links(fabric: Fabric, rows: Rows) -> tuple[Indices, Indices]:
    """Return every (child, parent) pair numbered over the whole fabric, and where rows start.

    Rows of one kind that run the same way share their pairs, so each kind is worked out once.
    """
    known: dict[tuple[int, bool, int, int], Indices] = {}
    parts, counts = [np.empty((0, 2), dtype=np.intp)], [0, 0]
    for row in range(1, fabric.n_rows + 1):
        key = (int(rows.which[row - 1]), row % 2 == 1, rows.makes(row), rows.makes(row - 1))
        if key not in known:
            known[key] = rows.fabric_links(row)
        parts.append(known[key] + (fabric.starts[row], fabric.starts[row - 1]))
        counts.append(len(known[key]))
    return np.concatenate(parts), np.cumsum(counts)


def _kinds(rows: Rows) -> Indices:
    """Return the catalogue number of every stitch above the foundation, from the left."""
    known: dict[tuple[int, bool, int], Indices] = {}
    parts = [np.empty(0, dtype=np.intp)]
    for row in range(1, rows.drawn_rows + 1):
        key = (int(rows.which[row - 1]), row % 2 == 1, rows.makes(row))
        if key not in known:
            known[key] = np.asarray(rows.in_fabric_order(row, rows.plan(row).kind)).astype(np.intp)
        parts.append(known[key])
    return np.concatenate(parts)


def _of_stitch(top: Indices, post: Floats, course: Floats) -> Floats:
    """Return the strain furthest from none at every top."""
    before = np.concatenate([[0.0], course[:-1]])
    most, least = np.maximum(course, before), np.minimum(course, before)
    if len(top):  # posts lie in order of their tops
        first = np.flatnonzero(np.diff(top, prepend=-1))
        at = top[first]
        most[at] = np.maximum(most[at], np.maximum.reduceat(post, first))
        least[at] = np.minimum(least[at], np.minimum.reduceat(post, first))
    furthest: Floats = np.where(most >= -least, most, least)
    return furthest
