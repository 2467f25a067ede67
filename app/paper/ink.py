"""Drawing on a page in millimetres: words, rules, swatches that print in grey, marks to cut at."""

from typing import Final

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from app.booklet.manner import HAIRLINE, INK, MM, QUIET
from app.booklet.setting import Run, SetText, draw_label, elided, text_width
from core.paper.colours import PaperColour, Pattern
from core.records import Struct
from core.stripes.colour import ink_on

PAPER: Final = "#ffffff"
FILL_IN: Final = "#8a8175"
"""Of lines to write on."""
_STRENGTH: Final = 105  # of 255: a pattern is seen and the colour stays what it is
_SPACING: Final = 2.0  # mm between the lines of a pattern


class Ink(Struct, frozen=True):
    """A painter on a page; lengths are millimetres from its top left corner, type is in points."""

    painter: QPainter
    family: str

    def text(
        self,
        x: float,
        y: float,
        words: str,
        points: float,
        *,
        bold: bool = False,
        colour: str = INK,
        anchor: float = 0.0,
        room: float | None = None,
    ) -> None:
        """Write a line whose middle height is `y`, cut short to `room`."""
        if room is not None:
            words = cut_short(words, room, self.family, points, bold=bold)
        draw_label(self.painter, x * MM, y * MM, words, family=self.family, points=points,
                   colour=colour, bold=bold, anchor=anchor)  # fmt: skip

    def block(self, x: float, y: float, words: SetText) -> float:
        """Write set lines with their top at `y`; return where they end."""
        words.draw(self.painter, x * MM, y * MM)
        return y + words.height / MM

    def line(
        self,
        x: float,
        y: float,
        to_x: float,
        to_y: float,
        *,
        wide: float = 0.12,
        colour: str = INK,
        dashed: bool = False,
    ) -> None:
        """Draw a line so many millimetres wide."""
        pen = QPen(QColor(colour), wide * MM)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        if dashed:
            pen.setDashPattern([1.6 / wide, 1.2 / wide])
        self.painter.setPen(pen)
        self.painter.drawLine(QLineF(x * MM, y * MM, to_x * MM, to_y * MM))

    def box(
        self,
        x: float,
        y: float,
        wide: float,
        high: float,
        *,
        line: float = 0.2,
        colour: str = INK,
        fill: str | None = None,
        dashed: bool = False,
        radius: float = 0.0,
    ) -> None:
        """Draw a box; a line of 0 leaves its outline out."""
        pen = QPen(QColor(colour), line * MM) if line else QPen(Qt.PenStyle.NoPen)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        if dashed:
            pen.setDashPattern([1.6 / line, 1.2 / line])
        self.painter.setPen(pen)
        self.painter.setBrush(QColor(fill) if fill else Qt.BrushStyle.NoBrush)
        rect = QRectF(x * MM, y * MM, wide * MM, high * MM)
        if radius:
            self.painter.drawRoundedRect(rect, radius * MM, radius * MM)
        else:
            self.painter.drawRect(rect)

    def disc(self, x: float, y: float, radius: float, *, line: float = 0.2, fill: str) -> None:
        """Draw a disc with an outline."""
        self.painter.setPen(QPen(QColor(INK), line * MM) if line else QPen(Qt.PenStyle.NoPen))
        self.painter.setBrush(QColor(fill))
        self.painter.drawEllipse(QPointF(x * MM, y * MM), radius * MM, radius * MM)

    def shape(
        self, points: list[tuple[float, float]], *, fill: str = INK, line: float = 0.0
    ) -> None:
        """Draw a filled shape."""
        self.painter.setPen(QPen(QColor(INK), line * MM) if line else QPen(Qt.PenStyle.NoPen))
        self.painter.setBrush(QColor(fill))
        self.painter.drawPolygon(QPolygonF([QPointF(x * MM, y * MM) for x, y in points]))

    def path(self, path: QPainterPath, *, wide: float = 0.2, fill: str | None = None) -> None:
        """Draw a path made in millimetres."""
        self.painter.save()
        self.painter.scale(MM, MM)
        self.painter.setPen(QPen(QColor(INK), wide))
        self.painter.setBrush(QColor(fill) if fill else Qt.BrushStyle.NoBrush)
        self.painter.drawPath(path)
        self.painter.restore()

    def swatch(
        self,
        x: float,
        y: float,
        wide: float,
        high: float,
        colour: PaperColour,
        *,
        line: float = 0.2,
    ) -> None:
        """Fill a box with a colour and its pattern, which helps to tell it in grey."""
        self.box(x, y, wide, high, line=0, fill=colour.colour)
        self._pattern(x, y, wide, high, colour.pattern, ink_on(colour.colour))
        if line:
            self.box(x, y, wide, high, line=line)

    def letter(
        self, x: float, y: float, radius: float, colour: PaperColour, *, points: float = 0.0
    ) -> None:
        """Write a colour's letter on a disc of paper with its middle at a place."""
        points = points or 3.6 * radius * (1.0 if len(colour.letter) < 2 else 0.72)
        self.disc(x, y, radius, line=0.15, fill=PAPER)
        self.text(x, y, colour.letter, points, bold=True, anchor=0.5)

    def _pattern(
        self, x: float, y: float, wide: float, high: float, pattern: Pattern, ink: str
    ) -> None:
        if pattern == "plain":
            return
        painter = self.painter
        painter.save()
        painter.setClipRect(QRectF(x * MM, y * MM, wide * MM, high * MM), _INTERSECT)
        colour = QColor(ink)
        colour.setAlpha(_STRENGTH)
        painter.translate(x * MM, y * MM)
        painter.scale(MM, MM)
        pen = QPen(colour, 0.28)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        if pattern == "dots":
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colour)
            for row in range(int(high / 1.2) + 2):
                for column in range(int(wide / _SPACING) + 2):
                    at = (column + 0.5 * (row % 2)) * _SPACING
                    painter.drawEllipse(QPointF(at, 0.6 + 1.2 * row), 0.32, 0.32)
        else:
            painter.drawLines(_lines(pattern, wide, high))
        painter.restore()


