"""Findings: what is wrong, with its weight, its place and the way out."""

from collections.abc import Iterable
from typing import Final, Literal

from core.records import Struct

FindingLevel = Literal["error", "warning", "note"]

LEVELS: Final[tuple[FindingLevel, ...]] = ("error", "warning", "note")


class Finding(Struct, frozen=True):
    """Something worth saying about a design or its pattern.

    Attributes:
        level: "error" if it can't be worked or published as it stands.
        where: The place, as "row 2", "words 2", "stripes", "wave", "yarn 0", "size", "swatch",
            "edging top", "colour", "chart", "details notes".
        message: What is; where `way` is empty, also what to do about it.
        way: What to do about it.
    """

    level: FindingLevel
    where: str
    message: str
    way: str = ""

    @property
    def text(self) -> str:
        """What is and what to do, as one piece of text."""
        return f"{self.message} {self.way}".rstrip()


def by_level(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings, each once, errors first; those of one level keep their order."""
    return tuple(sorted(dict.fromkeys(findings), key=lambda finding: LEVELS.index(finding.level)))
