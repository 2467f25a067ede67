"""A first row that doesn't come out at its end: chains left over, or too few of them.

One thing done wrong changes the stitches made and the chains used in its own way. What is
counted, the chains left over and the stitches made, tells which.
"""

from collections.abc import Iterable
from typing import Final

from core.design.document import Design, Item
from core.records import Struct
from core.rows.foundation import foundation_of
from core.rows.shape import units_of

_MOST: Final = 6


class Slip(Struct, frozen=True):
    """What may have happened.

    Attributes:
        text: It, in a short sentence.
        made: Stitches too many that it leaves in row 1.
        used: Chains too many that it uses.
        chain: Chains too many that must then have been made.
        where: "edge", "repeat" or "chain", where to look.
    """

    text: str
    made: int
    used: int
    chain: int
    where: str


def slips_of_first_row(design: Design, left_over: int, stitches: int | None) -> tuple[Slip, ...]:
    """Return what explains the end of row 1, the simplest first.

    Two things gone wrong at once are only returned where one alone explains nothing.

    Args:
        design: The design.
        left_over: Chains left after the last stitch; negative for chains that are missing.
        stitches: Stitches counted in row 1; None if they weren't.
    """
    row, repeats = design.wave.first, design.size.repeats
    off = None if stitches is None else stitches - row.makes(repeats)
    if not left_over and not off:
        return ()
    found = []
    if not off:
        found.append(_chain_slip(left_over, row.makes(repeats), is_counted=off is not None))
    for slip in _single_slips(design):
        chain = left_over + slip.used
        if (off is None or slip.made == off) and (slip.made or slip.used):
            found.append(Slip(slip.text, slip.made, slip.used, chain, slip.where))
    single = [slip for slip in found if slip.where == "chain" or not slip.chain]
    return tuple(single or sorted(found, key=lambda slip: abs(slip.chain)))[:_MOST]


def _chain_slip(left_over: int, makes: int, *, is_counted: bool) -> Slip:
    many = abs(left_over)
    noun, made = ("chain", "was") if many == 1 else ("chains", "were")
    way = "too many" if left_over > 0 else "too few"
    if_right = "The row is right" if is_counted else f"If row 1 has {makes} stitches, it is right"
    return Slip(f"{if_right}; {many} {noun} {way} {made} made.", 0, 0, left_over, "chain")


def _single_slips(design: Design) -> Iterable[Slip]:
    """Return each thing that is easily done once: made and used beyond the right row."""
    row = design.wave.first
    makes = sum(item.makes for item in row.repeat)
    uses = foundation_of(row, design.turning, 1).multiple
    yield Slip("One plain stitch too many in a run.", 1, 1, 0, "repeat")
    yield Slip("One plain stitch too few in a run.", -1, -1, 0, "repeat")
    yield Slip("One chain was passed over.", 0, 1, 0, "repeat")
    yield Slip("Two stitches went into one chain.", 1, 0, 0, "repeat")
    yield Slip("A whole repeat was left out.", -makes, -uses, 0, "repeat")
    yield Slip("A whole repeat too many was worked.", makes, uses, 0, "repeat")
    seen: set[tuple[int, int]] = set()
    skips = [item for item in row.repeat if item.skip]
    for unit in (*skips, *(unit for unit in units_of(row.repeat) if unit.stitch)):
        for text, made, used in _unit_slips(unit):
            if (made, used) not in seen:
                seen.add((made, used))
                yield Slip(text, made, used, 0, "repeat")


def _unit_slips(unit: Item) -> Iterable[tuple[str, int, int]]:
    if unit.stitch and unit.make > 1:
        yield "An increase was worked as one stitch.", 1 - unit.makes, 0
        yield "An increase was left out.", -unit.makes, -unit.uses
    elif unit.stitch and unit.over > 1:
        yield "A decrease was worked as plain stitches.", unit.over - 1, 0
        yield "A decrease was left out.", -unit.makes, -unit.uses
        yield "One plain stitch stands for a decrease.", 0, 1 - unit.over
    elif unit.skip:
        yield "Chains that should be skipped were not.", 0, -unit.skip
