"""The rows that were read, with what each uses and makes."""

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.asking import plain_tip
from core.reading.reading import Reading

_HEADS: Final = ("Row", "Uses", "Of", "Makes", "")
_MOST: Final = 500


class ReadRows(QTableWidget):
    """A table of read rows; choosing one goes to its place in the text."""

    row_chosen = Signal(int)  # index of the read row

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(0, len(_HEADS), parent)
        self.setAccessibleName("Rows as they were read")
        self.setHorizontalHeaderLabels(list(_HEADS))
        self.verticalHeader().hide()
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(len(_HEADS) - 1, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        for column in range(len(_HEADS)):
            head = self.horizontalHeaderItem(column)
            if head is not None:
                head.setTextAlignment(_side(column))
        self.itemActivated.connect(lambda item: self.row_chosen.emit(item.row()))
        self.itemClicked.connect(lambda item: self.row_chosen.emit(item.row()))

    def show_reading(self, reading: Reading | None) -> None:
        """List the rows of a text."""
        rows = reading.rows[:_MOST] if reading is not None else []
        self.setRowCount(len(rows))
        for number, row in enumerate(rows):
            wrong = [t for t in reading.troubles if t.row == row.number] if reading else []
            errors = [t for t in wrong if t.level == "error"]
            if row.like is not None:
                first, last = row.like.first, row.like.last
                what = "the rows before" if not first else (
                    f"row {first}" if first == last else f"rows {first} to {last}"
                )  # fmt: skip
                texts = [row.label or "Then", "", "", "", f"as {what}"]
            else:
                state = "⚠ doesn't come out" if errors else "✓"
                texts = [row.label, _n(row.uses), _n(row.available), _n(row.makes), state]
            for column, text in enumerate(texts):
                item = QTableWidgetItem(text)
                item.setTextAlignment(_side(column))
                item.setToolTip(
                    plain_tip(errors[0].message if errors else "Go to the row in the text")
                )
                self.setItem(number, column, item)


def _side(column: int) -> Qt.AlignmentFlag:
    """Return where a column stands: counts in line at the right, words left."""
    counts = column in (1, 2, 3)
    side = Qt.AlignmentFlag.AlignRight if counts else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter


def _n(number: int | None) -> str:
    return "–" if number is None else str(number)
