"""What goes into an edition, and in which order.

The written pattern's sections come as they are. Some are placed by name, pictures and the list
to tick off are added, and what every pattern should say is added where it isn't said yet.
"""

import hashlib
import re
from collections.abc import Iterator
from typing import Final

from core.booklet.alt import (
    chart_picture,
    detail_facts,
    fabric_picture,
    schematic_picture,
    stripes_picture,
)
from core.booklet.closeup import closeup_picture
from core.booklet.measures import Measures, measures_of
from core.booklet.nodes import Booklet, Colours, Facts, Node, Part, Picture, Points, Ticks
from core.booklet.options import Edition, Options, edition_of
from core.booklet.standing import cautions, is_caution
from core.booklet.stripes import colours_of, letters_of, ticks_of
from core.chart.piece import STANDARD, extent_of
from core.design.document import Design
from core.design.files import design_text
from core.editions import words_of
from core.pipeline import Results
from core.techedit.edit import open_errors
from core.words.abbreviations import abbreviations_in
from core.words.pattern import Block, Paragraph, Pattern, Section
from core.words.sizes import size_name
from core.words.vocabulary import vocabulary

_LISTS: Final = {"abbreviations", "special", "rules", "fill", "border"}
_LONGEST_LABEL: Final = 40  # letters before a colon that name what follows


def labelled(block: Block) -> Block:
    """Return a line "name: what it is" with its name as a label."""
    if not isinstance(block, Paragraph) or block.label:
        return block
    name, colon, text = block.text.partition(": ")
    if not colon or len(name) > _LONGEST_LABEL:
        return block
    return Paragraph(text, name, block.row)


def booklet_of(
    results: Results, pattern: Pattern, options: Options, *, origin: Design | None = None
) -> Booklet:
    """Return the tree of one edition.

    Args:
        results: The blanket, in the hand and size that are asked for.
        pattern: Its written pattern, in the language and terms that are asked for.
        options: The choices.
        origin: The design as it is kept, which the version is told from; `results`' own if None.
    """
    return _Maker(results, pattern, options, origin or results.design).booklet()


def version_of(design: Design) -> str:
    """Return a short code that is the same for the same design and differs for any other."""
    code = hashlib.sha256(design_text(design).encode()).hexdigest()
    return f"{code[:4]}-{code[4:8]}"


