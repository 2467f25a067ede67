"""Choices of how the pattern is written: language and terms, form, size."""

from collections.abc import Sequence
from typing import Final, cast

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.theme import UNIT
from app.views.flow import FlowLayout
from app.views.pages.fields import ChoiceField
from core.craft.stitches import Terms
from core.design.document import Design
from core.editions import Edition, SizeChoice, sizes_in_order
from core.words.languages import WORDINGS, Language

_TERMS: Final = ("US", "UK")
_FORMS: Final = (("short", "Abbreviated"), ("spelled", "Spelled out"))
_OWN: Final = ("own", "This size")
_SIGNS: Final = 9  # that a field shows at least


class EditionFields(QWidget):
    """Asks how the pattern is written; without `with_terms`, terms are chosen elsewhere."""

    changed = Signal(object)  # the edition
    terms_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None, *, with_terms: bool = True) -> None:
        super().__init__(parent)
        self._with_terms = with_terms
        self._terms: Terms = "US"
        self._language: Language = "en"
        self._spelled = False
        self._size: SizeChoice = "own"
        self._n_sizes = 0
        self.language = ChoiceField("Language and terms of the words", self._languages())
        self.language.setToolTip("Language of the pattern; stitch words change with it")
        self.form = ChoiceField("Form of the words", _FORMS)
        self.form.setToolTip("Spelled out: no abbreviations or signs, for a voice to read")
        self.sizes = ChoiceField("Size in the words", (_OWN,))
        self.sizes.setToolTip("This size, all sizes in one text, or one of the others")
        flow = FlowLayout(self, gap_px=UNIT)
        for field in (self.language, self.form, self.sizes):
            field.setMinimumContentsLength(_SIGNS)
            flow.addWidget(field)
        self.language.changed.connect(self._on_language)
        self.form.changed.connect(self._on_form)
        self.sizes.changed.connect(self._on_size)

    @property
    def edition(self) -> Edition:
        """What is chosen."""
        return Edition(language=self._language, spelled=self._spelled, size=self._size)

    def show_design(self, design: Design) -> None:
        """Offer the sizes and show the terms of a design; says nothing."""
        self._terms = design.terms
        self._n_sizes = len(design.sizes)
        if isinstance(self._size, int) and self._size >= self._n_sizes:
            self._size = "own"
        if self._size == "all" and len(sizes_in_order(design)) < 2:
            self._size = "own"
        sizes = [_OWN]
        if len(sizes_in_order(design)) > 1:
            sizes.append(("all", "All sizes"))
        sizes += [(str(number), size.name) for number, size in enumerate(design.sizes)]
        self._offer_sizes(sizes)
        self._show()

    def _offer_sizes(self, sizes: Sequence[tuple[str, str]]) -> None:
        field = self.sizes
        if sizes != [(field.itemData(n), field.itemText(n)) for n in range(field.count())]:
            field.clear()
            for key, words in sizes:
                field.addItem(words, key)
        field.setEnabled(len(sizes) > 1)

    def _languages(self) -> list[tuple[str, str]]:
        others = [(str(key), wording.name) for key, wording in WORDINGS.items() if key != "en"]
        if not self._with_terms:
            return [("en", WORDINGS["en"].name), *others]
        return [*((terms, f"{terms} terms") for terms in _TERMS), *others]

    def _show(self) -> None:
        mine = self._terms if self._with_terms and self._language == "en" else self._language
        self.language.show_value(mine)
        self.form.show_value("spelled" if self._spelled else "short")
        self.sizes.show_value(str(self._size))

    def _on_language(self, key: str) -> None:
        language = cast("Language", "en" if key in _TERMS else key)
        changes = language != self._language
        self._language = language
        if changes:
            self.changed.emit(self.edition)
        if key in _TERMS and key != self._terms:
            self.terms_chosen.emit(key)

    def _on_form(self, key: str) -> None:
        self._spelled = key == "spelled"
        self.changed.emit(self.edition)

    def _on_size(self, key: str) -> None:
        self._size = int(key) if key.isdigit() else ("all" if key == "all" else "own")
        self.changed.emit(self.edition)
