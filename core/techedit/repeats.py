"""Repeats that can be worked in two ways: no end said, no times said, brackets in brackets."""

import re
from collections.abc import Iterator, Set
from typing import Final

from core.checks.findings import Finding
from core.reading.cursor import Cursor
from core.reading.places import CH
from core.reading.tokens import tokens_of
from core.techedit.asterisks import SO_OFTEN, borrowed, loose_asterisks
from core.techedit.draft import Draft
from core.words.pattern import Paragraph

_REPEAT: Final = re.compile(r"\b(?:rep|repeat|reps|repeating|work)\s+(?:from|between)\s+\*+", re.I)
_TO: Final = re.compile(
    rf"(?:s\b)?\s*(?:to\s+\*+\s*)?[,;:]?\s*(?:"
    rf"\(?(?:(?:another|a\s+further|a\s+total\s+of|exactly)\s+)?{SO_OFTEN}"
    r"|(?:(?:across|along|around)\b\s*)?(?:the\s+row\b\s*)?[,;]?\s*"
    r"(?:to\b|until\b|up\s+to\b|ending\b|end\b|as\s+(?:often|many)\b|for\s+(?:each|every)\b|"
    r"in\s+each\b))",
    re.I,
)
_TIMES: Final = re.compile(
    rf"\s*(?:{SO_OFTEN}|(?:x|×)\s*\d|(?:all\s+)?(?:in|into|over)\b|"
    r"(?:across\s+)?to\b|until\b|rep\b|repeat\b)",
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
    elsewhere = {kind for _, _, text in rows for kind in borrowed(text)}
    found = [
        Finding("error", where, f"{name}: {what}", way)
        for where, name, text in rows
        for what, way in ambiguous(text, elsewhere)
    ]
    found += [
        Finding("warning", prose.where, f"{prose.name}: {what}", way)
        for prose in draft.prose
        if prose.where == "details notes"
        for what, way in ambiguous(prose.text)
    ]
    return list(dict.fromkeys(found))


def ambiguous(text: str, elsewhere: Set[str] = frozenset()) -> Iterator[tuple[str, str]]:
    """Yield what leaves open how a row goes, and the way out.

    Args:
        text: A row's words.
        elsewhere: The asterisks that other rows speak of without having them.
    """
    text = " ".join(text.split())
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
    for what, way, at in loose_asterisks(text, elsewhere):
        if _has_work(text[at:]):
            yield what, way
    yield from _brackets(text)


def _brackets(text: str) -> Iterator[tuple[str, str]]:
    stack: list[tuple[str, int]] = []
    nested = False
    for at, sign in enumerate(text):
        if sign in _OPEN:
            if not nested and any(kind == sign for kind, _ in stack):
                nested = True  # said once
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
            inside = text[start : at + 1]
            if kind == "[" and _has_work(inside) and not _TIMES.match(text, at + 1):
                yield (
                    f"“{inside[:40]}” doesn't say how often it is worked.",
                    "Say how often after the bracket: “twice”, “3 times”.",
                )
    if stack:
        yield (
            f"A bracket “{stack[-1][0]}” is never closed.",
            "Close it where its repeat ends, and say how often.",
        )


def _has_work(text: str) -> bool:
    """Return whether there is anything to be worked in a bracket; else it is a remark."""
    cursor = Cursor(tokens_of(text))
    while not cursor.is_done:
        if cursor.stitch() is not None or cursor.take_any(CH):
            return "multiple" not in text
        cursor.at += 1
    return False
