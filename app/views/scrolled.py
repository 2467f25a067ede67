"""A panel that is scrolled where the screen, or the person's type, leaves too little room."""

from PySide6.QtCore import QEvent, QObject, QSize, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QWidget

from app.theme import UNIT
from app.type_following import measure_in_type

_USUAL_PX = 17.0  # height of a line in the type that panels are measured for
_MOST = 1.3


def wide_for(widget: QWidget, px: int) -> int:
    """Return a width measured for the usual type, for the type that a person has set."""
    grown = widget.fontMetrics().height() / _USUAL_PX
    return round(px * min(max(grown, 1.0), _MOST))


def keep_wide(widget: QWidget, px: int) -> None:
    """Keep a widget as wide as `px` in the usual type, and as is due in a larger one."""
    measure_in_type(widget, lambda one: one.setFixedWidth(wide_for(one, px)))


def beyond(panel: QWidget, parent: QWidget) -> QScrollArea:
    """Return an area that a panel may reach out of either way; bars stand where they are needed."""
    area = QScrollArea(parent)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setWidgetResizable(True)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(panel)
    panel.setAutoFillBackground(False)
    return area


class Scrolled(QScrollArea):
    """Holds a panel, as wide as it wants to be; a bar stands beside it only if it is needed."""

    def __init__(self, panel: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._panel = panel
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.viewport().setBackgroundRole(QPalette.ColorRole.NoRole)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)
        self.setWidget(panel)
        panel.setAutoFillBackground(False)
        panel.installEventFilter(self)
        self.verticalScrollBar().installEventFilter(self)

    def sizeHint(self) -> QSize:
        """Return the panel's own size."""
        hint = self._panel.sizeHint().expandedTo(self._panel.minimumSize())
        return QSize(self._width(hint), hint.height())

    def minimumSizeHint(self) -> QSize:
        """Return little height: what doesn't fit is scrolled."""
        hint = self._panel.minimumSizeHint().expandedTo(self._panel.minimumSize())
        return QSize(self._width(hint), min(hint.height(), 12 * UNIT))

    def _width(self, hint: QSize) -> int:
        bar = self.verticalScrollBar()
        return hint.width() + (bar.sizeHint().width() if bar.isVisible() else 0)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Ask for other room when the panel wants it, and when its bar comes or goes."""
        bar = watched is self.verticalScrollBar()
        comes_or_goes = event.type() in (QEvent.Type.Show, QEvent.Type.Hide)
        if (bar and comes_or_goes) or (not bar and event.type() == QEvent.Type.LayoutRequest):
            self.updateGeometry()
        return super().eventFilter(watched, event)
