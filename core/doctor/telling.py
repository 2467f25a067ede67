"""What a mistake is, in the trade's words: cause, way out, and what to count."""

from core.craft.stitches import CATALOGUE, WORKED
from core.design.document import Design, Item, Items
from core.doctor.counts import Suspect, changes_counts, right_count, wrong_count
from core.doctor.mistakes import Mistake
from core.doctor.slips import first_decrease
from core.doctor.worked import row_of
from core.rows.shape import joined, units_of
from core.words.short import short_label

_COUNTED_ROW = 5


def cause(design: Design, mistake: Mistake) -> str:
    """Return what was probably done, with row and item named."""
    terms, chains = design.terms, design.turning.chains
    name = CATALOGUE[design.gauge.stitch].name(terms).short
    second = row_of(design, 2)
    begin = _edge_label(units_of((*second.start, *second.repeat))[:1], design)
    last = _edge_label(units_of((*second.repeat, *second.end))[-1:], design)
    halves = _half_labels(design)
    tall = CATALOGUE[_taller(design)].name(terms).short
    texts = {
        "foot": f"From row 2 on, ch {chains} is the first stitch of the row ({begin}), and one "
        f"{name} more was worked into its foot.",
        "into chain": f"The turning ch {chains} isn't a stitch here, but at the end of row 2 and "
        "the rows after it one was worked into it, as if it were.",
        "whole peak": f"The first and last items of a row are half a peak ({halves}); "
        f"a whole one ({_turn_label(design, gains=True)}) was worked there.",
        "top missed": f"From row 2 on, the last stitch ({last}) goes into the top of the turning "
        f"ch {chains} of the row below. It lies flat and is easily passed over.",
        "first missed": f"The turning ch {chains} isn't a stitch here, so the first stitch of row "
        f"2 ({begin}) goes into the very first one below. It was passed over.",
        "whole dip": f"The first and last items of a row are half a dip ({halves}); a "
        f"whole one ({_turn_label(design, gains=False)}) was worked there.",
        "lean": "Right-side rows, from row 3 on, gain a stitch at their start and lose one at "
        f"their end: one more beside the turning ch {chains}, and the last place missed. "
        "Wrong-side rows are right, so both edges go the same way.",
        "both": f"From row 2 on, a {name} too many in the foot of the turning chain at the start, "
        "and the top of the chain missed at the end. The count hides it; the edges step in and "
        "out.",
        "tall chain": f"The turning ch {chains} stands taller than the {name} beside it: too many "
        f"chains, or loose ones (drawn as tall as {tall}). One chain less, or tighter ones.",
        "dip missed": _dip_missed(design),
        "peak too many": f"At a peak in each repeat ({_turn_label(design, gains=True)}) one "
        "stitch more was worked into the same place.",
        "peak missed": f"At a peak in each repeat ({_turn_label(design, gains=True)}) one stitch "
        "less was worked into the place.",
        "late peak": f"On right-side rows the peak ({_turn_label(design, gains=True)}) was worked "
        "one stitch past the middle of the peak below: the run before it is one longer, the run "
        "after it one shorter.",
        "spread peak": f"The increases of the peak ({_turn_label(design, gains=True)}) stand "
        "apart, with a plain stitch between them, so the point is rounded off.",
    }
    return texts[mistake.key]


def way_out(design: Design, mistake: Mistake) -> str:
    """Return how to tell it and to keep from it (common practice)."""
    texts = {
        "foot": "Hold a marker in the chain's top as soon as it is made: the next stitch belongs "
        "in the next place, unless the pattern says the same.",
        "into chain": "Put a marker into the first stitch of every row and end the next row there.",
        "whole peak": "Count the stitches in the place at the edge before turning.",
        "top missed": "Put a marker into the top of the turning chain when it is made, and work "
        "the last stitch where it sits.",
        "first missed": "Put a marker into the first stitch and end the next row in it.",
        "whole dip": "Count what is left at the edge before turning.",
        "lean": "Compare both ends of one right-side row with the chart.",
        "both": "Mark the first and the last place of every row for a few rows.",
        "tall chain": "Try one chain less on two rows and look again. A chain more or less that "
        "counts as the same stitch changes no count.",
        "dip missed": "Count one repeat from dip to dip; the runs beside it show the extra.",
        "peak too many": "Count the stitches in one peak.",
        "peak missed": "Count the stitches in one peak.",
        "late peak": "Count both runs beside a peak: they should be as the pattern says. A marker "
        "in the middle of each peak shows where the next one goes.",
        "spread peak": "Work the increases into places side by side, as the pattern says.",
    }
    return texts[mistake.key]


