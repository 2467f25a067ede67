"""Asterisks: is it plain which one a repeat goes back to, and is each one spoken of.

A mark stands in the work: it opens a repeat ("*2 dc, ..."), or closes one opened before it
("..., 1 ch*"). A reference stands in a sentence about it ("repeat from *", "from * to **"). One
asterisk and two are different marks. These are the usual ways of writing (common practice).
"""

import re
from collections.abc import Iterator, Set
from dataclasses import dataclass
from typing import Final

_N: Final = r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)"
SO_OFTEN: Final = (
    rf"(?:{_N}\s*(?:more\s+)?(?:times?\b|x\b|×)|{_N}\s+more\b|once\b|twice\b|thrice\b)"
)
"""How often: "3 times", "twice more"."""

_STAR: Final = r"\*+(?!\*)(?:['’]?s\b|(?![\w(\[]))"  # it stands alone, not before work
_REFERENCE: Final = re.compile(
    rf"\b(?:from|between|to|at|until|before|rep|reps|repeat|repeating)\s+"
    rf"(?:(?:the|first|second|last)\s+)*{_STAR}"
    rf"(?:\s*(?:to|and|-|–)\s*(?:the\s+)?{_STAR})?",
    re.I,
)
_SIGNS: Final = re.compile(r"\*+")
_ENDS: Final = re.compile(
    rf"\s*(?:$|[,;.)\]]|(?:rep|repeat)\w*\b|work\s+(?:from|between)\b|{SO_OFTEN})", re.I
)
_AT_ONCE: Final = re.compile(rf"\s*[,;]?\s*{SO_OFTEN}", re.I)

MORE_THAN_ONE: Final = (
    "There is more than one *, so it is open which one to repeat from.",
    "Mark the second repeat with ** or put it in brackets.",
)


@dataclass(slots=True)
class _Mark:
    """What is known of one kind of mark on the way along a text.

    Attributes:
        opened: Where those stand that nothing has spoken of since.
        is_closed: Whether the last of them has its end.
        is_used: Whether something has spoken of it.
    """

    opened: list[int]
    is_closed: bool = False
    is_used: bool = False


def borrowed(text: str) -> set[str]:
    """Return the asterisks that a text speaks of without having them: those of another row."""
    said = _marks_and_references(text)
    own = {match[0] for match in said if match.re is _SIGNS}
    return {kind for match in said for kind in _SIGNS.findall(match[0])} - own


def loose_asterisks(text: str, elsewhere: Set[str] = frozenset()) -> Iterator[tuple[str, str, int]]:
    """Yield what is open about a text's asterisks, the way out, and where its work begins.

    Args:
        text: A row's words, on one line.
        elsewhere: The asterisks that other rows speak of without having them.
    """
    marks: dict[str, _Mark] = {}
    is_told = False
    for match in _marks_and_references(text):
        if match.re is _SIGNS:
            _open_or_close(match, text, marks.setdefault(match[0], _Mark([])))
            continue
        for kind in dict.fromkeys(_SIGNS.findall(match[0])):
            mark = marks.setdefault(kind, _Mark([]))
            if len(mark.opened) > 1 and not mark.is_used and not is_told:
                is_told = True
                yield *MORE_THAN_ONE, mark.opened[-1]
            mark.is_used = True
    for kind, mark in marks.items():
        if mark.opened and not mark.is_used and kind not in elsewhere:
            yield (
                f"There is a {kind}, but nothing is repeated from it.",
                f"Say “repeat from {kind}” where the repeat ends, and how often; or take it out.",
                mark.opened[-1],
            )


def _marks_and_references(text: str) -> list[re.Match[str]]:
    """Return both in the order of the text; a reference takes in its asterisks."""
    references = list(_REFERENCE.finditer(text))
    within = {at for match in references for at in range(*match.span())}
    signs = [sign for sign in _SIGNS.finditer(text) if sign.start() not in within]
    return sorted([*references, *signs], key=lambda match: match.start())


def _open_or_close(sign: re.Match[str], text: str, mark: _Mark) -> None:
    """Take one mark in: as the end of what it opened before, or as the beginning of more."""
    before = text[: sign.start()]
    touches = before != before.rstrip() or not before or before[-1] in "([{:"
    after = text[sign.end() :]
    ends = _ENDS.match(after) or (not touches and after[:1] == " ")
    if mark.opened and not mark.is_used and not mark.is_closed and ends:
        mark.is_closed = True
        mark.is_used = bool(_AT_ONCE.match(after))
        return
    if mark.is_used:
        mark.opened, mark.is_used = [], False
    mark.opened.append(sign.end())
    mark.is_closed = False
