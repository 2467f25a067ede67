"""What a maker has to know before row 1: multiple, turning chain, loops, change of colour."""

from collections.abc import Sequence
from itertools import pairwise

from core.craft.stitches import CHAIN, KEYS, NUMBER
from core.design.document import Design, Loops, Row, WorkIn, total_makes, total_uses
from core.rows.build import Rows
from core.rows.turning import first_stitch, turning_of_row
from core.stripes.loops import first_row_of, is_plain
from core.words.items import places_phrase
from core.words.rowlist import rows_in_full, rows_that_fit
from core.words.steps import Ending, RowSteps, Where
from core.words.telling import row_steps
from core.words.vocabulary import Vocabulary


def multiple_lines(design: Design, rows: Rows, words: Vocabulary) -> tuple[str, ...]:
    """Return the multiple and how to make the blanket wider or narrower."""
    base, repeats = rows.foundation, rows.plans[0].repeats
    if not base.multiple:
        return ()
    least = base.chains - (repeats - 1) * base.multiple
    key = "multiple plus" if base.extra else "multiple"
    if base.multiple == 1:
        key = "multiple of one"
    lines = [
        words.say(key, multiple=base.multiple, extra=base.extra, least=least),
        words.say("repeats", n=repeats, chains=base.chains),
    ]
    if rows.misfit is not None:
        return tuple(lines)
    if not _fits_any_width(rows):
        return (*lines, words.say("this width only"))
    lines.append(_wider(rows, words))
    return (*lines, *_any_width(design, rows, words))


def rule_lines(design: Design, rows: Rows, words: Vocabulary, *, changes: bool) -> tuple[str, ...]:
    """Return the rules that hold in every row; `changes` says whether the colour does."""
    told = {row: row_steps(design, rows, row) for row in rows_in_full(design, rows)}
    lines = [_turning_rule(design, told, words), _loops_rule(design, words)]
    steps = [step for row in told.values() for step in (*row.lead, *row.repeat, *row.tail)]
    if any((plan.kind == NUMBER[CHAIN]).any() for plan in rows.plans):
        of_spaces = [bool(step.space) for step in steps if step.item.stitch and step.into_chain]
        later = of_spaces[_into_foundation(told) :]
        lines.append(words.say("rule spaces" if later and all(later) else "rule ch"))
    if changes:
        lines.append(words.say("rule changing"))
    return tuple(lines)


def _kinds(rows: Rows) -> list[int]:
    """Return the kind of every row that fits, from row 1 up."""
    return [int(kind) for kind in rows.which[: rows_that_fit(rows)]]


def _fits_any_width(rows: Rows) -> bool:
    """Return whether every repeat fits the repeat below, whatever their number."""
    plans = rows.plans
    return all(
        total_makes(plans[below].row.repeat) == total_uses(plans[kind].row.repeat)
        for below, kind in dict.fromkeys(pairwise(_kinds(rows)))
    )


def _wider(rows: Rows, words: Vocabulary) -> str:
    multiple = rows.foundation.multiple
    makes = {total_makes(rows.plans[kind].row.repeat) for kind in set(_kinds(rows))}
    if len(makes) > 1:
        return words.say("wider", multiple=multiple)
    return words.say("wider, rows", multiple=multiple, makes=makes.pop())


def _any_width(design: Design, rows: Rows, words: Vocabulary) -> tuple[str, ...]:
    """Return up to where each row repeats, if all rows mark a repeat and agree."""
    numbers = rows_in_full(design, rows)
    told = [row_steps(design, rows, row, mark_one=words.sized) for row in numbers]
    if not numbers or not all(steps.times and steps.tail_uses for steps in told):
        return ()
    later = [_to_last(steps, words) for steps in told[1:]]
    chains = places_phrase("last", told[0].tail_uses, words, chains=True)
    parts = [words.say("row to last", row=1, places=chains)]
    if len(set(later)) == 1:
        parts.append(words.say("rows to last", places=later[0]))
    else:
        pairs = zip(numbers[1:], later, strict=True)
        parts += [words.say("row to last", row=row, places=places) for row, places in pairs]
    return (words.say("any width", rows=words.joined(parts)),)


