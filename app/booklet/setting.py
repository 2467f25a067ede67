"""Text set into lines: the same breaks and real letters on every device."""

import re
from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetricsF,
    QPainter,
    QTextCharFormat,
    QTextLayout,
    QTextOption,
)

from app.booklet.manner import POINT
from core.records import Struct

_LINE_BREAK: Final = "\u2028"
_BROKEN: Final = re.compile(r"\d-mal\b")


class Run(Struct, frozen=True):
    """A stretch of text in one weight."""

    text: str
    bold: bool = False


def font_of(family: str, points: float, *, bold: bool = False) -> QFont:
    """Return an upright font of a size on the page."""
    font = QFont(family)
    font.setPixelSize(round(points * POINT))
    font.setBold(bold)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


class SetText:
    """Text broken into lines of one pitch.

    It keeps what it was made from and not Qt's own layout: that belongs to the fonts of the
    thread it was made in, and pages are painted in others.

    Attributes:
        pitch: From one line to the next, in units.
        n_lines: Lines it takes.
        natural_width: Width of the longest line.
    """

    def __init__(
        self,
        runs: Sequence[Run],
        width: float,
        *,
        family: str,
        points: float,
        leading: float,
        colour: str,
        hang: float = 0.0,
        align: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
    ) -> None:
        """Break `runs` into lines.

        Args:
            runs: The text.
            width: Room for it, in units.
            family: Font family.
            points: Type size.
            leading: Line pitch over type size.
            colour: Of the letters.
            hang: Indent of every line but the first, in units.
            align: Left or right.
        """
        self.pitch = points * leading * POINT
        self.text = "".join(run.text for run in runs).replace("\n", _LINE_BREAK)
        self._runs = tuple(runs)
        self._width = width
        self._family = family
        self._points = points
        self._colour = colour
        self._hang = hang
        self._align = align
        layout = self._layout()
        self.n_lines = layout.lineCount()
        lines = (layout.lineAt(number) for number in range(self.n_lines))
        self.natural_width = max((line.naturalTextWidth() for line in lines), default=0.0)

    @property
    def height(self) -> float:
        """Height of all lines."""
        return self.n_lines * self.pitch

    def _layout(self) -> QTextLayout:
        """Return Qt's layout of it, for the thread that asks."""
        layout = QTextLayout(self.text, font_of(self._family, self._points))
        option = QTextOption(self._align)
        option.setUseDesignMetrics(True)
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        layout.setTextOption(option)
        layout.setFormats(bold_ranges(self._runs, self._family, self._points))
        layout.beginLayout()
        top, first = 0.0, True
        while (line := layout.createLine()).isValid():
            indent = 0.0 if first else self._hang
            wide = max(self._width - indent, POINT)
            line.setLineWidth(wide)
            shorter = _unbroken(self.text, line.textStart(), line.textLength())
            if shorter:
                line.setNumColumns(shorter, wide)
            line.setPosition(QPointF(indent, top + 0.5 * (self.pitch - line.height())))
            top, first = top + self.pitch, False
        layout.endLayout()
        return layout

    def draw(
        self, painter: QPainter, x: float, y: float, first: int = 0, last: int | None = None
    ) -> None:
        """Draw lines `first` to before `last` with the top of the first one at `y`."""
        painter.setPen(QColor(self._colour))
        layout, at = self._layout(), QPointF(x, y - first * self.pitch)
        for number in range(first, self.n_lines if last is None else last):
            layout.lineAt(number).draw(painter, at)


def _unbroken(text: str, start: int, length: int) -> int:
    """Return the letters a line may have, if it would break "2-mal" after the hyphen; else 0."""
    end = start + length
    if not _BROKEN.match(text, end - 2) or end < 2:
        return 0
    return text.rfind(" ", start, end) + 1 - start


def bold_ranges(runs: Sequence[Run], family: str, points: float) -> list[QTextLayout.FormatRange]:
    """Return the bold stretches, counted as Qt counts letters."""
    found, at = [], 0
    bold = QTextCharFormat()
    bold.setFont(font_of(family, points, bold=True))
    for run in runs:
        length = len(run.text.encode("utf-16-le")) // 2  # Qt counts in halves of rare letters
        if run.bold and length:
            part = QTextLayout.FormatRange()
            part.start, part.length, part.format = at, length, bold
            found.append(part)
        at += length
    return found


def text_width(text: str, family: str, points: float, *, bold: bool = False) -> float:
    """Return the width of a line of text, in units."""
    return QFontMetricsF(font_of(family, points, bold=bold)).horizontalAdvance(text)


def elided(text: str, width: float, family: str, points: float) -> str:
    """Return the text cut short to a width."""
    metrics = QFontMetricsF(font_of(family, points))
    return metrics.elidedText(text, Qt.TextElideMode.ElideRight, width)


def draw_label(
    painter: QPainter,
    x: float,
    y: float,
    text: str,
    *,
    family: str,
    points: float,
    colour: str,
    bold: bool = False,
    anchor: float = 0.5,
) -> None:
    """Draw a line of text whose middle height is `y`; `anchor` 0 begins, 1 ends at `x`."""
    font = font_of(family, points, bold=bold)
    metrics = QFontMetricsF(font)
    painter.setFont(font)
    painter.setPen(QColor(colour))
    left = x - anchor * metrics.horizontalAdvance(text)
    painter.drawText(QPointF(left, y + 0.36 * points * POINT), text)
