"""Everything that leaves the program as a file: chart, fabric picture, rows.

An export is a name and a function from results to bytes; files are written whole, named after
the design's own file. The settled fabric is always used, never the first sketch. Everything
here may run on any thread.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np
from PySide6.QtGui import QImage, QPageSize, QPainter

from app.assets import chart_font
from app.painting.chart import Placing
from app.painting.choices import DEFAULT, Choices
from app.painting.edging import edging_shapes, paint_edging
from app.painting.fabric import fabric_image
from app.painting.pictures import (
    Work,
    chart_document,
    chart_picture,
    check_pixels,
    picture,
    picture_format,
)
from core.chart.caption import caption_of, scales_of
from core.chart.piece import chart_of_part
from core.chart.sheet import Look, Sheet, make_sheet
from core.chart.svg import svg_text
from core.craft.stitches import Terms
from core.design.document import Hand
from core.design.files import write_whole
from core.editions import OWN, Edition, pattern_of, size_told
from core.errors import DesignError
from core.fabric.relief import View
from core.pipeline import Pipeline, Results
from core.words.loops import loops_sentence
from core.words.pattern import Pattern
from core.yarn.amounts import Amount, amounts_of
from core.yarn.more import more_of

_FINE_ENOUGH: Final = 2_000_000  # pixels from which smoothing is no longer seen
_PAPERS: Final = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
_MOST_KEPT: Final = 12
_QUIETLY: Final = Work()


@dataclass(frozen=True, slots=True)
class Export:
    """One kind of file.

    Attributes:
        name: What `--only` calls it.
        ending: Added to the design's file name.
        about: What it is, for the dialog.
        make: The file's bytes.
        is_chart: Whether it shows the chart, and so can be had for either hand.
    """

    name: str
    ending: str
    about: str
    make: Callable[[Results, Choices, Work], bytes]
    is_chart: bool = False


def chart_sheet(results: Results, choices: Choices) -> Sheet:
    """Return the chart as exports show it."""
    design = results.design
    hand = choices.hand or design.hand
    terms = choices.terms or design.terms
    chart = chart_of_part(
        design,
        results.rows,
        results.fabric,
        choices.part,
        straight=choices.straight,
        hand=hand,
    )
    lines = [
        caption_of(design, choices.part, hand=hand, terms=terms),
        loops_sentence(design.loops, terms),
    ]
    straight = choices.straight or results.rows.misfit is not None
    look = Look(
        title=design.title,
        caption="\n".join(line for line in lines if line) if choices.with_key else "",
        with_key=choices.with_key,
        apart=choices.apart,
        grey=choices.grey,
        sides=True,
        scales=scales_of(design, straight=straight),
        paper="#ffffff",
    )
    yarns = [(yarn.name, yarn.colour) for yarn in design.yarns] if choices.coloured else None
    return make_sheet(
        chart,
        terms=terms,
        look=look,
        yarns=yarns,
        yarn_of_row=results.yarn_of_row if choices.coloured else None,
        print_mm=choices.width_mm,
    )


def chart_svg(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the chart as SVG."""
    del work
    return svg_text(chart_sheet(results, choices), width_mm=choices.width_mm).encode()


