"""A booklet made ready to be looked at and saved; all of it can be done on any thread."""

import base64
import re
from typing import Any, Final

import numpy as np
from PySide6.QtCore import QRectF, QSizeF, Qt, QUrl
from PySide6.QtGui import (
    QAbstractTextDocumentLayout,
    QColor,
    QImage,
    QPainter,
    QPalette,
    QTextDocument,
)

from app.booklet.markup import html_of
from app.booklet.pages import Laid, laid_out
from app.booklet.source import Source
from app.booklets import booklet_source
from core.booklet.html import INK, PAPER
from core.booklet.options import Options, edition_of
from core.errors import Stopped
from core.fabric.relax import ShouldStop
from core.pipeline import Pipeline, Results
from core.records import Struct, replace

_THUMB_PX: Final = 112
_SCREEN_PX: Final = (816, 1056)
"""A page of HTML as it is shown: as wide as a narrow browser window."""


class Request(Struct, frozen=True, eq=False):
    """A booklet that is wanted.

    Attributes:
        results: The design's own blanket.
        options: What was chosen.
        settled: Whether to wait for it to come to rest; otherwise it is shown as it is.
        with_file: Whether the file is wanted now.
    """

    results: Results
    options: Options
    settled: bool = True
    with_file: bool = False

    def is_for_the_same(self, other: "Request") -> bool:
        """Return whether another request is for the same booklet."""
        same = self.options == other.options and self.settled == other.settled
        return same and self.results is other.results


class Made(Struct, frozen=True, eq=False, kw_only=True):
    """A booklet, its file and small pictures of its pages.

    Attributes:
        options: What was chosen.
        settled: Whether it shows the fabric at rest, and can be saved.
        data: The file, once it is there.
        laid: Its pages; None for HTML.
        screens: HTML as a browser might show it, in pages; empty for PDF.
        thumbs: Its pages, small.
        ink: Share of the paper that is covered, page by page.
        contents: The headings of its parts.
        draft: Why it is a draft.
    """

    options: Options
    settled: bool
    data: bytes | None
    laid: Laid | None
    screens: tuple[QImage, ...]
    thumbs: tuple[QImage, ...]
    ink: tuple[float, ...]
    contents: tuple[str, ...]
    draft: tuple[str, ...]

    @property
    def n_pages(self) -> int:
        """Pages, of HTML those it is shown in."""
        return len(self.thumbs)

    def page(self, number: int, width_px: int) -> QImage:
        """Return a page as a picture so many pixels wide."""
        if self.laid is not None:
            return self.laid.image(number, width_px)
        return _scaled(self.screens[number], width_px)


class Maker:
    """Makes booklets one after another; what another hand or size took to settle is kept.

    The pages come first and the file, which takes longer, when it is asked for.
    """

    def __init__(self) -> None:
        self._pipeline = Pipeline()
        self._last: tuple[Request, Made] | None = None

    def __call__(self, request: Any, should_stop: ShouldStop) -> Made:
        """Return a booklet, of pages also their file if that is wanted.

        Raises:
            Stopped: `should_stop` answered yes.
        """
        if self._last is None or not self._last[0].is_for_the_same(request):
            source = booklet_source(
                request.results,
                request.options,
                pipeline=self._pipeline,
                settled=request.settled,
                should_stop=should_stop,
            )
            self._last = request, _made(source, request.settled, should_stop)
        made = self._last[1]
        if request.with_file and made.data is None and made.laid is not None:
            made = replace(made, data=made.laid.pdf(should_stop=should_stop))
            self._last = request, made
        return made


def _made(source: Source, settled: bool, should_stop: ShouldStop) -> Made:
    laid: Laid | None = None
    screens: tuple[QImage, ...] = ()
    data: bytes | None = None
    if edition_of(source.options.edition).has_pages:
        laid = laid_out(source, should_stop=should_stop)
        thumbs = []
        for number in range(len(laid.pages)):
            if should_stop():
                raise Stopped
            thumbs.append(laid.image(number, _THUMB_PX))
    else:
        text = html_of(source)
        data = text.encode()
        screens = _screens(text, should_stop)
        thumbs = [_scaled(screen, _THUMB_PX) for screen in screens]
    booklet = source.booklet
    return Made(
        options=source.options,
        settled=settled,
        data=data,
        laid=laid,
        screens=screens,
        thumbs=tuple(thumbs),
        ink=tuple(map(_ink, thumbs)),
        contents=tuple(part.heading or part.name for part in booklet.parts),
        draft=booklet.draft,
    )


def paint(request: Any, should_stop: ShouldStop) -> tuple[int, QImage]:
    """Return the number and the picture of a page: of (booklet, number, width in pixels)."""
    made, number, width_px = request
    return number, made.page(number, width_px)


def _screens(text: str, should_stop: ShouldStop) -> tuple[QImage, ...]:
    """Return HTML in pages as high as a window."""
    wide, high = _SCREEN_PX
    document = QTextDocument()
    document.setDocumentMargin(36)

    def shown(match: re.Match[str]) -> str:
        """Hand a picture over at the size it is shown, so that it is read only once."""
        picture = QImage.fromData(base64.b64decode(match[1]))
        name = f"picture:{match.start()}"
        document.addResource(
            QTextDocument.ResourceType.ImageResource,
            QUrl(name),
            _scaled(picture, min(wide - 100, picture.width())),
        )
        return f'src="{name}"'

    text = re.sub(r'src="data:image/\w+;base64,([^"]*)"', shown, text)
    if should_stop():
        raise Stopped
    document.setHtml(text)
    document.setPageSize(QSizeF(wide, high))
    context = QAbstractTextDocumentLayout.PaintContext()  # a page is paper in any look
    context.palette.setColor(QPalette.ColorRole.Text, QColor(INK))
    pages = []
    for number in range(document.pageCount()):
        if should_stop():
            raise Stopped
        image = QImage(wide, high, QImage.Format.Format_RGB32)
        image.fill(QColor(PAPER))
        with QPainter(image) as painter:
            painter.translate(0, -number * high)
            context.clip = QRectF(0, number * high, wide, high)
            painter.setClipRect(context.clip)
            document.documentLayout().draw(painter, context)
        pages.append(image)
    return tuple(pages)


def _scaled(image: QImage, width_px: int) -> QImage:

    return image.scaledToWidth(width_px, Qt.TransformationMode.SmoothTransformation)


def _ink(image: QImage) -> float:
    """Return the share of a page that is covered: grey counts as what it takes of black."""
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    lines = np.frombuffer(grey.constBits(), dtype=np.uint8).reshape(grey.height(), -1)
    return 1.0 - float(lines[:, : grey.width()].mean()) / 255.0
