"""Findings: one sentence each, with its weight and its place."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

FindingLevel = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True)
class Finding:
    """Something worth saying about a design.

    Attributes:
        level: "error" if it can't be worked as it stands.
        where: The place, as "row 2", "stripes", "wave", "yarn 0", "size".
        message: What is, and what to do about it.
    """

    level: FindingLevel
    where: str
    message: str


def summary_of(findings: Iterable[Finding]) -> str:
    """Return how much there is to mend and to note, in a few words."""
    levels = [finding.level for finding in findings]
    parts = [
        f"{levels.count('error')} to mend" if "error" in levels else "",
        _counted(levels.count("warning"), "caution"),
        _counted(levels.count("note"), "note"),
    ]
    return ", ".join(part for part in parts if part) or "nothing to mend"


def _counted(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}" if number else ""
