"""The line at the window's foot: what was done, in line with all above it, and a next step."""

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QPushButton, QStatusBar, QWidget

from app.theme import UNIT

_LEFT: Final = 2 * UNIT  # where the sentence, the chart and the wave begin
_OFFERED_MS: Final = 20_000
_RIGHT: Final = UNIT + 2  # beyond a button, whose words then end where the pages' tabs do


class Foot(QStatusBar):
    """A status bar whose message begins at the window's margin; Qt's own begins at 6 px."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setSizeGripEnabled(False)  # its corner isn't in line with anything
        self.setContentsMargins(0, 0, _RIGHT, 0)

        self.deed = QPushButton(self)
        self.deed.setProperty("quiet", True)
        self.addPermanentWidget(self.deed)
        self.deed.hide()
        self._act: Callable[[], object] = lambda: None
        self.deed.clicked.connect(self._do)
        self._offered = ""  # the message that the deed belongs to
        self.messageChanged.connect(self._on_message)

    def offer(self, text: str, words: str, act: Callable[[], object]) -> None:
        """Say something, and offer beside it what may be wished for next."""
        self._offered = text
        self.showMessage(text, _OFFERED_MS)
        self._act = act
        self.deed.setText(words)
        self.deed.show()

    def _do(self) -> None:
        self.clearMessage()
        self._act()

    def _on_message(self, text: str) -> None:
        if text != self._offered:
            self.deed.hide()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the message up to what stands on the right, cut where it is too long."""
        del event
        text = self.currentMessage()
        if not text:
            return
        beside = self.findChildren(QWidget, options=Qt.FindChildOption.FindDirectChildrenOnly)
        others = [one.x() for one in beside if one.isVisible()]
        room = QRect(_LEFT, 0, min([*others, self.width()]) - _LEFT - UNIT, self.height())
        with QPainter(self) as painter:
            painter.setPen(self.palette().color(QPalette.ColorRole.WindowText))
            shown = self.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(
                room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, shown
            )
