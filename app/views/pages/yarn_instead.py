"""The part of the yarn's page that reckons another yarn in place of the chosen one."""

from functools import partial
from typing import Final

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QPushButton

from app.views.figures import counted, number, yarn_unit, yarn_unit_m
from app.views.pages.fields import NumberField, bounds_of
from app.views.pages.page import FormPage
from core.design import edits
from core.design.document import Units, Yarn
from core.errors import DesignError
from core.pipeline import Results
from core.yarn.substitute import Substitute, substitute

_THICKNESS: Final = {
    "same": "as thick: the gauge should hold.",
    "near": "nearly as thick: swatch before you buy.",
    "other": "another thickness: the gauge will change, try it on the swatch's page.",
}


class InsteadGroup(QObject):
    """Another ball's length and weight, and how many of them do the same."""

    def __init__(self, page: FormPage) -> None:
        super().__init__(page)
        self._page = page
        self._chosen = 0
        self._results: Results | None = None
        self._typed: dict[str, float | None] = {}
        self.fold = page.fold("Other yarn")
        page.note("Balls are reckoned by length, never ball for ball.")
        self.ball_m = NumberField("Length of the other ball", bounds_of(Yarn, "ball_m"), digits=1)
        page.field("A ball holds", self.ball_m)
        self.ball_g = NumberField(
            "Weight of the other ball", bounds_of(Yarn, "ball_g"), digits=1, unit="g", step=5
        )
        page.field("It weighs", self.ball_g)
        self.price = NumberField(
            "Price of the other ball",
            bounds_of(Yarn, "price"),
            digits=2,
            absent="not given",
            first=1.0,
            keeps_zeros=True,
        )
        page.field("It costs", self.price)
        self.balls = page.figure("Balls of it")
        self.told = page.note()
        self.trouble = page.trouble()
        self.take = QPushButton("Take it instead")
        self.take.setToolTip("Put this ball in the chosen yarn's place, with none owned")
        page.whole(self.take)
        self.take.clicked.connect(self._take)
        for name, field in self._fields.items():
            field.changed.connect(lambda value, _, name=name: self._type(name, value))

    @property
    def _fields(self) -> dict[str, NumberField]:
        return {"ball_m": self.ball_m, "ball_g": self.ball_g, "price": self.price}

    def follow_units(self, units: Units) -> None:
        """Show the ball's length in the design's units."""
        self.ball_m.set_unit(yarn_unit_m(units), yarn_unit(units), step=5, digits=1)

    def show_results(self, results: Results, chosen: int) -> None:
        """Show the other yarn in place of the chosen one."""
        if chosen != self._chosen:
            self._typed.clear()
        self._results, self._chosen = results, chosen
        yarn, use = results.design.yarns[chosen], results.yarn[chosen]
        values = {"ball_m": yarn.ball_m, "ball_g": yarn.ball_g, "price": yarn.price, **self._typed}
        for name, field in self._fields.items():
            field.show_value(values[name])
        found, trouble = None, ""
        try:
            found = substitute(
                yarn,
                use.length_m,
                ball_m=values["ball_m"] or 0.0,
                ball_g=values["ball_g"] or 0.0,
                price=values["price"],
            )
        except DesignError as error:
            trouble = str(error)
        tried = any(values[name] != getattr(yarn, name) for name in self._fields)
        self.balls.show_text(str(found.balls) if found else "–")
        self.told.say(_told(found, results.design.units) if found and tried else "")
        self.trouble.say(trouble)
        self.take.setEnabled(found is not None and tried)
        self.fold.sum_up("", matters=False)

    def _type(self, name: str, value: float | None) -> None:
        self._typed[name] = value
        if self._results is not None:
            self.show_results(self._results, self._chosen)

    def _take(self) -> None:
        if self._results is None:
            return
        yarn = self._results.design.yarns[self._chosen]
        values = {name: self._typed.get(name, getattr(yarn, name)) for name in self._fields}
        self._typed.clear()
        edit = partial(
            edits.set_yarn,
            number=self._chosen,
            owned_balls=0.0,
            left_g=None,
            left_after=None,
            **values,
        )
        self._page.ask(f"Another yarn for {yarn.name}", edit)


def _told(found: Substitute, units: Units) -> str:
    per = yarn_unit_m(units)
    lengths = (
        f"{number(found.m_per_100g / per)} {yarn_unit(units)} in 100 g, "
        f"{number(found.was_m_per_100g / per)} before"
    )
    cost = f" They cost {number(found.cost, 2)}." if found.cost is not None else ""
    return (
        f"{counted(found.balls, 'ball')}, {number(found.mass_g)} g.{cost} {lengths}: "
        f"{_THICKNESS[found.thickness]}"
    )
