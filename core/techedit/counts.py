"""Row sums: the published rows read again, word by word, against the chart and in every size."""

from collections.abc import Sequence
from typing import Final

from core.checks.findings import Finding
from core.design.document import Design
from core.design.edits import set_size
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.reading.reading import Reading, read_text
from core.reading.shaping import row_units
from core.reading.tokens import MAX_TEXT
from core.rows.build import Rows, build_rows
from core.stripes.closing import closing_totals
from core.stripes.sequence import worked_stripes
from core.techedit.draft import Draft
from core.words.pattern import Paragraph
from core.words.write import written_rows

_BACK: Final = "Go back to the program's words for it, or mend what you typed."
_MOST: Final = 6  # findings of one kind, where a fault runs through all rows

Line = tuple[int, str]
"""A written line: its row, of several the last, and its label and words."""


def check_counts(draft: Draft) -> list[Finding]:
    """Return where the published rows don't come out, or aren't the chart's."""
    if not (draft.is_read and draft.fits):
        return []
    section = draft.pattern.section("rows")
    lines = [
        (block.row, block.plain)
        for block in (section.blocks if section else ())
        if isinstance(block, Paragraph) and block.row is not None
    ]
    if not any(row for row, _ in lines):
        return [Finding("error", "words", "The pattern has no rows.", "Write out the rows.")]
    design, rows = draft.results.design, draft.results.rows
    found = _read_against(design, rows, lines, set(draft.own_rows), "", draft.pattern.terms)
    return found[:_MOST]


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
            lines = [(line.row, f"{line.label}: {line.text}") for line in
                     written_rows(its, rows, terms=draft.pattern.terms)]  # fmt: skip
            found += _read_against(its, rows, lines, set(), f"In {name}: ", draft.pattern.terms)
        found += _unclosed(its, size.rows, f"In {name} the", "sizes")
    return found


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


def _read_against(
    design: Design, rows: Rows, lines: Sequence[Line], known: set[int], start: str, terms: str
) -> list[Finding]:
    """Read lines and return where they break or aren't the rows; `known` rows are left out."""
    text, begins = "", []
    for row, line in lines:
        begins.append((len(text), row))
        text += line.replace("\n", " ") + "\n"
    if len(text) > MAX_TEXT:
        return []  # said by the reading of own words; the program's words aren't typed by anyone
    reading = read_text(text, terms="UK" if terms == "UK" else "US")
    where = "words" if not start else "sizes"
    found: dict[int, Finding] = {}
    for trouble in reading.troubles:
        row = next((row for begin, row in reversed(begins) if begin <= trouble.start), 0)
        if trouble.level == "error" and row not in known and row not in found:
            place = f"words {row}" if not start else where
            found[row] = Finding("error", place, f"{start}{trouble.message}", _BACK)
    for row, what in _unlike(design, rows, reading, lines).items():
        if row not in known and row not in found:
            place = f"words {row}" if not start else where
            found[row] = Finding("error", place, f"{start}{what}", _BACK)
    return [found[row] for row in sorted(found)]


def _unlike(design: Design, rows: Rows, reading: Reading, lines: Sequence[Line]) -> dict[int, str]:
    """Return where words and chart part: by line, in count or in kinds of stitches."""
    found: dict[int, str] = {}
    written = sorted(row for row, _ in lines)
    if reading.chains is not None and reading.chains != rows.foundation.chains and 0 in written:
        found[0] = (
            f"The foundation has {reading.chains} chains in words, {rows.foundation.chains} "
            "on the chart."
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
        key = id(row), kind
        plan = rows.plans[kind]
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
