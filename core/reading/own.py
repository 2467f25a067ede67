"""A designer's own wording of rows: kept, read again, and compared with the chart.

Own words stand in the place of the program's for one line of the written rows. All lines are read
together as one text, so that each is followed over the row below it as it is worded there.
"""

import hashlib
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any, Final, Literal

from core.craft.stitches import Terms
from core.design.document import Design, EndName, OwnWords, Yarn
from core.design.edits import set_end_fill, set_values
from core.reading.reading import Reading, ReadRow, Trouble, read_text
from core.reading.shaping import row_units
from core.reading.taking import Taken, take_reading
from core.records import Struct, replace
from core.rows.build import Rows, build_rows
from core.stripes.loops import design_loops
from core.words.pattern import Paragraph, Pattern
from core.words.vocabulary import Vocabulary
from core.words.write import WrittenRow, written_rows

_NOT_IN_ROWS: Final = ("edging", "swatch", "wanted", "progress", "reckoning")
_ANY_YARN: Final = Yarn(name="-", colour="#000000", ball_m=1.0, ball_g=1.0)
ENDS: Final[tuple[EndName, ...]] = ("top", "bottom")


class OwnLine(Struct, frozen=True):
    """One line of the written rows as it was read.

    Attributes:
        line: The program's own wording.
        own: The designer's, if there is one.
        is_stale: Whether the rows have changed since it was written.
        differs: Whether it reads to other rows than the design's.
        only_loops: Whether it differs in nothing but the loops it is worked into.
        troubles: What is wrong with it; places are those in its text.
        uses: Stitches it uses of the row below; None where it doesn't say.
        available: Stitches of the row below.
        makes: Stitches it leaves.
    """

    line: WrittenRow
    own: OwnWords | None
    is_stale: bool
    differs: bool
    troubles: tuple[Trouble, ...]
    uses: int | None
    available: int | None
    makes: int | None
    only_loops: bool = False

    @property
    def text(self) -> str:
        """The wording in force."""
        return self.own.text if self.own is not None else self.line.text

    @property
    def broken(self) -> Trouble | None:
        """What keeps it from being worked, if anything does."""
        return next((trouble for trouble in self.troubles if trouble.level == "error"), None)

    @property
    def is_published(self) -> bool:
        """Whether the pattern carries it; words for other rows stay aside."""
        return self.own is not None and not self.is_stale


def row_mark(design: Design, rows: Rows, row: int) -> str:
    """Return what tells a written row from others: its items, those below, the turn, the loop.

    The number of repeats is left out: words that say "to last 11 sts" hold at any width.
    """
    if row == 0 or not 1 <= row <= len(rows.which):
        told: object = (design.wave.first, design.turning)
    else:
        kinds = rows.plans
        here = kinds[int(rows.which[row - 1])].row
        below = kinds[int(rows.which[row - 2])].row if row > 1 else None
        loop = design_loops(design, row)[row - 1]
        told = (here, below, design.turning, loop)
    return hashlib.sha256(repr(told).encode()).hexdigest()[:16]


def read_own(design: Design, rows: Rows) -> tuple[OwnLine, ...]:
    """Return all written lines, the designer's own words in place of the program's, as read.

    The last few are kept: the same words of the same rows aren't read again.
    """
    # What no row is worded by is left out, so a new colour doesn't read the rows again.
    nothing: dict[str, Any] = dict.fromkeys(_NOT_IN_ROWS)
    text = dict.fromkeys(("title", "designer", "notes", "use", "skill", "contact", "licence"), "")
    yarns = (_ANY_YARN,) * len(design.yarns)
    return _read_all(set_values(design, **nothing, **text, sizes=(), yarns=yarns), rows)


@lru_cache(maxsize=16)  # a design in its sizes
def _read_all(design: Design, rows: Rows) -> tuple[OwnLine, ...]:
    own = {words.row: words for words in design.own_words}
    found = _read_with(design, rows, own)
    stale = {line.line.row: line for line in found if line.is_stale}
    if not stale:
        return found
    kept = {row: words for row, words in own.items() if row not in stale}
    return tuple(stale.get(line.line.row, line) for line in _read_with(design, rows, kept))


def _read_with(design: Design, rows: Rows, own: Mapping[int, OwnWords]) -> tuple[OwnLine, ...]:
    lines = written_rows(design, rows)
    starts, reading = _read(design, lines, own)
    loops = design_loops(design, len(rows.which))
    found, before = [], 0
    for number, line in enumerate(lines):
        words = own.get(line.row)
        begin = starts[number]
        length = len(words.text if words is not None else line.text)
        row = reading.row(before + 1) if line.row else None
        row = row if row is not None and row.like is None else None
        apart = _apart(reading, rows, before, line, loops) if words is not None else ""
        differs = bool(apart)
        found.append(
            OwnLine(
                line=line,
                own=words,
                is_stale=words is not None
                and words.of != row_mark(design, rows, line.row)
                and differs,
                differs=differs,
                troubles=_troubles(reading, begin, length),
                uses=_uses(row),
                available=row.available if row else None,
                makes=row.makes if row else (reading.chains if line.row == 0 else None),
                only_loops=apart == "loops",
            )
        )
        before = line.row
    return tuple(found)


