"""What sits on the fabric's canvas for its relief: the lamp, and the rows from the side."""

from PySide6.QtCore import QMarginsF, QObject, QSize, Signal
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QWidget

from app.painting.chart import Placing
from app.painting.strokes import polygon_of
from app.theme import UNIT, Theme, Tones
from app.views.light_dial import LightDial
from app.views.side_view import SideView
from core.fabric.light import Light
from core.fabric.sheet import Fabric
from core.pipeline import Results


class FabricRelief(QObject):
    """Places lamp and side view on a canvas, and remembers the row pointed at from the side."""

    changed = Signal()

    def __init__(self, canvas: QWidget, theme: Theme) -> None:
        super().__init__(canvas)
        self.dial = LightDial(theme, canvas)
        self.side = SideView(theme, canvas)
        self.side.hide()
        self.row = -1
        self._size, self._below = QSize(), 5 * UNIT
        self.dial.changed.connect(self.changed)
        self._results: Results | None = None
        self.side.row_hovered.connect(self._on_row)

    @property
    def light(self) -> Light:
        """Where the light comes from."""
        return self.dial.light

    def show_side(self, shown: bool) -> None:
        """Show the rows from the side, or put them away."""
        if not shown:
            self._on_row(-1)
        elif self._results is not None:
            self.side.show_results(self._results)
        self.side.setVisible(shown)
        self.place(self._size, self._below)
        self.changed.emit()

    def show_results(self, results: Results) -> None:
        """Show the rows of these results."""
        self._results = results
        if not self.side.isHidden():  # it is brought up to date when it is shown
            self.side.show_results(results)

    def taken_px(self) -> int:
        """Return the width that the side view takes from the canvas's right, at most half of it."""
        wide = 0 if self.side.isHidden() else self.side.width()
        return min(wide, self._size.width() // 2)

    def place(self, size: QSize, below_px: int = 5 * UNIT) -> None:
        """Go to the canvas's right edge, below its switches, which end at `below_px`."""
        self._size = size
        self._below = below_px
        top = below_px + UNIT
        self.dial.move(size.width() - self.dial.width() - UNIT, top)
        below = top + self.dial.height() + UNIT
        height = min(size.height() - below - 2 * UNIT, 60 * UNIT)
        self.side.setGeometry(
            size.width() - self.side.width() - UNIT, below, self.side.width(), max(height, 0)
        )

    def frame(self, row: int) -> None:
        """Frame a row of the fabric; -1 frames none."""
        self._on_row(row)

    def _on_row(self, row: int) -> None:
        if row != self.row:
            self.row = row
            self.changed.emit()


def paint_row(painter: QPainter, fabric: Fabric, row: int, placing: Placing, tones: Tones) -> None:
    """Frame a row of the fabric."""
    if not 1 <= row <= fabric.n_rows:
        return
    for line in (row - 1, row):
        points = polygon_of(placing.points(fabric.row_tops_mm(line)))
        for colour, width in ((tones.sheet, 5.0), (tones.accent, 2.0)):
            painter.setPen(QPen(QColor(colour), width))
            painter.drawPolyline(points)


def loop_margins(results: Results, placing: Placing) -> QMarginsF:
    """Return how far the loops of foundation and last row reach beyond the fabric's tops."""
    reach = 0.45 * results.fabric.size.width_mm * placing.scale
    return QMarginsF(0.3 * reach, reach, 0.3 * reach, reach)