class _Maker:
    """Puts one booklet together."""

    def __init__(
        self, results: Results, pattern: Pattern, options: Options, origin: Design
    ) -> None:
        self._results, self._pattern, self._options = results, pattern, options
        self._origin = origin
        self._design = results.design
        self._edition: Edition = edition_of(options.edition)
        self._words = words_of(results.design, options.written(origin), sized=False)
        self._measures: Measures | None = measures_of(results, self._words)
        self._stripes = ticks_of(results, self._words)
        self._version = version_of(origin)
        self._meanings = self._own_meanings()

    def booklet(self) -> Booklet:
        """Return it."""
        words, design = self._words, self._design
        schematic = schematic_picture(self._measures, words)
        cover, other = schematic, None
        if self._edition.coloured:
            colours = colours_of(self._results, words)
            cover = fabric_picture(self._results, self._measures, self._stripes, colours, words)
            other = schematic
        title = design.title.strip() or words.say("booklet untitled")
        terms = words.say("terms in short", terms=words.terms)
        return Booklet(
            title=title,
            designer=design.designer.strip(),
            lines=tuple(self._lines()),
            facts=Facts(tuple(self._facts())),
            cover=cover,
            access=words.say(f"access {self._edition.key}"),
            parts=tuple(self._parts(other)),
            edition=self._edition,
            words=words,
            own_meanings=self._meanings,
            draft=self._draft(),
            version=self._version,
            foot=(title, words.say("foot", terms=terms, version=self._version)),
        )

    def _lines(self) -> Iterator[str]:
        """Yield what the written pattern says under its title, then hand and size."""
        design, words = self._design, self._words
        title, designer = design.title.strip(), design.designer.strip()
        head = self._pattern.section("head")
        for block in head.blocks if head else ():
            if block.plain != title and not (designer and designer in block.plain):
                yield block.plain
        if design.hand == "left":
            yield words.say("hand line")
        size = self._options.named_size(self._origin)
        if size is not None:
            yield words.say("size line", size=size_name(size.name, words))
        elif self._options.has_all_sizes(self._origin):
            yield words.say("sizes line", size=size_name(self._own_name(), words))

    def _own_name(self) -> str:
        """Return what the design's own size is called, if it is one of its sizes."""
        own = self._origin.size
        for size in self._origin.sizes:
            if (size.repeats, size.rows) == (own.repeats, own.rows):
                return size.name
        return ""

    def _draft(self) -> tuple[str, ...]:
        """Return why it is a draft, in the booklet's language."""
        errors = open_errors(self._results, self._options.written(self._origin))
        if errors and self._words.language != "en":
            return (self._words.say("draft reason", n=len(errors)),)
        return tuple(finding.text for finding in errors)

    def _own_meanings(self) -> dict[str, str]:
        """Return the abbreviations in the designer's own wording, which is English."""
        own = [
            block.text
            for section in self._pattern.sections
            for block in section.blocks
            if isinstance(block, Paragraph) and block.own
        ]
        plain = vocabulary(self._words.terms)
        found: dict[str, str] = {}
        for entry in abbreviations_in("\n".join(own), plain):
            found |= _both_numbers(entry.short, entry.long)
        return found

    def _facts(self) -> Iterator[tuple[str, str]]:
        results, words, measures = self._results, self._words, self._measures
        gauge = results.design.gauge
        if measures:
            yield words.say("fact size"), measures.size_text
            washed = "fact washed" if measures.is_washed else "fact unwashed"
            yield words.say("fact measured"), words.say(washed)
        yield words.say("hook"), words.say("millimetres", n=words.number(gauge.hook_mm))
        name = words.names[gauge.stitch]
        terms = words.say("terms in short", terms=words.terms)
        text = words.say("fact stitch text", long=name.long, short=name.short, terms=terms)
        yield words.say("fact stitch"), text
        yield (
            words.say("fact chain"),
            words.say("fact chain text", n=results.rows.foundation.chains),
        )
        rows = words.say("counted rows", n=results.rows.drawn_rows)
        stripes = words.say("counted stripes", n=len(self._stripes))
        yield words.say("fact rows"), words.say("fact rows text", rows=rows, stripes=stripes)
        used = letters_of(results)
        colours = words.say("counted colours", n=len(used))
        balls = words.say("counted balls", n=sum(results.yarn[yarn].balls for yarn in used))
        yield words.say("fact yarn"), words.say("fact yarn text", colours=colours, balls=balls)

    # parts

    def _parts(self, schematic: Picture | None) -> Iterator[Part]:
        words, sections = self._words, self._pattern.sections
        names, stripes = {part.name for part in sections}, self._stripes_part()
        for section in sections:
            if section.name == "stripes":
                if stripes:
                    yield stripes
                    stripes = None
            elif section.name == "size":
                yield self._size_part(section, schematic)
            elif section.name == "materials":
                key = Colours(words.say("colours caption"), colours_of(self._results, words))
                yield Part(section.name, section.heading, (*map(labelled, section.blocks), key))
            elif section.name == "care":
                yield Part(section.name, section.heading, self._without_cautions(section))
            elif section.name in _LISTS:
                yield Part(section.name, section.heading, tuple(map(labelled, section.blocks)))
            elif section.name != "head":
                yield Part(section.name, section.heading, section.blocks)
            if section.name == "rows" and "abbreviations" not in names and self._meanings:
                yield self._abbreviations()
            if section.name == "rows" and self._results.rows.drawn_rows:
                yield from self._chart_parts()
        if stripes:
            yield stripes
        added = (
            Part(
                "cautions",
                words.say("heading cautions"),
                (Points(cautions(self._pattern, self._results, words)),),
            ),
            Part("version", words.say("heading version"), self._version_lines()),
        )
        yield from (part for part in added if part.name not in names)

    def _abbreviations(self) -> Part:
        """Return what stands short in the designer's wording where all else is spelled out."""
        lines = [Paragraph(long, short, own=True) for short, long in self._meanings.items()]
        return Part("abbreviations", self._words.say("heading abbreviations"), tuple(lines))

    def _without_cautions(self, section: Section) -> tuple[Block, ...]:
        """Return what a section says but for the cautions, which have a part of their own."""
        return tuple(block for block in section.blocks if not is_caution(block))

    def _size_part(self, section: Section, schematic: Picture | None) -> Part:
        """Return sizes with the drawing."""
        nodes: list[Node] = [*self._without_cautions(section)]
        if self._measures:
            nodes += [Paragraph(text, name) for name, text in detail_facts(self._measures)]
        if schematic:
            nodes.append(schematic)
        return Part(section.name, section.heading, tuple(nodes))

    def _chart_parts(self) -> Iterator[Part]:
        """Yield the chart, or what it shows in words, and the edge close up."""
        words = self._words
        shown = extent_of(self._design, STANDARD)
        rows = min(shown.rows[1], self._results.rows.drawn_rows)
        picture = chart_picture(self._results, words, rows=rows, repeats=shown.repeats[1])
        if self._edition.has_chart:
            yield Part("chart", words.say("heading chart"), (picture,))
        else:
            told = Points(picture.description)
            yield Part("chart", words.say("heading chart told"), (told,))
        closeup = closeup_picture(self._results, words) if self._edition.coloured else None
        if closeup:
            yield Part("closeup", words.say("heading closeup"), (closeup,))

    def _stripes_part(self) -> Part | None:
        """Return the stripes: in all sizes as they are written, then pictured and to tick off."""
        if not self._stripes:
            return None
        words, section = self._words, self._pattern.section("stripes")
        heading = section.heading if section else words.say("heading stripes")
        written = self._options.has_all_sizes(self._origin) and section
        nodes: list[Node] = [*section.blocks] if written and section else []
        nodes.append(stripes_picture(self._stripes, words))
        nodes.append(Ticks(words.say("ticks caption"), self._stripes))
        return Part("stripes", heading, tuple(nodes))

    def _version_lines(self) -> tuple[Paragraph, ...]:
        words, designer = self._words, self._design.designer.strip()
        ask = words.say("corrections of" if designer else "corrections", designer=designer)
        return Paragraph(words.say("version", version=self._version)), Paragraph(ask)


def _both_numbers(short: str, long: str) -> dict[str, str]:
    """Return "st(s): stitch(es)" as one and as several; anything else as it is."""
    if "(" not in short:
        return {short: long}
    return {
        re.sub(r"\((\w+)\)", keep, short): re.sub(r"\((\w+)\)", keep, long) for keep in ("", r"\1")
    }
