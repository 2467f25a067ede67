"""Booklets: what they are made from, and their files."""

from typing import Final

from app.assets import chart_font
from app.booklet.markup import html_of
from app.booklet.pages import laid_out
from app.booklet.source import Source
from app.depicting import chart_sheet, fabric_picture, written_pattern
from app.painting.choices import Choices
from core.booklet.options import EditionName, Options, edition_of
from core.design.document import Design
from core.design.edits import set_size, set_values
from core.fabric.relax import ShouldStop, never
from core.pipeline import Pipeline, Results
from core.records import replace

_CHART_MM: Final = 170.0  # across an A4 page between its margins


def booklet_source(
    results: Results,
    options: Options,
    *,
    pipeline: Pipeline | None = None,
    settled: bool = True,
    should_stop: ShouldStop = never,
) -> Source:
    """Return what a booklet is made from: the blanket in the hand and size asked for.

    Args:
        results: The design's own blanket.
        options: What was chosen.
        pipeline: Where other hands and sizes are computed, and kept; a new one if None.
        settled: Whether to settle what hasn't come to rest; otherwise it is shown as it is.
        should_stop: Asked while something is settled.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    origin = results.design
    results = _asked_for(results, options, pipeline or Pipeline(), settled, should_stop)
    design, edition = results.design, edition_of(options.edition)
    written = options.written(origin)
    chart = Choices(
        coloured=edition.coloured,
        grey=not edition.coloured,
        terms=options.terms_of(design),
        edition=written,
        width_mm=_CHART_MM,
    )
    untitled = replace(results, design=set_values(design, title=""))  # the page has the title
    return Source(
        options=options,
        origin=origin,
        results=results,
        pattern=written_pattern(results, edition=written),
        sheet=chart_sheet(untitled, chart) if results.rows.drawn_rows else None,
        fabric=lambda width, part: fabric_picture(results, width, part).whole(),
        family=chart_font(),
    )


def _asked_for(
    results: Results,
    options: Options,
    pipeline: Pipeline,
    settled: bool,
    should_stop: ShouldStop,
) -> Results:
    """Return the blanket in the hand and size asked for."""
    design = set_values(results.design, hand=options.hand_of(results.design))
    repeats, rows = options.size_of(results.design)
    design = set_size(design, repeats=repeats, rows=rows)
    at_rest = results.fabric.settled and results.ends.settled
    if design == results.design and (at_rest or not settled):
        return results
    if not settled:
        return pipeline.results(design)
    return pipeline.settled_results(design, should_stop=should_stop)


def booklet_bytes(source: Source, *, should_stop: ShouldStop = never) -> bytes:
    """Return the file of a booklet: PDF pages, or HTML.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    if edition_of(source.options.edition).has_pages:
        return laid_out(source, should_stop=should_stop).pdf(should_stop=should_stop)
    return html_of(source).encode()


def booklet_ending(options: Options, design: Design) -> str:
    """Return what is added to a design's file name for a booklet."""
    name = {"full": "", "plain": "-plain", "large": "-large", "html": ""}[options.edition]
    hand = options.hand_of(design)
    sided = "" if hand == design.hand else f"-{hand}-handed"
    sized = ""
    if options.has_all_sizes(design):
        sized = "-all-sizes"
    elif options.size_of(design) != (design.size.repeats, design.size.rows):
        sized = "-{}x{}".format(*options.size_of(design))
    if options.language != "en":
        name += f"-{options.language}"
    spoken = "" if options.terms in (None, design.terms) else f"-{options.terms_of(design).lower()}"
    kind = "pdf" if edition_of(options.edition).has_pages else "html"
    return f"-booklet{name}{spoken}{sided}{sized}.{kind}"


def options_of(choices: Choices, edition: EditionName) -> Options:
    """Return the options of an edition, with what exports have in common.

    Language and size are the booklet's own where they are chosen, else those of the words.
    """
    booklet, written = choices.booklet, choices.edition
    return replace(
        booklet,
        edition=edition,
        terms=booklet.terms or choices.terms,
        language=booklet.language if booklet.language != "en" else written.language,
        size=booklet.size if booklet.size != "own" else written.size,
    )
