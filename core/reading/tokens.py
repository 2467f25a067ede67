"""A text as words, numbers and signs; every one knows its place in the text.

Written by hand, one pass over the signs, so that no text can make it slow.
"""

from typing import Final, Literal

from core.records import Struct

MAX_TEXT: Final = 100_000
"""The longest text that is read, in characters."""

_MAX_DIGITS: Final = 7
_ORDINALS: Final = frozenset({"st", "nd", "rd", "th"})
_ALIKE = {"–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "{": "[", "}": "]", "×": "x"}
_SAME: Final = {**_ALIKE, "’": "'", "•": "*", "∗": "*", "＊": "*", "…": "."}

Kind = Literal["word", "number", "ordinal", "sign", "line"]


class Token(Struct, frozen=True):
    """A piece of the text.

    Attributes:
        kind: A word, a whole number, an ordinal (4th), a sign or the end of a line.
        text: It in small letters; similar signs are made one.
        start: Its first character's place in the text.
        end: The place behind its last.
        value: What a number or ordinal is.
    """

    kind: Kind
    text: str
    start: int
    end: int
    value: int = 0


def tokens_of(text: str) -> list[Token]:
    """Return the text's words, numbers, signs and line ends in order."""
    found: list[Token] = []
    at = 0
    while at < len(text):
        sign = text[at]
        if sign == "\n":
            found.append(Token("line", sign, at, at + 1))
            at += 1
        elif sign.isspace():
            at += 1
        elif _is_digit(sign):
            at = _number(text, at, found)
        elif sign.isalpha():
            end = at + 1
            while end < len(text) and _goes_on(text, end):
                end += 1
            found += _words(_plain(text[at:end]), at, end)
            at = end
        else:
            same = _SAME.get(sign, sign)
            end = at + 1
            while same == "*" and end < len(text) and text[end] == "*":
                end += 1
            kind: Kind = "word" if same == "x" else "sign"
            found.append(Token(kind, same * (end - at), at, end))
            at = end
    return found


def _goes_on(text: str, at: int) -> bool:
    sign = text[at]
    if sign.isalpha() and sign != "×":
        return True
    return sign in "'’" and at + 1 < len(text) and text[at + 1].isalpha()


def _words(word: str, start: int, end: int) -> list[Token]:
    """Return a word, in two where a stitch and its loop are written as one: scblo."""
    if word[-3:] in ("blo", "flo") and len(word) > 3 and len(word) == end - start:
        cut = end - 3
        return [Token("word", word[:-3], start, cut), Token("word", word[-3:], cut, end)]
    return [Token("word", word, start, end)]


def _plain(word: str) -> str:
    return word.casefold().replace("’", "'")


def _is_digit(sign: str) -> bool:
    return "0" <= sign <= "9"


def _number(text: str, at: int, found: list[Token]) -> int:
    """Read a number from `at`, with the ending that makes it an ordinal; return its end."""
    end = at
    while end < len(text) and _is_digit(text[end]):
        end += 1
    value = int(text[at:end][:_MAX_DIGITS])
    fraction = end
    if text[end : end + 1] == "." and _is_digit(text[end + 1 : end + 2] or "x"):
        fraction = end + 1
        while fraction < len(text) and _is_digit(text[fraction]):
            fraction += 1
    if fraction > end:  # 7.5 counts no stitches
        found.append(Token("word", text[at:fraction], at, fraction))
        return fraction
    ending = text[end : end + 2].casefold()
    if ending in _ORDINALS and not text[end + 2 : end + 3].isalpha():
        found.append(Token("ordinal", text[at : end + 2].casefold(), at, end + 2, value))
        return end + 2
    found.append(Token("number", text[at:end], at, end, value))
    return end