def chart_png(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the chart as a picture with its physical size stated."""
    sheet = chart_sheet(results, choices)
    return chart_picture(sheet, picture_format(choices), family=chart_font(), work=work)


def chart_pdf(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the chart as PDF, vectors and real text."""
    paper = _PAPERS.get(choices.pages)
    return chart_document(
        chart_sheet(results, choices),
        width_mm=choices.width_mm,
        page=None if paper is None else QPageSize(paper),
        family=chart_font(),
        work=work,
    )


def fabric_png(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the whole blanket as a picture, true in proportion."""
    fabric = results.fabric
    half = 0.5 * fabric.size.width_mm
    low, high = fabric.tops_mm.min(axis=0) - half, fabric.tops_mm.max(axis=0) + half
    edging = edging_shapes(results)
    if edging.is_there:
        outer = np.array(edging.extent_mm).reshape(2, 2)
        low, high = np.minimum(low, outer[0]), np.maximum(high, outer[1])
    width = choices.picture_width_px()
    scale = width / float(high[0] - low[0])
    height = max(round(scale * float(high[1] - low[1])), 1)
    check_pixels(width, height)
    smooth = 2 if width * height <= _FINE_ENOUGH else 1

    def strip(down: int, tall: int) -> QImage:
        view = View(float(low[0]), float(high[1]) - down / scale, scale, width, tall)
        image = fabric_image(results, view, smooth=smooth, outside="#ffffff")
        image = image.convertToFormat(QImage.Format.Format_RGB32)
        if edging.is_there:
            with QPainter(image) as painter:
                painter.setRenderHint(QPainter.RenderHint.Antialiasing)
                up = scale * float(high[1]) - down
                paint_edging(painter, edging, Placing(scale, -scale * float(low[0]), up))
        return image

    return picture(strip, height, picture_format(choices), work)


def rows_txt(results: Results, choices: Choices, work: Work = _QUIETLY) -> bytes:
    """Return the written rows as plain text."""
    del work
    return written_pattern(results, choices.terms, choices.edition).plain.encode()


def written_pattern(
    results: Results, terms: Terms | None = None, edition: Edition = OWN
) -> Pattern:
    """Return the whole written pattern, with sizes, amounts and cautions."""
    return pattern_of(results, replace(edition, terms=terms or edition.terms))


def yarn_amounts(results: Results) -> dict[int, Amount]:
    """Return what to have of every yarn, line by line, by its number."""
    more = more_of(results.design, results.row_yarn, results.yarn_ends, results.edging)
    return amounts_of(results.design, results.yarn, more)


def size_lines(results: Results) -> tuple[str, ...]:
    """Return the finished size and the cautions it calls for, in words."""
    return size_told(results)


EXPORTS: Final = (
    Export("chart-svg", "-chart.svg", "Chart for vector editors (SVG)", chart_svg, True),
    Export("chart-png", "-chart.png", "Chart as a picture (PNG)", chart_png, True),
    Export("chart-pdf", "-chart.pdf", "Chart for print (PDF)", chart_pdf, True),
    Export("fabric-png", "-fabric.png", "Picture of the whole blanket (PNG)", fabric_png),
    Export("rows-txt", "-rows.txt", "Written rows (plain text)", rows_txt),
)
NAMES: Final = tuple(export.name for export in EXPORTS)

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
        for ending, its in _versions(export, choices, results.design.hand)
    ]
    files = {}
    for number, (ending, export, its) in enumerate(wanted):
        part = _share(work, number, len(wanted))
        part.go_on(0.0)
        key = export.name, _of_matter(export.name, its)
        known = None if kept is None else kept.get(key)
        files[ending] = known or export.make(results, its, part)
        if kept is not None:
            kept[key] = files[ending]
            for old in list(kept)[:-_MOST_KEPT]:
                del kept[old]
    return files


def _of_matter(name: str, choices: Choices) -> Choices:
    """Return the choices with those forgotten that a kind of file doesn't follow from."""
    if name == "rows-txt":
        return Choices(terms=choices.terms, edition=choices.edition)
    if name == "fabric-png":
        return Choices(
            width_mm=choices.width_mm,
            dpi=choices.dpi,
            width_px=choices.width_px,
            grey=choices.grey,
        )
    return replace(choices, both_hands=False)


def settled(results: Results, work: Work = _QUIETLY) -> Results:
    """Return the results with the fabric at rest.

    Raises:
        Stopped: They aren't wanted any more.
    """
    if results.fabric.settled and results.ends.settled:
        return results
    return Pipeline().settled_results(results.design, should_stop=work.should_stop)


def endings(only: Sequence[str], choices: Choices, hand: Hand) -> list[str]:
    """Return the endings of the files that are wanted."""
    return [
        ending
        for export in EXPORTS
        if export.name in only
        for ending, _ in _versions(export, choices, hand)
    ]


def _versions(export: Export, choices: Choices, hand: Hand) -> list[tuple[str, Choices]]:
    """Return one file, or two where the chart is wanted for the other hand too."""
    found = [(export.ending, choices)]
    if export.is_chart and choices.both_hands:
        other: Hand = "left" if (choices.hand or hand) == "right" else "right"
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
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for ending, data in files.items():
        path = folder / f"{stem}{ending}"
        write_whole(path, data)
        written.append(path)
    return written
