"""The export sheet's right side: the chart at print size or whole, and how well it reads."""

from functools import partial
from typing import Final

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QImage, QPixmap, QResizeEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT, small
from core.chart.clearance import Clearance
from core.craft.stitches import CATALOGUE, Terms
from core.craft.units import MM_PER_IN

_TOUCHING: Final = 0.05  # mm, under which nobody sees a gap


class ExportPreview(QWidget):
    """Shows the chart as it will come out."""

    wished = Signal()  # another picture: print size or whole, colour or grey
    offer_taken = Signal(str)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._picture = QLabel(self)
        self._picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self._picture.setAccessibleName("Preview of the chart")
        self._scroll = QScrollArea(self)
        self._scroll.setAccessibleName("Preview of the chart")
        self._scroll.setWidget(self._picture)
        self._scroll.setWidgetResizable(True)
        self._scroll.setMinimumSize(380, 280)
        self._scroll.viewport().installEventFilter(self)
        self.at_print_size = QCheckBox("Print si&ze (100 %)", self)
        self.at_print_size.setToolTip("One millimetre on the screen is one in print")
        self.in_grey = QCheckBox("As a gre&y print", self)
        self.in_grey.setToolTip("How it looks from a printer without colours")
        self.at_print_size.toggled.connect(self.wished)
        self.in_grey.toggled.connect(self.wished)
        self._busy = QLabel("Drawing…", self)
        self._busy.setProperty("quiet", "true")
        self._busy.hide()
        self._reads = QLabel(self)
        self._reads.setWordWrap(True)
        self._reads.setTextFormat(Qt.TextFormat.PlainText)
        self._reads.setAccessibleName("How well the chart reads")
        self._offered: list[tuple[str, str]] = []
        self._ways = QWidget(self)  # keeps its height, or the picture would change its own
        self._ways.setFixedHeight(4 * UNIT)
        self._offers = QHBoxLayout(self._ways)
        self._offers.setContentsMargins(0, 0, 0, 0)
        self._offers.setSpacing(UNIT)
        self._offers.addStretch(1)
        self._offer_buttons: list[QPushButton] = []
        self._room = QSize()
        self._lay_out()

    def _lay_out(self) -> None:
        switches = QHBoxLayout()
        switches.addWidget(self.at_print_size)
        switches.addSpacing(2 * UNIT)
        switches.addWidget(self.in_grey)
        switches.addStretch(1)
        switches.addWidget(self._busy)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        column.addLayout(switches)
        column.addWidget(self._scroll, 1)
        column.addWidget(self._reads)
        column.addWidget(self._ways)
        self._reads.setFont(small(self.font()))
        self._reads.setMinimumHeight(2 * QFontMetrics(self._reads.font()).height())
        self._reads.setAlignment(Qt.AlignmentFlag.AlignTop)

    def width_wished_px(self, print_mm: float) -> int:
        """Return how wide a picture is wanted, in the screen's own pixels."""
        ratio = self.devicePixelRatioF()
        if self.at_print_size.isChecked():
            dots = self.screen().physicalDotsPerInchX() * ratio
            return max(round(print_mm / MM_PER_IN * dots), 16)
        return max(round((self._scroll.viewport().width() - 4) * ratio), 64)

    def height_room_px(self) -> int | None:
        """Return how high a picture may be, in the screen's own pixels; None for any height."""
        if self.at_print_size.isChecked():
            return None
        return max(round((self._scroll.viewport().height() - 4) * self.devicePixelRatioF()), 64)

    def show_picture(self, image: QImage) -> None:
        """Show a picture."""
        pixmap = QPixmap.fromImage(image)
        pixmap.setDevicePixelRatio(self.devicePixelRatioF())
        self._picture.setPixmap(pixmap)

    def show_busy(self, *, busy: bool) -> None:
        """Show whether a new picture is on its way."""
        self._busy.setVisible(busy)

    def say(self, text: str) -> None:
        """Say something in the picture's place."""
        self._picture.setText(text)

    @property
    def picture_size(self) -> QSize:
        """The size of the picture shown, in its own pixels."""
        return self._picture.pixmap().size()

    @property
    def reading(self) -> str:
        """What is said about how well the chart reads."""
        return self._reads.text()

    def show_reading(
        self, reads: Clearance, least_mm: float, terms: Terms, offers: list[tuple[str, str]]
    ) -> None:
        """Say how small and how close the symbols are; offer ways out if they are too small.

        Args:
            reads: What was measured.
            least_mm: The smallest symbol wanted.
            terms: Terms of the stitches' names.
            offers: Name and words of each way out.
        """
        too_small = is_too_small(reads, least_mm)
        self._reads.setText(reading_of(reads, least_mm, terms))
        self._reads.setProperty("trouble", "true" if too_small else "false")
        self._reads.style().unpolish(self._reads)
        self._reads.style().polish(self._reads)
        self._show_offers(offers if too_small else [])

    def _show_offers(self, offers: list[tuple[str, str]]) -> None:
        if offers == self._offered:
            return
        self._offered = offers
        for old in self._offer_buttons:
            self._offers.removeWidget(old)
            old.hide()
            old.deleteLater()
        self._offer_buttons = []
        for place, (name, words) in enumerate(offers):
            button = QPushButton(words, self._ways)
            button.setToolTip(words)
            button.clicked.connect(partial(self.offer_taken.emit, name))
            self._offers.insertWidget(place, button)
            self._offer_buttons.append(button)

    def eventFilter(self, watched: object, event: QEvent) -> bool:
        """Ask for another picture when there is more or less room for it."""
        fits = not self.at_print_size.isChecked()
        if isinstance(event, QResizeEvent) and fits and event.size() != self._room:
            self._room = event.size()
            self.wished.emit()
        return super().eventFilter(watched, event)  # type: ignore[arg-type]


def is_too_small(reads: Clearance, least_mm: float) -> bool:
    """Return whether a symbol is smaller than is wanted."""
    return reads.smallest_mm < least_mm - 0.005


def reading_of(reads: Clearance, least_mm: float, terms: Terms) -> str:
    """Return in words how small and how close the symbols of a chart are in print."""
    name = CATALOGUE[reads.smallest].name(terms).short
    place = f"row {reads.smallest_row}" if reads.smallest_row else "foundation"
    text = f"Smallest symbol {reads.smallest_mm:.1f} mm ({name}, {place})"
    if reads.closest_mm is not None:
        where = _where(*reads.closest_rows)
        if reads.closest_mm < _TOUCHING:
            text += f"; the closest two touch ({where})"
        else:
            text += f", closest two {reads.closest_mm:.1f} mm apart ({where})"
    if reads.mark_mm is not None:
        text += f", loop marks {reads.mark_mm:.1f} mm"
    if is_too_small(reads, least_mm):
        return f"Too small to read: under {least_mm:.1f} mm. {text}."
    return f"{text}."


def _where(low: int, high: int) -> str:
    if low == high:
        return f"row {low}" if low else "the foundation"
    return f"rows {low} and {high}" if low else f"the foundation and row {high}"
