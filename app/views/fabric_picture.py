"""The picture of the fabric in a view: coarse at once, fine as soon as the thread has made it."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from PySide6.QtCore import QObject, QRect, QRectF, Signal
from PySide6.QtGui import QImage, QPainter

from app.computing import LatestWins, ShouldStop
from app.painting.chart import Placing
from app.painting.fabric import Manner, fabric_image
from core.fabric.relief import View
from core.pipeline import Results

_DRAFT_PIXELS: Final = 350_000  # more than that is first shown at half the fineness
_SMOOTH: Final = 2


@dataclass(frozen=True, slots=True, eq=False)
class PictureJob:
    """A picture to be made: of what, which piece of it, and how."""

    results: Results
    view: View
    manner: Manner

    def shows_the_same(self, other: "PictureJob") -> bool:
        """Return whether both come to the same picture."""
        if self.results is not other.results and not _look_alike(self.results, other.results):
            return False
        return _numbers(self.view) == _numbers(other.view) and self.manner == other.manner


class FabricPicture(QObject):
    """Keeps the last picture and has the next one made off the GUI thread."""

    changed = Signal()  # a finer picture is there

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._image: QImage | None = None
        self._job: PictureJob | None = None
        self._worker = LatestWins(_picture_of, self)
        self._worker.finished.connect(self._on_made)

    def close(self) -> None:
        """Stop the thread."""
        self._worker.close()

    def forget(self) -> None:
        """Make the picture anew when it is next painted."""
        self._image = None

    def paint(
        self, painter: QPainter, results: Results, placing: Placing, area: QRect, manner: Manner
    ) -> None:
        """Paint what shows of the fabric in `area` of the widget."""
        fine = painter.device().devicePixelRatioF()
        view = View(
            (area.left() - placing.x) / placing.scale,
            (placing.y - area.top()) / placing.scale,
            placing.scale * fine,
            round(area.width() * fine),
            round(area.height() * fine),
        )
        job = PictureJob(results, view, manner)
        if self._image is None or self._job is None or not self._job.shows_the_same(job):
            self._image = _draft(job)
            self._job = job
            self._worker.submit(job)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(QRectF(area), self._image)

    def _on_made(self, answer: tuple[PictureJob, QImage]) -> None:
        job, image = answer
        if self._job is not None and self._job.shows_the_same(job):
            self._image = image
            self.changed.emit()


def _numbers(view: View) -> tuple[float, ...]:
    return view.left_mm, view.top_mm, view.px_per_mm, view.width_px, view.height_px


def _look_alike(one: Results, other: Results) -> bool:
    return (
        one.fabric is other.fabric
        and one.design.loops == other.design.loops
        and [yarn.colour for yarn in one.design.yarns]
        == [yarn.colour for yarn in other.design.yarns]
        and np.array_equal(one.yarn_of_row, other.yarn_of_row)
    )


def _draft(job: PictureJob) -> QImage:
    """Return a first picture, coarser if there is much to paint."""
    view = job.view
    if view.width_px * view.height_px > _DRAFT_PIXELS:
        view = replace(
            view,
            px_per_mm=view.px_per_mm / 2,
            width_px=max(view.width_px // 2, 1),
            height_px=max(view.height_px // 2, 1),
        )
    return _made(job, view, 1)


def _picture_of(job: PictureJob, should_stop: ShouldStop) -> tuple[PictureJob, QImage]:
    del should_stop  # one picture takes a fraction of a second
    return job, _made(job, job.view, _SMOOTH)


def _made(job: PictureJob, view: View, smooth: int) -> QImage:
    return fabric_image(job.results, view, job.manner, smooth=smooth)
