"""Everything that leaves the program as a file: chart, fabric picture, rows.

An export is a name and a function from results to bytes; files are written whole, named after
the design's own file. The settled fabric is always used, never the first sketch.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QRectF, QSizeF
from PySide6.QtGui import (
    QColor,
    QColorSpace,
    QImage,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
)

from app.assets import chart_font
from app.painting.chart import Placing, fitted, paint_sheet
from app.painting.edging import edging_shapes, paint_edging
from app.painting.fabric import fabric_image
from core.chart.layout import lay_out
from core.chart.sheet import Sheet, make_sheet
from core.chart.svg import svg_text
from core.checks.cautions import check_cautions, short_caution
from core.craft.stitches import Terms
from core.design.files import write_whole
from core.edging.plan import grown_mm
from core.errors import DesignError
from core.fabric.extract import straight_grid
from core.fabric.relief import View
from core.fabric.wash import wash_of
from core.pipeline import Pipeline, Results, settled_extract
from core.words.loops import loops_sentence
from core.words.pattern import Pattern
from core.words.write import write_pattern

MM_PER_IN: Final = 25.4
_FINE_ENOUGH: Final = 2_000_000  # pixels from which smoothing is no longer seen
MAX_PIXELS: Final = 60_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """How exports are made.

    Attributes:
        repeats: Repeats on the chart between the edges; None for all.
        rows: Rows on the chart; None for all.
        straight: Straight grid instead of the fabric's own lie.
        coloured: Rows in the tints of their yarns.
        with_key: Key and repeat under the chart.
        terms: Terms of key and rows; None for the design's own.
        width_mm: Printed width of the chart.
        dpi: Fineness of pictures.
        width_px: Width of pictures in pixels instead, if given.
    """

    repeats: int | None = 2
    rows: int | None = 6
    straight: bool = False
    coloured: bool = True
    with_key: bool = True
    terms: Terms | None = None
    width_mm: float = 180.0
    dpi: int = 300
    width_px: int | None = None

    def picture_width_px(self) -> int:
        """Return the width of pictures."""
        if self.width_px is not None:
            return self.width_px
        return max(round(self.width_mm / MM_PER_IN * self.dpi), 16)


DEFAULT: Final = Choices()


@dataclass(frozen=True, slots=True)
class Export:
    """One kind of file.

    Attributes:
        name: What `--only` calls it.
        ending: Added to the design's file name.
        about: What it is, for the dialog.
        make: The file's bytes.
    """

    name: str
    ending: str
    about: str
    make: Callable[[Results, Choices], bytes]


def chart_sheet(results: Results, choices: Choices) -> Sheet:
    """Return the chart as exports show it."""
    design = results.design
    rows, fabric = settled_extract(
        results,
        repeats=choices.repeats or design.size.repeats,
        n_rows=choices.rows or design.size.rows,
    )
    if choices.straight and rows.misfit is None:  # a misfit lies straight anyway
        fabric = straight_grid(rows, fabric.size)
    chart = lay_out(design, rows, fabric)
    return make_sheet(
        chart,
        terms=choices.terms or design.terms,
        title=design.title,
        caption=_caption(results, choices),
        colours=[yarn.colour for yarn in design.yarns] if choices.coloured else None,
        yarn_of_row=results.yarn_of_row,
        with_key=choices.with_key,
        paper="#ffffff",
    )


def _caption(results: Results, choices: Choices) -> str:
    """Return the side, the terms and, where only one loop is worked, which."""
    lines = [f"Seen from the right side. {choices.terms or results.design.terms} terms."]
    told = loops_sentence(results.design.loops, choices.terms or results.design.terms)
    if told:
        lines.append(told)
    caution = short_caution(results.design, results.size)
    if caution and results.rows.misfit is None:
        lines.append(caution)
    return "\n".join(lines)


def chart_svg(results: Results, choices: Choices) -> bytes:
    """Return the chart as SVG."""
    return svg_text(chart_sheet(results, choices), width_mm=choices.width_mm).encode()


def chart_png(results: Results, choices: Choices) -> bytes:
    """Return the chart as a picture with its physical size stated."""
    sheet = chart_sheet(results, choices)
    left, bottom, right, top = sheet.bounds_mm
    width = choices.picture_width_px()
    height = max(round(width * (top - bottom) / (right - left)), 1)
    image = _blank(width, height, choices)
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        placing = fitted(sheet.bounds_mm, QRectF(0, 0, width, height))
        paint_sheet(painter, sheet, placing, family=chart_font())
    return _png(image)


def chart_pdf(results: Results, choices: Choices) -> bytes:
    """Return the chart as one PDF page of its own size, vectors and real text."""
    sheet = chart_sheet(results, choices)
    left, bottom, right, top = sheet.bounds_mm
    height_mm = choices.width_mm * (top - bottom) / (right - left)
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(600)
    writer.setTitle(results.design.title)
    writer.setCreator("Dipslope")
    page = QPageSize(QSizeF(choices.width_mm, height_mm), QPageSize.Unit.Millimeter, "Chart")
    writer.setPageLayout(QPageLayout(page, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0)))
    with QPainter(writer) as painter:
        placing = fitted(sheet.bounds_mm, QRectF(0, 0, writer.width(), writer.height()))
        paint_sheet(painter, sheet, placing, family=chart_font())
    buffer.close()
    return bytes(data.data())


def fabric_png(results: Results, choices: Choices) -> bytes:
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
    _check_pixels(width, height)
    view = View(float(low[0]), float(high[1]), scale, width, height)
    smooth = 2 if width * height <= _FINE_ENOUGH else 1
    image = fabric_image(results, view, smooth=smooth, outside="#ffffff")
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    if edging.is_there:
        with QPainter(image) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            placing = Placing(scale, -scale * float(low[0]), scale * float(high[1]))
            paint_edging(painter, edging, placing)
    _state_size(image, choices)
    return _png(image)


def rows_txt(results: Results, choices: Choices) -> bytes:
    """Return the written rows as plain text."""
    return written_pattern(results, choices.terms).plain.encode()


def written_pattern(results: Results, terms: Terms | None = None) -> Pattern:
    """Return the whole written pattern, with sizes, amounts and cautions."""
    return write_pattern(
        results.design,
        results.rows,
        terms=terms,
        yarn_of_row=results.yarn_of_row.tolist(),
        size_text=size_lines(results),
        amounts={use.yarn: (use.balls, use.length_m) for use in results.yarn},
        ends=results.ends,
        border=results.border,
    )


def size_lines(results: Results) -> tuple[str, ...]:
    """Return the finished size in words, for the pattern's text."""
    if results.rows.misfit is not None:
        return ()
    size = results.size
    wider, longer = grown_mm(results.ends, results.border, wash_of(results.design.swatch))
    washed = "after washing" if size.is_washed else "unwashed"
    lines = [_size_line(f"About {{}}, {washed}.", size.width_mm, size.length_mm)]
    if wider or longer:
        parts = "fill rows and border" if results.ends.has_fill and wider else "border"
        if not wider:
            parts = "fill rows"
        text = f"About {{}} with {parts}."
        lines.append(_size_line(text, size.width_mm + wider, size.length_mm + longer))
    return (*lines, *_cautions(results))


