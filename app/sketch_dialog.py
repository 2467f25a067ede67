"""Draw a wave and choose among the nearest that can be worked."""

from functools import partial
from typing import Any, Final

import numpy as np
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.painting.strokes import Floats
from app.theme import UNIT, Theme
from app.type_following import lines_px, measure_in_type
from app.views.sketch_surface import SketchSurface
from app.views.wave_card import WaveCard, bounds_of
from core.design.document import Design
from core.records import Struct
from core.sketch.curve import Drawn, Reading, read_curve
from core.sketch.offers import Offer, take
from core.sketch.outline import OutlineBook
from core.sketch.search import OFFERS, nearest_waves
from core.sketch.variants import drawn_of
from core.sketch.ways import stitch_of

_NONE: Final = np.zeros((0, 2))
_EMPTY: Final = "Draw one wave or a few. The three nearest that can be worked are shown here."


class _Request(Struct, frozen=True, eq=False):
    design: Design
    curve_mm: Floats
    book: OutlineBook


class _Answer(Struct, frozen=True, eq=False):
    now_mm: Floats
    reading: Reading | None = None  # None if nothing was drawn
    offers: tuple[Offer, ...] = ()


def _search(request: Any, should_stop: ShouldStop) -> _Answer:
    design = request.design
    now = _one_repeat(design, request.book, should_stop)
    if not len(request.curve_mm):
        return _Answer(now)
    reading = read_curve(request.curve_mm, design.gauge, stitch_of(design))
    if reading.drawn is None:
        return _Answer(now, reading)
    offers = nearest_waves(design, reading.drawn, book=request.book, should_stop=should_stop)
    return _Answer(now, reading, offers)


