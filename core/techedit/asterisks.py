"""Asterisks: is it plain which one a repeat goes back to, and is each one spoken of.

A mark stands in the work: it opens a repeat ("*2 dc, ..."), or closes one opened before it
("..., 1 ch*"); what follows the closing one may say how far or how often ("* to end", "* x 4").
A reference stands in a sentence about it ("repeat from *", "from * to **", "between asterisks"),
or speaks of the one that is open without naming it ("rep to end"). One asterisk and two are
different marks. These are the usual ways of writing, English and German (common practice).
"""

import re
from collections.abc import Iterator, Set
from typing import Final

from core.records import Struct, field

_N: Final = r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)"
SO_OFTEN: Final = (
    rf"(?:{_N}\s*(?:more\s+)?(?:times?\b|x\b|×)|{_N}\s+more\b|once\b|twice\b|thrice\b)"
)
"""How often: "3 times", "twice more"."""

_N_MAL: Final = (
    r"(?:\d+\s?-?\s?|ein|zwei|drei|vier|fünf|sechs|sieben|acht|neun|zehn|elf|zwölf)mal\b"
)
_OFTEN: Final = (
    r"(?:[(\[]\s*)?(?:(?:for|another|an\s+additional|a\s+further|a\s+total\s+of|exactly|noch|"
    r"insgesamt|je|jeweils)\s+){0,2}"
    rf"(?:{SO_OFTEN}|\d+\s*[(\[][^()\[\]]{{1,60}}[)\]]\s*(?:more\s+)?times?\b|[x×]\s*\d|{_N_MAL})"
)
_FAR: Final = (
    r"(?:(?:all\s+(?:the\s+way\s+)?)?(?:across|along|around)\b|all\s+(?:the\s+way\s+)?round\b|"
    r"(?:up\s+)?to\b(?!\s*\*)|until\b|till\b|throughout\b|as\s+(?:often|many|far)\b|"
    r"ending\b|end\s+with\b|bis\b(?!\s*(?:zum\s+)?\*)|fortlaufend\b|laufend\b|"
    r"über\s+die\s+ganze\b)"
)
_HOW: Final = rf"(?:{_OFTEN}|{_FAR})"
_EACH: Final = (  # after a comma it begins more work
    r"(?:(?:for|in)\s+(?:each|every)\b|"
    r"for\s+the\s+(?:rest|remainder|whole|entire|length|width)\b)"
)
_AGAIN: Final = (
    r"(?:rep|reps|repeat|repeats|repeated|repeating)\b\s*"
    r"(?:(?:this|it|these|the|same|pattern|section|sequence|again|all)\b\s*){0,3}"
    rf"(?:(?:[,;:]\s*(?=end))?{_HOW}|{_EACH})"
    r"|cont(?:inue|inuing)?\.?\s+(?:in|with)\s+(?:this|the\s+same)\s+(?:way|manner|patt?(?:ern)?)\b"
    rf"\s*{_HOW}"
    rf"|{_HOW}\s*(?:wdh\b|wiederholen\b)|(?:fortlaufend|stets|immer)\s+(?:wdh\b|wiederholen\b)"
    rf"|(?:wdh\b\.?|wiederholen\b)\s*,?\s*{_HOW}"
)

