"""What goes into an edition, and in which order.

The written pattern's sections come as they are. Some are placed by name, pictures and the list
to tick off are added, and what every pattern should say is added where it isn't said yet.
"""

import hashlib
from collections.abc import Iterator, Sequence
from typing import Final

from core.booklet import standing
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
from core.booklet.stripes import colours_of, ticks_of
from core.chart.piece import STANDARD, extent_of
from core.craft.stitches import CATALOGUE, Terms
from core.design.document import Design
from core.design.files import design_text
from core.pipeline import Results
from core.techedit.edit import open_errors
from core.words.pattern import Block, Paragraph, Pattern, Section

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
        pattern: Its written pattern, in the terms that are asked for.
        options: The choices.
        origin: The design as it is kept, which the version is told from; `results`' own if None.
    """
    design, edition = results.design, edition_of(options.edition)
    terms = options.terms_of(design)
    measures = measures_of(results)
    stripes, colours = ticks_of(results), colours_of(results)
    fabric = fabric_picture(results, measures, stripes, colours)
    schematic = schematic_picture(results, measures)
    cover, other = (fabric, schematic) if edition.coloured else (schematic, None)
    version = version_of(origin or design)
    title = design.title.strip() or "Untitled blanket"
    return Booklet(
        title=title,
        designer=design.designer.strip(),
        lines=(*_head_lines(pattern, design), *_hand_line(results)),
        facts=Facts(tuple(_facts(results, measures, terms, len(stripes)))),
        cover=cover,
        access=edition.access,
        parts=tuple(_parts(results, pattern, edition, terms, measures, other, version)),
        edition=edition,
        language=getattr(pattern, "language", "en"),
        draft=tuple(f.message for f in open_errors(results)),
        version=version,
        foot=(title, f"{terms} terms · version {version}"),
    )


def version_of(design: Design) -> str:
    """Return a short code that is the same for the same design and differs for any other."""
    code = hashlib.sha256(design_text(design).encode()).hexdigest()
    return f"{code[:4]}-{code[4:8]}"


def _head_lines(pattern: Pattern, design: Design) -> Iterator[str]:
    """Return what the written pattern says under its title, the designer left out."""
    head = pattern.section("head")
    title, designer = design.title.strip(), design.designer.strip()
    for block in head.blocks if head else ():
        if block.plain != title and not (designer and designer in block.plain):
            yield block.plain


def _hand_line(results: Results) -> Iterator[str]:
    if results.design.hand == "left":
        yield "Left-handed: chart, picture and row sides are for working with the left hand"


def _facts(
    results: Results, measures: Measures | None, terms: Terms, stripes: int
) -> Iterator[tuple[str, str]]:
    design = results.design
    if measures:
        yield "Size", measures.size_text
        yield "Measured", "after washing" if measures.is_washed else "before washing"
    yield "Hook", f"{design.gauge.hook_mm:g} mm"
    name = CATALOGUE[design.gauge.stitch].name(terms)
    yield "Stitch", f"{name.long} ({name.short}), {terms} terms"
    yield "Chain", f"{results.rows.foundation.chains}"
    counted = "1 stripe" if stripes == 1 else f"{stripes} stripes"
    yield "Rows", f"{results.rows.drawn_rows} in {counted}"
    used = [use for use in results.yarn if use.rows or use.fill_m or use.border_m]
    colours = "1 colour" if len(used) == 1 else f"{len(used)} colours"
    balls = sum(use.balls for use in used)
    yield "Yarn", f"{colours}, {balls} {'ball' if balls == 1 else 'balls'}"


def _parts(
    results: Results,
    pattern: Pattern,
    edition: Edition,
    terms: Terms,
    measures: Measures | None,
    schematic: Picture | None,
    version: str,
) -> Iterator[Part]:
    stripes, names = _stripes_part(results, pattern), {part.name for part in pattern.sections}
    for section in pattern.sections:
        if section.name == "stripes":
            if stripes:
                yield stripes
                stripes = None
        elif section.name == "size":
            yield _size_part(results, section, measures, schematic)
        elif section.name == "materials":
            key = Colours("Letters and colours", colours_of(results))
            yield Part(section.name, section.heading, (*map(labelled, section.blocks), key))
        elif section.name == "care":
            yield Part(section.name, section.heading, _without_cautions(results, section))
        elif section.name in _LISTS:
            yield Part(section.name, section.heading, tuple(map(labelled, section.blocks)))
        elif section.name != "head":
            yield Part(section.name, section.heading, section.blocks)
        if section.name == "rows" and results.rows.drawn_rows:
            yield _chart_part(results, edition, terms)
            closeup = closeup_picture(results) if edition.coloured else None
            if closeup:
                yield Part("closeup", "The edge, close up", (closeup,))
    if stripes:
        yield stripes
    added = (
        Part("cautions", "Cautions", (Points(standing.cautions(results)),)),
        Part("version", "Version and corrections", tuple(_version(results, version))),
    )
    yield from (part for part in added if part.name not in names)


def _without_cautions(results: Results, section: Section) -> tuple[Block, ...]:
    """Return what a section says but for the cautions, which have a part of their own."""
    cautions = standing.own_cautions(results)
    return tuple(block for block in section.blocks if block.plain not in cautions)


def _size_part(
    results: Results, section: Section, measures: Measures | None, schematic: Picture | None
) -> Part:
    """Return sizes with the drawing."""
    nodes: list[Node] = [*_without_cautions(results, section)]
    if measures:
        nodes += [Paragraph(text, name) for name, text in detail_facts(measures)]
        nodes.append(Paragraph("Stripes run across the width; work goes from the bottom up."))
    if schematic:
        nodes.append(schematic)
    return Part(section.name, section.heading, tuple(nodes))


def _chart_part(results: Results, edition: Edition, terms: Terms) -> Part:
    shown = extent_of(results.design, STANDARD)
    rows = min(shown.rows[1], results.rows.drawn_rows)
    picture = chart_picture(results, terms, rows=rows, repeats=shown.repeats[1])
    if edition.has_chart:
        return Part("chart", "Chart", (picture,))
    return Part("chart", "The chart in words", (Points(picture.description),))


def _stripes_part(results: Results, pattern: Pattern) -> Part | None:
    stripes = ticks_of(results)
    if not stripes:
        return None
    section = pattern.section("stripes")
    heading = section.heading if section else "Stripes"
    caption = "Tick off each stripe as it is done."
    return Part("stripes", heading, (stripes_picture(stripes), Ticks(caption, stripes)))


def _version(results: Results, version: str) -> Sequence[Paragraph]:
    designer = results.design.designer.strip()
    ask = (
        f"{designer}, or whoever you had the pattern from"
        if designer
        else "whoever you had it from"
    )
    return (
        Paragraph(
            f"Version {version}. The code changes whenever anything in the design does, so two "
            "copies with the same code are the same pattern."
        ),
        Paragraph(
            f"Found a mistake? Tell {ask}, and give the code: that is how you get corrections."
        ),
    )
