"""A close picture of a wave's settled fabric, for a card that a design is begun from."""

import math
from typing import Final

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage

from app.painting.fabric import fabric_image
from core.design.document import Design
from core.design.edits import set_size
from core.errors import Stopped
from core.fabric.relax import ShouldStop, never
from core.fabric.relief import View
from core.pipeline import Pipeline

_ROWS: Final = 24
_NARROWEST: Final = 0.5  # of its stitches' widths that a wave may draw a repeat in to


def wave_picture(
    design: Design, size: QSize, px_per_mm: float, *, should_stop: ShouldStop = never
) -> QImage:
    """Return a piece from the middle of a design's fabric, `size` pixels, no edge in sight.

    The fabric is laid out as its steady state. It may be called on any thread.

    Raises:
        Stopped: `should_stop` answered yes.
    """
    wide_mm = size.width() / px_per_mm
    repeat = sum(item.makes for item in design.wave.rows_in_turn[0].repeat)
    least_mm = repeat * design.gauge.stitch_width_mm * _NARROWEST
    repeats = math.ceil(wide_mm / least_mm) + 2
    tall_mm = size.height() / px_per_mm
    rows = max(_ROWS, 2 * math.ceil(2 * tall_mm / design.gauge.row_height_mm))
    results = Pipeline().results(set_size(design, repeats=repeats, rows=rows))
    if should_stop():
        raise Stopped
    left, bottom, right, top = results.fabric.bounds_mm()
    view = View(
        0.5 * (left + right - wide_mm),
        0.5 * (bottom + top + tall_mm),
        px_per_mm,
        size.width(),
        size.height(),
    )
    return fabric_image(results, view, smooth=2)