class SketchDialog(QDialog):
    """A sheet to draw on, and three waves below it that follow what is drawn."""

    wish = Signal(str, object, object)

    def __init__(self, design: Design, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Draw a wave")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._design, self._theme = design, theme
        self._book = OutlineBook(design)
        self._finder = LatestWins(_search, self)
        self._finder.finished.connect(self._show_answer)
        self._finder.failed.connect(self._show_failure)
        self.surface = SketchSurface(theme, self)
        self.surface.set_up(
            (design.gauge.stitch_width_mm, design.gauge.row_height_mm),
            design.units,
        )
        self.surface.changed.connect(self._on_changed)
        self.said = QLabel(self)
        self.said.setAccessibleName("What was made of the drawing")
        measure_in_type(self.said, lambda said: said.setMinimumHeight(lines_px(said, 1) + 4))
        self.cards = tuple(WaveCard(n + 1, theme, self) for n in range(OFFERS))
        for card in self.cards:
            card.chosen.connect(self._choose)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.surface, 1)
        column.addLayout(self._buttons())
        column.addWidget(self.said)
        row = QHBoxLayout()
        row.setSpacing(UNIT + 4)
        for card in self.cards:
            row.addWidget(card, 1)
        column.addLayout(row, 1)
        self.resize(1120, 660)
        self.surface.setFocus()
        self._on_changed()

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(UNIT)
        surface = self.surface
        self._tools: dict[str, QToolButton] = {}
        for name, tip, do in (
            ("&Start from this wave", "Draw the wave as it is, to change it (Enter)",
             surface.start_from_wave),
            ("&Add point", "Add a point after the chosen one (Insert)", surface.add_point),
            ("&Remove point", "Remove the chosen point (Delete)", surface.remove_point),
            ("Und&o", "Take back the last stroke (Ctrl+Z)", surface.undo),
            ("C&lear", "Wipe the sheet", surface.clear),
            ("Zoom &in", "Show less, larger (+ or wheel)", partial(surface.zoom, 1.25)),
            ("Zoom o&ut", "Show more, smaller (- or wheel)", partial(surface.zoom, 0.8)),
        ):  # fmt: skip
            button = QToolButton(self)
            button.setText(name)
            button.setToolTip(tip)
            button.setAccessibleName(name.replace("&", ""))
            button.clicked.connect(lambda _checked=False, do=do: do())
            self._tools[name.replace("&", "")] = button
            row.addWidget(button)
        row.addStretch(1)
        self._busy = QLabel(self)
        self._busy.setProperty("quiet", True)
        row.addWidget(self._busy)
        close = QPushButton("&Close", self)
        close.setAutoDefault(False)
        close.setToolTip("Leave the wave as it is (Esc)")
        close.clicked.connect(self.reject)
        row.addWidget(close)
        for card in self.cards:
            card.button.setAutoDefault(False)
        return row

    # following the drawing

    def _on_changed(self) -> None:
        curve = self.surface.curve_mm()
        self._tools["Undo"].setEnabled(self.surface.can_undo)
        self._tools["Clear"].setEnabled(bool(len(curve)))
        self._tools["Start from this wave"].setEnabled(self.surface.has_wave)
        if len(curve):
            self._busy.setText("looking for the nearest waves…")
        else:
            self._show_empty(_EMPTY)
        self._finder.submit(_Request(self._design, curve, self._book))

    def _show_empty(self, why: str, *, trouble: bool = False) -> None:
        self._say(why, trouble=trouble)
        self.surface.show_within(_NONE)
        for card in self.cards:
            card.show_nothing("")

    def _say(self, text: str, *, trouble: bool) -> None:
        self.said.setText(f"⚠ {text}" if trouble else text)
        for name in ("trouble", "quiet"):
            self.said.setProperty(name, trouble == (name == "trouble"))
        self.said.style().unpolish(self.said)
        self.said.style().polish(self.said)

    def _show_answer(self, answer: _Answer) -> None:
        self._busy.setText("")
        if not self.surface.has_wave and len(answer.now_mm):
            self.surface.show_wave(answer.now_mm)
            self._tools["Start from this wave"].setEnabled(True)
        if answer.reading is None:
            return
        drawn = answer.reading.drawn
        if drawn is None or not answer.offers:
            self._show_empty(answer.reading.said or "No wave comes near.", trouble=True)
            return
        said = answer.reading.said
        self._say(said or "Solid: the wave as it settles. Dashed: as drawn.", trouble=bool(said))
        line = period_line(drawn, drawn.heights_mm)
        limited = np.ptp(drawn.within_mm) < 0.97 * drawn.height_mm
        within = period_line(drawn, drawn.within_mm) + (drawn.start_mm, drawn.level_mm)
        self.surface.show_within(within if limited else _NONE)
        bounds = bounds_of(answer.offers, line)
        for number, card in enumerate(self.cards):
            if number < len(answer.offers):
                card.show_offer(
                    answer.offers[number], line, bounds,
                    units=self._design.units, terms=self._design.terms,
                )  # fmt: skip
            else:
                card.show_nothing("No other wave comes near")

    def _show_failure(self, error: object) -> None:
        self._busy.setText("")
        self._show_empty(f"The search stopped ({error}); draw on to try again.", trouble=True)

    # leaving

    def _choose(self, offer: Offer) -> None:
        self.wish.emit("Choose drawn wave", partial(take, offer=offer), None)
        self.accept()

    def done(self, result: int) -> None:
        """Stop the search and close."""
        self._finder.close()
        super().done(result)


def period_line(drawn: Drawn, heights_mm: Floats) -> Floats:
    """Return a drawn period as a line from x = 0, its end included, shape (n + 1, 2)."""
    x = np.linspace(0.0, drawn.period_mm, len(heights_mm) + 1)
    return np.stack([x, np.append(heights_mm, heights_mm[0])], axis=1)


def _one_repeat(design: Design, book: OutlineBook, should_stop: ShouldStop) -> Floats:
    """Return the wave as it is from dip to dip, or nothing if it doesn't come to rest."""
    outline = book.outline(design.wave, should_stop)
    if outline is None:
        return _NONE
    drawn = drawn_of(outline)
    return period_line(drawn, drawn.heights_mm)