_INTERSECT: Final = Qt.ClipOperation.IntersectClip


def _lines(pattern: Pattern, wide: float, high: float) -> list[QLineF]:
    """Return a pattern's lines over a box, in millimetres."""
    found: list[QLineF] = []
    step = _SPACING if pattern not in ("crosses", "grid") else 1.5 * _SPACING
    if pattern in ("rising", "crosses"):
        n = int((wide + high) / step) + 1
        found += [QLineF(k * step, 0, k * step - high, high) for k in range(1, n + 1)]
    if pattern in ("falling", "crosses"):
        n = int((wide + high) / step) + 1
        found += [QLineF(k * step - high, 0, k * step, high) for k in range(n + 1)]
    if pattern in ("bars", "grid"):
        found += [
            QLineF(0, (k + 0.5) * step * 0.8, wide, (k + 0.5) * step * 0.8)
            for k in range(int(high / step / 0.8) + 1)
        ]
    if pattern in ("posts", "grid"):
        found += [
            QLineF((k + 0.5) * step, 0, (k + 0.5) * step, high) for k in range(int(wide / step) + 1)
        ]
    if pattern == "waves":
        for row in range(int(high / step) + 2):
            y = row * step
            for column in range(int(wide / step) + 1):
                x = column * step
                found.append(QLineF(x, y, x + 0.5 * step, y - 0.5 * step))
                found.append(QLineF(x + 0.5 * step, y - 0.5 * step, x + step, y))
    return found


def cut_short(words: str, room: float, family: str, points: float, *, bold: bool = False) -> str:
    """Return words cut short to so many millimetres; bold ones are a little wider."""
    wide = text_width(words, family, points, bold=bold)
    if wide <= room * MM:
        return words
    share = text_width(words, family, points) / wide if wide else 1.0
    return elided(words, max(room * MM * share - 1, 0.0), family, points)


def width_mm(words: str, family: str, points: float, *, bold: bool = False) -> float:
    """Return how wide a line comes out."""
    return text_width(words, family, points, bold=bold) / MM


def set_words(
    words: str,
    wide: float,
    family: str,
    points: float,
    *,
    bold: bool = False,
    colour: str = INK,
    leading: float = 1.35,
) -> SetText:
    """Return words broken into lines so many millimetres wide."""
    return SetText(
        [Run(words, bold)], wide * MM, family=family, points=points, leading=leading, colour=colour
    )


__all__ = ["FILL_IN", "HAIRLINE", "INK", "PAPER", "QUIET", "Ink", "cut_short", "set_words"]
