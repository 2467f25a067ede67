"""The written rows: the foundation, every different row once, and what repeats them."""

from collections.abc import Sequence
from functools import lru_cache

from core.craft.stitches import Terms
from core.design.document import Design, WorkIn
from core.rows.build import Rows
from core.stripes.loops import design_loops, is_plain
from core.words.names import yarn_name
from core.words.repeats import Copy, Stretch, copies, stretches
from core.words.rowtext import (
    WrittenRow,
    finished,
    foundation_line,
    labelled,
    misfit_line,
    row_body,
    side_of,
)
from core.words.vocabulary import Language, Vocabulary, sentence, vocabulary


def written_rows(
    design: Design,
    rows: Rows,
    *,
    terms: Terms | None = None,
    language: Language = "en",
    spelled: bool = False,
    ball_for_row: Sequence[int] | None = None,
) -> tuple[WrittenRow, ...]:
    """Return the rows in words, each different one once, with lines that tell what repeats.

    The foundation comes first. A line for several rows is labelled with all of them and
    carries the number, side and count of its last. Rows from the first misfit on are one
    line that says why they are missing.

    Args:
        design: The design.
        rows: Its rows, in any size.
        terms: The system of terms, if not the design's own.
        language: The language.
        spelled: Whether everything is spelled out.
        ball_for_row: Number of each row's yarn in the design's list; with it, the foundation
            names its yarn, and lines for several rows say whether they change colour. Where,
            the stripe list says: a row that repeats has to read the same every time.
    """
    words = vocabulary(terms or design.terms, language, spelled=spelled)
    return row_lines(design, rows, words, ball_for_row)


def row_lines(
    design: Design, rows: Rows, words: Vocabulary, yarns: Sequence[int] | None = None
) -> tuple[WrittenRow, ...]:
    """Return the rows in these words (see `written_rows`)."""
    return _RowList(design, rows, words, yarns).lines()


@lru_cache(maxsize=8)
def row_stretches(design: Design, rows: Rows) -> tuple[Stretch, ...]:
    """Return the rows that fit, as stretches that repeat themselves."""
    n_rows = rows_that_fit(rows)
    if not n_rows:
        return ()
    starts = [1] if n_rows == 1 else [1, 2]
    if not is_plain(design.loops) and 2 < design.loops.from_row <= n_rows:
        starts.append(design.loops.from_row)
    return stretches(row_kinds(design, rows), starts)


def rows_that_fit(rows: Rows) -> int:
    """Return how many rows there are before the first misfit."""
    return len(rows.which) if rows.misfit is None else rows.misfit.row - 1


def rows_in_full(design: Design, rows: Rows) -> tuple[int, ...]:
    """Return the numbers of the rows whose words differ from all before them."""
    kinds = row_kinds(design, rows)
    written = [r for s in row_stretches(design, rows) for r in range(s.first, s.written + 1)]
    return tuple(row for row in written if kinds.index(kinds[row - 1]) == row - 1)


@lru_cache(maxsize=8)
def row_kinds(design: Design, rows: Rows) -> list[int]:
    """Return a number for every row that fits; rows of the same number read the same.

    A row's words depend on its plan, on the plan below it and on the loops. Row 1 is alone.
    """
    words = vocabulary(design.terms)
    known: dict[tuple[_Cause, ...], int] = {}
    texts: list[str] = []
    kinds = []
    n_rows = rows_that_fit(rows)
    loops = design_loops(design, n_rows)
    for row in range(1, n_rows + 1):
        key = (-1,) if row == 1 else _causes(rows, row, loops[row - 1])
        if key not in known:
            text = finished(rows, row, row_body(design, rows, row, words), words)
            known[key] = len(texts) if row == 1 or text not in texts else texts.index(text)
            texts.append(text)
        kinds.append(known[key])
    return kinds


_Cause = int | WorkIn


