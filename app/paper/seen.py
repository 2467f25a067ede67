"""What is seen of chart and fabric, as pages: the same part, with title, scale and a bar."""

from typing import Final

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from app.booklet.manner import MM
from app.painting.chart import Placing, paint_sheet
from app.painting.fabric import Manner, fabric_image
from app.paper.ink import Ink
from app.paper.sheets import FOOT, MARGIN, Page, Sheets
from core.booklet.options import PAGES_MM, PageName
from core.chart.layout import lay_out
from core.chart.sheet import Look, Sheet, make_sheet
from core.craft.units import MM_PER_IN
from core.design.document import Units
from core.fabric.sheet import Fabric
from core.fabric.view import View
from core.pipeline import Results
from core.records import Struct

Box = tuple[float, float, float, float]  # left, bottom, right, top in millimetres of fabric

HEAD: Final = 16.0  # mm for the title and what is shown
PRINT_DPI: Final = 200  # of the fabric's picture on paper
_MOST_PX: Final = 4000
_BARS: Final[dict[Units, tuple[float, ...]]] = {
    "cm": (500.0, 200.0, 100.0, 50.0, 20.0, 10.0),
    "in": tuple(inches * MM_PER_IN for inches in (20, 10, 4, 2, 1, 0.5)),
}


class SeenChart(Struct, frozen=True, eq=False):
    """A part of the chart: the tops it is laid on, and its bounds."""

    fabric: Fabric
    bounds_mm: Box


class SeenFabric(Struct, frozen=True, eq=False):
    """A part of the fabric, and how it is looked at."""

    bounds_mm: Box
    manner: Manner


class Seen(Struct, frozen=True, eq=False, kw_only=True):
    """What is to be printed, each on a page of its own; None is left out."""

    results: Results
    title: str
    chart: SeenChart | None
    fabric: SeenFabric | None


def seen_sheets(seen: Seen, paper: PageName, family: str, dpi: float = PRINT_DPI) -> Sheets:
    """Return the pages, the fabric in so many dots per inch; slow, so call it in a worker."""
    pages = []
    if seen.chart is not None:
        pages.append(_chart_page(seen, seen.chart, paper, family))
    if seen.fabric is not None:
        pages.append(_fabric_page(seen, seen.fabric, paper, dpi))
    return Sheets(title=seen.title, paper=paper, family=family, pages=tuple(pages))


def scale_on(bounds_mm: Box, paper: PageName) -> float:
    """Return printed millimetres for one of the fabric's: as large as the page has room for."""
    wide, high = _room(paper)
    left, bottom, right, top = bounds_mm
    return min(wide / max(right - left, 1e-6), high / max(top - bottom, 1e-6))


def scale_words(scale: float) -> str:
    """Return a scale as it is said."""
    if scale <= 1:
        part = 1 / scale
        return f"1 : {part:.0f}" if part >= 10 else f"1 : {part:.1f}"
    return f"{scale:.1f} : 1"


def _room(paper: PageName) -> tuple[float, float]:
    wide, high = PAGES_MM[paper]
    return wide - 2 * MARGIN, high - 2 * MARGIN - FOOT - HEAD - 10.0


def _rows_within(fabric: Fabric, bounds_mm: Box) -> tuple[int, int]:
    """Return the first and last row that reach between the heights of a part."""
    _, bottom, _, top = bounds_mm
    rows = [
        row
        for row in range(1, fabric.n_rows + 1)
        if fabric.row_tops_mm(row)[:, 1].max() >= bottom
        and fabric.row_tops_mm(row - 1)[:, 1].min() <= top
    ]
    return (rows[0], rows[-1]) if rows else (1, 1)


def _chart_page(seen: Seen, chart: SeenChart, paper: PageName, family: str) -> Page:
    results = seen.results
    first, last = _rows_within(chart.fabric, chart.bounds_mm)
    laid = lay_out(results.design, results.rows, chart.fabric, first=first, last=last)
    sheet = make_sheet(
        laid,
        terms=results.design.terms,
        look=Look(with_key=False),
        yarns=[(yarn.name, yarn.colour) for yarn in results.design.yarns],
        yarn_of_row=results.yarn_of_row,
    )
    rows = f"row {first}" if first == last else f"rows {first} to {last}"

    def draw(ink: Ink) -> None:
        _frame(ink, seen, f"Chart, {rows}", chart.bounds_mm, paper)
        _draw_chart(ink, sheet, chart.bounds_mm, paper, family)

    return Page(draw, "Chart as seen")


def _draw_chart(ink: Ink, sheet: Sheet, bounds_mm: Box, paper: PageName, family: str) -> None:
    scale, place = scale_on(bounds_mm, paper), _place(bounds_mm, paper)
    left, _, _, top = bounds_mm
    placing = Placing(scale * MM, place.left() - scale * MM * left, place.top() + scale * MM * top)
    ink.painter.save()
    ink.painter.setClipRect(place)
    paint_sheet(ink.painter, sheet, placing, family=family)
    ink.painter.restore()


def _fabric_page(seen: Seen, fabric: SeenFabric, paper: PageName, dpi: float) -> Page:
    bounds = fabric.bounds_mm
    left, bottom, right, top = bounds
    fine = scale_on(bounds, paper) * dpi / MM_PER_IN
    fine = min(fine, _MOST_PX / max(right - left, top - bottom))
    view = View(
        left, top, fine, max(round((right - left) * fine), 1), max(round((top - bottom) * fine), 1)
    )
    picture: QImage = fabric_image(seen.results, view, fabric.manner)

    def draw(ink: Ink) -> None:
        _frame(ink, seen, "Fabric", bounds, paper)
        ink.painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        ink.painter.drawImage(_place(bounds, paper), picture)

    return Page(draw, "Fabric as seen")


def _place(bounds_mm: Box, paper: PageName) -> QRectF:
    """Return where a part lies on the page, in the painter's units."""
    scale = scale_on(bounds_mm, paper)
    left, bottom, right, top = bounds_mm
    wide, high = scale * (right - left), scale * (top - bottom)
    x = 0.5 * (PAGES_MM[paper][0] - wide)
    return QRectF(x * MM, (MARGIN + HEAD) * MM, wide * MM, high * MM)


def _frame(ink: Ink, seen: Seen, what: str, bounds_mm: Box, paper: PageName) -> None:
    """Write title, part and scale, and draw a bar to hold a ruler to."""
    scale, wide = scale_on(bounds_mm, paper), PAGES_MM[paper][0]
    ink.text(MARGIN, MARGIN + 3, seen.title, 14, bold=True, room=wide - 2 * MARGIN)
    said = f"{what}, {scale_words(scale)} before washing"
    ink.text(MARGIN, MARGIN + 10, said, 10, room=wide - 2 * MARGIN)
    units = seen.results.design.units
    room = 0.4 * (wide - 2 * MARGIN)
    bar = next((mm for mm in _BARS[units] if mm * scale <= room), _BARS[units][-1])
    y = MARGIN + HEAD + _place(bounds_mm, paper).height() / MM + 5
    end = MARGIN + bar * scale
    ink.line(MARGIN, y, end, y, wide=0.4)
    for x in (MARGIN, end):
        ink.line(x, y - 1.5, x, y + 1.5, wide=0.4)
    words = f"{bar / 10:g} cm" if units == "cm" else f"{bar / MM_PER_IN:g} in"
    ink.text(end + 2, y, f"{words} of fabric", 9)
