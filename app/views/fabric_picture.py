"""The picture of the fabric in a view: coarse at once, fine as soon as the thread has made it.

What is there at once has rows where they would be seen in a picture of fewer pixels, and is
plain stripes where they wouldn't. So is the very first picture of a window: laying the strands
of its stitches takes longer than all else that has to be painted.
"""

import math
from typing import Final

import numpy as np
from PySide6.QtCore import QObject, QPointF, QRect, QRectF, QSizeF, Signal
from PySide6.QtGui import QImage, QPainter

from app.computing import LatestWins, ShouldStop
from app.painting.bands import STRIPED_PIXELS, pixels_in_one
from app.painting.chart import Placing
from app.painting.fabric import FabricPainting, Manner, plain_shade
from app.painting.strokes import image_of
from core.chart.band_pixels import band_pixels
from core.fabric.relax import never
from core.fabric.relief import View
from core.palette.sight import seen
from core.pipeline import Results
from core.records import Struct, replace
from core.stripes.loops import design_loops

_DRAFT_PIXELS: Final = 60_000  # more than that is first shown less finely
_KEPT_PIXELS: Final = 3_000_000  # larger pictures aren't kept for another light
_ROW_PX: Final = 1.5  # of a draft, for each row: with fewer it is plain stripes
_SMOOTH: Final = 2


class PictureJob(Struct, frozen=True, eq=False):
    """A picture to be made: of what, which piece of it, and how."""

    results: Results
    view: View
    manner: Manner

    def shows_the_same(self, other: "PictureJob") -> bool:
        """Return whether both come to the same picture."""
        mine, theirs = self.results, other.results
        return (
            self.manner == other.manner
            and self.shows_the_same_yarn(other)
            and [yarn.colour for yarn in mine.design.yarns]
            == [yarn.colour for yarn in theirs.design.yarns]
            and np.array_equal(mine.yarn_of_row, theirs.yarn_of_row)
        )

    def shows_the_same_yarn(self, other: "PictureJob") -> bool:
        """Return whether both come to the same picture but for colours and light."""
        mine, theirs = self.results, other.results
        return (
            mine.fabric is theirs.fabric
            and design_loops(mine.design) == design_loops(theirs.design)
            and mine.design.turning == theirs.design.turning
            and self.manner.ridges == other.manner.ridges
            and _numbers(self.view) == _numbers(other.view)
        )


class FabricPicture(QObject):
    """Keeps the last picture and has the next one made off the GUI thread."""

    changed = Signal()  # a finer picture is there

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._image: _Picture | None = None
        self._job: PictureJob | None = None
        self._draft = _Maker(rough=True)
        self._is_plain = False
        self._worker = LatestWins(_Maker(), self, patient=True)
        self._worker.finished.connect(self._on_made)

    def close(self) -> None:
        """Stop the thread."""
        self._worker.close()

    def begin_plainly(self) -> None:
        """Make do with plain stripes until the thread has made the first picture."""
        self._is_plain = True

    def forget(self) -> None:
        """Make the picture anew when it is next painted."""
        self._image = None

    def paint(
        self, painter: QPainter, results: Results, placing: Placing, area: QRect, manner: Manner
    ) -> None:
        """Paint what shows of the fabric in `area` of the widget."""
        fine = painter.device().devicePixelRatioF()
        picture = self.picture(results, placing, area, manner, fine)
        pixel = picture.times / fine
        size = QSizeF(picture.image.width() * pixel, picture.image.height() * pixel)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, picture.is_soft)
        painter.save()
        painter.setClipRect(area)
        painter.drawImage(QRectF(QPointF(area.topLeft()), size), picture.image)
        painter.restore()

    def picture(
        self, results: Results, placing: Placing, area: QRect, manner: Manner, fine: float
    ) -> "_Picture":
        """Return the best picture there is of what shows in `area`, in `fine` pixels for one."""
        view = View(
            (area.left() - placing.x) / placing.scale,
            (placing.y - area.top()) / placing.scale,
            placing.scale * fine,
            round(area.width() * fine),
            round(area.height() * fine),
        )
        job = PictureJob(results, view, manner)
        if self._image is None or self._job is None or not self._job.shows_the_same(job):
            plain = self._is_plain or not _shows_rows(job)
            self._image = _striped(job) if plain else self._draft(job)
            self._job = job
            self._worker.submit(job)
        return self._image

    def _on_made(self, picture: "_Picture") -> None:
        self._is_plain = False
        if self._job is not None and self._job.shows_the_same(picture.job):
            self._image = picture
            self.changed.emit()


class _Picture(Struct, frozen=True, eq=False):
    """A picture that was made; each of its pixels stands for `times` of the job's, each way.

    A soft one is mixed from its pixels where it has too few, which takes longer than all else.
    """

    job: PictureJob
    image: QImage
    times: int
    is_soft: bool = True


class _Maker:
    """Makes pictures one after another, those in another light or colours from the last one.

    A rough one answers at once, with fewer pixels if there are many.
    """

    def __init__(self, *, rough: bool = False) -> None:
        self._rough = rough
        self._last: tuple[PictureJob, FabricPainting] | None = None

    def __call__(self, job: PictureJob, should_stop: ShouldStop = never) -> _Picture:
        """Return the picture together with the job it answers."""
        times = _pixels_in_one(job.view) if self._rough else 1
        if self._last is None or not self._last[0].shows_the_same_yarn(job):
            view = _with_fewer_pixels(job.view, times)
            painting = FabricPainting(
                job.results,
                view,
                ridges=job.manner.ridges,
                smooth=1 if self._rough else _SMOOTH,
                keep=view.width_px * view.height_px <= _KEPT_PIXELS,
                rough=self._rough,
            )
            self._last = job, painting
        image = self._last[1].image(job.results, job.manner, should_stop=should_stop)
        return _Picture(job, image, times)


def _shows_rows(job: PictureJob) -> bool:
    """Return whether a draft has pixels enough for single rows."""
    fabric = job.results.fabric
    _, bottom, _, top = fabric.bounds_mm()
    row_px = (top - bottom) / max(fabric.n_rows, 1) * job.view.px_per_mm
    return row_px >= _ROW_PX * _pixels_in_one(job.view)


def _striped(job: PictureJob) -> _Picture:
    """Return plain stripes, as light as their yarns are in the picture to come."""
    view, results, manner = job.view, job.results, job.manner
    times = pixels_in_one(view.width_px, view.height_px, STRIPED_PIXELS)
    colours = [
        plain_shade(seen(yarn.colour, manner.sight), manner.light) for yarn in results.design.yarns
    ]
    view = _with_fewer_pixels(view, times)
    pixels = band_pixels(results.fabric, results.yarn_of_row, colours, view)
    return _Picture(job, image_of(pixels), times, is_soft=False)


def _pixels_in_one(view: View) -> int:
    """Return how many of the view's pixels one of a draft stands for, each way."""
    return pixels_in_one(view.width_px, view.height_px, _DRAFT_PIXELS)


def _with_fewer_pixels(view: View, times: int) -> View:
    return replace(
        view,
        px_per_mm=view.px_per_mm / times,
        width_px=math.ceil(view.width_px / times),
        height_px=math.ceil(view.height_px / times),
    )


def _numbers(view: View) -> tuple[float, ...]:
    return view.left_mm, view.top_mm, view.px_per_mm, view.width_px, view.height_px
