"""What to do about a first row that went wrong, in short sentences. Nothing here rips a row.

Where no source is named beside it, what to do is common practice.
"""

from typing import Final, Literal

from core.design.document import Design, Units
from core.records import Struct
from core.rescue.chain import ChainHelp
from core.rescue.first_row import Slip
from core.rescue.markers import MarkerCheck, part_before, stitches_before
from core.rows.foundation import foundation_of
from core.words.measures import in_unit
from core.words.short import short_label
from core.words.vocabulary import vocabulary

_WORDS: Final = vocabulary("US")  # it speaks English

Situation = Literal["chain", "end", "markers", "side", "lost"]

SITUATIONS: Final[tuple[tuple[Situation, str], ...]] = (
    ("chain", "My chain has another number of chains"),
    ("end", "Row 1 doesn't come out at its end"),
    ("markers", "Where did the count go wrong?"),
    ("side", "It ended on the wrong side"),
    ("lost", "The chain twisted, or I lost count"),
)


class Advice(Struct, frozen=True):
    """An answer: what is, in one line, and what to do, in a few.

    Attributes:
        head: What is.
        lines: What to do.
        source: Where that comes from.
    """

    head: str
    lines: tuple[str, ...]
    source: str


def about_chain(design: Design, found: ChainHelp) -> Advice:
    """Return what to do about a chain of another length."""
    off, units = found.too_many, design.units
    source = "Unpicking from the beginning: published advice. Adding chains: common practice."
    if not off:
        return Advice(
            f"{found.counted} chains are right for {_repeats(design.size.repeats)}.",
            ("Go on with row 1.",),
            "Counted from the design's rows.",
        )
    other = _other_size(design, found)
    if off > 0:
        return Advice(
            f"{_chains(off)} too many: {found.counted} instead of {found.wanted}.",
            (
                "Work row 1 as it is written. What is left over lies at its end, where the slip "
                "knot is.",
                f"Undo the slip knot, unpick {_chains(off)} back to the last stitch, and pull the "
                "tail tight. Weave it in. This can be done after any row.",
                *other,
            ),
            source,
        )
    return Advice(
        f"{_chains(-off)} too few: {found.counted} instead of {found.wanted}.",
        (
            f"Add {_chains(-off)} at the beginning, beside the slip knot. Row 1 meets them last, "
            "so this can wait until it gets there.",
            f"With the tail: put the hook into the very first chain, draw up a loop of the tail, "
            f"and make {_chains(-off)}. It must be at least {_length(found.yarn_mm, units)} long.",
            f"Or with another piece of the same yarn, {_length(found.yarn_mm, units)} of it: join "
            f"it in the very first chain, make {_chains(-off)} and fasten off.",
            *other,
        ),
        source,
    )


def _other_size(design: Design, found: ChainHelp) -> tuple[str, ...]:
    near = found.nearest
    if near.is_design:
        return ()
    todo = "with nothing to change"
    if near.change:
        way = "adding" if near.change > 0 else "unpicking"
        todo = f"{way} {_chains(abs(near.change))}"
    more = near.repeats - design.size.repeats
    size = f"{abs(more)} {'more' if more > 0 else 'fewer'}"
    wide = "" if near.width_mm is None else f", {_length(near.width_mm, design.units)} wide"
    return (
        f"Or make it another width: {_repeats(near.repeats)}, {size}{wide}, {todo}. The yarn "
        "changes with it.",
    )


def about_end(
    design: Design, left_over: int, stitches: int | None, found: tuple[Slip, ...]
) -> Advice:
    """Return what may have happened in a first row that doesn't come out."""
    wanted = design.wave.first.makes(design.size.repeats)
    source = "Counted from the design's rows; what may have happened: common practice."
    if not found and stitches is None:
        return Advice("Nothing left over and nothing missing: row 1 fits.", (), source)
    if not found and stitches == wanted:
        return Advice(f"{wanted} stitches and no chain left over: row 1 is right.", (), source)
    if not found:
        return Advice(
            f"Row 1 should have {wanted} stitches, this is {_off(stitches or 0, wanted)}.",
            ("No single mistake explains this. Count up to some markers to find the places.",),
            source,
        )
    lines = [_slip_line(slip) for slip in found]
    best = found[0]
    if best.where == "chain":
        todo = (
            f"Unpick {_chains(best.chain)} from the slip knot's end; the row stays."
            if best.chain > 0
            else f"Add {_chains(-best.chain)} at the slip knot's end and finish the row in them."
        )
        lines.insert(1, todo)
    else:
        lines.append(
            "To find the place, count up to some markers. A stitch off in a run can be put right "
            "in row 2: work two together there, or two in one, in the same run."
        )
    head = (
        f"{_chains(abs(left_over))} {'left over' if left_over > 0 else 'missing'} after row 1."
        if left_over
        else f"Row 1 has {_off(stitches or 0, wanted)}."
    )
    return Advice(head, tuple(lines), source)


