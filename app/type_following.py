"""Follows the size of the system's type while the program runs.

Widgets whose type is a share of the system's were given it once; when the system's changes, each
of them is given the same share of the new one.
"""

from typing import Final

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtWidgets import QApplication, QWidget

_SIZE: Final = 0x0002  # in a font's mask: its size is its own (QFont::SizeResolved in qfont.h)


class TypeFollower(QWidget):
    """Hears of changes as any widget does; never shown."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("type follower")
        self._points = QApplication.font().pointSizeF()

    def event(self, event: QEvent) -> bool:
        """Follow once every widget has been told."""
        if event.type() == QEvent.Type.ApplicationFontChange:
            QTimer.singleShot(0, self._follow)
        return super().event(event)

    def _follow(self) -> None:
        """Let every widget with type of its own grow or shrink alike, and dress all anew."""
        before, now = self._points, QApplication.font().pointSizeF()
        self._points = now
        if before <= 0 or now <= 0 or abs(now - before) < 0.01:
            return
        application = QApplication.instance()
        if isinstance(application, QApplication):  # dressed widgets keep the type they had
            sheet = application.styleSheet()
            application.setStyleSheet("")
            application.setStyleSheet(sheet)
        for widget in QApplication.allWidgets():
            font = widget.font()
            own = widget.testAttribute(Qt.WidgetAttribute.WA_SetFont)
            if own and font.resolveMask() & _SIZE:
                font.setPointSizeF(font.pointSizeF() * now / before)
                widget.setFont(font)


_followers: list[TypeFollower] = []


def follow_type() -> None:
    """See to it that the system's type is followed."""
    if not _followers:
        _followers.append(TypeFollower())
