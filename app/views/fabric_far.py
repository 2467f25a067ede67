"""The fabric's picture as a distant eye sees it: blurred coarsely at once, finely by a thread."""

from collections.abc import Callable
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject, QRectF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QImage, QPainter

from app.computing import LatestWins, ShouldStop
from app.painting.strokes import image_of
from core.errors import Stopped
from core.palette.distance import Pixels, blurred, reduced
from core.records import Struct

_DRAFT_PIXELS: Final = 24_000  # as many are blurred within a frame
_PAUSE_MS: Final = 120
_RGB: Final = QImage.Format.Format_RGB32

Scene = Callable[[QPainter], None]


class _Job(Struct, frozen=True, eq=False):
    """A scene to be blurred: its pixels, and the two blurs in its pixels."""

    key: object
    pixels: NDArray[np.uint8]  # as the screen keeps them: blue, green, red and nothing
    light_px: float
    colour_px: float


class FarPicture(QObject):
    """Paints a scene blurred, and keeps it for as long as its key stays the same."""

    changed = Signal()  # a finer picture is there

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._kept: tuple[object, QImage] | None = None
        self._job: _Job | None = None
        self._worker = LatestWins(_make, self)
        self._worker.finished.connect(self._on_made)
        self._pause = QTimer(self)  # while a scene keeps changing its rough picture has to do
        self._pause.setSingleShot(True)
        self._pause.setInterval(_PAUSE_MS)
        self._pause.timeout.connect(self._make_fine)

    @property
    def is_busy(self) -> bool:
        """Whether a finer picture is to come."""
        return self._pause.isActive() or self._worker.is_busy

    def close(self) -> None:
        """Stop the thread."""
        self._pause.stop()
        self._worker.close()

    def paint(
        self,
        painter: QPainter,
        size: QSize,
        ground: str,
        key: object,
        scene: Scene,
        *,
        light_px: float,
        colour_px: float,
    ) -> None:
        """Paint a scene over the whole widget.

        Args:
            painter: In the widget's pixels.
            size: The widget's.
            ground: Behind the scene.
            key: Equal for as long as the scene looks the same.
            scene: Paints the scene as it is from near.
            light_px: Deviation of the blur of light and dark, in the widget's pixels.
            colour_px: That of colour.
        """
        fine = painter.device().devicePixelRatioF()
        key = key, size.width(), size.height(), ground, fine, light_px, colour_px
        if self._kept is None or self._kept[0] != key:
            near = QImage(size * fine, _RGB)
            near.setDevicePixelRatio(fine)
            near.fill(QColor(ground))
            with QPainter(near) as inner:
                scene(inner)
            near.setDevicePixelRatio(1.0)
            job = self._job = _Job(key, _raw(near).copy(), light_px * fine, colour_px * fine)
            self._kept = key, _draft(near, job)
            self._pause.start()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(QRectF(0, 0, size.width(), size.height()), self._kept[1])

    def _make_fine(self) -> None:
        self._worker.submit(self._job)

    def _on_made(self, made: tuple[object, QImage]) -> None:
        if self._kept is not None and self._kept[0] == made[0]:
            self._kept = made
            self.changed.emit()


def _draft(near: QImage, job: _Job) -> QImage:
    """Return a rough answer at once, of few pixels."""
    times = max(_times(job), (near.width() * near.height() / _DRAFT_PIXELS) ** 0.5)
    if times > 1:
        small = QSize(max(round(near.width() / times), 1), max(round(near.height() / times), 1))
        near = _smoothly(near, small)
    light = reduced(_rgb(_raw(near)), 1)
    return _image(blurred(light, job.light_px / times, job.colour_px / times))


def _make(job: Any, should_stop: ShouldStop) -> tuple[object, QImage]:
    """Return the blurred picture with its key; one whose blur is wide has fewer pixels."""
    times = _times(job)
    light = reduced(_rgb(job.pixels), times)
    if should_stop():
        raise Stopped
    far = _image(blurred(light, job.light_px / times, job.colour_px / times))
    height, width = job.pixels.shape[:2]
    # Made large here, so that painting it is only a copy.
    return job.key, _smoothly(far, QSize(width, height)) if times > 1 else far


def _smoothly(image: QImage, size: QSize) -> QImage:
    way = Qt.TransformationMode.SmoothTransformation
    scaled = image.scaled(size, Qt.AspectRatioMode.IgnoreAspectRatio, way)
    return scaled.convertToFormat(_RGB)


def _times(job: _Job) -> int:
    """Return how many pixels may be taken as one, each way, without being seen."""
    return max(int(job.light_px), 1)


def _raw(image: QImage) -> NDArray[np.uint8]:
    """Return the bytes of a picture, shape (height, width, 4); they live as long as it does."""
    flat = np.frombuffer(image.constBits(), np.uint8)
    return flat.reshape(image.height(), image.bytesPerLine() // 4, 4)[:, : image.width()]


def _rgb(raw: NDArray[np.uint8]) -> Pixels:
    """Return red, green and blue, shape (height, width, 3), as a copy."""
    return np.ascontiguousarray(raw[..., 2::-1])


def _image(pixels: Pixels) -> QImage:
    wide = pixels.astype(np.uint32)
    packed = wide[..., 0] << np.uint32(16) | wide[..., 1] << np.uint32(8) | wide[..., 2]
    return image_of(packed | np.uint32(0xFF000000))
