"""A whole text into its foundation, its rows and everything else; nothing is thrown away.

Rows are found by their labels: "Row 1 (RS):", "Rows 3-20:", "2nd row:", "Next row:". What
stands under headings of borders, stripes or abbreviations is left as it is.
"""

from collections.abc import Sequence
from typing import Final, Literal

from core.reading.cursor import Cursor
from core.reading.names import FIRST_WORDS
from core.reading.places import CH, ST
from core.reading.tokens import Token
from core.records import Struct, field

MAX_ROWS: Final = 5_000

Part = Literal["rows", "notes", "skip", "stripes"]

_HEADINGS: Final[dict[str, Part]] = {
    "rows": "rows", "instructions": "rows", "pattern": "rows", "directions": "rows",
    "straight top and bottom": "skip", "border": "skip", "edging": "skip", "finishing": "skip",
    "making up": "skip", "fringe": "skip", "top edge": "skip", "bottom edge": "skip",
    "special stitches": "skip", "abbreviations": "skip", "chart": "skip", "key": "skip",
    "size": "notes", "sizes": "notes", "materials": "notes", "gauge": "notes",
    "tension": "notes", "multiple": "notes", "before you begin": "notes", "notes": "notes",
    "note": "notes", "stripes": "stripes", "stripe sequence": "stripes",
    "colour order": "stripes", "color order": "stripes", "colours": "stripes",
}  # fmt: skip
_NOTES: Final = frozenset({"fasten", "weave", "finishing", "note", "notes", "designed", "written",
                           "materials", "hook", "yarn", "gauge", "tension", "size"})  # fmt: skip
_STARTERS: Final = FIRST_WORDS | CH | frozenset(
    {"turn", "*", "(", "[", "skip", "sk", "miss", "work", "with", "repeat", "rep", "as", "join",
     "same", "using", "working", "beginning"}
)  # fmt: skip
_SETUP: Final = (
    ("set", "up", "row"), ("setup", "row"), ("foundation", "row"), ("base", "row"),
    ("first", "row"),
)  # fmt: skip
_BEGINS: Final = CH | frozenset(
    {"foundation", "with", "using", "make", "to", "begin", "starting", "start", "work", "loosely",
     "base"}
)  # fmt: skip
_EVERY: Final = {"even": 2, "odd": 2, "following": 1, "other": 2, "rows": 1, "remaining": 1}


class RowText(Struct, frozen=True, kw_only=True):
    """The words of one row, or of several that are alike.

    Attributes:
        numbers: The rows it is for, as numbered; empty where none is named.
        every: More rows like it follow, every so many; 0 for none.
        label: The label's words.
        start: The label's place in the text.
        body: Its words.
        end: Where they end.
        is_setup: Whether it is called a foundation or set-up row.
    """

    numbers: tuple[int, ...]
    label: str
    start: int
    end: int
    body: tuple[Token, ...]
    every: int = 0
    is_setup: bool = False


class StripeText(Struct, frozen=True):
    """Rows that a stripe list gives to a yarn."""

    first: int
    last: int
    yarn: str


class Layout(Struct):
    """What a text is made of.

    Attributes:
        rows: Its rows in order.
        chains: Chains of the foundation, if they are said.
        multiple: The multiple, if it is said.
        extra: What is added to it.
        foundation: Where that stands in the text.
        stripes: A stripe list, if there is one.
        notes: Places in the text of everything else.
    """

    rows: list[RowText] = field(default_factory=list)
    chains: int | None = None
    multiple: int | None = None
    extra: int = 0
    foundation: tuple[int, int] | None = None
    stripes: list[StripeText] = field(default_factory=list)
    notes: list[tuple[int, int]] = field(default_factory=list)


class _Label(Struct, frozen=True):
    numbers: tuple[int, ...]
    every: int
    is_setup: bool
    end: int


def lay_out_text(text: str, tokens: Sequence[Token]) -> Layout:
    """Return the parts of a text."""
    return _Layer(text, list(tokens)).layout()


