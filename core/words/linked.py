"""Where rows and their phrases stand in the written pattern, and what they speak of.

The pattern is looked through for the labels of its written rows, so it doesn't matter how it was
put together. A row that reads as the program writes it is linked phrase by phrase; one in the
designer's own words, or with the figures of several sizes, is linked as a whole.
"""

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from core.design.document import Design
from core.records import Struct, field
from core.rows.build import Rows
from core.rows.selection import Selection, Span, of_spans, whole_rows
from core.words.rowlist import row_kinds, row_lines, rows_in_full
from core.words.spans import Phrase, row_phrases
from core.words.vocabulary import Vocabulary

_MOST_SPANS: Final = 4000


class PlacedLine(Struct, frozen=True, eq=False):
    """A written line in the pattern's text.

    Attributes:
        first: The first row it speaks of; 0 for the foundation.
        last: The last one.
        start: Where its label begins.
        end: Where it ends.
        text_at: Where its instructions begin.
        in_full: The row that it spells out; 0 if it only says what is repeated.
        as_written: Whether it reads as the program writes it.
    """

    first: int
    last: int
    start: int
    end: int
    text_at: int
    in_full: int
    as_written: bool


class LinkedWords(Struct):
    """The pattern's text with the stitches its words speak of."""

    design: Design
    rows: Rows
    words: Vocabulary
    lines: tuple[PlacedLine, ...]
    kinds: Sequence[int]
    _phrases: dict[int, tuple[Phrase, ...]] = field(default_factory=dict)

    def at(self, position: int) -> tuple[tuple[int, int], Selection] | None:
        """Return the words at a place of the text, by start and end, and their stitches."""
        line = next((x for x in self.lines if x.start <= position <= x.end), None)
        if line is None:
            return None
        for start, end, phrase in self._placed(line):
            if start <= position < end:
                found = of_spans("words", self._spans(line.in_full, phrase))
                if found is not None:
                    return (start, end), found
        return (line.start, line.end), whole_rows(self.rows, line.first, line.last)

    def of(self, selection: Selection) -> tuple[tuple[int, int], ...]:
        """Return the places in the text that speak of a selection, the closest words first.

        For one row those are the phrases of the row that reads the same, and the line that says
        it is repeated; for several rows, their lines.
        """
        low, high = selection.rows
        mine = [x for x in self.lines if x.first <= high and x.last >= low]
        lines = [(x.start, x.end) for x in mine if low != high or x.in_full != low]
        if low != high:
            return tuple(lines)
        full = self._line_in_full(low)
        if full is None:
            return tuple(lines)
        if selection.kind == "row":
            return ((full.start, full.end), *(x for x in lines if x != (full.start, full.end)))
        worked = np.concatenate([np.arange(s.first, s.last + 1) for s in selection.spans])
        if self._left(low):
            worked = self.rows.makes(low) - 1 - worked
        said = [
            (start, end)
            for start, end, phrase in self._placed(full)
            if np.isin(phrase.stitches, worked).any()
        ]
        return (*(said or [(full.start, full.end)]), *lines)

    def _left(self, row: int) -> bool:
        return row > 0 and self.rows.runs_left(row)

    def _line_in_full(self, row: int) -> PlacedLine | None:
        """Return the line that spells out a row, or one that reads the same."""
        for line in self.lines:
            if line.in_full == row or (row == 0 == line.last):
                return line
        if not 1 <= row <= len(self.kinds):
            return None
        kind = self.kinds[row - 1]
        return next(
            (x for x in self.lines if x.in_full and self.kinds[x.in_full - 1] == kind), None
        )

    def _placed(self, line: PlacedLine) -> Iterator[tuple[int, int, Phrase]]:
        """Return start and end in the whole text of a line's phrases."""
        if not line.in_full or not line.as_written:
            return
        if line.in_full not in self._phrases:
            self._phrases[line.in_full] = row_phrases(
                self.design, self.rows, line.in_full, self.words
            )
        for phrase in self._phrases[line.in_full]:
            yield line.text_at + phrase.start, line.text_at + phrase.end, phrase

    def _spans(self, row: int, phrase: Phrase) -> tuple[Span, ...]:
        """Return the stitches of a phrase from the left edge; what it passes over lies below."""
        numbers, below = (phrase.stitches, 0) if len(phrase.stitches) else (phrase.passed, 1)
        if not len(numbers):
            return ()
        if self._left(row):
            numbers = (self.rows.makes(row - below) - 1 - numbers)[::-1]
        breaks = np.flatnonzero(np.diff(numbers) != 1)
        firsts = numbers[np.concatenate([[0], breaks + 1])]
        lasts = numbers[np.concatenate([breaks, [len(numbers) - 1]])]
        pairs = zip(firsts.tolist()[:_MOST_SPANS], lasts.tolist()[:_MOST_SPANS], strict=True)
        return tuple(Span(row - below, first, last) for first, last in pairs)


def link_words(text: str, design: Design, rows: Rows, words: Vocabulary) -> LinkedWords:
    """Return the rows' words in a pattern's text, linked to the stitches of these rows.

    Lines that aren't found in the text are left out.
    """
    heading = f"\n{words.say('heading rows')}\n"
    at = max(text.find(heading), 0)
    placed = []
    before = -1
    kinds, in_full = row_kinds(design, rows), frozenset(rows_in_full(design, rows))
    for line in row_lines(design, rows, words):
        first, before = before + 1, line.row
        start = _line_start(text, f"{line.label}: ", at)
        if start < 0:
            continue
        at = text.find("\n", start)
        at = len(text) if at < 0 else at
        text_at = start + len(line.label) + 2
        last = min(line.row, rows.drawn_rows)
        placed.append(
            PlacedLine(
                first=min(first, last),
                last=last,
                start=start,
                end=at,
                text_at=text_at,
                in_full=line.row if first == last and line.row in in_full else 0,
                as_written=text[text_at:at] == line.text,
            )
        )
    return LinkedWords(design, rows, words, tuple(placed), kinds)


def _line_start(text: str, label: str, at: int) -> int:
    """Return where a line begins with a label, from a place on; -1 if none does."""
    if text.startswith(label, at):
        return at
    found = text.find(f"\n{label}", at)
    return found + 1 if found >= 0 else -1
