"""The whole pattern in words, from its title to its notes.

What the designer typed stands in it as typed; everything else comes from the vocabulary.
"""

from collections.abc import Mapping, Sequence

import numpy as np

from core.craft.stitches import Terms
from core.design.document import Design, Item, total_makes
from core.edging.border import BorderPlan
from core.edging.plan import Ends
from core.rows.build import Rows
from core.stripes.sequence import yarns_worked
from core.words.abbreviations import abbreviations_in, special_stitches
from core.words.edging import border_lines, fill_lines
from core.words.facts import NO_FACTS, Amount, Facts
from core.words.finishing import care_lines, finishing_lines, size_lines, trouble_lines
from core.words.measures import ball, grams, length, metres, swatch_count, swatch_length
from core.words.names import yarn_name
from core.words.pattern import Block, Paragraph, Pattern, Section
from core.words.rowlist import row_lines, rows_in_full, written_rows
from core.words.rowtext import WrittenRow, foundation_line, written_row
from core.words.rules import multiple_lines, rule_lines
from core.words.stripes import colour_list, stripe_list
from core.words.vocabulary import Language, Vocabulary, plain_words, vocabulary, weight_classes

_GAUGE_ROWS = 10


def write_pattern(
    design: Design,
    rows: Rows,
    *,
    terms: Terms | None = None,
    language: Language = "en",
    spelled: bool = False,
    yarn_of_row: Sequence[int] | None = None,
    size_text: Sequence[str] = (),
    amounts: Mapping[int, tuple[int, float]] | None = None,
    facts: Facts = NO_FACTS,
    ends: Ends | None = None,
    border: BorderPlan | None = None,
) -> Pattern:
    """Return the complete written pattern.

    Args:
        design: The design.
        rows: Its rows, in any size.
        terms: The system of terms, if not the design's own.
        language: The language; terms are those of English.
        spelled: Whether everything is spelled out, for a voice to read.
        yarn_of_row: Number of each row's yarn; without it the text names no stripes.
        size_text: Lines on the finished size, beside what `facts` tells.
        amounts: What to have of each yarn, by its number, if `facts` doesn't tell.
        facts: What was measured and counted.
        ends: Top and bottom, with their fill rows.
        border: The border.
    """
    words = vocabulary(terms or design.terms, language, spelled=spelled)
    told = {number: Amount(*amount) for number, amount in (amounts or {}).items()}
    return pattern_in(
        design,
        rows,
        words,
        yarns=None if yarn_of_row is None else [int(yarn) for yarn in yarn_of_row],
        size_text=size_text,
        amounts=dict(facts.amounts) or told,
        facts=facts,
        ends=ends,
        border=border,
    )


def pattern_in(
    design: Design,
    rows: Rows,
    words: Vocabulary,
    *,
    yarns: Sequence[int] | None,
    size_text: Sequence[str] = (),
    amounts: Mapping[int, Amount] | None = None,
    facts: Facts = NO_FACTS,
    ends: Ends | None = None,
    border: BorderPlan | None = None,
    period: int | None = None,
) -> Pattern:
    """Return the pattern in these words (see `write_pattern`).

    `period` is the rows after which the stripes come again, if that isn't to be found out.
    """
    lines = row_lines(design, rows, words, yarns)
    rules = rule_lines(design, rows, words, changes=len(set(yarns or ())) > 1)
    multiple = [*multiple_lines(design, rows, words), *_wider_by(design, rows, facts, words)]
    gauge = _gauge(design, rows, facts, words)
    fill = fill_lines(design, rows, ends, words) if ends else ()
    around = border_lines(design, ends, border, words) if ends and border else ()
    short = _rows_in_short(design, rows, lines, words)
    special = [
        Paragraph(f"{how}.", label=name)
        for name, how in special_stitches(short, _items(design, rows), words)
    ]
    row_blocks = _rows(design, rows, lines, words)
    size = size_lines(facts, words)
    finishing = finishing_lines(facts, words)
    trouble = trouble_lines(design, rows, words) if yarns is not None else []
    parts: list[tuple[str, Sequence[str | Block]]] = [
        ("head", _head(design, words)),
        ("size", [*size_text, *size]),
        ("materials", _materials(design, yarns, amounts or {}, words)),
        ("gauge", gauge),
        ("special", special),
        ("multiple", multiple),
        ("rules", rules),
        ("rows", row_blocks),
        ("fill", fill),
        ("border", around),
        ("stripes", stripe_list(design, yarns, words, period=period) if yarns else ()),
        ("colours", colour_list(design, yarns, words, period=period) if yarns else ()),
        ("finishing", finishing),
        ("care", care_lines(facts, words)),
        ("trouble", trouble),
        ("notes", design.notes.strip().splitlines()),
        ("contact", _contact(design, words)),
    ]
    sections = [_section(name, blocks, words) for name, blocks in parts]
    own = "\n".join([foundation_line(rows, words).text, *map(_own_text, sections)])
    sections.insert(4, _section("abbreviations", _abbreviations(own, words), words))
    return Pattern(words.terms, tuple(part for part in sections if part.blocks))


