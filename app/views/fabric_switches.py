"""The switches on the fabric's canvas."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QToolButton, QWidget

from app.theme import UNIT, small
from app.views.flow import Flow


class FabricSwitches(Flow):
    """A row of switches in the canvas's upper right corner."""

    changed = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent, gap_px=UNIT // 2)
        self.setAutoFillBackground(True)  # a switch is read over any yarn
        self.ridges = self._switch("Ridges", "Show loops and ridges", on=True)
        self.side = self._switch("Side", "Show the rows from the side (F9)")
        self.side.setShortcut("F9")
        self.seen = QToolButton(self)  # its menu is that of `fabric_colour_view`
        self.seen.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.seen.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.seen.setFont(small(self.font()))
        self.seen.setStyleSheet("QToolButton::menu-indicator { image: none; }")
        self.add(self.seen)
        self.far = self._switch("Far", "Look from across the room, squinting (F4)")
        self.far.setShortcut("F4")
        self.strain = self._switch(
            "Strain",
            "Show where posts are stretched (holes) and rows are squeezed (puckers)",
        )
        self.lean = self._switch("Lean", "Show how far each stitch of a repeat leans, and the rise")

    def _switch(self, text: str, tip: str, *, on: bool = False) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setCheckable(True)
        button.setChecked(on)
        button.setFont(small(self.font()))
        button.toggled.connect(self.changed)
        self.add(button)
        return button

    def place(self, width: int) -> None:
        """Go to the corner of a canvas so wide, on more lines where one doesn't fit."""
        wide = max(min(self.line_width(), width - 2 * UNIT), 1)
        self.setGeometry(width - wide - UNIT, UNIT, wide, self.heightForWidth(wide))
