"""The wave with its tools and its figures, set for the room there is.

Usually the tools stand in the wave's corner, and the figures in two columns beside it. Large type
or a narrow window would leave no wave to be seen: then the figures stand in one column, and the
tools below them.
"""

from typing import Final

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.tab_order import follow_layout
from app.theme import UNIT, Theme
from app.type_following import measure_in_type
from app.views.scrolled import Scrolled
from app.views.wave_band import WaveBand
from app.views.wave_controls import WaveControls
from app.views.wave_tools import WaveTools

_LEAST_PX: Final = 32 * UNIT  # of the wave
_FREE: Final = 1.75  # how often the tools have to fit across the wave to stand on it


class WavePanel(QWidget):
    """Holds the wave, what can be done with it and what it is made of."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.band = WaveBand(theme, self)
        self.band.setMinimumWidth(_LEAST_PX)
        self.tools = WaveTools(self.band)
        self.tools.stood.connect(self.band.keep_free)
        self.band.held.connect(self.tools.make_way)
        self.controls = WaveControls(theme, self)
        self._beside = QWidget(self)
        self._column = QVBoxLayout(self._beside)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.controls, 1)
        self._scrolled = Scrolled(self._beside, self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.band, 1)
        row.addWidget(self._scrolled)
        measure_in_type(self, WavePanel._follow_type)

    def minimumSizeHint(self) -> QSize:
        """Return the room for one column: two give way to it."""
        bar = self._scrolled.verticalScrollBar().sizeHint().width()
        return QSize(_LEAST_PX + self.controls.wide_px(1) + bar, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Set everything for the new room."""
        super().resizeEvent(event)
        self._set()

    def _follow_type(self) -> None:
        if self.isVisible():  # otherwise it will get its size first
            self._set()

    def _set(self) -> None:
        wave = self.width() - self.controls.wide_px(2)
        is_free = wave >= _FREE * self.tools.wide_px
        if is_free == (self.controls.columns == 2):
            return
        self.controls.set_columns(2 if is_free else 1)
        if is_free:
            self.tools.stand_in_corner(self.band)
        else:
            self.tools.stand_in_column(self._column)
        follow_layout(self)
