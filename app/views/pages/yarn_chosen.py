"""The part of the yarn's page with the chosen yarn's fields: its ball, what is owned, its price."""

from collections.abc import Callable
from functools import partial
from typing import Any, Final

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QPushButton, QSizePolicy

from app.views.figures import yarn_unit, yarn_unit_m
from app.views.pages.fields import ChoiceField, NumberField, TextField, bounds_of, longest_of
from app.views.pages.page import FormPage
from core.design import edits
from core.design.document import Units, Yarn
from core.words.vocabulary import vocabulary, weight_classes

_WEIGHTS: Final = (
    ("", "not given"),
    *((str(n), f"{n}, {name}") for n, name in enumerate(weight_classes(vocabulary("US")))),
)


class ChosenGroup(QObject):
    """Fields of one yarn; what is owned may be told in balls or in grams."""

    def __init__(self, page: FormPage, choose_colour: Callable[[], object]) -> None:
        super().__init__(page)
        self._page = page
        self._chosen = 0
        self._ball_g = 1.0
        page.heading("Chosen yarn")
        self.name = TextField("Name", longest=longest_of(Yarn, "name"))
        page.field("Name", self.name)
        self.colour = QPushButton()
        self.colour.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        page.field("Colour", self.colour)
        self.ball_m = NumberField("Length of a ball", bounds_of(Yarn, "ball_m"), digits=1)
        page.field("A ball holds", self.ball_m)
        self.ball_g = NumberField(
            "Weight of a ball", bounds_of(Yarn, "ball_g"), digits=1, unit="g", step=5
        )
        page.field("It weighs", self.ball_g)
        self.weight = ChoiceField("Weight class", _WEIGHTS)
        self.weight.setToolTip("The class on the ball band, by which makers find another yarn")
        page.field("Weight class", self.weight)
        self.owned = NumberField(
            "Balls owned", bounds_of(Yarn, "owned_balls"), digits=2, unit="balls"
        )
        page.field("You own", self.owned)
        self.owned_g = NumberField("Grams owned", (0, 1_000_000), digits=1, unit="g", step=5)
        self.owned_g.setToolTip("What you own of it by weight: part balls are simply weighed")
        page.field("That weighs", self.owned_g)
        self.price = NumberField(
            "Price of a ball",
            bounds_of(Yarn, "price"),
            digits=2,
            absent="not given",
            first=1.0,
            keeps_zeros=True,
        )
        page.field("A ball costs", self.price)
        self.weight.changed.connect(
            lambda key, gesture: self._set(
                "Change weight class", "weight", int(key) if key else None, gesture
            )
        )
        self.name.changed.connect(lambda name: self._set("Rename yarn", "name", name))
        self.colour.clicked.connect(lambda: choose_colour())
        for field, part, text in (
            (self.ball_m, "ball_m", "Change length of a ball"),
            (self.ball_g, "ball_g", "Change weight of a ball"),
            (self.owned, "owned_balls", "Change balls owned"),
            (self.price, "price", "Change price of a ball"),
        ):
            field.changed.connect(partial(self._set, text, part))
        self.owned_g.changed.connect(
            lambda grams, gesture: self._set(
                "Change balls owned", "owned_balls", grams / self._ball_g, gesture
            )
        )

    def follow_units(self, units: Units) -> None:
        """Show the ball's length in the design's units."""
        self.ball_m.set_unit(yarn_unit_m(units), yarn_unit(units), step=5, digits=1)

    def show_yarn(self, number: int, yarn: Yarn, *, even_if_typed: bool) -> None:
        """Show a yarn's fields."""
        self._chosen, self._ball_g = number, yarn.ball_g
        self.name.show_value(yarn.name, even_if_typed=even_if_typed)
        self.weight.show_value("" if yarn.weight is None else str(yarn.weight))
        for field, value in (
            (self.ball_m, yarn.ball_m),
            (self.ball_g, yarn.ball_g),
            (self.owned, yarn.owned_balls),
            (self.owned_g, yarn.owned_balls * yarn.ball_g),
            (self.price, yarn.price),
        ):
            field.show_value(value, even_if_typed=even_if_typed)

    def _set(self, text: str, part: str, value: str | float | None, gesture: object = None) -> None:
        values: dict[str, Any] = {part: value}
        self._page.ask(text, partial(edits.set_yarn, number=self._chosen, **values), gesture)
