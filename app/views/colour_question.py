"""The question for a colour, one at a time: Qt's dialog, which follows our looks."""

from PySide6.QtGui import QColor
from PySide6.QtWidgets import QColorDialog, QWidget

from app.asking import plain_title


class ColourQuestion:
    """Opens the dialog for its parent, and knows it while it is open."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent
        self.dialog: QColorDialog | None = None

    def open(self, colour: str, title: str) -> QColorDialog | None:
        """Open it at a colour; None if it is open already."""
        if self.dialog is not None:
            return None
        dialog = self.dialog = QColorDialog(QColor(colour), self._parent)
        dialog.setOption(QColorDialog.ColorDialogOption.DontUseNativeDialog)
        dialog.setWindowTitle(plain_title(title))
        dialog.finished.connect(self._forget)
        dialog.open()
        return dialog

    def _forget(self) -> None:
        dialog, self.dialog = self.dialog, None
        if dialog is not None:
            dialog.deleteLater()