class _Layer:
    def __init__(self, text: str, tokens: list[Token]) -> None:
        self._text, self._tokens = text, tokens
        self._ends = _line_ends(tokens)
        self._found = Layout()
        self._part: Part = "rows"

    def layout(self) -> Layout:
        tokens = self._tokens
        at, line_start = 0, True
        while at < len(tokens):
            if tokens[at].kind == "line":
                at, line_start = at + 1, True
                continue
            if line_start:
                heading = self._heading(at)
                if heading is not None:
                    self._part, end = heading
                    self._found.notes.append((tokens[at].start, tokens[end - 1].end))
                    at = end
                    continue
            label = self._label(at, at_line=line_start)
            if label is None:
                at = self._other(at)
            elif self._part == "stripes":
                at = self._stripe(at, label)
            elif self._part == "skip":
                at = self._line_end(at)
                self._found.notes.append((tokens[label.end - 1].start, tokens[at - 1].end))
            else:
                at = self._row(at, label)
            line_start = at >= len(tokens) or at == 0 or tokens[at - 1].kind == "line"
        self._unlabelled()
        return self._found

    # pieces

    def _line_end(self, at: int) -> int:
        return self._ends[at] if at < len(self._ends) else len(self._tokens)

    def _heading(self, at: int) -> tuple[Part, int] | None:
        end = min(self._line_end(at), at + 8)
        words = [token.text for token in self._tokens[at:end]]
        if end < len(self._tokens) and self._tokens[end].kind != "line":
            return None
        if words and words[-1] in {":", "."}:
            words = words[:-1]
        part = _HEADINGS.get(" ".join(words))
        return None if part is None else (part, end)

    def _label(self, at: int, *, at_line: bool) -> _Label | None:
        """Return the row label that begins at a token, if one does."""
        if not at_line and self._tokens[at - 1].text not in {".", ")", "]", ":", "*"}:
            return None
        end = min(self._line_end(at), at + 60)
        cursor = Cursor(self._tokens[at:end])
        found = self._named(cursor)
        if found is None:
            return None
        numbers, every, is_setup = found
        if cursor.is_at("("):
            while not cursor.is_done and not cursor.take(")"):
                cursor.at += 1
        back = cursor.at
        cursor.pass_over({",", "rs", "ws", "right", "wrong", "side"})
        if not cursor.is_at(":"):
            cursor.at = back
        if cursor.take(":"):
            return _Label(numbers, every, is_setup, at + cursor.at)
        if not at_line or cursor.is_done:
            return None
        if cursor.take("-") or cursor.take(".") or cursor.peek().text in _STARTERS:
            return _Label(numbers, every, is_setup, at + cursor.at)
        if cursor.peek().kind == "number":
            return _Label(numbers, every, is_setup, at + cursor.at)
        return None

    def _named(self, cursor: Cursor) -> tuple[tuple[int, ...], int, bool] | None:
        if cursor.take_any({"row", "rows", "r", "rw"}):
            numbers = _numbers(cursor)
            if not numbers:
                return None
            return numbers, _every(cursor), False
        for words in _SETUP:
            if cursor.take(*words):
                return ((1,), 0, False) if words[0] == "first" else ((), 0, True)
        if (
            cursor.take("next", "row")
            or cursor.take("last", "row")
            or cursor.take("pattern", "row")
        ):
            return (), 0, False
        if cursor.take("every", "row"):
            return (), 1, False
        first = cursor.ordinal()
        if first is None:
            return None
        nths = [first]
        while cursor.take_any({"and", "&", ",", "to", "-"}):
            more = cursor.ordinal()
            if more is None:
                return None
            nths.append(more)
        if not cursor.take_any({"row", "rows"}):
            return None
        return tuple(nths), _every(cursor), False

    def _row(self, at: int, label: _Label) -> int:
        tokens = self._tokens
        self._part = "rows"
        end = at = label.end
        while end < len(tokens):
            token = tokens[end]
            if token.kind == "line":
                if self._row_stops(end + 1):
                    break
            elif end > at and self._label(end, at_line=False) is not None:
                break
            end += 1
        self._add(label, at, end)
        return end

    def _row_stops(self, at: int) -> bool:
        """Return whether the line that begins here isn't the row's any more."""
        tokens = self._tokens
        if at >= len(tokens) or tokens[at].kind == "line":
            return True
        if tokens[at].text in _NOTES or self._heading(at) is not None:
            return True
        if self._repeats_rows(at) or self._label(at, at_line=True) is not None:
            return True
        return self._is_named_note(at)

    def _is_named_note(self, at: int) -> bool:
        """Return whether a line begins with a name and a colon that are no row's: "Markers:"."""
        for token in self._tokens[at : at + 4]:
            if token.text == ":":
                return True
            if token.kind != "word" or token.text in _STARTERS | {"in", "blo", "flo", "loops"}:
                return False
        return False

    def _repeats_rows(self, at: int) -> bool:
        """Return whether a line begins like "Repeat row 2" or "Rep the last 2 rows"."""
        words = Cursor(self._tokens[at : at + 4])
        if not words.take_any({"rep", "repeat"}):
            return False
        words.pass_over({"the"})
        return words.ordinal() is not None or bool(words.take_any({"row", "rows", "last", "these"}))

    def _add(self, label: _Label, at: int, end: int) -> None:
        tokens = self._tokens
        body = tuple(token for token in tokens[at:end] if token.kind != "line")
        start = at
        while start > 0 and tokens[start - 1].kind != "line" and start > at - 40:
            start -= 1
            if (
                self._label(start, at_line=True) is not None
                and self._label(start, at_line=True) == label
            ):
                break
        first = tokens[start].start if start < len(tokens) else len(self._text)
        last = body[-1].end if body else (tokens[at - 1].end if at else 0)
        words = self._text[first : tokens[at - 1].end] if at else ""
        self._found.rows.append(
            RowText(
                numbers=label.numbers[:MAX_ROWS],
                every=label.every,
                label=" ".join(words.split()).rstrip(":.- "),
                start=first,
                end=last,
                body=body,
                is_setup=label.is_setup,
            )
        )

    def _other(self, at: int) -> int:
        """Take words that are no row: the foundation, a line that repeats rows, or a note."""
        tokens = self._tokens
        end = at
        while end < len(tokens) and tokens[end].kind != "line":
            if end > at and self._label(end, at_line=False) is not None:
                break
            end += 1
        if self._part in ("rows", "notes"):
            if self._found.rows and self._repeats_rows(at):
                self._add(_Label((), 1, is_setup=False, end=at), at, end)
                return end
            if self._foundation(at, end):
                return end
        self._found.notes.append((tokens[at].start, tokens[end - 1].end))
        return end

    def _foundation(self, at: int, end: int) -> bool:
        """Take the chains to make and the multiple from words before the rows."""
        found, tokens = self._found, self._tokens[at:end]
        cursor = Cursor(tokens)
        multiple = _multiple(tokens)
        if multiple is not None and found.multiple is None:
            found.multiple, found.extra = multiple
        chains = None
        while chains is None and not cursor.is_done and found.chains is None and not found.rows:
            sentence = Cursor(tokens[cursor.at :])
            chains = self._chains(sentence)
            while not cursor.is_done and cursor.peek().text not in {".", ";"}:
                cursor.at += 1
            cursor.pass_over({".", ";"})
        if chains is not None:
            found.chains = chains
        if chains is None and multiple is None:
            return False
        if chains is not None or found.foundation is None:
            found.foundation = (tokens[0].start, tokens[-1].end)
        return True

    def _chains(self, cursor: Cursor) -> int | None:
        """Return the chains that a line tells to make; it begins with them or with a yarn."""
        begins = cursor.peek().text in _BEGINS
        if not begins:
            return None
        least = 1 if cursor.peek().text in {"foundation", "starting", "base"} else 4
        while not cursor.is_done and not cursor.is_at("."):
            if cursor.take("or", "more") or cursor.is_at("multiple"):
                return None
            back = cursor.at
            n = cursor.number()
            if n is not None and cursor.take_any(CH) and not cursor.is_at("or"):
                return n
            cursor.at = back
            if cursor.take_any(CH):
                cursor.take("-")
                cursor.pass_over({"a", "loosely", ":"})
                n = cursor.number()
                if n is not None and n >= least:
                    return n
                continue
            cursor.at = back + 1
        return None

    def _stripe(self, at: int, label: _Label) -> int:
        tokens = self._tokens
        end = self._line_end(at)
        stop = label.end
        while stop < end and tokens[stop].text not in {"(", ","}:
            stop += 1
        if label.numbers and stop > label.end:
            name = self._text[tokens[label.end].start : tokens[stop - 1].end].strip()
            self._found.stripes.append(StripeText(min(label.numbers), max(label.numbers), name))
        self._found.notes.append((tokens[at].start, tokens[end - 1].end))
        return end

    def _unlabelled(self) -> None:
        """Where no row has a label, take each sentence-long line that works stitches as a row."""
        if self._found.rows:
            return
        tokens, at, rows = self._tokens, 0, list[RowText]()
        while at < len(tokens):
            end = self._line_end(at)
            line = tokens[at:end]
            at = end + 1
            if not line:
                continue
            if (
                self._found.foundation
                and line[0].start <= self._found.foundation[0] <= line[-1].end
            ):
                line = _after_foundation(line)
            words = {token.text for token in line}
            if (
                len(line) > 3
                and words & FIRST_WORDS
                and words & {"in", "into", "*", "next", "over"}
            ):
                rows.append(
                    RowText(
                        numbers=(len(rows) + 1,),
                        label=f"Row {len(rows) + 1}",
                        start=line[0].start,
                        end=line[-1].end,
                        body=tuple(line),
                    )
                )
        self._found.rows = rows
        taken = {row.start for row in rows}
        self._found.notes = [note for note in self._found.notes if note[0] not in taken]