_STAR: Final = r"\*+(?!\*)(?:['’]?s\b|(?![\w(\[]))"  # it stands alone, not before work
_GLUED: Final = (  # "from *to end", "from *3 times"; but not "from *2 x dc"
    rf"\*+(?=(?:to|until|till|across|along|around|bis|{_N}\s*(?:more\s+)?times?|{_N}\s+more|"
    rf"once|twice|thrice)\b|\d+\s*[x×](?!\s*\w)|{_N_MAL})"
)
_SIGN: Final = rf"(?:{_STAR}|{_GLUED})"
_NAMED: Final = r"(?:asterisk|star)(?:s|['’]s)?\b(?!\s*-?\s*st)|Sternchen\b"
_TO_NEXT: Final = r"\s*(?:to|and|&|und|bis|-|–|—|…|\.{2,3})?\s*(?:the\s+)?"
_WHICH: Final = (
    r"(?:(?:the|first|second|last|single|double|two|both|pairs?\s+of|sets?\s+of|dem|den|beiden|"
    r"ersten|zweiten|letzten)\s+)*"
)
_REFERENCE: Final = re.compile(
    r"\b(?:from|between|to|at|until|before|after|inside|within|ab|von|vom|bis|bis\s+zum|zwischen)"
    rf"\s+{_WHICH}(?:{_SIGN}(?:{_TO_NEXT}{_SIGN})?|{_NAMED})"
    # "repeat * 2 dc*" opens one; "repeat *, ..." and "repeat * to *" speak of one.
    rf"|\b(?:rep|reps|repeat|repeating)\s+{_WHICH}(?:{_STAR}{_TO_NEXT}{_SIGN}"
    rf"|{_SIGN}(?=\s*(?:$|[,;.:)\]]|{_HOW}))|{_NAMED})"
    r"|\bstarred\s+(?:section|part|repeat|instructions|directions|stitches|sts)\b",
    re.I,
)
_BARE: Final = re.compile(rf"\b(?:{_AGAIN})", re.I)
_SIGNS: Final = re.compile(r"\*+")
_ENDS: Final = re.compile(
    rf"\s*(?:$|[,;.)\]]|(?:rep|repeat)\w*\b|work\s+(?:from|between)\b|{_HOW})", re.I
)
_AT_ONCE: Final = re.compile(
    rf"\s*[)\]]?\s*{_EACH}|"
    rf"\s*[)\]]?\s*[,;.:–—-]?\s*(?:(?:and|then|now|und|dann)\s+)?(?:{_AGAIN}|{_HOW})",
    re.I,
)

MORE_THAN_ONE: Final = (
    "There is more than one *, so it is open which one to repeat from.",
    "Mark the second repeat with ** or put it in brackets.",
)


class _Mark(Struct):
    """What is known of one kind of mark on the way along a text.

    Attributes:
        opened: Where those stand that nothing has spoken of since.
        closed: Those of them that have their end.
        is_used: Whether something has spoken of it.
    """

    opened: list[int] = field(default_factory=list)
    closed: set[int] = field(default_factory=set)
    is_used: bool = False

    @property
    def is_open(self) -> bool:
        """Whether the last of them waits for its end."""
        return bool(self.opened) and not self.is_used and self.opened[-1] not in self.closed


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
    is_told, taken = False, 0
    for match in _marks_and_references(text):
        if match.re is _SIGNS:
            taken = _open_or_close(match, text, marks.setdefault(match[0], _Mark())) or taken
            continue
        if match.start() < taken:  # it belongs to the mark before it
            continue
        for kind in _kinds(match, text, marks):
            mark = marks.setdefault(kind, _Mark())
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
    if "*" not in text:
        return []
    references = list(_REFERENCE.finditer(text))
    within = {at for match in references for at in range(*match.span())}
    others = [*_SIGNS.finditer(text), *_BARE.finditer(text)]
    found = [*references, *(match for match in others if match.start() not in within)]
    return sorted(found, key=lambda match: match.start())


def _kinds(match: re.Match[str], text: str, marks: dict[str, _Mark]) -> list[str]:
    """Return the kinds of marks that a reference speaks of."""
    named = list(dict.fromkeys(_SIGNS.findall(match[0])))
    if named:
        return named
    if match.re is _BARE:
        start = match.start()
        if text[max(start - 2, 0) : start].rstrip()[-1:] in (")", "]"):
            return []  # it repeats the bracket
        waiting = [kind for kind, mark in marks.items() if mark.is_open]
        return sorted(waiting, key=lambda kind: marks[kind].opened[-1])[-1:]
    kind = "**" if "double" in match[0].casefold() else "*"
    return [kind] if kind in marks else list(marks)


def _open_or_close(sign: re.Match[str], text: str, mark: _Mark) -> int:
    """Take one mark in: as the end of what it opened before, or as the beginning of more.

    Returns:
        Where the words end that say at once how far or how often; 0 if there are none.
    """
    start, end = sign.span()
    before = text[max(start - 1, 0) : start]
    touches = not before or before.isspace() or before in "([{:"
    ends = _ENDS.match(text, end) or (not touches and text[end : end + 1] == " ")
    if mark.is_open and ends:
        at_once = _AT_ONCE.match(text, end)
        if at_once:
            mark.opened.pop()  # those opened before it still wait
            return at_once.end()
        mark.closed.add(mark.opened[-1])
        return 0
    if mark.is_used:
        mark.opened, mark.is_used = [], False
    mark.opened.append(end)
    return 0
