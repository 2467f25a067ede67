"""A new design: choose what to start from among pictures of waves."""

from collections.abc import Callable
from functools import partial
from typing import Any, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.asking import plain_tip
from app.assets import DEMO
from app.computing import LatestWins, ShouldStop
from app.tab_order import follow_layout
from app.theme import UNIT, Theme, figure
from app.type_following import lines_px, measure_in_type
from app.views.beginning.begin_fields import BeginFields
from app.views.beginning.cards import Card, CardList
from app.views.beginning.drawings import paint_rows, paint_sketch, paint_swatch
from app.views.beginning.pictures import WavePictures
from app.views.beginning.piece_fields import PieceFields
from app.views.figures import counted, length_text, yarn_length
from app.views.pages.page import Note
from core.checks.cautions import short_caution
from core.craft.stitches import Terms
from core.design.document import Design, Units
from core.design.files import read_design
from core.errors import DesignError
from core.fabric.beginnings import Beginning, begin
from core.pipeline import Pipeline
from core.records import Struct, replace
from core.rows.foundation import foundation_of
from core.rows.starters import starter
from core.rows.waves import FAMILIES, Family

SKETCH, ROWS, SWATCH, DEMO_CARD = "a drawn wave", "written rows", "a swatch", "the demo"
_FRAME_PX: Final = 40  # that a window's own frame takes
_BY_KEY: Final = {family.key: family for family in FAMILIES}


class _Begun(Struct, frozen=True):
    """A design to begin with, and what is said of it."""

    asked: Beginning
    design: Design
    words: str
    caution: str


def _begin(request: Any, should_stop: ShouldStop) -> _Begun:
    """Work out a design to begin with; runs in the worker."""
    design = begin(request, should_stop=should_stop)
    results = Pipeline().results(design)
    units, size = design.units, results.size
    metres = sum(use.needed_m for use in results.yarn)
    words = (
        f"Chain {results.rows.foundation.chains}, {counted(design.size.rows, 'row')}: "
        f"{length_text(size.width_mm, units)} wide and {length_text(size.length_mm, units)} long, "
        f"about {yarn_length(round(metres, -1), units)} of yarn."
    )
    return _Begun(request, design, words, short_caution(design, size))


