"""The line at the window's foot: what was done on the left, in line with all that stands above."""

from typing import Final

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QStatusBar, QWidget

from app.theme import UNIT

_LEFT: Final = 2 * UNIT  # where the sentence, the chart and the wave begin
_RIGHT: Final = UNIT + 2  # beyond a button, whose words then end where the pages' tabs do


class Foot(QStatusBar):
    """A status bar whose message begins at the window's margin; Qt's own begins at 6 px."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setSizeGripEnabled(False)  # its corner isn't in line with anything
        self.setContentsMargins(0, 0, _RIGHT, 0)

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