def _to_last(steps: RowSteps, words: Vocabulary) -> str:
    places = places_phrase("last", steps.tail_uses, words)
    if steps.ending in (Ending.TOP, Ending.NTH):
        return words.say("turning among", text=places)
    return places


def _into_foundation(told: dict[int, RowSteps]) -> int:
    """Return how many steps of row 1 go into the foundation's chains."""
    first = told.get(1)
    steps = (*first.lead, *first.repeat, *first.tail) if first else ()
    return sum(bool(step.item.stitch) and step.into_chain for step in steps)


def _turning_rule(design: Design, told: dict[int, RowSteps], words: Vocabulary) -> str:
    heights = _heights_rule(design, told, words)
    if not (design.turning.chains or heights):
        return words.say("rule no turning ch")
    if not design.turning.counts:
        return " ".join(filter(None, [words.say("rule does not count"), heights]))
    joins = any(steps.opening.over > 1 for steps in told.values())
    rules = [words.say("rule counts or joins" if joins else "rule counts")]
    rules += [heights] if heights else []
    if any(step.where is Where.SAME for steps in told.values() for step in steps.lead):
        rules.append(words.say("rule same st"))
    later = [steps for row, steps in told.items() if row > 1]
    if later and _all_end(later, Ending.TOP):
        rules.append(words.say("rule top"))
    elif later and _all_end(later, Ending.NTH) and not heights:
        rules.append(words.say("rule nth", ordinal=words.ordinal(design.turning.chains)))
    return " ".join(rules)


def _heights_rule(design: Design, told: dict[int, RowSteps], words: Vocabulary) -> str:
    """Return how many chains go before which stitch, if rows differ in that."""
    rows = sorted({design.wave.first, *design.wave.rows_in_turn}, key=_first_place)
    chains = {first_stitch(row): turning_of_row(design, row).chains for row in rows}
    if len(told) < 2 or len(set(chains.values())) == 1:
        return ""
    said = [
        words.say("rule height" if n else "rule height none", n=n, stitch=words.short(stitch))
        for stitch, n in chains.items()
    ]
    return words.say("rule heights", heights=words.joined(said))


def _first_place(row: Row) -> int:
    return KEYS.index(first_stitch(row))


def _all_end(told: Sequence[RowSteps], ending: Ending) -> bool:
    """Return whether every row works its last stitch into such a place."""
    lasts = [[*steps.lead, *steps.tail][-1] for steps in told]
    return all(steps.ending is ending for steps in told) and all(
        last.where is Where.TURNING and last.item.stitch for last in lasts
    )


def _loops_rule(design: Design, words: Vocabulary) -> str:
    loops = design.loops
    if is_plain(loops):
        return words.say("rule both loops")
    if loops.in_turn is None:
        rule = words.say(f"rule {loops.work_in} loops", row=first_row_of(loops))
    else:
        rule = _loops_in_turn(loops, loops.in_turn, words)
    if loops.last_stitch_both:
        return f"{rule} {words.say('rule last both')}"
    return rule


def _loops_in_turn(loops: Loops, turn: Sequence[WorkIn], words: Vocabulary) -> str:
    """Return the rule for loops that change from row to row."""
    named = [words.say(f"in {loop} loops") for loop in turn]
    row = first_row_of(loops)
    if not loops.each_colour:
        return words.say("rule loops in turn", row=row, loops=words.joined(named))
    parts = [
        words.say("loops of a row", ordinal=words.ordinal(number), loops=loop)
        for number, loop in enumerate(named[:-1], start=1)
    ]
    parts.append(words.say("loops of the rest" if parts else "loops throughout", loops=named[-1]))
    return words.say("rule loops each colour", row=row, loops=words.joined(parts))
