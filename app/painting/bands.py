"""The chart's grounds where its stitches are too small to be drawn, as pixels."""

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from app.painting.chart import Placing
from app.painting.strokes import polygon_of
from core.chart.band_pixels import band_pixels
from core.chart.bands import edge_line_mm, sides_mm
from core.fabric.sheet import Fabric
from core.fabric.view import View
from core.stripes.sequence import Indices

STRIPED_PIXELS: Final = 350_000  # of a draft of plain stripes, at most


def pixels_in_one(wide: int, high: int, most: int) -> int:
    """Return how many pixels one of a draft stands for, each way, so that it has so many at most.

    The draft may be up to one of its own pixels larger each way.
    """
    return max(math.ceil(math.sqrt(wide * high / most)), 1)


def paint_bands(
    painter: QPainter,
    fabric: Fabric,
    yarn_of_row: Indices,
    colours: Sequence[str],
    placing: Placing,
    piece: QRect,
    *,
    ground: str,
    draft: bool,
) -> None:
    """Paint a piece of the bands, without their rim.

    Args:
        painter: Where to paint.
        fabric: Where the tops lie.
        yarn_of_row: Number of each row's yarn, shape (rows,).
        colours: Each yarn's colour.
        placing: Where the chart lies.
        piece: The part of the canvas to be painted.
        ground: What they lie on.
        draft: Whether a quick picture will do.
    """
    fine = painter.device().devicePixelRatioF()
    wide, high = round(piece.width() * fine), round(piece.height() * fine)
    times = pixels_in_one(wide, high, STRIPED_PIXELS) if draft else 1
    view = View(
        (piece.left() - placing.x) / placing.scale,
        (placing.y - piece.top()) / placing.scale,
        placing.scale * fine / times,
        math.ceil(wide / times),
        math.ceil(high / times),
    )
    packed = [QColor(colour).rgba() for colour in colours]
    outside = QColor(ground).rgba()
    pixels = band_pixels(fabric, yarn_of_row, packed, view, outside=outside, smooth=not draft)
    form = QImage.Format.Format_RGB32  # opaque pictures are copied, not mixed
    image = QImage(pixels.data, view.width_px, view.height_px, 4 * view.width_px, form)
    pixel = times / fine
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, False)
    at = QRectF(piece.left(), piece.top(), view.width_px * pixel, view.height_px * pixel)
    painter.drawImage(at, image)


def paint_rim(
    painter: QPainter, fabric: Fabric, placing: Placing, colour: str, *, draft: bool
) -> None:
    """Draw a hairline round the blanket: it keeps the palest yarns apart from the paper."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, not draft)
    painter.setPen(QPen(QColor(colour), 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    rows = np.arange(fabric.n_rows + 1)
    ends = edge_line_mm(fabric, 0), edge_line_mm(fabric, fabric.n_rows)
    for line in (*ends, *sides_mm(fabric, rows)):
        painter.drawPolyline(polygon_of(placing.points(line)))
