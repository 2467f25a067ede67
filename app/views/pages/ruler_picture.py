"""Where to lay the ruler on a worked wave: peak to peak, up the rows, from dip to peak."""

from typing import Final, Literal

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.spoken import Role, Told, tell
from app.theme import UNIT, Theme, small
from core.pipeline import Results

Measured = Literal["width", "length", "height"]

_ROWS: Final = 5
_TICK: Final = 4.0
_HEIGHT: Final = 136
_SAID: Final = (
    "A piece of the wave with three rulers: across from peak to peak, up over several rows, and "
    "from the bottom of a dip to the top of a peak along one row."
)


class RulerPicture(QWidget):
    """Draws a few rows of the settled wave with the three measures; one of them can be lit."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._line = np.empty((0, 2))
        self._rise = 0.0
        self._lit: Measured | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Where to lay the ruler")
        tell(self, Told(role=Role.Graphic))
        self.setAccessibleDescription(_SAID)
        self.setToolTip("Where to lay the ruler")
        theme.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Return a low band."""
        return QSize(200, _HEIGHT + 2 * self.fontMetrics().height())

    def show_results(self, results: Results) -> None:
        """Draw the wave of these results."""
        profile, wave = results.profile, results.wave
        self.setVisible(profile is not None)
        if profile is not None and wave is not None:
            repeat = len(profile.line_mm) // 3
            self._line = profile.line_mm[: 2 * repeat + 1]
            self._rise = wave.rise_mm
            self.update()

    def light(self, measured: Measured | None) -> None:
        """Light one of the measures."""
        if measured != self._lit:
            self._lit = measured
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the rows, then the rulers."""
        del event
        if len(self._line) < 3:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(small(self.font()))
        line, rise = self._placed()
        painter.setPen(QPen(QColor(self._theme.tones.muted), 1.2))
        for row in range(_ROWS):
            painter.drawPolyline(QPolygonF([QPointF(x, y - row * rise) for x, y in line]))
        self._rulers(painter, line, rise)
        painter.end()

    def _placed(self) -> tuple[np.ndarray, float]:
        """Return the lowest row's line in pixels, y down, and the rise of a row."""
        text = painter_height = self.fontMetrics().height()
        left, right = 3.0 * UNIT, self.width() - 3.0 * UNIT
        top, bottom = text + 1.5 * UNIT, self.height() - painter_height - UNIT
        wide, high = np.ptp(self._line, axis=0)
        scale = min((right - left) / wide, (bottom - top) / (high + (_ROWS - 1) * self._rise))
        x = (self._line[:, 0] - self._line[:, 0].min()) * scale
        x += 0.5 * (self.width() - wide * scale)
        y = bottom - (self._line[:, 1] - self._line[:, 1].min()) * scale
        return np.stack([x, y], axis=1), self._rise * scale

    def _rulers(self, painter: QPainter, line: np.ndarray, rise: float) -> None:
        half = len(line) // 2
        first = int(np.argmin(line[:half, 1]))
        peak, other = line[first], line[first + half]
        up = (_ROWS - 1) * rise
        y = float(peak[1]) - up - UNIT
        across = (QPointF(peak[0], y), QPointF(other[0], y))
        self._ruler(painter, *across, "width, peak to peak", "width", above=True)
        x = float(line[0, 0]) - 1.5 * UNIT
        start = float(line[0, 1])
        self._ruler(painter, QPointF(x, start), QPointF(x, start - up), "length", "length")
        low = int(np.argmax(line[half:, 1])) + half
        dip, crest = float(line[low, 1]), float(line[half:, 1].min())
        x = float(line[-1, 0]) + 1.5 * UNIT
        painter.setPen(QPen(QColor(self._theme.tones.hairline), 1, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(line[low, 0], dip), QPointF(x, dip))
        top = int(np.argmin(line[half:, 1])) + half
        painter.drawLine(QPointF(line[top, 0], crest), QPointF(x, crest))
        self._ruler(painter, QPointF(x, dip), QPointF(x, crest), "dip to peak", "height")

    def _ruler(
        self,
        painter: QPainter,
        start: QPointF,
        end: QPointF,
        words: str,
        measured: Measured,
        *,
        above: bool = False,
    ) -> None:
        lit = measured == self._lit
        tones = self._theme.tones
        painter.setPen(QPen(QColor(tones.accent if lit else tones.ink), 2.5 if lit else 1.2))
        painter.drawLine(start, end)
        tick = QPointF(0, _TICK) if above else QPointF(_TICK, 0)
        for point in (start, end):
            painter.drawLine(point - tick, point + tick)
        room = painter.fontMetrics()
        wide = room.horizontalAdvance(words) + 2
        middle = 0.5 * (start.x() + end.x()) - 0.5 * wide
        x = min(max(middle, 0.0), self.width() - wide)
        y = start.y() - room.height() - 3 if above else max(start.y(), end.y()) + 3
        painter.drawText(QRectF(x, y, wide, room.height()), Qt.AlignmentFlag.AlignCenter, words)
