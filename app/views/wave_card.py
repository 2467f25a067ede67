"""A wave to choose, on a card: its settled line, its figures, a button."""

from typing import Final

import numpy as np
from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.painting.chart import fitted
from app.painting.strokes import Floats, polygon_of
from app.theme import UNIT, Theme, figure, small
from app.views.figures import counted, length, length_text, number, small_length, yarn_length
from core.craft.stitches import Terms
from core.design.document import Units
from core.sketch.offers import Offer
from core.words.short import short_label

Bounds = tuple[float, float, float, float]

_FIGURES: Final = ("Multiple", "Width per repeat", "Wave height", "Blanket", "Yarn", "Off by")
_TIPS: Final = {
    "Blanket": "Repeats and rows that come nearest to the size it has now",
    "Yarn": "All colours together for that blanket, tails and spare included",
    "Off by": "How far the row lies from the drawing, and as a share of the wave's height",
}
_BESIDE: Final = 0.3  # of a period that is shown on either side
_NONE: Final = np.zeros((0, 2))


def bounds_of(offers: tuple[Offer | None, ...], drawn_mm: Floats) -> Bounds:
    """Return what all cards show, so that all of them are to the same scale."""
    wide = float(np.ptp(drawn_mm[:, 0]))
    lines = [drawn_mm, *(offer.line_mm for offer in offers if offer is not None)]
    low = min(float(line[:, 1].min()) for line in lines)
    high = max(float(line[:, 1].max()) for line in lines)
    pad = 0.1 * (high - low) + 0.5
    left = float(drawn_mm[0, 0])
    return (left - _BESIDE * wide, low - pad, left + (1 + _BESIDE) * wide, high + pad)


