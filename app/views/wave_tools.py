"""Small buttons in the corner of the wave band: draw a wave, compare variants."""

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QBoxLayout, QToolButton, QWidget

from app.theme import UNIT, small


class WaveTools(QWidget):
    """Sits in the upper right corner of the widget it is given."""

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
        self.setAutoFillBackground(True)
        band.installEventFilter(self)
        self._place(band)

    def _button(self, text: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setAccessibleName(text)
        button.setFont(small(self.font()))
        return button

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in the corner."""
        if event.type() == QEvent.Type.Resize and isinstance(watched, QWidget):
            self._place(watched)
        return super().eventFilter(watched, event)

    def _place(self, band: QWidget) -> None:
        way = QBoxLayout.Direction
        self._row.setDirection(way.LeftToRight)
        if self.sizeHint().width() > band.width():
            self._row.setDirection(way.TopToBottom)
        size = self.sizeHint()
        self.setGeometry(band.width() - size.width() - UNIT // 2, UNIT // 2, *size.toTuple())
