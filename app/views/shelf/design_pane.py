"""What the shelf has for each yarn of the open design."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from app.theme import UNIT, Theme
from app.views.pages.page import Note
from app.views.shelf.rows import RowList, have_line
from app.views.shelf.words import first_failure
from core.design.document import Design
from core.shelf.against import Have


class DesignPane(QWidget):
    """A row for each yarn, what fails first, and what passes between design and shelf."""

    keep_wished = Signal()
    own_wished = Signal()
    find_wished = Signal(str)  # a colour

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setBackgroundRole(QPalette.ColorRole.AlternateBase)
        self.setAutoFillBackground(True)
        self._haves: tuple[Have, ...] = ()
        self._design: Design | None = None
        self.first = QLabel(self)
        self.first.setTextFormat(Qt.TextFormat.PlainText)
        self.first.setWordWrap(True)
        self.list = RowList("Yarns of this design and what the shelf has of them", theme, self)
        self.list.setToolTip("Enter looks for the yarn's colour on the shelf")
        self.list.opened.connect(self._find)
        self.note = Note(
            "A yarn of the shelf counts for the yarn of the same name. What is put aside for "
            "another blanket doesn't count.",
            self,
        )
        self.own = QPushButton("O&wn what is on the shelf", self)
        self.own.setToolTip("Set what the design owns of these yarns; one undo step of the design")
        self.keep = QPushButton("&Keep these on the shelf…", self)
        self.keep.setToolTip("Show what would change on the shelf, then put the yarns there")
        for button, signal in ((self.own, self.own_wished), (self.keep, self.keep_wished)):
            button.setAutoDefault(False)
            button.clicked.connect(lambda _=False, signal=signal: signal.emit())
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(self.first)
        column.addWidget(self.list, 1)
        column.addWidget(self.note)
        column.addWidget(self.own)
        column.addWidget(self.keep)

    def show_haves(self, haves: tuple[Have, ...], design: Design) -> None:
        """Show what there is for a design."""
        self._haves, self._design = haves, design
        names = tuple(yarn.name for yarn in design.yarns)
        self.first.setText(first_failure(haves, names))
        row = min(max(self.list.row, 0), len(haves) - 1)
        self.list.show_lines(len(haves), lambda n: have_line(haves[n], design), row)
        self.own.setEnabled(any(have.entries for have in haves))

    def _find(self) -> None:
        if self._design is not None and 0 <= self.list.row < len(self._haves):
            yarn = self._design.yarns[self._haves[self.list.row].yarn]
            self.find_wished.emit(yarn.colour.lower())
