"""Everything that leaves the program as a file: chart, fabric picture, rows.

An export is a name and a function from results to bytes; files are written whole, named after
the design's own file. The settled fabric is always used, never the first sketch. Everything
here may run on any thread.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtGui import QPageSize

from app.assets import chart_font
from app.booklets import booklet_bytes, booklet_ending, booklet_source, options_of
from app.depicting import chart_sheet, fabric_picture, written_pattern
from app.painting.choices import DEFAULT, Choices
from app.painting.pictures import (
    Work,
    chart_document,
    chart_picture,
    picture,
    picture_format,
)
from core.booklet.options import EditionName
from core.chart.sheet import Sheet
from core.chart.svg import svg_text
from core.design.disk import make_shared_folder, sweep, write_whole
from core.design.document import Design, Hand
from core.editions import Edition
from core.errors import DesignError
from core.pipeline import Pipeline, Results
from core.records import Struct, replace
from core.stripes.key import key_text
from core.techedit.edit import draft_line, stamp_for

if TYPE_CHECKING:
    from app.paper.sheets import SheetName

_PAPERS: Final = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
_MOST_KEPT: Final = 12
_QUIETLY: Final = Work()
CHART: Final = "Chart, fabric, rows"
BOOKLET: Final = "Booklet"
ON_PAPER: Final = "On paper"


class Export(Struct, frozen=True):
    """One kind of file.

    Attributes:
        name: What `--only` calls it.
        ending: Added to the design's file name.
        about: What it is, for the dialog.
        make: The file's bytes.
        is_chart: Whether it shows the chart, and so can be had for either hand.
        edition: The edition of a booklet, whose ending says hand, terms and size as well.
        group: Under which words the dialog lists it.
        kept_for: The choices that its bytes follow from, the others forgotten: a file made before
            is taken again for them. If none is given, it is made anew for any other choice.
    """

    name: str
    ending: str
    about: str
    make: Callable[[Results, Choices, Work], bytes]
    is_chart: bool = False
    edition: EditionName | None = None
    group: str = ""
    kept_for: Callable[[Choices], Choices] | None = None

    def matter(self, choices: Choices) -> Choices:
        """Return the choices with those forgotten that the file doesn't follow from."""
        if self.kept_for is not None:
            return self.kept_for(choices)
        return replace(choices, both_hands=False)

    def ending_of(self, choices: Choices, design: Design) -> str:
        """Return what is added to the design's name with these choices."""
        if self.group == ON_PAPER:
            return paper_ending(self.ending, choices, design)
        if self.edition is None:
            return self.ending
        return booklet_ending(options_of(choices, self.edition), design)


def _of_rows(choices: Choices) -> Choices:
    return Choices(terms=choices.terms, edition=choices.edition)


def _of_picture(choices: Choices) -> Choices:
    return Choices(
        width_mm=choices.width_mm,
        dpi=choices.dpi,
        width_px=choices.width_px,
        grey=choices.grey,
        edition=Edition(language=choices.edition.language),
    )


def _of_booklet(choices: Choices) -> Choices:
    return Choices(terms=choices.terms, edition=choices.edition, booklet=choices.booklet)


def _of_paper(choices: Choices) -> Choices:
    hand = choices.hand or choices.booklet.hand
    return Choices(hand=hand, terms=choices.terms, paper=choices.paper)


def _stamped(results: Results, choices: Choices) -> Sheet:
    """Return the chart, stamped if the pattern still has errors."""
    return chart_sheet(results, choices, stamp_for(results, choices.written))


