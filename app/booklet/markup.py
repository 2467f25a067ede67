"""The pictures of the HTML edition, and the file around them."""

from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from app.booklet.figures import Figure
from app.booklet.laying import Layer
from app.booklet.manner import FULL, MM
from app.booklet.source import Source
from core.booklet.html import booklet_html
from core.booklet.nodes import Picture, PictureName

_WIDTH_MM: Final = 150.0
_TALLEST_MM: Final = 200.0
_PX_PER_MM: Final = 6.0


def html_of(source: Source) -> str:
    """Return the HTML edition, its pictures inside."""
    return booklet_html(source.booklet, pictures_of(source))


def pictures_of(source: Source) -> dict[PictureName, bytes]:
    """Return a booklet's pictures as files."""
    booklet = source.booklet
    layer = Layer(source, FULL, _WIDTH_MM * MM, _TALLEST_MM * MM)
    nodes = [booklet.cover, *(node for part in booklet.parts for node in part.nodes)]
    found: dict[PictureName, bytes] = {}
    for picture in nodes:
        if isinstance(picture, Picture) and picture.name not in found:
            figure = layer.figure(picture, _TALLEST_MM * MM)
            if figure is not None:
                found[picture.name] = _file_of(figure, smooth=picture.name in ("fabric", "closeup"))
    return found


def _file_of(figure: Figure, *, smooth: bool) -> bytes:
    """Return a drawing as PNG, a picture of yarn as JPEG where Qt can write one."""
    width = _WIDTH_MM * MM
    height = figure.height_for(width)
    if height > _TALLEST_MM * MM:
        width, height = width * _TALLEST_MM * MM / height, _TALLEST_MM * MM
    edge = 1.5 * MM
    scale = _PX_PER_MM / MM
    image = QImage(
        round((width + 2 * edge) * scale),
        round((height + 2 * edge) * scale),
        QImage.Format.Format_RGB32,
    )
    image.fill(QColor("#ffffff"))
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(scale, scale)
        figure.paint(painter, QRectF(edge, edge, width, height))
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    written = smooth and image.save(buffer, "JPEG", 85)  # type: ignore[call-overload]
    if not written and not image.save(buffer, "PNG"):  # type: ignore[call-overload]
        raise OSError("a picture of the booklet could not be encoded")
    buffer.close()
    return bytes(data.data())
