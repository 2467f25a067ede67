"""Small pictures of designs, made off the GUI thread one after another and kept for a while."""

from collections import OrderedDict
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject, QSize, Signal
from PySide6.QtGui import QImage, QPixmap

from app.keeping.jobs import Jobs
from app.keeping.places import key_of
from app.painting.thumbnail import thumbnail
from core.design import disk
from core.design.document import Design

SIZE: Final = QSize(224, 160)
"""Pixels of a small picture, twice what it takes on a usual screen."""
_MOST: Final = 200
_MOST_FILES: Final = 40
_MOST_BYTES: Final = 2_000_000


class Pictures(QObject):
    """Makes small pictures and remembers them by a name."""

    ready = Signal(str)  # the name it was asked for by

    def __init__(self, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self._jobs = Jobs(self)
        self._known: OrderedDict[str, QImage] = OrderedDict()
        self._asked: set[str] = set()

    def picture(self, name: str) -> QImage | None:
        """Return the picture of that name, if it has been made."""
        return self._known.get(name)

    def ask(self, name: str, design: Callable[[], Design]) -> None:
        """Have a picture made of what `design` returns, off the GUI thread; see `ready`."""
        if name in self._known or name in self._asked:
            return
        self._asked.add(name)
        self._jobs.do(
            lambda: thumbnail(design(), SIZE),
            partial(self._on_made, name),
            lambda _: self._asked.discard(name),
        )

    def keep_for_file(self, path: Path, design: Design) -> None:
        """Keep a picture for the list of recent files."""
        self._jobs.do(partial(_keep, self._folder, path, design), failed=lambda _: None)

    def of_file(self, path: Path) -> QPixmap | None:
        """Return the picture kept for a recent file, if there is one."""
        try:
            data = disk.read_at_most(_place(self._folder, path), _MOST_BYTES)
        except OSError:
            return None
        pixmap = QPixmap()
        return pixmap if pixmap.loadFromData(data, "PNG") else None

    def close(self) -> None:
        """Stop; pictures that aren't made yet are dropped."""
        self._jobs.close(finish=False)

    def _on_made(self, name: str, image: QImage) -> None:
        self._asked.discard(name)
        self._known[name] = image
        while len(self._known) > _MOST:
            self._known.popitem(last=False)
        self.ready.emit(name)


def _place(folder: Path, path: Path) -> Path:
    return folder / f"{key_of(path)}.png"


def _keep(folder: Path, path: Path, design: Design) -> None:
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    if thumbnail(design, SIZE).save(buffer, "PNG"):  # type: ignore[call-overload]
        disk.make_folder(folder)
        disk.write_whole(_place(folder, path), bytes(data.data()))
        _tidy(folder)


def _tidy(folder: Path) -> None:
    """Leave only the newest pictures."""
    names = [name for name in disk.names_in(folder) if name.endswith((".png", disk.PART))]
    if len(names) > _MOST_FILES:
        by_age = sorted(names, key=lambda name: disk.time_of(folder / name))
        for name in by_age[: len(names) - _MOST_FILES]:
            disk.remove(folder / name)
