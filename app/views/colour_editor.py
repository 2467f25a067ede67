"""A colour by hand: a well, its code, and sliders for lightness, strength and hue."""

import re
from typing import Final

import numpy as np
from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.theme import UNIT, Theme, small
from app.views.oklch_slider import OklchSlider
from app.views.pages.fields import TextField
from core.palette.spaces import (
    MOST_CHROMA,
    Floats,
    Oklch,
    hex_of_oklch,
    oklch_of,
    rgb_of_oklch,
    shows,
)
from core.palette.words import colour_words

_CODE: Final = re.compile(r"#?([0-9a-fA-F]{6}|[0-9a-fA-F]{3})")
_FINE: Final = 1000.0  # steps of the slider in a whole of chroma
_NOT_SHOWN: Final = "No screen shows a colour so strong here; this is the nearest it shows."
_NO_CODE: Final = "A colour's code is six figures or letters from a to f, like #2a6f97."


class ColourEditor(QWidget):
    """Shows one colour, lets it be changed by mouse, keys and code."""

    changed = Signal(str, object)  # the colour, by a person; the gesture

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._colour = "#808080"
        self._oklch: Oklch = oklch_of(self._colour)
        self.well = ColourWell(theme, self)
        self.words = QLabel(self)
        self.words.setWordWrap(True)
        self.code = TextField("Code of the colour", longest=7, parent=self)
        self.code.setToolTip("Six figures or letters from a to f: red, green and blue")
        self.code.setFixedWidth(self.fontMetrics().horizontalAdvance("#mmmmmm") + 3 * UNIT)
        self.code.changed.connect(self._on_code)
        names = (
            ("Lightness", 1000, 10, "From black to white"),
            ("Strength", round(_FINE * MOST_CHROMA), 5, "From grey to vivid (chroma)"),
            ("Hue", 360, 2, "Round the circle: red, yellow, green, blue, purple"),
        )
        self.sliders = tuple(OklchSlider(n, most, step, theme, self) for n, most, step, _ in names)
        self.said = QLabel(self)
        self.said.setProperty("quiet", True)
        self.said.setWordWrap(True)
        self.said.setFont(small(self.font()))
        head = QHBoxLayout()
        head.setSpacing(UNIT)
        head.addWidget(self.well)
        head.addWidget(self.words, 1)
        head.addWidget(self.code)
        grid = QGridLayout()
        grid.setHorizontalSpacing(UNIT)
        grid.setVerticalSpacing(UNIT // 2)
        grid.setColumnStretch(1, 1)
        for row, ((name, _, _, tip), slider) in enumerate(zip(names, self.sliders, strict=True)):
            label = QLabel(name, self)
            label.setBuddy(slider)
            slider.setToolTip(tip)
            slider.moved.connect(self._on_slider)
            grid.addWidget(label, row, 0)
            grid.addWidget(slider, row, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        column.addLayout(head)
        column.addLayout(grid)
        column.addWidget(self.said)
        self.setFocusProxy(self.code)
        for one, other in zip((self.code, *self.sliders), self.sliders, strict=False):
            QWidget.setTabOrder(one, other)
        self._show()

    @property
    def colour(self) -> str:
        """The colour shown, as #rrggbb."""
        return self._colour

    def show_colour(self, colour: str) -> None:
        """Show a colour; the same one leaves the sliders where they are."""
        if colour.lower() != self._colour:
            self._colour = colour.lower()
            self._oklch = oklch_of(self._colour)
        self._show()

    def _on_slider(self, _: int, gesture: object) -> None:
        light, chroma, hue = self.sliders
        self._oklch = light.value() / 1000.0, chroma.value() / _FINE, hue.value() % 360.0
        self._colour = hex_of_oklch(*self._oklch)
        self._show()
        self.changed.emit(self._colour, gesture)

    def _on_code(self, text: str) -> None:
        known = _CODE.fullmatch(text.strip())
        if known is None:
            self.code.show_value(self._colour, even_if_typed=True)
            self.said.setText(f"⚠ {_NO_CODE}")
            self.said.show()
            return
        figures = known[1].lower()
        if len(figures) == 3:
            figures = "".join(2 * figure for figure in figures)
        self.show_colour(f"#{figures}")
        self.changed.emit(self._colour, None)

    def _show(self) -> None:
        lightness, chroma, hue = self._oklch
        words = colour_words(self._colour)
        self.well.show_colour(self._colour)
        self.words.setText(words[0].upper() + words[1:])
        self.setAccessibleDescription(f"{words}, {self._colour}")
        self.code.show_value(self._colour)
        light, strength, round_ = self.sliders
        light.show_value(round(1000 * lightness), _track(light.places / 1000.0, chroma, hue))
        strength.show_value(round(_FINE * chroma), _track(lightness, strength.places / _FINE, hue))

        round_.show_value(round(hue), _track(lightness, chroma, round_.places))
        outside = not bool(shows(rgb_of_oklch(lightness, chroma, hue)))
        self.said.setText(_NOT_SHOWN if outside else "")
        self.said.setVisible(outside)


def _track(lightness: Floats | float, chroma: Floats | float, hue: Floats | float) -> Floats:
    return np.asarray(rgb_of_oklch(lightness, chroma, hue))


class ColourWell(QWidget):
    """A patch of one colour."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._colours: tuple[str, ...] = ()
        self.setFixedSize(self.sizeHint())

    def sizeHint(self) -> QSize:
        """Return a patch that can be judged."""
        return QSize(6 * UNIT, 4 * UNIT)

    def show_colour(self, *colours: str) -> None:
        """Show a colour, or more side by side."""
        self._colours = colours
        self.update()

    def paintEvent(self, event: object) -> None:
        """Paint the patch."""
        del event
        box = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        with QPainter(self) as painter:
            wide = box.width() / max(len(self._colours), 1)
            for place, colour in enumerate(self._colours):
                part = QRectF(box.left() + place * wide, box.top(), wide, box.height())
                painter.fillRect(part, QColor(colour))
            painter.setPen(QColor(self._theme.tones.muted))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box)
