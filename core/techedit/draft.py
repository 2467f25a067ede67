"""What a tech editor has on the desk: the pattern as published, its words, and what lies behind."""

import re
from collections.abc import Iterator
from functools import cached_property

from core.editions import OWN, Edition, pattern_of, words_of
from core.fabric.relax import ShouldStop, never
from core.pipeline import Results
from core.reading.own import read_own, with_own_words
from core.records import Struct
from core.words.pattern import Block, Paragraph, Pattern, Section
from core.words.vocabulary import Vocabulary


class Prose(Struct, frozen=True):
    """Something the designer typed.

    Attributes:
        where: Its place.
        name: What it is called in a sentence.
        text: What it says.
        is_row: Whether it is a row's own words, by which makers work.
    """

    where: str
    name: str
    text: str
    is_row: bool = False


class Draft(Struct, frozen=True, dict=True):
    """A pattern to be looked over.

    Attributes:
        results: The results it is written from.
        pattern: It as published.
        edition: How it is written.
    """

    results: Results
    pattern: Pattern
    edition: Edition = OWN

    @cached_property
    def words(self) -> Vocabulary:
        """The words it is written with."""
        is_sized = self.pattern.section("sizes") is not None
        return words_of(self.results.design, self.edition, sized=is_sized)

    @property
    def is_read(self) -> bool:
        """Whether its rows are in words that can be read again."""
        return self.edition.language == "en" and not (self.words.spelled or self.words.sized)

    @property
    def fits(self) -> bool:
        """Whether every row fits the one below."""
        return self.results.rows.misfit is None

    @cached_property
    def own_rows(self) -> dict[int, str]:
        """The designer's own words of rows that stand in the pattern."""
        section = self.pattern.section("rows")
        there = {
            (block.row, block.text)
            for block in (section.blocks if section else ())
            if isinstance(block, Paragraph)
        }
        own = self.results.design.own_words
        return {words.row: words.text for words in own if (words.row, words.text) in there}

    @cached_property
    def prose(self) -> tuple[Prose, ...]:
        """Everything the designer typed that makers read: title, notes, stripe names, rows."""
        design = self.results.design
        found = [Prose("details title", "The title", design.title)]
        found += [
            Prose("details notes", f"Line {number} of the notes", line)
            for number, line in enumerate(design.notes.splitlines(), start=1)
        ]
        found += [
            Prose("stripes", f"The name of stripe {number}", stripe.label)
            for number, stripe in enumerate(design.stripes.sequence, start=1)
        ]
        found += [
            Prose(f"words {row}", f"Row {row}" if row else "The foundation", text, is_row=True)
            for row, text in self.own_rows.items()
        ]
        return tuple(part for part in found if part.text.strip())

    def blocks(self, *but: str) -> Iterator[tuple[Section, Block]]:
        """Yield what the program wrote, section by section, without those named."""
        for section in self.pattern.sections:
            if section.name in ("head", "notes", "contact", *but):
                continue
            for block in section.blocks:
                if getattr(block, "row", None) not in self.own_rows:
                    yield section, block

    def said(self, block: Block) -> str:
        """Return what the program wrote in a block, without the names that the designer gave."""
        return self._names.sub("", block.plain)

    @cached_property
    def _names(self) -> re.Pattern[str]:
        design = self.results.design
        names = {yarn.name for yarn in design.yarns} | {size.name for size in design.sizes}
        either = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
        return re.compile(rf"(?<!\w)(?:{either})(?!\w)")

    def text_of(self, name: str) -> str:
        """Return what a section says; empty if there is none."""
        section = self.pattern.section(name)
        return section.plain if section else ""


def published(
    results: Results, edition: Edition = OWN, *, should_stop: ShouldStop = never
) -> Pattern:
    """Return the written pattern with the designer's own words in it, where they belong.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    pattern = pattern_of(results, edition, should_stop=should_stop)
    is_plain = edition.language == "en" and not edition.spelled and edition.size == "own"
    if not results.design.own_words:
        return pattern
    words = words_of(results.design, edition, sized=False)
    lines = read_own(results.design, results.rows)
    return with_own_words(pattern, lines, None if is_plain else words)


def place_of(section: Section, block: Block) -> str:
    """Return the place of something the program wrote: its row, or the words as a whole."""
    row = block.row if isinstance(block, Paragraph) else None
    if section.name == "rows" and row is not None:
        return f"words {row}"
    return {"stripes": "stripes", "size": "size", "gauge": "gauge"}.get(section.name, "words")


def numbers_in(text: str) -> list[float]:
    """Return the numbers in a text, with a decimal comma or point."""
    return [float(found.replace(",", ".")) for found in re.findall(r"\d+(?:[.,]\d+)?", text)]
