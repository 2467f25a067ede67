"""A booklet laid out: its pages, onto paper or screen."""

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QImage, QPageLayout, QPageSize, QPainter, QPdfWriter, QPen

from app.booklet.cover import CoverPiece
from app.booklet.flow import Column, Start, flowed
from app.booklet.laying import Layer
from app.booklet.manner import COLUMN_GAP_MM, MANNERS, MM, POINT, Manner, Paper, paper_of
from app.booklet.pieces import Page, Piece, TextPiece
from app.booklet.setting import Run, draw_label, elided, text_width
from app.booklet.source import Source
from core.booklet.nodes import Booklet
from core.booklet.pdf_marks import with_bookmarks
from core.booklet.stripes import ticks_of
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.records import Struct, replace

_PDF_DPI: Final = 1200
_MOST_THREADS: Final = 400  # stripes that can still be told apart along a page


class Laid(Struct, frozen=True, eq=False, kw_only=True):
    """A booklet on pages.

    Attributes:
        source: What it was made from.
        pages: Its pages.
        paper: Their measures.
        manner: Their look.
    """

    source: Source
    pages: tuple[Page, ...]
    paper: Paper
    manner: Manner

    @property
    def booklet(self) -> Booklet:
        """The tree that is laid out."""
        return self.source.booklet

    @property
    def bookmarks(self) -> tuple[tuple[str, int], ...]:
        """Every part's heading and the page it begins on, counted from 0."""
        headings = {part.name: part.heading or part.name for part in self.booklet.parts}
        return tuple(
            (headings[name], number)
            for number, page in enumerate(self.pages)
            for name in page.starts
        )

    def paint(self, painter: QPainter, number: int) -> None:
        """Paint a page in units, its top left corner at (0, 0)."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.pages[number].draw(painter)
        self._foot(painter, number)
        if self.booklet.draft:
            self._stamp(painter)
        elif number and self.manner.fills and not self.manner.is_large:
            self._thread(painter)

    def _thread(self, painter: QPainter) -> None:
        """Run the blanket's stripes along the top of the page."""
        yarns, paper = self.source.results.design.yarns, self.paper
        stripes = ticks_of(self.source.results, self.source.words)
        if not 1 < len(stripes) <= _MOST_THREADS:
            return
        wide = paper.room / stripes[-1].last
        top = paper.margin - 5 * MM
        for stripe in stripes:
            left = paper.margin + (stripe.first - 1) * wide
            band = QRectF(left, top, stripe.rows * wide, 1.1 * MM)
            painter.fillRect(band, QColor(yarns[stripe.yarn].colour))

    def _foot(self, painter: QPainter, number: int) -> None:
        paper, manner, family = self.paper, self.manner, self.source.family
        points = manner.small
        y = paper.height - paper.margin - 0.6 * points * POINT
        right = paper.width - paper.margin
        said = self.source.words.say("page of", page=number + 1, all=len(self.pages))
        title, rest = self.booklet.foot
        room = paper.room - text_width(said, family, points) - 2 * points * POINT
        if manner.is_large:  # a line for the title, one for the rest
            above = elided(title, paper.room, family, points)
            lines = [(paper.margin, y - 1.3 * points * POINT, above, 0.0)]
            text = elided(rest, room, family, points)
        else:
            after = text_width(f" · {rest}", family, points)
            lines = []
            text = f"{elided(title, max(room - after, 0.0), family, points)} · {rest}"
        lines += [(paper.margin, y, text, 0.0), (right, y, said, 1.0)]
        for x, y, words, anchor in lines:
            draw_label(painter, x, y, words, family=family, points=points,
                       colour=manner.quiet, anchor=anchor)  # fmt: skip

    def _stamp(self, painter: QPainter) -> None:
        """Stamp the page: this can't be worked as it stands."""
        paper, manner = self.paper, self.manner
        points, draft = max(14.0, manner.body), self.source.words.say("draft")
        high = stamp_height(manner)
        wide = text_width(draft, self.source.family, points, bold=True) + 1.6 * points * POINT
        box = QRectF(paper.width - paper.margin - wide, paper.margin, wide, 0.8 * high)
        painter.setPen(QPen(QColor("#000000"), 16))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box.adjusted(8, 8, -8, -8))
        draw_label(painter, box.center().x(), box.center().y(), draft, family=self.source.family,
                   points=points, colour="#000000", bold=True)  # fmt: skip

    def pdf(self, *, should_stop: ShouldStop = never) -> bytes:
        """Return the pages as a PDF file with real text and a bookmark for every part.

        Raises:
            Stopped: `should_stop`, asked for every page, answered yes.
        """
        data = QByteArray()
        buffer = QBuffer(data)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        writer = QPdfWriter(buffer)
        writer.setResolution(_PDF_DPI)
        writer.setTitle(self.booklet.title)
        writer.setAuthor(self.booklet.designer)
        writer.setCreator("Dipslope")
        size = QSizeF(self.paper.width / MM, self.paper.height / MM)
        name = "A4" if abs(size.width() - 210) < 0.1 else "Letter"
        page_size = QPageSize(size, QPageSize.Unit.Millimeter, name)
        writer.setPageLayout(
            QPageLayout(page_size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))
        )
        scale = _PDF_DPI / 72.0 / POINT
        with QPainter(writer) as painter:
            for number in range(len(self.pages)):
                if should_stop():
                    raise Stopped
                if number:
                    writer.newPage()
                painter.save()
                painter.scale(scale, scale)
                self.paint(painter, number)
                painter.restore()
        buffer.close()
        return with_bookmarks(bytes(data.data()), self.bookmarks, language=self.booklet.language)

    def image(self, number: int, width_px: int) -> QImage:
        """Return a page as a picture so many pixels wide."""
        height_px = max(round(width_px * self.paper.height / self.paper.width), 1)
        image = QImage(width_px, height_px, QImage.Format.Format_RGB32)
        image.fill(QColor("#ffffff"))
        with QPainter(image) as painter:
            scale = width_px / self.paper.width
            painter.scale(scale, scale)
            self.paint(painter, number)
        return image