def _section(name: str, blocks: Sequence[str | Block], words: Vocabulary) -> Section:
    heading = "" if name == "head" else words.say(f"heading {name}")
    made = [Paragraph(block) if isinstance(block, str) else block for block in blocks]
    return Section(name, heading, tuple(made))


def _own_text(section: Section) -> str:
    """Return what the program wrote, without what the designer typed."""
    if section.name in ("head", "notes", "materials", "stripes", "colours", "size", "contact"):
        return ""
    blocks = [block for block in section.blocks if getattr(block, "row", None) != 0]
    return "\n".join(block.plain for block in blocks)


def _rows(
    design: Design, rows: Rows, lines: Sequence[WrittenRow], words: Vocabulary
) -> list[Block]:
    blocks: list[Block] = [Paragraph(line.text, label=line.label, row=line.row) for line in lines]
    markers = _markers(rows, words)
    at = next((n + 1 for n, line in enumerate(lines) if line.row == 1), len(blocks))
    if markers:
        blocks.insert(at, Paragraph(markers, label=words.say("markers")))
    if rows.misfit is None:
        blocks.append(Paragraph(words.say("fasten off")))
    return blocks


def _markers(rows: Rows, words: Vocabulary) -> str:
    """Return where markers go in row 1: into the first stitch of every repeat."""
    if rows.misfit is not None or not len(rows.which):
        return ""
    plan = rows.plan(1)
    repeats, starts = np.unique(plan.section, return_index=True)
    starts = starts[repeats >= 0]
    apart = total_makes(plan.row.repeat)
    if apart < 2:
        return ""
    return words.say(
        "markers text",
        n=len(starts),
        first=int(starts[0]) + 1,
        ordinal=words.ordinal(apart),
    )


def _rows_in_short(
    design: Design, rows: Rows, lines: Sequence[WrittenRow], words: Vocabulary
) -> str:
    """Return the rows with abbreviations, by which decreases are known."""
    if words.spelled or words.sized:
        lines = row_lines(design, rows, plain_words(words))
    return "\n".join(line.text for line in lines)


def _head(design: Design, words: Vocabulary) -> list[str]:
    designer = design.designer.strip()
    by = [words.say("designer", designer=designer)] if designer else []
    title = [design.title.strip()] if design.title.strip() else []
    skill = design.skill and words.say("skill", level=words.say(f"skill {design.skill}"))
    return [*title, *by, words.say("terms", terms=words.terms), *([skill] if skill else [])]


def _contact(design: Design, words: Vocabulary) -> list[str]:
    """Return where mistakes are told and what makers may do, as far as the designer says."""
    contact, licence = design.contact.strip(), design.licence.strip()
    told = [words.say("contact", contact=contact)] if contact else []
    return [*told, *([licence] if licence else [])]


def _items(design: Design, rows: Rows) -> list[Item]:
    """Return the items of every row that is written in full."""
    kinds = [rows.plan(row).row for row in rows_in_full(design, rows)]
    return [item for row in kinds for item in (*row.start, *row.repeat, *row.end)]


