"""Stripes that lie side by side and run into each other, and what would keep them apart."""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from itertools import pairwise
from typing import Final, Literal

import numpy as np

from core.design.document import Edging
from core.palette.difference import Floats, ciede2000
from core.palette.sight import GREY, PLAIN, Sight, lab_of, seen
from core.palette.spaces import hex_of_oklch, oklch_of
from core.records import Struct
from core.stripes.sequence import Worked

MERGE_DIFFERENCE: Final = 10.0
"""CIEDE2000 below which neighbours are said to merge. Our own choice: about 1 can just be told
apart side by side (from memory), a stripe is to be told across a room."""
MERGE_LIGHTNESS: Final = 8.0
"""The same for lightness alone, in L* of 100. Our own choice."""
SIGHTS: Final = (PLAIN, GREY, Sight("protan"), Sight("deutan"), Sight("tritan"))
"""The ways of seeing that neighbours are looked at in."""

_STEP: Final = 0.01  # of lightness in OKLCh, tried one after another
_AT_ONCE: Final = 12
_DARKEST: Final = 0.05


Beside = Literal["bottom", "top", "sides", "border"]
"""Where edging meets: rows at the bottom, at the top, along the sides; fill rows and border."""


class Meeting(Struct, frozen=True):
    """Two yarns that lie side by side somewhere.

    Attributes:
        one: Number of the yarn, the smaller one.
        other: Number of the other yarn.
        rows: Rows to look at, from 1: first rows of the upper stripes, and of stripes beside
            which edging is worked.
        edging: Where it is edging that meets; empty where only stripes do.
        places: How often they meet.
    """

    one: int
    other: int
    rows: tuple[int, ...]
    edging: tuple[Beside, ...] = ()
    places: int = 0


class Merge(Struct, frozen=True, dict=True):
    """Two yarns that merge to some eyes.

    Attributes:
        meeting: The yarns and where they meet.
        apart: Their difference in each of `SIGHTS`: of lightness in grey, CIEDE2000 otherwise.
    """

    meeting: Meeting
    apart: tuple[float, ...]

    @cached_property
    def sights(self) -> tuple[Sight, ...]:
        """The ways of seeing in which they merge."""
        found = zip(SIGHTS, self.apart, strict=True)
        return tuple(sight for sight, apart in found if apart < least_apart(sight))

    @property
    def is_plain(self) -> bool:
        """Whether they merge to every eye."""
        return self.apart[0] < MERGE_DIFFERENCE

    @property
    def nearness(self) -> float:
        """The least difference as a share of what would be enough; 0 is one colour."""
        return min(
            apart / least_apart(sight) for sight, apart in zip(SIGHTS, self.apart, strict=True)
        )


def least_apart(sight: Sight) -> float:
    """Return the difference from which neighbours are told apart."""
    return MERGE_LIGHTNESS if sight.kind == "grey" else MERGE_DIFFERENCE


def apart(colour: str, other: str, sight: Sight) -> float:
    """Return how different two colours look: of lightness in grey, CIEDE2000 otherwise."""
    return float(_apart(_labs([colour], sight), _labs([other], sight), sight)[0])


def meetings(worked: Iterable[Worked], edging: Edging | None = None) -> tuple[Meeting, ...]:
    """Return the yarns that lie side by side, in the order they first do, edging after stripes.

    Args:
        worked: The stripes from the foundation up.
        edging: What is worked round them. A border lies beside the first and the last stripe, or
            the fill rows there, and beside every stripe along both sides.
    """
    stripes = tuple(worked)
    rows: dict[tuple[int, int], list[int]] = {}
    places: dict[tuple[int, int], int] = {}
    around: dict[tuple[int, int], dict[Beside, None]] = {}

    def meet(one: int, other: int, row: int, where: Beside | None = None) -> None:
        if one == other:
            return
        pair = min(one, other), max(one, other)
        found = rows.setdefault(pair, [])
        if row not in found:
            found.append(row)
        places[pair] = places.get(pair, 0) + 1
        seen_ = around.setdefault(pair, {})
        if where is not None:
            seen_[where] = None

    for below, above in pairwise(stripes):
        meet(below.yarn, above.yarn, above.first)
    if edging is not None and stripes:
        border = None if edging.border is None else edging.border.yarn
        bottom, top = edging.bottom, edging.top
        ends: tuple[tuple[Beside, int, int, int | None], ...] = (
            ("bottom", stripes[0].yarn, 1, None if bottom is None else bottom.yarn),
            ("top", stripes[-1].yarn, stripes[-1].last, None if top is None else top.yarn),
        )
        for where, yarn, row, fill in ends:
            if fill is not None:
                meet(yarn, fill, row, where)
            if border is not None and fill is not None:
                meet(fill, border, row, "border")
            elif border is not None:
                meet(yarn, border, row, where)
        for stripe in stripes if border is not None else ():
            assert border is not None
            meet(stripe.yarn, border, stripe.first, "sides")
    return tuple(
        Meeting(*pair, tuple(found), tuple(around[pair]), places[pair])
        for pair, found in rows.items()
    )


