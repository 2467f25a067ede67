"""The design and one kept aside, beside each other and to one scale, with what is different."""

from typing import Any, Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.computing import LatestWins, ShouldStop
from app.painting.thumbnail import thumbnails_to_scale
from app.tab_order import follow_layout
from app.theme import UNIT, Theme, figure
from app.views.figures import counted, length_text, number, yarn_length
from core.design.differences import differences
from core.design.document import Design
from core.errors import Stopped
from core.pipeline import Pipeline, Results
from core.records import Struct

_PICTURE: Final = QSize(440, 360)
_ALIKE: Final = "Both are the same design."


class _Wish(Struct, frozen=True):
    designs: tuple[Design, Design]
    size: QSize


class _Pair(Struct, frozen=True, eq=False):
    images: tuple[QImage, ...]
    words: tuple[str, ...]


def _look(wish: Any, should_stop: ShouldStop) -> _Pair:
    """Paint both to one scale; runs in the worker."""
    both = []
    for design in wish.designs:
        both.append(Pipeline().results(design))
        if should_stop():
            raise Stopped
    images = thumbnails_to_scale(both, wish.size, should_stop=should_stop)
    return _Pair(tuple(images), tuple(figures_of(results) for results in both))


def figures_of(results: Results) -> str:
    """Return a blanket's main figures in three short lines."""
    design, size, wave = results.design, results.size, results.finished_wave
    units = design.units
    chain = f"Chain {results.rows.foundation.chains}, {counted(design.size.rows, 'row')}"
    if results.rows.misfit is not None:
        return f"{chain}\nOnly {counted(results.rows.drawn_rows, 'row')} can be worked"
    lines = [
        f"{chain}, {counted(len({int(yarn) for yarn in results.yarn_of_row}), 'colour')}",
        f"{length_text(size.width_mm, units)} wide, {length_text(size.length_mm, units)} long, "
        f"{yarn_length(sum(use.needed_m for use in results.yarn), units)} of yarn",
    ]
    if wave is not None:
        digits = 1 if units == "cm" else 2
        height = length_text(wave.wave_height_mm, units, digits=digits)
        lines.append(f"Waves {height} high that lean {number(wave.lean_deg)}°")
    return "\n".join(lines)


class BesideDialog(QDialog):
    """Two blankets and the sentences that tell them apart."""

    back_wished = Signal()

    def __init__(
        self, now: Design, name: str, kept: Design, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Beside each other")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._theme = theme
        self.pictures = tuple(self._picture(words) for words in ("kept aside", "as it is now"))
        self.figures = tuple(QLabel("settling…", self) for _ in range(2))
        grid = QGridLayout()
        grid.setHorizontalSpacing(3 * UNIT)
        grid.setVerticalSpacing(UNIT)
        for place, title in enumerate((f"Kept aside: {name}", "The design as it is now")):
            head = QLabel(title, self)
            head.setFont(figure(self.font(), large=1.15))
            head.setTextFormat(Qt.TextFormat.PlainText)
            self.figures[place].setTextFormat(Qt.TextFormat.PlainText)
            self.figures[place].setProperty("quiet", True)
            grid.addWidget(head, 0, place)
            grid.addWidget(self.pictures[place], 1, place)
            grid.addWidget(self.figures[place], 2, place)
            grid.setColumnStretch(place, 1)
        grid.setRowStretch(1, 1)
        lines = differences(kept, now)
        head = QLabel(f"From “{name}” to now:" if lines else _ALIKE, self)
        head.setTextFormat(Qt.TextFormat.PlainText)
        self.list = QListWidget(self)
        self.list.setAccessibleName("What is different")
        self.list.setWordWrap(True)
        self.list.addItems(list(lines))
        self.list.setMaximumHeight(5 * self.fontMetrics().lineSpacing() + 2 * UNIT)
        self.list.setVisible(bool(lines))
        head.setBuddy(self.list)
        close = QPushButton("&Close", self)
        close.setToolTip("Leave the design as it is (Esc)")
        close.clicked.connect(self.reject)
        self.back = QPushButton("&Put back", self)
        self.back.setToolTip("Make the design the one kept aside; one undo takes it back")
        self.back.setEnabled(bool(lines))
        self.back.clicked.connect(self._put_back)
        for button in (close, self.back):
            button.setAutoDefault(False)
        buttons = QHBoxLayout()
        buttons.addWidget(QLabel("Both to one scale.", self))
        buttons.addStretch(1)
        buttons.addWidget(self.back)
        buttons.addWidget(close)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addLayout(grid, 1)
        column.addWidget(head)
        column.addWidget(self.list)
        column.addLayout(buttons)
        self._worker = LatestWins(_look, self)
        self._worker.finished.connect(self._show_pair)
        self._worker.failed.connect(self._show_failure)
        fine = self.devicePixelRatioF()
        self._worker.submit(_Wish((kept, now), _PICTURE * fine))
        close.setFocus()
        follow_layout(self)

    def _picture(self, words: str) -> QLabel:
        label = QLabel(self)
        label.setMinimumSize(_PICTURE)
        label.setAlignment(Qt.AlignmentFlag.AlignCenter)
        label.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        label.setAccessibleName(f"Picture of the blanket {words}")
        label.setStyleSheet(f"background: {self._theme.tones.sheet};")
        return label

    def _show_pair(self, pair: _Pair) -> None:
        fine = self.devicePixelRatioF()
        for label, image in zip(self.pictures, pair.images, strict=True):
            image.setDevicePixelRatio(fine)
            label.setPixmap(QPixmap.fromImage(image))
        for label, words in zip(self.figures, pair.words, strict=True):
            label.setText(words)

    def _show_failure(self, error: object) -> None:
        for label in self.figures:
            label.setText(f"This can't be shown: {error}.")

    def _put_back(self) -> None:
        self.back_wished.emit()
        self.accept()

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._worker.close()
        super().done(result)