def _uses(row: ReadRow | None) -> int | None:
    return row.uses if row is not None else None


def _read(
    design: Design, lines: Sequence[WrittenRow], own: Mapping[int, OwnWords]
) -> tuple[list[int], Reading]:
    """Return where each line's words begin in the whole text, and what that says."""
    parts: list[str] = []
    starts: list[int] = []
    terms: dict[int, Terms] = {}
    at = 0
    before = 0
    for line in lines:
        words = own.get(line.row)
        text = line.text if words is None else words.text.replace("\n", " ")
        if words is not None and words.terms != design.terms:
            terms[before + 1 if line.row else 0] = words.terms
        parts.append(f"{line.label}: {text}\n")
        starts.append(at + len(line.label) + 2)
        at += len(parts[-1])
        before = line.row
    whole = "".join(parts)
    return starts, read_text(whole, terms=design.terms, row_terms=terms)


def _troubles(reading: Reading, begin: int, length: int) -> tuple[Trouble, ...]:
    return tuple(
        replace(
            trouble,
            start=max(trouble.start - begin, 0),
            end=min(max(trouble.end - begin, 1), length),
        )
        for trouble in reading.troubles
        if begin <= trouble.start <= begin + length and trouble.end > begin
    )


def _apart(
    reading: Reading, rows: Rows, before: int, line: WrittenRow, loops: Sequence[str]
) -> Literal["", "loops", "rows"]:
    """Return in what a line's words aren't the design's rows."""
    other_loops = False
    if line.row == 0:
        return "rows" if reading.chains != rows.foundation.chains else ""
    for number in range(before + 1, line.row + 1):
        row = reading.row(number)
        if row is None or row.flat is None or number > len(rows.which):
            return "rows"
        plan = rows.plan(number)
        if row.flat.units != row_units(plan.row, plan.repeats):
            return "rows"
        if (row.loop or "both") != loops[number - 1] and number > 1:
            other_loops = True
    return "loops" if other_loops else ""


def set_own_words(design: Design, row: int, text: str) -> Design:
    """Return the design with its own words for a line of rows; with no text, without them."""
    text = text.strip()
    rest = tuple(words for words in design.own_words if words.row != row)
    if not text:
        return set_values(design, own_words=rest)
    mark = row_mark(design, build_rows(design), row)
    words = OwnWords(row=row, text=text, terms=design.terms, of=mark)
    every = sorted((*rest, words), key=lambda entry: entry.row)
    return set_values(design, own_words=tuple(every))


def take_own(design: Design) -> Taken:
    """Return the design with the rows that its words tell, its own words among them."""
    rows = build_rows(design)
    lines = written_rows(design, rows)
    _, reading = _read(design, lines, {words.row: words for words in design.own_words})
    taken = take_reading(reading, design)
    if taken.design is None:
        return taken
    made = taken.design
    made = set_values(made, terms=design.terms, edging=design.edging)
    for end in ENDS:
        fill = getattr(design.edging, end, None)
        if fill is not None and fill.own:  # rows chosen by hand belong to the rows that were
            made = set_end_fill(made, end, own=())
    new_rows = build_rows(made)
    marked = tuple(
        OwnWords(words.row, words.text, words.terms, row_mark(made, new_rows, words.row))
        for words in made.own_words
    )
    taken.design = set_values(made, own_words=marked)
    return taken


def with_own_words(
    pattern: Pattern, lines: Sequence[OwnLine], beside: Vocabulary | None = None
) -> Pattern:
    """Return the pattern with the designer's own words in its rows.

    Args:
        pattern: The pattern as the program words it.
        lines: The lines as they were read.
        beside: The words of a pattern whose own wording of a row stays beside the designer's: one
            that is spelled out, in another language or for several sizes. None to leave it out.
    """
    own = {
        line.line.row: line
        for line in lines
        if line.own is not None and line.is_published and line.own.terms == pattern.terms
    }
    if not own:
        return pattern
    sections = []
    for section in pattern.sections:
        if section.name == "rows":
            blocks = [
                told
                for block in section.blocks
                for told in (
                    _worded(block, own[block.row], beside)
                    if isinstance(block, Paragraph) and block.row in own
                    else (block,)
                )
            ]
            section = replace(section, blocks=tuple(blocks))
        sections.append(section)
    return Pattern(pattern.terms, tuple(sections))


def _worded(block: Paragraph, line: OwnLine, beside: Vocabulary | None) -> tuple[Paragraph, ...]:
    """Return a row in the designer's words, followed by what the chart has if that is wanted."""
    own = replace(block, text=line.text, own=True)
    if beside is None:
        return (own,)
    is_reading = beside.spelled and not line.differs
    key = "spelled row" if is_reading else "row by the chart"
    return own, replace(block, label=beside.say(key, label=block.label))
