"""Pages to be printed: small ones to choose from at the left, one of them large."""

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QColor, QIcon, QImage, QPainter, QPixmap, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT, Theme
from app.views.pages.fields import ChoiceField

_THUMBS: Final = 160
_ZOOMS: Final = (
    ("page", "Whole page"),
    ("width", "Page width"),
    ("100", "100 %"),
    ("150", "150 %"),
    ("200", "200 %"),
)
_PX_PER_IN: Final = 96
_BOUNDS_PX: Final = (60, 4000)


class PrintedPages(QWidget):
    """Shows small pages it is given and asks for the large one, so many pixels wide."""

    wished = Signal(int, int)  # page from 0, width in pixels

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self._shown = 0
        self._images: tuple[QImage, ...] = ()
        self._natural_px = 816.0
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2 * UNIT)
        row.addWidget(self._list())
        row.addLayout(self._page(), 1)

    def _list(self) -> QListWidget:
        self.thumbs = QListWidget(self)
        self.thumbs.setFixedWidth(_THUMBS)
        self.thumbs.setViewMode(QListWidget.ViewMode.IconMode)
        self.thumbs.setFlow(QListWidget.Flow.TopToBottom)
        self.thumbs.setWrapping(False)
        self.thumbs.setMovement(QListWidget.Movement.Static)
        self.thumbs.setSpacing(UNIT // 2)
        self.thumbs.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.thumbs.setAccessibleName("Pages")
        self.thumbs.setToolTip("Choose a page to look at")
        self.thumbs.currentRowChanged.connect(self._on_page)
        return self.thumbs

    def _page(self) -> QVBoxLayout:
        self.zoom = ChoiceField("Zoom", _ZOOMS)
        self.zoom.setToolTip("How large the page is shown")
        self.zoom.setMinimumContentsLength(10)
        self.zoom.show_value("page")
        self.zoom.changed.connect(lambda *_: self.ask())
        self.status = QLabel(self)
        self.status.setTextFormat(Qt.TextFormat.PlainText)
        self.status.setWordWrap(True)
        self.status.setProperty("quiet", True)
        self.status.setAccessibleName("State of the pages")
        label = QLabel("&Zoom", self)
        label.setBuddy(self.zoom)
        top = QHBoxLayout()
        top.setSpacing(UNIT)
        top.addWidget(self.status, 1)
        top.addWidget(label)
        top.addWidget(self.zoom)
        self.sheet = QLabel(self)
        self.sheet.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.sheet.setAccessibleName("The page")
        self.view = QScrollArea(self)
        self.view.setWidget(self.sheet)
        self.view.setWidgetResizable(True)
        self.view.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.view.setAccessibleName("The page, to be scrolled")
        column = QVBoxLayout()
        column.setSpacing(UNIT)
        column.addLayout(top)
        column.addWidget(self.view, 1)
        return column

    def show_pages(
        self, images: Sequence[QImage], *, wide_in: float, kinds: Sequence[str] = ()
    ) -> None:
        """Show these pages, `wide_in` inches wide at 100 %, and ask for the large one.

        Args:
            images: Small pictures of them.
            wide_in: How wide they are.
            kinds: What each of them is, if that differs.
        """
        if self._images is images:
            return
        self._images, self._natural_px = tuple(images), wide_in * _PX_PER_IN
        self.thumbs.blockSignals(True)
        self.thumbs.clear()
        self.thumbs.setIconSize(images[0].size())
        for place, image in enumerate(images):
            self.thumbs.addItem(self._item(place, image, kinds[place] if kinds else ""))
        self._shown = min(self._shown, len(images) - 1)
        self.thumbs.setCurrentRow(self._shown)
        self.thumbs.blockSignals(False)
        self.ask()

    def clear(self) -> None:
        """Show no pages."""
        self._images = ()
        self.thumbs.clear()
        self.sheet.clear()

    def _item(self, place: int, image: QImage, kind: str) -> QListWidgetItem:
        pixmap = QPixmap.fromImage(image)
        with QPainter(pixmap) as painter:
            painter.setPen(QColor(self._theme.tones.hairline))
            painter.drawRect(pixmap.rect().adjusted(0, 0, -1, -1))
        icon = QIcon(pixmap)
        icon.addPixmap(pixmap, QIcon.Mode.Selected)  # not tinted: its number is
        item = QListWidgetItem(icon, str(place + 1))
        said = f"Page {place + 1}, {kind}" if kind else f"Page {place + 1}"
        item.setData(Qt.ItemDataRole.AccessibleTextRole, said)
        item.setToolTip(said if kind else "")
        item.setSizeHint(QSize(_THUMBS - 4 * UNIT, image.height() + 3 * UNIT))
        return item

    def show_first(self) -> None:
        """Go to the first page when the next ones are shown."""
        self._shown = 0

    def show_page(self, image: QImage) -> None:
        """Show the large page."""
        image.setDevicePixelRatio(self.devicePixelRatioF())
        self.sheet.setPixmap(QPixmap.fromImage(image))

    def ask(self) -> None:
        """Ask for the large page as wide as it is to be shown."""
        if self._images:
            width = round(self._width_shown() * self.devicePixelRatioF())
            self.wished.emit(self._shown, min(max(width, _BOUNDS_PX[0]), _BOUNDS_PX[1]))

    def _on_page(self, number: int) -> None:
        self._shown = max(number, 0)
        self.ask()

    def _width_shown(self) -> float:
        """Return the width that the page is shown at, in the screen's own points."""
        room, zoom, thumb = self.view.viewport().size(), self.zoom.currentData(), self._images[0]
        if zoom == "page":
            fit = (room.height() - UNIT) * thumb.width() / thumb.height()
            return min(fit, room.width() - UNIT)
        if zoom == "width":
            return room.width() - 3 * UNIT
        return self._natural_px * int(zoom) / 100

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the page as large as there is room for."""
        super().resizeEvent(event)
        if self.zoom.currentData() in ("page", "width"):
            self.ask()
