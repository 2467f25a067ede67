"""Small pictures of whole blankets, all to one scale, in the wave's true shape."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QSize
from PySide6.QtGui import QImage

from app.computing import ShouldStop
from app.painting.fabric import FabricPainting, Manner
from core.design.document import Design
from core.errors import Stopped
from core.fabric.sheet import Fabric
from core.fabric.view import View
from core.pipeline import Pipeline, Results, fabric_part
from core.records import replace
from core.stripes.loops import design_loops
from core.stripes.sequence import yarn_of_rows

_SMOOTH: Final = 2
_KEPT: Final = 8


class BlanketPictures:
    """Makes pictures; the same cloth in other yarns costs little, it is lit once.

    It lives in a worker thread: nothing of it is touched from elsewhere.
    """

    def __init__(self, base: Results) -> None:
        self._base = base
        self._part = fabric_part(base.design)
        self._pipeline = Pipeline()
        # The fabric is kept with its painting, so that no other one can have its id.
        self._paintings: dict[object, tuple[Fabric, FabricPainting]] = {}

    def pictures(
        self, designs: Sequence[Design], box: QSize, should_stop: ShouldStop
    ) -> list[QImage]:
        """Return a picture of each design that fits into a box of device pixels.

        Raises:
            Stopped: `should_stop` answered yes.
        """
        found = []
        for design in designs:
            if should_stop():
                raise Stopped
            found.append(self._results(design))
        bounds = [results.fabric.bounds_mm() for results in found]
        wide = max(right - left for left, _, right, _ in bounds)
        high = max(top - bottom for _, bottom, _, top in bounds)
        scale = min(box.width() / max(wide, 1.0), box.height() / max(high, 1.0))
        images = []
        for results in found:
            if should_stop():
                raise Stopped
            images.append(self._painting(results, scale).image(results, Manner()))
        return images

    def _results(self, design: Design) -> Results:
        """Return results with the settled fabric if it is the same, or a sketch of another."""
        if fabric_part(design) != self._part:
            return self._pipeline.results(design)
        yarns = yarn_of_rows(design.stripes, self._base.rows.drawn_rows)
        return replace(self._base, design=design, yarn_of_row=yarns)

    def _painting(self, results: Results, scale: float) -> FabricPainting:
        loops, turning = design_loops(results.design), results.design.turning
        key = id(results.fabric), loops, turning, round(scale, 6)
        if key not in self._paintings:
            left, bottom, right, top = results.fabric.bounds_mm()
            view = View(
                left,
                top,
                scale,
                max(round(scale * (right - left)), 1),
                max(round(scale * (top - bottom)), 1),
            )
            if len(self._paintings) >= _KEPT:
                self._paintings.clear()
            painting = FabricPainting(results, view, smooth=_SMOOTH, keep=True)
            self._paintings[key] = results.fabric, painting
        return self._paintings[key][1]
