"""What the program is, how far to trust it, and whose work it is made of."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from app.licences import components
from app.theme import UNIT, small
from core import __version__

_ABOUT = (
    "Counts, multiples and chains follow from the rows and are exact. Fabric, sizes and yarn come "
    "from a model: a washed swatch of your own always knows better. Nothing you design leaves "
    "this computer."
)
_CARE = (
    "A blanket for an infant needs care that no program can take: follow your local safe-sleep "
    "guidance and product rules."
)


class AboutDialog(QDialog):
    """The version, and the licences of everything that is shipped with it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("About Dipslope")
        name = QLabel("Dipslope", self)
        name.setProperty("heading", True)
        font = name.font()
        font.setPointSizeF(1.6 * font.pointSizeF())
        font.setBold(True)
        name.setFont(font)
        version = QLabel(f"Version {__version__}", self)
        version.setProperty("quiet", True)
        version.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._parts = components()
        self.list = QListWidget(self)
        self.list.setProperty("lines", True)
        self.list.setAccessibleName("Made of")
        for part in self._parts:
            label = " ".join(word for word in (part.name, part.version) if word)
            self.list.addItem(label)
        self.text = QPlainTextEdit(self)
        self.text.setReadOnly(True)
        self.text.setFont(small(self.text.font()))
        self.text.setTabChangesFocus(True)
        self.text.setAccessibleName("Licence")
        self.list.currentRowChanged.connect(self._show)
        self.list.setCurrentRow(0)
        made_of = QLabel("&Made of", self)
        made_of.setBuddy(self.list)
        parts = QHBoxLayout()
        parts.setSpacing(UNIT)
        parts.addWidget(self.list, 1)
        parts.addWidget(self.text, 3)  # lines of licences stay whole
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(name)
        column.addWidget(version)
        for words in (_ABOUT, _CARE):
            paragraph = QLabel(words, self)
            paragraph.setWordWrap(True)
            column.addWidget(paragraph)
        column.addSpacing(UNIT)
        column.addWidget(made_of)
        column.addLayout(parts, 1)
        column.addWidget(buttons)
        self.resize(880, 560)

    def _show(self, number: int) -> None:
        if 0 <= number < len(self._parts):
            part = self._parts[number]
            self.text.setPlainText(f"{part.licence}\n\n{part.text}")
