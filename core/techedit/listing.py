"""The list as text: to be copied, printed, sent to whoever wrote the pattern."""

from collections.abc import Sequence
from typing import Final

from core.checks.findings import LEVELS, Finding, FindingLevel
from core.design.document import Design

NAMES: Final[dict[FindingLevel, str]] = {
    "error": "To mend",
    "warning": "To look at",
    "note": "To know",
}
_FIELDS: Final = {
    "title": "the title",
    "designer": "the designer",
    "use": "what it is for",
    "skill": "the skill level",
    "contact": "the contact",
    "licence": "the permission",
    "notes": "the notes",
}


def place_name(where: str, design: Design) -> str:
    """Return a finding's place as people call it: a yarn by its name."""
    word, _, rest = where.partition(" ")
    if word == "yarn" and rest.isdigit() and int(rest) < len(design.yarns):
        return design.yarns[int(rest)].name
    if word == "words":
        if not rest.isdigit():
            return "words"
        return f"words of row {rest}" if int(rest) else "words of the foundation"
    if word == "details":
        return _FIELDS.get(rest, "title and notes")
    return {
        "turning": "turning chain",
        "sizes": "other sizes",
        "gauge wave": "gauge of the wave",
    }.get(where, where)


def sum_of(findings: Sequence[Finding]) -> str:
    """Return how much there is of each level, in a few words."""
    counts = [(level, sum(f.level == level for f in findings)) for level in LEVELS]
    parts = [f"{n} {NAMES[level][0].lower()}{NAMES[level][1:]}" for level, n in counts if n]
    return ", ".join(parts) or "nothing to mend"


def list_text(findings: Sequence[Finding], design: Design) -> str:
    """Return the list as plain text: by level, numbered, each with its place and a box to tick."""
    title = design.title.strip() or "Untitled blanket"
    lines = [f"Tech edit: {title}", sum_of(findings)]
    number = 0
    for level in LEVELS:
        its = [finding for finding in findings if finding.level == level]
        if its:
            lines += ["", f"{NAMES[level]} ({len(its)})"]
        for finding in its:
            number += 1
            lines.append(f"[ ] {number}. {place_name(finding.where, design)}: {finding.text}")
    return "\n".join(lines) + "\n"
