"""Choices of how the pattern is written: language and terms, form, size."""

from collections.abc import Sequence
from functools import partial
from typing import Final, cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from app.theme import UNIT
from app.views.flow import Flow
from app.views.pages.fields import ChoiceField
from core.craft.stitches import Terms
from core.design.document import Design
from core.editions import Edition, SizeChoice, sizes_in_order
from core.words.languages import WORDINGS, Language

_TERMS: Final = ("US", "UK")
_FORMS: Final = (("short", "Abbreviated"), ("spelled", "Spelled out"))
_OWN: Final = ("own", "This size")
_SIGNS: Final = 9  # that a field shows at least


class EditionFields(Flow):
    """Asks how the pattern is written; without `with_terms`, terms are chosen elsewhere."""

    changed = Signal(object)  # the edition
    terms_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None, *, with_terms: bool = True) -> None:
        super().__init__(parent, gap_px=UNIT)
        self._with_terms = with_terms
        self._terms: Terms = "US"
        self._language: Language = "en"
        self._spelled = False
        self._size: SizeChoice = "own"
        self._n_sizes = 0
        self.languages = {key: self._button(key, words) for key, words in self._languages()}
        self.form = ChoiceField("Form of the words", _FORMS)
        self.form.setToolTip("Spelled out: no abbreviations or signs, for a voice to read")
        self.sizes = ChoiceField("Size in the words", (_OWN,))
        self.sizes.setToolTip("This size, all sizes in one text, or one of the others")
        self.add(self._switch())
        for field in (self.form, self.sizes):
            field.setMinimumContentsLength(_SIGNS)
            self.add(field)
        self.setFocusProxy(next(iter(self.languages.values())))
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

    def show_writing(self, *, is_writing: bool) -> None:
        """Say beside the languages that the words are being written, or no longer."""
        self._writing.setVisible(is_writing)

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
        return [*((terms, terms) for terms in _TERMS), *others]

    def _button(self, key: str, words: str) -> QToolButton:
        """Return a button of the switch; a list would step through terms on its way."""
        button = QToolButton(self)
        button.setText(words)
        button.setCheckable(True)
        named = f"{words} terms" if key in _TERMS else words
        button.setAccessibleName(f"Words in {named}")
        button.setToolTip(f"Write the pattern in {named}")
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.clicked.connect(partial(self._on_language, key))
        return button

    def _switch(self) -> QWidget:
        switch = QWidget(self)
        row = QHBoxLayout(switch)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        last = len(self.languages) - 1
        for place, button in enumerate(self.languages.values()):
            part = "first" if place == 0 else "last" if place == last else "middle"
            button.setProperty("segment", part)
            row.addWidget(button)
        self._writing = QLabel("writing…", switch)
        self._writing.setProperty("quiet", True)
        self._writing.setContentsMargins(UNIT, 0, 0, 0)
        self._writing.hide()
        row.addWidget(self._writing)
        return switch

    def _show(self) -> None:
        mine = self._terms if self._with_terms and self._language == "en" else self._language
        for key, button in self.languages.items():
            button.setChecked(key == mine)
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
        self._show()

    def _on_form(self, key: str) -> None:
        self._spelled = key == "spelled"
        self._show()  # else a field takes the way back for no change
        self.changed.emit(self.edition)

    def _on_size(self, key: str) -> None:
        self._size = int(key) if key.isdigit() else ("all" if key == "all" else "own")
        self._show()
        self.changed.emit(self.edition)
