"""Charts and blankets as files: PNG strip by strip, PDF page by page. Runs on any thread."""

import math
from collections.abc import Callable, Iterator
from functools import partial
from itertools import chain
from typing import Final

import numpy as np
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QImage,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
    QPen,
)

from app.painting.chart import Placing, fitted, paint_sheet, sheet_pieces
from app.painting.choices import Choices
from app.painting.png import Pixels, PngWriter
from core.booklet.pdf_marks import with_bookmarks
from core.booklet.pdf_pieces import with_pieces_joined
from core.chart.sheet import Sheet
from core.craft.units import MM_PER_IN
from core.errors import DesignError, Stopped
from core.records import Struct
from core.stripes.colour import INK
from core.stripes.grey import grey_pixels

MAX_PIXELS: Final = 60_000_000
MAX_PAGES: Final = 100
_STRIP_PX: Final = 1_000_000
_PDF_DPI: Final = 600
_PAGE_MARGIN: Final = 10.0  # mm
_OVERLAP: Final = 8.0
_NOTE: Final = 2.8  # mm, type of a page's number


class Work(Struct, frozen=True):
    """How a long piece of work hears that it isn't wanted any more and tells how far it is."""

    should_stop: Callable[[], bool] = lambda: False
    progress: Callable[[float], None] = lambda share: None

    def go_on(self, share: float) -> None:
        """Tell how far it is.

        Raises:
            Stopped: It isn't wanted any more.
        """
        if self.should_stop():
            raise Stopped
        self.progress(share)


class Format(Struct, frozen=True, kw_only=True):
    """A picture's size.

    Attributes:
        width: Pixels across.
        width_mm: Width in print.
        grey: Whether it is saved in grey.
    """

    width: int
    width_mm: float
    grey: bool = False


def picture_format(choices: Choices) -> Format:
    """Return the size of pictures that was chosen."""
    return Format(width=choices.picture_width_px(), width_mm=choices.width_mm, grey=choices.grey)


def chart_picture(sheet: Sheet, form: Format, *, family: str, work: Work) -> bytes:
    """Return a sheet as a PNG file.

    Raises:
        DesignError: It would be too large.
        Stopped: It isn't wanted any more.
    """
    left, bottom, right, top = sheet.bounds_mm
    height = max(round(form.width * (top - bottom) / (right - left)), 1)

    def strip(down: int, high: int) -> QImage:
        return _chart_strip(sheet, (form.width, height), down, high, family)

    return picture(strip, height, form, work)