def chart_svg(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the chart as SVG."""
    sheet = _stamped(results, choices)
    return svg_text(sheet, width_mm=choices.width_mm, go_on=work.go_on).encode()


def chart_png(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the chart as a picture with its physical size stated."""
    sheet = _stamped(results, choices)
    return chart_picture(sheet, picture_format(choices), family=chart_font(), work=work)


def chart_pdf(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the chart as PDF, vectors and real text."""
    paper = _PAPERS.get(choices.pages)
    return chart_document(
        _stamped(results, choices),
        width_mm=choices.width_mm,
        page=None if paper is None else QPageSize(paper),
        family=chart_font(),
        work=work,
        author=results.design.designer,
    )


def fabric_png(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the whole blanket as a picture file, true in proportion."""
    stamp = stamp_for(results, Edition(language=choices.edition.language))
    shown = fabric_picture(results, choices.picture_width_px(), stamp=stamp)
    return picture(shown.strip, shown.height, picture_format(choices), work)


def rows_txt(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the written rows as plain text."""
    del work
    text = written_pattern(results, choices.terms, choices.edition).plain
    draft = draft_line(results, choices.written)
    return (f"{draft}\n\n{text}" if draft else text).encode()


def _booklet(name: str, ending: str, about: str, edition: EditionName) -> Export:
    def make(results: Results, choices: Choices, work: Work) -> bytes:
        source = booklet_source(results, options_of(choices, edition), should_stop=work.should_stop)
        return booklet_bytes(source, should_stop=work.should_stop)

    return Export(name, ending, about, make, edition=edition, group=BOOKLET, kept_for=_of_booklet)


def _sheet(name: "SheetName", ending: str, about: str) -> Export:
    def make(results: Results, choices: Choices, work: Work) -> bytes:
        from app.papers import paper_pdf  # rarely wanted, and start-up time counts

        return paper_pdf(results, (name,), choices, should_stop=work.should_stop)

    return Export(f"{name}-pdf", ending, about, make, group=ON_PAPER, kept_for=_of_paper)


def _table(name: "SheetName", ending: str, about: str) -> Export:
    def make(results: Results, choices: Choices, work: Work) -> bytes:
        from app.papers import paper_table  # as above

        return paper_table(results, name, choices, should_stop=work.should_stop)

    return Export(f"{name}-csv", ending, about, make, group=ON_PAPER, kept_for=_of_paper)


def shopping_txt(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the shopping list as plain text."""
    from app.papers import shopping_words  # as above

    return shopping_words(results, choices, should_stop=work.should_stop).encode()


def key_txt(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the key to the stripes as plain text."""
    del choices, work
    return key_text(results.design).encode()


EXPORTS: Final = (
    Export(
        "chart-svg", "-chart.svg", "Chart for vector editors (SVG)", chart_svg, True, group=CHART
    ),
    Export("chart-png", "-chart.png", "Chart as a picture (PNG)", chart_png, True, group=CHART),
    Export("chart-pdf", "-chart.pdf", "Chart for print (PDF)", chart_pdf, True, group=CHART),
    Export(
        "fabric-png",
        "-fabric.png",
        "Picture of the whole blanket (PNG)",
        fabric_png,
        group=CHART,
        kept_for=_of_picture,
    ),
    Export(
        "rows-txt",
        "-rows.txt",
        "Written rows (plain text)",
        rows_txt,
        group=CHART,
        kept_for=_of_rows,
    ),
    _booklet("booklet-pdf", "-booklet.pdf", "Booklet in colour (PDF)", "full"),
    _booklet("booklet-plain-pdf", "-booklet-plain.pdf", "Booklet, plain (PDF)", "plain"),
    _booklet("booklet-large-pdf", "-booklet-large.pdf", "Booklet, large type (PDF)", "large"),
    _booklet("booklet-html", "-booklet.html", "Booklet for screen readers (HTML)", "html"),
    _sheet("shopping", "-shopping.pdf", "Shopping list (PDF)"),
    _table("shopping", "-shopping.csv", "Shopping list as a table (CSV)"),
    Export(
        "shopping-txt",
        "-shopping.txt",
        "Shopping list (plain text)",
        shopping_txt,
        group=ON_PAPER,
        kept_for=_of_paper,
    ),
    _sheet("card", "-yarn-card.pdf", "Yarn card to tie snips to (PDF)"),
    _sheet("ruler", "-stripe-ruler.pdf", "Stripe ruler at true height (PDF)"),
    _sheet("stripes", "-stripes.pdf", "Stripe list to tick off (PDF)"),
    _table("stripes", "-stripes.csv", "Stripe list as a table (CSV)"),
    Export(
        "key-txt",
        "-stripe-key.txt",
        "Key to the stripes (plain text)",
        key_txt,
        group=ON_PAPER,
        kept_for=_of_paper,
    ),
)
NAMES: Final = tuple(export.name for export in EXPORTS)


def paper_ending(ending: str, choices: Choices, design: Design) -> str:
    """Return what is added to a design's name for a sheet: another hand is named."""
    hand = choices.hand or choices.booklet.hand or design.hand
    if hand == design.hand or not ("ruler" in ending or "stripes" in ending):
        return ending
    stem, _, kind = ending.rpartition(".")
    return f"{stem}-{hand}-handed.{kind}"


Files = dict[str, bytes]
"""What is to be written: a file's ending, added to the design's name, and its bytes."""


Kept = dict[tuple[str, Choices], bytes]
"""Files made before: name of the export, what of the choices it follows from."""


def make_files(
    results: Results,
    only: Sequence[str] | None,
    choices: Choices,
    work: Work = _QUIETLY,
    kept: Kept | None = None,
) -> Files:
    """Return the wanted files.

    Args:
        results: Results; settled here if they aren't.
        only: Names of the wanted ones; None for all.
        choices: How they are made.
        work: Asked and told on the way.
        kept: Files of these results made before, not to be made again; new ones are added.

    Raises:
        DesignError: A name in `only` is unknown, or a picture would be too large.
        Stopped: They aren't wanted any more.
    """
    unknown = sorted(set(only or ()) - set(NAMES))
    if unknown:
        raise DesignError(f"there is no export {unknown[0]!r:.60}; there are {', '.join(NAMES)}")
    results = settled(results, work)
    wanted = [
        (ending, export, its)
        for export in EXPORTS
        if only is None or export.name in only
        for ending, its in _versions(export, choices, results.design)
    ]
    files = {}
    for number, (ending, export, its) in enumerate(wanted):
        part = _share(work, number, len(wanted))
        part.go_on(0.0)
        key = export.name, export.matter(its)
        known = None if kept is None else kept.get(key)
        files[ending] = known or export.make(results, its, part)
        if kept is not None:
            kept[key] = files[ending]
            for old in list(kept)[:-_MOST_KEPT]:
                del kept[old]
    return files


def settled(results: Results, work: Work = _QUIETLY) -> Results:
    """Return the results with the fabric at rest.

    Raises:
        Stopped: They aren't wanted any more.
    """
    if results.fabric.settled and results.ends.settled:
        return results
    return Pipeline().settled_results(results.design, should_stop=work.should_stop)


def endings(only: Sequence[str], choices: Choices, design: Design) -> list[str]:
    """Return the endings of the files that are wanted."""
    return [
        ending
        for export in EXPORTS
        if export.name in only
        for ending, _ in _versions(export, choices, design)
    ]


def _versions(export: Export, choices: Choices, design: Design) -> list[tuple[str, Choices]]:
    """Return one file, or two where the chart is wanted for the other hand too."""
    found = [(export.ending_of(choices, design), choices)]
    if export.is_chart and choices.both_hands:
        other: Hand = "left" if (choices.hand or design.hand) == "right" else "right"
        ending = export.ending.replace("-chart", f"-chart-{other}-handed")
        found.append((ending, replace(choices, hand=other)))
    return found


def _share(work: Work, number: int, total: int) -> Work:
    return Work(work.should_stop, lambda share: work.progress((number + share) / total))


def write_exports(
    results: Results,
    folder: Path,
    stem: str,
    *,
    only: Sequence[str] | None = None,
    choices: Choices = DEFAULT,
) -> list[Path]:
    """Write exports into a folder, which is made if it isn't there.

    Args:
        results: Results; settled first if they aren't.
        folder: Where to.
        stem: Beginning of every file's name.
        only: Names of the wanted ones; None for all.
        choices: How they are made.

    Raises:
        DesignError: A name in `only` is unknown, or a picture would be too large.
        OSError: A file couldn't be written.
    """
    return write_files(make_files(results, only, choices), folder, stem)


def write_files(files: Files, folder: Path, stem: str) -> list[Path]:
    """Write files whole into a folder, which is made if it isn't there.

    Raises:
        OSError: The folder or a file couldn't be written.
    """
    make_shared_folder(folder)
    sweep(folder)
    written = []
    for ending, data in files.items():
        path = folder / f"{stem}{ending}"
        write_whole(path, data)
        written.append(path)
    return written
