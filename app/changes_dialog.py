"""A list of changes in plain words, to be read or copied."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QLabel,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from app.asking import complain
from app.keeping.reasons import why_not_written
from app.theme import UNIT
from core.design.disk import write_whole


class ChangesDialog(QDialog):
    """Shows what is different."""

    def __init__(self, title: str, head: str, lines: Sequence[str], parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        above = QLabel(head, self)
        above.setTextFormat(Qt.TextFormat.PlainText)
        above.setWordWrap(True)
        self.text = QPlainTextEdit("\n".join(lines) or "Nothing is different.", self)
        self.text.setReadOnly(True)
        self.text.setTabChangesFocus(True)
        self.text.setAccessibleName("Changes")
        above.setBuddy(self.text)
        button = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(button.Close, self)
        copy = buttons.addButton("&Copy", QDialogButtonBox.ButtonRole.ActionRole)
        copy.setToolTip("Copy the list, to paste it elsewhere")
        copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(self.text.toPlainText()))
        buttons.rejected.connect(self.reject)
        self._buttons = buttons
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(above)
        column.addWidget(self.text, 1)
        column.addWidget(buttons)
        self.resize(560, 360)

    def offer_saving(self, start: Path) -> None:
        """Let the list be saved as plain text."""
        save = self._buttons.addButton("&Save…", QDialogButtonBox.ButtonRole.ActionRole)
        save.setToolTip("Save the list as plain text, for a correction")
        save.clicked.connect(lambda: self._save(start))

    def _save(self, start: Path) -> None:
        name, _ = QFileDialog.getSaveFileName(
            self, "Save the list of changes", str(start), "Plain text (*.txt)"
        )
        if not name:
            return
        path = Path(name)
        try:
            write_whole(path, (self.text.toPlainText() + "\n").encode())
        except (OSError, ValueError) as error:
            complain(self, "The list couldn't be saved", why_not_written(error, path))
