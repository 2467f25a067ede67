"""The whole pattern in words, from its title to its notes.

What the designer typed stands in it as typed; everything else comes from the vocabulary.
"""

from collections.abc import Mapping, Sequence
from itertools import groupby

from core.craft.stitches import Terms
from core.design.document import Design, Gauge, Item, Units, Yarn
from core.edging.border import BorderPlan
from core.edging.plan import Ends
from core.rows.build import Rows
from core.words.abbreviations import abbreviations_in, special_stitches
from core.words.edging import border_lines, fill_lines
from core.words.pattern import Paragraph, Pattern, Section
from core.words.rowlist import rows_in_full, written_rows, yarn_name
from core.words.rowtext import WrittenRow, written_row
from core.words.rules import multiple_lines, rule_lines
from core.words.vocabulary import Vocabulary, vocabulary

_MM_PER_INCH = 25.4
_M_PER_YARD = 0.9144

Amount = tuple[int, float]
"""Whole balls of a yarn, and the metres needed of it."""


def write_pattern(
    design: Design,
    rows: Rows,
    *,
    terms: Terms | None = None,
    yarn_of_row: Sequence[int] | None = None,
    size_text: Sequence[str] = (),
    amounts: Mapping[int, Amount] | None = None,
    ends: Ends | None = None,
    border: BorderPlan | None = None,
) -> Pattern:
    """Return the complete written pattern.

    Args:
        design: The design.
        rows: Its rows, in any size.
        terms: The system of terms, if not the design's own.
        yarn_of_row: Number of each row's yarn; without it the text names no stripes.
        size_text: Lines on the finished size.
        amounts: What to have of each yarn, by its number.
        ends: Top and bottom, with their fill rows.
        border: The border.
    """
    words = vocabulary(terms or design.terms)
    yarns = None if yarn_of_row is None else [int(yarn) for yarn in yarn_of_row]
    end = [words.say("fasten off")] if rows.misfit is None else []
    plain = [_labelled(line) for line in written_rows(design, rows, terms=words.terms)]
    lines = written_rows(design, rows, terms=words.terms, ball_for_row=yarns)
    rules = rule_lines(design, rows, words, changes=len(set(yarns or ())) > 1)
    special = special_stitches("\n".join(plain), _items(design, rows), words)
    multiple = multiple_lines(design, rows, words)
    gauge = _gauge_line(design.gauge, design.units, words)
    fill = fill_lines(design, rows, ends, words) if ends else ()
    around = border_lines(design, ends, border, words) if ends and border else ()
    own = "\n".join([*plain, *rules, *special, *multiple, gauge, *fill, *around])
    sections = [
        _section("head", _head(design, words), words),
        _section("size", size_text, words),
        _section("materials", _materials(design, yarns, amounts or {}, words), words),
        _section("gauge", [gauge], words),
        _section("abbreviations", _abbreviations(own, words), words),
        _section("special", special, words),
        _section("multiple", multiple, words),
        _section("rules", rules, words),
        _section("rows", [*map(_row, lines), *end], words),
        _section("fill", fill, words),
        _section("border", around, words),
        _section("stripes", _stripes(design, yarns or (), words), words),
        _section("notes", design.notes.strip().splitlines(), words),
    ]
    return Pattern(words.terms, tuple(part for part in sections if part.blocks))


def _section(name: str, lines: Sequence[str | Paragraph], words: Vocabulary) -> Section:
    heading = "" if name == "head" else words.say(f"heading {name}")
    blocks = [Paragraph(line) if isinstance(line, str) else line for line in lines]
    return Section(name, heading, tuple(blocks))


def _row(line: WrittenRow) -> Paragraph:
    return Paragraph(line.text, label=line.label, row=line.row)


def _labelled(line: WrittenRow) -> str:
    return f"{line.label}: {line.text}"


def _head(design: Design, words: Vocabulary) -> list[str]:
    designer = design.designer.strip()
    by = [words.say("designer", designer=designer)] if designer else []
    title = [design.title.strip()] if design.title.strip() else []
    return [*title, *by, words.say("terms", terms=words.terms)]


def _items(design: Design, rows: Rows) -> list[Item]:
    """Return the items of every row that is written in full."""
    kinds = [rows.plan(row).row for row in rows_in_full(design, rows)]
    return [item for row in kinds for item in (*row.start, *row.repeat, *row.end)]


def _materials(
    design: Design,
    yarns: Sequence[int] | None,
    amounts: Mapping[int, Amount],
    words: Vocabulary,
) -> list[str]:
    every = range(len(design.yarns))
    around = {yarn for _, yarn in design.edging.yarns} if design.edging else set()
    used = every if yarns is None else [n for n in every if n in around | set(yarns)]
    lines = []
    for number in used:
        name = yarn_name(design, number, words)
        line = _yarn_line(design.yarns[number], name, design.units, words)
        if number in amounts:
            balls, metres = amounts[number]
            line = words.say("amount", yarn_line=line, n=balls, metres=f"{metres:.0f}")
        lines.append(line)
    return [*lines, words.say("hook", mm=f"{design.gauge.hook_mm:g}")]


def _yarn_line(yarn: Yarn, name: str, units: Units, words: Vocabulary) -> str:
    return words.say(
        "yarn" if units == "cm" else "yarn, yards",
        yarn=name,
        metres=f"{yarn.ball_m:g}",
        yards=f"{yarn.ball_m / _M_PER_YARD:.0f}",
        grams=f"{yarn.ball_g:g}",
    )


def _gauge_line(gauge: Gauge, units: Units, words: Vocabulary) -> str:
    cm = f"{gauge.over_mm / 10:g}"
    length = words.say("centimetres", cm=cm)
    if units == "in":
        length = words.say("inches", inches=_inches(gauge.over_mm), cm=cm)
    return words.say(
        "gauge",
        stitches=f"{gauge.stitches:g}",
        rows=f"{gauge.rows:g}",
        stitch=words.short(gauge.stitch),
        length=length,
    )


def _inches(mm: float) -> str:
    """Return inches as swatches are measured: 10 cm is 4 in, since it is within 2 %."""
    inches = mm / _MM_PER_INCH
    quarters = round(inches * 4) / 4
    return f"{quarters:g}" if abs(quarters - inches) <= 0.02 * inches else f"{inches:.2f}"


def _abbreviations(text: str, words: Vocabulary) -> list[str]:
    return [
        words.say("abbreviation", short=entry.short, long=entry.long)
        for entry in abbreviations_in(text, words)
    ]


def _stripes(design: Design, yarns: Sequence[int], words: Vocabulary) -> list[str]:
    """Return a line for each stripe, with the rows worked so far."""
    lines, total = [], 0
    for number, rows in groupby(yarns):
        n = len(list(rows))
        first, total = total + 1, total + n
        lines.append(
            words.say(
                "stripe of a row" if n == 1 else "stripe",
                yarn=yarn_name(design, number, words),
                first=first,
                last=total,
                n=n,
                total=total,
            )
        )
    return lines


__all__ = ["WrittenRow", "write_pattern", "written_row", "written_rows"]
