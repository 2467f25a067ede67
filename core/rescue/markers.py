"""Where the count of a row went wrong: a marker after each repeat, and what stands before it."""

from collections.abc import Mapping

from core.design.document import Design, Items, Row, total_makes
from core.doctor.worked import row_of
from core.records import Struct


class MarkerCheck(Struct, frozen=True):
    """What counts up to some markers say.

    Attributes:
        right_up_to: The last marker up to which the count is right; 0 for the row's beginning.
        wrong_from: The first marker whose count is wrong; None while none is.
        off: Stitches too many at that marker; negative for too few.
        each: Stitches too many in every repeat, where they grow from marker to marker; else 0.
        next: The marker to count to next, halving what is left; None when it is found.
    """

    right_up_to: int
    wrong_from: int | None
    off: int
    each: int
    next: int | None

    @property
    def is_found(self) -> bool:
        """Whether only one repeat, or the end edge, is left to look at."""
        return self.wrong_from is not None and self.next is None


def stitches_before(design: Design, row: int, marker: int) -> int:
    """Return the stitches up to a marker that stands after so many repeats, in working order.

    Marker 0 stands before the first repeat; the one after the last repeat plus 1 is the end.
    """
    items, repeats = row_of(design, row), design.size.repeats
    if marker > repeats:
        return items.makes(repeats)
    return total_makes(items.start) + marker * total_makes(items.repeat)


def check_markers(design: Design, row: int, counts: Mapping[int, int]) -> MarkerCheck:
    """Return between which markers a row went wrong.

    Args:
        design: The design.
        row: The row, from 1.
        counts: Stitches counted from the row's beginning up to markers, by marker.
    """
    last = design.size.repeats + 1
    off = {
        marker: count - stitches_before(design, row, marker)
        for marker, count in sorted(counts.items())
        if 0 <= marker <= last
    }
    wrong = next((marker for marker, much in off.items() if much), None)
    right = max(
        (marker for marker, much in off.items() if not much and marker < (wrong or last + 1)),
        default=0,
    )
    if wrong is None:
        upto = None if right >= last else (right + last + 1) // 2
        return MarkerCheck(right, None, 0, 0, upto)
    each = _each(off)
    if each or wrong - right <= 1:
        return MarkerCheck(right, wrong, off[wrong], each, None)
    return MarkerCheck(right, wrong, off[wrong], 0, (right + wrong) // 2)


def _each(off: Mapping[int, int]) -> int:
    """Return what every repeat is off by, if two markers at least agree on it."""
    inner = {marker: much for marker, much in off.items() if marker}
    shares = {much / marker for marker, much in inner.items()}
    if len(inner) < 2 or len(shares) != 1:
        return 0
    share = shares.pop()
    return int(share) if share == int(share) else 0


def part_before(design: Design, row: int, marker: int) -> tuple[str, Items]:
    """Return the name and items of the part of a row that ends at a marker."""
    items: Row = row_of(design, row)
    if marker > design.size.repeats:
        return "the end edge", items.end
    if marker == 0:
        return "the start edge", items.start
    return f"repeat {marker}", items.repeat