def count_line(design: Design, mistake: Mistake) -> str:
    """Return how counting would find it: one row's count, right and wrong."""
    if not changes_counts(design, mistake):
        return (
            "Every row keeps its count, so counting whole rows won't show it: look at the edges "
            "and between the peaks."
        )
    row = min(_COUNTED_ROW, max(design.size.rows, 2))
    wrong, right = wrong_count(design, mistake, row), right_count(design, row)
    step = wrong_count(design, mistake, row + 2) - wrong_count(design, mistake, row)
    step -= right_count(design, row + 2) - right_count(design, row)
    way = "more" if step > 0 else "fewer"
    return (
        f"Count: if row {row} has {wrong} instead of {right}, this is it. Every two rows from "
        f"there have {abs(step)} {way}."
    )


def suspect_line(design: Design, suspect: Suspect) -> str:
    """Return one line on what the counts speak for."""
    fits = "fits every count" if not suspect.missed_by else f"misses by {suspect.missed_by}"
    if suspect.mistake is None:
        number = abs(suspect.once)
        noun = "stitch" if number == 1 else "stitches"
        way = "gained" if suspect.once > 0 else "lost"
        return f"{number} {noun} {way} once, by row {suspect.since}: {fits}"
    name, every = suspect.mistake.name, design.size.repeats
    if 0 < suspect.repeats < every:
        name = name.replace("in each repeat", f"in {suspect.repeats} of {every} repeats")
    return f"{name}, from row {suspect.since}: {fits}"


def _turn_label(design: Design, *, gains: bool) -> str:
    """Return the items of the first peak or dip of a repeat that has one."""
    for row in design.wave.rows_in_turn:
        wanted: Items = tuple(
            item
            for item in row.repeat
            if (item.stitch and item.make > 1 if gains else item.skip or item.over > 1)
        )
        if wanted:
            return short_label(wanted[:1], design.terms)
    return "a peak" if gains else "a dip"


def _edge_label(units: list[Item], design: Design) -> str:
    """Return what stands at the very edge, a plain stitch by its name."""
    if len(units) == 1 and units[0].is_plain:
        return f"1 {CATALOGUE[units[0].stitch or ''].name(design.terms).short}"
    return short_label(joined(units), design.terms)


def _half_labels(design: Design) -> str:
    """Return what both edges have of a turn, in the first row that has any."""
    for row in (design.wave.first, *design.wave.rows_in_turn):
        start, end = units_of(row.start), units_of(row.end)[::-1]
        halves = [_leading(start), _leading(end)[::-1]]
        if all(halves):
            labels = [_edge_label(half, design) for half in halves]
            return labels[0] if labels[0] == labels[1] else " and ".join(labels)
    return "at the edges"


def _leading(units: list[Item]) -> list[Item]:
    plain = next((n for n, unit in enumerate(units) if unit.is_plain), len(units))
    return units[:plain]


def _dip_missed(design: Design) -> str:
    label = _turn_label(design, gains=False)
    for row in design.wave.rows_in_turn:
        at = first_decrease(units_of(row.repeat))
        if at is not None and units_of(row.repeat)[at].skip:
            word = "skipped" if design.terms == "US" else "missed"
            return (
                f"At a dip in each repeat ({label}) a stitch was worked that should have been "
                f"{word}."
            )
    return f"At a dip in each repeat ({label}) one decrease was worked as plain stitches."


def _taller(design: Design) -> str:
    unit = next((u for u in units_of(row_of(design, 2).start + row_of(design, 2).repeat)), None)
    stitch = unit.stitch if unit is not None and unit.stitch else design.gauge.stitch
    return WORKED[min(WORKED.index(stitch) + 1, len(WORKED) - 1)]
