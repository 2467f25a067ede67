"""What is kept aside of a design, at the window's foot: choose it, flip to it, put it back."""

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QSize, Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QToolButton,
    QWidget,
)

from app.theme import UNIT, Theme, small
from app.views.pages.fields import ChoiceField
from core.design.kept import MOST_NAME


class AsideBar(QWidget):
    """Names what is kept aside; hidden while nothing is."""

    flip_wished = Signal()
    beside_wished = Signal()
    back_wished = Signal()
    forget_wished = Signal()
    chosen = Signal(int)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        label = QLabel("Kept aside", self)
        label.setProperty("quiet", True)
        self.names = ChoiceField("What is kept aside", (), self)
        self.names.setToolTip("Which of those kept aside to flip to")
        self.names.setFixedWidth(18 * UNIT)
        label.setBuddy(self.names)
        self.flip = self._button("Flip", "Flip between the design and the one kept aside (F5)")
        self.flip.setCheckable(True)
        self.beside = self._button("Beside…", "See both beside each other, to one scale (Ctrl+F5)")
        self.back = self._button("Put back", "Make the design what was kept; undo takes it back")
        self.forget = self._button("Forget", "Keep it aside no longer; its version stays")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 2 * UNIT, 0)
        row.setSpacing(UNIT // 2)
        row.addStretch(1)
        for widget in (label, self.names, self.flip, self.beside, self.back, self.forget):
            widget.setFont(small(self.font()))
            row.addWidget(widget)
        self.setStyleSheet(
            "QToolButton { padding: 1px 6px; } QToolButton:focus { padding: 0 5px; }"
        )
        self.names.changed.connect(lambda key, _: self.chosen.emit(int(key)))
        for button, signal in (
            (self.flip, self.flip_wished),
            (self.beside, self.beside_wished),
            (self.back, self.back_wished),
            (self.forget, self.forget_wished),
        ):
            button.clicked.connect(lambda _checked=False, s=signal: s.emit())
        self.hide()

    def _button(self, text: str, tip: str) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        return button

    def sizeHint(self) -> QSize:
        """Return no more height than a line of the status bar."""
        return QSize(super().sizeHint().width(), self.fontMetrics().height() + UNIT)

    def show_kept(self, names: Sequence[str], chosen: int, *, flipped: bool) -> None:
        """Show what is kept, which of it is chosen, and whether it is looked at."""
        if [self.names.itemText(n) for n in range(self.names.count())] != list(names):
            self.names.clear()
            for number, name in enumerate(names):
                self.names.addItem(name, str(number))
        self.names.show_value(str(chosen))
        self.flip.setChecked(flipped)
        self.setVisible(bool(names))


class AsideName(QFrame):
    """A small frame that asks what to call what is kept aside."""

    named = Signal(str)

    def __init__(self, proposed: str, parent: QWidget) -> None:
        super().__init__(parent, Qt.WindowType.Popup)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setProperty("slip", True)
        self.line = QLineEdit(proposed, self)
        self.line.setMaxLength(MOST_NAME)
        self.line.setAccessibleName("Name of what is kept aside")
        self.line.setMinimumWidth(24 * UNIT)
        self.line.selectAll()
        self.keep = QPushButton("Keep aside", self)
        self.keep.setProperty("primary", True)
        self.keep.setToolTip("Keep the design as it is now, to flip to and to put back (Enter)")
        label = QLabel("Name", self)
        label.setBuddy(self.line)
        row = QHBoxLayout(self)
        row.setContentsMargins(UNIT + 4, UNIT, UNIT + 4, UNIT)
        row.setSpacing(UNIT)
        for widget in (label, self.line, self.keep):
            row.addWidget(widget)
        self._proposed = proposed
        self.line.returnPressed.connect(self._take)
        self.keep.clicked.connect(self._take)

    def open_over(self, widget: QWidget) -> None:
        """Open in the middle of a widget."""
        size = self.sizeHint()
        at = widget.rect().center() - QPoint(size.width() // 2, size.height() // 2)
        self.move(widget.mapToGlobal(at))
        self.show()
        self.line.setFocus(Qt.FocusReason.PopupFocusReason)

    def _take(self) -> None:
        text = "".join(sign for sign in self.line.text() if sign.isprintable()).strip()
        self.named.emit(text or self._proposed)
        self.close()


class AsidePlate(QLabel):
    """Says on a canvas that it shows what is kept aside, and how to go back."""

    def __init__(self, theme: Theme, canvas: QWidget, top_px: int) -> None:
        super().__init__(canvas)
        self._theme = theme
        self.move(UNIT, top_px)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setTextFormat(Qt.TextFormat.PlainText)
        theme.changed.connect(self._dress)
        self._dress()
        self.hide()

    def show_name(self, name: str) -> None:
        """Show the name of what is looked at; nothing puts the plate away."""
        self.setVisible(bool(name))
        self.setText(f"Kept aside: {name}. F5 goes back.")
        self.adjustSize()
        self.raise_()

    def _dress(self) -> None:
        tones = self._theme.tones
        self.setStyleSheet(
            f"background: {tones.accent}; color: {tones.on_accent}; border-radius: 6px; "
            "padding: 4px 8px;"
        )
