"""Pictures of waves for the cards, made off the GUI thread one by one and kept."""

from collections.abc import Callable, Sequence
from typing import Any, Final

from PySide6.QtCore import QObject, QSize, Signal
from PySide6.QtGui import QImage

from app.computing import LatestWins, ShouldStop
from app.painting.wave_picture import wave_picture
from core.design.document import Design

SIZE: Final = QSize(208, 88)
"""What a picture takes on a card, in pixels of a usual screen."""
PX_PER_MM: Final = 0.95  # the same for all, so that waves are as large as each other
_MOST: Final = 200

_KEPT: dict[tuple[str, float], QImage] = {}  # for as long as the program runs


class WavePictures(QObject):
    """Has the pictures made that are wanted; the newest list of wishes replaces the last."""

    ready = Signal(str)  # the name it was asked for by

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._waiting: list[tuple[str, float, Callable[[], Design]]] = []
        self._worker = LatestWins(_paint, self)
        self._worker.finished.connect(self._on_made)
        self._worker.failed.connect(self._on_failed)
        self._asked: tuple[str, float] | None = None

    def ask(self, wanted: Sequence[tuple[str, Callable[[], Design]]], fine: float) -> None:
        """Have these made, in order, with `fine` pixels for each pixel of a usual screen."""
        self._waiting = [(name, fine, design) for name, design in wanted]
        self._waiting = [job for job in self._waiting if job[:2] not in _KEPT]
        self._next()

    def picture(self, name: str, fine: float) -> QImage | None:
        """Return a picture if it has been made."""
        return _KEPT.get((name, fine))

    def close(self) -> None:
        """Stop the thread behind it."""
        self._waiting = []
        self._worker.close()

    def _next(self) -> None:
        if self._waiting:
            job = self._waiting.pop(0)
            self._asked = job[:2]
            self._worker.submit(job)

    def _on_failed(self, error: object) -> None:
        del error  # a card says that it has no picture, and can be begun from all the same
        if self._asked is not None:
            _KEPT[self._asked] = QImage()
            self.ready.emit(self._asked[0])
        self._next()

    def _on_made(self, made: tuple[str, float, QImage]) -> None:
        name, fine, image = made
        image.setDevicePixelRatio(fine)
        while len(_KEPT) >= _MOST:
            _KEPT.pop(next(iter(_KEPT)))
        _KEPT[(name, fine)] = image
        self.ready.emit(name)
        self._next()


def _paint(request: Any, should_stop: ShouldStop) -> tuple[str, float, QImage]:
    name, fine, design = request
    size = QSize(round(SIZE.width() * fine), round(SIZE.height() * fine))
    image = wave_picture(design(), size, PX_PER_MM * fine, should_stop=should_stop)
    return name, fine, image