class NewDialog(QDialog):
    """Cards to start from; stitch and size may be chosen at once."""

    begun = Signal(object)  # the new Design
    other = Signal(str)  # SKETCH, ROWS or DEMO_CARD

    def __init__(
        self, terms: Terms, units: Units, theme: Theme, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("New design")
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._terms, self._units = terms, units
        self._answer: _Begun | None = None
        self._wants_start = False
        self._pictures = WavePictures(self)
        self._worker = LatestWins(_begin, self)
        self.cards = CardList(theme, self._picture, self)
        self.fields = BeginFields(terms, units, self)
        self.piece = PieceFields(units, self)
        self.said = QLabel(self)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setAccessibleName("What it comes to")
        self.said.setWordWrap(True)
        self.said.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.caution = Note("", self)
        # Its line is there without it too, so that nothing moves as sizes are tried.
        measure_in_type(self.caution, lambda one: one.setMinimumHeight(lines_px(one, 1)))
        self.start = QPushButton("&Start", self)
        self.start.setProperty("primary", True)
        self.start.setDefault(True)
        self._build()
        self._wire()
        self.show_cards()
        hint, room = self.sizeHint(), self.screen().availableSize()
        tall = hint.height() + self.piece.sizeHint().height() + UNIT  # fields that aren't seen yet
        self.resize(min(hint.width(), room.width()), min(tall, room.height() - _FRAME_PX))
        self.cards.setFocus()
        follow_layout(self)

    def _build(self) -> None:
        head = QLabel("What shall it grow from?", self)
        head.setFont(figure(self.font(), large=1.25))
        cancel = QPushButton("Cancel", self)
        cancel.setAutoDefault(False)
        cancel.setToolTip("Keep the design that is open (Esc)")
        cancel.clicked.connect(self.reject)
        foot = QHBoxLayout()
        foot.setSpacing(UNIT)
        foot.addWidget(self.said, 1)
        foot.addWidget(cancel)
        foot.addWidget(self.start)
        column = QVBoxLayout(self)
        column.setContentsMargins(2 * UNIT, 2 * UNIT, 2 * UNIT, 2 * UNIT)
        column.setSpacing(UNIT)
        column.addWidget(head)
        column.addWidget(self.cards, 1)
        column.addWidget(self.fields)
        column.addWidget(self.piece)
        column.addWidget(self.caution)
        column.addLayout(foot)

    def _wire(self) -> None:
        self._pictures.ready.connect(lambda _: self.cards.viewport().update())
        self._worker.finished.connect(self._on_worked_out)
        self._worker.failed.connect(self._on_failed)
        self.cards.chosen.connect(lambda _: self._work_out())
        self.cards.begun.connect(lambda _: self.go())
        self.fields.stitch_chosen.connect(self._on_stitch)
        self.fields.changed.connect(self._work_out)
        self.piece.changed.connect(self._work_out)
        self.start.clicked.connect(self.go)

    # the cards

    def show_cards(self) -> None:
        """Show all cards in the stitch that is chosen, and have their pictures made."""
        families = tuple(self._family_card(family) for family in FAMILIES)
        others = (
            Card(SKETCH, "A drawn wave", "Draw a line; the nearest waves are offered", "",
                 paint_sketch),
            Card(ROWS, "Written rows", "Paste or type rows; they are read and counted", "",
                 paint_rows),
            Card(SWATCH, "My swatch", "Measure a worked piece; gauge and size follow", "",
                 paint_swatch),
            Card(DEMO_CARD, "The demo", "A finished blanket to try everything on"),
        )  # fmt: skip
        self.cards.show_cards((*families, *others))
        wanted: list[tuple[str, Callable[[], Design]]] = [
            (self._name(family.key), partial(starter, family, stitch=self.fields.chosen_stitch))
            for family in FAMILIES
        ]
        wanted.append((DEMO_CARD, partial(read_design, DEMO)))
        self._pictures.ask(wanted, self.devicePixelRatioF())

    def _family_card(self, family: Family) -> Card:
        design = starter(family, stitch=self.fields.chosen_stitch)
        found = foundation_of(design.wave.first, design.turning, design.size.repeats)
        plus = f", plus {found.extra}" if found.extra else ""
        return Card(family.key, family.name, family.about, f"a multiple of {found.multiple}{plus}")

    def _name(self, key: str) -> str:
        return f"{key} in {self.fields.chosen_stitch}" if key in _BY_KEY else key

    def _picture(self, key: str) -> QImage | None:
        return self._pictures.picture(self._name(key), self.devicePixelRatioF())

    def _on_stitch(self) -> None:
        self.show_cards()

    # what it comes to

    def _work_out(self) -> None:
        card, self._wants_start = self.cards.card, False
        if card is None:
            return
        asked = self._asked(card.key)
        self.piece.setVisible(card.key == SWATCH)
        self.fields.allow(asked is not None or card.key == SKETCH)
        self.start.setEnabled(True)
        self.start.setText("&Start" if asked is not None or card.key == DEMO_CARD else "&Go on…")
        self.start.setToolTip(f"Start from this: {card.name} (Enter)")
        if asked is None:
            self.caution.setText("")
            self._worker.cancel()
            self._say(card.about + ".")
        else:
            self._worker.submit(asked)

    def _asked(self, key: str) -> Beginning | None:
        """Return what the cards and fields ask for; None for what has a dialog of its own."""
        asked = Beginning(
            family=_BY_KEY.get(key, FAMILIES[0]),
            stitch=self.fields.chosen_stitch,
            size=self.fields.chosen_size,
            own_mm=self.fields.own_mm,
            title=self.fields.chosen_title,
            terms=self._terms,
            units=self._units,
        )
        if key == SWATCH:
            run = self.piece.run_length if self.piece.run.isEnabled() else None
            return replace(asked, family=self.piece.family, run=run, piece=self.piece.piece)
        return asked if key in _BY_KEY else None

    def _say(self, text: str, *, trouble: bool = False) -> None:
        self.said.setText(f"⚠ {text}" if trouble else text)
        self.said.setToolTip(plain_tip(text))
        if self.said.property("trouble") != trouble:
            self.said.setProperty("trouble", trouble)
            self.said.style().unpolish(self.said)
            self.said.style().polish(self.said)

    def _on_worked_out(self, answer: _Begun) -> None:
        self._answer = answer
        self._say(answer.words)
        self.caution.setText(answer.caution)
        if self._wants_start:
            self.go()

    def _on_failed(self, error: object) -> None:
        self._answer, self._wants_start = None, False
        self.caution.setText("")
        self.start.setEnabled(False)
        self._say_refusal(error)

    def _say_refusal(self, error: object) -> None:
        text = str(error)
        told = isinstance(error, DesignError | ValueError)
        self._say(f"{text[:1].upper()}{text[1:]}." if told else f"This can't be: {text}.",
                  trouble=True)  # fmt: skip

    # starting

    def go(self) -> None:
        """Start from what is chosen, as soon as it is worked out."""
        self.fields.finish_typing()
        self.piece.finish_typing()
        card = self.cards.card
        if card is None or not self.start.isEnabled():
            return
        asked = self._asked(card.key)
        if asked is None:
            self.other.emit(card.key)
        elif self._answer is not None and self._answer.asked == asked:
            self.begun.emit(self._answer.design)
        else:
            self._worker.submit(asked)
            self._wants_start = True

    def begun_design(self) -> Design | None:
        """Return a plain design in the chosen stitch and size, for what a drawing is chosen by.

        None if there is no such design, which is said.
        """
        asked = self._asked(FAMILIES[0].key)
        assert asked is not None
        try:
            return begin(replace(asked, title=asked.title or "New drawn wave"))
        except (DesignError, ValueError) as error:
            self._say_refusal(error)
            return None

    def done(self, result: int) -> None:
        """Stop the work and close."""
        self._pictures.close()
        self._worker.close()
        super().done(result)
