"""Pages that can be looked at, saved as PDF and printed, all alike."""

from collections.abc import Callable, Sequence
from typing import Final, Literal

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QSizeF
from PySide6.QtGui import (
    QColor,
    QImage,
    QPagedPaintDevice,
    QPageLayout,
    QPageSize,
    QPainter,
    QPdfWriter,
)

from app.booklet.manner import MM, POINT
from app.paper.ink import HAIRLINE, QUIET, Ink, width_mm
from core.booklet.options import PAGES_MM, PageName
from core.booklet.pdf_marks import with_bookmarks
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.records import Struct, replace

SheetName = Literal["shopping", "card", "ruler", "stripes"]
Draw = Callable[[Ink], None]

MARGIN: Final = 12.0
"""Millimetres round everything: more than printers leave white."""
FOOT: Final = 7.0
PDF_DPI: Final = 1200


class Page(Struct, frozen=True):
    """One page: what draws it, and the words at its foot."""

    draw: Draw
    kind: str


class Sheets(Struct, frozen=True, kw_only=True):
    """Pages of one or several kinds.

    Attributes:
        title: The design's title.
        paper: Their paper.
        family: Their type.
        pages: The pages.
        stamp: The word that marks a draft, at the foot of every page; empty if it is none.
    """

    title: str
    paper: PageName
    family: str
    pages: tuple[Page, ...]
    stamp: str = ""

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of a page."""
        return PAGES_MM[self.paper]

    def paint(self, painter: QPainter, number: int) -> None:
        """Paint a page in tenths of a point, its top left corner at (0, 0)."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = Ink(painter, self.family)
        self.pages[number].draw(ink)
        wide, high = self.size_mm
        y = high - MARGIN - 1.6
        kind = self.pages[number].kind
        same = [n for n, page in enumerate(self.pages) if page.kind == kind]
        said = f"{kind}, page {same.index(number) + 1} of {len(same)}"
        ink.line(MARGIN, y - 3.2, wide - MARGIN, y - 3.2, colour=HAIRLINE)
        x = MARGIN
        if self.stamp:
            ink.text(x, y, self.stamp, 8, bold=True)
            x += width_mm(self.stamp, self.family, 8, bold=True) + 3
        ink.text(x, y, self.title, 8, colour=QUIET, room=wide - MARGIN - x - 62)
        ink.text(wide - MARGIN, y, said, 8, colour=QUIET, anchor=1.0)

    def image(self, number: int, width_px: int) -> QImage:
        """Return a page as a picture so many pixels wide."""
        wide, high = self.size_mm
        image = QImage(width_px, max(round(width_px * high / wide), 1), QImage.Format.Format_RGB32)
        image.fill(QColor("#ffffff"))
        with QPainter(image) as painter:
            painter.scale(width_px / wide / MM, width_px / wide / MM)
            self.paint(painter, number)
        return image

    def layout(self) -> QPageLayout:
        """Return the page as Qt has it, without margins of its own."""
        size = QPageSize(
            QSizeF(*self.size_mm),
            QPageSize.Unit.Millimeter,
            "A4" if self.paper == "a4" else "Letter",
        )
        return QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))

    def paint_all(
        self, device: QPagedPaintDevice, dpi: float, *, should_stop: ShouldStop = never
    ) -> None:
        """Paint every page onto a file or a printer at its true size.

        What a printer has by then is printed, so stop only what becomes a file.

        Raises:
            Stopped: `should_stop`, asked for every page, answered yes.
        """
        if should_stop():
            raise Stopped
        scale = dpi / 72.0 / POINT
        with QPainter(device) as painter:
            for number in range(len(self.pages)):
                if should_stop():
                    raise Stopped
                if number:
                    device.newPage()
                painter.save()
                painter.scale(scale, scale)
                self.paint(painter, number)
                painter.restore()

    def pdf(self, *, should_stop: ShouldStop = never) -> bytes:
        """Return the pages as a PDF file with real text and a bookmark for every kind.

        Raises:
            Stopped: `should_stop` answered yes.
        """
        data = QByteArray()
        buffer = QBuffer(data)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        writer = QPdfWriter(buffer)
        writer.setResolution(PDF_DPI)
        writer.setTitle(self.title)
        writer.setCreator("Dipslope")
        writer.setPageLayout(self.layout())
        self.paint_all(writer, PDF_DPI, should_stop=should_stop)
        buffer.close()
        marks: list[tuple[str, int]] = []
        for number, page in enumerate(self.pages):
            if not marks or marks[-1][0] != page.kind:
                marks.append((page.kind, number))
        return with_bookmarks(bytes(data.data()), marks, language="en")


def together(sheets: Sequence[Sheets]) -> Sheets:
    """Return the pages of several kinds, one after the other."""
    first = sheets[0]
    pages = tuple(page for some in sheets for page in some.pages)
    return replace(first, pages=pages)
