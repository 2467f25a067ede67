"""The hand that lays a ruler on chart or fabric: two clicks, or one drag."""

from typing import Final

from PySide6.QtCore import QObject, QPointF, QRectF, Signal
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QApplication

from app.painting.chart import Placing
from app.theme import Tones
from app.views.measuring import Place, Ruler, distance_text, paint_ruler
from core.fabric.distance import distance
from core.fabric.find import finder_of
from core.fabric.sheet import Fabric
from core.fabric.wash import wash_of
from core.pipeline import Results

Shown = tuple[Results, Fabric] | None
"""What the view shows, and the tops that stitches are drawn at."""

_OFF: Final = "Off the blanket: a place is measured from stitch to stitch"


class MeasuringHand(QObject):
    """Holds the ruler of one view; does nothing while it is off."""

    said = Signal(str, bool)  # the distance, and whether it is set

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.is_on = False
        self.ruler: Ruler | None = None

    def turn(self, *, on: bool) -> None:
        """Begin or stop measuring; either way nothing is laid."""
        self.is_on, self.ruler = on, None

    def take_away(self) -> bool:
        """Take the ruler away; return whether one was laid."""
        was_laid = self.ruler is not None
        self.ruler = None
        return was_laid

    def press(self, place: Place, shown: Shown) -> None:
        """Lay the ruler down here, or set its other end."""
        if self.ruler is None or self.ruler.is_set:
            self.ruler = Ruler(place, place)
        else:
            self.stretch(place, shown)
            self._set(shown)

    def stretch(self, place: Place, shown: Shown) -> bool:
        """Let the ruler's other end follow the hand; return whether it does."""
        ruler = self.ruler
        if ruler is None or ruler.is_set or shown is None:
            return False
        results, fabric = shown
        ruler.end = place
        one, two = (finder_of(fabric).at(end) for end in (ruler.start, ruler.end))
        ruler.distance = None
        if one[0] >= 0 and two[0] >= 0:
            start, end = ruler.start, ruler.end
            if fabric is not results.fabric:  # on a straight grid: as the stitches lie settled
                tops = results.fabric.row_tops_mm
                start = tuple(tops(one[0])[one[1]].tolist())
                end = tuple(tops(two[0])[two[1]].tolist())
            wash = wash_of(results.design.swatch)
            ruler.distance = distance(results.fabric, start, end, (one, two), wash)
            self.said.emit(self._text(results), False)
        return True

    def release(self, point: QPointF, placing: Placing, shown: Shown) -> None:
        """Set the other end if the ruler was dragged out from the first one."""
        if self.ruler is None or self.ruler.is_set:
            return
        x, y = self.ruler.start
        start = QPointF(placing.x + placing.scale * x, placing.y - placing.scale * y)
        if not is_near(start, point):
            self._set(shown)

    def paint(
        self,
        painter: QPainter,
        results: Results,
        placing: Placing,
        canvas: QRectF,
        tones: Tones,
    ) -> None:
        """Paint the ruler if one is laid."""
        if self.ruler is not None:
            text = self._text(results) if self.ruler.distance is not None else ""
            paint_ruler(painter, self.ruler, placing, text, canvas, tones)

    def _set(self, shown: Shown) -> None:
        if self.ruler is not None and shown is not None:
            self.ruler.is_set = True
            self.said.emit(self._text(shown[0]), True)

    def _text(self, results: Results) -> str:
        found = self.ruler.distance if self.ruler is not None else None
        if found is None:
            return _OFF
        washed = wash_of(results.design.swatch).is_known
        return distance_text(found, results.design.units, washed=washed)


def is_near(one: QPointF, two: QPointF) -> bool:
    """Return whether two places are so near that a hand hasn't moved from one to the other."""
    return (one - two).manhattanLength() < QApplication.startDragDistance()
