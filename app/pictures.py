"""Pictures that a palette is taken from: read within limits, or refused in a sentence."""

from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColorSpace, QImage, QImageReader

from core.errors import DesignError
from core.records import Struct

if TYPE_CHECKING:
    from core.palette.cluster import Pixels

FILTER: Final = "Pictures (*.png *.jpg *.jpeg *.webp *.gif *.bmp *.ppm *.pgm)"
SUFFIXES: Final = frozenset((".png", ".jpg", ".jpeg", ".webp", ".gif", ".bmp", ".ppm", ".pgm"))
MOST_BYTES: Final = 80 * 1024 * 1024
MOST_PIXELS: Final = 60_000_000
_MOST_SIDE: Final = 60_000
_MEMORY_MB: Final = 384
_SHOWN_PX: Final = 720  # of the longer side of what is shown
_READ_PX: Final = 256  # ... and of what colours are taken from
_FORMATS: Final = frozenset(
    (b"png", b"jpeg", b"jpg", b"webp", b"gif", b"bmp", b"ppm", b"pgm", b"pbm")
)


class Picture(Struct, frozen=True, eq=False):
    """A picture, small enough to work with.

    Attributes:
        name: The file's.
        image: To be shown.
        pixels: Red, green, blue and cover, shape (height, width, 4); smaller still.
        moves: Whether it is one of many; it is the first of them then.
    """

    name: str
    image: QImage
    pixels: "Pixels"
    moves: bool


def is_picture_name(path: Path) -> bool:
    """Return whether a file is called like a picture."""
    return path.suffix.lower() in SUFFIXES


def read_picture(path: Path) -> Picture:
    """Read a picture, made small; any thread may do so.

    Raises:
        DesignError: It isn't a picture, is damaged or too large; the sentence says which.
    """
    name = path.name
    _check_file(path)
    QImageReader.setAllocationLimit(_MEMORY_MB)
    reader = QImageReader(str(path))
    reader.setDecideFormatFromContent(True)
    reader.setAutoTransform(True)
    if not reader.canRead() or bytes(reader.format().data()).lower() not in _FORMATS:
        raise DesignError(
            f"{name} isn't a picture that can be read here. Save it as PNG or JPEG and try again."
        )
    size = reader.size()
    if size.isValid():
        _check_size(name, size)
        reader.setScaledSize(_fitting(size, _SHOWN_PX))
    moves = reader.supportsAnimation() and reader.imageCount() > 1
    image = reader.read()
    if image.isNull() or image.width() < 1 or image.height() < 1:
        raise DesignError(
            f"{name} is damaged: it can't be read to its end. Save it anew and try again."
        )
    shown = _scaled(_plain(image), _SHOWN_PX)
    return Picture(name, shown, _pixels(_scaled(shown, _READ_PX)), moves)


def _plain(image: QImage) -> QImage:
    """Return a picture in the screen's colours: cameras often save theirs in wider ones."""
    space, plain = image.colorSpace(), QColorSpace(QColorSpace.NamedColorSpace.SRgb)
    if space.isValid() and space != plain:
        changed = image.convertedToColorSpace(plain, QImage.Format.Format_RGBA8888)
        if not changed.isNull():
            return changed
    return image.convertToFormat(QImage.Format.Format_RGBA8888)


def _check_file(path: Path) -> None:
    try:
        if path.is_dir():
            raise DesignError(f"{path.name} is a folder. Choose one picture in it.")
        length = path.stat().st_size
        if path.is_file():
            with path.open("rb"):
                pass
        else:
            raise DesignError(f"{path.name} isn't a file. Choose a picture.")
    except OSError as error:
        raise DesignError(f"{path.name} can't be read: {error.strerror or error}.") from error
    if not length:
        raise DesignError(f"{path.name} is empty. Choose another picture.")
    if length > MOST_BYTES:
        raise DesignError(
            f"{path.name} is larger than {MOST_BYTES // 1024**2} MB. Make it smaller first."
        )


def _check_size(name: str, size: QSize) -> None:
    if size.width() < 1 or size.height() < 1:
        raise DesignError(f"{name} has no pixels. Choose another picture.")
    too_long = max(size.width(), size.height()) > _MOST_SIDE
    if too_long or size.width() * size.height() > MOST_PIXELS:
        raise DesignError(
            f"{name} is {size.width():,} by {size.height():,} pixels; up to "
            f"{MOST_PIXELS // 1_000_000} million can be read. Make the picture smaller first."
        )


def _fitting(size: QSize, side: int) -> QSize:
    """Return a size of the same shape that fits a square, never larger than it was."""
    if max(size.width(), size.height()) <= side:
        return size
    small = size.scaled(side, side, Qt.AspectRatioMode.KeepAspectRatio)
    return small.expandedTo(QSize(1, 1))


def _scaled(image: QImage, side: int) -> QImage:
    small = _fitting(image.size(), side)
    if small == image.size():
        return image
    way = Qt.TransformationMode.SmoothTransformation
    return image.scaled(small, Qt.AspectRatioMode.IgnoreAspectRatio, way)


def _pixels(image: QImage) -> "Pixels":
    plain = image.convertToFormat(QImage.Format.Format_RGBA8888)
    flat = np.frombuffer(plain.constBits(), np.uint8)
    rows = flat.reshape(plain.height(), plain.bytesPerLine())[:, : 4 * plain.width()]
    return rows.reshape(plain.height(), plain.width(), 4).copy()
