"""Row sums: the published rows read again, word by word, against the chart and in every size."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

from core.checks.findings import Finding
from core.craft.stitches import Terms
from core.design.document import Design
from core.design.edits import set_size
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.reading.own import read_own
from core.reading.reading import Reading, read_text
from core.reading.shaping import row_units
from core.reading.tokens import MAX_TEXT
from core.rows.build import Rows, build_rows
from core.stripes.closing import closing_totals
from core.stripes.sequence import worked_stripes
from core.techedit.draft import Draft
from core.words.pattern import Paragraph
from core.words.rowlist import row_lines
from core.words.write import written_rows

_BACK: Final = "Go back to the program's words for it, or mend what you typed."
_LONG: Final = 5000  # stitches of the written rows that are read in no time
_FEW: Final = 6  # repeats that show as much of a row as hundreds do
_MOST: Final = 6  # findings of one kind, where a fault runs through all rows

Line = tuple[int, str]
"""A written line: its row, of several the last, and its label and words."""


def check_counts(draft: Draft) -> list[Finding]:
    """Return where the published rows don't come out, or aren't the chart's."""
    if not (draft.is_read and draft.fits):
        return []
    section = draft.pattern.section("rows")
    lines = [
        (block.row, block.plain, block.text)
        for block in (section.blocks if section else ())
        if isinstance(block, Paragraph) and block.row is not None
    ]
    if not any(row for row, _, _ in lines):
        return [Finding("error", "words", "The pattern has no rows.", "Write out the rows.")]
    design, rows = draft.results.design, draft.results.rows
    yarns = [int(yarn) for yarn in draft.results.yarn_of_row]
    programs = {(line.row, line.text) for line in row_lines(design, rows, draft.words, yarns)}
    as_written = {row for row, _, text in lines if (row, text) in programs}
    told = [(row, line) for row, line, _ in lines]
    if len(as_written) == len(told) and _is_long(told, rows):
        rows, told = _to_read(design, rows, draft.pattern.terms)
    reread = _Reread(rows, told, draft.pattern.terms)
    return reread.findings(set(draft.own_rows), as_written)[:_MOST]


def _to_read(design: Design, rows: Rows, terms: Terms) -> tuple[Rows, list[Line]]:
    """Return rows and their lines: of very wide ones those of a few repeats, as quickly read."""
    lines = _lines_of(design, rows, terms)
    if not _is_long(lines, rows):
        return rows, lines
    narrow = set_size(design, repeats=min(design.size.repeats, _FEW))
    narrow_rows = build_rows(narrow)
    if narrow_rows.misfit is not None:
        return rows, lines
    return narrow_rows, _lines_of(narrow, narrow_rows, terms)


def _is_long(lines: Sequence[Line], rows: Rows) -> bool:
    return len(lines) * max(plan.makes for plan in rows.plans) > _LONG


def _lines_of(design: Design, rows: Rows, terms: Terms) -> list[Line]:
    lines = written_rows(design, rows, terms=terms)
    return [(line.row, f"{line.label}: {line.text}") for line in lines]


@lru_cache(maxsize=16)
def _read(text: str, terms: Terms) -> Reading:
    """Return what a text says; kept, as most changes of a design leave its rows alone."""
    return read_text(text, terms=terms)


def check_sizes(draft: Draft, *, should_stop: ShouldStop = never) -> list[Finding]:
    """Return in which of the named sizes rows don't fit, don't read as charted, or don't close.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    design, found = draft.results.design, []
    for size in design.sizes:
        if should_stop():
            raise Stopped
        its = set_size(design, repeats=size.repeats, rows=size.rows)
        rows = build_rows(its)
        name = f"size {size.name}"
        if rows.misfit is not None:
            if draft.fits:
                found.append(
                    Finding(
                        "error",
                        "sizes",
                        f"In {name} row {rows.misfit.row} takes {rows.misfit.uses} stitches, but "
                        f"there are {rows.misfit.available} below it: with {size.repeats} repeats "
                        "the rows don't fit.",
                        "Make each repeat use as many stitches as the one below leaves, or give "
                        f"{name} as many repeats as the design has.",
                    )
                )
            continue
        if draft.is_read:
            found += _read_in_size(its, rows, draft.pattern.terms, name)
        found += _unclosed(its, size.rows, f"In {name} the", "sizes")
    return found


def _read_in_size(design: Design, rows: Rows, terms: Terms, name: str) -> list[Finding]:
    """Return the first place where rows as published in a size don't read as charted."""
    own = {
        line.line.row: line.text
        for line in (read_own(design, rows) if design.own_words else ())
        if line.own is not None and line.is_published and line.own.terms == terms
    }
    if own:
        lines = [
            (line.row, f"{line.label}: {own.get(line.row, line.text)}")
            for line in written_rows(design, rows, terms=terms)
        ]
    else:
        rows, lines = _to_read(design, rows, terms)
    as_written = {row for row, _ in lines if row not in own}
    return _Reread(rows, lines, terms).findings(set(), as_written, name)[:1]


