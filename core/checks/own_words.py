"""Own words against the chart: rows that differ, don't come out, or belong to another wave."""

from typing import TYPE_CHECKING

from core.checks.findings import Finding
from core.design.document import Design
from core.rows.build import Rows

if TYPE_CHECKING:
    from core.reading.own import OwnLine


def check_own_words(design: Design, rows: Rows) -> list[Finding]:
    """Return a finding for every line in the designer's own words that isn't the chart's."""
    if not design.own_words:
        return []
    from core.reading.own import read_own  # reading is loaded only where there is something to read

    lines = read_own(design, rows)
    found = [
        _finding(line) for line in lines if line.own is not None and line.own.terms == design.terms
    ]
    known = {line.line.row for line in lines}
    lost = [words.row for words in design.own_words if words.row not in known]
    found += [
        Finding(
            "note",
            f"words {row}",
            f"Own words are kept for row {row}, which isn't written out any more.",
            "Nothing needs doing; they come back with the row.",
        )
        for row in lost
    ]
    found += [
        Finding(
            "note",
            f"words {words.row}",
            f"The own words are in {words.terms} terms, so the {design.terms} pattern has the "
            "program's.",
            "Word the row in these terms too, or change terms back.",
        )
        for words in design.own_words
        if words.terms != design.terms and words.row in known
    ]
    return [finding for finding in found if finding is not None]


def _finding(line: "OwnLine") -> Finding | None:
    row = line.line.row
    name = f"row {row}" if row else "the foundation"
    where = f"words {row}"
    if line.is_stale:
        return Finding(
            "warning",
            where,
            f"The own words of {name} were written for another wave; the pattern has the "
            "program's words.",
            "Edit them, or go back to the program's words.",
        )
    if line.broken is not None:
        return Finding(
            "error",
            where,
            f"Own words: {line.broken.message}",
            "Mend the words, or go back to the program's.",
        )
    if line.differs:
        loops = ", but only in the loops worked into" if line.only_loops else ""
        return Finding(
            "warning" if line.only_loops else "error",
            where,
            f"Words and chart differ in {name}{loops}.",
            "Take its words into the design, or go back to the program's words.",
        )
    return None
