"""Findings: one sentence each, with its weight and its place."""

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