def merging(
    colours: Sequence[str], worked: Iterable[Worked], edging: Edging | None = None
) -> tuple[Merge, ...]:
    """Return the neighbours that merge in any of `SIGHTS`, edging among them.

    Those that merge to every eye come first, among them and after them the nearest.
    """
    met = meetings(worked, edging)
    if not met:
        return ()
    pairs = np.array([(meeting.one, meeting.other) for meeting in met])
    columns = []
    for sight in SIGHTS:
        lab = _labs(colours, sight)
        columns.append(_apart(lab[pairs[:, 0]], lab[pairs[:, 1]], sight))
    table = np.stack(columns, axis=1).tolist()
    found = [Merge(meeting, tuple(row)) for meeting, row in zip(met, table, strict=True)]
    found = [merge for merge in found if merge.sights]
    return tuple(sorted(found, key=lambda merge: (not merge.is_plain, merge.nearness)))


class Between(Struct, frozen=True):
    """A yarn of the design that could stand between two that merge.

    Attributes:
        yarn: Its number.
        fails: The ways of seeing in which it merges with either of them itself.
    """

    yarn: int
    fails: tuple[Sight, ...]


def between(colours: Sequence[str], one: int, other: int) -> Between | None:
    """Return the yarn that stands best between two others; None if there is no third."""
    others = [yarn for yarn in range(len(colours)) if yarn not in (one, other)]
    if not others:
        return None
    shares = []
    for sight in SIGHTS:
        lab = _labs(colours, sight)
        ends = _apart(lab[others][:, np.newaxis], lab[[one, other]], sight)
        shares.append(ends.min(axis=1) / least_apart(sight))
    table = np.stack(shares)  # (sights, others)
    fails = (table < 1).sum(axis=0)
    best = int(np.lexsort((-table.min(axis=0), fails))[0])
    held = zip(SIGHTS, table[:, best].tolist(), strict=True)
    return Between(others[best], tuple(sight for sight, share in held if share < 1))


class Shift(Struct, frozen=True):
    """A lighter or darker colour that stands apart.

    Attributes:
        colour: The new colour.
        lighter: By how much L* grows, of 100; below 0 it is darker.
        moved: CIEDE2000 from the old colour.
        keeps: Whether it also stays apart from every other neighbour it was apart from.
    """

    colour: str
    lighter: float
    moved: float
    keeps: bool


def separated(colour: str, other: str, *, beside: Sequence[str] = ()) -> Shift | None:
    """Return the nearest lighter or darker colour that stands apart from another in `SIGHTS`.

    Its hue stays, and its chroma as far as a screen shows it.

    Args:
        colour: The colour to be changed.
        other: The one to stand apart from.
        beside: Further neighbours; those it is apart from now it should stay apart from.
    """
    sights = {sight: [other] for sight in SIGHTS}
    more = {sight: list(held) for sight, held in sights.items()}
    for sight in SIGHTS:
        if beside:
            away = _apart(_labs([colour], sight), _labs(beside, sight), sight)
            clear = away >= least_apart(sight)
            more[sight] += [to for to, apart in zip(beside, clear.tolist(), strict=True) if apart]
    return _nearest(colour, more, keeps=True) or _nearest(colour, sights, keeps=False)


def _nearest(colour: str, away_from: Mapping[Sight, Sequence[str]], *, keeps: bool) -> Shift | None:
    lightness, chroma, hue = oklch_of(colour)
    was = lab_of(colour)
    found = []
    for way, end in ((_STEP, 1.0), (-_STEP, _DARKEST)):
        places = np.arange(lightness + way, end, way).tolist()
        for start in range(0, len(places), _AT_ONCE):
            tried = [hex_of_oklch(place, chroma, hue) for place in places[start : start + _AT_ONCE]]
            good = np.ones(len(tried), dtype=bool)
            for sight, others in away_from.items():
                away = _apart(_labs(tried, sight)[:, np.newaxis], _labs(others, sight), sight)
                good &= (away >= least_apart(sight)).all(axis=1)
            if good.any():
                new = tried[int(good.argmax())]
                moved = float(ciede2000(lab_of(new), was))
                found.append(Shift(new, lab_of(new)[0] - was[0], moved, keeps))
                break
    return min(found, key=lambda shift: shift.moved, default=None)


def _labs(colours: Sequence[str], sight: Sight) -> Floats:
    """Return L*, a* and b* of colours as they are seen, shape (colours, 3)."""
    if sight.kind == "grey":  # its lightness is that of the colour, without rounding to a grey
        sight = PLAIN
    return np.array([lab_of(seen(colour, sight)) for colour in colours])


def _apart(one: Floats, other: Floats, sight: Sight) -> Floats:
    """Return how different colours look, as `apart` does, for many at once."""
    if sight.kind == "grey":
        return np.asarray(np.abs(one[..., 0] - other[..., 0]))
    return ciede2000(one, other)
