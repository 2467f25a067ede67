"""One yarn of the shelf: what is there of it, what this blanket does with it, and its band."""

from functools import partial
from typing import Any, Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QMenu,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from app.asking import plain_entry
from app.theme import UNIT, Theme
from app.views.colour_question import ColourQuestion
from app.views.figures import counted, yarn_length, yarn_unit, yarn_unit_m
from app.views.pages.fields import ChoiceField, NumberField, TextField
from app.views.pages.page import FormPage
from app.views.pages.yarn_table import swatch_icon
from app.views.shelf.small_fields import Chips, Notes
from app.views.shelf.words import amounts, called, grams, stock
from core.design.document import MOST_BALLS
from core.palette.words import colour_words
from core.pipeline import Results
from core.records import replace
from core.shelf import acts
from core.shelf.against import worth
from core.shelf.changes import Change, edit
from core.shelf.entry import (
    LONGEST,
    MOST_G,
    MOST_M,
    MOST_PRICE,
    WEIGHTS,
    Entry,
    checked,
)
from core.shelf.faults import ShelfError

_SWATCH: Final = QSize(20, 14)
_CLASSES: Final = (("", "unknown"), *((str(n), f"{n} {name}") for n, name in enumerate(WEIGHTS)))


class YarnForm(FormPage):
    """Shows a yarn and says what is to be changed about it."""

    title = "This yarn"

    change = Signal(object, str, object)  # the Change; what it does; its gesture
    said = Signal(str)  # why something can't be
    take_wished = Signal()
    exchange_wished = Signal(int)  # for this yarn of the design

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(theme, parent)
        self._entry: Entry | None = None
        self.question = ColourQuestion(self)
        self._title = ""
        self.name_of = self.heading("")
        self.there = self.note()
        self.take = QPushButton("&Take into this design")
        self.take.setProperty("primary", True)
        self.take.setAutoDefault(False)
        self.take.setToolTip("Give the design this yarn and what you own of it; one undo step")
        self.take.clicked.connect(lambda: self.take_wished.emit())
        self.exchange = self._button(
            "&In place of…", "Give this yarn everything that another yarn of the design is used for"
        )
        self.exchange.clicked.connect(self._choose_exchange)
        self._row(self.take, self.exchange)
        self._add_amounts()
        self._add_blanket()
        self._add_band()
        theme.changed.connect(self._show_colour)

    # building

    def _add_amounts(self) -> None:
        self.heading("What is there")
        self.balls = NumberField("Whole balls", (0, MOST_BALLS))
        self.balls.setToolTip("Balls that nothing was taken from")
        self.balls.changed.connect(
            lambda n, gesture: self._set("Count balls", gesture, balls=int(n))
        )
        self.field("Whole balls", self.balls)
        self.bits = Chips()
        self.plain(self.bits)
        self.weighs = NumberField("Grams of a remnant", (0, MOST_G), digits=1, unit="g", step=1)
        self.weighs.setToolTip("Weigh a ball that was begun, without core or bowl")
        self.weighs.setKeyboardTracking(True)  # Tab finds the button, its worth is told at once
        self.weigh_in = self._button("&Weigh in", "Put this remnant on the shelf (Enter)")
        self._beside("A remnant weighs", self.weighs, self.weigh_in)
        self.worth = self.note()
        self.weighs.valueChanged.connect(lambda _: self._show_worth())
        self.weighs.lineEdit().returnPressed.connect(self._weigh_in)
        self.weigh_in.clicked.connect(lambda: self._weigh_in())

    def _add_blanket(self) -> None:
        self.blanket = self.heading("For this blanket")
        self.aside = NumberField("Grams to put aside", (0, MOST_G), digits=1, unit="g", step=5)
        self.aside.setToolTip("Kept for this blanket: other blankets don't count on it")
        self.put_aside = self._button("Put a&side", "Keep so much for the blanket of this title")
        self._beside("Put aside", self.aside, self.put_aside)
        self.worked = NumberField("Grams worked", (0, MOST_G), digits=1, unit="g", step=5)
        self.worked.setToolTip("What this blanket has taken; remnants go before a new ball")
        self.take_off = self._button("Take &off", "Take so much off the shelf: it is worked")
        self._beside("Worked", self.worked, self.take_off)
        self.would = self.note()
        self.asides = Chips()
        self.plain(self.asides)
        self.put_aside.clicked.connect(lambda: self._put_aside())
        self.take_off.clicked.connect(lambda: self._take_off())
        self.worked.valueChanged.connect(lambda _: self._show_would())

    def _add_band(self) -> None:
        self.heading("What it is")
        self.name = TextField("Name", longest=LONGEST["name"])
        self.name.setToolTip("As you call it; a design's yarn of this name counts on it")
        self.name.changed.connect(lambda text: self._set("Rename yarn", name=text))
        self.field("Name", self.name)
        self.colour = QPushButton()
        self.colour.setAutoDefault(False)
        self.colour.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.colour.clicked.connect(lambda: self.choose_colour())
        self.field("Colour", self.colour)
        self.lot = self._text("Dye lot", "lot", "As it stands on the band; each lot is a yarn")
        self.fibre = self._text("Fibre", "fibre", "What it is spun from")
        self.weight = ChoiceField("Weight class", _CLASSES)
        self.weight.setToolTip("The standard class on the band, 0 to 7")
        self.weight.changed.connect(
            lambda key, gesture: self._set(
                "Change weight class", gesture, weight=int(key) if key else None
            )
        )
        self.field("Weight class", self.weight)
        self.ball_m = NumberField("Length of a ball", (0.1, MOST_M), digits=1)
        self.ball_g = NumberField("Weight of a ball", (0.1, MOST_G), digits=1, unit="g", step=5)
        self.ball_m.setToolTip("As the band says")
        self.ball_g.setToolTip("As the band says, without its core")
        self.field("A ball holds", self.ball_m)
        self.field("It weighs", self.ball_g)
        self.price = NumberField(
            "Price of a ball", (0, MOST_PRICE), digits=2, absent="not given", first=1.0,
            keeps_zeros=True,
        )  # fmt: skip
        self.price.setToolTip("What a ball cost")
        self.field("A ball cost", self.price)
        self.currency = self._text("Currency", "currency", "What the price is in")
        for field, name, text in (
            (self.ball_m, "ball_m", "Change length of a ball"),
            (self.ball_g, "ball_g", "Change weight of a ball"),
            (self.price, "price", "Change price"),
        ):
            field.changed.connect(
                lambda value, gesture, name=name, text=text: self._set(
                    text, gesture, **{name: value}
                )
            )
        self.place = self._text("Where it is kept", "place", "So that you find it again")
        self.bought = self._text("Bought", "bought", "A day like 2026-11-25")
        self.bought.setPlaceholderText("2026-11-25")
        self.notes = Notes("Notes", LONGEST["notes"])
        self.notes.changed.connect(lambda text: self._set("Change notes", notes=text))
        self.field("Notes", self.notes)

    def _text(self, words: str, name: str, tip: str) -> TextField:
        field = TextField(words, longest=LONGEST.get(name, 10), may_be_empty=True)
        field.setToolTip(tip)
        text = f"Change {words[0].lower()}{words[1:]}"
        field.changed.connect(lambda value: self._set(text, **{name: value}))
        self.field(words, field)
        return field

    def _button(self, words: str, tip: str) -> QPushButton:
        button = QPushButton(words)
        button.setAutoDefault(False)
        button.setToolTip(tip)
        return button

    def _row(self, *buttons: QPushButton) -> None:
        box = QWidget()
        row = QHBoxLayout(box)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        for button in buttons:
            row.addWidget(button, 1)
        self.whole(box, *buttons)

    def _choose_exchange(self) -> None:
        """Ask which yarn of the design goes."""
        if self._results is None:
            return
        menu = QMenu(self.exchange)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for number, one in enumerate(self._results.design.yarns):
            key = f"&{number + 1}  " if number < 9 else ""
            icon = swatch_icon(one.colour, _SWATCH, self._theme, self.devicePixelRatioF())
            action = menu.addAction(icon, key + plain_entry(one.name))
            action.triggered.connect(partial(self.exchange_wished.emit, number))
        menu.popup(self.exchange.mapToGlobal(self.exchange.rect().bottomLeft()))

    def _beside(self, words: str, field: NumberField, button: QPushButton) -> None:
        box = QWidget()
        row = QHBoxLayout(box)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(UNIT)
        row.addWidget(field, 1)
        row.addWidget(button)
        box.setFocusProxy(field)
        self.field(words, box)
        self._in_order.pop()
        for part in (field, button):
            self._follow(part)

    # what is shown

    def show_design(self, results: Results) -> None:
        """Follow the design: its title, units and rows."""
        before = self._results
        super().show_results(results)
        design = results.design
        self._title = design.title
        self.blanket.setText(f"For {design.title or 'this blanket'}")
        if before is None or before.design.units != design.units:
            self.ball_m.set_unit(yarn_unit_m(design.units), yarn_unit(design.units),
                                 step=5, digits=1)  # fmt: skip
        self.show_entry(self._entry)

    def show_entry(self, entry: Entry | None) -> None:
        """Show a yarn; none leaves nothing to be done."""
        is_other = entry is None or self._entry is None or entry.uid != self._entry.uid
        self._entry = entry
        self._scroll.setVisible(entry is not None)
        if entry is None or self._results is None:
            self.name_of.setText("Choose a yarn of the list.")
            self.there.say("")
            return
        units = self._results.design.units
        self.name_of.setText(called(entry))
        self.there.say(amounts(entry, units))
        for field, value in (
            (self.balls, entry.balls),
            (self.ball_m, entry.ball_m),
            (self.ball_g, entry.ball_g),
            (self.price, entry.price),
        ):
            field.show_value(value, even_if_typed=is_other)
        for text, shown in (
            (self.name, entry.name),
            (self.lot, entry.lot),
            (self.fibre, entry.fibre),
            (self.currency, entry.currency),
            (self.place, entry.place),
            (self.bought, entry.bought),
        ):
            text.show_value(shown, even_if_typed=is_other)
        self.notes.show_value(entry.notes, even_if_typed=is_other)
        self.weight.show_value("" if entry.weight is None else str(entry.weight))
        kept = entry.aside_for(self._title)
        if is_other:
            self.weighs.show_value(0)
            self.aside.show_value(kept or round(self._wanted_g(entry), 1))
            self.worked.show_value(kept)
        self._show_chips(entry)
        self._show_colour()
        self._show_worth()
        self._show_would()

    def _wanted_g(self, entry: Entry) -> float:
        """Return what the design wants of it, as far as it is free."""
        results = self._results
        assert results is not None
        for yarn, use in zip(results.design.yarns, results.yarn, strict=True):
            if yarn.name.casefold() == entry.name.casefold():
                return min(use.length_m / entry.m_per_g, entry.for_title_g(self._title))
        return 0.0

    def _show_chips(self, entry: Entry) -> None:
        self.bits.show_chips(
            [
                (
                    grams(weight),
                    f"Remnant of {grams(weight)}: take it off the shelf",
                    partial(self._drop_bit, number),
                )
                for number, weight in enumerate(entry.remnants)
            ],
            self.balls,
        )
        self.asides.show_chips(
            [
                (
                    f"{grams(aside.grams)} for {_blanket(aside.title)}",
                    f"{grams(aside.grams)} put aside for {_blanket(aside.title)}: give them back",
                    partial(self._give_back, aside.title),
                )
                for aside in entry.asides
            ],
            self.take_off if self.take_off.isEnabled() else self.worked,
        )

    def _show_colour(self) -> None:
        entry = self._entry
        if entry is None:
            return
        words = colour_words(entry.colour)
        self.colour.setText(f"{words[0].upper()}{words[1:]}, {entry.colour}")
        ratio = self.devicePixelRatioF()
        icon = swatch_icon(entry.colour, self.colour.iconSize(), self._theme, ratio)
        self.colour.setIcon(icon)
        self.colour.setAccessibleName(f"Colour: {words}, {entry.colour}")
        self.colour.setToolTip("Choose the colour as it looks by daylight")

    def _show_worth(self) -> None:
        entry, results, weight = self._entry, self._results, self.weighs.value()
        self.weigh_in.setEnabled(weight > 0)
        if entry is None or results is None or weight <= 0:
            self.worth.say("Weigh a begun ball to see how far it goes in this blanket.")
            return
        units = results.design.units
        found = worth(results.design, results.row_yarn, weight * entry.m_per_g)
        text = f"{grams(weight)} are {yarn_length(found.length_m, units)}"
        if found.rows:
            text += f": {counted(found.rows, 'row')} of this blanket with both ends"
            if found.rows_sure < found.rows:
                text += f", {found.rows_sure} if you use yarn fast"
        else:
            text += ": not a whole row of this blanket"
        self.worth.say(f"{text}.")

    def _show_would(self) -> None:
        entry, weight = self._entry, self.worked.value()
        if entry is None:
            return
        self.take_off.setEnabled(weight > 0)
        try:
            after = acts.take_off(entry, self._title, weight) if weight else None
        except ShelfError as error:
            self.would.say(f"⚠ {error}")
            self.take_off.setEnabled(False)
            return
        kept = entry.aside_for(self._title)
        text = f"{grams(kept)} are put aside for it. " if kept else ""
        if after is not None:
            text += f"Taking {grams(weight)} off leaves {stock(after)} of {stock(entry)}."
        self.would.say(text or "Nothing is put aside for it; opening a design never does.")

    # what is done

    def _set(self, text: str, gesture: object = None, **values: Any) -> None:
        entry = self._entry
        if entry is None:
            return
        try:
            after = checked(replace(entry, **values))
        except ShelfError as error:
            self.said.emit(f"⚠ {error}")
            self.show_entry(entry)
            return
        self._tell(edit(f"{text} of {entry.name}", entry, after), "", gesture)

    def _tell(self, change: Change, said: str = "", gesture: object = None) -> None:
        if not change.is_empty:
            self.change.emit(change, said, gesture)

    def _weigh_in(self) -> None:
        entry, weight = self._entry, self.weighs.value()
        if entry is None or weight <= 0:
            return
        try:
            after = acts.weigh_in(entry, weight)
        except ShelfError as error:
            self.said.emit(f"⚠ {error}")
            return
        self.weighs.show_value(0, even_if_typed=True)
        said = f"A remnant of {grams(weight)} is on the shelf: {stock(after)} of {entry.name}."
        self._tell(edit(f"Weigh in {grams(weight)} of {entry.name}", entry, after), said)

    def _drop_bit(self, number: int) -> None:
        entry = self._entry
        if entry is not None and number < len(entry.remnants):
            text = f"Take off a remnant of {grams(entry.remnants[number])} of {entry.name}"
            self._tell(edit(text, entry, acts.drop_remnant(entry, number)))

    def _put_aside(self) -> None:
        entry, weight = self._entry, self.aside.value()
        if entry is None:
            return
        try:
            after = acts.put_aside(entry, self._title, weight)
        except ShelfError as error:
            self.said.emit(f"⚠ {error}")
            return
        said = (
            f"{grams(weight)} of {entry.name} are put aside for {_blanket(self._title)}: "
            "still on the shelf, but not free for another blanket."
        )
        self._tell(edit(f"Put aside {entry.name}", entry, after), said)
        self.worked.show_value(weight)
        self._show_would()

    def _give_back(self, title: str) -> None:
        entry = self._entry
        if entry is not None:
            said = f"Nothing of {entry.name} is put aside for {_blanket(title)} any more."
            self._tell(edit(f"Give back {entry.name}", entry, acts.give_back(entry, title)), said)

    def _take_off(self) -> None:
        entry, weight = self._entry, self.worked.value()
        if entry is None:
            return
        try:
            after = acts.take_off(entry, self._title, weight)
        except ShelfError as error:
            self.said.emit(f"⚠ {error}")
            return
        said = (
            f"{grams(weight)} of {entry.name} are worked and off the shelf: {stock(after)} left. "
            "What the design owns stays as it is."
        )
        self.worked.show_value(0, even_if_typed=True)
        self._tell(edit(f"Take off what is worked of {entry.name}", entry, after), said)

    def choose_colour(self) -> None:
        """Let the colour be chosen."""
        entry = self._entry
        if entry is None:
            return
        dialog = self.question.open(entry.colour, f"Colour of {entry.name}")
        if dialog is not None:
            dialog.colorSelected.connect(
                lambda colour: self._set("Change colour", colour=colour.name().lower())
            )


def _blanket(title: str) -> str:
    return title or "a blanket without a title"