def _line_ends(tokens: Sequence[Token]) -> list[int]:
    """Return for each token the number of the line end that follows it."""
    ends = [len(tokens)] * len(tokens)
    end = len(tokens)
    for number in range(len(tokens) - 1, -1, -1):
        if tokens[number].kind == "line":
            end = number
        ends[number] = end
    return ends


def _after_foundation(line: list[Token]) -> list[Token]:
    """Return what follows the sentence that tells how many chains to make."""
    for number, token in enumerate(line):
        if token.text in {".", ";"}:
            return line[number + 1 :]
    return []


def _numbers(cursor: Cursor) -> tuple[int, ...]:
    found: list[int] = []
    while True:
        n = cursor.number()
        if n is None:
            return tuple(found)
        found.append(n)
        back = cursor.at
        if cursor.take_any({"to", "-", "through"}):
            last = cursor.number()
            if last is None:
                cursor.at = back
                return tuple(found)
            if n < last <= n + MAX_ROWS:
                found += range(n + 1, last + 1)
        back = cursor.at
        if not cursor.take_any({",", "and", "&"}):
            return tuple(found)
        cursor.pass_over({"and", "row"})
        if cursor.peek().kind != "number":
            cursor.at = back
            return tuple(found)


def _every(cursor: Cursor) -> int:
    """Take "and all following rows", "and every other row"."""
    back = cursor.at
    if not cursor.take_any({"and", "&"}):
        return 0
    if not cursor.take_any({"all", "every", "each"}):
        cursor.at = back
        return 0
    step = 1
    while (word := cursor.take_any(set(_EVERY) | {"row", "numbered", "-", "wrong", "right", "side",
                                                  "alternate", "alt"})):  # fmt: skip
        step = max(
            step, _EVERY.get(word, 2 if word in {"alternate", "alt", "wrong", "right"} else 1)
        )
    return step


def _multiple(tokens: Sequence[Token]) -> tuple[int, int] | None:
    """Return the multiple and what is added to it, if the words state one."""
    cursor = Cursor(tokens)
    while not cursor.is_done:
        if cursor.take("multiple", "of") or cursor.take("multiples", "of"):
            n = cursor.number()
            if n is None:
                continue
            cursor.take_any(ST | CH)
            cursor.take(",")
            if cursor.take_any({"plus", "+", "and", "add"}):
                cursor.pass_over({"another", "an", "extra", "a"})
                return n, cursor.number() or 0
            return n, 0
        cursor.at += 1
    return None