def _causes(rows: Rows, row: int, loop: WorkIn) -> tuple[_Cause, ...]:
    return int(rows.which[row - 1]), int(rows.which[row - 2]), loop


class _RowList:
    """Writes the lines of one design; `yarns` are the rows' yarns, if they are wanted."""

    def __init__(
        self, design: Design, rows: Rows, words: Vocabulary, yarns: Sequence[int] | None
    ) -> None:
        self._design = design
        self._rows = rows
        self._words = words
        self._yarns = yarns
        self._kinds = row_kinds(design, rows)

    def lines(self) -> tuple[WrittenRow, ...]:
        """Return all lines, from the foundation up."""
        first = self._yarn(1)
        name = None if first is None else yarn_name(self._design, first, self._words)
        found = [foundation_line(self._rows, self._words, name)]
        for stretch in row_stretches(self._design, self._rows):
            found += self._written(stretch)
            if stretch.last > stretch.written:
                found.append(self._closing(stretch))
        if self._rows.misfit is not None:
            found.append(misfit_line(self._rows, self._words))
        return tuple(found)

    def _yarn(self, row: int) -> int | None:
        if self._yarns is None or not 1 <= row <= len(self._yarns):
            return None
        return int(self._yarns[row - 1])

    def _changes_after(self, row: int) -> bool:
        after = self._yarn(row + 1)
        return after is not None and row < rows_that_fit(self._rows) and after != self._yarn(row)

    def _written(self, stretch: Stretch) -> list[WrittenRow]:
        """Return the lines of the rows that a stretch writes, those met before named only."""
        parts = copies(self._kinds[: stretch.written], stretch.first)
        return [self._row(p) if p.first == p.last else self._several(p) for p in parts]

    def _row(self, part: Copy) -> WrittenRow:
        words, row = self._words, part.first
        body = row_body(self._design, self._rows, row, words)
        if part.of:
            body = sentence(words.say("as row", row=part.of))
        return labelled(self._rows, row, finished(self._rows, row, body, words), words)

    def _several(self, part: Copy) -> WrittenRow:
        """Return the line of rows that are worked as others before them."""
        words, end = self._words, part.of + part.rows - 1
        if part.of + part.period > end:
            text = words.say("as rows", first=part.of, last=end)
        else:
            text = self._repeat(part.of, part.first - 1, part.last)
        return self._line(text, part.first, part.last)

    def _line(self, text: str, first: int, last: int) -> WrittenRow:
        words, text = self._words, sentence(text)
        if any(self._changes_after(row) for row in range(first, last + 1)):
            text = words.say("changing along", text=text)
        return WrittenRow(
            row=last,
            side=side_of(last),
            text=self._counted(text, range(first, last + 1)),
            label=words.say("rows", first=first, last=last),
            count=self._rows.makes(last),
        )

    def _closing(self, stretch: Stretch) -> WrittenRow:
        """Return the line for the rows that a stretch doesn't write."""
        last, after = stretch.last, stretch.written + 1
        if last == after and not self._words.sized:
            return self._row(Copy(first=last, last=last, of=stretch.like(last)))
        return self._line(self._repeat(stretch.cycle, stretch.written, last), after, last)

    def _counted(self, text: str, numbers: range) -> str:
        """Return the text with the stitch count, if all those rows have the same."""
        once = {self._kinds[row - 1]: row for row in numbers}
        counts = {finished(self._rows, row, text, self._words) for row in once.values()}
        return counts.pop() if len(counts) == 1 else self._words.say("stop", text=text)

    def _repeat(self, cycle: int, written: int, last: int) -> str:
        """Return that the rows from `cycle` to `written` are repeated up to row `last`."""
        words, period = self._words, written - cycle + 1
        if period == 1:
            return words.say("repeat row", first=cycle, rows=last)
        text = words.say("repeat rows", first=cycle, last=written, rows=last)
        like = cycle + (last - cycle) % period
        return text if like == written else words.say("last as row", text=text, row=like)