class WavePlot(QWidget):
    """The settled line over what it is compared with."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._line: Floats = _NONE
        self._drawn: Floats = _NONE
        self._bounds: Bounds = (0.0, 0.0, 1.0, 1.0)
        self.setMinimumHeight(72)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return a broad, low picture."""
        return QSize(300, 104)

    def show_lines(self, line_mm: Floats, drawn_mm: Floats, bounds: Bounds) -> None:
        """Show a line over another."""
        self._line, self._drawn, self._bounds = line_mm, drawn_mm, bounds
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint both lines."""
        tones = self._theme.tones
        with QPainter(self) as painter:
            painter.fillRect(event.rect(), QColor(tones.field))
            if not len(self._line):
                return
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            placing = fitted(self._bounds, QRectF(self.rect()).adjusted(4, 4, -4, -4))
            for line, pen in (
                (self._drawn, QPen(QColor(tones.accent), 2, Qt.PenStyle.DashLine)),
                (self._line, QPen(QColor(tones.ink), 2.2)),
            ):
                pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
                painter.setPen(pen)
                painter.drawPolyline(polygon_of(placing.points(line)))


class WaveCard(QFrame):
    """Shows an offer; its button says that it is chosen."""

    chosen = Signal(object)  # the Offer

    def __init__(self, number: int, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._number = number
        self._offer: Offer | None = None
        self.setObjectName("card")
        self.setAccessibleName(f"Wave {number}")
        self._title = QLabel(self)
        self._title.setFont(figure(self.font(), large=1.15))
        self._items = QLabel(self)
        self._items.setFont(small(self.font()))
        self._items.setProperty("quiet", True)
        self._items.setWordWrap(True)
        self.plot = WavePlot(theme, self)
        self._values = {name: QLabel(self) for name in _FIGURES}
        self._names = {name: QLabel(name, self) for name in _FIGURES}
        grid = QGridLayout()
        grid.setHorizontalSpacing(2 * UNIT)
        grid.setVerticalSpacing(2)
        for row, name in enumerate(_FIGURES):
            self._names[name].setProperty("quiet", True)
            self._values[name].setFont(figure(self.font(), large=1.0))
            self._names[name].setToolTip(_TIPS.get(name, ""))
            self._values[name].setToolTip(_TIPS.get(name, ""))
            grid.addWidget(self._names[name], row, 0)
            grid.addWidget(self._values[name], row, 1)
        grid.setColumnStretch(1, 1)
        self.button = QPushButton(f"Use wave &{number}", self)
        self.button.clicked.connect(self._choose)
        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(UNIT + 4, UNIT, UNIT + 4, UNIT + 2)
        column.setSpacing(UNIT // 2)
        column.addWidget(self._title)
        column.addWidget(self._items)
        column.addWidget(self.plot, 1)
        column.addLayout(grid)
        column.addWidget(self.button)
        theme.changed.connect(self._dress)
        self._dress()
        self.show_nothing("")

    @property
    def offer(self) -> Offer | None:
        """What is on the card."""
        return self._offer

    def add_controls(self, controls: QWidget) -> None:
        """Put controls under the title."""
        self._column.insertWidget(1, controls)

    def add_button(self, button: QPushButton) -> None:
        """Put another button beside the one that chooses."""
        row = QHBoxLayout()
        row.setSpacing(UNIT)
        self._column.removeWidget(self.button)
        for one in (self.button, button):
            row.addWidget(one, 1)
        self._column.addLayout(row)

    def show_nothing(self, why: str) -> None:
        """Show an empty card."""
        self._offer = None
        self._title.setText("–")
        self._items.setText(why)
        for value in self._values.values():
            value.setText("–")
        self.plot.show_lines(_NONE, _NONE, (0, 0, 1, 1))
        self.button.setEnabled(False)
        self.button.setAccessibleName(f"Use wave {self._number}")
        self.button.setToolTip("Nothing to choose yet")
        self.setAccessibleDescription(why)

    def show_offer(
        self, offer: Offer, drawn_mm: Floats, bounds: Bounds, *, units: Units, terms: Terms
    ) -> None:
        """Show an offer over what it is compared with."""
        self._offer = offer
        self._title.setText(offer.name)
        items = short_label(offer.wave.repeat, terms)
        if any(item.skip for item in offer.wave.repeat):
            items += " (leaves holes)"
        self._items.setText(items)
        plus = f", plus {offer.extra}" if offer.extra else ""
        texts = {
            "Multiple": f"{offer.multiple}{plus}",
            "Width per repeat": length(offer.measures.repeat_width_mm, units),
            "Wave height": f"{length(offer.measures.wave_height_mm, units)}, "
            f"leaning {number(offer.measures.lean_deg)}°",
            "Blanket": f"{counted(offer.repeats, 'repeat')}, {counted(offer.rows, 'row')}",
            "Yarn": yarn_length(offer.yarn_m, units),
        }
        compared = offer.distance_mm is not None and offer.share is not None
        self._names["Off by"].setVisible(compared)
        self._values["Off by"].setVisible(compared)
        if offer.distance_mm is not None and offer.share is not None:
            off = small_length(offer.distance_mm, units)
            texts["Off by"] = f"{off} on average ({number(100 * offer.share)} %)"
        for name, text in texts.items():
            self._values[name].setText(text)
        size = f"{length_text(offer.width_mm, units)} by {length_text(offer.length_mm, units)}"
        texts["Blanket"] += f", {size}"
        self._values["Blanket"].setToolTip(f"{size}, nearest to the size it has now")
        self.plot.show_lines(offer.line_mm, drawn_mm, bounds)
        self.button.setEnabled(True)
        told = "; ".join(f"{name} {text}" for name, text in texts.items())
        self.setAccessibleDescription(f"{offer.name}: {items}. {told}")
        self.button.setAccessibleName(f"Use wave {self._number}: {offer.name}")
        self.button.setToolTip(f"Work the blanket in this wave: {offer.name}")

    def _choose(self) -> None:
        if self._offer is not None:
            self.chosen.emit(self._offer)

    def _dress(self) -> None:
        tones = self._theme.tones
        self.setStyleSheet(
            f"#card {{ background: {tones.sheet}; border: 1px solid {tones.hairline}; "
            f"border-radius: 8px; }} QPushButton:disabled {{ color: {tones.muted}; }}"
        )
