"""Edits of fill rows that need to know what was proposed; the others are in `core.design.edits`."""

from core.design.document import Design
from core.design.edits import set_end_fill
from core.edging.fill import Fill, Parts
from core.edging.levels import STEPS
from core.edging.outline import EndName, Outline


def set_n_rows(design: Design, end: EndName, *, n_rows: int) -> Design:
    """Return the design with so many fill rows at an end, all of them proposed anew."""
    return set_end_fill(design, end, n_rows=n_rows, own=())


def propose_again(design: Design, end: EndName) -> Design:
    """Return the design with the proposed stitches in place of those chosen by hand."""
    return set_end_fill(design, end, own=())


def step_stitch(
    design: Design, end: EndName, fill: Fill, *, row: int, place: int, taller: int
) -> Design:
    """Return the design with one stitch of a fill made taller or lower by hand.

    In a repeat it changes in every repeat.

    Args:
        design: The design.
        end: Which end.
        fill: The fill as it is now; all its stitches are kept from now on.
        row: Number of the fill row, from within outwards.
        place: Number of the stitch from the fabric's left edge.
        taller: Steps up, or down if negative.
    """
    rows = list(fill.rows)
    rows[row] = _stepped(rows[row], fill.outline, place, taller)
    own = tuple(parts.as_row(reversed=fill.outline.reversed) for parts in rows)
    return set_end_fill(design, end, own=own, n_rows=len(own))


def _stepped(parts: Parts, outline: Outline, place: int, taller: int) -> Parts:
    name, at = place_in(outline, place)
    stitches = list(getattr(parts, name))
    step = STEPS.index(stitches[at]) + taller
    stitches[at] = STEPS[min(max(step, 0), len(STEPS) - 1)]
    values = {"left": parts.left, "repeat": parts.repeat, "right": parts.right}
    return Parts(**(values | {name: tuple(stitches)}))


def place_in(outline: Outline, place: int) -> tuple[str, int]:
    """Return which part a stitch counted from the left edge is in, and its number there."""
    end = outline.left + outline.repeats * outline.width
    if place < outline.left:
        return "left", place
    if place < end:
        return "repeat", (place - outline.left) % outline.width
    return "right", place - end
