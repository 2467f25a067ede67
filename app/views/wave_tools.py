"""Small buttons of the wave: draw a wave, compare variants."""

from PySide6.QtCore import QEvent, QObject, QRect, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QBoxLayout, QToolButton, QVBoxLayout, QWidget

from app.theme import UNIT, small


class WaveTools(QWidget):
    """Stands in the upper right corner of a widget, or at the end of a column."""

    stood = Signal(QRect)  # what it covers of the widget now; nothing in a column

    def __init__(self, band: QWidget) -> None:
        super().__init__(band)
        self.draw = self._button("Draw a wave…", "Draw a wave and get the nearest workable (F7)")
        self.compare = self._button("Compare…", "Compare three variants of this wave (F8)")
        row = self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT // 2)
        row.addWidget(self.draw)
        row.addWidget(self.compare)
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)  # words may lie behind
        band.installEventFilter(self)
        self.stand_in_corner(band)

    def _button(self, text: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setAccessibleName(text)
        button.setFont(small(self.font()))
        return button

    @property
    def wide_px(self) -> int:
        """How wide the buttons are beside each other."""
        return self.draw.sizeHint().width() + UNIT // 2 + self.compare.sizeHint().width()

    def stand_in_corner(self, band: QWidget) -> None:
        """Stand on the wave."""
        self._band: QWidget | None = band
        self._row.setDirection(QBoxLayout.Direction.LeftToRight)
        self._row.setContentsMargins(0, 0, 0, 0)
        self.setAutoFillBackground(True)
        self.setParent(band)
        self._show_again()
        self._place(band)

    def stand_in_column(self, column: QVBoxLayout) -> None:
        """Stand at the end of a column, below each other."""
        self._band = None
        self._row.setDirection(QBoxLayout.Direction.TopToBottom)
        self._row.setContentsMargins(UNIT, UNIT // 2, UNIT, 0)
        self.setAutoFillBackground(False)
        column.addWidget(self)
        self._show_again()
        self.stood.emit(QRect())

    def _show_again(self) -> None:
        """Show what has another parent; a dressed widget then has its first type again."""
        for button in (self.draw, self.compare):
            button.setFont(small(QApplication.font()))
        self.show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in the corner."""
        if watched is self._band and event.type() == QEvent.Type.Resize and self._band is not None:
            self._place(self._band)
        return super().eventFilter(watched, event)

    def event(self, event: QEvent) -> bool:
        """Follow the buttons' size, as type may change."""
        if event.type() == QEvent.Type.LayoutRequest and self._band is not None:
            self._place(self._band)
        return super().event(event)

    def _place(self, band: QWidget) -> None:
        size = self.sizeHint()
        self.setGeometry(band.width() - size.width() - UNIT // 2, UNIT // 2, *size.toTuple())
        self.stood.emit(self.geometry())

    def make_way(self, is_dragged: bool) -> None:
        """Go while a mark of the wave is dragged: it may be dragged to here."""
        if self._band is not None:
            self.setVisible(not is_dragged)
