"""Title, designer and notes of the open design."""

from functools import partial
from typing import Final

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from app.asking import complain
from app.theme import UNIT
from app.views.pages.fields import longest_of
from core.design.document import Design
from core.design.edits import Edit, set_values

_MOST_NOTES: Final = longest_of(Design, "notes")


class DetailsDialog(QDialog):
    """Asks for what the pattern's first page says."""

    def __init__(self, design: Design, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Title and notes")
        self._title = QLineEdit(design.title, self)
        self._title.setMaxLength(200)
        self._designer = QLineEdit(design.designer, self)
        self._designer.setMaxLength(200)
        self._notes = QPlainTextEdit(design.notes, self)
        self._notes.setTabChangesFocus(True)
        form = QFormLayout()
        form.setVerticalSpacing(UNIT)
        form.addRow("&Title", self._title)
        form.addRow("&Designer", self._designer)
        form.addRow("&Notes", self._notes)
        button = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(button.Ok | button.Cancel, self)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.addLayout(form)
        column.addWidget(buttons)
        self.resize(480, 340)

    def accept(self) -> None:
        """Close, unless the notes are longer than a design holds."""
        length = len(self._notes.toPlainText())
        if length > _MOST_NOTES:
            complain(
                self,
                "The notes are too long",
                f"They have {length:,} characters; a design holds {_MOST_NOTES:,}.",
            )
            return
        super().accept()

    def edit(self) -> Edit:
        """Return what was typed as an edit."""
        return partial(
            set_values,
            title=self._title.text(),
            designer=self._designer.text(),
            notes=self._notes.toPlainText(),
        )
