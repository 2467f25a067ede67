"""A frame of light round a control, for a few moments: this is the one that was spoken of."""

from typing import Final

from PySide6.QtCore import QEvent, QObject, QPoint, QRectF, Qt, QTimer
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.theme import UNIT, Theme

_SHOWN_MS: Final = 4000
_AROUND_PX: Final = 3


class LitFrame(QWidget):
    """Lies over the window's widgets without taking anything from them; frames one of them."""

    def __init__(self, theme: Theme, window: QWidget) -> None:
        super().__init__(window)
        self._theme, self._window = theme, window
        self._lit: QWidget | None = None
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._end = QTimer(self)
        self._end.setSingleShot(True)
        self._end.setInterval(_SHOWN_MS)
        self._end.timeout.connect(self.put_out)
        self.hide()

    @property
    def lit(self) -> QWidget | None:
        """The control that is framed."""
        return self._lit

    def light(self, widget: QWidget) -> None:
        """Frame a control of the window."""
        self.put_out()
        self._lit = widget
        widget.installEventFilter(self)
        self._place()
        self.show()
        self.raise_()
        self._end.start()

    def put_out(self) -> None:
        """Frame nothing."""
        self._end.stop()
        if self._lit is not None:
            self._lit.removeEventFilter(self)
            self._lit = None
        self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the control; the frame has done its work once the control is used."""
        kind = event.type()
        if kind in (QEvent.Type.Move, QEvent.Type.Resize):
            self._place()
        elif kind in (QEvent.Type.MouseButtonPress, QEvent.Type.KeyPress, QEvent.Type.Hide):
            self.put_out()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        if self._lit is None:
            return
        corner = self._lit.mapTo(self._window, QPoint(0, 0))
        room = self._lit.rect().translated(corner)
        around = _AROUND_PX
        self.setGeometry(room.adjusted(-around, -around, around, around))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the frame."""
        del event
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            box = QRectF(self.rect()).adjusted(2, 2, -2, -2)
            glow = QColor(self._theme.tones.accent)
            glow.setAlpha(70)
            painter.setPen(QPen(glow, 4))
            painter.drawRoundedRect(box, UNIT, UNIT)
            painter.setPen(QPen(QColor(self._theme.tones.accent), 2))
            painter.drawRoundedRect(box, UNIT, UNIT)
