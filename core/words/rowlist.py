"""The written rows: the foundation, every different row once, and what repeats them."""

from collections.abc import Sequence

from core.craft.stitches import Terms
from core.design.document import Design, WorkIn
from core.rows.build import Rows
from core.stripes.loops import design_loops, is_plain
from core.words.repeats import Stretch, stretches
from core.words.rowtext import (
    WrittenRow,
    finished,
    foundation_line,
    labelled,
    misfit_line,
    row_body,
    side_of,
)
from core.words.vocabulary import Vocabulary, sentence, vocabulary


def written_rows(
    design: Design,
    rows: Rows,
    *,
    terms: Terms | None = None,
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
        ball_for_row: Number of each row's yarn in the design's list; with it, the rows name
            their yarns where these change.
    """
    return _RowList(design, rows, vocabulary(terms or design.terms), ball_for_row).lines()


def row_stretches(design: Design, rows: Rows) -> tuple[Stretch, ...]:
    """Return the rows that fit, as stretches that repeat themselves."""
    n_rows = rows_that_fit(rows)
    if not n_rows:
        return ()
    starts = [1] if n_rows == 1 else [1, 2]
    if not is_plain(design.loops) and 2 < design.loops.from_row <= n_rows:
        starts.append(design.loops.from_row)
    return stretches(_text_kinds(design, rows), starts)


def rows_that_fit(rows: Rows) -> int:
    """Return how many rows there are before the first misfit."""
    return len(rows.which) if rows.misfit is None else rows.misfit.row - 1


def rows_in_full(design: Design, rows: Rows) -> tuple[int, ...]:
    """Return the numbers of the rows whose words differ from all before them."""
    kinds = _text_kinds(design, rows)
    written = [r for s in row_stretches(design, rows) for r in range(s.first, s.written + 1)]
    return tuple(row for row in written if kinds.index(kinds[row - 1]) == row - 1)


def yarn_name(design: Design, number: int, words: Vocabulary) -> str:
    """Return a yarn's name, with its number if another yarn has the same one."""
    names = [yarn.name for yarn in design.yarns]
    name = names[number]
    if names.count(name) == 1:
        return name
    return words.say("numbered yarn", name=name, number=number + 1)


def _text_kinds(design: Design, rows: Rows) -> list[int]:
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
        self._written: dict[str, int] = {}

    def lines(self) -> tuple[WrittenRow, ...]:
        """Return all lines, from the foundation up."""
        first = self._yarn(1)
        name = None if first is None else yarn_name(self._design, first, self._words)
        found = [foundation_line(self._rows, self._words, name)]
        for stretch in row_stretches(self._design, self._rows):
            found += [self._row(row) for row in range(stretch.first, stretch.written + 1)]
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

    def _row(self, row: int) -> WrittenRow:
        words = self._words
        body = row_body(self._design, self._rows, row, words)
        like = self._written.setdefault(body, row)
        if like != row:
            body = sentence(words.say("as row", row=like))
        if self._changes_after(row):
            yarn = yarn_name(self._design, self._yarn(row + 1) or 0, words)
            body = words.say("changing", body=body, yarn=yarn, row=row + 1)
        return labelled(self._rows, row, finished(self._rows, row, body, words), words)

    def _closing(self, stretch: Stretch) -> WrittenRow:
        """Return the line for the rows that a stretch doesn't write."""
        words, last, after = self._words, stretch.last, stretch.written + 1
        if last == after:
            return self._row(last)
        text = sentence(self._repeat(stretch))
        if any(self._changes_after(row) for row in range(after, last + 1)):
            text = words.say("changing along", text=text)
        return WrittenRow(
            row=last,
            side=side_of(last),
            text=self._counted(text, stretch),
            label=words.say("rows", first=after, last=last),
            count=self._rows.makes(last),
        )

    def _counted(self, text: str, stretch: Stretch) -> str:
        """Return the text with the stitch count, if all rows of the stretch have the same."""
        cycle = range(stretch.cycle, stretch.written + 1)
        counts = {finished(self._rows, row, text, self._words) for row in cycle}
        return counts.pop() if len(counts) == 1 else self._words.say("stop", text=text)

    def _repeat(self, stretch: Stretch) -> str:
        words, last = self._words, stretch.last
        if stretch.period == 1:
            return words.say("repeat row", first=stretch.cycle, rows=last)
        text = words.say("repeat rows", first=stretch.cycle, last=stretch.written, rows=last)
        if stretch.like(last) == stretch.written:
            return text
        return words.say("last as row", text=text, row=stretch.like(last))