def _cautions(results: Results) -> list[str]:
    steady = results.fabric.steady
    return [found.message for found in check_cautions(results.design, results.size, steady)]


def _size_line(text: str, width_mm: float, length_mm: float) -> str:
    inches = f"{width_mm / MM_PER_IN:.1f} x {length_mm / MM_PER_IN:.1f} in"
    return text.format(f"{width_mm / 10:.0f} x {length_mm / 10:.0f} cm ({inches})")


EXPORTS: Final = (
    Export("chart-svg", "-chart.svg", "Chart for vector editors (SVG)", chart_svg),
    Export("chart-png", "-chart.png", "Chart as a picture (PNG)", chart_png),
    Export("chart-pdf", "-chart.pdf", "Chart for print (PDF)", chart_pdf),
    Export("fabric-png", "-fabric.png", "Picture of the whole blanket (PNG)", fabric_png),
    Export("rows-txt", "-rows.txt", "Written rows (plain text)", rows_txt),
)
NAMES: Final = tuple(export.name for export in EXPORTS)


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
        results: Settled results.
        folder: Where to.
        stem: Beginning of every file's name.
        only: Names of the wanted ones; None for all.
        choices: How they are made.

    Raises:
        DesignError: A name in `only` is unknown, or a picture would be too large.
        OSError: A file couldn't be written.
    """
    unknown = sorted(set(only or ()) - set(NAMES))
    if unknown:
        raise DesignError(f"there is no export {unknown[0]!r:.60}; there are {', '.join(NAMES)}")
    if not (results.fabric.settled and results.ends.settled):
        results = Pipeline().settled_results(results.design)
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for export in EXPORTS:
        if only is None or export.name in only:
            path = folder / f"{stem}{export.ending}"
            write_whole(path, export.make(results, choices))
            written.append(path)
    return written


def _blank(width: int, height: int, choices: Choices) -> QImage:
    _check_pixels(width, height)
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor("#ffffff"))
    _state_size(image, choices)
    return image


def _check_pixels(width: int, height: int) -> None:
    if width * height > MAX_PIXELS:
        raise DesignError(
            f"a picture of {width:,} x {height:,} pixels is too large; "
            "choose a smaller width or fewer dots per inch"
        )


def _state_size(image: QImage, choices: Choices) -> None:
    """Write the physical size and the colour space into the picture."""
    image.setColorSpace(QColorSpace(QColorSpace.NamedColorSpace.SRgb))
    per_metre = round(image.width() / choices.width_mm * 1000)
    image.setDotsPerMeterX(per_metre)
    image.setDotsPerMeterY(per_metre)


def _png(image: QImage) -> bytes:
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    if not image.save(buffer, "PNG"):  # type: ignore[call-overload]
        raise OSError("the picture could not be encoded")
    buffer.close()
    return bytes(data.data())