def chart_image(sheet: Sheet, width: int, *, family: str, work: Work) -> QImage:
    """Return a sheet as a picture for the screen.

    Raises:
        DesignError: It would be too large.
        Stopped: It isn't wanted any more.
    """
    left, bottom, right, top = sheet.bounds_mm
    height = max(round(width * (top - bottom) / (right - left)), 1)
    check_pixels(width, height)
    image = QImage(width, height, QImage.Format.Format_RGB32)
    step = max(_STRIP_PX // width, 16)
    for down in range(0, height, step):
        work.go_on(down / height)
        strip = _chart_strip(sheet, (width, height), down, min(step, height - down), family)
        with QPainter(image) as painter:
            painter.drawImage(0, down, strip)
    return image


def _chart_strip(sheet: Sheet, size: tuple[int, int], down: int, high: int, family: str) -> QImage:
    """Return a strip of a sheet painted at a size, from so many pixels down."""
    whole = fitted(sheet.bounds_mm, QRectF(0, 0, *size))
    image = QImage(size[0], high, QImage.Format.Format_RGB32)
    image.fill(QColor("#ffffff"))
    seen = (whole.y - down - high) / whole.scale, (whole.y - down) / whole.scale
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        placing = Placing(whole.scale, whole.x, whole.y - down)
        paint_sheet(painter, sheet, placing, family=family, between_mm=seen)
    return image


def picture(strip: Callable[[int, int], QImage], height: int, form: Format, work: Work) -> bytes:
    """Return a PNG file made of strips.

    Args:
        strip: Returns the strip that begins so many pixels down and is so many high.
        height: Pixels from top to bottom.
        form: The picture's size.
        work: Asked and told between strips.

    Raises:
        DesignError: It would be too large.
        Stopped: It isn't wanted any more.
    """
    check_pixels(form.width, height)
    per_metre = round(form.width / form.width_mm * 1000)
    writer = PngWriter(form.width, height, per_metre=per_metre, grey=form.grey)
    step = max(_STRIP_PX // form.width, 16)
    for down in range(0, height, step):
        work.go_on(down / height)
        rgb = pixels_of(strip(down, min(step, height - down)))
        writer.add(grey_pixels(rgb) if form.grey else rgb)
    return writer.finish()


def check_pixels(width: int, height: int) -> None:
    """Refuse a picture that is too large.

    Raises:
        DesignError: It has more than `MAX_PIXELS` pixels.
    """
    if width * height > MAX_PIXELS:
        raise DesignError(
            f"a picture of {width:,} x {height:,} pixels is too large; "
            "choose a smaller width or fewer dots per inch"
        )


def pixels_of(image: QImage) -> Pixels:
    """Return a picture's red, green and blue, shape (height, width, 3)."""
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    flat = np.frombuffer(image.constBits(), dtype=np.uint8)
    rows = flat.reshape(image.height(), image.bytesPerLine())[:, : 4 * image.width()]
    bgr = rows.reshape(image.height(), image.width(), 4)[..., :3]
    return np.ascontiguousarray(bgr[..., ::-1])


# --- PDF -----------------------------------------------------------------------------------


def chart_document(
    sheet: Sheet,
    *,
    width_mm: float,
    page: QPageSize | None,
    family: str,
    work: Work,
    author: str = "",
) -> bytes:
    """Return a sheet as a PDF file, vectors and real text.

    It is painted in pieces that become pages when all are there (`core.booklet.pdf_pieces`).

    Args:
        sheet: What to draw.
        width_mm: Printed width.
        page: Paper to print on, over several pages where one isn't enough; None for one page
            of the sheet's own size.
        family: Font.
        author: Who made the design.
        work: Asked and told between the pieces of a page.

    Raises:
        DesignError: It would take too many pages.
        Stopped: It isn't wanted any more.
    """
    left, bottom, right, top = sheet.bounds_mm
    size = width_mm, width_mm * (top - bottom) / (right - left)
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(_PDF_DPI)
    writer.setTitle(sheet.title or sheet.words.say("chart untitled"))
    writer.setAuthor(author)
    writer.setCreator("Dipslope")
    dots = _PDF_DPI / MM_PER_IN
    if page is None:
        whole = QPageSize(QSizeF(*size), QPageSize.Unit.Millimeter, "Chart")
        writer.setPageLayout(_layout(whole, turned=False))
        room = QRectF(0, 0, writer.width(), writer.height())
        every = [list(sheet_pieces(sheet, fitted(sheet.bounds_mm, room), family=family))]
    else:
        pages = pages_of(size, page)
        writer.setPageLayout(_layout(page, turned=pages.turned))
        every = [
            list(_page_pieces(sheet, pages, number, dots, family))
            for number in range(pages.across * pages.down)
        ]
    total, painted = sum(map(len, every)), 0
    with QPainter(writer) as painter:
        for piece in chain.from_iterable(every):
            work.go_on(painted / total)
            if painted:
                writer.newPage()
            painter.save()
            piece(painter)
            painter.restore()
            painted += 1
    buffer.close()
    joined = with_pieces_joined(bytes(data.data()), [len(pieces) for pieces in every])
    return with_bookmarks(joined, (), language=sheet.words.language)


def _layout(page: QPageSize, *, turned: bool) -> QPageLayout:
    way = QPageLayout.Orientation.Landscape if turned else QPageLayout.Orientation.Portrait
    return QPageLayout(page, way, QMarginsF(0, 0, 0, 0))


class Pages(Struct, frozen=True, kw_only=True):
    """How a sheet is split over pages.

    Attributes:
        across: Pages side by side.
        down: Pages one below another.
        turned: Whether pages lie on their long side.
        room_mm: What one page holds, width and height.
        width_mm: Width of the sheet.
    """

    across: int
    down: int
    turned: bool
    room_mm: tuple[float, float]
    width_mm: float


def pages_of(size_mm: tuple[float, float], page: QPageSize) -> Pages:
    """Return the fewest pages that hold a sheet of a size.

    Raises:
        DesignError: There would be more than `MAX_PAGES`.
    """
    paper = page.size(QPageSize.Unit.Millimeter)
    found = []
    for turned in (False, True):
        wide, high = (paper.height(), paper.width()) if turned else (paper.width(), paper.height())
        room = wide - 2 * _PAGE_MARGIN, high - 2 * _PAGE_MARGIN
        across, down = (
            max(math.ceil((size_mm[axis] - _OVERLAP - 0.01) / (room[axis] - _OVERLAP)), 1)
            for axis in (0, 1)
        )
        found.append(
            Pages(across=across, down=down, turned=turned, room_mm=room, width_mm=size_mm[0])
        )
    best = min(found, key=lambda pages: pages.across * pages.down)
    if best.across * best.down > MAX_PAGES:
        raise DesignError(
            f"this chart would take {best.across * best.down:,} pages; choose fewer rows or "
            f"repeats, or a smaller width ({MAX_PAGES} pages at most)"
        )
    return best


def _page_pieces(
    sheet: Sheet, pages: Pages, number: int, dots: float, family: str
) -> Iterator[Callable[[QPainter], None]]:
    """Yield what paints one page's part of the sheet, then its number and where the next begins."""
    row, column = divmod(number, pages.across)
    room = pages.room_mm
    left, _bottom, right, top = sheet.bounds_mm
    scale = pages.width_mm / (right - left) * dots
    off_x = column * (room[0] - _OVERLAP)
    off_y = row * (room[1] - _OVERLAP)
    frame = QRectF(*(dots * value for value in (_PAGE_MARGIN, _PAGE_MARGIN, *room)))
    x = (_PAGE_MARGIN - off_x) * dots - scale * left
    y = (_PAGE_MARGIN - off_y) * dots + scale * top
    seen = (y - frame.bottom()) / scale, (y - frame.top()) / scale
    placing = Placing(scale, x, y)

    def clipped(piece: Callable[[QPainter], None], painter: QPainter) -> None:
        painter.setClipRect(frame)
        piece(painter)

    for piece in sheet_pieces(sheet, placing, family=family, between_mm=seen):
        yield partial(clipped, piece)
    if pages.across * pages.down > 1:
        yield partial(_note_page, sheet, pages, number, dots, family, frame)


def _note_page(
    sheet: Sheet,
    pages: Pages,
    number: int,
    dots: float,
    family: str,
    frame: QRectF,
    painter: QPainter,
) -> None:
    """Paint a page's number, and ticks where the next one goes on."""
    row, column = divmod(number, pages.across)
    painter.setPen(QPen(QColor(INK), 0.2 * dots))
    over, tick = _OVERLAP * dots, 4 * dots
    if column:
        _tick(painter, frame.left() + over, frame, tick)
    if column < pages.across - 1:
        _tick(painter, frame.right() - over, frame, tick)
    font = QFont(family)
    font.setPixelSize(max(round(_NOTE * dots), 1))
    words = sheet.words
    counts = {"page": number + 1, "all": pages.across * pages.down}
    said = words.say("sheet page", **counts)
    if pages.down > 1:
        places = {"column": column + 1, "columns": pages.across, "row": row + 1, "rows": pages.down}
        said = words.say("sheet page and place", **counts, **places)
    by = words.say("millimetres", n=words.number(_OVERLAP))
    note = words.say("sheet overlap", page=said, mm=by, title=sheet.title)
    if sheet.stamp:
        note = f"{sheet.stamp}. {note}"
    note = QFontMetricsF(font).elidedText(note, Qt.TextElideMode.ElideRight, frame.width())
    painter.setFont(font)
    painter.drawText(QPointF(frame.left(), frame.bottom() + 6 * dots), note)


def _tick(painter: QPainter, x: float, frame: QRectF, long: float) -> None:
    """Mark above and below the sheet where the neighbouring page begins."""
    for start in (frame.top() - 1.25 * long, frame.bottom() + 0.25 * long):
        painter.drawLine(QPointF(x, start), QPointF(x, start + 0.6 * long))
