"""A picture of a view that is kept until something in it changes.

What comes and goes with the pointer is painted over it, which costs no more than the copy. It is
kept only when it is asked for a second time: while a hand moves or changes what is shown, every
picture is another, and copies would only cost.
"""

from collections.abc import Callable

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QWidget


class KeptPicture:
    """The picture of one widget; `forget` when it would look different."""

    def __init__(self, widget: QWidget) -> None:
        self._widget = widget
        self._picture: QPixmap | None = None
        self._is_stale = True  # its room is kept all the same: taking new room takes time
        self._is_new = True  # whether it hasn't been asked for yet

    def forget(self) -> None:
        """Have it painted anew when it is next wanted."""
        self._is_stale = self._is_new = True

    def paint(self, painter: QPainter, paint: Callable[[QPainter], None]) -> None:
        """Paint the widget's picture, with `paint` where it isn't in hand.

        `paint` has to cover all of it: what it showed before may lie there.
        """
        if self._is_new:
            self._is_new = False
            painter.save()
            paint(painter)
            painter.restore()
        else:
            painter.drawPixmap(0, 0, self._made(paint))

    def _made(self, paint: Callable[[QPainter], None]) -> QPixmap:
        """Return the picture at the widget's size."""
        fine = self._widget.devicePixelRatioF()
        size = QSizeF(self._widget.width() * fine, self._widget.height() * fine).toSize()
        if self._picture is None or self._picture.size() != size:
            self._picture, self._is_stale = QPixmap(size), True
        self._picture.setDevicePixelRatio(fine)
        if self._is_stale:
            with QPainter(self._picture) as painter:
                painter.setFont(self._widget.font())
                paint(painter)
            self._is_stale = False
        return self._picture