def _slip_line(slip: Slip) -> str:
    if slip.where == "chain" or not slip.chain:
        return slip.text
    way = "too many" if slip.chain > 0 else "too few"
    return f"{slip.text} Then the chain also had {abs(slip.chain)} {way}."


def about_markers(design: Design, row: int, check: MarkerCheck) -> Advice:
    """Return what counts up to markers say."""
    source = "Counted from the design's rows; one marker after each repeat: common practice."
    last = design.size.repeats + 1
    if check.wrong_from is None:
        if check.next is None:
            return Advice(f"Row {row} is right from end to end.", (), source)
        wanted = stitches_before(design, row, check.next)
        place = "the end" if check.next == last else f"marker {check.next}"
        return Advice(
            f"Count up to {place} next: it should be {wanted}.",
            ("Put a marker after each repeat, and count from the row's beginning.",),
            source,
        )
    off = f"{abs(check.off)} too {'many' if check.off > 0 else 'few'}"
    if check.each:
        return Advice(
            f"Every repeat has {_off(check.each, 0)}.",
            (_should_be(design, row, check.wrong_from),),
            source,
        )
    if check.next is not None:
        return Advice(
            f"It went wrong between {_place(design, check.right_up_to)} and "
            f"{_place(design, check.wrong_from)}.",
            (
                f"Count up to marker {check.next} next: it should be "
                f"{stitches_before(design, row, check.next)}.",
            ),
            source,
        )
    part, _ = part_before(design, row, check.wrong_from)
    return Advice(
        f"It is in {part}: {off}.",
        (
            _should_be(design, row, check.wrong_from),
            "It can often stay: in the next row put it right in the same run, with one decrease or "
            "increase more, and count again.",
        ),
        source,
    )


def _should_be(design: Design, row: int, marker: int) -> str:
    part, items = part_before(design, row, marker)
    makes = sum(item.makes for item in items)
    return f"{part.capitalize()} should be {makes} stitches: {short_label(items, design.terms)}."


def _place(design: Design, marker: int) -> str:
    if not marker:
        return "the row's beginning"
    return "the end" if marker > design.size.repeats else f"marker {marker}"


def about_lost_count(design: Design) -> Advice:
    """Return how to count the chain anew, and what a twist does."""
    foundation = foundation_of(design.wave.first, design.turning, design.size.repeats)
    whole, rest = divmod(foundation.chains, foundation.multiple or foundation.chains)
    after = f", and {_chains(rest)} after the last" if rest else ""
    return Advice(
        f"{foundation.chains} chains are {whole} times {foundation.multiple or whole}{after}.",
        (
            f"Put a marker after every {foundation.multiple} chains, counted from the slip knot, "
            "and count the markers. The loop on the hook is no chain.",
            f"The first stitch goes into chain {foundation.first_in} from the hook; row 1 uses "
            f"{foundation.base_stitches} chains after the turn.",
            "A chain that twisted does no harm in rows: its ends aren't joined, so it can be laid "
            "straight again. Where it turned over while row 1 was worked, the lower edge shows "
            "its bumps instead of its V's; a border or a fill row covers that.",
            "When unsure, make some chains more: spare ones can be unpicked from the slip knot's "
            "end afterwards.",
        ),
        "The sums come from the design's rows. Spare chains: published advice. The rest: "
        "common practice.",
    )


def _chains(number: int) -> str:
    return f"{number} {'chain' if number == 1 else 'chains'}"


def _repeats(number: int) -> str:
    return f"{number} {'repeat' if number == 1 else 'repeats'} between the edges"


def _off(count: int, wanted: int) -> str:
    much = count - wanted
    noun = "stitch" if abs(much) == 1 else "stitches"
    return f"{abs(much)} {noun} too {'many' if much > 0 else 'few'}"


def _length(length_mm: float, units: Units) -> str:
    return in_unit(length_mm, units, _WORDS, cm=0, inches=0)
