"""Title, designer, use, level, contact, permission and notes of the open design."""

from functools import partial
from typing import Final, get_args

from PySide6.QtWidgets import (
    QComboBox,
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
from core.checks.cautions import USES, use_by_size
from core.design.document import Design, Skill
from core.design.edits import Edit, set_values
from core.design.signs import plain_line, plain_lines
from core.fabric.measure import SizeMeasures
from core.words.vocabulary import vocabulary

_US: Final = vocabulary("US")
_MOST_NOTES: Final = longest_of(Design, "notes")


class DetailsDialog(QDialog):
    """Asks for what the pattern's first page says."""

    def __init__(
        self,
        design: Design,
        parent: QWidget,
        size: SizeMeasures | None = None,
        field: str = "",
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Title and notes")
        self._title = QLineEdit(design.title, self)
        self._title.setMaxLength(200)
        self._designer = QLineEdit(design.designer, self)
        self._designer.setMaxLength(200)
        self._use = QComboBox(self)
        by_size = f": {USES[use_by_size(size)]}" if size is not None else ""
        self._use.addItem(f"As its size has it{by_size}", "")
        for key, words in USES.items():
            self._use.addItem(words[0].upper() + words[1:], key)
        self._use.setCurrentIndex(max(self._use.findData(design.use), 0))
        self._use.setToolTip("What the blanket is for: cautions follow it")
        self._use.setAccessibleName("What the blanket is for")
        self._skill = QComboBox(self)
        self._skill.addItem("Not stated", "")
        for level in get_args(Skill)[1:]:
            self._skill.addItem(_sentence(_US.say(f"skill {level}")), level)
        self._skill.setCurrentIndex(max(self._skill.findData(design.skill), 0))
        self._skill.setToolTip("How much a maker should have made before; stated under the title")
        self._skill.setAccessibleName("Skill level")
        self._contact = QLineEdit(design.contact, self)
        self._contact.setMaxLength(longest_of(Design, "contact"))
        self._contact.setPlaceholderText("An address for questions and mistakes")
        self._contact.setToolTip("Where makers ask and tell of mistakes; stated in the pattern")
        self._licence = QLineEdit(design.licence, self)
        self._licence.setMaxLength(longest_of(Design, "licence"))
        self._licence.setPlaceholderText("What makers may do with the pattern")
        self._licence.setToolTip("Whether it may be copied, and finished pieces sold")
        self._notes = QPlainTextEdit(design.notes, self)
        self._notes.setTabChangesFocus(True)
        form = QFormLayout()
        form.setVerticalSpacing(UNIT)
        form.addRow("&Title", self._title)
        form.addRow("&Designer", self._designer)
        form.addRow("What it is &for", self._use)
        form.addRow("&Skill level", self._skill)
        form.addRow("&Contact", self._contact)
        form.addRow("&Permission", self._licence)
        form.addRow("&Notes", self._notes)
        button = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(button.Ok | button.Cancel, self)
        take = buttons.button(button.Ok)
        take.setProperty("primary", True)
        take.style().unpolish(take)  # it was dressed when it was made
        take.style().polish(take)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.addLayout(form)
        column.addWidget(buttons)
        self.resize(520, 440)
        fields: dict[str, QWidget] = {
            "title": self._title,
            "designer": self._designer,
            "use": self._use,
            "skill": self._skill,
            "contact": self._contact,
            "licence": self._licence,
            "notes": self._notes,
        }
        fields.get(field, self._title).setFocus()

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
            title=plain_line(self._title.text()),
            designer=plain_line(self._designer.text()),
            use=self._use.currentData(),
            skill=self._skill.currentData(),
            contact=plain_line(self._contact.text()),
            licence=plain_line(self._licence.text()),
            notes=plain_lines(self._notes.toPlainText()),
        )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