def _materials(
    design: Design,
    yarns: Sequence[int] | None,
    amounts: Mapping[int, Amount],
    words: Vocabulary,
) -> list[Block]:
    every = range(len(design.yarns))
    used = every if yarns is None else yarns_worked(design.edging, yarns)
    lines: list[Block] = []
    for number in used:
        yarn = design.yarns[number]
        text = ball(yarn.ball_m, yarn.ball_g, design.units, words)
        if yarn.weight is not None:
            name = weight_classes(words)[yarn.weight]
            text = words.say("weight", ball=text, n=yarn.weight, name=name)
        if number in amounts:
            text = f"{text}: {_amount(amounts[number], design, words)}"
        lines.append(Paragraph(text, label=yarn_name(design, number, words)))
    mine = [amounts[number] for number in used if number in amounts]
    if len(mine) > 1 and not words.sized:
        lines.append(_all_yarn(mine, design, words))
    hook = words.say("millimetres", n=words.number(design.gauge.hook_mm))
    return [*lines, Paragraph(hook, label=words.say("hook"))]


def _amount(amount: Amount, design: Design, words: Vocabulary) -> str:
    if words.sized:
        return words.say("amount of size")
    long = metres(amount.metres, design.units, words)
    if amount.grams is None or amount.spare_m is None:
        return words.say("amount", n=amount.balls, metres=long)
    return words.say(
        "amount in full",
        n=amount.balls,
        metres=long,
        grams=grams(amount.grams, words),
        spare=metres(amount.spare_m, design.units, words),
    )


def _all_yarn(amounts: Sequence[Amount], design: Design, words: Vocabulary) -> Paragraph:
    long = metres(sum(a.metres for a in amounts), design.units, words)
    weight = grams(sum(a.grams or 0.0 for a in amounts), words)
    balls = sum(a.balls for a in amounts)
    text = words.say("all yarn text", n=balls, metres=long, grams=weight)
    if any(a.grams is None for a in amounts):
        text = words.say("amount", n=balls, metres=long)
    return Paragraph(text, label=words.say("all yarn"))


def _gauge(design: Design, rows: Rows, facts: Facts, words: Vocabulary) -> list[str]:
    gauge, units = design.gauge, design.units
    lines = [
        words.say(
            "gauge",
            stitches=swatch_count(gauge.stitches, words),
            rows=swatch_count(gauge.rows, words),
            stitch=words.short(gauge.stitch, 2),
            length=swatch_length(gauge.over_mm, units, words),
        )
    ]
    if facts.repeat_mm is None or facts.rise_mm is None or not rows.foundation.multiple:
        return lines
    lines.append(
        words.say(
            "gauge of the wave",
            stitches=rows.foundation.multiple,
            width=length(facts.repeat_mm, units, words),
            rows=_GAUGE_ROWS,
            length=length(facts.rise_mm * _GAUGE_ROWS, units, words),
        )
    )
    if facts.washed_repeat_mm is not None and facts.washed_rise_mm is not None:
        lines.append(
            words.say(
                "gauge, washed",
                width=length(facts.washed_repeat_mm, units, words),
                rows=_GAUGE_ROWS,
                length=length(facts.washed_rise_mm * _GAUGE_ROWS, units, words),
            )
        )
    return [*lines, words.say("gauge how")]


def _wider_by(design: Design, rows: Rows, facts: Facts, words: Vocabulary) -> list[str]:
    repeat = facts.finished_repeat_mm
    if repeat is None or rows.misfit is not None or not rows.foundation.multiple:
        return []
    return [words.say("wider by", width=length(repeat, design.units, words))]


def _abbreviations(text: str, words: Vocabulary) -> list[Block]:
    return [
        Paragraph(words.say("abbreviation", long=entry.long), label=entry.short)
        for entry in abbreviations_in(text, words)
    ]


__all__ = [
    "Amount",
    "Facts",
    "WrittenRow",
    "pattern_in",
    "write_pattern",
    "written_row",
    "written_rows",
]