def check_closing(draft: Draft) -> list[Finding]:
    """Return whether the stripes' rows come to those of the blanket, in words and in rows."""
    design, rows = draft.results.design, draft.results.rows
    section = draft.pattern.section("stripes")
    found: list[Finding] = []
    if section is not None and section.blocks and not draft.words.sized and draft.fits:
        said = _last_number(section.blocks[-1].plain)
        if said is not None and said != rows.drawn_rows:
            found.append(
                Finding(
                    "error",
                    "stripes",
                    f"The stripe list comes to {said} rows, the blanket has {rows.drawn_rows}.",
                    "Give the stripes as many rows as the blanket, or let them begin again.",
                )
            )
    if section is None and draft.fits and design.stripes.sequence:
        found.append(
            Finding("error", "stripes", "The pattern has no stripe list.", "Write one out.")
        )
    return found


def _unclosed(design: Design, n_rows: int, start: str, where: str) -> list[Finding]:
    """Return whether the last stripe is cut short."""
    worked = worked_stripes(design.stripes, n_rows)
    if not worked:
        return []
    cut = design.stripes.sequence[worked[-1].entry].rows - worked[-1].rows
    if cut <= 0:
        return []
    totals = [total.rows for total in closing_totals(design.stripes, n_rows)]
    or_end = f", {' or '.join(map(str, totals))} to end as it begins" if totals else ""
    return [
        Finding(
            "note",
            where,
            f"{start} last stripe is {cut} {'row' if cut == 1 else 'rows'} short.",
            f"{n_rows + cut} rows complete it{or_end}.",
        )
    ]


def _last_number(text: str) -> int | None:
    digits = "".join(s if s.isdigit() else " " for s in text).split()
    return int(digits[-1]) if digits else None


class _Reread:
    """Written lines, read and set against the rows they are to tell."""

    def __init__(self, rows: Rows, lines: Sequence[Line], terms: Terms) -> None:
        self._begins: list[tuple[int, int]] = []
        self._rows = rows
        self._written = sorted(row for row, _ in lines)
        text = ""
        for row, line in lines:
            self._begins.append((len(text), row))
            text += line.replace("\n", " ") + "\n"
        self._reading = _read(text, terms) if len(text) <= MAX_TEXT else None

    def findings(self, known: set[int], as_written: set[int], size: str = "") -> list[Finding]:
        """Return where lines break or aren't the rows.

        Args:
            known: Lines that something was said of elsewhere.
            as_written: Lines in the program's own words, of rows that fit. Where these can't be
                read, the reading is at fault: a look is asked for, nothing is called wrong.
            size: The size they are for, if not the design's own.
        """
        wrong = {**self._unlike(), **self._broken()}
        typed = [row for row in wrong if row not in as_written]
        found = []
        for row in sorted(wrong):
            where, start = ("sizes", f"In {size}: ") if size else (f"words {row}", "")
            if row in known:
                continue
            if row not in as_written:
                found.append(Finding("error", where, f"{start}{wrong[row]}", _BACK))
            elif not typed or row < min(typed):  # else it follows from what is wrong below it
                what = f"{start}the program can't read its own words again. {wrong[row]}"
                way = "Compare the row with the chart before it is published."
                found.append(Finding("warning", where, what[:1].upper() + what[1:], way))
        return found

    def _broken(self) -> dict[int, str]:
        """Return what keeps lines from being worked, by line."""
        found: dict[int, str] = {}
        for trouble in self._reading.troubles if self._reading else ():
            if trouble.level == "error":
                row = next((r for at, r in reversed(self._begins) if at <= trouble.start), 0)
                found.setdefault(row, trouble.message)
        return found

    def _unlike(self) -> dict[int, str]:
        """Return where words and chart part: by line, in count or in kinds of stitches."""
        reading, rows, written = self._reading, self._rows, self._written
        found: dict[int, str] = {}
        if reading is None:
            return found
        chains = rows.foundation.chains
        if reading.chains not in (None, chains) and 0 in written:
            found[0] = (
                f"The foundation has {reading.chains} chains in words, {chains} on the chart."
            )
        seen: dict[tuple[int, int], bool] = {}
        for number in range(1, len(rows.which) + 1):
            row, kind = reading.row(number), int(rows.which[number - 1])
            line = next((row for row in written if row >= number), written[-1])
            if line in found:
                continue
            if row is None:
                found[line] = f"Row {number} is on the chart, but the words don't have it."
                continue
            if row.flat is None:
                continue  # what breaks it is said already
            key, plan = (id(row), kind), rows.plans[kind]
            if key not in seen:
                seen[key] = row.flat.units == row_units(plan.row, plan.repeats)
            if not seen[key]:
                found[line] = _apart(number, row.makes, plan.makes)
        return found


def _apart(number: int, makes: int | None, charted: int) -> str:
    if makes is not None and makes != charted:
        return (
            f"Words and chart differ in row {number}: the words make {makes} stitches, the chart "
            f"shows {charted}."
        )
    return (
        f"Words and chart differ in row {number}: as many stitches, but not the same ones in the "
        "same places."
    )
