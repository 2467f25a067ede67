"""A small picture of a design's fabric."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QImage, QPainter

from app.painting.chart import Placing
from app.painting.edging import edging_shapes, paint_edging
from app.painting.fabric import fabric_image
from app.painting.strokes import Floats
from core.design.document import Design
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.fabric.relief import View
from core.pipeline import Pipeline, Results

_MARGIN: Final = 0.5  # of a stitch's width


def thumbnail(design: Design, size: QSize, *, ground: str | None = None) -> QImage:
    """Return the whole blanket in a picture of `size` pixels, true in proportion.

    The fabric is laid out as its steady state: at this size nobody sees the difference. It may
    be called on any thread.
    """
    results = Pipeline().results(design)
    return _painted(results, size, _scale_into(results, size), ground)


def thumbnails_to_scale(
    all_results: Sequence[Results],
    size: QSize,
    *,
    ground: str | None = None,
    should_stop: ShouldStop = never,
) -> list[QImage]:
    """Return pictures of `size` pixels of several blankets, all to one scale; on any thread.

    Raises:
        Stopped: `should_stop` answered yes before a picture.
    """
    scale = min(_scale_into(results, size) for results in all_results)
    images = []
    for results in all_results:
        if should_stop():
            raise Stopped
        images.append(_painted(results, size, scale, ground))
    return images


def _bounds_mm(results: Results) -> tuple[Floats, Floats]:
    """Return the corners of a blanket with what is worked round it, each of shape (2,)."""
    fabric = results.fabric
    half = _MARGIN * fabric.size.width_mm
    low, high = fabric.tops_mm.min(axis=0) - half, fabric.tops_mm.max(axis=0) + half
    edging = edging_shapes(results)
    if edging.is_there:
        outer = np.array(edging.extent_mm).reshape(2, 2)
        low, high = np.minimum(low, outer[0]), np.maximum(high, outer[1])
    return low, high


def _scale_into(results: Results, size: QSize) -> float:
    low, high = _bounds_mm(results)
    wide, tall = float(high[0] - low[0]), float(high[1] - low[1])
    return min(size.width() / wide, size.height() / tall)


def _painted(results: Results, size: QSize, scale: float, ground: str | None) -> QImage:
    low, high = _bounds_mm(results)
    width = max(round(scale * float(high[0] - low[0])), 1)
    height = max(round(scale * float(high[1] - low[1])), 1)
    view = View(float(low[0]), float(high[1]), scale, width, height)
    piece = fabric_image(results, view, smooth=2)
    image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(QColor(ground) if ground is not None else QColor(0, 0, 0, 0))
    edging = edging_shapes(results)
    with QPainter(image) as painter:
        left, top = (size.width() - width) // 2, (size.height() - height) // 2
        painter.drawImage(left, top, piece)
        if edging.is_there:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            placing = Placing(scale, left - scale * float(low[0]), top + scale * float(high[1]))
            paint_edging(painter, edging, placing)
    return image