def stamp_height(manner: Manner) -> float:
    """Return the room that the stamp takes at the top of a page."""
    return 2.2 * max(14.0, manner.body) * POINT


def laid_out(source: Source, *, should_stop: ShouldStop = never) -> Laid:
    """Return a booklet on pages.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    booklet = source.booklet
    manner = MANNERS[source.options.edition]
    paper = paper_of(source.options.page, manner)
    top = paper.margin + (stamp_height(manner) if booklet.draft else 0.0)
    room = (
        paper.height - top - paper.margin - (3.6 if manner.is_large else 2.6) * manner.small * POINT
    )
    gap = COLUMN_GAP_MM * MM
    wide = (paper.room - gap * (manner.columns - 1)) / manner.columns
    front = _front(source, manner, paper, room)
    if should_stop():
        raise Stopped
    head = flowed(front, iter_columns(paper, top, room, 1))
    layer = Layer(source, manner, wide, room)
    pages = dict(head)
    last = max(head)
    if manner.own_title_page:
        columns = iter_columns(paper, top, room, manner.columns, wide, first=last + 1)
    else:
        used = max(p.y + p.piece.height for p in head[last].placed) - top
        columns = iter_columns(
            paper, top, room, manner.columns, wide, first=last, used=used + manner.part_gap * POINT
        )
    for number, page in flowed(layer.parts(), columns).items():
        if number in pages:
            pages[number].placed += page.placed
            pages[number].starts += page.starts
        else:
            pages[number] = page
    return Laid(
        source=source,
        pages=tuple(pages[number] for number in sorted(pages)),
        paper=paper,
        manner=manner,
    )


def iter_columns(
    paper: Paper,
    top: float,
    height: float,
    columns: int,
    wide: float | None = None,
    *,
    first: int = 0,
    used: float = 0.0,
) -> Iterator[Column]:
    """Yield columns without end, those of the first page lower by `used`."""
    page = first
    step = (wide or paper.room) + COLUMN_GAP_MM * MM
    while True:
        down = used if page == first else 0.0
        for column in range(columns):
            yield Column(page, paper.margin + column * step, top + down, height - down, height)
        page += 1


def _front(source: Source, manner: Manner, paper: Paper, room: float) -> list[Piece | Start]:
    """Return what stands on the title page."""
    booklet = source.booklet
    layer = Layer(source, manner, paper.room, room)
    small = manner.gap * POINT
    pieces: list[Piece | Start] = []
    for reason in booklet.draft:
        runs = [Run(f"{booklet.words.say('draft')}: ", bold=True), Run(reason)]
        pieces.append(TextPiece(text=layer.text(runs), before=small))
    title = layer.text(
        booklet.title, points=manner.title, bold=True, leading=1.12, colour=manner.ink
    )
    pieces.append(TextPiece(text=title, whole=True, before=2 * small))
    if booklet.designer:
        by = booklet.words.say("designer", designer=booklet.designer)
        set_by = layer.text(by, colour=manner.quiet)
        pieces.append(TextPiece(text=set_by, before=small))
    lines = " · ".join(booklet.lines)
    if lines:
        pieces.append(TextPiece(text=layer.text(lines, bold=True), before=small))
    access = layer.text(booklet.access, points=manner.small, colour=manner.quiet)
    used = sum(p.height + p.before for p in pieces if not isinstance(p, Start))
    left = room - used - 6 * manner.part_gap
    left -= 0.0 if manner.is_large else access.height  # large type has it on the next page
    pieces += _cover(layer, source, manner, paper, left)
    pieces.append(TextPiece(text=access, before=manner.part_gap * 5))
    return pieces


def _cover(
    layer: Layer, source: Source, manner: Manner, paper: Paper, left: float
) -> list[Piece | Start]:
    """Return the picture on the title page, with the blanket in short."""
    booklet = source.booklet
    if manner.is_large:
        picture = layer.picture(booklet.cover, paper.room, max(left - 20 * POINT, 60 * MM))
        facts = replace(layer.facts(booklet.facts, paper.room), before=manner.part_gap * POINT)
        return [*([picture] if picture else []), facts]
    side = manner.side_mm * MM or 46 * MM
    limit = left if manner.own_title_page else 78 * MM
    picture = layer.picture(booklet.cover, paper.room - side, limit - 2 * manner.part_gap * POINT)
    facts = layer.facts(booklet.facts, side - 6 * MM)
    return [
        CoverPiece(picture=picture, facts=facts, side=side, before=1.4 * manner.part_gap * POINT)
    ]
