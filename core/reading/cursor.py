"""A place among tokens: looks ahead by words, takes numbers in any spelling."""

from collections.abc import Collection, Sequence

from core.reading.names import FIRST_WORDS, NAMES, NUMBERS, ORDINALS, Said
from core.reading.tokens import Token

END = Token("line", "", 0, 0)


class Cursor:
    """Walks over the tokens of one row."""

    def __init__(self, tokens: Sequence[Token]) -> None:
        self.tokens = tokens
        self.at = 0

    @property
    def is_done(self) -> bool:
        """Whether no token is left."""
        return self.at >= len(self.tokens)

    def peek(self, ahead: int = 0) -> Token:
        """Return a token from here on; past the end, an empty line end."""
        at = self.at + ahead
        return self.tokens[at] if 0 <= at < len(self.tokens) else END

    @property
    def start(self) -> int:
        """Where the next token begins in the text."""
        if self.is_done:
            return self.tokens[-1].end if self.tokens else 0
        return self.tokens[self.at].start

    @property
    def end(self) -> int:
        """Where the token before ends."""
        return self.tokens[self.at - 1].end if self.at else self.start

    def is_at(self, *words: str) -> bool:
        """Return whether these words or signs come next; hyphens between them are passed."""
        return self._matched(words) is not None

    def take(self, *words: str) -> bool:
        """Take these words if they come next."""
        end = self._matched(words)
        if end is None:
            return False
        self.at = end
        return True

    def take_any(self, words: Collection[str]) -> str | None:
        """Take one of the words if it comes next."""
        token = self.peek()
        if token.text and token.text in words:
            self.at += 1
            return token.text
        return None

    def pass_over(self, words: Collection[str]) -> None:
        """Take as many of the words as come next."""
        while self.take_any(words):
            pass

    def _matched(self, words: Sequence[str]) -> int | None:
        at = self.at
        for number, word in enumerate(words):
            if number and word != "-" and at < len(self.tokens) and self.tokens[at].text == "-":
                at += 1
            if at >= len(self.tokens) or self.tokens[at].text != word:
                return None
            at += 1
        return at

    def number(self) -> int | None:
        """Take a number, in figures or in words."""
        token = self.peek()
        value = token.value if token.kind == "number" else NUMBERS.get(token.text)
        if value is not None:
            self.at += 1
        return value

    def ordinal(self) -> int | None:
        """Take an ordinal, in figures or in words."""
        token = self.peek()
        value = token.value if token.kind == "ordinal" else ORDINALS.get(token.text)
        if value is not None:
            self.at += 1
        return value

    def stitch(self) -> Said | None:
        """Take the name of a stitch."""
        if self.peek().text not in FIRST_WORDS:
            return None
        for words, said in NAMES:
            if self.take(*words):
                return said
        return None
