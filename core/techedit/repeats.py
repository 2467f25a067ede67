"""Repeats that can be worked in two ways: no end said, no times said, brackets in brackets."""

import re
from collections.abc import Iterator
from typing import Final

from core.checks.findings import Finding
from core.techedit.draft import Draft
from core.words.pattern import Paragraph

_REPEAT: Final = re.compile(r"\b(?:rep|repeat|reps|repeating|work)\s+(?:from|between)\s+\*+", re.I)
_TO: Final = re.compile(
    r"(?:s\b)?\s*(?:to\s+\*+\s*)?[,;:]?\s*(?:\([^)]*\)\s*)?"
    r"(?:(?:another|a further|a total of|exactly)\s+)?"
    r"(?:\d+|once|twice|thrice|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|"
    r"to\b|until\b|up to\b|ending\b|end\b|as\s+(?:often|many)|for\s+(?:each|every)|in\s+each)",
    re.I,
)
_TIMES: Final = re.compile(
    r"\s*[,:]?\s*(?:\d+|once\b|twice\b|thrice\b|x\s*\d|×\s*\d|one\b|two\b|three\b|four\b|five\b|"
    r"six\b|seven\b|eight\b|nine\b|ten\b|in\b|into\b|all in\b|to\b|across to\b|until\b|around\b|"
    r"over\b|rep\b|repeat\b)",
    re.I,
)
_OPEN: Final = {"(": ")", "[": "]", "{": "}"}


def check_repeats(draft: Draft) -> list[Finding]:
    """Return a finding for every repeat that doesn't say how often or how far."""
    if not draft.is_read:
        return []
    section = draft.pattern.section("rows")
    rows = [
        (f"words {block.row}", f"Row {block.row}" if block.row else "The foundation", block.text)
        for block in (section.blocks if section else ())
        if isinstance(block, Paragraph) and block.row is not None
    ]
    found = [
        Finding("error", where, f"{name}: {what}", way)
        for where, name, text in rows
        for what, way in ambiguous(text)
    ]
    found += [
        Finding("warning", prose.where, f"{prose.name}: {what}", way)
        for prose in draft.prose
        if prose.where == "details notes"
        for what, way in ambiguous(prose.text)
    ]
    return list(dict.fromkeys(found))


def ambiguous(text: str) -> Iterator[tuple[str, str]]:
    """Yield what leaves open how a row goes, and the way out."""
    for match in _REPEAT.finditer(text):
        if "*" not in text[: match.start()]:
            yield (
                f"“{match[0]}” comes, but there is no * before it to repeat from.",
                "Put a * where the repeat begins.",
            )
        if not _TO.match(text, match.end()):
            after = text[match.end() :].strip(" ,;.")[:20]
            says = f"“{match[0]} {after}”" if after else f"“{match[0]}”"
            yield (
                f"{says} doesn't say how far or how often.",
                "Say “to last 11 sts” or “10 more times”, as the program's own words do.",
            )
    stars = [m.start() for m in re.finditer(r"(?<!\*)\*(?!\*)", _REPEAT.sub("", text))]
    if _REPEAT.search(text) and len(stars) > 1 and not re.search(r"to\s+\*", text, re.I):
        before = text[: _REPEAT.search(text).start()].count("*")  # type: ignore[union-attr]
        if before > 1 and before != 2 * len(_REPEAT.findall(text)):
            yield (
                "There is more than one *, so it is open which one to repeat from.",
                "Mark the second repeat with ** or put it in brackets.",
            )
    yield from _brackets(text)


def _brackets(text: str) -> Iterator[tuple[str, str]]:
    stack: list[tuple[str, int]] = []
    for at, sign in enumerate(text):
        if sign in _OPEN:
            if sign in [kind for kind, _ in stack]:
                yield (
                    f"A bracket “{sign}” stands inside another of its kind.",
                    "Use [ ] for one of them and ( ) for the other.",
                )
            stack.append((sign, at))
        elif sign in _OPEN.values():
            if not stack or _OPEN[stack[-1][0]] != sign:
                yield (
                    f"A bracket “{sign}” closes nothing that was opened.",
                    "Take it out, or put in the one that opens it.",
                )
                return
            kind, start = stack.pop()
            if kind == "[" and not _TIMES.match(text, at + 1):
                inside = text[start : at + 1]
                yield (
                    f"“{inside[:40]}” doesn't say how often it is worked.",
                    "Say how often after the bracket: “twice”, “3 times”.",
                )
    if stack:
        yield (
            f"A bracket “{stack[-1][0]}” is never closed.",
            "Close it where its repeat ends, and say how often.",
        )
