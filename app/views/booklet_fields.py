"""What can be chosen about a booklet: edition, paper, language, terms, hand, size."""

from typing import Final, cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QFormLayout,
    QLabel,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from app.theme import UNIT
from app.views.pages.fields import ChoiceField, NumberField
from core.booklet.options import EDITIONS, EditionName, Options, PageName, edition_of
from core.craft.stitches import Terms
from core.design.document import Design, Hand
from core.editions import SizeChoice, sizes_in_order
from core.words.languages import WORDINGS, Language

_FOR_EYES: Final = (
    "Its PDF pages have title, language and bookmarks, but no reading order: for screen readers, "
    "save the structured HTML."
)
_OTHER: Final = "other"
_SIGNS: Final = 12  # that a list shows at least


class BookletFields(QWidget):
    """Asks for everything that a booklet can be."""

    changed = Signal()

    def __init__(self, design: Design, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._design = design
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(UNIT)
        self.editions = QButtonGroup(self)
        for edition in EDITIONS:
            button = QRadioButton(edition.name, self)
            button.setToolTip(edition.about)
            button.setAccessibleDescription(edition.about)
            button.setProperty("edition", edition.key)
            self.editions.addButton(button)
            column.addWidget(button)
        self._chosen: EditionName = "full"
        self.editions.buttons()[0].setChecked(True)
        self.about = self._label()
        self.for_eyes = self._label()
        self.for_eyes.setText(_FOR_EYES)
        column.addWidget(self.about)
        column.addWidget(self.for_eyes)
        self._make_fields()
        column.addLayout(self._form())
        self.page.show_value("letter" if design.units == "in" else "a4")
        self.show_design(design)
        self.editions.buttonClicked.connect(self._on_edition)
        for choice in (self.page, self.language, self.terms, self.hand, self.sizes):
            choice.changed.connect(lambda *_: self._on_choice())
        for field in (self.repeats, self.rows):
            field.changed.connect(lambda *_: self._on_choice())

    def _label(self) -> QLabel:
        label = QLabel(self)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setWordWrap(True)
        label.setProperty("quiet", True)
        return label

    def _make_fields(self) -> None:
        self.page = ChoiceField("Paper", (("a4", "A4"), ("letter", "US Letter")))
        self.page.setToolTip("The paper that PDF pages are for")
        languages = [(str(key), wording.name) for key, wording in WORDINGS.items()]
        self.language = ChoiceField("Language", tuple(languages))
        self.language.setToolTip("The language of everything in the booklet and on its chart")
        self.language.show_value("en")
        self.terms = ChoiceField(
            "Terms", (("", "As in the design"), ("US", "US terms"), ("UK", "UK terms"))
        )
        self.terms.setToolTip("The terms an English booklet is written in")
        self.terms.show_value("")
        self.hand = ChoiceField(
            "Hand", (("", "As in the design"), ("right", "Right-handed"), ("left", "Left-handed"))
        )
        self.hand.setToolTip("Chart, picture and row sides for this working hand")
        self.hand.show_value("")
        self.sizes = ChoiceField("Size", (("own", "This size"),))
        self.sizes.setToolTip("One of the design's sizes, all of them in one text, or another one")
        for field in (self.page, self.language, self.terms, self.hand, self.sizes):
            field.setMinimumContentsLength(_SIGNS)
        self.repeats = NumberField("Repeats", (1, 1000))
        self.repeats.setToolTip("Repeats between the edges, where the size is another one")
        self.rows = NumberField("Rows", (1, 5000))
        self.rows.setToolTip("Rows of the whole blanket, where the size is another one")

    def _form(self) -> QFormLayout:
        form = QFormLayout()
        form.setVerticalSpacing(UNIT)
        form.setHorizontalSpacing(2 * UNIT)
        for text, field in (
            ("&Paper", self.page),
            ("&Language", self.language),
            ("&Terms", self.terms),
            ("&Hand", self.hand),
            ("S&ize", self.sizes),
            ("&Repeats", self.repeats),
            ("Ro&ws", self.rows),
        ):
            form.addRow(text, field)
        return form

    # choices

    @property
    def options(self) -> Options:
        """What is chosen."""
        terms, hand = self.terms.currentData(), self.hand.currentData()
        other = self._size == _OTHER
        return Options(
            edition=self._chosen,
            page=cast("PageName", self.page.currentData()),
            language=cast("Language", self.language.currentData()),
            terms=cast("Terms", terms) if terms else None,
            hand=cast("Hand", hand) if hand else None,
            size=self._size_choice(),
            repeats=round(self.repeats.value()) if other else None,
            rows=round(self.rows.value()) if other else None,
        )

    @property
    def _size(self) -> str:
        return str(self.sizes.currentData() or "own")

    def _size_choice(self) -> SizeChoice:
        if self._size.isdigit():
            return int(self._size)
        return "all" if self._size == "all" else "own"

    def choose_edition(self, key: EditionName) -> None:
        """Choose an edition, as by a click."""
        for button in self.editions.buttons():
            if button.property("edition") == key:
                button.click()

    def show_design(self, design: Design) -> None:
        """Offer the sizes of a design; says nothing."""
        self._design = design
        named = [(str(n), f"{size.name}: {_size_text(size.repeats, size.rows)}")
                 for n, size in enumerate(design.sizes)]  # fmt: skip
        own = f"This size: {_size_text(design.size.repeats, design.size.rows)}"
        sizes = [("own", own), *named]
        if len(sizes_in_order(design)) > 1:
            sizes.insert(0, ("all", "All sizes in one text"))
        sizes.append((_OTHER, "Another size…"))
        field, chosen = self.sizes, self._size
        if sizes != [(field.itemData(n), field.itemText(n)) for n in range(field.count())]:
            field.clear()
            for key, words in sizes:
                field.addItem(words, key)
            field.show_value(chosen if chosen in dict(sizes) else "own")
        self._show()

    def _show(self) -> None:
        edition = edition_of(self._chosen)
        self.about.setText(edition.about)
        self.for_eyes.setVisible(edition.has_pages)
        self.page.setEnabled(edition.has_pages)
        self.terms.setEnabled(self.language.currentData() == "en")
        other = self._size == _OTHER
        for field in (self.repeats, self.rows):
            field.setEnabled(other)
        if not other:
            repeats, rows = self.options.size_of(self._design)
            self.repeats.show_value(repeats)
            self.rows.show_value(rows)

    def _on_edition(self, button: QAbstractButton) -> None:
        self._chosen = cast("EditionName", button.property("edition"))
        self._on_choice()

    def _on_choice(self) -> None:
        self._show()
        self.changed.emit()


def _size_text(repeats: int, rows: int) -> str:
    return f"{repeats} × {rows}"
